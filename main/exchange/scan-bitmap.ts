import type { PlanMedia } from '../../shared-core/exchange/index';
import { shrunk } from '../../shared-core/offer/index';
import type { Bitmap } from '../../shared-core/offer/index';
import { PlanRefused } from './problems';
import { uprightPicture } from './read-raster';

/** Larger scans are halved until they fit: walls are found from their lines, not from their texture. */
const LONGEST_SIDE = 3400;
const MOST_PIXELS = 150e6;
/** Ink differs from the ground by at least this much in its strongest colour. */
const CONTRAST = 70;

/**
 * A scan as ink and ground, at its own size or a whole fraction of it.
 * Colour counts: a yellow or cyan line is dark in one of its channels. A black ground is turned over.
 * @returns the bitmap and how many picture elements of the scan one of its elements is
 */
export async function scanBitmap(bytes: Uint8Array, media: PlanMedia, page: number): Promise<{ readonly bitmap: Bitmap; readonly factor: number }> {
  const { picture, facts } = await uprightPicture(bytes, media, page);
  if (facts.width * facts.height > MOST_PIXELS) throw new PlanRefused('too-large', `Walls are looked for in at most ${MOST_PIXELS / 1e6} million picture elements.`);
  const { data, info } = await picture.raw().toBuffer({ resolveWithObject: true });
  return bitmapOf(data, info);
}

/** Splits a picture into ink and ground; the ground is its commonest value. */
export function bitmapOf(data: Uint8Array, info: { readonly width: number; readonly height: number; readonly channels: number }): { readonly bitmap: Bitmap; readonly factor: number } {
  const count = info.width * info.height;
  const counts = new Uint32Array(256);
  const darkest = new Uint8Array(count);
  for (let i = 0, at = 0; i < count; i++, at += info.channels) {
    const value = info.channels >= 3 ? Math.min(data[at]!, data[at + 1]!, data[at + 2]!) : data[at]!;
    darkest[i] = value;
    counts[value]!++;
  }
  const ground = counts.indexOf(counts.reduce((a, b) => Math.max(a, b), 0));
  const ink = new Uint8Array(count);
  const onBlack = ground < 96;
  for (let i = 0; i < count; i++) ink[i] = (onBlack ? darkest[i]! > ground + CONTRAST : darkest[i]! < ground - CONTRAST) ? 1 : 0;
  const factor = Math.max(1, Math.ceil(Math.max(info.width, info.height) / LONGEST_SIDE));
  return { bitmap: shrunk({ width: info.width, height: info.height, ink }, factor), factor };
}
