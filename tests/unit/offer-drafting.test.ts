import { describe, expect, it } from 'vitest';
import { inkOfLines, shapesOf, wallsFromLines } from '../../shared-core/offer/index';
import type { PlanPath, WallCandidate } from '../../shared-core/offer/index';

// What a draughtsman adds to a building, in invented drawings in one pen unless said otherwise. Walls are 8 thick.
const options = { thickness: [4, 12] as const, shortest: 15, slack: 1 };
type Place = readonly [number, number];
const stroke = (x1: number, y1: number, x2: number, y2: number, pen = 'black'): PlanPath => ({ points: [[x1, y1], [x2, y2]], filled: false, pen });
const fill = (...points: readonly Place[]): PlanPath => ({ points: [...points, points[0]!], filled: true });
const box = (x1: number, y1: number, x2: number, y2: number, pen = 'black'): PlanPath[] => [stroke(x1, y1, x2, y1, pen), stroke(x2, y1, x2, y2, pen), stroke(x2, y2, x1, y2, pen), stroke(x1, y2, x1, y1, pen)];
const hall = (pen = 'black'): PlanPath[] => [...box(100, 100, 500, 400, pen), ...box(108, 108, 296, 392, pen), ...box(304, 108, 492, 392, pen)];

function offered(paths: readonly PlanPath[]): WallCandidate[] {
  const { lines, filled, arcs, edges } = shapesOf(paths, options);
  return wallsFromLines(lines, options, filled, arcs, inkOfLines(edges, options.thickness));
}
const places = (found: readonly WallCandidate[]): string[] => found.map((w) => [w.x1, w.y1, w.x2, w.y2].map((n) => Math.round(n)).join(' ')).sort();
const sure = (found: readonly WallCandidate[]): WallCandidate[] => found.filter(({ doubt }) => doubt === undefined);

/** Two chains of dimensions 9 apart, less than a wall, closed by their extension lines; their ends as told. */
function dimensions(end: (x: number, y: number, way: 1 | -1) => PlanPath[]): PlanPath[] {
  const stops = [100, 230, 360, 500];
  const chain = (y: number): PlanPath[] => stops.slice(1).flatMap((x, i) => [stroke(stops[i]!, y, x, y), ...end(stops[i]!, y, -1), ...end(x, y, 1)]);
  return [...chain(50), ...chain(59), ...stops.map((x) => stroke(x, 96, x, 46))];
}

describe('dimension strings a wall apart', () => {
  it('the hall alone has its five walls, none in doubt', () => { expect(sure(offered(hall()))).toHaveLength(5); expect(offered(hall())).toHaveLength(5); });
  it.each([
    ['strokes', (x: number, y: number) => [stroke(x - 2, y + 2, x + 2, y - 2)]],
    ['slender fills', (x: number, y: number) => [fill([x - 2.2, y + 1.8], [x - 1.8, y + 2.2], [x + 2.2, y - 1.8], [x + 1.8, y - 2.2])]],
    ['arrows', (x: number, y: number, way: 1 | -1) => [fill([x, y], [x - way * 5, y - 1], [x - way * 5, y + 1])]],
  ] as const)('with %s at their ends are no walls', (_, end) => {
    expect(places(offered([...hall(), ...dimensions(end)]))).toEqual(places(offered(hall())));
  });
  it('without any mark at their ends they cannot be told: this is what the marks are for', () => {
    expect(offered([...hall(), ...dimensions(() => [])]).length).toBeGreaterThan(5);
  });
  it('a face that a tick marks at its corner stays the face of its wall', () => {
    const found = offered([...hall('walls'), ...dimensions((x, y) => [stroke(x - 2, y + 2, x + 2, y - 2)]), stroke(98, 102, 102, 98), stroke(98, 402, 102, 398)]);
    expect(places(sure(found))).toEqual(places(offered(hall())));
  });
  it('a pair with one face that measures is offered in doubt', () => {
    // In one pen, the tick at the corner of an inner wall takes its face for an extension line.
    const found = offered([...hall(), ...dimensions((x, y) => [stroke(x - 2, y + 2, x + 2, y - 2)]), stroke(294, 110, 298, 106)]);
    const total = (walls: readonly WallCandidate[]): number => Math.round(walls.reduce((sum, { x1, y1, x2, y2 }) => sum + Math.hypot(x2 - x1, y2 - y1), 0));
    expect(total(found)).toBe(total(offered(hall())));
    expect(found.filter(({ doubt }) => doubt === 'measure').length).toBeGreaterThan(0);
    expect(sure(found).length).toBeGreaterThanOrEqual(4);
  });
});

describe('letters drawn as outlines', () => {
  const at = (x: number, y: number, points: readonly Place[]): PlanPath => fill(...points.map(([u, v]): Place => [x + u, y + v]));
  const letter = {
    L: (x: number, y: number) => at(x, y, [[0, 0], [8, 0], [8, 52], [36, 52], [36, 60], [0, 60]]),
    F: (x: number, y: number) => at(x, y, [[0, 0], [36, 0], [36, 8], [8, 8], [8, 26], [30, 26], [30, 34], [8, 34], [8, 60], [0, 60]]),
    N: (x: number, y: number) => at(x, y, [[0, 0], [8, 0], [32, 44], [32, 0], [40, 0], [40, 60], [32, 60], [8, 16], [8, 60], [0, 60]]),
    A: (x: number, y: number) => at(x, y, [[16, 0], [24, 0], [40, 60], [32, 60], [20, 12], [8, 60], [0, 60]]),
  };
  const turned = ({ points, ...rest }: PlanPath): PlanPath => ({ ...rest, points: points.map(([x, y]): Place => [y, -x + 500]) });
  const title = (x: number, y: number): PlanPath[] => [letter.F(x, y), letter.L(x + 46, y), letter.A(x + 92, y), letter.N(x + 142, y)];

  it('are no walls, level or upright, although their strokes are as thick as walls', () => {
    for (const row of [title(150, 200), title(150, 200).map(turned)]) expect(places(offered([...hall(), ...row]))).toEqual(places(offered(hall())));
  });
  it('walls drawn solid that stand in a row and have one height are no letters', () => {
    // Screens between stalls: level and upright edges alone.
    const screens = [150, 190, 230].map((x) => fill([x, 108], [x + 8, 108], [x + 8, 168], [x, 168]));
    expect(offered([...hall(), ...screens]).filter(({ y1, y2, x1, x2 }) => Math.abs(x1 - x2) < 1 && Math.abs(y1 - y2) < 80)).toHaveLength(3);
  });
});

describe('what stands apart from the building', () => {
  it('a scale bar or the rules of a title block are in doubt; a second building is not', () => {
    const rules = [...box(600, 420, 700, 460), ...box(608, 428, 692, 452)];
    const found = offered([...hall(), ...rules]);
    expect(found.filter(({ doubt }) => doubt === 'apart')).toHaveLength(4);
    expect(places(sure(found))).toEqual(places(offered(hall())));
    const second = hall().map(({ points, ...rest }): PlanPath => ({ ...rest, points: points.map(([x, y]): Place => [x + 600, y]) }));
    expect(sure(offered([...hall(), ...second]))).toHaveLength(10);
  });
  it('a sheet of free-standing walls has no outside', () => {
    const walls = [[100, 100], [300, 100], [100, 250], [300, 250], [500, 400]].flatMap(([x, y]) => box(x!, y!, x! + (x === 100 && y === 100 ? 180 : 90), y! + 8));
    expect(offered(walls)).toHaveLength(5);
    expect(sure(offered(walls))).toHaveLength(5);
  });
  it('what stands inside it is not apart, however short', () => {
    const closet = [...box(160, 200, 240, 280), ...box(168, 208, 232, 272)];
    expect(sure(offered([...hall(), ...closet]))).toHaveLength(9);
  });
});

describe('several pens on one sheet', () => {
  it('the pen of the walls chooses the partner of a face: footings and eaves drawn beside a wall take it none', () => {
    // Round the hall an eave 6 outside and a footing line 6 inside its outer walls, each in a pen of its own.
    const around = [...box(94, 94, 506, 406, 'eave'), ...box(114, 114, 290, 386, 'footing'), ...box(310, 114, 486, 386, 'footing')];
    const found = offered([...hall('walls'), ...around]);
    expect(places(sure(found))).toEqual(places(offered(hall())));
    expect(sure(found).every(({ thickness }) => Math.abs(thickness - 8) < 1e-6)).toBe(true);
  });
  it('one edge drawn over with several pens makes no ladder of a short wall', () => {
    const jamb = (y: number): PlanPath[] => ['walls', 'trim', 'floor'].map((pen) => stroke(108, y, 116, y, pen));
    const short = [stroke(200, 108, 200, 140, 'walls'), stroke(208, 108, 208, 140, 'walls'), ...['walls', 'trim', 'floor'].map((pen) => stroke(200, 140, 208, 140, pen)), ...['trim', 'floor'].map((pen) => stroke(200, 108, 208, 108, pen))];
    expect(offered([...hall('walls'), ...short, ...jamb(300)]).some(({ x1, x2, y2, y1 }) => Math.abs(x1 - 204) < 1 && Math.abs(x2 - 204) < 1 && Math.abs(y2 - y1) < 60)).toBe(true);
  });
});
