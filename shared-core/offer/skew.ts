import { shrunk } from './main-directions';
import type { Bitmap } from './main-directions';
import type { PlanLine } from './candidate';

const RADIANS = Math.PI / 180;
const COARSE_SIDE = 1000;
const COARSE_STEP = 0.25;
const FINE_STEP = 0.02;
/** Nobody scans a sheet further off than this; a building that stands at a larger angle was drawn so. */
const MOST_SKEW = 15;
const COARSE_POINTS = 80_000;
const FINE_POINTS = 200_000;
/** The best direction's profiles must be this much sharper than those of an ordinary one, or the sheet has no direction. */
const STANDS_OUT = 1.6;
/** Nobody lays a sheet this far off; lines that do may be a slanted wing of the building. */
const WING = 6;
/** Where a nearly level direction holds this share of the excess of a far one, the far one is a wing. */
const UPRIGHT_ENOUGH = 0.35;

interface Ink { readonly x: Float32Array; readonly y: Float32Array; readonly reach: number }

function inkOf(bitmap: Bitmap, most: number): Ink {
  let count = 0;
  for (const dot of bitmap.ink) count += dot;
  const every = Math.max(1, Math.ceil(count / most));
  const x = new Float32Array(Math.floor(count / every)); const y = new Float32Array(x.length);
  for (let at = 0, seen = 0, kept = 0; at < bitmap.ink.length && kept < x.length; at++) {
    if (bitmap.ink[at] !== 1 || (seen += 1) % every !== 0) continue;
    // Anywhere within the picture element: whole coordinates would beat against the rows that are counted.
    const stir = Math.imul(at, 0x9e3779b1) >>> 0;
    x[kept] = (at % bitmap.width) + (stir & 0xffff) / 0x10000; y[kept] = Math.floor(at / bitmap.width) + (stir >>> 16) / 0x10000; kept += 1;
  }
  return { x, y, reach: Math.ceil(Math.hypot(bitmap.width, bitmap.height)) + 2 };
}

/** A line's profile is a spike a few picture elements wide; what changes over more than this is furniture, hatching and text. */
const SPIKE = 6;

/** The power of the spikes in a profile. */
function spikes(profile: Uint32Array): number {
  let sum = 0; let wide = 0;
  for (let i = 0; i < 2 * SPIKE; i++) wide += profile[i]!;
  for (let i = SPIKE; i + SPIKE < profile.length; i++) {
    wide += profile[i + SPIKE]! - (profile[i - SPIKE - 1] ?? 0);
    const over = (profile[i - 1]! + profile[i]! + profile[i + 1]!) / 3 - wide / (2 * SPIKE + 1);
    if (over > 0) sum += over * over;
  }
  return sum;
}

/** How much of the ink stands in sharp rows and columns when the picture is read at an angle. */
function sharpness({ x, y, reach }: Ink, degrees: number): number {
  const cos = Math.cos(degrees * RADIANS); const sin = Math.sin(degrees * RADIANS);
  const rows = new Uint32Array(2 * reach); const columns = new Uint32Array(2 * reach);
  for (let i = 0; i < x.length; i++) {
    const px = x[i]!; const py = y[i]!;
    rows[Math.floor(py * cos - px * sin) + reach]! += 1;
    columns[Math.floor(px * cos + py * sin) + reach]! += 1;
  }
  return spikes(rows) + spikes(columns);
}

/** The top of a parabola through three scores one step apart, in steps from the middle. */
const between = (left: number, middle: number, right: number): number => { const bend = left - 2 * middle + right; return bend < 0 ? Math.max(-1, Math.min(1, (left - right) / (2 * bend))) : 0; };

/**
 * How far a scan lies off level, by its projection profiles: rows and columns begin and end sharply when long lines are
 * read along them. Own choice of bounds.
 * @returns degrees clockwise, above -45 to 45, to about a hundredth; null when no direction stands out
 */
export function skewOfScan(bitmap: Bitmap): number | null {
  const coarse = inkOf(shrunk(bitmap, Math.max(1, Math.round(Math.max(bitmap.width, bitmap.height) / COARSE_SIDE))), COARSE_POINTS);
  if (coarse.x.length < 100) return null;
  const angles = Array.from({ length: 2 * MOST_SKEW / COARSE_STEP + 1 }, (_, i) => i * COARSE_STEP - MOST_SKEW);
  const scores = angles.map((angle) => sharpness(coarse, angle));
  const best = scores.indexOf(Math.max(...scores));
  const ordinary = [...scores].sort((a, b) => a - b)[Math.floor(scores.length / 2)]!;
  if (scores[best]! < STANDS_OUT * ordinary) return null;
  const near = scores.map((score, i) => (Math.abs(angles[i]!) <= WING ? score : 0));
  const level = near.indexOf(Math.max(...near));
  const around = angles[near[level]! - ordinary >= UPRIGHT_ENOUGH * (scores[best]! - ordinary) ? level : best]!;
  const fine = inkOf(bitmap, FINE_POINTS);
  const tried = Array.from({ length: 41 }, (_, i) => around + (i - 20) * FINE_STEP);
  const found = tried.map((angle) => sharpness(fine, angle));
  const top = found.indexOf(Math.max(...found));
  return tried[top]! + FINE_STEP * between(found[top - 1] ?? found[top]!, found[top]!, found[top + 1] ?? found[top]!);
}

const LINE_BIN = 0.05;
/** This share of all drawn length must run one way. */
const LINE_SHARE = 0.15;

/**
 * How far a drawing lies off level, from its lines weighted by their length.
 * @returns degrees clockwise, above -45 to 45; null when the lines run every way
 */
export function skewOfLines(lines: readonly PlanLine[]): number | null {
  const count = Math.round(90 / LINE_BIN);
  const bins = new Float64Array(count);
  const runs = lines.map((line) => ({ length: Math.hypot(line.x2 - line.x1, line.y2 - line.y1), angle: Math.atan2(line.y2 - line.y1, line.x2 - line.x1) / RADIANS })).filter((run) => run.length > 0);
  let total = 0;
  for (const { length, angle } of runs) {
    bins[Math.round((((angle % 90) + 90) % 90) / LINE_BIN) % count]! += length;
    total += length;
  }
  const windowed = bins.map((_, i) => bins[(i + count - 1) % count]! + bins[i]! + bins[(i + 1) % count]!);
  const best = windowed.indexOf(Math.max(...windowed));
  if (!(total > 0) || windowed[best]! < LINE_SHARE * total) return null;
  const near = windowed.map((weight, i) => (Math.min(i, count - i) * LINE_BIN <= WING ? weight : 0));
  const level = near.indexOf(Math.max(...near));
  const centre = (near[level]! >= UPRIGHT_ENOUGH * windowed[best]! ? level : best) * LINE_BIN;
  const off = (angle: number): number => ((((angle - centre + 45) % 90) + 90) % 90) - 45;
  let sum = 0; let weight = 0;
  for (const { length, angle } of runs) { const d = off(angle); if (Math.abs(d) <= 1.5 * LINE_BIN) { sum += d * length; weight += length; } }
  const skew = centre + (weight > 0 ? sum / weight : 0);
  return skew > 45 ? skew - 90 : skew;
}
