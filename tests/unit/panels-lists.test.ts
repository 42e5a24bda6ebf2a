import { describe, expect, it } from 'vitest';
import { deviceLines, ratingWords } from '../../renderer/panels/device-list';
import { readNumber, showNumber, showQuantity } from '../../renderer/panels/number-text';
import { entityLine, planLines } from '../../renderer/panels/plan-list';
import { sightBarShape, sightWords } from '../../renderer/panels/sight-bar';
import { stepStates, worstFirst } from '../../renderer/panels/step-states';

import { isDate } from '../../renderer/panels/iso-date';
import { removeEntities, applyEdit } from '../../shared-core/document/index';
import { feet } from '../../shared-core/units/index';
import { exampleAudit, exampleDocument } from './panels-example';

const document = exampleDocument();
const audit = exampleAudit(document);
const seen = { document, audit: { revision: 1, audit, of: document }, sheet: 'sheet-hall', revision: 1, savedRevision: 1 };
const step = (id: string, of: Parameters<typeof stepStates>[0] = seen) => stepStates(of).find((s) => s.id === id);

describe('numbers as the trade writes them', () => {
  it.each([['7 1/2', 'hp', 7.5], ['7½ hp', 'hp', 7.5], ['7-1/2', 'hp', 7.5], ['3/4', 'hp', 0.75], ['17.2 kA', 'A', 17200], ['480', 'V', 480], ['4.16kV', 'V', 4160], ['1,200', 'A', 1200], ['0,85', '', 0.85], ['100 amps', 'A', 100]])('reads %s as %s: %d', (text, unit, value) => {
    expect(readNumber(text, unit, 'US')).toEqual({ ok: true, value });
  });
  it('asks back what a metric reader could mean in two ways', () => {
    const read = readNumber('1,200', 'A', 'metric');
    expect(read.ok).toBe(false);
    expect(!read.ok && read.choices?.map((c) => c.value)).toEqual([1200, 1.2]);
  });
  it.each(['', 'abc', '1/0', '12 furlongs', '1.2.3', '--4', 'NaN', 'Infinity', '1e9'])('refuses %j with the reason', (text) => {
    const read = readNumber(text, 'A', 'US');
    expect(read.ok).toBe(false);
    expect(!read.ok && read.reason.length).toBeGreaterThan(5);
  });
  it('writes horsepower in fractions, fault current in kA, small values with their figures', () => {
    expect(showNumber(7.5, 'hp')).toBe('7 1/2');
    expect(showNumber(0.125, 'hp')).toBe('1/8');
    expect(showQuantity(17200, 'A')).toBe('17.2 kA');
    expect(showQuantity(0.0047, 'ohm')).toBe('0.0047 ohm');
    expect(showQuantity(39.1, 'A')).toBe('39.1 A');
    expect(showQuantity(12.65, 'A')).toBe('12.65 A');
  });
  it('reads back what it writes', () => {
    for (const value of [0.125, 0.5, 1.5, 7.5, 25, 100]) expect(readNumber(showNumber(value, 'hp'), 'hp', 'US')).toEqual({ ok: true, value });
  });
});

describe('the job rail', () => {
  it('says the state of each step in words and numbers', () => {
    expect(stepStates(seen).map((s) => [s.id, s.state])).toEqual([
      ['plan', 'Press hall'], ['scale', '1/8" = 1\'-0" ±0.4 %'], ['space', '1 wall'], ['loads', '6, 1 not placed'], ['disconnects', '5, 1 load open'], ['findings', '1 to mend, 1 to decide'], ['hand-over', 'rev C, 2 open'],
    ]);
  });
  it('names what a step lacks', () => {
    expect(step('loads')?.lacks).toEqual(['1 load waits to be placed.']);
    expect(step('disconnects')?.lacks).toEqual(['No disconnect serves P-9.']);
    const bare = { ...seen, document: { ...document, sheets: document.sheets.map((s) => ({ ...s, scale: null })) } };
    expect(step('scale', bare)).toMatchObject({ state: 'not set', asks: true, lacks: ['No scale on Press hall: distances cannot be checked.'] });
  });
  it('says so when nothing has been checked, instead of nothing open', () => {
    expect(step('findings', { ...seen, audit: null })?.state).toBe('not checked yet');
  });
  it('starts a new project with the plan it lacks', () => {
    const empty = { ...seen, document: { ...document, sheets: [], entities: {} }, audit: null, sheet: null };
    expect(step('plan', empty)).toMatchObject({ state: 'no plan yet', asks: true });
  });
});

describe('the device list', () => {
  it('shows each device with the verdict, loads and rating of the audit', () => {
    const lines = deviceLines(document, audit, 'sheet');
    expect(lines.map((l) => [l.device.tag, l.verdict, l.serves, l.rating])).toEqual([
      ['DS-04', 'pass', 'P-303', '60 A  RK1 60 A  4X'], ['DS-05', 'marginal', 'P-301', '60 A  RK1 60 A  4X'], ['DS-07', 'fail', 'M-204', '60 A  RK1 60 A  4X'], ['DS-09', 'judgement', 'CV-1', '60 A  RK1 60 A  4X'], ['DS-11', 'incomplete', 'EF-4', '60 A  RK1 60 A  4X'],
    ]);
  });
  it('puts the worst first on request', () => {
    expect(deviceLines(document, audit, 'worst').map((l) => l.verdict)).toEqual(['fail', 'incomplete', 'judgement', 'marginal', 'pass']);
  });
  it('never shows a device as passing that the audit does not know', () => {
    expect(deviceLines(document, null, 'sheet').map((l) => l.verdict)).toEqual(Array(5).fill('incomplete'));
    expect(ratingWords(undefined)).toBe('rating open');
  });
});

describe('the sight bar', () => {
  const pair = (tag: string) => { const found = audit.pairs.find((p) => p.disconnect === `disconnect-${tag}`); if (!found) throw new RangeError(tag); return found; };
  it('sets the tick at the distance as a share of the limit', () => {
    const shape = sightBarShape(pair('ds-04'));
    expect(shape?.tick).toBeCloseTo(shape ? (24.33 / 50) * shape.limit : -1, 10);
  });
  it('lets the band straddle the limit for a marginal pair', () => {
    const shape = sightBarShape(pair('ds-05'));
    expect(shape && shape.band[0] < shape.limit && shape.band[1] > shape.limit).toBe(true);
  });
  it('breaks the run where the view is blocked, and only there', () => {
    const shape = sightBarShape(pair('ds-07'));
    expect(shape?.gapFrom).toBeCloseTo((shape?.tick ?? 0) * 0.66, 10);
    expect(sightBarShape(pair('ds-04'))?.gapFrom).toBeNull();
  });
  it('never draws past its own end, however far the pair', () => {
    const shape = sightBarShape({ ...pair('ds-04'), distance: feet(5000) });
    expect(shape && Math.max(shape.tick, ...shape.band)).toBeLessThanOrEqual(1);
  });
  it('brackets how far the handle may move, to the scale of the ruler, and nothing while it does not pass', () => {
    const said = (margin: number, mayMove: string | null) => ({ load: '', target: 'motor' as const, result: '', room: '', seen: '', inView: null, mayMove,
      margin: { load: '', target: 'motor' as const, margin: feet(margin), improves: null, setBy: 'obstacle' as const, entity: null, seen: null } });
    const passing = pair('ds-04'); const { tick, limit, room } = sightBarShape(passing, said(5, "5'-0\""))!;
    expect(room?.map((end) => end - tick)).toEqual([expect.closeTo(-limit / 10, 10), expect.closeTo(limit / 10, 10)]);
    expect(sightBarShape(passing, said(60, "60'-0\""))?.room).toEqual([0, 1]);
    expect([sightBarShape(pair('ds-07'), said(-5, null))?.room, sightBarShape(passing)?.room]).toEqual([null, null]);
  });
  it('shows nothing where the distance is not known', () => {
    expect(sightBarShape({ ...pair('ds-04'), distance: null })).toBeNull();
    expect(sightWords({ ...pair('ds-04'), distance: null }, 'US')).toBe('not placed');
  });
  it('writes a hair beyond the limit as beyond it', () => {
    expect(sightWords({ ...pair('ds-04'), distance: feet(50.005) }, 'US')).not.toContain("50'-0\" of");
  });
});

describe('the plan list', () => {
  it('lists devices before loads before the building, by tag', () => {
    expect(planLines(document, undefined, '').map((l) => l.name)).toEqual(['DS-04', 'DS-05', 'DS-07', 'DS-09', 'DS-11', 'CV-1', 'EF-4', 'M-204', 'P-9', 'P-301', 'P-303', 'T-2', 'press floor', 'wall']);
  });
  it('finds by tag, kind, name or data, every word counting', () => {
    expect(planLines(document, undefined, 'pump').map((l) => l.name)).toEqual(['P-9', 'P-301']);
    expect(planLines(document, undefined, 'disconnect cv-1').map((l) => l.name)).toEqual(['DS-09']);
    expect(planLines(document, undefined, 'nothing like it')).toEqual([]);
  });
  it('says the length of a wall and the heights of an obstruction', () => {
    const line = (id: string) => { const entity = document.entities[id]; return entity ? entityLine(entity, document) : null; };
    expect(line('wall-north')).toBe('90\'-0"');
    expect(line('obstruction-t2')).toBe('obstruction, 0\'-0" to 11\'-0"');
  });
  it('still lists what refers to things that are gone', () => {
    const after = applyEdit(document, removeEntities(document, 'deleted', ['load-cv-1']));
    expect(planLines(after, undefined, '').map((l) => l.line)).toContain('disconnect');
  });
});

describe('findings', () => {
  it('come worst first and keep the order of the audit within a verdict', () => {
    const sorted = worstFirst(audit.results);
    expect(sorted.slice(0, 4).map((r) => r.verdict)).toEqual(['fail', 'incomplete', 'judgement', 'marginal']);
    const passes = audit.results.filter((r) => r.verdict === 'pass').map((r) => r.id);
    expect(sorted.filter((r) => r.verdict === 'pass').map((r) => r.id)).toEqual(passes);
  });
});

describe('the date of an exception', () => {
  it.each([['2026-02-28', true], ['2024-02-29', true], ['2026-02-30', false], ['2026-13-01', false], ['28.02.2026', false], ['', false]])('%j: %s', (text, good) => { expect(isDate(text)).toBe(good); });
});
