import { mainDirections } from './main-directions';
import type { Bitmap } from './main-directions';
import type { PlanLine, WallCandidate } from './candidate';

export interface ScanOptions {
  /** A line shorter than this is text or clutter, picture elements. */
  readonly shortest: number;
  /** Thinnest and thickest wall drawn solid: such a bar is a wall and not a line. */
  readonly solid: readonly [number, number];
  /** Gaps in a line that noise may have torn, picture elements. */
  readonly gap: number;
}

const RADIANS = Math.PI / 180;
/** A solid wall is at least this much longer than it is thick. */
const SLENDER = 1.5;
/** Share of its length on which a solid wall must really be solid. */
const WHOLE = 0.7;

/** The picture turned about its middle so that what ran at `degrees` (y down, clockwise) runs level; and the way back. */
function turned(bitmap: Bitmap, degrees: number): { readonly level: Bitmap; readonly back: (x: number, y: number) => [number, number] } {
  const [cos, sin] = [Math.cos(degrees * RADIANS), Math.sin(degrees * RADIANS)];
  const width = Math.ceil(Math.abs(bitmap.width * cos) + Math.abs(bitmap.height * sin));
  const height = Math.ceil(Math.abs(bitmap.width * sin) + Math.abs(bitmap.height * cos));
  const back = (x: number, y: number): [number, number] => {
    const [u, v] = [x - width / 2, y - height / 2];
    return [u * cos - v * sin + bitmap.width / 2, u * sin + v * cos + bitmap.height / 2];
  };
  const ink = new Uint8Array(width * height);
  for (let y = 0; y < height; y++) {
    let [px, py] = back(0.5, y + 0.5);
    for (let x = 0; x < width; x++, px += cos, py += sin) {
      const [ix, iy] = [Math.floor(px), Math.floor(py)];
      if (ix >= 0 && iy >= 0 && ix < bitmap.width && iy < bitmap.height) ink[y * width + x] = bitmap.ink[iy * bitmap.width + ix]!;
    }
  }
  return { level: { width, height, ink }, back };
}

/** Level runs of ink of at least `shortest`, gaps up to `gap` bridged. */
function* runs({ width, height, ink }: Bitmap, shortest: number, gap: number): Generator<readonly [number, number, number]> {
  for (let y = 0; y < height; y++) {
    let [start, last] = [-1, -1];
    for (let x = 0, at = y * width; x <= width; x++, at++) {
      if (x < width && ink[at] === 1) { if (start < 0) start = x; last = x; continue; }
      if (start >= 0 && (x - last > gap || x === width)) {
        if (last + 1 - start >= shortest) yield [y, start, last + 1];
        start = -1;
      }
    }
  }
}

/** Each row with the next one laid over it: a thin line that steps from row to row, as turning leaves it, is whole again. */
function smeared({ width, height, ink }: Bitmap): Bitmap {
  const both = new Uint8Array(ink.length);
  const lastRow = width * (height - 1);
  for (let i = 0; i < lastRow; i++) both[i] = ink[i]! | ink[i + width]!;
  both.set(ink.subarray(lastRow), lastRow);
  return { width, height, ink: both };
}

interface Bar { top: number; bottom: number; from: number; to: number; lastFrom: number; lastTo: number; readonly runs: (readonly [number, number, number])[] }

/** Rows this share as long as the longest one of a bar belong to its line: noise tears a line's rim, fittings are far shorter. */
const LINE_OF_BAR = 0.8;

/** Runs of neighbouring rows that lie over each other make a bar. */
function bars(bitmap: Bitmap, shortest: number, gap: number): Bar[] {
  const done: Bar[] = [];
  let open: Bar[] = [];
  let row = -1;
  for (const [y, from, to] of runs(bitmap, shortest, gap)) {
    if (y !== row) {
      const still = open.filter((bar) => bar.bottom >= y - 1);
      if (still.length < open.length) { done.push(...open.filter((bar) => bar.bottom < y - 1)); open = still; }
      row = y;
    }
    const over = open.find((bar) => bar.bottom === y - 1 && Math.min(bar.lastTo, to) - Math.max(bar.lastFrom, from) >= 0.5 * Math.min(bar.lastTo - bar.lastFrom, to - from));
    over?.runs.push([y, from, to]);
    if (over) Object.assign(over, { bottom: y, from: Math.min(over.from, from), to: Math.max(over.to, to), lastFrom: from, lastTo: to });
    else open.push({ top: y, bottom: y, from, to, lastFrom: from, lastTo: to, runs: [[y, from, to]] });
  }
  return [...done, ...open];
}

/** A bar as thick as a wall that is none is a line with clutter grown on to it: the rows that go on farthest are the line. Short rows are letters. */
function linesIn(bar: Bar, thick: number, shortest: number): Bar[] {
  if (bar.bottom - bar.top < thick) return [bar];
  const longest = Math.max(...bar.runs.map(([, from, to]) => to - from));
  const rows: Bar[] = [];
  for (const [y, from, to] of bar.runs) {
    if (to - from < Math.max(shortest, LONE_SLENDER * thick, LINE_OF_BAR * longest)) continue;
    const last = rows.at(-1);
    if (last && y - last.bottom <= 1) Object.assign(last, { bottom: y, from: Math.min(last.from, from), to: Math.max(last.to, to) });
    else rows.push({ top: y, bottom: y, from, to, lastFrom: from, lastTo: to, runs: [] });
  }
  return rows.filter((row) => row.bottom - row.top < thick);
}

/** One solid wall on its way: the columns it was met in, and the sums of a straight line through their middles. */
interface Chain { from: number; to: number; middle: number; thickness: number; n: number; sx: number; sy: number; sxx: number; sxy: number; st: number }

/**
 * Solid walls of a level picture, column by column: upright runs of ink as long as a wall is thick, chained while middle
 * and thickness go on alike. So a wall may run a little askew, and may be speckled.
 */
function solids({ width, height, ink }: Bitmap, [thin, thick]: readonly [number, number], shortest: number, gap: number): Chain[] {
  const columns: { middle: number; thickness: number }[][] = Array.from({ length: width }, () => []);
  const start = new Int32Array(width).fill(-1); const last = new Int32Array(width);
  for (let y = 0; y <= height; y++) {
    for (let x = 0, at = y * width; x < width; x++, at++) {
      if (y < height && ink[at] === 1) { if (start[x]! < 0) start[x] = y; last[x] = y; continue; }
      if (start[x]! < 0 || (y < height && y - last[x]! <= gap)) continue;
      const thickness = last[x]! - start[x]! + 1;
      if (thickness >= thin && thickness <= thick) columns[x]!.push({ middle: (start[x]! + last[x]! + 1) / 2, thickness });
      start[x] = -1;
    }
  }
  const done: Chain[] = [];
  let open: Chain[] = [];
  const bridge = Math.max(3, thin / 2);
  columns.forEach((column, x) => {
    const still = open.filter((chain) => x - chain.to <= bridge);
    if (still.length < open.length) { done.push(...open.filter((chain) => x - chain.to > bridge)); open = still; }
    for (const { middle, thickness } of column) {
      const chain = open.find((one) => one.to < x && Math.abs(one.middle - middle) <= 1.6 && Math.abs(one.thickness - thickness) <= 1.5 + 0.12 * thickness);
      if (!chain) { open.push({ from: x, to: x, middle, thickness, n: 1, sx: x, sy: middle, sxx: x * x, sxy: x * middle, st: thickness }); continue; }
      // The newest column counts most, but speckles do not throw it off.
      Object.assign(chain, { to: x, middle: 0.7 * chain.middle + 0.3 * middle, thickness: 0.8 * chain.thickness + 0.2 * thickness, n: chain.n + 1, sx: chain.sx + x, sy: chain.sy + middle, sxx: chain.sxx + x * x, sxy: chain.sxy + x * middle, st: chain.st + thickness });
    }
  });
  return [...done, ...open].filter(({ from, to, n, st }) => to + 1 - from >= Math.max(shortest, (SLENDER * st) / n) && n >= WHOLE * (to + 1 - from));
}

/** The straight line through a chain's middles, and its thickness. */
function fitted({ from, to, n, sx, sy, sxx, sxy, st }: Chain): { readonly from: number; readonly to: number; readonly at: (x: number) => number; readonly thickness: number } {
  const spread = n * sxx - sx * sx;
  const slope = spread > 0 ? (n * sxy - sx * sy) / spread : 0;
  return { from, to: to + 1, at: (x) => (sy - slope * sx) / n + slope * (x - 0.5), thickness: st / n };
}

/** Takes a solid wall out of the picture, so that its rims do not count as lines as well. */
function wipe({ width, height, ink }: Bitmap, wall: ReturnType<typeof fitted>): void {
  for (let x = wall.from; x < wall.to; x++) {
    const middle = wall.at(x + 0.5);
    const [top, bottom] = [Math.max(0, Math.floor(middle - wall.thickness / 2 - 1)), Math.min(height - 1, Math.ceil(middle + wall.thickness / 2 + 1))];
    for (let y = top; y <= bottom; y++) ink[y * width + x] = 0;
  }
}

/** The picture without what is small all round: letters, figures, dashes, dirt. Ink that touches, also over a corner, is one thing. */
export function withoutSpecks({ width, height, ink }: Bitmap, smallest: number): Bitmap {
  const left = ink.slice();
  const kept = new Uint8Array(ink.length);
  const stack: number[] = [];
  const members: number[] = [];
  for (let seed = 0; seed < left.length; seed++) {
    if (left[seed] !== 1) continue;
    let [minX, maxX, minY, maxY] = [width, 0, height, 0];
    members.length = 0;
    left[seed] = 0;
    stack.push(seed);
    while (stack.length > 0) {
      const at = stack.pop()!;
      members.push(at);
      const [x, y] = [at % width, Math.floor(at / width)];
      if (x < minX) minX = x;
      if (x > maxX) maxX = x;
      if (y < minY) minY = y;
      if (y > maxY) maxY = y;
      for (let dy = -1; dy <= 1; dy++) {
        if (y + dy < 0 || y + dy >= height) continue;
        for (let dx = -1; dx <= 1; dx++) {
          const next = at + dy * width + dx;
          if (x + dx >= 0 && x + dx < width && left[next] === 1) { left[next] = 0; stack.push(next); }
        }
      }
    }
    if (maxX - minX + 1 >= smallest || maxY - minY + 1 >= smallest) for (const at of members) kept[at] = 1;
  }
  return { width, height, ink: kept };
}

/** A direction of little weight and without another at right angles is that of a lone wall, or of clutter: only walls this much longer than thick count in it. */
const LONE_WEIGHT = 0.35;
/** Below this weight a lone direction is text, circles or clutter, and not looked along at all: each costs as much as a main one. */
const LEAST_LONE_WEIGHT = 0.2;
const LONE_SLENDER = 8;

/** Straight lines and solid walls of a scan along its main directions. */
export function linesFromScan(scan: Bitmap, options: ScanOptions): { readonly lines: PlanLine[]; readonly walls: WallCandidate[] } {
  const lines: PlanLine[] = [];
  const walls: WallCandidate[] = [];
  const bitmap = withoutSpecks(scan, options.shortest);
  for (const { degrees, weight, isSquared } of mainDirections(bitmap, options.shortest)) {
    if (!isSquared && weight < LEAST_LONE_WEIGHT) continue;
    const shortest = weight < LONE_WEIGHT && !isSquared ? Math.max(options.shortest, LONE_SLENDER * options.solid[0]) : options.shortest;
    const { level, back } = turned(bitmap, degrees);
    for (const chain of solids(level, options.solid, shortest, options.gap)) {
      const wall = fitted(chain);
      const [[x1, y1], [x2, y2]] = [back(wall.from, wall.at(wall.from)), back(wall.to, wall.at(wall.to))];
      walls.push({ x1, y1, x2, y2, thickness: wall.thickness });
      wipe(level, wall);
    }
    for (const bar of bars(smeared(level), shortest, options.gap).flatMap((one) => linesIn(one, options.solid[0], shortest))) {
      // Smearing has added half a row above.
      const y = (bar.top + bar.bottom + 2) / 2;
      const [[x1, y1], [x2, y2]] = [back(bar.from, y), back(bar.to, y)];
      lines.push({ x1, y1, x2, y2 });
    }
  }
  return { lines, walls };
}
