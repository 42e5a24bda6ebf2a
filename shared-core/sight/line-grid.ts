/** Obstacles by square cells, for walking along a line: the slots of cell k are items[start[k]] .. items[start[k + 1]]. */
export interface LineGrid {
  readonly left: number; readonly up: number; readonly cell: number; readonly columns: number; readonly rows: number;
  readonly start: Int32Array; readonly items: Int32Array;
  /** Slots that cover too many cells to be listed in each: every line looks at them. */
  readonly wide: Int32Array;
}
interface Laid { readonly count: number; readonly plan: Float64Array; readonly solid: Float64Array; readonly isRing: Uint8Array }

const MOST_CELLS_EACH = 256;
/** A wall is entered where it comes this near to a cell, and a line looks where it comes a tenth of it near: no rounding falls between. */
const MARGIN = 1e-6;

/**
 * The grid for the first `count` slots, or null where cells do not help: too few obstacles, all in a few cells, or a plan so
 * far from its origin that rounding is no longer small against a cell. In steps of a few milliseconds.
 */
export function* buildLineGrid(laid: Laid, extent: number): Generator<undefined, LineGrid | null> {
  const { count, plan } = laid;
  if (count < 64) return null;
  let left = Infinity; let up = Infinity; let right = -Infinity; let down = -Infinity; let thickest = 0;
  for (let k = 0; k < 4 * count; k += 2) {
    const x = plan[k]!; const y = plan[k + 1]!;
    if (x < left) left = x;
    if (x > right) right = x;
    if (y < up) up = y;
    if (y > down) down = y;
  }
  for (let s = 0; s < count; s += 1) thickest = Math.max(thickest, laid.solid[3 * s]!);
  left -= thickest; up -= thickest; right += thickest; down += thickest;
  const width = right - left; const depth = down - up;
  let cell = Math.sqrt((Math.max(width, depth / 1000) * Math.max(depth, width / 1000)) / count);
  for (let tries = 0; tries < 4; tries += 1, cell /= 2) {
    const columns = Math.floor(width / cell) + 1; const rows = Math.floor(depth / cell) + 1;
    if (!(columns * rows <= 8 * count + 4096) || !(extent / cell < 1e7)) return null;
    const grid = yield* fill(laid, left, up, cell, columns, rows);
    yield;
    if (crowding(grid) < 12) return grid;
  }
  return null;
}

function* fill(laid: Laid, left: number, up: number, cell: number, columns: number, rows: number): Generator<undefined, LineGrid> {
  const grid = { left, up, cell, columns, rows, start: new Int32Array(columns * rows + 1), items: new Int32Array(0), wide: new Int32Array(0) };
  const wide: number[] = [];
  for (let slot = 0; slot < laid.count; slot += 1) if (enter(laid, slot, grid, grid.start, null) > MOST_CELLS_EACH) wide.push(slot);
  yield;
  const { start } = grid; const isWide = new Set(wide);
  // A wide slot is not entered at all: take its counts back.
  for (const slot of wide) enter(laid, slot, grid, start, null, -1);
  for (let k = 0; k < columns * rows; k += 1) start[k + 1]! += start[k]!;
  const next = start.slice(); const items = new Int32Array(start[columns * rows]!);
  for (let slot = 0; slot < laid.count; slot += 1) if (!isWide.has(slot)) enter(laid, slot, grid, next, items);
  return { ...grid, items, wide: Int32Array.from(wide) };
}

/** Counts a slot's cells (items null: adds to the count of the next cell) or writes the slot into them. @returns how many */
function enter(laid: Laid, slot: number, grid: LineGrid, at: Int32Array, items: Int32Array | null, by = 1): number {
  const { left, up, cell, columns, rows } = grid; const k = 4 * slot; const { plan } = laid;
  const ax = plan[k]!; const ay = plan[k + 1]!; const bx = plan[k + 2]!; const by2 = plan[k + 3]!;
  const half = laid.solid[3 * slot]! / 2; const pad = cell * MARGIN + half;
  const c0 = Math.max(0, Math.floor((Math.min(ax, bx) - pad - left) / cell)); const c1 = Math.min(columns - 1, Math.floor((Math.max(ax, bx) + pad - left) / cell));
  const r0 = Math.max(0, Math.floor((Math.min(ay, by2) - pad - up) / cell)); const r1 = Math.min(rows - 1, Math.floor((Math.max(ay, by2) + pad - up) / cell));
  const vx = bx - ax; const vy = by2 - ay;
  const everywhere = laid.isRing[slot] === 1;
  const reach = (Math.abs(vx) + Math.abs(vy)) * (cell / 2 + pad);
  let count = 0;
  for (let r = r0; r <= r1; r += 1) for (let c = c0; c <= c1; c += 1) {
    if (!everywhere && Math.abs(vx * (up + (r + 0.5) * cell - ay) - vy * (left + (c + 0.5) * cell - ax)) > reach) continue;
    const here = r * columns + c; count += 1;
    if (items) { items[at[here]!] = slot; at[here]! += 1; } else at[here + 1]! += by;
  }
  return count;
}

/** How many others an obstacle shares a cell with, on average. */
function crowding({ start }: LineGrid): number {
  let squares = 0; let all = 0;
  for (let k = 0; k + 1 < start.length; k += 1) { const n = start[k + 1]! - start[k]!; squares += n * n; all += n; }
  return all === 0 ? 0 : squares / all;
}
