import sharp from 'sharp';
import type { Sharp } from 'sharp';
import type { PlanMedia } from '../../shared-core/exchange/index';
import { invertHomography } from '../../shared-core/geometry/index';
import type { Homography } from '../../shared-core/geometry/index';
import type { Announce } from './announce';
import { PlanRefused } from './problems';
import { baseScale, drawPdfPage } from './read-pdf';
import { uprightPicture } from './read-raster';

export interface FlatView {
  /** Leads from picture units of the page to picture elements of the flat picture. */
  readonly map: Homography;
  readonly width: number;
  readonly height: number;
}
export interface FlatPicture { readonly media: 'image/png' | 'image/jpeg'; readonly bytes: Uint8Array }

/** What is held of the photograph at once; a larger one is read smaller. */
const MOST_SOURCE_BYTES = 420e6;
export const MOST_FLAT_PIXELS = 81e6;
const STRIP = 256;
const WHITE = 255;

interface Source { readonly data: Uint8Array; readonly width: number; readonly height: number; readonly channels: number; /** Picture elements per picture unit. */ readonly perUnit: number }

async function sourceOf(bytes: Uint8Array, media: PlanMedia, page: number, options: { readonly password?: string; readonly layersOff?: readonly string[] }): Promise<Source> {
  if (media === 'image/vnd.dxf' || media === 'image/svg+xml') throw new PlanRefused('unsupported', 'A drawing has no slant to take out.');
  if (media === 'application/pdf') {
    const drawn = await drawPdfPage(bytes, page, { ...options, longSide: (width, height) => baseScale(width, height) * Math.max(width, height) });
    const { data, info } = await drawn.picture.raw().toBuffer({ resolveWithObject: true });
    return { data, width: info.width, height: info.height, channels: info.channels, perUnit: drawn.width / drawn.sheetWidth };
  }
  const { picture, facts } = await uprightPicture(bytes, media, page);
  const shrink = Math.min(1, Math.sqrt(MOST_SOURCE_BYTES / (3 * facts.width * facts.height)));
  const read: Sharp = shrink < 1 ? picture.resize(Math.round(facts.width * shrink), Math.round(facts.height * shrink), { fit: 'fill' }) : picture;
  try {
    const { data, info } = await read.toColourspace(await isGrey(picture) ? 'b-w' : 'srgb').raw({ depth: 'uchar' }).toBuffer({ resolveWithObject: true });
    return { data, width: info.width, height: info.height, channels: info.channels, perUnit: info.width / facts.width };
  } catch {
    throw new PlanRefused('damaged');
  }
}

const isGrey = async (picture: Sharp): Promise<boolean> => ['b-w', 'grey16'].includes((await picture.metadata()).space ?? '');

/** Rows from `top` of the flat picture: each element is mixed from the four nearest of the photograph (bilinear); white where that shows nothing. */
function drawRows({ data, width, height, channels, perUnit }: Source, back: Homography, flat: Uint8Array, flatWidth: number, top: number, bottom: number): void {
  const [a, b, c, d, e, f, g, h, i] = back;
  for (let row = top; row < bottom; row++) {
    const y = row + 0.5;
    let out = row * flatWidth * channels;
    for (let column = 0; column < flatWidth; column++, out += channels) {
      const x = column + 0.5;
      const w = g * x + h * y + i;
      const u = ((a * x + b * y + c) / w) * perUnit - 0.5;
      const v = ((d * x + e * y + f) / w) * perUnit - 0.5;
      if (!(w > 0) || !(u > -1 && v > -1 && u < width && v < height)) continue;
      const left = Math.floor(u); const up = Math.floor(v);
      const [du, dv] = [u - left, v - up];
      const x0 = left < 0 ? 0 : left; const x1 = left + 1 < width ? left + 1 : width - 1;
      const y0 = (up < 0 ? 0 : up) * width; const y1 = (up + 1 < height ? up + 1 : height - 1) * width;
      for (let k = 0; k < channels; k++) {
        const upper = data[(y0 + x0) * channels + k]! * (1 - du) + data[(y0 + x1) * channels + k]! * du;
        const lower = data[(y1 + x0) * channels + k]! * (1 - du) + data[(y1 + x1) * channels + k]! * du;
        flat[out + k] = upper * (1 - dv) + lower * dv + 0.5;
      }
    }
  }
}

/** Makes the flat picture of a photographed page, strip by strip. A photograph in a lossy form stays one, at a quality that shows no loss. */
export async function flatPicture(bytes: Uint8Array, media: PlanMedia, page: number, view: FlatView, options: { readonly password?: string; readonly layersOff?: readonly string[] }, announce: Announce): Promise<FlatPicture> {
  const { width, height } = view;
  if (!(width * height <= MOST_FLAT_PIXELS)) throw new PlanRefused('too-large', `At most ${MOST_FLAT_PIXELS / 1e6} million picture elements are made.`);
  announce({ note: 'Reading the photograph', from: 0, to: 0.25, seconds: 0.5 + bytes.length / 5e6 });
  const source = await sourceOf(bytes, media, page, options);
  const flat = new Uint8Array(width * height * source.channels).fill(WHITE);
  const back = invertHomography(view.map);
  for (let top = 0; top < height; top += STRIP) {
    const bottom = Math.min(height, top + STRIP);
    announce({ note: 'Making it flat', from: 0.25 + (0.5 * top) / height, to: 0.25 + (0.5 * bottom) / height, seconds: 0.5 });
    drawRows(source, back, flat, width, top, bottom);
    await new Promise((next) => { setImmediate(next); });
  }
  announce({ note: 'Packing the picture', from: 0.75, to: 0.97, seconds: (width * height) / 12e6 });
  const picture = sharp(flat, { raw: { width, height, channels: source.channels as 1 | 3 }, limitInputPixels: false });
  // Coding tables fitted to the picture would hold all of it once more, twice as large; that costs some per cent of the file.
  const isLossy = media === 'image/jpeg' || media === 'image/webp';
  const packed = isLossy ? await picture.jpeg({ quality: 94, chromaSubsampling: '4:4:4', optimiseCoding: false }).toBuffer() : await picture.toColourspace(source.channels === 1 ? 'b-w' : 'srgb').png({ compressionLevel: 4 }).toBuffer();
  return { media: isLossy ? 'image/jpeg' : 'image/png', bytes: new Uint8Array(packed) };
}
