import type { Box } from './polygons';

interface Vector { readonly x: number; readonly y: number }

/** How a plane looks from elsewhere: x' = (a x + b y + c) / w, y' = (d x + e y + f) / w, w = g x + h y + i. Straight lines stay straight. */
export type Homography = readonly [a: number, b: number, c: number, d: number, e: number, f: number, g: number, h: number, i: number];

/** The corners of a four-sided figure in order around it. */
export type Corners = readonly [Vector, Vector, Vector, Vector];

export const PLAIN_VIEW: Homography = [1, 0, 0, 0, 1, 0, 0, 0, 1];

/** Share of the distance to the eye's plane: above 0 for what the eye sees, 0 on the horizon. */
export const depthUnder = ([, , , , , , g, h, i]: Homography, p: Vector): number => g * p.x + h * p.y + i;

/** Where a point comes to lie; not finite on the horizon. */
export function applyHomography(m: Homography, p: Vector): { x: number; y: number } {
  const w = depthUnder(m, p);
  return { x: (m[0] * p.x + m[1] * p.y + m[2]) / w, y: (m[3] * p.x + m[4] * p.y + m[5]) / w };
}

/** First `inner`, then `outer`. */
export function composeHomography(outer: Homography, inner: Homography): Homography {
  const cell = (row: number, column: number): number => outer[3 * row]! * inner[column]! + outer[3 * row + 1]! * inner[column + 3]! + outer[3 * row + 2]! * inner[column + 6]!;
  return [cell(0, 0), cell(0, 1), cell(0, 2), cell(1, 0), cell(1, 1), cell(1, 2), cell(2, 0), cell(2, 1), cell(2, 2)];
}

const determinant = ([a, b, c, d, e, f, g, h, i]: Homography): number => a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g);

/** The way back; what was in front of the eye stays in front. @throws RangeError when the plane is seen edge on */
export function invertHomography(m: Homography): Homography {
  const [a, b, c, d, e, f, g, h, i] = m;
  const det = determinant(m);
  if (!(Math.abs(det) > 0)) throw new RangeError('a plane seen edge on has no way back');
  return [(e * i - f * h) / det, (c * h - b * i) / det, (b * f - c * e) / det, (f * g - d * i) / det, (a * i - c * g) / det, (c * d - a * f) / det,
    (d * h - e * g) / det, (b * g - a * h) / det, (a * e - b * d) / det];
}

/** How much larger things come out around a point: the square root of how areas grow there. */
export const enlargementAt = (m: Homography, p: Vector): number => Math.sqrt(Math.abs(determinant(m)) / Math.abs(depthUnder(m, p)) ** 3);

/** Leads from the unit square (0,0), (1,0), (1,1), (0,1) to the corners. Closed form: Fundamentals of Texture Mapping and Image Warping (1989), 2.2.3. */
function fromUnitSquare([p, q, r, s]: Corners): Homography {
  const [ux, uy] = [p.x - q.x + r.x - s.x, p.y - q.y + r.y - s.y];
  const [vx, vy, wx, wy] = [q.x - r.x, q.y - r.y, s.x - r.x, s.y - r.y];
  const det = vx * wy - wx * vy;
  const [g, h] = [(ux * wy - wx * uy) / det, (vx * uy - ux * vy) / det];
  return [q.x - p.x + g * q.x, s.x - p.x + h * s.x, p.x, q.y - p.y + g * q.y, s.y - p.y + h * s.y, p.y, g, h, 1];
}

/** The one homography that leads four corners to four others, in front of the eye between them. @throws RangeError for corners that cornerFault names */
export function homographyBetween(from: Corners, to: Corners): Homography {
  if (cornerFault(from) !== null || cornerFault(to) !== null) throw new RangeError('four corners that make no four-sided figure');
  return composeHomography(fromUnitSquare(to), invertHomography(fromUnitSquare(from)));
}

export const cornersOfBox = ({ minX, minY, maxX, maxY }: Box): Corners => [{ x: minX, y: minY }, { x: maxX, y: minY }, { x: maxX, y: maxY }, { x: minX, y: maxY }];

export type CornerFault = 'in-line' | 'crossed' | 'dented';

/** About one degree: three corners that bend by less count as in one line, for a hand is no surer. */
const LEAST_BEND = 0.02;

/** What keeps four corners from being a rectangle seen at a slant: three of them in one line, sides that cross, or a corner that points inwards. */
export function cornerFault(corners: Corners): CornerFault | null {
  const bends = corners.map((at, i) => {
    const before = corners[(i + 3) % 4]!; const after = corners[(i + 1) % 4]!;
    const [ax, ay, bx, by] = [at.x - before.x, at.y - before.y, after.x - at.x, after.y - at.y];
    const reach = Math.hypot(ax, ay) * Math.hypot(bx, by);
    return reach > 0 ? (ax * by - ay * bx) / reach : 0;
  });
  const right = bends.filter((bend) => bend >= LEAST_BEND).length; const left = bends.filter((bend) => bend <= -LEAST_BEND).length;
  if (right === 4 || left === 4) return null;
  if (right + left < 4 || bends.some((bend) => !Number.isFinite(bend))) return 'in-line';
  return right === 2 ? 'crossed' : 'dented';
}

/** Four points in order around their middle, clockwise on a y-down sheet, the upper left first: nobody need pick them in order. */
export function cornersAround(points: Corners): Corners {
  const middle = { x: points.reduce((sum, p) => sum + p.x / 4, 0), y: points.reduce((sum, p) => sum + p.y / 4, 0) };
  const around = [...points].sort((a, b) => Math.atan2(a.y - middle.y, a.x - middle.x) - Math.atan2(b.y - middle.y, b.x - middle.x));
  const first = around.reduce((best, p, i) => (p.x + p.y < around[best]!.x + around[best]!.y ? i : best), 0);
  return [0, 1, 2, 3].map((i) => around[(first + i) % 4]!) as unknown as Corners;
}

/**
 * Width over height of a rectangle from how its corners are seen, for a camera of square picture elements that looks through the
 * middle of its picture. Derived from the camera's equation: the two sides are square to each other in space, which tells the distance
 * of the picture from the eye (published as Whiteboard scanning and image enhancement, Digital Signal Processing 17, 2007).
 * @param middle of the whole picture, where the camera looks
 * @param usual the distance of the picture from the eye, in its units, taken where the corners do not tell it: seen straight on, they never do
 */
export function ratioOfRectangle([p, q, r, s]: Corners, middle: Vector, usual: number): number {
  const seen = (c: Vector): readonly [number, number, number] => [c.x - middle.x, c.y - middle.y, 1];
  const [m1, m2, m3, m4] = [seen(p), seen(q), seen(s), seen(r)];
  const k2 = triple(m1, m4, m3) / triple(m2, m4, m3);
  const k3 = triple(m1, m4, m2) / triple(m3, m4, m2);
  const across = m2.map((v, i) => k2 * v - m1[i]!); const down = m3.map((v, i) => k3 * v - m1[i]!);
  const squared = -(across[0]! * down[0]! + across[1]! * down[1]!) / (across[2]! * down[2]!);
  const isTold = Math.abs(across[2]! * down[2]!) > LEAST_SLANT && squared > (usual / 3) ** 2 && squared < (3 * usual) ** 2;
  const f = isTold ? Math.sqrt(squared) : usual;
  return Math.hypot(across[0]!, across[1]!, across[2]! * f) / Math.hypot(down[0]!, down[1]!, down[2]! * f);
}

/** Sides that run together by less than this share, both ways at once, do not tell how far the eye was. */
const LEAST_SLANT = 1e-3;

type Triple = readonly [number, number, number];
const triple = (a: Triple, b: Triple, c: Triple): number =>
  (a[1] * b[2] - a[2] * b[1]) * c[0] + (a[2] * b[0] - a[0] * b[2]) * c[1] + (a[0] * b[1] - a[1] * b[0]) * c[2];

/** The part of a convex figure where the depth is at least so much. */
export function inFrontOf(m: Homography, figure: readonly Vector[], least: number): { x: number; y: number }[] {
  return figure.flatMap((a, i) => {
    const b = figure[(i + 1) % figure.length]!;
    const [da, db] = [depthUnder(m, a) - least, depthUnder(m, b) - least];
    const cut = da * db < 0 ? [{ x: a.x + (b.x - a.x) * da / (da - db), y: a.y + (b.y - a.y) * da / (da - db) }] : [];
    return [...(da >= 0 ? [{ x: a.x, y: a.y }] : []), ...cut];
  });
}
