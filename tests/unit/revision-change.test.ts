import { describe, expect, it } from 'vitest';
import { auditDocument } from '../../shared-core/audit/index';
import { compareFindings, compareInk, INK, marksOnFloor, touchedMarks } from '../../shared-core/revision/index';
import type { Finding, Greys } from '../../shared-core/revision/index';
import type { Area, Controller, Machine, Opening, Route } from '../../shared-core/document/index';
import { feet, sheetUnits } from '../../shared-core/units/index';
import { block, disconnect, load, plan, rect, wall } from './checks-plan';
import { at, documentWith, loadOf, sheet, switchOf, tankOf, wallOf } from './tools-workbench';

const finding = (id: string, verdict: Finding['verdict'], more: Partial<Finding> = {}): Finding => ({ id, check: 'sight.motor', subject: {}, verdict, title: id, missing: [], ...more });

describe('which findings a revision changed', () => {
  it('a pass that fails appeared; a failure that passes, or is asked no more, went; worse, other cause and other amount changed', () => {
    const change = compareFindings(
      [finding('a', 'pass'), finding('b', 'fail'), finding('c', 'fail'), finding('d', 'marginal'), finding('e', 'fail', { subject: { others: ['wall-1'] } }), finding('f', 'fail', { margin: { value: -1, unit: 'ft' } }), finding('g', 'fail')],
      [finding('a', 'fail'), finding('b', 'pass'), finding('d', 'fail'), finding('e', 'fail', { subject: { others: ['wall-2'] } }), finding('f', 'fail', { margin: { value: -2, unit: 'ft' } }), finding('g', 'fail', { title: 'other words' }), finding('h', 'incomplete')]);
    expect(change.appeared.map((f) => f.id)).toEqual(['a', 'h']);
    expect(change.went.map((w) => [w.before.id, w.after?.verdict ?? null])).toEqual([['b', 'pass'], ['c', null]]);
    expect(change.changed.map((c) => [c.after.id, c.what])).toEqual([['d', 'verdict'], ['e', 'cause'], ['f', 'amount']]);
  });

  it('told from real audits: a wall moved into the line makes its finding appear, a renamed device makes none', () => {
    const hall = (x: number, tag = 'DS-2') => plan([load('M-2', [10, 10, 1]), { ...disconnect('DS-2', [30, 10, 5], ['M-2']), tag }, wall('W-1', [[x, 2], [x, 18]]), block('T-1', rect(18, 35, 22, 40), 0, 9)]);
    const before = auditDocument(hall(45)).results;
    const moved = compareFindings(before, auditDocument(hall(20)).results);
    expect(moved.appeared.filter((f) => f.check.startsWith('sight.')).map((f) => f.verdict)).toContain('fail');
    const renamed = compareFindings(before, auditDocument(hall(45, 'DS-22')).results);
    expect([renamed.appeared, renamed.went, renamed.changed]).toEqual([[], [], []]);
  });
});

/** A white sheet with black bars: [x, y, width, height] each. */
function drawn(bars: readonly (readonly [number, number, number, number])[], paper = 250, ink = 10): Greys {
  const width = 400; const height = 300;
  const greys = new Uint8Array(width * height).fill(paper);
  for (const [x0, y0, w, h] of bars) for (let y = y0; y < y0 + h; y += 1) greys.fill(ink, y * width + x0, y * width + x0 + w);
  return { width, height, greys };
}
const OPTIONS = { tolerance: 2, cell: 8, dirt: 6 };

describe('what two pictures of one sheet show differently', () => {
  const room = [[20, 20, 300, 4], [20, 20, 4, 200], [20, 216, 300, 4], [316, 20, 4, 200]] as const;
  it('a moved wall is gone in one place and new in the other, and nothing else is', () => {
    const { ink, patches, width } = compareInk(drawn([...room, [120, 24, 4, 192]]), drawn([...room, [160, 24, 4, 192]]), OPTIONS);
    expect(patches).toHaveLength(2);
    expect(patches.map((p) => [p.gone > 0, p.fresh > 0]).sort()).toEqual([[false, true], [true, false]]);
    expect(ink[100 * width + 121]).toBe(INK.gone); expect(ink[100 * width + 161]).toBe(INK.fresh);
    expect(ink[21 * width + 200]).toBe(INK.kept); expect(ink[100 * width + 300]).toBe(INK.none);
  });
  it('a print that is darker, yellowed or on a black ground is the same plan', () => {
    expect(compareInk(drawn(room), drawn(room, 190, 60), OPTIONS).patches).toEqual([]);
    expect(compareInk(drawn(room), drawn(room, 12, 245), OPTIONS).patches).toEqual([]);
    const shaded = drawn(room);
    shaded.greys.forEach((g, i) => { shaded.greys[i] = g * (1 - 0.35 * ((i % 400) / 400)); });
    expect(compareInk(drawn(room), shaded, OPTIONS).patches).toEqual([]);
  });
  it('a line that came out fainter is kept, dirt is left out', () => {
    const faint = drawn(room); const specks = drawn([...room, [200, 100, 2, 2], [50, 260, 1, 3]]);
    faint.greys.forEach((g, i) => { if (g < 100) faint.greys[i] = 190; });
    expect(compareInk(drawn(room), faint, OPTIONS).patches).toEqual([]);
    const dirty = compareInk(drawn(room), specks, OPTIONS);
    expect(dirty.patches).toEqual([]); expect(dirty.cells).toEqual([]);
    expect(dirty.ink.some((i) => i === INK.fresh)).toBe(false);
  });
  it('faint lines that hang together with a dark one are part of the change; a lone faint crease is the paper', () => {
    const next = drawn([...room, [100, 60, 60, 2]]);
    for (let y = 62; y < 120; y += 1) { next.greys[y * 400 + 100] = 200; next.greys[y * 400 + 159] = 200; }
    for (let y = 60; y < 120; y += 1) next.greys[y * 400 + 250] = 205;
    const { patches, ink, width } = compareInk(drawn(room), next, OPTIONS);
    expect(patches).toHaveLength(1);
    expect(patches[0]).toMatchObject({ maxY: 120, gone: 0 });
    expect(ink[100 * width + 100]).toBe(INK.fresh); expect(ink[100 * width + 250]).toBe(INK.kept);
  });
  it('a solid column that was poured, wider than the squares the paper is judged over, is new as a whole', () => {
    const { patches, ink, width } = compareInk(drawn(room), drawn([...room, [100, 60, 150, 120]]), OPTIONS);
    expect(patches).toHaveLength(1);
    expect(ink[120 * width + 175]).toBe(INK.fresh);
  });
  it('refuses pictures of two sizes', () => {
    expect(() => compareInk(drawn(room), { width: 200, height: 600, greys: new Uint8Array(120_000) }, OPTIONS)).toThrow(RangeError);
    expect(() => compareInk(drawn(room), drawn(room), { ...OPTIONS, tolerance: 1.5 })).toThrow(RangeError);
  });
});

describe('marks that the change touched', () => {
  // 10 sheet units a foot.
  const document = documentWith(wallOf('wall-1', [100, 100], [300, 100]), wallOf('wall-2', [700, 600], [900, 600]), tankOf('obstruction-1', 400, 400, 500, 500),
    loadOf('load-1', 'M-1', 600, 100), loadOf('load-2', 'M-2', 600, 700), switchOf('disconnect-1', 'DS-07', 600, 300, ['load-1']), switchOf('disconnect-2', 'DS-08', 600, 760, ['load-2']));
  const square = (x: number, y: number) => ({ x: x - 2, y: y - 2, side: 4, gone: false, fresh: true });

  it('lists what lies within some feet, walls by their whole length and tanks by their edge', () => {
    expect(touchedMarks(document, sheet, [square(200, 125)], feet(3)).map((t) => t.id)).toEqual(['wall-1']);
    expect(touchedMarks(document, sheet, [square(200, 140)], feet(3))).toEqual([]);
    expect(touchedMarks(document, sheet, [square(520, 450)], feet(3)).map((t) => t.id)).toEqual(['obstruction-1']);
    expect(touchedMarks(document, sheet, [square(625, 95)], feet(3))).toMatchObject([{ id: 'load-1', why: { kind: 'near' }, fresh: true, gone: false }]);
  });
  it('new ink across a line of sight touches its disconnect, however far off it stands', () => {
    expect(touchedMarks(document, sheet, [square(600, 200)], feet(3))).toMatchObject([{ id: 'disconnect-1', why: { kind: 'line', load: 'load-1' } }]);
    expect(touchedMarks(document, sheet, [square(608, 200)], feet(3)).map((t) => t.id)).toEqual(['disconnect-1']);
    expect(touchedMarks(document, sheet, [square(616, 200)], feet(3))).toEqual([]);
  });
  it('the line to the driven machine and to the controller counts as the one to the motor', () => {
    const fan: Machine = { kind: 'machine', id: 'machine-1', sheet: sheet.id, tag: 'F-1', name: 'fan', at: at(900, 300), height: feet(3), standing: feet(0) };
    const starter: Controller = { kind: 'controller', id: 'controller-1', sheet: sheet.id, tag: 'C-1', name: 'starter', at: at(300, 300), height: feet(4), standing: feet(0) };
    const driven = documentWith(fan, starter, { ...loadOf('load-1', 'M-1', 600, 100), machine: fan.id, controller: starter.id }, switchOf('disconnect-1', 'DS-07', 600, 300, ['load-1']));
    for (const x of [750, 450]) expect(touchedMarks(driven, sheet, [square(x, 300)], feet(3))).toMatchObject([{ id: 'disconnect-1', why: { kind: 'line', load: 'load-1' } }]);
  });
  it('openings, routes and areas are listed too: a door by its jambs, a route along its way, an area along its edge', () => {
    const door: Opening = { id: 'opening-1', segment: 0, from: sheetUnits(20), to: sheetUnits(50), sill: feet(0), head: feet(7), leaf: 'closed' };
    const route: Route = { kind: 'route', id: 'route-1', sheet: sheet.id, from: 'load-1', to: 'disconnect-1', points: [at(50, 700), at(350, 700)], drops: feet(4) };
    const wet: Area = { kind: 'area', id: 'area-1', sheet: sheet.id, label: 'wash', outline: [at(700, 100), at(950, 100), at(950, 350), at(700, 350)], environments: ['wet'] };
    const more = documentWith({ ...wallOf('wall-1', [100, 100], [300, 100]), openings: [door] }, route, wet);
    const of = (x: number, y: number) => touchedMarks(more, sheet, [square(x, y)], feet(3)).map((t) => [t.id, t.why]);
    expect(of(135, 110)).toEqual([['wall-1', { kind: 'near' }], ['wall-1', { kind: 'opening', opening: 'opening-1' }]]);
    expect(of(250, 110)).toEqual([['wall-1', { kind: 'near' }]]);
    expect(of(200, 705)).toEqual([['route-1', { kind: 'near' }]]);
    expect(of(945, 200)).toEqual([['area-1', { kind: 'near' }]]);
    expect(of(820, 220)).toEqual([]);
    expect(marksOnFloor(more, sheet.id)).toEqual(['wall-1', 'area-1', 'route-1']);
  });
  it('steps down the sheet, then to the right; without change nothing is listed; without a scale only what is hit', () => {
    const squares = [square(620, 700), square(250, 110), square(600, 110), square(800, 600)];
    expect(touchedMarks(document, sheet, squares, feet(3)).map((t) => t.id)).toEqual(['wall-1', 'load-1', 'disconnect-1', 'wall-2', 'load-2']);
    expect(touchedMarks(document, sheet, [], feet(3))).toEqual([]);
    const bare = { ...sheet, scale: null };
    expect(touchedMarks(document, bare, squares, feet(3)).map((t) => t.id)).toEqual(['disconnect-1', 'wall-2']);
  });
  it('where nobody can say what changed, everything on the floor is to be looked over', () => {
    expect(marksOnFloor(document, sheet.id)).toEqual(['wall-1', 'wall-2', 'obstruction-1', 'load-1', 'load-2', 'disconnect-1', 'disconnect-2']);
  });
});
