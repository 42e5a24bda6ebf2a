import { keepNotNegative, segmentsMeet, toIntegers, UNIT, WHOLE_LINE, windingNumber } from '../geometry/index';
import type { Ring, Stretch } from '../geometry/index';

/** How a sight line meets an obstacle: not at all, at nothing but its very start, or anywhere further along. */
export type Contact = 'none' | 'start' | 'beyond';

/** A straight line from (ax, ay, az) to (bx, by, bz): plan units and feet. */
export interface Line { readonly ax: number; readonly ay: number; readonly az: number; readonly bx: number; readonly by: number; readonly bz: number }
/** An upright prism by plain numbers. A ring means a polygon and leaves the wall's numbers unused. */
export interface Prism {
  readonly x1: number; readonly y1: number; readonly x2: number; readonly y2: number; readonly thickness: number;
  readonly bottom: number; readonly top: number; readonly ring: Ring | undefined;
}

/** Answers of a quick test in rounded arithmetic: sure to meet, sure to miss, or to be decided exactly. */
export const MEETS = 1; export const MISSES = -1; const UNSURE = 0;
type Quick = -1 | 0 | 1;

/** Whether the closed line and the closed prism share a point, exactly on the doubles as given. */
export function meets(line: Line, prism: Prism): boolean {
  const { bottom, top } = prism;
  const { az, bz } = line;
  if ((az > top && bz > top) || (az < bottom && bz < bottom)) return false;
  const whole = az >= bottom && az <= top && bz >= bottom && bz <= top;
  const quick = whole
    ? quickContact(line.ax, line.ay, line.bx, line.by, 0, prism)
    : quickBetweenHeights(line, prism);
  if (quick !== UNSURE) return quick === MEETS;
  // Thin walls at full height are by far the most frequent tie (walls drawn end to end); adaptive signs settle it cheaply.
  if (whole && !prism.ring && (prism.thickness === 0 || (prism.x1 === prism.x2 && prism.y1 === prism.y2)))
    return segmentsMeet(line.ax, line.ay, line.bx, line.by, prism.x1, prism.y1, prism.x2, prism.y2);
  return exactContact(line, prism) !== 'none';
}

/** The plan part of the line whose height lies within the prism, tested with an allowance for its rounded ends. */
function quickBetweenHeights(line: Line, prism: Prism): Quick {
  const { ax, ay, az, bz } = line;
  const vx = line.bx - ax; const vy = line.by - ay; const rise = bz - az;
  const toBottom = (prism.bottom - az) / rise; const toTop = (prism.top - az) / rise;
  const low = Math.max(0, Math.min(toBottom, toTop)); const high = Math.min(1, Math.max(toBottom, toTop));
  const doubt = 12 * UNIT * (Math.abs(ax) + Math.abs(ay) + Math.abs(vx) + Math.abs(vy));
  return quickContact(ax + low * vx, ay + low * vy, ax + high * vx, ay + high * vy, doubt, prism);
}

function quickContact(px: number, py: number, qx: number, qy: number, doubt: number, prism: Prism): Quick {
  if (!prism.ring) return quickWall(px, py, qx, qy, doubt, prism.x1, prism.y1, prism.x2, prism.y2, prism.thickness);
  const ring = prism.ring; const n = ring.length;
  let unsure = false;
  for (let i = 0, j = n - 2; i < n; j = i, i += 2) {
    const edge = quickWall(px, py, qx, qy, doubt, ring[j]!, ring[j + 1]!, ring[i]!, ring[i + 1]!, 0);
    if (edge === MEETS) return MEETS;
    if (edge === UNSURE) unsure = true;
  }
  if (unsure) return UNSURE;
  // No edge comes near the line, so all of it is inside or all of it is outside.
  return windingNumber(ring, px, py) !== 0 ? MEETS : MISSES;
}

/**
 * Segment against the closed rectangle of a wall by separating axes (the wall's two and the segment's normal), each
 * comparison kept clear of its own rounding bound. `doubt` is how far the segment's ends may be off, in each coordinate.
 */
export function quickWall(
  px: number, py: number, qx: number, qy: number, doubt: number,
  ax: number, ay: number, bx: number, by: number, thickness: number,
): Quick {
  const ex = bx - ax; const ey = by - ay;
  if (ex === 0 && ey === 0) return quickPoint(px, py, qx, qy, doubt, ax, ay);
  const ux = px - ax; const uy = py - ay; const wx = qx - ax; const wy = qy - ay;
  const spread = doubt * (Math.abs(ex) + Math.abs(ey));
  const squared = ex * ex + ey * ey; const length = Math.sqrt(squared);
  const half = 0.5 * thickness * length;
  // Across the wall.
  const u1 = ux * ey; const u2 = uy * ex; const w1 = wx * ey; const w2 = wy * ex;
  const fu = u1 - u2; const fw = w1 - w2;
  const slackF = 8 * UNIT * (Math.abs(u1) + Math.abs(u2) + Math.abs(w1) + Math.abs(w2) + half) + 2 * spread;
  const maxF = fu > fw ? fu : fw; const minF = fu > fw ? fw : fu;
  if (minF > half + slackF || maxF < -half - slackF) return MISSES;
  // The segment's own normal.
  const vx = qx - px; const vy = qy - py; const cx = bx - px; const cy = by - py;
  const a1 = vx * uy; const a2 = vy * ux; const b1 = vx * cy; const b2 = vy * cx;
  const sa = a2 - a1; const sb = b1 - b2;
  const reach = thickness === 0 ? 0 : (0.5 * thickness * Math.abs(vx * ex + vy * ey)) / length;
  const slackS = 8 * UNIT * (Math.abs(a1) + Math.abs(a2) + Math.abs(b1) + Math.abs(b2) + reach + 0.5 * thickness * (Math.abs(vx) + Math.abs(vy)))
    + 4 * doubt * (Math.abs(vx) + Math.abs(vy) + Math.abs(ux) + Math.abs(uy) + Math.abs(cx) + Math.abs(cy) + thickness + doubt);
  const maxS = sa > sb ? sa : sb; const minS = sa > sb ? sb : sa;
  if (minS > reach + slackS || maxS < -reach - slackS) return MISSES;
  // Along the wall.
  const gu = ux * ex + uy * ey; const gw = wx * ex + wy * ey;
  const slackG = 8 * UNIT * (Math.abs(ux * ex) + Math.abs(uy * ey) + Math.abs(wx * ex) + Math.abs(wy * ey) + squared) + 2 * spread;
  const maxG = gu > gw ? gu : gw; const minG = gu > gw ? gw : gu;
  if (minG > squared + slackG || maxG < -slackG) return MISSES;
  const sure = minF < half - slackF && maxF > slackF - half && minS < reach - slackS && maxS > slackS - reach
    && minG < squared - slackG && maxG > slackG;
  return sure ? MEETS : UNSURE;
}

/** quickWall for a bare wall and exact ends: two closed segments by four orientations, each beyond its rounding bound. */
export function quickSegments(px: number, py: number, qx: number, qy: number, ax: number, ay: number, bx: number, by: number): Quick {
  const vx = qx - px; const vy = qy - py;
  const a1 = vx * (ay - py); const a2 = vy * (ax - px); const b1 = vx * (by - py); const b2 = vy * (bx - px);
  const a = a1 - a2; const b = b1 - b2;
  const ab = 6 * UNIT * (Math.abs(a1) + Math.abs(a2) + Math.abs(b1) + Math.abs(b2));
  if ((a > ab && b > ab) || (a < -ab && b < -ab)) return MISSES;
  const ex = bx - ax; const ey = by - ay;
  const p1 = ex * (py - ay); const p2 = ey * (px - ax); const q1 = ex * (qy - ay); const q2 = ey * (qx - ax);
  const p = p1 - p2; const q = q1 - q2;
  const pq = 6 * UNIT * (Math.abs(p1) + Math.abs(p2) + Math.abs(q1) + Math.abs(q2));
  if ((p > pq && q > pq) || (p < -pq && q < -pq)) return MISSES;
  return Math.abs(a) > ab && Math.abs(b) > ab && Math.abs(p) > pq && Math.abs(q) > pq ? MEETS : UNSURE;
}

/** A zero-length wall is a point: a rounded segment may miss it for sure but never meets it for sure. */
function quickPoint(px: number, py: number, qx: number, qy: number, doubt: number, x: number, y: number): Quick {
  if (x < Math.min(px, qx) - doubt || x > Math.max(px, qx) + doubt) return MISSES;
  if (y < Math.min(py, qy) - doubt || y > Math.max(py, qy) + doubt) return MISSES;
  return UNSURE;
}

/** The same question in whole numbers, with the place of the contact. Slow and exact: for ties and the mounting wall. */
export function exactContact(line: Line, prism: Prism): Contact {
  const within = stretchBetween(line.az, line.bz, prism.bottom, prism.top);
  if (!within) return 'none';
  return prism.ring ? exactPolygon(line, prism.ring, within) : exactWall(line, prism, within);
}

/** The part of the line at heights bottom..top, either of which may be infinite. */
function stretchBetween(az: number, bz: number, bottom: number, top: number): Stretch | null {
  let within: Stretch | null = WHOLE_LINE;
  if (bottom !== -Infinity) {
    const [a, b, limit] = toIntegers([az, bz, bottom]) as [bigint, bigint, bigint];
    within = keepNotNegative(within, a - limit, b - a);
  }
  if (within && top !== Infinity) {
    const [a, b, limit] = toIntegers([az, bz, top]) as [bigint, bigint, bigint];
    within = keepNotNegative(within, limit - a, a - b);
  }
  return within;
}

function exactWall(line: Line, wall: Prism, within: Stretch): Contact {
  const [ax, ay, bx, by, x1, y1, x2, y2, t] = toIntegers(
    [line.ax, line.ay, line.bx, line.by, wall.x1, wall.y1, wall.x2, wall.y2, wall.thickness],
  ) as [bigint, bigint, bigint, bigint, bigint, bigint, bigint, bigint, bigint];
  return contactWithRectangle(ax, ay, bx, by, x1, y1, x2, y2, t, within);
}

/**
 * The rectangle about e = second - first end, half of t to each side, without square roots: a point p of the line lies in
 * it when 0 <= (p - first).e <= e.e and 4 ((p - first) x e)^2 <= t^2 e.e. Both products are linear along the line.
 */
function contactWithRectangle(
  ax: bigint, ay: bigint, bx: bigint, by: bigint, x1: bigint, y1: bigint, x2: bigint, y2: bigint, t: bigint, within: Stretch,
): Contact {
  const isPoint = x1 === x2 && y1 === y2;
  const ex = isPoint ? 1n : x2 - x1; const ey = y2 - y1;
  const alongEnd = isPoint ? 0n : ex * ex + ey * ey;
  const width = isPoint ? 0n : t * t * alongEnd;
  const vx = bx - ax; const vy = by - ay; const wx = ax - x1; const wy = ay - y1;
  const along = wx * ex + wy * ey; const alongSlope = vx * ex + vy * ey;
  const first = keepNotNegative(within, along, alongSlope);
  const stretch = first && keepNotNegative(first, alongEnd - along, -alongSlope);
  if (!stretch) return 'none';
  const across = wx * ey - wy * ex; const slope = vx * ey - vy * ex;
  const { low, lowOver, high, highOver } = stretch;
  const atLow = across * lowOver + slope * low; const atHigh = across * highOver + slope * high;
  const lowIn = 4n * atLow * atLow <= width * lowOver * lowOver;
  const highIn = 4n * atHigh * atHigh <= width * highOver * highOver;
  const crosses = (atLow > 0n && atHigh < 0n) || (atLow < 0n && atHigh > 0n);
  if (!lowIn && !highIn && !crosses) return 'none';
  if (low > 0n) return 'beyond';
  if (high === 0n) return 'start';
  if (highIn || crosses) return 'beyond';
  // Only the start is sure: the line goes on inside unless it stands on the face and leaves it.
  const onFace = 4n * across * across === width;
  return onFace && across * slope >= 0n ? 'start' : 'beyond';
}

function exactPolygon(line: Line, ring: Ring, within: Stretch): Contact {
  const whole = toIntegers([line.ax, line.ay, line.bx, line.by, ...Array.from(ring)]);
  const [ax, ay, bx, by] = whole as [bigint, bigint, bigint, bigint];
  const corner = (i: number): [bigint, bigint] => [whole[4 + i]!, whole[5 + i]!];
  const n = ring.length;
  let start = false;
  for (let i = 0, j = n - 2; i < n; j = i, i += 2) {
    const [x1, y1] = corner(j); const [x2, y2] = corner(i);
    const edge = contactWithRectangle(ax, ay, bx, by, x1, y1, x2, y2, 0n, within);
    if (edge === 'beyond') return 'beyond';
    if (edge === 'start') start = true;
  }
  // Past its start the line touches no edge, so any point of it tells inside from outside; the far end is one.
  const { high, highOver: over } = within;
  const px = ax * over + (bx - ax) * high; const py = ay * over + (by - ay) * high;
  if (high === 0n && start) return 'start';
  let winding = 0;
  for (let i = 0, j = n - 2; i < n; j = i, i += 2) {
    const [x1, y1] = corner(j); const [x2, y2] = corner(i);
    const above = y1 * over > py;
    if (above === y2 * over > py) continue;
    const side = (x2 - x1) * (py - y1 * over) - (y2 - y1) * (px - x1 * over);
    if (above ? side > 0n : side < 0n) winding += above ? -1 : 1;
  }
  if (winding !== 0) return high === 0n ? 'start' : 'beyond';
  return start ? 'start' : 'none';
}

/**
 * Where along the line (0 to 1) it first lies in a prism that it meets. Rounded, for showing; the verdict is not made of it.
 */
export function firstContact(line: Line, prism: Prism): number {
  const { ax, ay, az } = line;
  const vx = line.bx - ax; const vy = line.by - ay; const rise = line.bz - az;
  let low = 0; let high = 1;
  if (rise !== 0) {
    const toBottom = (prism.bottom - az) / rise; const toTop = (prism.top - az) / rise;
    low = Math.max(0, Math.min(toBottom, toTop)); high = Math.min(1, Math.max(toBottom, toTop));
  }
  if (!prism.ring) return enterWall(ax, ay, vx, vy, prism.x1, prism.y1, prism.x2, prism.y2, prism.thickness, low, high) ?? low;
  const ring = prism.ring; const n = ring.length;
  const px = ax + low * vx; const py = ay + low * vy;
  if (windingNumber(ring, px, py) !== 0) return low;
  let first = high;
  for (let i = 0, j = n - 2; i < n; j = i, i += 2) {
    const s = enterWall(ax, ay, vx, vy, ring[j]!, ring[j + 1]!, ring[i]!, ring[i + 1]!, 0, low, high);
    if (s !== null && s < first) first = s;
  }
  return first;
}

/** Rounded entry into a wall's rectangle within low..high of the line; null when it lies clearly outside. */
export function enterWall(
  ax: number, ay: number, vx: number, vy: number, x1: number, y1: number, x2: number, y2: number, thickness: number, low: number, high: number,
): number | null {
  const ex = x2 - x1; const ey = y2 - y1; const squared = ex * ex + ey * ey;
  const wx = ax - x1; const wy = ay - y1;
  if (squared === 0) {
    const length = vx * vx + vy * vy;
    return length === 0 ? low : Math.min(high, Math.max(low, -(wx * vx + wy * vy) / length));
  }
  const half = 0.5 * thickness * Math.sqrt(squared);
  const across = wx * ey - wy * ex; const acrossSlope = vx * ey - vy * ex;
  const along = wx * ex + wy * ey; const alongSlope = vx * ex + vy * ey;
  const tiny = 1e-9;
  let from = low; let to = high;
  for (const [start, slope, limit] of [[across + half, acrossSlope, 0], [half - across, -acrossSlope, 0], [along, alongSlope, 0], [squared - along, -alongSlope, 0]] as const) {
    if (slope > 0) from = Math.max(from, (limit - start) / slope);
    else if (slope < 0) to = Math.min(to, (limit - start) / slope);
    else if (start < -tiny * squared) return null;
  }
  if (from > to + tiny) return null;
  return Math.min(high, Math.max(low, Math.min(from, to)));
}
