import { describe, expect, it } from 'vitest';
import { auditDocument } from '../../shared-core/audit/index';
import { VERDICT_ORDER } from '../../shared-core/code-data/index';
import { feet, sheetUnits } from '../../shared-core/units/index';
import { block, disconnect, load, plan, point, rect, wall } from './checks-plan';

describe('audit', () => {
  const document = plan([
    load('M-2', [10, 10, 1]), load('M-10', [10, 20, 1]), load('M-3', [10, 30, 1]), load('M-4', [10, 40, 1], { kind: 'motor' }, { at: null }), load('M-5', [-5, 40, 1]),
    block('T-1', rect(18, 5, 22, 25), 0, 9), disconnect('DS-10', [30, 20, 5], ['M-10']), disconnect('DS-2', [30, 10, 5], ['M-2']), disconnect('DS-9', [5, 5, 5], []),
  ]);
  const audit = auditDocument(document);

  it('names a load that no disconnect serves, one that waits to be placed, one off the sheet, a disconnect that serves nothing', () => {
    const titles = audit.results.map((r) => r.title);
    expect(titles).toEqual(expect.arrayContaining(['No disconnect serves M-3', 'M-4 waits to be placed', 'M-5 lies outside sheet Ground floor', 'DS-9 serves no load']));
  });
  it('puts the worst first, tags in the order people count, the same every time', () => {
    const order = audit.results.map((r) => VERDICT_ORDER.indexOf(r.verdict));
    expect(order).toEqual([...order].sort((a, b) => a - b));
    expect(audit.results.filter((r) => r.check === 'sight.motor').map((r) => r.subject.disconnect)).toEqual(['disconnect-DS-2', 'disconnect-DS-10']);
    expect(auditDocument(document).results.map((r) => r.id)).toEqual(audit.results.map((r) => r.id));
  });
  it('gives each device its worst verdict and counts what it shows', () => {
    expect(audit.deviceVerdicts['disconnect-DS-2']).toBe('fail');
    expect(Object.values(audit.counts).reduce((a, b) => a + b)).toBe(audit.results.length);
  });
  it('result ids are unique', () => { expect(new Set(audit.results.map((r) => r.id)).size).toBe(audit.results.length); });
  it('a sheet without scale is asked for its scale once and every pair is incomplete', () => {
    const without = auditDocument(plan([load('M-2', [10, 10, 1]), disconnect('DS-2', [30, 10, 5], ['M-2'])], {}, null));
    expect(without.results.filter((r) => r.check === 'data.scale')).toHaveLength(1);
    expect(without.pairs[0]?.verdict).toBe('incomplete');
  });
  it('a sheet on which nothing was marked is no proof of sight, until a person says that it is open ground', () => {
    const bare = plan([load('M-2', [10, 10, 1]), disconnect('DS-2', [30, 10, 5], ['M-2'])]);
    expect(auditDocument(bare).results.filter((r) => r.check === 'data.space').map((r) => r.verdict)).toEqual(['incomplete']);
    const said = { ...bare, sheets: bare.sheets.map((s) => ({ ...s, openGround: true })) };
    expect(auditDocument(said).results.filter((r) => r.check === 'data.space')).toEqual([]);
    const marked = plan([load('M-2', [10, 10, 1]), disconnect('DS-2', [30, 10, 5], ['M-2']), block('T-1', rect(18, 35, 22, 40), 0, 9)]);
    expect(auditDocument(marked).results.filter((r) => r.check === 'data.space')).toEqual([]);
  });
  it('asks about a wall or obstruction without height, and an opening past its wall or over another', () => {
    const openings = (from: number, to: number, id = 'a') => ({ id: `opening-${id}`, segment: 0, from: sheetUnits(from), to: sheetUnits(to), sill: feet(0), head: feet(7), leaf: 'none' as const });
    const walled = (...holes: ReturnType<typeof openings>[]): number => auditDocument(plan([wall('W-1', [[0, 0], [40, 0]], { openings: holes })])).results.filter((r) => r.check === 'data.opening').length;
    const scale = plan([]).sheets[0]?.scale?.feetPerUnit ?? 1;
    expect(walled(openings(0, 10 / scale))).toBe(0);
    expect(walled(openings(0, 10 / scale), openings(10 / scale, 20 / scale, 'b'))).toBe(0);
    expect(walled(openings(0, 10 / scale), openings(5 / scale, 20 / scale, 'b'))).toBe(2);
    expect(walled(openings(0, 500 / scale))).toBe(1);
    expect(auditDocument(plan([block('T-1', rect(18, 5, 22, 25), 3, 3)])).results.find((r) => r.check === 'data.height')?.verdict).toBe('incomplete');
  });
  it('nothing passes through an opening past its wall or over another: sight and the way on foot are open questions', () => {
    // A wall 20 ft long between motor and switch, held at its ends by walls that leave no other way; a closed leaf stays opaque.
    const verdicts = (leaf: 'none' | 'normally-open' | 'closed', ...spans: (readonly [number, number])[]): (string | undefined)[] => {
      const openings = spans.map(([from, to], i) => ({ id: `o-${i}`, segment: 0, from: sheetUnits(from), to: sheetUnits(to), sill: feet(0), head: feet(7), leaf }));
      const document = plan([wall('R', [[0, 0], [40, 0], [40, 20], [0, 20], [0, 0]], { thickness: feet(0.5), face: 'grounded' }), wall('P', [[20, 0], [20, 20]], { thickness: feet(0.5), face: 'grounded', openings }),
        load('M', [5, 17, 3]), disconnect('DS', [35, 17, 5], ['M'], { facing: 180 })]);
      const { pairs, results } = auditDocument(document);
      return [pairs[0]?.verdict, results.find((r) => r.check === 'reach.access')?.verdict];
    };
    expect(verdicts('none', [15, 19])).toEqual(['pass', 'pass']);
    for (const spans of [[[15, 23]], [[15, 17.5], [17, 19]], [[-3, 19]]] as const) {
      expect(verdicts('none', ...spans)).toEqual(['incomplete', 'incomplete']);
      expect(verdicts('normally-open', ...spans)).toEqual(['incomplete', 'incomplete']);
      expect(verdicts('closed', ...spans)).toEqual(['fail', 'incomplete']);
    }
    // One that lies wholly beyond the end opens nothing.
    expect(verdicts('none', [21, 25])).toEqual(['fail', 'fail']);
  });
  it('a fault in one check leaves the others standing', () => {
    const broken = auditDocument(plan([block('T', [point(Number.NaN, 0), point(1, 0), point(1, 1)], 0, 3), load('M-2', [10, 10, 1]), disconnect('DS-2', [30, 10, 5], ['M-2']), load('M-3', [1, 1, 1])]));
    expect(broken.pairs[0]?.verdict).toBe('incomplete');
    expect(broken.results.map((r) => r.title)).toContain('No disconnect serves M-3');
  });
});
