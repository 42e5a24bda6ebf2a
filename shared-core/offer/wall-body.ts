import type { Bitmap } from './main-directions';
import { FILL } from './candidate';
import type { PlanLine, WallCandidate } from './candidate';

/**
 * A look at the plan near one place, in the frame of a wall that ends there: cell (column, row) is ink or paper. Columns
 * go along the wall's way out of itself, rows across it, `cell` sheet units each; the end lies at column `back`, between rows.
 * pens: what each cell is drawn with, a bit for each pen of the plan; absent where the plan does not tell.
 */
export interface Look { readonly columns: number; readonly rows: number; readonly ink: Uint8Array; readonly pens?: Uint32Array }
export interface Frame { readonly x: number; readonly y: number; readonly ux: number; readonly uy: number; readonly cell: number; readonly back: number; readonly columns: number; readonly rows: number }

/** Tells what is drawn near a place. finest: smaller cells show no more, sheet units. */
export interface InkNear { readonly finest: number; readonly look: (frame: Frame) => Look }

/** The window reaches so many thicknesses beyond the end, and to both sides. */
const REACH = 4;
const CELLS_ACROSS = 12;
/** Paper this many thicknesses from any ink is a room: where two walls cross it is 0.7 of the thicker one. */
const ROOM = 1.25;
/** Openings narrower than so many cells are tears in a line. */
const TEAR = 2;

/** What a scan shows. */
export function inkOfScan({ width, height, ink, pens }: Bitmap): InkNear {
  return {
    finest: 1,
    look: ({ x, y, ux, uy, cell, back, columns, rows }) => {
      const seen = new Uint8Array(columns * rows);
      const drawn = pens ? new Uint32Array(columns * rows) : undefined;
      const fine = Math.max(1, Math.round(cell));
      for (let column = 0; column < columns; column++) for (let row = 0; row < rows; row++) {
        for (let k = 0; k < fine * fine && (pens !== undefined || seen[row * columns + column] === 0); k++) {
          const [u, v] = [(column - back + ((k % fine) + 0.5) / fine) * cell, (row - rows / 2 + (Math.floor(k / fine) + 0.5) / fine) * cell];
          const [px, py] = [Math.floor(x + u * ux - v * uy), Math.floor(y + u * uy + v * ux)];
          if (px < 0 || py < 0 || px >= width || py >= height || ink[py * width + px] !== 1) continue;
          seen[row * columns + column] = 1;
          if (drawn) drawn[row * columns + column]! |= pens![py * width + px]!;
        }
      }
      return { columns, rows, ink: seen, ...(drawn ? { pens: drawn } : {}) };
    },
  };
}

/** The bit of what is filled. */
export const FILL_BIT = (1 << 31) >>> 0;

/** A bit for each pen, those that draw the most first; the rare ones share one. */
function bitsOfPens(lines: readonly PlanLine[]): ReadonlyMap<string, number> {
  const drawn = new Map<string, number>();
  for (const { x1, y1, x2, y2, pen } of lines) if (pen !== undefined) drawn.set(pen, (drawn.get(pen) ?? 0) + Math.hypot(x2 - x1, y2 - y1));
  return new Map([...drawn].sort((a, b) => b[1] - a[1]).map(([pen], i) => [pen, pen === FILL ? FILL_BIT : 1 << Math.min(i, 30)]));
}

/** What a drawing's lines show, kept by cells of a size that suits walls of these thicknesses. */
export function inkOfLines(lines: readonly PlanLine[], [, thick]: readonly [number, number]): InkNear {
  const size = REACH * thick;
  const cells = new Map<string, PlanLine[]>();
  const keyOf = (x: number, y: number): string => `${Math.floor(x / size)} ${Math.floor(y / size)}`;
  for (const line of lines) {
    const steps = Math.max(1, Math.ceil((Math.hypot(line.x2 - line.x1, line.y2 - line.y1) / size) * 2));
    let last = '';
    for (let i = 0; i <= steps; i++) {
      const key = keyOf(line.x1 + ((line.x2 - line.x1) * i) / steps, line.y1 + ((line.y2 - line.y1) * i) / steps);
      if (key === last) continue;
      last = key;
      const list = cells.get(key);
      if (list) list.push(line); else cells.set(key, [line]);
    }
  }
  const bits = bitsOfPens(lines);
  return {
    finest: 0,
    look: ({ x, y, ux, uy, cell, back, columns, rows }) => {
      const seen = new Uint8Array(columns * rows);
      const drawn = bits.size > 0 ? new Uint32Array(columns * rows) : undefined;
      const reach = Math.hypot(columns, rows) * cell;
      const near = new Set<PlanLine>();
      for (let cx = Math.floor((x - reach) / size) - 1; cx <= Math.floor((x + reach) / size) + 1; cx++) for (let cy = Math.floor((y - reach) / size) - 1; cy <= Math.floor((y + reach) / size) + 1; cy++) for (const line of cells.get(`${cx} ${cy}`) ?? []) near.add(line);
      const place = (px: number, py: number): [number, number] => [((px - x) * ux + (py - y) * uy) / cell + back, ((py - y) * ux - (px - x) * uy) / cell + rows / 2];
      for (const { x1, y1, x2, y2, pen } of near) {
        const [[a, b], [c, d]] = [place(x1, y1), place(x2, y2)];
        // Only the stretch inside the window is drawn: a line may be far longer.
        const inside = clipped(a, b, c, d, columns, rows);
        if (!inside) continue;
        const [from, to] = inside;
        const steps = Math.max(1, Math.ceil(Math.max(Math.abs(c - a), Math.abs(d - b)) * (to - from) * 2));
        for (let i = 0; i <= steps; i++) {
          const t = from + ((to - from) * i) / steps;
          const [column, row] = [Math.floor(a + (c - a) * t), Math.floor(b + (d - b) * t)];
          if (column < 0 || row < 0 || column >= columns || row >= rows) continue;
          seen[row * columns + column] = 1;
          if (drawn && pen !== undefined) drawn[row * columns + column]! |= bits.get(pen) ?? 0;
        }
      }
      return { columns, rows, ink: seen, ...(drawn ? { pens: drawn } : {}) };
    },
  };
}

/** The share of a line, from and to as parts of it, that lies in a window. */
function clipped(x1: number, y1: number, x2: number, y2: number, width: number, height: number): readonly [number, number] | null {
  let [from, to] = [0, 1];
  for (const [start, step, most] of [[x1, x2 - x1, width], [y1, y2 - y1, height]] as const) {
    if (step === 0) { if (start < 0 || start > most) return null; continue; }
    const [p, q] = [-start / step, (most - start) / step];
    from = Math.max(from, Math.min(p, q));
    to = Math.min(to, Math.max(p, q));
  }
  return from < to ? [from, to] : null;
}

/** How many cells each paper cell is from ink or the rim of the window, as a king walks. */
function distances({ columns, rows, ink }: Look): Uint8Array {
  const away = new Uint8Array(columns * rows);
  const at = (column: number, row: number): number => (column < 0 || row < 0 || column >= columns || row >= rows ? 0 : away[row * columns + column]!);
  for (let row = 0; row < rows; row++) for (let column = 0; column < columns; column++) {
    const i = row * columns + column;
    away[i] = ink[i] === 1 ? 0 : 1 + Math.min(254, at(column - 1, row), at(column - 1, row - 1), at(column, row - 1), at(column + 1, row - 1));
  }
  for (let row = rows - 1; row >= 0; row--) for (let column = columns - 1; column >= 0; column--) {
    const i = row * columns + column;
    away[i] = Math.min(away[i]!, 1 + Math.min(254, at(column + 1, row), at(column + 1, row + 1), at(column, row + 1), at(column - 1, row + 1)));
  }
  return away;
}

/**
 * Whether the paper between a wall's faces runs out into a room at its far end. The body of a wall is closed: by a line
 * across, by the wall it meets, by a jamb; the gap between two chairs, or between a bench and a wall, is not.
 * @param wall  both faces drawn; the end looked at is its second point
 */
export function isOpenAtEnd(ink: InkNear, { x1, y1, x2, y2, thickness }: WallCandidate): boolean {
  const length = Math.hypot(x2 - x1, y2 - y1) || 1;
  const [ux, uy] = [(x2 - x1) / length, (y2 - y1) / length];
  const cell = Math.max(ink.finest, thickness / CELLS_ACROSS);
  const half = thickness / 2 / cell;
  const back = Math.ceil(half * 2);
  const [columns, rows] = [back + Math.ceil(REACH * 2 * half), 2 * Math.ceil(REACH * 2 * half)];
  const look = ink.look({ x: x2, y: y2, ux, uy, cell, back, columns, rows });
  const middle = rows / 2;
  // Along the wall itself its faces hold, whatever scanning has torn.
  for (let column = 0; column < back; column++) for (let row = 0; row < rows; row++) if (Math.abs(row + 0.5 - middle) >= half - 0.5) look.ink[row * columns + column] = 1;
  const away = distances(look);
  const wide = ROOM * 2 * half;
  const seen = new Uint8Array(columns * rows);
  const stack: number[] = [];
  const start = Math.max(0, back - Math.ceil(half / 2) - 1);
  for (let row = Math.ceil(middle - half); row < middle + half; row++) { const i = row * columns + start; if (away[i]! >= TEAR) { stack.push(i); seen[i] = 1; } }
  while (stack.length > 0) {
    const i = stack.pop()!;
    if (away[i]! >= wide) return true;
    const column = i % columns;
    for (const [next, isIn] of [[i - 1, column > start], [i + 1, column + 1 < columns], [i - columns, i >= columns], [i + columns, i + columns < away.length]] as const) {
      if (isIn && seen[next] === 0 && away[next]! >= TEAR) { seen[next] = 1; stack.push(next); }
    }
  }
  return false;
}

/** A line that runs between the faces along this share of a wall parts it. */
const ALONG = 0.7;
/** A line of which no stretch is this share of the wall is drawn in dashes: a grid line, not a face. */
const UNBROKEN = 0.5;
/** A line this near the middle, as a share of the thickness, that goes on beyond both ends is a grid line. */
const MIDDLE = 0.12;

/**
 * Whether a further line runs along between the faces of a wall: what is drawn there is two things beside each other, as
 * a partition between a chair and a room. Grid lines and the slanting lines of a hatched wall do not part it.
 */
export function isParted(ink: InkNear, { x1, y1, x2, y2, thickness }: WallCandidate): boolean {
  const length = Math.hypot(x2 - x1, y2 - y1) || 1;
  const cell = Math.max(ink.finest, thickness / CELLS_ACROSS);
  const half = thickness / 2 / cell;
  const along = Math.max(1, Math.round(length / cell));
  const beyond = Math.ceil(4 * half);
  const rows = 2 * Math.ceil(half * 1.3 + 1);
  const [columns, middle] = [along + 2 * beyond, rows / 2];
  const look = ink.look({ x: x1, y: y1, ux: (x2 - x1) / length, uy: (y2 - y1) / length, cell, back: beyond, columns, rows });
  const isInk = (column: number, row: number): boolean => look.ink[row * columns + column] === 1;
  // Whether a line is met between the faces, and how far from the middle of them, by rows and columns; faces need not be straight.
  const met = new Uint8Array(rows * along);
  for (let column = 0; column < along; column++) {
    const runs: [number, number][] = [];
    for (let row = 0; row < rows; row++) {
      if (!isInk(column + beyond, row)) continue;
      const last = runs.at(-1);
      if (last?.[1] === row - 1) last[1] = row; else runs.push([row, row]);
    }
    const off = ([from, to]: readonly [number, number], at: number): number => Math.abs((from + to + 1) / 2 - at);
    const nearest = (at: number): [number, number] | undefined => runs.filter((run) => off(run, at) <= half / 2).sort((p, q) => off(p, at) - off(q, at))[0];
    const [first, second] = [nearest(middle - half), nearest(middle + half)];
    if (!first || !second) continue;
    const shift = Math.round(middle - (first[0] + first[1] + second[0] + second[1] + 2) / 4);
    for (const [from, to] of runs) if (from > first[1] && to < second[0]) for (let row = from - 1; row <= to + 1; row++) if (row + shift >= 0 && row + shift < rows) met[(row + shift) * along + column] = 1;
  }
  const lines = Array.from({ length: rows }, (_, row) => {
    let [all, stretch, longest] = [0, 0, 0];
    for (const cellMet of met.subarray(row * along, (row + 1) * along)) { stretch = cellMet === 1 ? stretch + 1 : 0; all += cellMet; longest = Math.max(longest, stretch); }
    return { row, all, longest };
  }).filter(({ all, longest }) => all >= ALONG * along && longest >= UNBROKEN * along);
  if (lines.length === 0) return false;
  // Each line was met with a row to spare on both sides.
  const off = lines.map(({ row }) => row + 0.5 - middle);
  const isOne = lines.length <= 4 && Math.abs((Math.min(...off) + Math.max(...off)) / 2) <= MIDDLE * 2 * half + 0.5;
  const goesOn = (from: number): boolean => {
    let seen = 0;
    for (let column = from; column < from + beyond; column++) if (lines.some(({ row }) => isInk(column, row))) seen += 1;
    return seen >= ALONG * beyond;
  };
  return !(isOne && goesOn(0) && goesOn(columns - beyond));
}
