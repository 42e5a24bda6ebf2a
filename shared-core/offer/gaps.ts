import type { DoorArc, OfferOptions, PlanLine, WallCandidate } from './candidate';

/** A leaf as wide as so many of the thinnest, and at most so many of the thickest walls looked for: 0.5 to 1.5 m for walls of 0.1 to 0.5 m. */
export const LEAF: Readonly<[number, number]> = [4, 3];
/** A leaf takes at least this share of its half or whole of the gap: the rest is frames. */
export const LEAST_SHARE = 0.75;
/** And is hardly longer than it. */
const MOST_SHARE = 1.06;
/** Leaves that are not drawn square to the wall are drawn at 30 to 60 degrees, mostly 45; flatter or steeper ones could be faces. */
export const SLANT: Readonly<[number, number]> = [28, 62];

/** x, y: the middle of the wall's end, from where the gap goes on along ux, uy. */
export interface Gap { readonly x: number; readonly y: number; readonly ux: number; readonly uy: number; readonly width: number; readonly thickness: number }

/** Gaps at the ends of walls: up to the next piece in line, or up to the wall that stands across. */
export function* gapsOf(walls: readonly WallCandidate[], least: number, most: number): Generator<Gap> {
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

/**
 * Leaves of a drawing that stand open at a slant in the gaps of its walls, with or without their way: a line as long as
 * the gap is wide from one of its jambs. Each is told as the arc that would close it.
 */
export function slantedLeaves(lines: readonly PlanLine[], walls: readonly WallCandidate[], { thickness }: Pick<OfferOptions, 'thickness'>): DoorArc[] {
  const found: DoorArc[] = [];
  const [least, most] = [LEAF[0] * thickness[0], LEAF[1] * thickness[1]];
  const turns = SLANT.map((degrees) => Math.cos((degrees * Math.PI) / 180));
  for (const { x, y, ux, uy, width, thickness: wide } of gapsOf(walls, least, most)) for (const way of [1, -1] as const) {
    const [jx, jy] = way === 1 ? [x, y] : [x + ux * width, y + uy * width];
    for (const line of lines) for (const [hx, hy, tx, ty] of [[line.x1, line.y1, line.x2, line.y2], [line.x2, line.y2, line.x1, line.y1]] as const) {
      const length = Math.hypot(tx - hx, ty - hy);
      if (length < LEAST_SHARE * width || length > MOST_SHARE * width) continue;
      const [along, across] = [(hx - jx) * ux + (hy - jy) * uy, (hy - jy) * ux - (hx - jx) * uy];
      if (Math.abs(along) > wide / 2 + (1 - LEAST_SHARE) * width / 2 || Math.abs(across) > 0.75 * wide) continue;
      const turn = (way * ((tx - hx) * ux + (ty - hy) * uy)) / length;
      if (turn <= turns[0]! && turn >= turns[1]!) found.push({ x: hx, y: hy, radius: length, ends: [[hx + way * ux * length, hy + way * uy * length], [tx, ty]] });
    }
  }
  return found;
}
