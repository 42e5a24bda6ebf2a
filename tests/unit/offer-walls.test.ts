import { describe, expect, it } from 'vitest';
import { mainDirections, wallsFromLines, wallsFromScan } from '../../shared-core/offer/index';
import type { Bitmap, PlanLine } from '../../shared-core/offer/index';
import { linesFromScan } from '../../shared-core/offer/lines-from-scan';

const options = { thickness: [4, 12] as const, shortest: 15, slack: 2 };
const line = (x1: number, y1: number, x2: number, y2: number): PlanLine => ({ x1, y1, x2, y2 });

/** Draws each line one picture element wide, turned about the middle by so many degrees. */
function scan(lines: readonly PlanLine[], degrees = 0, size = 400): Bitmap {
  const ink = new Uint8Array(size * size);
  const [cos, sin] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)];
  for (const { x1, y1, x2, y2 } of lines) {
    const steps = Math.ceil(Math.hypot(x2 - x1, y2 - y1) * 2);
    for (let i = 0; i <= steps; i++) {
      const [u, v] = [x1 + ((x2 - x1) * i) / steps - size / 2, y1 + ((y2 - y1) * i) / steps - size / 2];
      const [x, y] = [Math.floor(u * cos - v * sin + size / 2), Math.floor(u * sin + v * cos + size / 2)];
      if (x >= 0 && y >= 0 && x < size && y < size) ink[y * size + x] = 1;
    }
  }
  return { width: size, height: size, ink };
}

describe('walls offered from lines', () => {
  it('two faces make one wall with the centre line and thickness between them', () => {
    const [wall, ...rest] = wallsFromLines([line(0, 0, 100, 0), line(10, 8, 90, 8)], options);
    expect(rest).toEqual([]);
    expect([wall!.x1, wall!.y1, wall!.x2, wall!.y2, wall!.thickness].map((n) => Math.round(n * 1e6) / 1e6)).toEqual([10, 4, 90, 4, 8]);
  });
  it('lines that are alone, too near, too far or not parallel make none', () => {
    expect(wallsFromLines([line(0, 0, 100, 0)], options)).toEqual([]);
    expect(wallsFromLines([line(0, 0, 100, 0), line(0, 2, 100, 2)], options)).toEqual([]);
    expect(wallsFromLines([line(0, 0, 100, 0), line(0, 20, 100, 20)], options)).toEqual([]);
    expect(wallsFromLines([line(0, 0, 100, 0), line(0, 6, 100, 16)], options)).toEqual([]);
  });
  it('a face goes with its nearest partner and not with a second one', () => {
    expect(wallsFromLines([line(0, 0, 100, 0), line(0, 5, 100, 5), line(0, 11, 100, 11)], options).filter((wall) => wall.thickness > 5.5 && wall.thickness < 6.5)).toHaveLength(0);
  });
  it('a gap in one face parts the wall', () => {
    expect(wallsFromLines([line(0, 0, 40, 0), line(60, 0, 100, 0), line(0, 8, 100, 8)], options).map((wall) => Math.round(Math.hypot(wall.x2 - wall.x1, wall.y2 - wall.y1)))).toEqual([40, 40]);
  });
  it('a turned room has the walls of the level one', () => {
    const lines = [line(0, 0, 100, 0), line(0, 8, 100, 8), line(0, 0, 0, 8), line(100, 0, 100, 8)];
    for (const degrees of [13, 45, 90, 171]) {
      const [cos, sin] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)];
      const turned = lines.map(({ x1, y1, x2, y2 }) => line(x1 * cos - y1 * sin, x1 * sin + y1 * cos, x2 * cos - y2 * sin, x2 * sin + y2 * cos));
      const found = wallsFromLines(turned, options);
      expect(found).toHaveLength(1);
      expect(found[0]!.thickness).toBeCloseTo(8, 6);
    }
  });
});

describe('what is no wall', () => {
  const face = (x1: number, y1: number, x2: number, y2: number, layer?: string): PlanLine => ({ x1, y1, x2, y2, ...(layer === undefined ? {} : { layer }) });
  /** A hall of four walls, 8 thick. */
  const hall = [face(0, 0, 400, 0), face(8, 8, 392, 8), face(0, 300, 400, 300), face(8, 292, 392, 292), face(0, 0, 0, 300), face(8, 8, 8, 292), face(400, 0, 400, 300), face(392, 8, 392, 292)];
  const places = (lines: readonly PlanLine[]): string[] => wallsFromLines(lines, options).map((w) => [w.x1, w.y1, w.x2, w.y2].map((n) => Math.round(n)).join(' ')).sort();

  it('walls that meet are drawn on to the corner, so that no view opens through it', () => {
    const found = wallsFromLines(hall, options);
    expect(found).toHaveLength(4);
    for (const wall of found) {
      const ends = [[wall.x1, wall.y1], [wall.x2, wall.y2]];
      for (const [x, y] of ends) expect(found.filter((other) => other !== wall && [[other.x1, other.y1], [other.x2, other.y2]].some(([u, v]) => Math.hypot(u! - x!, v! - y!) < 1e-6))).toHaveLength(1);
    }
  });
  it('an inner wall is drawn on into the wall it meets, and a wall it crosses stays whole', () => {
    const inner = [face(100, 8, 100, 292), face(108, 8, 108, 292)];
    const [left, right] = [face(8, 150, 100, 150), face(8, 158, 100, 158)];
    const beyond = [face(108, 150, 392, 150), face(108, 158, 392, 158)];
    const found = wallsFromLines([...hall, ...inner, left, right, ...beyond], options);
    expect(found).toHaveLength(6);
    expect(found.some((w) => Math.abs(w.x1 - 104) < 1e-6 && Math.abs(w.x2 - 104) < 1e-6 && Math.abs(Math.abs(w.y2 - w.y1) - 292) < 1e-6)).toBe(true);
    expect(found.some((w) => Math.abs(w.y1 - 154) < 1e-6 && Math.abs(Math.abs(w.x2 - w.x1) - 392) < 1e-6)).toBe(true);
  });
  it('tiles, treads and hatching repeat: evenly spaced parallels are not offered', () => {
    const treads = Array.from({ length: 8 }, (_, i) => face(100 + 9 * i, 100, 100 + 9 * i, 180));
    expect(places([...hall, ...treads])).toEqual(places(hall));
  });
  it('a ladder is no wall: lines across the inside of a pair rule it out', () => {
    const sides = [face(100, 100, 300, 100), face(100, 108, 300, 108)];
    const rungs = Array.from({ length: 20 }, (_, i) => face(105 + 10 * i, 95, 105 + 10 * i, 113));
    expect(places([...hall, ...sides, ...rungs])).toEqual(places(hall));
  });
  it('a short pair that stands alone is furniture, unless its layer is named for walls', () => {
    const bench = (layer?: string): PlanLine[] => [face(150, 150, 180, 150, layer), face(150, 158, 180, 158, layer)];
    expect(places([...hall, ...bench()])).toEqual(places(hall));
    expect(places([...hall, face(150, 150, 240, 150, 'x$0$A-WALL'), face(150, 161, 240, 161, 'x$0$A-WALL')])).toHaveLength(5);
  });
  it('the thickness the building is built in chooses the partner of a face, not what lies nearest', () => {
    // A cupboard front stands 5 off the wall's face; the wall is 8 thick as all the others.
    expect(places([...hall, face(50, 13, 350, 13)])).toEqual(places(hall));
  });
});

describe('two things beside each other are no wall', () => {
  const box = (x1: number, y1: number, x2: number, y2: number): PlanLine[] => [line(x1, y1, x2, y1), line(x2, y1, x2, y2), line(x2, y2, x1, y2), line(x1, y2, x1, y1)];
  /** A hall, walls 8 thick and drawn as two closed rings, with an inner wall; every wall ends in another. */
  const hall = [...box(0, 0, 400, 300), line(8, 8, 200, 8), line(208, 8, 392, 8), line(392, 8, 392, 292), line(392, 292, 208, 292), line(200, 292, 8, 292), line(8, 292, 8, 8), line(200, 8, 200, 292), line(208, 8, 208, 292)];
  const places = (lines: readonly PlanLine[]): string[] => wallsFromLines(lines, options).map((w) => [w.x1, w.y1, w.x2, w.y2].map((n) => Math.round(n)).join(' ')).sort();
  const drawn = (lines: readonly PlanLine[], degrees: number): { total: number; among: (x: number, y: number) => boolean } => {
    const found = wallsFromScan(scan(lines.map(({ x1, y1, x2, y2 }) => line(x1 * 0.8 + 40, y1 * 0.8 + 80, x2 * 0.8 + 40, y2 * 0.8 + 80)), degrees), { ...options, slack: 1.5 });
    const [cos, sin] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)];
    return {
      total: found.reduce((sum, w) => sum + Math.hypot(w.x2 - w.x1, w.y2 - w.y1), 0) / 0.8,
      among: (px, py) => {
        const [u, v] = [px * 0.8 + 40 - 200, py * 0.8 + 80 - 200];
        const [x, y] = [u * cos - v * sin + 200, u * sin + v * cos + 200];
        return found.some((w) => { const l = Math.hypot(w.x2 - w.x1, w.y2 - w.y1); const t = ((x - w.x1) * (w.x2 - w.x1) + (y - w.y1) * (w.y2 - w.y1)) / l; return t >= 0 && t <= l && Math.abs((x - w.x1) * (w.y2 - w.y1) - (y - w.y1) * (w.x2 - w.x1)) / l <= 3; });
      },
    };
  };

  it('the hall alone has its five walls', () => {
    expect(places(hall)).toHaveLength(5);
    expect(drawn(hall, 0).total).toBeGreaterThan(1500);
  });
  it('the gap between two chairs, one end at a wall, the other open to the room', () => {
    const chairs = [...box(8, 100, 58, 150), ...box(8, 158, 58, 208)];
    expect(places([...hall, ...chairs])).toEqual(places(hall));
    for (const degrees of [0, 2.3]) expect(drawn([...hall, ...chairs], degrees).among(35, 154)).toBe(false);
  });
  it('a bench before a thin partition: the partition lies between its back and the room beyond', () => {
    // A partition 3 thick is thinner than the walls looked for; its far face and the bench are a wall's thickness apart.
    const partition = [line(100, 8, 100, 292), line(103, 8, 103, 292)];
    const bench = box(108, 100, 140, 180);
    expect(places([...hall, ...partition, ...bench])).toEqual(places(hall));
  });
  it('a grid line in the middle of a wall parts nothing, whole or in dashes', () => {
    const grid = [line(204, -60, 204, 360)];
    const thicker = { ...options, thickness: [5, 12] as const };
    expect(wallsFromLines([...hall, ...grid], thicker)).toEqual(wallsFromLines(hall, thicker));
    const dashes = Array.from({ length: 14 }, (_, i) => line(204, 10 + i * 20, 204, 24 + i * 20));
    expect(wallsFromLines([...hall, ...dashes], thicker)).toEqual(wallsFromLines(hall, thicker));
    expect(drawn([...hall, ...dashes], 0).among(204, 150)).toBe(true);
  });
  it('walls drawn in layers stay, where most walls of the sheet are', () => {
    const cores = [line(3, 3, 397, 3), line(397, 3, 397, 297), line(397, 297, 3, 297), line(3, 297, 3, 3), line(203, 8, 203, 292)];
    expect(places([...hall, ...cores])).toHaveLength(5);
  });
  it('where walls of a sheet end openly, an open end says nothing', () => {
    // Four free-standing walls without a line across their ends.
    const open = Array.from({ length: 4 }, (_, i) => [line(50, 50 + 60 * i, 250, 50 + 60 * i), line(50, 58 + 60 * i, 250, 58 + 60 * i)]).flat();
    const short = [line(300, 50, 360, 50), line(300, 58, 360, 58)];
    expect(places([...open, ...short])).toHaveLength(5);
  });
  it('on a crowded sheet a short piece is a wall where it goes on from a longer one, and not where it ends in the room', () => {
    // Boxes of a thickness no wall has make the sheet crowded; both short pieces are as thick as the walls and 4 times as long.
    const clutter = Array.from({ length: 4 }, (_, i) => box(30 + 40 * i, 20, 41 + 40 * i, 90)).flat();
    const inner = [...box(200, 8, 208, 150), ...box(200, 190, 208, 222)];
    const hollow = [...box(0, 0, 400, 300), ...box(8, 8, 392, 292)];
    const bench = box(8, 200, 40, 208);
    const found = places([...hollow, ...inner, ...clutter, ...bench]);
    expect(found.filter((place) => place.startsWith('204 190') || place.endsWith('204 190'))).toHaveLength(1);
    expect(found.filter((place) => / 204$/.test(place) && place.split(' ')[1] === '204')).toEqual([]);
  });
  it('faces that run along together farther choose each other first: a shelf does not take a wall its face', () => {
    // The shelf stands 7 off a wall that is 8 thick.
    const shelf = box(40, 15, 90, 45);
    expect(places([...hall, ...shelf])).toEqual(places(hall));
  });
});

describe('walls offered from a scan', () => {
  const room = [line(60, 60, 340, 60), line(68, 68, 332, 68), line(60, 340, 340, 340), line(68, 332, 332, 332), line(60, 60, 60, 340), line(68, 68, 68, 332), line(340, 60, 340, 340), line(332, 68, 332, 332)];
  it.each([0, 2.3, -1.1])('a room scanned %s degrees askew is found, and its skew', (degrees) => {
    const bitmap = scan(room, degrees);
    const skew = mainDirections(bitmap, options.shortest)[0]!.degrees;
    expect(Math.abs(((skew - degrees + 45) % 90 + 90) % 90 - 45)).toBeLessThan(0.35);
    const found = wallsFromScan(bitmap, options);
    const total = found.reduce((sum, wall) => sum + Math.hypot(wall.x2 - wall.x1, wall.y2 - wall.y1), 0);
    expect(total).toBeGreaterThan(0.8 * 4 * 264);
    expect(total).toBeLessThan(1.15 * 4 * 280);
  });
  it('a solid bar is a wall as thick as it is', () => {
    const found = wallsFromScan(scan(Array.from({ length: 9 }, (_, i) => line(50, 100 + i, 350, 100 + i))), options);
    expect(found).toHaveLength(1);
    expect(found[0]!.thickness).toBe(9);
  });
  it('a solid wall that is speckled and runs a little askew is one wall', () => {
    const bitmap = scan([...room, ...Array.from({ length: 9 }, (_, i) => line(80, 200 + i, 320, 203 + i))]);
    for (let i = 0; i < 160; i++) bitmap.ink[(200 + (i * 7) % 12) * 400 + 80 + (i * 53) % 240] = 0;
    const solid = wallsFromScan(bitmap, options).filter((w) => Math.abs((w.y1 + w.y2) / 2 - 206) < 3);
    expect(solid).toHaveLength(1);
    expect(solid[0]!.thickness).toBeGreaterThan(8);
    expect(solid[0]!.thickness).toBeLessThan(10.5);
    expect(Math.hypot(solid[0]!.x2 - solid[0]!.x1, solid[0]!.y2 - solid[0]!.y1)).toBeGreaterThan(225);
  });
  it('the dark rim of a scan is no wall, wherever it lies', () => {
    const rims = [(i: number) => line(0, i, 250, i), (i: number) => line(100, 399 - i, 399, 399 - i), (i: number) => line(i, 40, i, 300), (i: number) => line(399 - i, 40, 399 - i, 300)];
    const total = (lines: readonly PlanLine[]): number => wallsFromScan(scan(lines), options).reduce((sum, w) => sum + Math.hypot(w.x2 - w.x1, w.y2 - w.y1), 0);
    for (const rim of rims) expect(total([...room, ...Array.from({ length: 7 }, (_, i) => rim(i))])).toBeCloseTo(total(room), 0);
  });
  it('a face that clutter has grown on to stays a line', () => {
    // Slanting strokes below a face: together with it as many rows as a wall is thick, but short ones.
    const clutter = Array.from({ length: 11 }, (_, i) => line(150 + 12 * i, 101 + i, 174 + 12 * i, 101 + i));
    const { lines } = linesFromScan(scan([line(60, 100, 340, 100), line(60, 250, 340, 250), line(60, 300, 340, 300), line(80, 150, 80, 390), line(300, 150, 300, 390), ...clutter]), { shortest: 15, solid: [8, 12], gap: 2 });
    expect(lines.filter(({ x1, y1, x2, y2 }) => Math.abs(y1 - 100.5) < 1.5 && Math.abs(y2 - 100.5) < 1.5 && Math.abs(x2 - x1) > 250)).not.toEqual([]);
  });
  it('an empty sheet and scattered dots give none', () => {
    expect(wallsFromScan(scan([]), options)).toEqual([]);
    expect(wallsFromScan(scan(Array.from({ length: 300 }, (_, i) => line((i * 37) % 400, (i * 91) % 400, (i * 37) % 400 + 3, (i * 91) % 400))), options)).toEqual([]);
  });
});
