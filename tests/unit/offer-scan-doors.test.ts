import { describe, expect, it } from 'vitest';
import { arcsInScan } from '../../shared-core/offer/doors-in-scan';
import { wallsFromScan } from '../../shared-core/offer/index';
import type { Bitmap, WallCandidate } from '../../shared-core/offer/index';
import { inkOfScan } from '../../shared-core/offer/wall-body';

const options = { thickness: [5, 20] as const, shortest: 18, slack: 2 };
const SIZE = 460;
type Place = readonly [number, number];
type Stroke = readonly Place[];

const line = (...points: Place[]): Stroke => points;
/** A quarter circle about a hinge, from one direction to the other, degrees, y down. */
const way = (x: number, y: number, radius: number, from: number, to: number): Stroke =>
  Array.from({ length: 41 }, (_, i) => { const a = ((from + ((to - from) * i) / 40) * Math.PI) / 180; return [x + radius * Math.cos(a), y + radius * Math.sin(a)] as const; });

/** Draws the strokes one picture element wide, turned about the middle. */
function scan(strokes: readonly Stroke[], degrees: number): Bitmap {
  const ink = new Uint8Array(SIZE * SIZE);
  const [cos, sin] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)];
  for (const stroke of strokes) for (let k = 1; k < stroke.length; k++) {
    const [[ax, ay], [bx, by]] = [stroke[k - 1]!, stroke[k]!];
    const steps = Math.ceil(Math.hypot(bx - ax, by - ay) * 2) + 1;
    for (let i = 0; i <= steps; i++) {
      const [u, v] = [ax + ((bx - ax) * i) / steps - SIZE / 2, ay + ((by - ay) * i) / steps - SIZE / 2];
      ink[Math.floor(u * sin + v * cos + SIZE / 2) * SIZE + Math.floor(u * cos - v * sin + SIZE / 2)] = 1;
    }
  }
  return { width: SIZE, height: SIZE, ink };
}

/** A hall with walls 10 thick, parted by a wall at y 200 to 210 whose gap is from 180 to `to`. */
const hall = (to: number): Stroke[] => [
  line([40, 60], [420, 60], [420, 400], [40, 400], [40, 60]),
  line([50, 70], [410, 70], [410, 200], [to, 200], [to, 210], [410, 210], [410, 390], [50, 390], [50, 210], [180, 210], [180, 200], [50, 200], [50, 70]),
];
const doors = (found: readonly WallCandidate[]) => found.flatMap((wall) => (wall.openings ?? []).map((door) => ({ wall, door })));
/** Pieces that lie along the parting wall of a level hall. */
const parting = (found: readonly WallCandidate[]) => found.filter((w) => Math.abs(w.y1 - 205) < 6 && Math.abs(w.y2 - 205) < 6);

describe('doors that a scan shows', () => {
  it.each([
    // Opening up the sheet is left of the way from left to right where y runs down.
    ['left jamb, up', [way(180, 200, 50, 0, -90), line([180, 200], [180, 150])], 'from', 'left'],
    ['left jamb, down', [way(180, 210, 50, 0, 90), line([180, 210], [180, 260])], 'from', 'right'],
    ['right jamb, up', [way(230, 200, 50, 180, 270), line([230, 200], [230, 150])], 'to', 'left'],
    ['right jamb, down', [way(230, 210, 50, 180, 90), line([230, 210], [230, 260])], 'to', 'right'],
    ['left jamb, up, between frames', [way(184, 202, 43, 0, -90), line([184, 202], [184, 159]), line([184, 200], [184, 210]), line([227, 200], [227, 210])], 'from', 'left'],
  ] as const)('a quarter circle with its leaf closes the gap: %s', (_, leaf, hinge, side) => {
    const found = wallsFromScan(scan([...hall(230), ...leaf], 0), options);
    const [only, ...rest] = doors(found);
    expect(rest).toEqual([]);
    expect(parting(found)).toHaveLength(1);
    const turned = only!.wall.x1 > only!.wall.x2;
    const at = (t: number): number => (turned ? only!.wall.x1 - t : only!.wall.x1 + t);
    const [from, to] = [at(only!.door.from), at(only!.door.to)].sort((a, b) => a - b);
    expect(Math.abs(from! - 180)).toBeLessThan(6);
    expect(Math.abs(to! - 230)).toBeLessThan(6);
    const other = { from: 'to', to: 'from', left: 'right', right: 'left' } as const;
    expect(only!.door.swing).toEqual(turned ? { hinge: other[hinge], side: other[side] } : { hinge, side });
  });
  it.each([
    ['left jamb, up', line([180, 200], [215, 165])], ['left jamb, down', line([180, 210], [215, 245])], ['right jamb, up', line([230, 200], [195, 165])], ['right jamb, down', line([230, 210], [195, 245])],
    ['left jamb, at 30 degrees', line([180, 200], [223, 175])], ['left jamb, with its way', [...line([180, 200], [215, 165]), ...way(180, 200, 50, -45, 0)]],
  ] as const)('a leaf that stands open at a slant closes the gap: %s', (_, leaf) => {
    for (const degrees of [0, 2.3]) {
      const found = wallsFromScan(scan([...hall(230), leaf], degrees), options);
      expect(doors(found)).toHaveLength(1);
      expect(Math.abs(doors(found)[0]!.door.to - doors(found)[0]!.door.from - 50)).toBeLessThan(8);
    }
  });
  it.each([2.3, -1.1, 13])('also in a scan that lies %s degrees askew', (degrees) => {
    expect(doors(wallsFromScan(scan([...hall(230), way(180, 200, 50, 0, -90), line([180, 200], [180, 150])], degrees), options))).toHaveLength(1);
  });
  it('two leaves that meet are one door without a swing of its own', () => {
    const leaves = [way(180, 200, 40, 0, -90), line([180, 200], [180, 160]), way(260, 200, 40, 180, 270), line([260, 200], [260, 160])];
    const found = wallsFromScan(scan([...hall(260), ...leaves], 0), options);
    expect(doors(found)).toHaveLength(1);
    expect(doors(found)[0]!.door.swing).toBeUndefined();
    expect(Math.abs(doors(found)[0]!.door.to - doors(found)[0]!.door.from - 80)).toBeLessThan(10);
  });
  it('a gap is looked at once, whichever way its two pieces lean', () => {
    const ink = inkOfScan(scan([...hall(230), way(180, 200, 50, 0, -90), line([180, 200], [180, 150])], 0));
    for (const lean of [0.4, -0.4]) for (const lean2 of [0.4, -0.4]) for (const [a, b, c, d] of [[50, 180, 230, 410], [180, 50, 410, 230], [50, 180, 410, 230], [230, 410, 50, 180]] as const) {
      const walls = [{ x1: a, y1: 205 - lean, x2: b, y2: 205 + lean, thickness: 11 }, { x1: c, y1: 205 - lean2, x2: d, y2: 205 + lean2, thickness: 11 }];
      expect(arcsInScan(ink, walls, options)).toHaveLength(1);
      const turned = inkOfScan(scan([...hall(230), way(180, 200, 50, 0, -90), line([180, 200], [180, 150])], 90));
      expect(arcsInScan(turned, walls.map((w) => ({ ...w, x1: SIZE - w.y1, y1: w.x1, x2: SIZE - w.y2, y2: w.x2 })), options)).toHaveLength(1);
    }
  });
  it.each([
    ['nothing is drawn', []],
    ['a way without a leaf', [way(180, 200, 50, 0, -90)]],
    ['a leaf without a way', [line([180, 200], [180, 150])]],
    ['a whole circle, as a table', [way(205, 170, 25, 0, 360)]],
    ['a straight brace instead of a way', [line([180, 200], [180, 150], [230, 200])]],
    ['a way turned from the gap', [way(180, 200, 50, 180, 270), line([180, 200], [180, 150])]],
    ['a way of half the width', [way(180, 200, 25, 0, -90), line([180, 200], [180, 175])]],
    ['a brace that goes on beyond the leaf', [line([180, 200], [280, 100])]],
    ['a slanting line of half the width', [line([180, 200], [198, 182])]],
    ['a slanting line from the middle of the gap', [line([205, 200], [240, 165])]],
    ['slanting hatching over the place', Array.from({ length: 40 }, (_, i) => line([140 + i * 4, 198], [190 + i * 4, 148]))],
    ['dense hatching over the place', Array.from({ length: 26 }, (_, i) => line([172 + i * 3, 140], [172 + i * 3, 198]))],
  ] as const)('a gap stays a gap where %s', (_, strokes) => {
    const found = wallsFromScan(scan([...hall(230), ...strokes], 0), options);
    expect(doors(found)).toEqual([]);
    expect(parting(found)).toHaveLength(2);
  });
});
