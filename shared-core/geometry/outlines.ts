/** One edge of an outline. With `arc` it runs along that circle with growing angle atan2(y - cy, x - cx), else straight. */
export interface OutlineEdge {
  readonly x1: number; readonly y1: number; readonly x2: number; readonly y2: number;
  readonly arc?: Circle;
}
export interface Circle { readonly cx: number; readonly cy: number; readonly radius: number }
/** A closed run of edges; the outlined ground lies on the side of growing angle (left in x-right, y-up terms), holes turn the other way. */
export type Outline = readonly OutlineEdge[];

/** Angle swept by an arc edge, 0 to 2 pi. */
export function sweptAngle(edge: OutlineEdge, arc: Circle): number {
  const ux = edge.x1 - arc.cx; const uy = edge.y1 - arc.cy; const vx = edge.x2 - arc.cx; const vy = edge.y2 - arc.cy;
  const angle = Math.atan2(ux * vy - uy * vx, ux * vx + uy * vy);
  // A hair below zero is a very short arc with rounded ends, not a full turn: full turns are split by whoever makes outlines.
  return angle < -1e-9 ? angle + 2 * Math.PI : Math.max(0, angle);
}

/** Area enclosed by outlines, arcs exact; in the square of the coordinates' unit. */
export function areaOfOutlines(outlines: readonly Outline[]): number {
  let twice = 0;
  const origin = outlines[0]?.[0]; if (!origin) return 0;
  const ox = origin.x1; const oy = origin.y1;
  for (const outline of outlines) for (const edge of outline) {
    twice += (edge.x1 - ox) * (edge.y2 - oy) - (edge.y1 - oy) * (edge.x2 - ox);
    if (edge.arc) { const angle = sweptAngle(edge, edge.arc); twice += edge.arc.radius ** 2 * angleMinusSine(angle); }
  }
  return twice / 2;
}

/** x - sin x without cancellation for small x. */
export function angleMinusSine(x: number): number {
  if (Math.abs(x) > 0.3) return x - Math.sin(x);
  const x2 = x * x;
  return (x * x2 / 6) * (1 - (x2 / 20) * (1 - (x2 / 42) * (1 - (x2 / 72) * (1 - (x2 / 110) * (1 - x2 / 156)))));
}

/** Whether a point lies inside outlines (rounded: near an edge either answer may come). */
export function outlinesContain(outlines: readonly Outline[], x: number, y: number): boolean {
  let winding = 0;
  for (const outline of outlines) for (const edge of outline) {
    winding += crossingsRightOf(edge.x1, edge.y1, edge.x2, edge.y2, x, y);
    if (edge.arc) winding += insideArcCap(edge, edge.arc, x, y) ? 1 : 0;
  }
  return winding !== 0;
}

function crossingsRightOf(x1: number, y1: number, x2: number, y2: number, x: number, y: number): number {
  if ((y1 > y) === (y2 > y)) return 0;
  const side = (x2 - x1) * (y - y1) - (y2 - y1) * (x - x1);
  return y2 > y1 ? (side > 0 ? 1 : 0) : side < 0 ? -1 : 0;
}

/** Whether the point lies between an arc and its chord. */
function insideArcCap(edge: OutlineEdge, arc: Circle, x: number, y: number): boolean {
  const dx = x - arc.cx; const dy = y - arc.cy;
  if (dx * dx + dy * dy >= arc.radius * arc.radius) return false;
  const side = (edge.x2 - edge.x1) * (y - edge.y1) - (edge.y2 - edge.y1) * (x - edge.x1);
  // On the chord itself the point goes to the side that crossingsRightOf takes it to: a chord runs through the inside.
  return side === 0 ? edge.y2 > edge.y1 || (edge.y2 === edge.y1 && edge.x2 < edge.x1) : side < 0;
}

export interface Nearest { readonly distance: number; readonly x: number; readonly y: number }

/** The point of a straight segment nearest to (x, y). */
export function nearestOnSegment(x1: number, y1: number, x2: number, y2: number, x: number, y: number): Nearest {
  const dx = x2 - x1; const dy = y2 - y1; const length2 = dx * dx + dy * dy;
  const s = length2 === 0 ? 0 : Math.min(1, Math.max(0, ((x - x1) * dx + (y - y1) * dy) / length2));
  const px = x1 + s * dx; const py = y1 + s * dy;
  return { distance: Math.hypot(x - px, y - py), x: px, y: py };
}

/** The point of an outline's edge nearest to (x, y). */
export function nearestOnEdge(edge: OutlineEdge, x: number, y: number): Nearest {
  if (!edge.arc) return nearestOnSegment(edge.x1, edge.y1, edge.x2, edge.y2, x, y);
  const { cx, cy, radius } = edge.arc; const d = Math.hypot(x - cx, y - cy);
  if (d > 0) {
    const px = cx + ((x - cx) * radius) / d; const py = cy + ((y - cy) * radius) / d;
    const whole = sweptAngle(edge, edge.arc); const part = sweptAngle({ ...edge, x2: px, y2: py }, edge.arc);
    if (part <= whole) return { distance: Math.abs(d - radius), x: px, y: py };
  }
  const first = Math.hypot(x - edge.x1, y - edge.y1); const last = Math.hypot(x - edge.x2, y - edge.y2);
  return first <= last ? { distance: first, x: edge.x1, y: edge.y1 } : { distance: last, x: edge.x2, y: edge.y2 };
}
