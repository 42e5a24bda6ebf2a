import type { DoorArc, OfferOptions, WallCandidate } from './candidate';
import type { InkNear, Look } from './wall-body';

/** A leaf as wide as so many of the thinnest, and at most so many of the thickest walls looked for: 0.5 to 1.5 m for walls of 0.1 to 0.5 m. */
const LEAF: Readonly<[number, number]> = [4, 3];
/** A gap is looked at with so many cells along. */
const CELLS = 48;
/** A leaf takes at least this share of its half or whole of the gap: the rest is frames. */
const LEAST_SHARE = 0.75;
/** Of the way of a leaf this share must be drawn, and so much of each third of it; of the leaf itself so much. */
const DRAWN = 0.85;
const DRAWN_THIRD = 0.7;
const LEAF_DRAWN = 0.8;
/** On one circle exactly, without a cell to spare, this share is drawn. */
const DRAWN_SHARP = 0.5;
/** Beside the way no more than this share is ink: hatching and letters cover everything. */
const BESIDE = 0.3;
/** Between leaf, way and wall lies paper: at most this share of it is ink, as tiles leave. */
const WITHIN = 0.14;
const BESIDE_AT: readonly number[] = [0.6, 0.78, 1.2];

interface Gap { readonly x: number; readonly y: number; readonly ux: number; readonly uy: number; readonly width: number; readonly thickness: number }

/** Gaps at the ends of walls: up to the next piece in line, or up to the wall that stands across. */
function* gapsOf(walls: readonly WallCandidate[], least: number, most: number): Generator<Gap> {
  for (const [index, wall] of walls.entries()) for (const way of [1, -1] as const) {
    const [fromX, fromY, x, y] = way === 1 ? [wall.x1, wall.y1, wall.x2, wall.y2] : [wall.x2, wall.y2, wall.x1, wall.y1];
    const length = Math.hypot(x - fromX, y - fromY) || 1;
    const [ux, uy] = [(x - fromX) / length, (y - fromY) / length];
    let nearest = Infinity;
    let beyond = Infinity;
    for (const [at, other] of walls.entries()) {
      if (other === wall) continue;
      const place = (px: number, py: number): [number, number] => [(px - x) * ux + (py - y) * uy, (py - y) * ux - (px - x) * uy];
      const [[a, b], [c, d]] = [place(other.x1, other.y1), place(other.x2, other.y2)];
      const near = (wall.thickness + other.thickness) / 4;
      if (Math.max(Math.abs(b), Math.abs(d)) <= near) {
        const start = Math.min(a, c);
        if (start > 0 && start < nearest) { nearest = start; beyond = at; }
      } else if (Math.min(b, d) <= near && Math.max(b, d) >= -near && Math.abs(d - b) > Math.abs(c - a)) {
        const reach = a + ((c - a) * Math.min(1, Math.max(0, -b / (d - b)))) - other.thickness / 2;
        if (reach > 0 && reach < nearest) { nearest = reach; beyond = Infinity; }
      }
    }
    // A gap between two pieces is met from both of them: once is enough.
    if (nearest >= least && nearest <= most && beyond > index) yield { x, y, ux, uy, width: nearest, thickness: wall.thickness };
  }
}

/** Share of the way about a hinge that is ink, and the least of its thirds; columns, rows and radius in cells. 0 as soon as it is less than the least wanted. */
function wayDrawn(isInk: (column: number, row: number) => boolean, hinge: readonly [number, number], radius: number, latch: 1 | -1, side: 1 | -1, least = 0): { readonly all: number; readonly third: number } {
  const steps = Math.max(12, Math.ceil(radius * 1.2));
  const thirds = [0, 0, 0];
  let spare = Math.floor((1 - least) * steps);
  for (let i = 0; i < steps; i++) {
    const angle = ((8 + (74 * (i + 0.5)) / steps) * Math.PI) / 180;
    if (isInk(hinge[0] + latch * radius * Math.cos(angle), hinge[1] + side * radius * Math.sin(angle))) thirds[Math.floor((3 * i) / steps)]! += 1;
    else if (--spare < 0) return { all: 0, third: 0 };
  }
  return { all: (thirds[0]! + thirds[1]! + thirds[2]!) / steps, third: (3 * Math.min(...thirds)) / steps };
}

/** Share of ink in what a leaf sweeps, leaf and way left out. */
function inkWithin(isInk: (column: number, row: number) => boolean, hinge: readonly [number, number], radius: number, latch: 1 | -1, side: 1 | -1): number {
  let [inked, all] = [0, 0];
  for (let u = 3; u < radius; u += 1) for (let v = 3; u * u + v * v < (radius - 3) ** 2; v += 1) { all += 1; if (isInk(hinge[0] + latch * u, hinge[1] + side * v)) inked += 1; }
  return all === 0 ? 1 : inked / all;
}

/** The best leaf hung at one end of a stretch of the window, or none. */
function leafIn({ columns, rows, ink }: Look, thick: Uint8Array, from: number, width: number, latch: 1 | -1, half: number): { readonly hinge: readonly [number, number]; readonly radius: number; readonly side: 1 | -1 } | null {
  const on = (map: Uint8Array) => (column: number, row: number): boolean => { const [c, r] = [Math.floor(column), Math.floor(row)]; return c >= 0 && r >= 0 && c < columns && r < rows && map[r * columns + c] === 1; };
  const [isInk, isThickInk] = [on(ink), on(thick)];
  let best: { readonly hinge: readonly [number, number]; readonly radius: number; readonly side: 1 | -1 } | null = null;
  let most = 0;
  for (const side of [1, -1] as const) for (let radius = Math.ceil(width * 1.06); radius >= LEAST_SHARE * width; radius -= 1) {
    // Hung at its end of the gap or a frame's width inside it; at the middle of the wall or at one of its faces.
    for (let inside = -1; inside <= width * (1 - LEAST_SHARE); inside += 1) for (const off of [0, half / 2, half, -half / 2, -half]) {
      const hinge = [from + latch * inside, rows / 2 + off] as const;
      const { all, third } = wayDrawn(isThickInk, hinge, radius, latch, side, DRAWN);
      if (all < DRAWN || third < DRAWN_THIRD || all <= most) continue;
      const steps = Math.ceil(radius);
      let leaf = 0;
      for (let i = 0; i < steps; i++) if (isThickInk(hinge[0], hinge[1] + side * radius * (0.15 + (0.8 * (i + 0.5)) / steps))) leaf += 1;
      if (leaf < LEAF_DRAWN * steps) continue;
      if (wayDrawn(isInk, hinge, radius, latch, side).all < DRAWN_SHARP && wayDrawn(isInk, hinge, radius + 1, latch, side).all < DRAWN_SHARP && wayDrawn(isInk, hinge, radius - 1, latch, side).all < DRAWN_SHARP) continue;
      if (inkWithin(isInk, hinge, radius, latch, side) > WITHIN) continue;
      if (BESIDE_AT.some((share) => wayDrawn(isInk, hinge, radius * share, latch, side).all > BESIDE)) continue;
      most = all;
      best = { hinge, radius, side };
    }
  }
  return best;
}

/** Each cell with its neighbours laid over it. */
function thickened({ columns, rows, ink }: Look): Uint8Array {
  const thick = new Uint8Array(ink.length);
  for (let row = 0; row < rows; row++) for (let column = 0; column < columns; column++) {
    if (ink[row * columns + column] !== 1) continue;
    for (let r = Math.max(0, row - 1); r <= Math.min(rows - 1, row + 1); r++) for (let c = Math.max(0, column - 1); c <= Math.min(columns - 1, column + 1); c++) thick[r * columns + c] = 1;
  }
  return thick;
}

/**
 * Ways of door leaves that a scan shows in the gaps of its walls: the quarter circle and the leaf standing open. A gap
 * without them stays a gap. One leaf as wide as the gap, or two of half its width.
 */
export function arcsInScan(ink: InkNear, walls: readonly WallCandidate[], { thickness }: Pick<OfferOptions, 'thickness'>): DoorArc[] {
  const found: DoorArc[] = [];
  const [least, most] = [LEAF[0] * thickness[0], LEAF[1] * thickness[1]];
  for (const { x, y, ux, uy, width, thickness: wide } of gapsOf(walls, least, 2 * most)) {
    const cell = Math.max(ink.finest, width / CELLS);
    const across = width / cell;
    const back = Math.ceil(across / 4);
    const look = ink.look({ x, y, ux, uy, cell, back, columns: Math.ceil(1.5 * across), rows: 2 * Math.ceil(1.3 * across) });
    const thick = thickened(look);
    const half = wide / 2 / cell;
    const place = (column: number, row: number): [number, number] => {
      const [u, v] = [(column - back) * cell, (row - look.rows / 2) * cell];
      return [x + u * ux - v * uy, y + u * uy + v * ux];
    };
    const take = (leaf: NonNullable<ReturnType<typeof leafIn>>, latch: 1 | -1): void => {
      const [hx, hy] = place(...leaf.hinge);
      found.push({ x: hx, y: hy, radius: leaf.radius * cell, ends: [place(leaf.hinge[0] + latch * leaf.radius, leaf.hinge[1]), place(leaf.hinge[0], leaf.hinge[1] + leaf.side * leaf.radius)] });
    };
    const [start, end] = [back, back + across];
    if (width <= most) {
      const [near, far] = [leafIn(look, thick, start, across, 1, half), leafIn(look, thick, end, across, -1, half)];
      if (near) take(near, 1); else if (far) take(far, -1);
      if (near || far) continue;
    }
    if (width < 2 * least) continue;
    const [near, far] = [leafIn(look, thick, start, across / 2, 1, half), leafIn(look, thick, end, across / 2, -1, half)];
    // Two leaves of like width that meet.
    if (near?.side === far?.side && near && far && Math.abs(near.radius - far.radius) <= 0.15 * across) { take(near, 1); take(far, -1); }
  }
  return found;
}
