import { plainTurn } from '../geometry/index';
import type { Similarity } from '../geometry/index';

/** A position on either picture: x right, y down, in that picture's own units; within is how far off it may have been pointed at, where that is known. */
export interface Place { readonly x: number; readonly y: number; readonly within?: number }

/** The same thing seen on both plans: where it lies on the new picture, and where on the sheet. */
export interface PointPair { readonly picture: Place; readonly sheet: Place }

/** What the pairs say about each other. */
export type Agreement =
  /** Two pairs always fit: nothing checks them. */
  | { readonly kind: 'unchecked' }
  | { readonly kind: 'agree' }
  /** Without this pair the others agree; off is how far it then lies from where they put it, sheet units. */
  | { readonly kind: 'one-off'; readonly pair: number; readonly off: number }
  /** They disagree, and nothing tells which one is off. */
  | { readonly kind: 'disagree' }
  /** Turned over they would fit: one of the plans shows the building mirrored. */
  | { readonly kind: 'mirrored' };

export interface Fit {
  /** Leads from the new picture to the sheet. */
  readonly lay: Similarity;
  /** For each pair the distance between its sheet point and where the fit puts its picture point, sheet units. */
  readonly residuals: readonly number[];
  /** Of the residuals; 0 for two pairs, which always fit. */
  readonly worst: number;
  /** How far one picked point may be off, sheet units: two pairs always fit, however roughly they were picked. */
  readonly pickedWithin: number;
  /** One standard bound of the relative error of the scale, from the picking and from the residuals. */
  readonly relativeUncertainty: number;
  readonly agreement: Agreement;
}

export type FitOutcome = { readonly ok: true; readonly fit: Fit } | { readonly ok: false; readonly reason: string };

/** z of the picture and w of the sheet as complex numbers about their middles: a turn with a scale is one factor a, w = a z. */
interface Centred { readonly zx: readonly number[]; readonly zy: readonly number[]; readonly wx: readonly number[]; readonly wy: readonly number[]; readonly z0: Place; readonly w0: Place; readonly zz: number; readonly ww: number }

const mean = (values: readonly number[]): number => {
  // About the first value, so that a building far from the origin keeps its digits.
  const [first = 0] = values;
  let sum = 0;
  for (const value of values) sum += value - first;
  return first + sum / values.length;
};

function centre(pairs: readonly PointPair[]): Centred {
  const z0 = { x: mean(pairs.map((p) => p.picture.x)), y: mean(pairs.map((p) => p.picture.y)) };
  const w0 = { x: mean(pairs.map((p) => p.sheet.x)), y: mean(pairs.map((p) => p.sheet.y)) };
  const zx = pairs.map((p) => p.picture.x - z0.x); const zy = pairs.map((p) => p.picture.y - z0.y);
  const wx = pairs.map((p) => p.sheet.x - w0.x); const wy = pairs.map((p) => p.sheet.y - w0.y);
  const squares = (xs: readonly number[], ys: readonly number[]): number => xs.reduce((sum, x, i) => sum + x * x + ys[i]! * ys[i]!, 0);
  return { zx, zy, wx, wy, z0, w0, zz: squares(zx, zy), ww: squares(wx, wy) };
}

/** The factor a that makes the sum of |w - a z|² least; with mirrored the one for w = a conj(z). */
function factorOf({ zx, zy, wx, wy, zz }: Centred, mirrored: boolean): Place {
  let x = 0; let y = 0;
  for (let i = 0; i < zx.length; i += 1) {
    const sy = mirrored ? -zy[i]! : zy[i]!;
    x += zx[i]! * wx[i]! + sy * wy[i]!;
    y += zx[i]! * wy[i]! - sy * wx[i]!;
  }
  return { x: x / zz, y: y / zz };
}

function residualsOf({ zx, zy, wx, wy }: Centred, a: Place, mirrored = false): number[] {
  return zx.map((x, i) => {
    const y = mirrored ? -zy[i]! : zy[i]!;
    return Math.hypot(wx[i]! - (a.x * x - a.y * y), wy[i]! - (a.x * y + a.y * x));
  });
}

const farthest = (pairs: readonly PointPair[], of: 'picture' | 'sheet'): number => {
  let most = 0;
  for (const p of pairs) for (const q of pairs) most = Math.max(most, Math.hypot(p[of].x - q[of].x, p[of].y - q[of].y));
  return most;
};

const refuse = (reason: string): FitOutcome => ({ ok: false, reason });

/** Below this share of explained squares the pairs have nothing to do with each other. Own choice. */
const LEAST_SHARE = 0.5;

/**
 * Lays one picture on another by point pairs: the similarity (scale, turn, shift, no mirror) with the least sum of squared
 * distances between sheet points and laid picture points. Exact for two pairs.
 * @param pairs          two or more, finite; about their middles, so far from the origin no digits are lost
 * @param pickPrecision  how far one picked point may be off, sheet units, above 0
 * @returns the fit with each pair's residual, or words that say what to pick instead
 * @throws RangeError when a coordinate is not finite or the precision is not above 0
 * @source "Least-squares estimation of transformation parameters between two point patterns", IEEE Transactions on Pattern
 * Analysis and Machine Intelligence 13 (4), 1991, pp. 376-380; in the plane its solution without reflection is one complex factor
 */
export function fitSimilarity(pairs: readonly PointPair[], pickPrecision: number): FitOutcome {
  for (const { picture, sheet } of pairs) if (![picture.x, picture.y, sheet.x, sheet.y].every(Number.isFinite)) throw new RangeError('a picked point must be finite');
  if (!(pickPrecision > 0)) throw new RangeError(`pickPrecision must be above 0, not ${pickPrecision}`);
  if (pairs.length < 2) return refuse(pairs.length === 0 ? 'Pick the same point on both plans, then a second one far from it.' : 'Pick a second point on both plans, far from the first.');
  if (!(farthest(pairs, 'sheet') > 4 * pickPrecision)) return refuse('The points on the old plan lie on top of each other: pick points far apart.');
  const reach = farthest(pairs, 'picture');
  const size = Math.max(...pairs.map((p) => Math.abs(p.picture.x) + Math.abs(p.picture.y)));
  if (!(reach > 1e-9 * size)) return refuse('The points on the new plan lie on top of each other: pick points far apart.');
  const centred = centre(pairs);
  const a = factorOf(centred, false);
  const residuals = residualsOf(centred, a);
  const scale = Math.hypot(a.x, a.y);
  const mirrored = pairs.length > 2 && isMirrored(centred, residuals, pickPrecision);
  const share = (scale * scale * centred.zz) / centred.ww;
  if (!(share > LEAST_SHARE) && !mirrored) return refuse('These points do not belong together: the pairs contradict each other. Check that each pair shows the same point of the building.');
  if (!(scale > 0)) return refuse('The new plan shows the building mirrored: it cannot be laid under the marks. Bring in a plan that is not mirrored.');
  const squares = residuals.reduce((sum, r) => sum + r * r, 0);
  // Each of the two ends of a pair is picked; two pairs leave nothing over to judge the picking by.
  const spread = Math.max(Math.SQRT2 * pickPrecision, pairs.length > 2 ? Math.sqrt(squares / (2 * pairs.length - 4)) : 0);
  const { z0, w0 } = centred;
  return {
    ok: true, fit: {
      lay: { scale, turn: plainTurn((Math.atan2(a.y, a.x) * 180) / Math.PI), x: w0.x - (a.x * z0.x - a.y * z0.y), y: w0.y - (a.x * z0.y + a.y * z0.x) },
      residuals, worst: Math.max(...residuals), pickedWithin: pickPrecision, relativeUncertainty: spread / Math.sqrt(centred.ww),
      agreement: mirrored ? { kind: 'mirrored' } : agreementOf(pairs, residuals, pickPrecision),
    },
  };
}

/** A pair is in order when both its ends were picked as well as they can be, with some room. */
const within = (pickPrecision: number): number => 3 * Math.SQRT2 * pickPrecision;

function isMirrored(centred: Centred, residuals: readonly number[], pickPrecision: number): boolean {
  const worst = Math.max(...residuals);
  return worst > within(pickPrecision) && Math.max(...residualsOf(centred, factorOf(centred, true), true)) < worst / 5;
}

function agreementOf(pairs: readonly PointPair[], residuals: readonly number[], pickPrecision: number): Agreement {
  if (pairs.length === 2) return { kind: 'unchecked' };
  if (Math.max(...residuals) <= within(pickPrecision)) return { kind: 'agree' };
  // Of three pairs any two fit each other, so none can be told from the others.
  if (pairs.length === 3) return { kind: 'disagree' };
  let best: { readonly pair: number; readonly off: number; readonly rest: number } | null = null;
  for (let i = 0; i < pairs.length; i += 1) {
    const rest = pairs.filter((_, j) => j !== i);
    if (farthest(rest, 'sheet') <= 4 * pickPrecision || farthest(rest, 'picture') === 0) continue;
    const centred = centre(rest);
    const a = factorOf(centred, false);
    const worst = Math.max(...residualsOf(centred, a));
    const { picture, sheet } = pairs[i]!;
    const x = picture.x - centred.z0.x; const y = picture.y - centred.z0.y;
    const off = Math.hypot(sheet.x - centred.w0.x - (a.x * x - a.y * y), sheet.y - centred.w0.y - (a.x * y + a.y * x));
    if (!best || worst < best.rest) best = { pair: i, off, rest: worst };
  }
  return best && best.rest <= within(pickPrecision) && best.off > 3 * best.rest ? { kind: 'one-off', pair: best.pair, off: best.off } : { kind: 'disagree' };
}

interface Printed { readonly unitsPerPaperInch?: number; readonly lay?: { readonly scale: number } }

/**
 * How much larger the new plan shows the building on its paper than the old one did: 1 when both are printed at one scale.
 * @returns null when either file does not say how large it is printed
 */
export function drawnLarger(old: Printed, next: Printed, scale: number): number | null {
  if (old.unitsPerPaperInch === undefined || next.unitsPerPaperInch === undefined) return null;
  return ((old.lay?.scale ?? 1) * old.unitsPerPaperInch) / (scale * next.unitsPerPaperInch);
}
