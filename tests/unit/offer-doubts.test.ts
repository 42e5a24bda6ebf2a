import { describe, expect, it } from 'vitest';
import { byDoubt, inkOfLines, newOffer, shapesOf, wallsFromLines, wallsFromScan } from '../../shared-core/offer/index';
import type { PlanLine, PlanPath, WallCandidate } from '../../shared-core/offer/index';
import { bitmapOf } from '../../main/exchange/scan-bitmap';
import { documentWith, sheet } from './tools-workbench';

// All drawings here are invented. Sheet units; walls are 8 thick.
const options = { thickness: [4, 12] as const, shortest: 15, slack: 2 };
type Pen = 'walls' | 'rails';
const line = (pen: Pen, x1: number, y1: number, x2: number, y2: number): PlanLine => ({ x1, y1, x2, y2, pen });
const box = (pen: Pen, x1: number, y1: number, x2: number, y2: number): PlanLine[] => [line(pen, x1, y1, x2, y1), line(pen, x2, y1, x2, y2), line(pen, x2, y2, x1, y2), line(pen, x1, y2, x1, y1)];
/** A hall with an inner wall, all in the pen of the walls. */
const hall = [...box('walls', 100, 100, 500, 400), ...box('walls', 108, 108, 296, 392), ...box('walls', 304, 108, 492, 392)];
const lengthOf = ({ x1, y1, x2, y2 }: WallCandidate): number => Math.hypot(x2 - x1, y2 - y1);
const doubted = (found: readonly WallCandidate[]): string[] => found.filter((w) => w.doubt !== undefined).map((w) => `${w.doubt ?? ''} ${[w.x1, w.y1, w.x2, w.y2].map((n) => Math.round(n)).join(' ')}`).sort();
const length = (found: readonly WallCandidate[], isDoubted: boolean): number => Math.round(found.filter((w) => (w.doubt !== undefined) === isDoubted).reduce((sum, w) => sum + lengthOf(w), 0));

/** The drawing as a picture in colour, walls green and rails blue; in black throughout when told so. */
function picture(lines: readonly PlanLine[], inBlack = false): ReturnType<typeof bitmapOf>['bitmap'] {
  const [width, height] = [620, 520];
  const data = new Uint8Array(width * height * 3).fill(255);
  for (const { x1, y1, x2, y2, pen } of lines) {
    const steps = Math.ceil(Math.hypot(x2 - x1, y2 - y1) * 2);
    for (let i = 0; i <= steps; i++) {
      const at = (Math.floor(y1 + ((y2 - y1) * i) / steps) * width + Math.floor(x1 + ((x2 - x1) * i) / steps)) * 3;
      data.set(inBlack ? [0, 0, 0] : pen === 'walls' ? [0, 200, 40] : [40, 40, 230], at);
    }
  }
  return bitmapOf(data, { width, height, channels: 3 }).bitmap;
}

describe('what is drawn with another pen than the walls', () => {
  // A parapet before the hall, between two short walls.
  const parapet = [line('rails', 100, 40, 500, 40), line('rails', 100, 48, 500, 48), ...box('walls', 100, 40, 108, 100), ...box('walls', 492, 40, 500, 100)];

  it('a parapet is offered in doubt, the walls are not', () => {
    const found = wallsFromLines([...hall, ...parapet], options);
    expect(doubted(found)).toEqual(['pen 100 44 500 44']);
    expect(length(found, false)).toBeGreaterThan(1600);
  });
  it('the same in a picture in colour; in black nobody can tell, and nothing is in doubt', () => {
    const found = wallsFromScan(picture([...hall, ...parapet]), options);
    expect(doubted(found)).toHaveLength(1);
    expect(length(found, true)).toBeGreaterThan(370);
    expect(length(found, true)).toBeLessThan(410);
    const inBlack = wallsFromScan(picture([...hall, ...parapet], true), options);
    expect(doubted(inBlack)).toEqual([]);
    expect(length(inBlack, false)).toBeGreaterThanOrEqual(length(found, false) + length(found, true) - 20);
  });
  it('a wall is parted where another pen takes over, and nothing of it is lost', () => {
    const front = [...box('walls', 100, 40, 220, 48), line('rails', 220, 40, 380, 40), line('rails', 220, 48, 380, 48), ...box('walls', 380, 40, 500, 48), ...box('walls', 100, 40, 108, 100)];
    const found = wallsFromLines([...hall, ...front], options);
    const [rail, ...rest] = found.filter((w) => w.doubt !== undefined);
    expect(rest).toEqual([]);
    // Within the width of a line.
    for (const [at, wanted] of [[rail!.x1, 220], [rail!.x2, 380]] as const) expect(Math.abs(at - wanted)).toBeLessThan(1);
    expect(found.filter((w) => Math.round(w.y1) === 44 && Math.round(w.y2) === 44).reduce((sum, w) => sum + lengthOf(w), 0)).toBeGreaterThan(390);
  });
  it('one face in the pen of the walls is enough, and so is a second pen that draws half as many of them', () => {
    const half = [line('walls', 100, 40, 500, 40), line('rails', 100, 48, 500, 48), ...box('walls', 100, 40, 108, 100)];
    expect(doubted(wallsFromLines([...hall, ...half], options))).toEqual([]);
    const partitions = [150, 200, 250, 350, 400, 450].flatMap((x) => [line('rails', x, 108, x, 392), line('rails', x + 6, 108, x + 6, 392)]);
    expect(doubted(wallsFromLines([...hall, ...partitions], options))).toEqual([]);
  });
  it('a strip drawn solid is a wall, however rare; hollow pairs among solid walls are in doubt', () => {
    const asPaths = (lines: readonly PlanLine[]): PlanPath[] => lines.map(({ x1, y1, x2, y2, pen }) => ({ points: [[x1, y1], [x2, y2]], filled: false, ...(pen === undefined ? {} : { pen }) }));
    const solid = (x1: number, y1: number, x2: number, y2: number): PlanPath => ({ points: [[x1, y1], [x2, y1], [x2, y2], [x1, y2], [x1, y1]], filled: true });
    const offered = (paths: readonly PlanPath[]): WallCandidate[] => { const { lines, filled, arcs, edges } = shapesOf(paths, options); return wallsFromLines(lines, options, filled, arcs, inkOfLines(edges, options.thickness)); };
    expect(doubted(offered([...asPaths(hall), solid(196, 108, 204, 392)]))).toEqual([]);
    const shell = [solid(100, 100, 500, 108), solid(100, 392, 500, 400), solid(100, 108, 108, 392), solid(492, 108, 500, 392)];
    expect(doubted(offered([...shell, ...asPaths([line('walls', 296, 108, 296, 392), line('walls', 304, 108, 304, 392)])]))).toEqual(['pen 300 104 300 396']);
  });
});

describe('the edge of a balcony', () => {
  // One pen throughout. A parapet 8 thick, tiles behind it, and sliding panes in a front 3 thick; party walls at both ends.
  const tiles = Array.from({ length: 13 }, (_, i) => line('walls', 130 + 28 * i, 48, 130 + 28 * i, 97));
  const panes = [line('walls', 108, 97, 492, 97), line('walls', 108, 100, 492, 100), ...Array.from({ length: 8 }, (_, i) => line('walls', 108 + 48 * i, i % 2 === 0 ? 98 : 99, 156 + 48 * i, i % 2 === 0 ? 98 : 99))];
  const rail = [line('walls', 100, 40, 500, 40), line('walls', 108, 48, 492, 48)];
  const sides = [line('walls', 100, 40, 100, 400), line('walls', 108, 48, 108, 392), line('walls', 500, 40, 500, 400), line('walls', 492, 48, 492, 392), line('walls', 100, 400, 500, 400), line('walls', 108, 392, 492, 392)];
  const flat = [...sides, ...rail, ...panes, ...tiles];

  it('is in doubt on a sheet in one pen: open ground before it, a glazed front behind', () => {
    expect(doubted(wallsFromLines(flat, options))).toEqual(['edge 104 44 496 44']);
    expect(doubted(wallsFromScan(picture(flat, true), options)).filter((one) => one.startsWith('edge'))).toHaveLength(1);
  });
  it('a corridor along an outer wall is none: behind it stand a wall or a thin partition of two lines', () => {
    const wall = [line('walls', 108, 92, 492, 92), line('walls', 108, 100, 492, 100)];
    const partition = [line('walls', 108, 97, 492, 97), line('walls', 108, 100, 492, 100)];
    for (const front of [wall, partition]) expect(doubted(wallsFromLines([...sides, ...rail, ...front], options))).toEqual([]);
  });
  it('of a long front only the bays with a balcony are in doubt', () => {
    // To the right the same front goes on before a room, without panes behind it.
    const room = [line('walls', 500, 40, 900, 40), line('walls', 500, 48, 892, 48), line('walls', 900, 40, 900, 400), line('walls', 892, 48, 892, 392), line('walls', 500, 400, 900, 400), line('walls', 500, 392, 892, 392)];
    const found = wallsFromLines([...flat, ...room], options);
    expect(doubted(found)).toEqual(['edge 104 44 496 44']);
    expect(found.filter(({ doubt, y1, y2 }) => doubt === undefined && Math.round(y1) === 44 && Math.round(y2) === 44).reduce((sum, w) => sum + lengthOf(w), 0)).toBeGreaterThan(390);
  });
  it('what has rooms on both sides is none', () => {
    const room = [line('walls', 100, -40, 100, 40), line('walls', 108, -32, 108, 40), line('walls', 500, -40, 500, 40), line('walls', 492, -32, 492, 40), line('walls', 100, -40, 500, -40), line('walls', 108, -32, 492, -32)];
    expect(doubted(wallsFromLines([...flat, ...room], options))).toEqual([]);
  });
});

it('the doubted are kept apart in the offer, by why', () => {
  const wall = (y: number, doubt?: 'pen' | 'edge'): WallCandidate => ({ x1: 100, y1: y, x2: 300, y2: y, thickness: 8, ...(doubt ? { doubt } : {}) });
  const offer = newOffer(sheet, [wall(100), wall(200, 'edge'), wall(300, 'pen'), wall(400)], documentWith());
  expect(byDoubt(offer, [0, 1, 2, 3])).toEqual({ sure: [0, 3], doubted: [{ doubt: 'pen', which: [2] }, { doubt: 'edge', which: [1] }] });
  expect(byDoubt(offer, [0, 3]).doubted).toEqual([]);
});
