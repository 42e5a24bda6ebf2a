import { describe, expect, it } from 'vitest';
import { shapesOf, wallsFromLines } from '../../shared-core/offer/index';
import type { PlanPath, WallCandidate } from '../../shared-core/offer/index';

const options = { thickness: [4, 12] as const, shortest: 15, slack: 1 };
const path = (...points: [number, number][]): PlanPath => ({ points, filled: false, layer: 'A-WALL' });
/** A quarter circle about a hinge, from one direction to the other, degrees, y down, in so many chords. */
const arc = (x: number, y: number, radius: number, from: number, to: number, chords = 8): PlanPath => ({
  filled: false, layer: 'A-DOOR',
  points: Array.from({ length: chords + 1 }, (_, i) => { const a = ((from + ((to - from) * i) / chords) * Math.PI) / 180; return [x + radius * Math.cos(a), y + radius * Math.sin(a)] as [number, number]; }),
});
const offered = (paths: readonly PlanPath[]): WallCandidate[] => { const { lines, filled, arcs } = shapesOf(paths, options); return wallsFromLines(lines, options, filled, arcs); };
/** A wall 8 thick along y = 4 with a gap from 100 to 140. */
const GAP = [path([0, 0], [100, 0]), path([0, 8], [100, 8]), path([140, 0], [300, 0]), path([140, 8], [300, 8]), path([100, 0], [100, 8]), path([140, 0], [140, 8])];

describe('doors in offered walls', () => {
  it.each([
    // Hinge at the left jamb, opening up the sheet: left of the way from left to right where y runs down.
    ['left jamb, up', arc(100, 0, 40, 0, -90), 'from', 'left'],
    ['left jamb, down', arc(100, 8, 40, 0, 90), 'from', 'right'],
    ['right jamb, up', arc(140, 0, 40, 180, 270), 'to', 'left'],
    ['right jamb, down', arc(140, 8, 40, 180, 90), 'to', 'right'],
  ])('a quarter circle in a gap makes one wall with a door: %s', (_, way, hinge, side) => {
    const found = offered([...GAP, way]);
    expect(found).toHaveLength(1);
    const wall = found[0]!;
    const turned = wall.x1 > wall.x2;
    expect([wall.x1, wall.x2].sort((a, b) => a - b)).toEqual([0, 300]);
    expect(wall.openings).toHaveLength(1);
    const [door] = wall.openings!;
    expect([door!.from, door!.to].map((t) => (turned ? 300 - t : t)).sort((a, b) => a - b)).toEqual([100, 140]);
    const other = { from: 'to', to: 'from', left: 'right', right: 'left' } as const;
    expect(door!.swing).toEqual(turned ? { hinge: other[hinge as 'from'], side: other[side as 'left'] } : { hinge, side });
  });
  it('a gap without an arc stays a gap, and an arc away from a wall is no door', () => {
    expect(offered(GAP)).toHaveLength(2);
    expect(offered([...GAP, arc(200, 100, 40, 0, 90)]).flatMap((wall) => wall.openings ?? [])).toEqual([]);
    expect(offered([...GAP, arc(120, 4, 20, 0, 360, 32)]).flatMap((wall) => wall.openings ?? [])).toEqual([]);
  });
  const narrow = GAP.map(({ points, ...rest }) => ({ ...rest, points: points.map(([x, y]): [number, number] => [x === 140 ? 132 : x, y]) }));
  it.each([
    ['left jamb, up', 100, 0, 1, -45], ['left jamb, down', 100, 8, 1, 45], ['right jamb, up', 132, 0, -1, -45], ['right jamb, down', 132, 8, -1, 45], ['left jamb, up, at 30 degrees', 100, 0, 1, -30],
  ] as const)('a leaf that stands open at a slant is a door, with or without its way: %s', (_, x, y, way, degrees) => {
    const radians = (degrees * Math.PI) / 180;
    const tip: [number, number] = [x + way * 32 * Math.cos(radians), y + 32 * Math.sin(radians)];
    for (const more of [[], [arc(x, y, 32, way === 1 ? 0 : 180, way === 1 ? degrees : 180 - degrees)]]) {
      const found = offered([...narrow, path([x, y], tip), ...more]);
      expect(found).toHaveLength(1);
      expect(found[0]!.openings).toHaveLength(1);
      expect(found[0]!.openings![0]!.to - found[0]!.openings![0]!.from).toBeCloseTo(32, 6);
      expect(found[0]!.openings![0]!.swing).toBeDefined();
    }
  });
  it.each([
    ['half as long as the gap', [100, 0], [112, -12]], ['square to the wall', [100, 0], [100, -32]], ['nearly along it', [100, 0], [131, -7]],
    ['from the middle of the gap', [116, 0], [139, -23]], ['turned away from the gap', [100, 0], [77, -23]], ['twice as long', [100, 0], [146, -46]],
  ] as const)('a line %s is no leaf', (_, from, to) => {
    expect(offered([...narrow, path([...from], [...to])]).flatMap((wall) => wall.openings ?? [])).toEqual([]);
  });
  it('two leaves that meet are one door without a swing of its own', () => {
    const [wall, ...rest] = offered([...GAP, arc(100, 0, 20, 0, -90), arc(140, 0, 20, 180, 270)]);
    expect(rest).toEqual([]);
    expect(wall!.openings).toHaveLength(1);
    expect(wall!.openings![0]!.to - wall!.openings![0]!.from).toBeCloseTo(40, 6);
    expect(wall!.openings![0]!.swing).toBeUndefined();
  });
  it('a door drawn over a wall that goes on below it is put into the wall', () => {
    const [wall] = offered([path([0, 0], [300, 0]), path([0, 8], [300, 8]), arc(100, 0, 40, 0, -90)]);
    expect(wall!.openings).toHaveLength(1);
    expect(wall!.openings![0]!.to - wall!.openings![0]!.from).toBeCloseTo(40, 6);
  });
  it('a door between the end of a wall and the wall it would meet draws the wall on to it', () => {
    const cross = [path([140, -100], [140, 100]), path([148, -100], [148, 100])];
    const found = offered([path([0, 0], [100, 0]), path([0, 8], [100, 8]), ...cross, arc(100, 0, 40, 0, -90)]);
    const level = found.find((wall) => Math.abs(wall.y1 - wall.y2) < 1e-6)!;
    expect([level.x1, level.x2].sort((a, b) => a - b)).toEqual([0, 144]);
    expect(level.openings![0]!.to - level.openings![0]!.from).toBeCloseTo(40, 6);
  });
});

describe('what is drawn solid in a vector plan', () => {
  const wide = (wall: WallCandidate): number[] => [wall.x1, wall.y1, wall.x2, wall.y2, wall.thickness];
  it('a filled strip is a wall with its middle line and width, whatever corner it starts at', () => {
    const corners: [number, number][] = [[0, 0], [200, 0], [200, 8], [0, 8]];
    for (let start = 0; start < 4; start++) {
      const { filled, lines } = shapesOf([{ points: [...corners.slice(start), ...corners.slice(0, start)], filled: true }], options);
      expect(lines).toEqual([]);
      expect(filled).toHaveLength(1);
      expect([Math.min(filled[0]!.x1, filled[0]!.x2), filled[0]!.y1, Math.max(filled[0]!.x1, filled[0]!.x2), filled[0]!.y2, filled[0]!.thickness]).toEqual([0, 4, 200, 4, 8]);
    }
  });
  it('a line as thick as a wall is one', () => {
    const { filled } = shapesOf([{ points: [[0, 4], [200, 4]], filled: false, width: 8 }], options);
    expect(filled.map(wide)).toEqual([[0, 4, 200, 4, 8]]);
  });
  it('the edges of a filled shape of more corners pair like lines, also the closing edge', () => {
    const bent: [number, number][] = [[0, 0], [200, 0], [200, 200], [192, 200], [192, 8], [0, 8]];
    const { lines, filled } = shapesOf([{ points: bent, filled: true }], options);
    expect(filled).toEqual([]);
    const found = wallsFromLines(lines, options);
    expect(found.map((wall) => Math.round(wall.thickness))).toEqual([8, 8]);
    expect(found.map((wall) => Math.round(Math.hypot(wall.x2 - wall.x1, wall.y2 - wall.y1)))).toEqual([196, 196]);
  });
});
