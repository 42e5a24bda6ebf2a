// @vitest-environment jsdom
import { act } from 'react';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { DeviceList } from '../../renderer/panels/device-list';
import { DevicePane } from '../../renderer/panels/device-pane';
import { doubtOfLine, isProposed, showMargin, showResultValue, statementOf } from '../../renderer/panels/result-text';
import { Derivation } from '../../renderer/panels/why-card';
import { store } from '../../renderer/state/store';
import { auditDocument } from '../../shared-core/audit/index';
import type { Result, Step } from '../../shared-core/code-data/index';
import type { Disconnect, Document, Load } from '../../shared-core/document/index';
import { amperes, feet, horsepower, sheetUnits, volts } from '../../shared-core/units/index';
import { by, clear, click, show } from './panels-dom';
import { exampleDocument, result } from './panels-example';

afterEach(clear);
const open = async (document: Document) => {
  await act(async () => { store.getState().load(document, { handle: 'test', name: 'works.lockstead' }); });
  await act(async () => { store.getState().setAudit(store.getState().revision, auditDocument(document)); });
};
const withData = (device: Disconnect['data'], load: Load['data']): Document => {
  const plain = exampleDocument();
  return { ...plain, entities: { ...plain.entities, 'disconnect-ds-04': { ...plain.entities['disconnect-ds-04'] as Disconnect, data: device }, 'load-p-303': { ...plain.entities['load-p-303'] as Load, data: load } } };
};
const row = (name: string): string => [...document.querySelectorAll('.results tr')].find((tr) => tr.querySelector('th')?.textContent === name)?.textContent ?? '';
const chosen = () => store.getState().document.entities['disconnect-ds-04'] as Disconnect;

describe('the table of results', () => {
  const heater: Load['data'] = { kind: 'heater', system: 'system-main', kilowatts: 36, phases: 3, voltage: volts(480) };
  it('says what is proposed and what was entered', async () => {
    await open(withData({ ratedAmperes: amperes(100) }, heater));
    await show(<DevicePane device={chosen()} />);
    expect(row('switch')).not.toContain('proposed');
    expect(row('voltage')).toContain('proposed');
    expect(row('load current')).not.toContain('proposed');
  });
  it('gives the reason where a check has no value', async () => {
    await open(withData({}, heater));
    await show(<DevicePane device={chosen()} />);
    expect(row('horsepower')).toBe('horsepowernot a motor disconnect: no horsepower rating needed');
  });
  it('says where the length of the route is an estimate, until one is typed', async () => {
    const supply = { id: 'supply-1', kind: 'supply' as const, sheet: 'sheet-hall', tag: 'PP-1', name: '', at: { x: sheetUnits(100), y: sheetUnits(100) }, system: 'system-main', role: 'panel' as const };
    const routed = (data: Disconnect['data']): Document => { const d = withData({ fedFrom: supply.id, ...data }, heater); return { ...d, facts: { ...d.facts, systems: d.facts.systems.map((s) => ({ ...s, source: { availableFaultCurrent: amperes(20_000) } })) }, entities: { ...d.entities, [supply.id]: supply } }; };
    await open(routed({}));
    await show(<DevicePane device={chosen()} />);
    expect(row('voltage drop')).toContain('route estimated');
    expect(row('fault current here')).toContain('route estimated');
    expect(row('switch')).not.toContain('route estimated');
    await clear();
    await open(routed({ routeLength: feet(80) }));
    await show(<DevicePane device={chosen()} />);
    expect(row('fault current here')).not.toContain('route estimated');
  });
  it('every figure of it opens to its derivation', async () => {
    await open(withData({}, heater));
    await show(<DevicePane device={chosen()} />);
    const figures = document.querySelectorAll('.results .figure');
    expect(figures).toHaveLength(document.querySelectorAll('.results tr').length);
    for (const figure of figures) expect(figure.getAttribute('aria-haspopup')).toBe('dialog');
  });
});

describe('a derivation', () => {
  const step = (n: number): Step => ({ quantity: `quantity ${n}`, formula: `I_${n} = ${n}`, value: n, unit: 'A', confidence: 'confirmed', inputs: [] });
  const long = (n: number): Result => result('r', 'sizing.fuse', 'pass', 'DS-1 fuse: long', { steps: Array.from({ length: n }, (_, i) => step(i + 1)) });
  it('opens at its end; all before is one click away and in order', async () => {
    await show(<Derivation result={long(20)} system="US" />);
    expect(by('details').textContent).toContain('Steps 1 to 15');
    expect([...document.querySelectorAll('.step .formula')].map((f) => f.textContent)).toEqual(Array.from({ length: 20 }, (_, i) => `I_${i + 1} = ${i + 1}`));
    expect([...document.querySelectorAll('details ~ .steps .formula')]).toHaveLength(5);
  });
  it('a short one is not folded', async () => {
    await show(<Derivation result={long(6)} system="US" />);
    expect(document.querySelector('details')).toBeNull();
  });
  it('names no edition where its source has none', async () => {
    await show(<Derivation result={result('r', 'sizing.fuse', 'pass', 'x', { citations: [{ text: 'common practice, no source', edition: '', confidence: 'typical', note: 'a convention' }] })} system="US" />);
    expect(by('.citations').textContent).toBe('common practice, no source, typical: verify on the nameplate, a convention');
  });
});

describe('words of a result', () => {
  beforeEach(() => open(exampleDocument()));
  it('of a device of any kind stand without its tag and check, and never empty', () => {
    for (const r of store.getState().audit?.audit.results ?? []) {
      const device = store.getState().document.entities[r.subject.disconnect ?? ''];
      if (device?.kind === 'disconnect') expect(statementOf(r, device.tag).trim(), r.title).not.toBe('');
    }
  });
  it('nothing to spare is just enough', () => { expect(showMargin({ value: 0, unit: 'A' }, 'US')).toBe('just enough'); });
  it('only what can be entered is proposed', () => {
    expect(isProposed(result('r', 'sizing.fuse', 'pass', 'x', { value: '30 A' }), {})).toBe(true);
    expect(isProposed(result('r', 'sizing.fuse', 'pass', 'x', { value: '30 A' }), { fuseAmperes: amperes(30) })).toBe(false);
    expect(isProposed(result('r', 'sizing.voltage-drop', 'pass', 'x', { value: '1 %' }), {})).toBe(false);
    expect(isProposed(result('r', 'sizing.fusing', 'pass', 'x', { value: 'not fusible' }), { fusible: false })).toBe(false);
  });
  it('an enclosure type is a type', () => { expect(showResultValue(result('r', 'sizing.enclosure', 'pass', 'x', { value: '12' }), 'US')).toBe('type 12'); });
});

describe('what a line rests on', () => {
  const of = (check: string, confidence: Step['confidence'], value?: string): Result => result('r', check, 'pass', 'x', { citations: [{ text: 'table', edition: '2023', confidence }], ...(value === undefined ? {} : { value }) });
  it('is marked by the gravest of its own values, and by nothing else', () => {
    expect(doubtOfLine([of('sizing.fuse', 'typical', '30 A'), of('sizing.enclosure', 'memory', '4')])).toBe('memory');
    expect(doubtOfLine([of('sizing.fuse', 'disputed', '30 A'), of('sizing.enclosure', 'memory', '4')])).toBe('disputed');
    expect(doubtOfLine([of('sizing.fuse', 'confirmed', '30 A'), of('sizing.ampere-rating', 'own-reading', '30 A'), of('sizing.voltage-drop', 'typical', '1 %')])).toBeNull();
    expect(doubtOfLine([of('sizing.fuse', 'typical')])).toBeNull();
  });
  it('stands in the list and beside the load, in words for a screen reader', async () => {
    await open(withData({}, { kind: 'motor', system: 'system-main', horsepower: horsepower(10), phases: 3, voltage: volts(460) }));
    await show(<DeviceList />);
    const line = [...document.querySelectorAll('[role="option"]')].find((o) => o.getAttribute('aria-label')?.startsWith('DS-04'));
    expect(line?.querySelector('.doubt-sign')?.getAttribute('title')).toMatch(/verify/);
    expect(line?.getAttribute('aria-label')).toContain('verify');
  });
});

it('the window asks for the card to open at its head', async () => {
  await open(exampleDocument());
  await show(<DevicePane device={chosen()} />);
  await click(by('.results .figure'));
  expect(document.activeElement?.className).toBe('card-title');
});
