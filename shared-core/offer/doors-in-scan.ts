import type { DoorArc, OfferOptions, WallCandidate } from './candidate';
import { LEAF, LEAST_SHARE, SLANT, gapsOf } from './gaps';
import type { InkNear, Look } from './wall-body';

/** A gap is looked at with so many cells along. */
const CELLS = 48;
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

/** A slanting leaf is looked for in steps of so many degrees, and so far to both sides of it lies paper: hatching and braces go on. */
const SLANT_STEP = 2;
const SLANT_BESIDE: readonly number[] = [-13, -9, 9, 13];
const SLANT_DRAWN = 0.9;

/** A leaf that stands open at a slant, hung at one end of a stretch of the window: a straight line as long as the gap is wide. */
function slantedLeafIn({ columns, rows, ink }: Look, thick: Uint8Array, from: number, width: number, latch: 1 | -1, half: number): { readonly hinge: readonly [number, number]; readonly radius: number; readonly side: 1 | -1 } | null {
  const isOn = (map: Uint8Array, column: number, row: number): boolean => { const [c, r] = [Math.floor(column), Math.floor(row)]; return c >= 0 && r >= 0 && c < columns && r < rows && map[r * columns + c] === 1; };
  const drawn = (map: Uint8Array, [x, y]: readonly [number, number], degrees: number, side: 1 | -1, start: number, end: number): number => {
    const [cos, sin] = [latch * Math.cos((degrees * Math.PI) / 180), side * Math.sin((degrees * Math.PI) / 180)];
    let [inked, all] = [0, 0];
    for (let at = start; at < end; at += 1) { all += 1; if (isOn(map, x + cos * at, y + sin * at)) inked += 1; }
    return all === 0 ? 0 : inked / all;
  };
  for (const side of [1, -1] as const) for (let inside = -1; inside <= (width * (1 - LEAST_SHARE)) / 2; inside += 1) for (const off of [side * half, 0, (side * half) / 2]) {
    const hinge = [from + latch * inside, rows / 2 + off] as const;
    for (let degrees = SLANT[0]; degrees <= SLANT[1]; degrees += SLANT_STEP) {
      if (drawn(thick, hinge, degrees, side, 0.15 * width, LEAST_SHARE * width) < SLANT_DRAWN) continue;
      if (drawn(ink, hinge, degrees, side, 0.15 * width, LEAST_SHARE * width) < DRAWN_SHARP) continue;
      // Its tip stands free: in the whole fan beyond it lies paper.
      if ([-8, -4, 0, 4, 8].some((turn) => drawn(thick, hinge, degrees + turn, side, 1.12 * width, 1.3 * width) > BESIDE)) continue;
      if (SLANT_BESIDE.some((turn) => drawn(ink, hinge, degrees + turn, side, 0.4 * width, 0.85 * width) > WITHIN)) continue;
      return { hinge, radius: width, side };
    }
  }
  return null;
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
 * Ways of door leaves that a scan shows in the gaps of its walls: the quarter circle and the leaf standing open, or a leaf
 * that stands open at a slant. A gap without them stays a gap. One leaf as wide as the gap, or two of half its width.
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
      const [slantedNear, slantedFar] = [slantedLeafIn(look, thick, start, across, 1, half), slantedLeafIn(look, thick, end, across, -1, half)];
      if (slantedNear) take(slantedNear, 1); else if (slantedFar) take(slantedFar, -1);
      if (slantedNear || slantedFar) continue;
    }
    if (width < 2 * least) continue;
    const [near, far] = [leafIn(look, thick, start, across / 2, 1, half), leafIn(look, thick, end, across / 2, -1, half)];
    // Two leaves of like width that meet.
    if (near?.side === far?.side && near && far && Math.abs(near.radius - far.radius) <= 0.15 * across) { take(near, 1); take(far, -1); }
  }
  return found;
}
