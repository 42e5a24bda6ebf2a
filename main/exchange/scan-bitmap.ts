import type { PlanMedia } from '../../shared-core/exchange/index';
import { shrunk } from '../../shared-core/offer/index';
import type { Bitmap } from '../../shared-core/offer/index';
import { PlanRefused } from './problems';
import { uprightPicture } from './read-raster';

/** Larger scans are looked at smaller: walls are found from their lines, not from their texture. */
const LONGEST_SIDE = 3400;
/** But the two faces of the thinnest wall stay so many picture elements apart: with fewer, what lies between them and behind runs together with them. */
const THINNEST = 7;
/** As long as the picture has at most so many along. */
const LONGEST_FOR_THIN = 7200;

/** How many picture elements along its long side a plan is looked at with, at least. @param thinnest  wall, as a share of the long side; 0: unknown */
export const lookedAt = (thinnest: number): number => Math.max(LONGEST_SIDE, Math.min(LONGEST_FOR_THIN, thinnest > 0 ? Math.ceil(THINNEST / thinnest) : 0));
const MOST_PIXELS = 150e6;
/** Where the faces are nearer, and a scan no longer than this, is drawn at so many times its size: two faces stay two when the picture is turned. */
const COARSE_SIDE = 2200;
const FINER = 2;

/**
 * By how much a picture is made smaller: a whole number, as lines of one width then stay so; no more than its thinnest
 * wall (picture elements; 0: unknown) allows.
 */
const shrinkage = (long: number, thinnest: number): number =>
  Math.max(1, Math.ceil(long / LONGEST_FOR_THIN), Math.min(Math.ceil(long / LONGEST_SIDE), thinnest > 0 ? Math.floor(thinnest / THINNEST) : Infinity));

/** Ink differs from an even ground by at least this much in its strongest colour. */
const CONTRAST = 70;
/** On a grainy ground faint lines count as soon as they stand out of its grain: by so many times the grain, and at least so much. */
const GRAINS = 4.5;
const LEAST_CONTRAST = 24;
/** The ground is taken in squares of so many picture elements, since light falls off over a scan. */
const SQUARE = 64;

/**
 * A scan as ink and ground, at its own size, twice it, or a whole fraction of it.
 * Colour counts: a yellow or cyan line is dark in one of its channels. A black ground is turned over.
 * @param thinnest  wall looked for, picture elements of the scan
 * @returns the bitmap and how many picture elements of the scan one of its elements is
 */
export async function scanBitmap(bytes: Uint8Array, media: PlanMedia, page: number, thinnest = 0): Promise<{ readonly bitmap: Bitmap; readonly factor: number }> {
  const { picture, facts } = await uprightPicture(bytes, media, page);
  if (facts.width * facts.height > MOST_PIXELS) throw new PlanRefused('too-large', `Walls are looked for in at most ${MOST_PIXELS / 1e6} million picture elements.`);
  const long = Math.max(facts.width, facts.height);
  const finer = long <= COARSE_SIDE || (thinnest > 0 && thinnest < THINNEST && FINER * long <= LONGEST_FOR_THIN) ? FINER : 1;
  const seen = finer === 1 ? picture : picture.resize(facts.width * finer, facts.height * finer, { kernel: 'cubic', fit: 'fill' });
  const { data, info } = await seen.raw().toBuffer({ resolveWithObject: true });
  const { bitmap, factor } = bitmapOf(data, info, finer === 1 ? shrinkage(long, thinnest) : 1);
  return { bitmap, factor: factor / finer };
}

/** Splits a picture into ink and ground; the ground is its commonest value. It is made smaller by the factor, a whole number. */
export function bitmapOf(data: Uint8Array, info: { readonly width: number; readonly height: number; readonly channels: number }, factor = shrinkage(Math.max(info.width, info.height), 0)): { readonly bitmap: Bitmap; readonly factor: number } {
  const count = info.width * info.height;
  const counts = new Uint32Array(256);
  const darkest = new Uint8Array(count);
  for (let i = 0, at = 0; i < count; i++, at += info.channels) {
    const value = info.channels >= 3 ? Math.min(data[at]!, data[at + 1]!, data[at + 2]!) : data[at]!;
    darkest[i] = value;
    counts[value]!++;
  }
  const ground = counts.indexOf(counts.reduce((a, b) => Math.max(a, b), 0));
  const onBlack = ground < 96;
  const grain = grainOf(counts, ground, onBlack);
  const ink = new Uint8Array(count);
  if (grain <= 1) {
    for (let i = 0; i < count; i++) {
      const away = onBlack ? darkest[i]! - ground : ground - darkest[i]!;
      ink[i] = away > CONTRAST || (away > LEAST_CONTRAST && isFaintLine(darkest, info.width, i, onBlack)) ? 1 : 0;
    }
  } else markInk(darkest, info.width, info.height, { onBlack, contrast: Math.min(CONTRAST, Math.max(LEAST_CONTRAST, GRAINS * grain)), ink });
  const bitmap = shrunk({ width: info.width, height: info.height, ink }, factor);
  const pens = info.channels >= 3 ? pensOf(data, info, ink, bitmap, factor) : null;
  return { bitmap: pens ? { ...bitmap, pens } : bitmap, factor };
}

/** A faint line has the ground on both sides so many picture elements away; a tint, and the rim of what is dark, have not. */
const BESIDE = 3;

function isFaintLine(values: Uint8Array, width: number, i: number, onBlack: boolean): boolean {
  const value = values[i]!;
  const isFainter = (j: number): boolean => { const other = values[j]; return other !== undefined && (onBlack ? value - other : other - value) > LEAST_CONTRAST; };
  return (isFainter(i - BESIDE) && isFainter(i + BESIDE)) || (isFainter(i - BESIDE * width) && isFainter(i + BESIDE * width));
}

/** Ink whose strongest and weakest colour differ by less is black or grey. */
const COLOURED = 60;
/** Colours are told apart by families of hue, so many degrees wide: plans are drawn in pure hues. */
const HUES = 30;
/** A plan is in colour when this share of its ink is: less is a stamp or a seal. */
const LEAST_COLOURED = 0.1;

/**
 * What the ink of a picture made smaller is drawn with, a bit for black and grey and one for each family of hue; null for a
 * plan that is not in colour.
 */
function pensOf(data: Uint8Array, { width, channels }: { readonly width: number; readonly channels: number }, ink: Uint8Array, small: Bitmap, factor: number): Uint16Array | null {
  const pens = new Uint16Array(small.ink.length);
  let [all, coloured] = [0, 0];
  for (let i = 0, at = 0; i < ink.length; i++, at += channels) {
    if (ink[i] !== 1) continue;
    all += 1;
    const [column, row] = [Math.floor((i % width) / factor), Math.floor(i / width / factor)];
    if (column >= small.width || row >= small.height) continue;
    const to = row * small.width + column;
    const [red, green, blue] = [data[at]!, data[at + 1]!, data[at + 2]!];
    const most = Math.max(red, green, blue); const spread = most - Math.min(red, green, blue);
    if (spread < COLOURED) { pens[to]! |= 1; continue; }
    coloured += 1;
    const hue = 60 * (most === red ? (green - blue) / spread : most === green ? 2 + (blue - red) / spread : 4 + (red - green) / spread);
    pens[to]! |= 2 << (Math.round((hue + 360) / HUES) % (360 / HUES));
  }
  return coloured >= LEAST_COLOURED * all ? pens : null;
}

/** How uneven the ground is: the middle distance from it of the values on its far side from ink. */
function grainOf(counts: Uint32Array, ground: number, onBlack: boolean): number {
  const step = onBlack ? -1 : 1;
  let beyond = 0;
  for (let value = ground; value >= 0 && value < 256; value += step) beyond += counts[value]!;
  let passed = 0;
  for (let value = ground; value >= 0 && value < 256; value += step) {
    passed += counts[value]!;
    if (passed * 2 >= beyond) return Math.abs(value - ground) * 1.5;
  }
  return 0;
}

/** Marks what stands out of the ground near by. */
function markInk(values: Uint8Array, width: number, height: number, { onBlack, contrast, ink }: { readonly onBlack: boolean; readonly contrast: number; readonly ink: Uint8Array }): void {
  const [columns, rows] = [Math.ceil(width / SQUARE), Math.ceil(height / SQUARE)];
  const grounds = new Float32Array(columns * rows);
  const counts = new Uint32Array(256);
  for (let row = 0; row < rows; row++) for (let column = 0; column < columns; column++) {
    counts.fill(0);
    const [right, bottom] = [Math.min(width, (column + 1) * SQUARE), Math.min(height, (row + 1) * SQUARE)];
    let total = 0;
    for (let y = row * SQUARE; y < bottom; y++) for (let x = column * SQUARE; x < right; x++) { counts[values[y * width + x]!]!++; total += 1; }
    let [passed, value] = [0, 0];
    // Past the middle, on the side away from ink: also where ink covers a good part of the square.
    const wanted = total * (onBlack ? 0.4 : 0.6);
    while (value < 255 && (passed += counts[value]!) < wanted) value++;
    grounds[row * columns + column] = value;
  }
  for (let y = 0; y < height; y++) {
    // Between the middles of the squares the ground goes over evenly.
    const v = Math.min(rows - 1, Math.max(0, (y + 0.5) / SQUARE - 0.5));
    const [top, under, dy] = [Math.floor(v), Math.min(rows - 1, Math.floor(v) + 1), v - Math.floor(v)];
    for (let x = 0; x < width; x++) {
      const u = Math.min(columns - 1, Math.max(0, (x + 0.5) / SQUARE - 0.5));
      const [left, right, dx] = [Math.floor(u), Math.min(columns - 1, Math.floor(u) + 1), u - Math.floor(u)];
      const above = grounds[top * columns + left]! * (1 - dx) + grounds[top * columns + right]! * dx;
      const below = grounds[under * columns + left]! * (1 - dx) + grounds[under * columns + right]! * dx;
      const away = values[y * width + x]! - (above * (1 - dy) + below * dy);
      if (onBlack ? away > contrast : away < -contrast) ink[y * width + x] = 1;
    }
  }
}
