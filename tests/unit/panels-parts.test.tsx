// @vitest-environment jsdom
import { act } from 'react';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { LoadPane } from '../../renderer/panels/load-pane';
import { useApp } from '../../renderer/panels/use-app';
import { store } from '../../renderer/state/store';
import { auditDocument } from '../../shared-core/audit/index';
import { entitiesOf, putEntities } from '../../shared-core/document/index';
import { sizeDevice } from '../../shared-core/sizing/index';
import type { Load, LoadData } from '../../shared-core/document/index';
import { horsepower } from '../../shared-core/units/index';
import { by, choose, clear, click, named, press, show, type } from './panels-dom';
import { exampleDocument } from './panels-example';

const ID = 'load-m-204';
const mill = (): Load => store.getState().document.entities[ID] as Load;
const line = (n: number) => named<HTMLInputElement>('input', `Part ${n}`);
const added = () => named<HTMLInputElement>('input', 'Add a part');
const said = (input: HTMLInputElement): string => document.getElementById(input.id + '-said')?.textContent ?? '';
const last = (): string | undefined => store.getState().done.at(-1)?.name;

function Chosen() {
  const load = useApp((s) => s.document.entities[ID]);
  return load?.kind === 'load' ? <LoadPane load={load} /> : null;
}
/** The worker's answer, as the window gets it. */
const answer = () => act(async () => { const { revision, document: of, setAudit } = store.getState(); setAudit(revision, auditDocument(of)); });

/** 10 hp and 7 1/2 hp at 460 V (14 and 11 A, NFPA 70 Table 430.250): fuse 25 A (430.52) + 11 A, down to 35 A (430.62), so a 60 A switch. */
beforeEach(async () => {
  const parts: LoadData[] = [{ kind: 'motor', horsepower: horsepower(10), codeLetter: 'G' }, { kind: 'motor', horsepower: horsepower(7.5), codeLetter: 'G', typed: { name: 'spindle' } }];
  await act(async () => {
    const plain = exampleDocument();
    store.getState().load({ ...plain, entities: { ...plain.entities, [ID]: { ...plain.entities[ID] as Load, data: { kind: 'machine', system: 'system-main', phases: 3, parts } } } }, { handle: 'test', name: 'works.lockstead' });
  });
  await answer();
  await show(<Chosen />);
});
afterEach(clear);

describe('the parts of a machine', () => {
  it('stand a line each in trade notation with the name a person gave', () => {
    expect([line(1).value, line(2).value]).toEqual(['10 hp code G', 'spindle 7 1/2 hp code G']);
  });

  it('a part typed anew is one named edit, and the disconnect follows at once', async () => {
    expect(by('.consequence').textContent).toContain('60 A  RK5 35 A');
    await type(line(2), 'spindle 50 hp code G');
    await press(line(2), 'Enter');
    expect(last()).toBe('changed part 2 of M-204');
    expect(mill().data.parts?.[1]).toMatchObject({ horsepower: 50, codeLetter: 'G', typed: { name: 'spindle' } });
    expect(by('.consequence').textContent).toContain('checking');
    await answer();
    // 65 A x 175 % goes up to 125 A; with 14 A, down to 125 A: a 200 A switch.
    expect(by('.consequence').textContent).toContain('200 A  RK5 125 A');
    await act(async () => { store.getState().undo(); });
    expect(line(2).value).toBe('spindle 7 1/2 hp code G');
  });

  it('parts are added and removed, one named edit each', async () => {
    await type(added(), 'coolant pump 1 hp');
    await press(added(), 'Enter');
    expect(last()).toBe('added part 3 of M-204');
    expect(line(3).value).toBe('coolant pump 1 hp');
    expect(added().value).toBe('');
    await click(named('button', 'Remove part 1'));
    expect(last()).toBe('removed part 1 of M-204');
    expect(mill().data.parts?.map((p) => p.horsepower)).toEqual([7.5, 1]);
    await click(named('button', 'Remove part 1'));
    await click(named('button', 'Remove part 1'));
    expect(mill().data).not.toHaveProperty('parts');
  });

  it('what a part lacks stands at that part, for every part at once', async () => {
    await type(line(1), '10 hp code X');
    await press(line(1), 'Enter');
    await type(added(), 'heater');
    await press(added(), 'Enter');
    expect(said(line(1))).toBe("'X' is no code letter (A to V without I, O and Q).");
    expect(said(line(2))).toBe('');
    expect(said(line(3))).toBe('Has no current, kW or kVA.');
    expect(line(3).getAttribute('aria-invalid')).toBe('true');
  });

  it('what is not understood is underlined and left out only on a second Enter', async () => {
    await type(line(1), '10 hp mauve code G');
    expect(by('.parts u').textContent).toBe('mauve');
    await press(line(1), 'Enter');
    expect(said(line(1))).toContain("without 'mauve'");
    expect(store.getState().done).toHaveLength(0);
    await press(line(1), 'Escape');
    expect(line(1).value).toBe('10 hp code G');
  });

  it('what the machine says of starting together counts for every part, also for one that is added', async () => {
    const standstill = (): number => { const { document: now } = store.getState(); const device = entitiesOf(now, 'disconnect').find((d) => d.serves.includes(ID)); return Number(sizeDevice(now, device?.id ?? '').results.find((r) => r.check === 'sizing.horsepower')?.steps.find((s) => s.formula.startsWith('I_LR = '))?.value); };
    await act(async () => { const { document: now, commit } = store.getState(); commit(putEntities(now, 'test', [{ ...mill(), data: { ...mill().data, parts: (mill().data.parts ?? []).map((p) => ({ ...p, startTogether: true })) } }])); });
    await choose('Parts start together', 'no');
    expect(mill().data.startTogether).toBe(false);
    expect(mill().data.parts?.every((p) => !('startTogether' in p))).toBe(true);
    await type(added(), 'fan 10 hp');
    await press(added(), 'Enter');
    // Table 430.251(B) at 460 V: 10 hp 81 A, 7 1/2 hp 63.5 A; Table 430.250: 14 A, 11 A.
    expect(standstill()).toBeCloseTo(81 + 11 + 14, 9);
    await choose('Parts start together', 'yes');
    expect(standstill()).toBeCloseTo(81 + 63.5 + 81, 9);
  });

  it('parts move up and down, one named edit each, and the hand stays on the part that moved', async () => {
    await type(added(), 'coolant pump 1 hp');
    await press(added(), 'Enter');
    const order = () => mill().data.parts?.map((p) => p.horsepower);
    await click(named('button', 'Move part 1 down'));
    expect(order()).toEqual([7.5, 10, 1]);
    expect(last()).toBe('moved part 1 of M-204 to 2');
    expect(document.activeElement?.getAttribute('aria-label')).toBe('Move part 2 down');
    await click(document.activeElement as HTMLElement);
    expect(order()).toEqual([7.5, 1, 10]);
    const edits = store.getState().done.length;
    await click(named('button', 'Move part 3 down'));
    await click(named('button', 'Move part 1 up'));
    expect(store.getState().done).toHaveLength(edits);
    await click(named('button', 'Move part 3 up'));
    expect(order()).toEqual([7.5, 10, 1]);
    await act(async () => { store.getState().undo(); });
    expect(order()).toEqual([7.5, 1, 10]);
  });

  it('a part is edited by its fields as well, one named edit each, and the line says it', async () => {
    await click(named('button', 'Fields of part 2'));
    const field = (label: string) => { const at = [...document.querySelectorAll('.part-fields label')].find((l) => l.textContent === label) as HTMLLabelElement; return document.getElementById(at.htmlFor) as HTMLInputElement; };
    await type(field('Horsepower'), '15');
    await press(field('Horsepower'), 'Enter');
    expect(last()).toBe('set horsepower of part 2 of M-204');
    expect(mill().data.parts?.[1]).toMatchObject({ horsepower: 15, codeLetter: 'G', typed: { name: 'spindle', horsepower: '15' } });
    expect(line(2).value).toBe('spindle 15 hp code G');
    await type(field('Name'), 'main spindle');
    await press(field('Name'), 'Enter');
    expect(last()).toBe('set name of part 2 of M-204');
    expect(line(2).value).toBe('main spindle 15 hp code G');
    await type(field('Code letter'), '');
    await press(field('Code letter'), 'Enter');
    expect(mill().data.parts?.[1]).not.toHaveProperty('codeLetter');
    await click(named('button', 'Move part 2 up'));
    expect(field('Horsepower').value).toBe('15');
    await click(named('button', 'Fields of part 1'));
    expect(document.querySelector('.part-fields')).toBeNull();
  });

  it('fields of the machine that do not count beside its parts are not offered', async () => {
    const labels = () => [...document.querySelectorAll('label')].map((l) => l.textContent);
    expect(labels()).not.toContain('Horsepower');
    for (let i = 0; i < 2; i += 1) await click(named('button', 'Remove part 1'));
    expect(labels()).toContain('Horsepower');
  });
});
