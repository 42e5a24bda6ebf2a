// @vitest-environment jsdom
import { act } from 'react';
import { afterEach, expect, it, vi } from 'vitest';
import { ScalePane } from '../../renderer/panels/scale-pane';
import { store } from '../../renderer/state/store';
import { emptyDocument } from '../../shared-core/document/index';
import type { PlanRef } from '../../shared-core/document/index';
import { feet, sheetUnits } from '../../shared-core/units/index';
import { clear, click, named, show } from './panels-dom';

const { answers } = vi.hoisted(() => ({ answers: [] as unknown[] }));
vi.mock('../../renderer/host-client', () => ({ host: { call: () => Promise.resolve(answers.shift() ?? { ok: false, problem: { code: 'none', what: '', todo: '' } }), onProgress: () => () => undefined } }));
afterEach(clear);

const [width, height] = [sheetUnits(1224), sheetUnits(792)];
const plan: PlanRef = { blob: 'c'.repeat(64), name: 'hall.pdf', media: 'application/pdf', page: 0, width, height, unitsPerPaperInch: 72 };

it('a plan that could not be looked at says so and is looked at again on wish; its scales then stand with where they hold', async () => {
  const box = (x: number, w: number): [number, number, number, number] => [x, 0, w, 792];
  answers.push({ ok: false, problem: { code: 'reader-stopped', what: '', todo: '' } }, { ok: true, value: { skew: null, blackGround: false, lengths: [], scales: [
    { name: '1/8 in = 1 ft', feetPerUnit: 1 / 9, box: box(0, 1224) }, { name: 'Detail', feetPerUnit: 1 / 54, box: box(900, 300) }, { name: '', feetPerUnit: null, box: box(0, 300) }] } });
  await act(async () => { store.getState().load({ ...emptyDocument(), sheets: [{ id: 'sheet-hall', name: 'Hall', plan, width, height, scale: null, level: { name: '', floor: feet(0) }, fade: 0 }] }, null); });
  await show(<ScalePane />);
  expect(document.body.textContent).toContain('The plan was not looked at for lengths and scales of its own.');
  await click(named('button', 'Look now'));
  expect([...document.querySelectorAll('.file-scales li')].map((row) => row.textContent)).toEqual([
    '1/8 in = 1 ftfor the whole sheet', 'Detailholds in the right part onlyShow where', 'scale of the filedoes not say its unit and cannot be takenShow where']);
  await click(named('button', '1/8 in = 1 ft'));
  // 1/8" = 1'-0" is 1 : 96, nine points of paper to a foot.
  expect(store.getState().document.sheets[0]?.scale).toMatchObject({ feetPerUnit: 1 / 9, from: { kind: 'stated', typed: '1/8 in = 1 ft', unitsPerPaperInch: 72 } });
  expect(named('button', '1/8 in = 1 ft').getAttribute('aria-pressed')).toBe('true');
  // A scale of one view is taken with that view: elsewhere nothing is measured, until a person says that it holds there.
  await click(named('button', 'Detail'));
  expect(store.getState().document.sheets[0]?.scale).toMatchObject({ feetPerUnit: 1 / 54, areas: [[{ x: 900, y: 0 }, { x: 1200, y: 0 }, { x: 1200, y: 792 }, { x: 900, y: 792 }]] });
  expect(document.body.textContent).toContain('The scale holds in a part of the sheet only.');
  await click(named('button', 'It holds on the whole sheet'));
  expect(store.getState().document.sheets[0]?.scale?.areas).toBeUndefined();
  expect(document.body.textContent).not.toContain('The scale holds in a part of the sheet only.');
});
