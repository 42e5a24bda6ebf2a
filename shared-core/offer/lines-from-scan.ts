import type { PlanLine, WallCandidate } from './walls-from-lines';

/** Black and white: 1 is ink. Row after row. */
export interface Bitmap { readonly width: number; readonly height: number; readonly ink: Uint8Array }

export interface ScanOptions {
  /** A line shorter than this is text or clutter, picture elements. */
  readonly shortest: number;
  /** A solid bar at least this thick is a filled wall and not a line; up to the second it is a wall at all. */
  readonly solid: readonly [number, number];
  /** Gaps in a line that noise may have torn, picture elements. */
  readonly gap: number;
}

const RADIANS = Math.PI / 180;

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

interface Bar { top: number; bottom: number; from: number; to: number; area: number; lastFrom: number; lastTo: number }

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
    if (over) Object.assign(over, { bottom: y, from: Math.min(over.from, from), to: Math.max(over.to, to), area: over.area + to - from, lastFrom: from, lastTo: to });
    else open.push({ top: y, bottom: y, from, to, area: to - from, lastFrom: from, lastTo: to });
  }
  return [...done, ...open];
}

/** Every second (or nth) element in both directions, ink winning: thin lines stay. */
export function shrunk(bitmap: Bitmap, factor: number): Bitmap {
  if (factor <= 1) return bitmap;
  const [width, height] = [Math.floor(bitmap.width / factor), Math.floor(bitmap.height / factor)];
  const ink = new Uint8Array(width * height);
  for (let y = 0; y < height * factor; y++) for (let x = 0; x < width * factor; x++) {
    if (bitmap.ink[y * bitmap.width + x] === 1) ink[Math.floor(y / factor) * width + Math.floor(x / factor)] = 1;
  }
  return { width, height, ink };
}

/** How much ink lies in long level runs when the picture is turned: high along the directions of walls. */
function levelInk(bitmap: Bitmap, degrees: number, shortest: number): number {
  let sum = 0;
  for (const [, from, to] of runs(turned(bitmap, degrees).level, shortest, 0)) sum += to - from;
  return sum;
}

const COARSE_SIDE = 900;
const FINE_SIDE = 1800;
const MOST_DIRECTIONS = 6;
const SHARE_OF_BEST = 0.06;

/**
 * Directions that many long lines run in, degrees 0 to 180 (y down), strongest first. The first, taken to the nearest
 * quarter turn, is the skew of a scan.
 */
export function mainDirections(bitmap: Bitmap, shortest: number): number[] {
  const coarse = Math.max(1, Math.round(Math.max(bitmap.width, bitmap.height) / COARSE_SIDE));
  const small = shrunk(bitmap, coarse);
  const long = Math.max(12, (2.5 * shortest) / coarse);
  const scores = Array.from({ length: 180 }, (_, degrees) => levelInk(small, degrees, long));
  const best = Math.max(...scores);
  const peaks = scores.map((score, degrees) => ({ score, degrees }))
    .filter(({ score, degrees }) => score >= best * SHARE_OF_BEST && [-2, -1, 1, 2].every((step) => scores[(degrees + step + 180) % 180]! <= score))
    .sort((a, b) => b.score - a.score).slice(0, MOST_DIRECTIONS);
  const factor = Math.max(1, Math.round(Math.max(bitmap.width, bitmap.height) / FINE_SIDE));
  const medium = shrunk(bitmap, factor);
  const fineLong = Math.max(20, (4 * shortest) / factor);
  return peaks.map(({ degrees }) => {
    const tried = Array.from({ length: 25 }, (_, i) => degrees + (i - 12) / 10).map((angle) => ({ angle, score: levelInk(medium, angle, fineLong) }));
    const most = Math.max(...tried.map(({ score }) => score));
    // Short lines stay level over a range of angles: the middle of the range is meant.
    const alike = tried.filter(({ score }) => score >= most * 0.97);
    return alike.reduce((sum, { angle }) => sum + angle, 0) / alike.length;
  });
}

/** Straight lines and filled walls of a scan along its main directions. */
export function linesFromScan(bitmap: Bitmap, options: ScanOptions): { readonly lines: PlanLine[]; readonly walls: WallCandidate[] } {
  const lines: PlanLine[] = [];
  const walls: WallCandidate[] = [];
  for (const degrees of mainDirections(bitmap, options.shortest)) {
    const { level, back } = turned(bitmap, degrees);
    for (const bar of bars(level, options.shortest, options.gap)) {
      const height = bar.bottom - bar.top + 1;
      const y = (bar.top + bar.bottom + 1) / 2;
      const [[x1, y1], [x2, y2]] = [back(bar.from, y), back(bar.to, y)];
      const dense = bar.area / (height * (bar.to - bar.from)) > 0.75;
      if (height >= options.solid[0] && height <= options.solid[1] && dense && bar.to - bar.from >= 1.5 * height) walls.push({ x1, y1, x2, y2, thickness: height });
      else if (height < options.solid[0]) lines.push({ x1, y1, x2, y2 });
    }
  }
  return { lines, walls };
}
