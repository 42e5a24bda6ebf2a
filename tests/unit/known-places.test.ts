import { describe, expect, it } from 'vitest';
import { seeingPlaces } from '../../shared-core/advise/index';
import { auditDocument } from '../../shared-core/audit/index';
import { createChecker } from '../../shared-core/checks/index';
import type { PairReport } from '../../shared-core/checks/index';
import { applyEdit, joinScale, readDocument, scaleFromPicks, setDrawingArea, turnPlan } from '../../shared-core/document/index';
import type { Document, Entity, Scale } from '../../shared-core/document/index';
import { feet, sheetUnits } from '../../shared-core/units/index';
import { block, disconnect, exactScale, load, plan, point, rect, wall } from './checks-plan';

// Own reading throughout: the code gives no measuring point. How errors of two places join: JCGM 100:2008, 5.1.2, equation 10.
const only = (document: Document): PairReport => {
  const [pair, ...others] = createChecker(document).checkAll();
  expect(others).toEqual([]);
  return pair!;
};
const within = { within: sheetUnits(2) };

describe('a place that was pointed at from far away', () => {
  it('is off by so much in every distance: what would pass by less is marginal, whichever mark it is', () => {
    const view = (own: object, other: object): PairReport => only(plan([load('M-1', [10, 10, 1], undefined, other), disconnect('DS-1', [58, 10, 1], ['M-1'], own)]));
    expect(view({}, {})).toMatchObject({ verdict: 'pass', uncertainty: 0 });
    for (const [own, other] of [[within, {}], [{}, within], [within, within]] as const) {
      const pair = view(own, other);
      expect(pair).toMatchObject({ verdict: 'marginal', distanceVerdict: 'marginal' });
      expect(pair.uncertainty).toBeCloseTo(Math.SQRT2 * 2, 12);
      expect(pair.result.steps.find((step) => step.quantity === 'uncertainty')?.inputs[0]).toMatchObject({ name: 'u_p', value: 2 });
    }
    expect(view(within, {}).result.remedies[0]).toBe('Zoom in and put DS-1 exactly where it belongs: placed from far away.');
    expect(view(within, within).result.remedies[0]).toContain('DS-1 and M-1 exactly where they belong');
    // Well within the limit it passes all the same, and well beyond it fails.
    expect(only(plan([load('M-1', [10, 10, 1], undefined, within), disconnect('DS-1', [40, 10, 1], ['M-1'])])).verdict).toBe('pass');
    expect(only(plan([load('M-1', [10, 10, 1], undefined, within), disconnect('DS-1', [70, 10, 1], ['M-1'])])).verdict).toBe('fail');
  });

  it('sees past a corner or a thin post only by more than it may be off', () => {
    const past = (y: number, own: object, hiding: Entity): string => only(plan([load('M-1', [10, 10 + y, 1]), disconnect('DS-1', [40, 10 + y, 5], ['M-1'], own), hiding])).viewVerdict;
    const corner = wall('W', [[25, 0], [25, 10]]); const post = block('P', rect(24.9, 9.9, 25.1, 10), 0, 10);
    for (const hiding of [corner, post]) {
      expect([past(1, {}, hiding), past(1, within, hiding), past(2.5, within, hiding)]).toEqual(['pass', 'marginal', 'pass']);
    }
  });

  it('a wall drawn from far away stands in the way from as far off as it may be, whatever the marks; another wall does not', () => {
    const view = (y: number, wallWithin: object, post: object = {}): string => only(plan([load('M-1', [10, 10 + y, 1]), disconnect('DS-1', [40, 10 + y, 5], ['M-1']), wall('W', [[25, 0], [25, 10]], wallWithin), wall('F', [[30, 60], [30, 70]], post)])).viewVerdict;
    expect([view(1, {}), view(1, within), view(1.9, within), view(2.1, within), view(-1, within)]).toEqual(['pass', 'marginal', 'marginal', 'pass', 'fail']);
    expect(view(1, {}, within)).toBe('pass');
  });

  it('counts in the room in front, and in the region that is promised', () => {
    const document = (own: object): Document => plan([load('M-1', [10, 10, 1]), disconnect('DS-1', [20, 10, 5], ['M-1'], { facing: 0, ...own }), wall('W', [[24.5, 0], [24.5, 20]], { face: 'insulated' })], { systems: [{ id: 'system-main', name: '', voltage: 480 as never, phases: 3, wires: 4, voltsToGround: 277 as never }] });
    const depth = (own: object): string | undefined => createChecker(document(own)).placeResultsOf(document(own).entities['disconnect-DS-1'] as never).find((r) => r.check === 'space.depth')?.verdict;
    expect([depth({}), depth(within)]).toEqual(['pass', 'marginal']);
    const area = (own: object): number => { const d = document(own); return seeingPlaces(createChecker(d), d.entities['disconnect-DS-1'] as never).region.squareFeet; };
    expect(area(within)).toBeLessThan(area({}));
  });

  it('what stands opposite or beside, drawn from far away, leaves the room in front unsure by as much; so does the plan itself', () => {
    const systems = { systems: [{ id: 'system-main', name: '', voltage: 480 as never, phases: 3 as const, wires: 4, voltsToGround: 277 as never }] };
    // 277 V to ground and bare brick opposite: 3 1/2 ft deep, 30 in wide (NFPA 70 Table 110.26(A)(1), 110.26(A)(2)).
    const room = (things: readonly Entity[], pick = 0): (string | undefined)[] => {
      const d = plan([load('M-1', [10, 10, 1]), disconnect('DS-1', [20, 10, 5], ['M-1'], { facing: 0, data: { size: { width: feet(1), height: feet(2), depth: feet(0.5) } } }), ...things], systems, { ...exactScale, pickUncertainty: sheetUnits(pick) });
      const results = createChecker(d).placeResultsOf(d.entities['disconnect-DS-1'] as never);
      return ['space.depth', 'space.width'].map((check) => results.find((r) => r.check === check)?.verdict);
    };
    const opposite = (x: number, more: object = {}): Entity => wall('O', [[x, 0], [x, 20]], { face: 'grounded', ...more });
    expect([room([opposite(24)]), room([opposite(24, { within: sheetUnits(1) })]), room([opposite(28, { within: sheetUnits(1) })]), room([opposite(28, { within: sheetUnits(4) })])])
      .toEqual([['pass', 'pass'], ['marginal', 'pass'], ['pass', 'pass'], ['marginal', 'pass']]);
    // Two posts 3 ft apart, half a foot more than is needed.
    const posts = (more: object = {}): Entity[] => [block('A', rect(20.2, 7, 22, 8.5), 0, 7, more), block('B', rect(20.2, 11.5, 22, 13), 0, 7)];
    expect([room(posts()), room(posts({ within: sheetUnits(1) })), room(posts(), 0.2), room(posts(), 0.5)]).toEqual([['pass', 'pass'], ['pass', 'marginal'], ['pass', 'pass'], ['pass', 'marginal']]);
  });

  it('is kept in the project, and a project without it reads as before', () => {
    const document = plan([load('M-1', [10, 10, 1], undefined, within), disconnect('DS-1', [40, 10, 5], ['M-1'])]);
    expect(readDocument(JSON.parse(JSON.stringify(document)))).toEqual({ ok: true, document });
    const wrong = readDocument(JSON.parse(JSON.stringify(document).replace('"within":2', '"within":-2')));
    expect(wrong.ok).toBe(false);
  });
});

describe('a scale that holds in some views of a page only', () => {
  const left = rect(0, 0, 100, 400); const right = rect(200, 0, 400, 400);
  const scaled = (entities: readonly Entity[], areas: Scale['areas']): Document => plan(entities, {}, { ...exactScale, ...(areas ? { areas } : {}) });
  const pair = (from: number, to: number, areas: Scale['areas'] = [left, right]): PairReport => only(scaled([load('M-1', [from, 10, 1]), disconnect('DS-1', [to, 10, 1], ['M-1'])], areas));

  it('gives no distance outside them, nor from one to another', () => {
    expect(pair(10, 40).verdict).toBe('pass');
    expect(pair(90, 110)).toMatchObject({ verdict: 'incomplete', distance: null, result: { missing: ['scale where DS-1 stands'] } });
    expect(pair(110, 130).result.missing).toEqual(['scale where DS-1 stands', 'scale where M-1 stands']);
    expect(pair(80, 210)).toMatchObject({ verdict: 'incomplete', result: { missing: ['one view of the plan that shows both DS-1 and M-1'] } });
    expect(only(scaled([load('M-1', [110, 10, 1]), disconnect('DS-1', [130, 10, 1], ['M-1'])], undefined)).verdict).toBe('pass');
    // A machine that reaches out of the view has no known nearest and farthest point.
    expect(only(scaled([load('M-1', [90, 10, 1], { kind: 'heater' }, { outline: rect(80, 5, 110, 15), bodyTop: feet(3) }), disconnect('DS-1', [60, 10, 1], ['M-1'])], [left])).verdict).toBe('incomplete');
  });

  it('nothing about a place outside them passes by a length, and a finding says what to do', () => {
    const document = scaled([load('M-1', [110, 10, 1]), disconnect('DS-1', [130, 10, 5], ['M-1']), load('M-2', [10, 10, 1]), disconnect('DS-2', [30, 10, 5], ['M-2'])], [left]);
    const results = auditDocument(document).results;
    const about = (tag: string) => results.filter((r) => r.subject.disconnect === `disconnect-${tag}` && /^(sight|space|reach\.access)/.test(r.check));
    expect(about('DS-1').length).toBeGreaterThan(1);
    expect(about('DS-1').map((r) => r.verdict)).toEqual(about('DS-1').map(() => 'incomplete'));
    expect(about('DS-2').some((r) => r.verdict === 'pass')).toBe(true);
    const finding = results.find((r) => r.id === 'data/scale-part/sheet-1');
    expect(finding).toMatchObject({ verdict: 'incomplete', title: 'On sheet Ground floor the scale holds in one part only, and DS-1, M-1 stand outside it: no distance there can be checked' });
    expect(finding?.remedies[0]).toMatch(/sheet of its own/);
  });

  it('promises ground in the view of the load alone', () => {
    const document = scaled([load('M-1', [90, 50, 1]), disconnect('DS-1', [80, 50, 5], ['M-1']), block('B', rect(1, 1, 2, 2), 0, 1)], [left, right]);
    const region = seeingPlaces(createChecker(document), document.entities['disconnect-DS-1'] as never).region;
    expect([region.contains(85, 60), region.contains(99, 50), region.contains(101, 50), region.contains(120, 50)]).toEqual([true, true, false, false]);
    const outside = { ...document, entities: { ...document.entities, 'load-M-1': load('M-1', [150, 50, 1]) } };
    expect(seeingPlaces(createChecker(outside), document.entities['disconnect-DS-1'] as never).region.isEmpty).toBe(true);
  });

  it('keeps its views beside lengths picked in them, and loses them to one picked elsewhere', () => {
    const before: Scale = { ...exactScale, areas: [left] };
    const picked = (x: number): Scale => { const found = scaleFromPicks([{ from: point(x, 10), to: point(x + 50, 10), length: feet(50), typed: "50'" }], sheetUnits(0.5)); if (!found.ok) throw new Error(found.reason); return found.scale; };
    expect(joinScale(before, picked(10)).areas).toEqual([left]);
    expect(joinScale(before, picked(80)).areas).toBeUndefined();
  });

  it('turns and is cropped with the plan, and is read again from the project', () => {
    const base = scaled([load('M-1', [10, 10, 1])], [left]);
    const [sheet] = base.sheets;
    const document: Document = { ...base, sheets: [{ ...sheet!, plan: { blob: 'a'.repeat(64), name: 'p.pdf', media: 'application/pdf', page: 0, width: sheetUnits(400), height: sheetUnits(400) } }] };
    const turned = applyEdit(document, turnPlan(document, 'turned', 'sheet-1', 90, 'along'));
    // A quarter turn clockwise of a square sheet: what was left lies above.
    const box = (d: Document) => { const points = d.sheets[0]!.scale!.areas![0]!; return [Math.min(...points.map((p) => p.x)), Math.min(...points.map((p) => p.y)), Math.max(...points.map((p) => p.x)), Math.max(...points.map((p) => p.y))].map((n) => Math.round(n * 1e6) / 1e6 + 0); };
    expect(box(turned)).toEqual([0, 0, 400, 100]);
    expect(box(applyEdit(document, turnPlan(document, 'turned', 'sheet-1', 90, 'stay')))).toEqual([0, 0, 400, 100]);
    expect(box(applyEdit(document, setDrawingArea(document, 'cropped', 'sheet-1', { minX: 20, minY: 30, maxX: 300, maxY: 300 })))).toEqual([-20, -30, 80, 370]);
    expect(readDocument(JSON.parse(JSON.stringify(document)))).toEqual({ ok: true, document });
  });
});
