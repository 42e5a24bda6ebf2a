import { placeInRing, segmentsMeet } from '../geometry/index';
import type { Box } from '../geometry/index';
import { feet } from '../units/index';
import type { Feet } from '../units/index';
import { planOutline } from './shadows';
import type { SightIndex } from './sight-index';

export interface WalkQuestion {
  /** Height of the floor that is walked on; obstacles wholly above `headroom` or not above `step` do not stand in the way. */
  readonly floor: Feet;
  readonly step?: Feet;
  readonly headroom?: Feet;
  /** Half the width a person needs. */
  readonly halfWidth?: Feet;
  /** Obstacles that a person gets through: doors that may be opened. */
  readonly passable?: ReadonlySet<string>;
  /** Leaves that stand open as a rule but cannot be counted on: locked ones. */
  readonly shut?: ReadonlySet<string>;
  /** How far beyond the two places a way round is looked for. */
  readonly around?: Feet;
}
export type Walk =
  | { readonly ok: true; readonly distance: Feet; readonly path: readonly { readonly x: number; readonly y: number }[] }
  | { readonly ok: false; readonly reason: string };

interface PlanPoint { readonly x: number; readonly y: number }
/** Cells counted from the plan's origin, so that every look at one plan has the same cells. */
interface Grid { readonly column0: number; readonly row0: number; readonly cell: number; readonly columns: number; readonly rows: number; readonly closed: Uint8Array; /** Outlines of what closes it. */ readonly rings: ArrayLike<number>[] }

const CELL = 0.5; const MOST_CELLS = 600_000;

/**
 * How far one walks between two places, round what stands on the floor: information beside the straight distance that the
 * rules ask for. Found on a half-foot grid and pulled straight, so good to about a percent, and never shorter than straight.
 * 'No way' speaks only of the ground looked at (`around` beyond the two places).
 */
export function walkingDistance(index: SightIndex, from: PlanPoint, to: PlanPoint, question: WalkQuestion): Walk {
  const grid = gridOf(index, from, to, question);
  if (!grid) return { ok: false, reason: 'The two places are too far apart to look for a way between them.' };
  const start = nearestOpen(grid, from, 3 / CELL); const goal = nearestOpen(grid, to, 3 / CELL);
  if (start < 0 || goal < 0) return { ok: false, reason: `There is no room to stand at the ${start < 0 ? 'first' : 'second'} place.` };
  const cells = search(grid, start, goal);
  if (!cells) return { ok: false, reason: 'No way was found: what stands on the floor closes it off.' };
  const path = pullStraight(grid, cells).map((cell) => centre(grid, cell));
  path[0] = from; path[Math.max(1, path.length - 1)] = to;
  let length = 0;
  for (let i = 1; i < path.length; i += 1) length += Math.hypot(path[i]!.x - path[i - 1]!.x, path[i]!.y - path[i - 1]!.y);
  return { ok: true, distance: feet(length * index.feetPerUnit), path };
}

/** The ground from which one can walk to a place, as walkingDistance looks at it: by the same cells. */
export interface WalkingGround {
  /** Whether the cell that a place lies in is open and has a way. */
  reaches(x: number, y: number): boolean;
  /**
   * The cells with their middle in a box that have no way: those that a person fits in, or all. Each as the box of the middles of a
   * run of cells, plan units. Null when the box is not wholly within the ground looked at.
   */
  cutOff(box: Box, which: 'open' | 'all'): Box[] | null;
}

/** @param question `around`: how far about the place; a way that leaves this ground counts as none, and without room at the place there is none */
export function walkingGround(index: SightIndex, to: PlanPoint, question: WalkQuestion): WalkingGround {
  const grid = gridOf(index, to, to, question);
  const goal = grid ? nearestOpen(grid, to, 3 / CELL) : -1;
  if (!grid || goal < 0) return { reaches: () => false, cutOff: () => null };
  const reached = flood(grid, goal); const { column0, row0, cell, columns, rows, closed } = grid;
  const columnOf = (x: number): number => Math.floor(x / cell) - column0; const rowOf = (y: number): number => Math.floor(y / cell) - row0;
  return {
    reaches: (x, y) => { const column = columnOf(x); const row = rowOf(y); return column >= 0 && column < columns && row >= 0 && row < rows && reached[row * columns + column] === 1; },
    cutOff: (box, which) => {
      const first = columnOf(box.minX); const last = columnOf(box.maxX); const top = rowOf(box.minY); const bottom = rowOf(box.maxY);
      if (!(first >= 0 && top >= 0 && last < columns && bottom < rows)) return null;
      const runs: Box[] = [];
      for (let row = top; row <= bottom; row += 1) for (let from = -1, column = first; column <= last + 1; column += 1) {
        const k = row * columns + column; const isCut = column <= last && !reached[k] && (which === 'all' || !closed[k]);
        if (isCut && from < 0) from = column;
        if (isCut || from < 0) continue;
        const y = (row0 + row + 0.5) * cell;
        runs.push({ minX: (column0 + from + 0.5) * cell, maxX: (column0 + column - 0.5) * cell, minY: y, maxY: y });
        from = -1;
      }
      return runs;
    },
  };
}

/** Every cell with a way to the goal, run by run. A step to a diagonal neighbour needs both cells beside it, so steps along rows and columns reach as far. */
function flood({ columns, rows, closed }: Grid, goal: number): Uint8Array {
  const reached = new Uint8Array(columns * rows); const open = [goal];
  for (let k = open.pop(); k !== undefined; k = open.pop()) {
    if (reached[k]) continue;
    const row = k - (k % columns); let from = k; let to = k;
    while (from > row && !closed[from - 1]) from -= 1;
    while (to < row + columns - 1 && !closed[to + 1]) to += 1;
    reached.fill(1, from, to + 1);
    for (const beside of [row - columns, row + columns]) {
      if (beside < 0 || beside >= columns * rows) continue;
      // One cell of each run beside this one stands for it.
      for (let at = beside + from - row, isRun = false; at <= beside + to - row; at += 1) {
        const isOpen = !closed[at] && !reached[at];
        if (isOpen && !isRun) open.push(at);
        isRun = isOpen;
      }
    }
  }
  return reached;
}

function gridOf(index: SightIndex, from: PlanPoint, to: PlanPoint, question: WalkQuestion): Grid | null {
  const unit = 1 / index.feetPerUnit; const around = (question.around ?? 60) * unit; const cell = CELL * unit;
  const column0 = Math.floor((Math.min(from.x, to.x) - around) / cell); const row0 = Math.floor((Math.min(from.y, to.y) - around) / cell);
  const columns = Math.ceil((Math.max(from.x, to.x) + around) / cell) - column0; const rows = Math.ceil((Math.max(from.y, to.y) + around) / cell) - row0;
  if (!(columns * rows <= MOST_CELLS)) return null;
  const grid: Grid = { column0, row0, cell, columns, rows, closed: new Uint8Array(columns * rows), rings: [] };
  const low = question.floor + (question.step ?? 0.75); const high = question.floor + (question.headroom ?? 6.5);
  const room = (question.halfWidth ?? 0.75) * unit;
  for (const slot of index.inBox(column0 * cell - room, row0 * cell - room, (column0 + columns) * cell + room, (row0 + rows) * cell + room)) {
    const { id, bottom, top, transmission } = index.obstacles[slot]!;
    if (top <= low || bottom >= high || (transmission === 'leaf' && !question.shut?.has(id)) || question.passable?.has(id)) continue;
    const ring = planOutline(index, slot);
    grid.rings.push(ring);
    closeAround(grid, ring, room);
  }
  return grid;
}

/** Closes the cells whose middle lies within so much room of an outline, and those inside it. */
function closeAround(grid: Grid, ring: ArrayLike<number>, room: number): void {
  const n = ring.length;
  for (let i = 0, j = n - 2; i < n; j = i, i += 2) {
    if (n === 4 && i === 2) break; // a bare line has one edge, not two
    closeEdge(grid, ring[j]!, ring[j + 1]!, ring[i]!, ring[i + 1]!, room);
  }
  if (n > 4) closeInside(grid, ring);
}

function closeEdge({ column0, row0, cell, columns, rows, closed }: Grid, x1: number, y1: number, x2: number, y2: number, room: number): void {
  const dx = x2 - x1; const dy = y2 - y1; const square = dx * dx + dy * dy || 1; const near = room * room;
  const top = Math.max(0, Math.floor((Math.min(y1, y2) - room) / cell) - row0); const bottom = Math.min(rows - 1, Math.floor((Math.max(y1, y2) + room) / cell) - row0);
  for (let row = top; row <= bottom; row += 1) {
    const y = (row0 + row + 0.5) * cell;
    // Of a slanting edge only the part that passes this row's height can be near its cells.
    const s = dy === 0 ? 0 : (y - room - y1) / dy; const t = dy === 0 ? 1 : (y + room - y1) / dy;
    const from = x1 + Math.max(0, Math.min(1, Math.min(s, t))) * dx; const to = x1 + Math.max(0, Math.min(1, Math.max(s, t))) * dx;
    const first = Math.max(0, Math.floor((Math.min(from, to) - room) / cell) - column0 - 1); const last = Math.min(columns - 1, Math.floor((Math.max(from, to) + room) / cell) - column0 + 1);
    for (let k = row * columns + first, column = first; column <= last; column += 1, k += 1) {
      if (closed[k]) continue;
      const x = (column0 + column + 0.5) * cell;
      const share = Math.max(0, Math.min(1, ((x - x1) * dx + (y - y1) * dy) / square));
      const ex = x - x1 - share * dx; const ey = y - y1 - share * dy;
      if (ex * ex + ey * ey < near) closed[k] = 1;
    }
  }
}

function closeInside({ column0, row0, cell, columns, rows, closed }: Grid, ring: ArrayLike<number>): void {
  const { minX, minY, maxX, maxY } = boundsOf(ring);
  const first = Math.max(0, Math.floor(minX / cell) - column0); const last = Math.min(columns - 1, Math.floor(maxX / cell) - column0);
  const top = Math.max(0, Math.floor(minY / cell) - row0); const bottom = Math.min(rows - 1, Math.floor(maxY / cell) - row0);
  for (let row = top; row <= bottom; row += 1) for (let k = row * columns + first, column = first; column <= last; column += 1, k += 1) {
    if (!closed[k] && placeInRing(ring, (column0 + column + 0.5) * cell, (row0 + row + 0.5) * cell) !== 'outside') closed[k] = 1;
  }
}

function boundsOf(ring: ArrayLike<number>): { minX: number; minY: number; maxX: number; maxY: number } {
  let minX = Infinity; let minY = Infinity; let maxX = -Infinity; let maxY = -Infinity;
  for (let i = 0; i < ring.length; i += 2) { minX = Math.min(minX, ring[i]!); maxX = Math.max(maxX, ring[i]!); minY = Math.min(minY, ring[i + 1]!); maxY = Math.max(maxY, ring[i + 1]!); }
  return { minX, minY, maxX, maxY };
}

const centre = (grid: Grid, cell: number): PlanPoint => ({
  x: (grid.column0 + (cell % grid.columns) + 0.5) * grid.cell, y: (grid.row0 + Math.floor(cell / grid.columns) + 0.5) * grid.cell,
});

/**
 * The open cell nearest to a place, within some cells, with nothing between the two; -1 when there is none. A handle hangs on
 * a wall and a load may stand in its own outline: what the place itself lies in or on is not between.
 */
function nearestOpen(grid: Grid, place: PlanPoint, reach: number): number {
  const column = Math.floor(place.x / grid.cell) - grid.column0; const row = Math.floor(place.y / grid.cell) - grid.row0;
  const far = (reach + 1) * grid.cell;
  const between = grid.rings.filter((ring) => isNear(ring, place, far) && !liesOn(ring, place));
  let best = -1; let least = Infinity;
  for (let r = row - reach; r <= row + reach; r += 1) for (let c = column - reach; c <= column + reach; c += 1) {
    if (r < 0 || c < 0 || r >= grid.rows || c >= grid.columns || grid.closed[r * grid.columns + c]) continue;
    const p = centre(grid, r * grid.columns + c); const d = Math.hypot(p.x - place.x, p.y - place.y);
    if (d < least && !between.some((ring) => crosses(ring, place, p))) { least = d; best = r * grid.columns + c; }
  }
  return best;
}

function isNear(ring: ArrayLike<number>, { x, y }: PlanPoint, far: number): boolean {
  const { minX, minY, maxX, maxY } = boundsOf(ring);
  return minX <= x + far && maxX >= x - far && minY <= y + far && maxY >= y - far;
}

/** A bare wall is a line without an inside: only a place on it lies on it. */
const liesOn = (ring: ArrayLike<number>, { x, y }: PlanPoint): boolean =>
  (ring.length > 4 ? placeInRing(ring, x, y) !== 'outside' : segmentsMeet(ring[0]!, ring[1]!, ring[2]!, ring[3]!, x, y, x, y));

function crosses(ring: ArrayLike<number>, a: PlanPoint, b: PlanPoint): boolean {
  for (let i = 0, n = ring.length, j = n - 2; i < n; j = i, i += 2) if (segmentsMeet(a.x, a.y, b.x, b.y, ring[j]!, ring[j + 1]!, ring[i]!, ring[i + 1]!)) return true;
  return false;
}

/** Shortest way over the cells (A*; eight neighbours, no squeezing past a corner). */
function search(grid: Grid, start: number, goal: number): number[] | null {
  const { columns, rows, closed } = grid; const size = columns * rows;
  const cost = new Float64Array(size).fill(Infinity); const from = new Int32Array(size).fill(-1); const done = new Uint8Array(size);
  const goalColumn = goal % columns; const goalRow = Math.floor(goal / columns);
  const ahead = (cell: number): number => {
    const dx = Math.abs((cell % columns) - goalColumn); const dy = Math.abs(Math.floor(cell / columns) - goalRow);
    return Math.max(dx, dy) + (Math.SQRT2 - 1) * Math.min(dx, dy);
  };
  const heap = new Heap(); cost[start] = 0; heap.push(start, ahead(start));
  for (let cell = heap.pop(); cell >= 0; cell = heap.pop()) {
    if (cell === goal) { const way = [cell]; while (from[way.at(-1)!]! >= 0) way.push(from[way.at(-1)!]!); return way.reverse(); }
    if (done[cell]) continue;
    done[cell] = 1;
    const column = cell % columns; const row = Math.floor(cell / columns);
    for (let dr = -1; dr <= 1; dr += 1) for (let dc = -1; dc <= 1; dc += 1) {
      const c = column + dc; const r = row + dr;
      if ((dr === 0 && dc === 0) || c < 0 || r < 0 || c >= columns || r >= rows) continue;
      const next = r * columns + c;
      if (closed[next] || done[next] || (dr !== 0 && dc !== 0 && (closed[row * columns + c] || closed[r * columns + column]))) continue;
      const total = cost[cell]! + (dr !== 0 && dc !== 0 ? Math.SQRT2 : 1);
      if (total < cost[next]!) { cost[next] = total; from[next] = cell; heap.push(next, total + ahead(next)); }
    }
  }
  return null;
}

/** Leaves out the cells that a straight walk makes needless. */
function pullStraight(grid: Grid, cells: readonly number[]): number[] {
  const kept = [cells[0]!];
  for (let i = 0; i < cells.length - 1;) {
    // Doubling steps, then back off: far views are rare, so this stays near the number of cells.
    let far = i + 1;
    for (let step = 2; i + step < cells.length && walkable(grid, cells[i]!, cells[i + step]!); step *= 2) far = i + step;
    while (far + 1 < cells.length && walkable(grid, cells[i]!, cells[far + 1]!)) far += 1;
    kept.push(cells[far]!); i = far;
  }
  return kept;
}

function walkable(grid: Grid, a: number, b: number): boolean {
  const ac = a % grid.columns; const ar = Math.floor(a / grid.columns); const bc = b % grid.columns; const br = Math.floor(b / grid.columns);
  const steps = 3 * Math.max(Math.abs(ac - bc), Math.abs(ar - br), 1);
  for (let k = 1; k < steps; k += 1) {
    const c = Math.round(ac + ((bc - ac) * k) / steps); const r = Math.round(ar + ((br - ar) * k) / steps);
    if (grid.closed[r * grid.columns + c]) return false;
  }
  return true;
}

/** Smallest-first queue of cells. */
class Heap {
  private readonly cells: number[] = []; private readonly keys: number[] = [];
  push(cell: number, key: number): void {
    let i = this.cells.length;
    this.cells.push(cell); this.keys.push(key);
    while (i > 0) { const up = (i - 1) >> 1; if (this.keys[up]! <= key) break; this.cells[i] = this.cells[up]!; this.keys[i] = this.keys[up]!; i = up; }
    this.cells[i] = cell; this.keys[i] = key;
  }
  pop(): number {
    const first = this.cells[0]; if (first === undefined) return -1;
    const cell = this.cells.pop()!; const key = this.keys.pop()!; const n = this.cells.length;
    if (n === 0) return first;
    let i = 0;
    for (;;) {
      let down = 2 * i + 1;
      if (down >= n) break;
      if (down + 1 < n && this.keys[down + 1]! < this.keys[down]!) down += 1;
      if (this.keys[down]! >= key) break;
      this.cells[i] = this.cells[down]!; this.keys[i] = this.keys[down]!; i = down;
    }
    this.cells[i] = cell; this.keys[i] = key;
    return first;
  }
}
