import { spawnSync } from 'node:child_process';
import { createCanvas, loadImage } from '@napi-rs/canvas';
import sharp from 'sharp';
import UTIF from 'utif2';
import type { ManifestEntry, Opened } from './plans-types';

/** A grey picture, 0 white to 1 black. */
interface Grey { readonly width: number; readonly height: number; readonly dark: Float64Array }

/** Both pictures are compared at this width; a mark of a few pixels at full size still counts. */
const COMPARED_WIDTH = 240;
/** Mean difference, and how alike the dark places must lie. */
const MOST_DIFFERENCE = 0.035;
/** Reached: PDF 0.941 to 1 (two renderers place thin lines and stand-in letters differently), SVG 0.996, pictures 0.994 and more. */
const LEAST_LIKENESS_PDF = 0.93;
const LEAST_LIKENESS = 0.985;
/** Below this spread a picture counts as even and only its mean is compared. */
const EVEN = 0.004;

async function greyOf(input: sharp.Sharp, width: number, height: number): Promise<Grey> {
  const { data, info } = await input.flatten({ background: '#ffffff' }).toColourspace('b-w').resize(width, height, { fit: 'fill', kernel: 'cubic' }).blur(1).raw().toBuffer({ resolveWithObject: true });
  const dark = new Float64Array(info.width * info.height);
  for (let i = 0; i < dark.length; i++) dark[i] = 1 - data[i * info.channels]! / 255;
  return { width: info.width, height: info.height, dark };
}

/** How alike own and other pictures were, by form of the file. */
export const likenesses = new Map<string, number[]>();

function unlike(a: Grey, b: Grey, form: string): string | null {
  const n = a.dark.length;
  const mean = (g: Grey): number => g.dark.reduce((sum, v) => sum + v, 0) / n;
  const [ma, mb] = [mean(a), mean(b)];
  let [difference, aa, bb, ab] = [0, 0, 0, 0];
  for (let i = 0; i < n; i++) {
    const [x, y] = [a.dark[i]!, b.dark[i]!];
    difference += Math.abs(x - y);
    aa += (x - ma) ** 2; bb += (y - mb) ** 2; ab += (x - ma) * (y - mb);
  }
  const likeness = ab / Math.sqrt(aa * bb || 1);
  if (Math.sqrt(aa / n) > EVEN && Math.sqrt(bb / n) > EVEN) likenesses.set(form, [...likenesses.get(form) ?? [], likeness]);
  if (difference / n > MOST_DIFFERENCE) return `differs from another renderer by ${(difference / n).toFixed(3)} on average`;
  if (Math.sqrt(aa / n) > EVEN && Math.sqrt(bb / n) > EVEN && likeness < (form === 'application/pdf' ? LEAST_LIKENESS_PDF : LEAST_LIKENESS)) return `is like another renderer's picture only by ${likeness.toFixed(2)}`;
  if ((Math.sqrt(aa / n) > EVEN) !== (Math.sqrt(bb / n) > EVEN)) return 'is blank where another renderer\'s is not, or the other way round';
  return null;
}

/** EXIF and TIFF orientations by the names the manifest uses. */
function upright(picture: sharp.Sharp, orientation: string): sharp.Sharp {
  switch (orientation) {
    case 'TopRight': return picture.flop();
    case 'BottomRight': return picture.rotate(180);
    case 'BottomLeft': return picture.flip();
    case 'RightTop': return picture.rotate(90);
    case 'LeftBottom': return picture.rotate(270);
    default: return picture;
  }
}

async function otherRaster(media: string, bytes: Uint8Array, orientation: string, page: number): Promise<sharp.Sharp | null> {
  if (media === 'image/tiff') {
    const pages = UTIF.decode(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.length) as ArrayBuffer);
    const image = pages[page];
    if (!image) return null;
    UTIF.decodeImage(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.length) as ArrayBuffer, image);
    const pixels = Buffer.from(UTIF.toRGBA8(image));
    const turned = upright(sharp(pixels, { raw: { width: image.width, height: image.height, channels: 4 } }), orientation);
    return sharp(await turned.png().toBuffer());
  }
  const image = await loadImage(Buffer.from(bytes));
  const canvas = createCanvas(image.width, image.height);
  canvas.getContext('2d').drawImage(image, 0, 0);
  // This decoder turns JPEG upright by itself, WebP not.
  const picture = sharp(canvas.toBuffer('image/png'));
  return media === 'image/webp' ? sharp(await upright(picture, orientation).png().toBuffer()) : picture;
}

/** Drawn by the canvas library, whose SVG renderer shares nothing with the one that opens sheets. */
async function otherSvg(bytes: Uint8Array, width: number): Promise<sharp.Sharp> {
  const image = await loadImage(Buffer.from(bytes));
  const scale = width / image.width;
  const canvas = createCanvas(width, Math.max(1, Math.round(image.height * scale)));
  const context = canvas.getContext('2d');
  context.fillStyle = '#ffffff';
  context.fillRect(0, 0, canvas.width, canvas.height);
  context.drawImage(image, 0, 0, canvas.width, canvas.height);
  return sharp(canvas.toBuffer('image/png'));
}

/** What the other decoders are known to get wrong themselves, looked at by eye. */
const OTHER_IS_WRONG = [/16bit-grey\.(png|tif)$/, /found-g4-fillorder2/, /found-tiled-jpeg-ycbcr/, /found-directory-loop/, /found-animated/, /found-cmyk/];

/** Compares the opened sheets with an independent renderer: pdftoppm for PDF, other decoders for pictures, the canvas library for SVG; a DXF's corners are compared in plans-drawing.ts. */
export async function comparePicture({ plan, pyramids, tile }: Opened, entry: ManifestEntry, bytes: Uint8Array, path: string): Promise<string[]> {
  const faults: string[] = [];
  for (const [i, pyramid] of pyramids.entries()) {
    const page = plan.pages[i]!;
    const png = await tile(page.page, pyramid.levels.length - 1, 0, 0);
    if (!png) continue;
    const width = COMPARED_WIDTH;
    const height = Math.max(8, Math.round(width * page.height / page.width));
    const own = await greyOf(sharp(png), width, height);
    const other = await otherPicture(plan.media, entry, bytes, path, i, page.stored);
    if (!other) {
      if (own.dark.every((value) => value < 0.01)) faults.push(`page ${i} is blank`);
      continue;
    }
    const difference = unlike(own, await greyOf(other, width, height), plan.media);
    if (difference) faults.push(`page ${i} ${difference}`);
  }
  return faults;
}

async function otherPicture(media: string, entry: ManifestEntry, bytes: Uint8Array, path: string, page: number, stored: { width: number; height: number; turned: number }): Promise<sharp.Sharp | null> {
  if (media === 'application/pdf') {
    // This renderer knows no UserUnit; every page comes out at least about 700 dots wide.
    const wide = stored.turned % 180 === 0 ? stored.width : stored.height;
    const resolution = Math.max(60, Math.min(2400, Math.round(72 * 700 / wide)));
    const made = spawnSync('pdftoppm', ['-r', String(resolution), '-cropbox', '-f', String(page + 1), '-l', String(page + 1), '-png', ...(entry.password ? ['-upw', entry.password] : []), path], { maxBuffer: 1e9 });
    return made.status === 0 && made.stdout.length > 0 ? sharp(made.stdout, { limitInputPixels: false }) : null;
  }
  if (media === 'image/svg+xml') return otherSvg(bytes, COMPARED_WIDTH * 4).catch(() => null);
  if (!['image/png', 'image/jpeg', 'image/webp', 'image/tiff'].includes(media) || OTHER_IS_WRONG.some((known) => known.test(entry.file))) return null;
  const orientation = entry.verified.identify?.orientation ?? 'Undefined';
  return otherRaster(media, bytes, orientation, page).catch(() => null);
}
