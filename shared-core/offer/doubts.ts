import type { OfferOptions, WallCandidate } from './candidate';
import { FILL_BIT } from './wall-body';
import type { InkNear, Look } from './wall-body';

/** A pen draws walls when it draws this share of what the commonest pen draws of them: partitions may have one of their own. */
const SECOND_PEN = 0.5;
/** A stretch in another pen counts from so many thicknesses, and one in the walls' pen parts it from so many: walls that cross are thinner. */
const LEAST_STRETCH = 3;
const CROSSING = 2;
/** A face is looked for this near its place, as a share of half the thickness. */
const AT_FACE = 0.3;
/** Cells across a wall: enough to tell the panes of a glazed front apart. */
const CELLS_ACROSS = 12;

/** A wall at the edge of a balcony is so many thicknesses long at least: 2 to 3 m. */
const LONG = 12;
/** Ground is looked at for so many thicknesses before and behind a wall: 2 to 4 m, as deep as balconies get. */
const DEEP = 15;
/** Open ground may be crossed by the lines of a grid or a dimension on the rest. */
const OPEN = 0.85;
/** A glazed front behind a wall runs along this share of it: blind stretches, partitions and the joints of the floor stand between its panes. */
const GLAZED = 0.3;
/** It stands this many thicknesses behind the wall, or it is the wall's own window. */
const BEHIND = 1.5;
/** What is narrower than a wall is glazing when it has three lines, or is this full of ink: two lines are a thin partition. */
const DENSE = 0.65;

/** The look along the whole of a wall, so many cells to each side of its middle. */
function alongWall(ink: InkNear, { x1, y1, x2, y2, thickness }: WallCandidate, reach: number): { readonly look: Look; readonly cell: number; readonly half: number } {
  const length = Math.hypot(x2 - x1, y2 - y1) || 1;
  const cell = Math.max(ink.finest, thickness / CELLS_ACROSS);
  const look = ink.look({ x: x1, y: y1, ux: (x2 - x1) / length, uy: (y2 - y1) / length, cell, back: 0, columns: Math.max(1, Math.round(length / cell)), rows: 2 * Math.ceil(reach / cell) });
  return { look, cell, half: thickness / 2 / cell };
}

/** Pens met at the faces of a wall, a mask for each column; 0 in a door and where nothing is drawn. */
function pensAlong(ink: InkNear, wall: WallCandidate): { readonly pens: Uint32Array; readonly cell: number } | null {
  const { look: { columns, rows, pens: drawn }, cell, half } = alongWall(ink, wall, wall.thickness * (0.5 + AT_FACE));
  if (!drawn) return null;
  const pens = new Uint32Array(columns);
  const near = Math.max(1.5, AT_FACE * half);
  for (let row = 0; row < rows; row++) {
    if (Math.abs(Math.abs(row + 0.5 - rows / 2) - half) > near) continue;
    for (let column = 0; column < columns; column++) pens[column]! |= drawn[row * columns + column]!;
  }
  for (const { from, to } of wall.openings ?? []) pens.fill(0, Math.max(0, Math.floor(from / cell)), Math.max(0, Math.ceil(to / cell)));
  return { pens, cell };
}

/** The pens that draw the sheet's walls, as a mask. What is filled is drawn as walls are, however rare. */
function pensOfWalls(all: readonly { readonly pens: Uint32Array; readonly cell: number }[]): number {
  const drawn = new Float64Array(32);
  for (const { pens, cell } of all) for (const mask of pens) for (let bit = 0; bit < 32; bit++) if ((mask >>> bit) & 1) drawn[bit]! += cell;
  const most = Math.max(...drawn);
  return drawn.reduce((mask, length, bit) => (length > 0 && length >= SECOND_PEN * most ? mask | (1 << bit) : mask), FILL_BIT);
}

/** Stretches, columns from and to, that are drawn with none of these pens. */
function otherwise(pens: Uint32Array, usual: number, parting: number, least: number): [number, number][] {
  const found: [number, number][] = [];
  let last = -Infinity;
  pens.forEach((mask, column) => {
    if (mask === 0 || (mask & usual) !== 0) return;
    const open = found.at(-1);
    if (open && column - last <= parting) open[1] = column + 1; else found.push([column, column + 1]);
    last = column;
  });
  return found.filter(([from, to]) => to - from >= Math.min(least, pens.length / 2));
}

/** The wall from one place along it to another. */
export function partOf(wall: WallCandidate, from: number, to: number): WallCandidate {
  const length = Math.hypot(wall.x2 - wall.x1, wall.y2 - wall.y1) || 1;
  const at = (t: number): [number, number] => [wall.x1 + ((wall.x2 - wall.x1) * t) / length, wall.y1 + ((wall.y2 - wall.y1) * t) / length];
  const [[x1, y1], [x2, y2]] = [at(from), at(to)];
  const { openings, ...rest } = wall;
  const kept = openings?.filter((o) => o.from >= from && o.to <= to).map((o) => ({ ...o, from: o.from - from, to: o.to - from })) ?? [];
  return { ...rest, x1, y1, x2, y2, ...(kept.length > 0 ? { openings: kept } : {}) };
}

/** A wall parted where another pen takes over; those parts are in doubt. */
function partedByPen(wall: WallCandidate, { pens, cell }: { readonly pens: Uint32Array; readonly cell: number }, usual: number): WallCandidate[] {
  const length = Math.hypot(wall.x2 - wall.x1, wall.y2 - wall.y1);
  const parts: WallCandidate[] = [];
  let done = 0;
  for (const stretch of otherwise(pens, usual, (CROSSING * wall.thickness) / cell, (LEAST_STRETCH * wall.thickness) / cell)) {
    // What is left over at an end is the corner.
    const from = stretch[0] * cell <= CROSSING * wall.thickness ? 0 : stretch[0] * cell;
    const to = length - stretch[1] * cell <= CROSSING * wall.thickness ? length : stretch[1] * cell;
    if (from > done) parts.push(partOf(wall, done, from));
    parts.push({ ...partOf(wall, from, to), doubt: 'pen' });
    done = to;
  }
  return done === 0 ? [wall] : done < length ? [...parts, partOf(wall, done, length)] : parts;
}

/** Narrow glazing in one column of one side: where the first band stands that is narrower than a wall (from middle to middle of its outer lines) and fuller than a thin partition; null for none. */
function glazingAt(isInk: (row: number) => boolean, from: number, to: number, narrow: number, line: number): number | null {
  for (let row = from; row < to; row++) {
    if (!isInk(row)) continue;
    let [last, inked, runs] = [row, 1, 1];
    // Lines nearer to each other than half of a wall belong together.
    for (let next = row + 1; next < to && next - last <= narrow / 2; next++) if (isInk(next)) { if (next > last + 1) runs += 1; inked += 1; last = next; }
    const wide = last + 1 - row;
    if (wide >= 2 * line && wide <= narrow + line && (runs >= 3 || inked >= DENSE * wide)) return row;
    row = last;
  }
  return null;
}

/** Whether open ground lies on one side of a wall and a glazed front goes along behind its other side. */
function isEdge(ink: InkNear, wall: WallCandidate, thinnest: number): boolean {
  const length = Math.hypot(wall.x2 - wall.x1, wall.y2 - wall.y1);
  if (length < LONG * wall.thickness) return false;
  const { look: { columns, rows, ink: seen }, cell, half } = alongWall(ink, wall, DEEP * wall.thickness);
  const isInk = (side: 1 | -1, column: number) => (off: number): boolean => seen[(rows / 2 + (side === 1 ? off : -1 - off)) * columns + column] === 1;
  // The ground begins where the faces have surely ended.
  const [ground, deep] = [Math.ceil(half * 1.5 + 1), rows / 2];
  const line = lineWidth(isInk, columns, ground);
  const isOpen = (side: 1 | -1): boolean => {
    let open = 0;
    for (let column = 0; column < columns; column++) { const is = isInk(side, column); let row = ground; while (row < deep && !is(row)) row++; if (row === deep) open += 1; }
    return open >= OPEN * columns;
  };
  const isGlazed = (side: 1 | -1): boolean => {
    const places = new Uint32Array(deep);
    for (let column = 0; column < columns; column++) {
      const at = glazingAt(isInk(side, column), ground, deep, thinnest / cell, line);
      if (at !== null && at >= half + BEHIND * 2 * half) places[at]! += 1;
    }
    // The front stands at one depth, give or take half a wall.
    let [along, most] = [0, 0];
    const window = Math.ceil(half);
    for (let row = 0; row < deep; row++) { along += places[row]! - (places[row - window] ?? 0); most = Math.max(most, along); }
    return most >= GLAZED * columns;
  };
  return ([1, -1] as const).some((side) => isOpen(side) && isGlazed(side === 1 ? -1 : 1));
}

/** A wall parted into its bays, from one wall that meets it to the next, where some of them are the edge of a balcony; those are in doubt. */
function partedByEdge(ink: InkNear, wall: WallCandidate, all: readonly WallCandidate[], thinnest: number): WallCandidate[] {
  const length = Math.hypot(wall.x2 - wall.x1, wall.y2 - wall.y1);
  if (length < LONG * wall.thickness) return [wall];
  const [ux, uy] = [(wall.x2 - wall.x1) / length, (wall.y2 - wall.y1) / length];
  const place = (x: number, y: number): [number, number] => [(x - wall.x1) * ux + (y - wall.y1) * uy, (y - wall.y1) * ux - (x - wall.x1) * uy];
  const stops = all.flatMap((other) => {
    const [[a, b], [c, d]] = [place(other.x1, other.y1), place(other.x2, other.y2)];
    const near = (wall.thickness + other.thickness) / 2;
    const isAcross = Math.abs(d - b) > Math.abs(c - a) && Math.min(b, d) <= near && Math.max(b, d) >= -near;
    const at = a + (c - a) * Math.min(1, Math.max(0, -b / (d - b || 1)));
    return isAcross && at > 0 && at < length ? [at] : [];
  }).sort((p, q) => p - q);
  const parts: { from: number; to: number; readonly isEdge: boolean }[] = [];
  [...stops, length].forEach((to, i, ends) => {
    const from = ends[i - 1] ?? 0;
    if (to <= from) return;
    const isIn = isEdge(ink, partOf(wall, from, to), thinnest);
    const last = parts.at(-1);
    if (last?.isEdge === isIn) last.to = to; else parts.push({ from, to, isEdge: isIn });
  });
  return parts.every((part) => !part.isEdge) ? [wall] : parts.map((part): WallCandidate => ({ ...partOf(wall, part.from, part.to), ...(part.isEdge ? { doubt: 'edge' } : {}) }));
}

/** How many cells across a line of the plan is: the middle one of those that make the wall's faces. */
function lineWidth(isInk: (side: 1 | -1, column: number) => (off: number) => boolean, columns: number, reach: number): number {
  const widths: number[] = [];
  for (let column = 0; column < columns; column++) for (const side of [1, -1] as const) {
    const is = isInk(side, column);
    for (let row = 0, run = 0; row <= reach; row++) if (row < reach && is(row)) run += 1; else { if (run > 0) widths.push(run); run = 0; }
  }
  return widths.sort((a, b) => a - b)[widths.length >> 1] ?? 1;
}

/**
 * Marks what may be no wall from floor to ceiling. Nothing goes: what is in doubt is offered as such, and a wall is
 * parted where another pen takes over.
 */
export function withDoubts(walls: readonly WallCandidate[], ink: InkNear, { thickness: [thinnest] }: Pick<OfferOptions, 'thickness'>): WallCandidate[] {
  const drawn = walls.map((wall) => (wall.doubt === undefined ? pensAlong(ink, wall) : null));
  const usual = pensOfWalls(drawn.filter((one) => one !== null));
  const parted = walls.flatMap((wall, i) => (drawn[i] ? partedByPen(wall, drawn[i], usual) : [wall]));
  return parted.flatMap((wall) => (wall.doubt === undefined ? partedByEdge(ink, wall, parted, thinnest) : [wall]));
}
