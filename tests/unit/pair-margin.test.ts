import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createChecker, sayMargins } from '../../shared-core/checks/index';
import type { PairReport, SaidMargin } from '../../shared-core/checks/index';
import type { Disconnect, Document, Entity } from '../../shared-core/document/index';
import { feet } from '../../shared-core/units/index';
import { auditDocument } from '../../shared-core/audit/index';
import { buildReport } from '../../shared-core/report/index';
import { block, disconnect, exactScale, load, machine, plan, point, rect, wall } from './checks-plan';

// Expected figures are similar triangles, written beside each case; the 50 ft limit is NFPA 70 Art. 100 / 110.29.
const deviceOf = (document: Document): Disconnect => document.entities['disconnect-DS'] as Disconnect;
const said = (document: Document): SaidMargin[] => sayMargins(createChecker(document), deviceOf(document));
const first = (document: Document): SaidMargin => {
  const [one] = said(document);
  if (!one) throw new Error('the device has no pair');
  return one;
};
const tank = rect(6, 8, 14, 12);
const motorWith = (more: Parameters<typeof load>[3]) => load('M', [10, 10, 2], { kind: 'motor' }, more);

describe('how far a handle may move, in words', () => {
  it('while it passes: the room rounded down, what is met first, and the better way', () => {
    // Limit 50 ft from (10, 10): 9.96 ft are left at x = 50.04, 9 ft 11 in. rounded down, never 10.
    expect(first(plan([load('M', [10, 10, 5]), disconnect('DS', [50.04, 10, 5], ['M'])])).room).toBe(`handle may move 9'-11" before it is too far; better to the left on the sheet`);
    const walled = plan([wall('W', [[20, 0], [20, 8]]), load('M', [10, 10, 5]), disconnect('DS', [30, 10, 5], ['M'])]);
    expect(first(walled).room).toMatch(/^handle may move 3'-\d+" before a wall is in the way; better down( to the (left|right))? on the sheet$/);
  });
  it('while it fails: how far it must go at least, rounded up, and where to', () => {
    expect(first(plan([load('M', [10, 10, 5]), disconnect('DS', [70.04, 10, 5], ['M'])])).room).toBe(`handle must move 10'-1" to the left on the sheet to be surely in sight of it`);
    const boxed = plan([wall('W', [[5, 5], [15, 5], [15, 15], [5, 15], [5, 5]], { top: feet(20) }), load('M', [10, 10, 5]), disconnect('DS', [30, 10, 5], ['M'])]);
    const { room, mayMove } = first(boxed);
    expect([room.startsWith('handle must move '), mayMove]).toEqual([true, null]);
    const inside = plan([block('T', rect(9, 9, 11, 11), 0, 20), load('M', [10, 10, 5]), disconnect('DS', [30, 10, 5], ['M'])]);
    expect(first(inside).room).toBe('no place at this handle height is surely in sight of it');
  });
  it('metric projects read in metres', () => {
    expect(first(plan([load('M', [10, 10, 5]), disconnect('DS', [50, 10, 5], ['M'])], { units: 'metric' })).room).toContain('handle may move 3.04 m');
  });
  it('both lines count together: over a low bench the eye line alone would do', () => {
    // Bench top 3 ft between (20..22): the body line from 1 ft to 5 ft is met, the eye line is not; the margin must be negative.
    const benched = plan([block('B', rect(20, 0, 22, 20), 0, 3), load('M', [10, 10, 1]), disconnect('DS', [34, 10, 5], ['M'])]);
    expect(first(benched).margin.margin).toBeLessThan(0);
  });
  it('a motor built into its machine is not hidden by it, nor by what may be above it', () => {
    const built = plan([machine('X', [10, 10, 3], { outline: tank }), load('M', [10, 10, 2], { kind: 'motor' }, { machine: 'machine-X' }), disconnect('DS', [40, 10, 5], ['M'])]);
    const pairs = createChecker(built).pairsOf(deviceOf(built));
    expect(pairs.map((p) => p.verdict)).toEqual(pairs.map(() => 'pass'));
    for (const one of said(built)) expect(one.margin.margin).toBeGreaterThan(0);
  });
  it('is not given where more than the two lines decides, and never contradicts the pair', () => {
    // A machine 60 ft long counts from its nearest point: the pair says judgement, its own place would say too far.
    const long = plan([machine('X', [40, 10, 3], { outline: rect(10, 8, 70, 12), bodyTop: feet(5) }), load('M', [12, 20, 2], { kind: 'motor' }, { machine: 'machine-X' }), disconnect('DS', [2, 20, 5], ['M'])]);
    const one = said(long).find((m) => m.target === 'machine');
    expect(one?.room).toBe('how far the handle may move is not given: more than the two lines decides here');
  });
});

describe('how much of the equipment is in view, in words', () => {
  const seen = (extra: Entity[], more: Parameters<typeof load>[3] = { outline: tank, bodyTop: feet(4) }): string => first(plan([motorWith(more), disconnect('DS', [40, 10, 5], ['M']), ...extra])).seen;
  it('all of it, part of it, nothing of it', () => {
    expect(seen([])).toBe('all of the face of M is in plain view');
    // Looked at along x, the face is x = 14, y 8..12, height 0..4. A post at x = 27 half way (13 of 26 ft) from y = 9.5 to 10.5 hides 2 of its 4 ft.
    expect(seen([block('P', rect(27, 9.5, 27.0001, 10.5), 0, 20)])).toBe('about 50 % of the face of M is in plain view');
    expect(seen([wall('W', [[27, 0], [27, 20]])])).toBe('nothing of M is in plain view');
    // A wall 2.5 ft high half way hides what the line from 5 ft over its top meets below 0 ft: nothing. 3.5 ft high: below 2 ft, a half.
    expect(seen([wall('W', [[27, 0], [27, 20]], { top: feet(3.5) })])).toBe('about 50 % of the face of M is in plain view');
  });
  it('says the same in few words for a drawing, and nothing where the sentence says it is not given', () => {
    const short = (extra: Entity[], more: Parameters<typeof load>[3] = { outline: tank, bodyTop: feet(4) }): string | null => first(plan([motorWith(more), disconnect('DS', [40, 10, 5], ['M']), ...extra])).inView;
    expect([short([]), short([block('P', rect(27, 9.5, 27.0001, 10.5), 0, 20)]), short([wall('W', [[27, 0], [27, 20]])]), short([], {})]).toEqual(['all in view', '50 % in view', 'nothing in view', null]);
  });
  it('is not given without outline or top, and glass counts as in the way', () => {
    expect(seen([], {})).toBe('how much of M is in view is not given: that takes its outline and its top');
    expect(seen([], { outline: tank })).toBe('how much of M is in view is not given: that takes its outline and its top');
    expect(first(plan([motorWith({ outline: tank, bodyTop: feet(4) }), disconnect('DS', [40, 10, 5], ['M']), wall('G', [[27, 9.5], [27, 10.5]], { material: 'glazed' })])).seen).toBe('about 50 % of the face of M is in plain view');
  });
  it('a flat body, a body without width and a handle on its face say nothing and stop nothing', () => {
    expect(seen([], { outline: tank, bodyTop: feet(0) })).toContain('not given');
    expect(seen([], { outline: [point(10, 10), point(10, 10), point(10, 10)], bodyTop: feet(4) })).toContain('not given');
    expect(first(plan([motorWith({ outline: tank, bodyTop: feet(4) }), disconnect('DS', [14, 10, 2], ['M'])])).seen).toContain('not given');
  });
});

const near = fc.integer({ min: 0, max: 160 }).map((n) => n / 4);
const stands = fc.record({ x: near, y: near, w: fc.integer({ min: 1, max: 9 }), d: fc.integer({ min: 1, max: 9 }), top: fc.integer({ min: 2, max: 9 }), glazed: fc.boolean() });
const scene = fc.record({ blocks: fc.array(stands, { maxLength: 5 }), walls: fc.array(fc.tuple(near, near, near, near), { maxLength: 3 }), at: fc.tuple(near, near), handle: fc.tuple(near, near), sized: fc.boolean() })
  .map(({ blocks, walls, at, handle, sized }) => plan([
    ...blocks.map((b, i) => block(`B${i}`, rect(b.x, b.y, b.x + b.w, b.y + b.d), 0, b.top, { material: b.glazed ? 'glazed' : 'opaque' })),
    ...walls.filter(([a, b, c, d]) => a !== c || b !== d).map(([a, b, c, d], i) => wall(`W${i}`, [[a, b], [c, d]])),
    load('M', [at[0], at[1], 2], { kind: 'motor' }, sized ? { outline: rect(at[0] - 1, at[1] - 1, at[0] + 1, at[1] + 1), bodyTop: feet(4) } : {}), disconnect('DS', [handle[0], handle[1], 4.5], ['M']),
  ], {}, exactScale));
const passes = (pair: PairReport | undefined): boolean => pair?.viewVerdict === 'pass' && pair.distanceVerdict === 'pass';

describe('a margin is what happens when the handle is moved', () => {
  it('within it no direction changes the pair, and its sign is the pair', () => {
    fc.assert(fc.property(scene, (document) => {
      const checker = createChecker(document); const device = deviceOf(document);
      const [pair] = checker.pairsOf(device); const [one] = checker.marginsOf(device);
      if (!one || !pair) throw new Error('no pair');
      // On the very edge of what passes the verdict is the exact test's, and the margin is nothing either way.
      if (Math.abs(one.margin) < 1e-9) return;
      expect(one.margin > 0).toBe(passes(pair));
      if (!Number.isFinite(one.margin)) return;
      const reach = Math.abs(one.margin) * (1 - 1e-6) - 1e-9;
      for (let k = 0; k < 16 && reach > 0; k += 1) {
        const angle = (k / 16) * 2 * Math.PI;
        const [moved] = checker.pairsOf({ ...device, at: point(device.at.x + reach * Math.cos(angle), device.at.y + reach * Math.sin(angle)) });
        expect(passes(moved)).toBe(passes(pair));
      }
    }), { numRuns: 400 });
  });
  it('a share in view lies between none and all', () => {
    fc.assert(fc.property(scene, (document) => {
      for (const { seen } of createChecker(document).marginsOf(deviceOf(document))) if (seen !== null) { expect(seen).toBeGreaterThanOrEqual(0); expect(seen).toBeLessThanOrEqual(1); }
    }), { numRuns: 200 });
  });
});

describe('what is handed over says it beside the finding', () => {
  it('in the findings and in the schedule, and never as a verdict', () => {
    const document = plan([wall('W', [[27, 0], [27, 20]]), motorWith({ outline: tank, bodyTop: feet(4) }), disconnect('DS', [40, 10, 5], ['M']), load('N', [50, 10, 2]), disconnect('DS-2', [60, 10, 5], ['N'])]);
    const report = buildReport(document, auditDocument(document), { date: '2026-01-05' });
    const sight = report.findings.filter((f) => f.result.check.startsWith('sight.'));
    expect(sight.map((f) => f.note)).toEqual([expect.stringMatching(/^handle must move .*; nothing of M is in plain view$/)]);
    expect(report.findings.filter((f) => !f.result.check.startsWith('sight.') && f.note !== '')).toEqual([]);
    expect(report.schedule.map((r) => r.handleRoom)).toEqual(['', expect.stringMatching(/^\d+'-\d+"$/)]);
    expect(report.findings.map((f) => f.result)).toEqual(auditDocument(document).results.filter((r) => r.verdict !== 'pass'));
  });
});
