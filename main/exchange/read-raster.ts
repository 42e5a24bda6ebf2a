import sharp from 'sharp';
import type { Metadata, Sharp } from 'sharp';
import { planMedia, pngChunks, statedResolution, tiffDirectories, tiffRowsLost } from '../../shared-core/exchange/index';
import type { PlanMedia } from '../../shared-core/exchange/index';
import type { HostOutput } from '../../shared-core/host-api';
import { PlanRefused } from './problems';
import { buildPyramid } from './pyramid';
import type { Pyramid } from './pyramid';

export type PlanPage = HostOutput<'inspectPlan'>['pages'][number];

/** A 34 x 44 in sheet at 600 dpi has 539 million picture elements and opens; beyond this nothing is decoded. */
export const MOST_PIXELS = 640e6;
/** Resolutions along x and y that differ by more make a picture element oblong (fax: 204 x 98 or 204 x 196). */
const SQUARE_WITHIN = 0.01;
const OLD_JPEG_IN_TIFF = 6;

sharp.cache(false);

/** The library spends at most 50 MB on a TIFF unless told otherwise; a large scan packed as one strip needs its own size. */
const LARGE_TIFF = 20e6;

const input = (bytes: Uint8Array, page: number): Sharp =>
  sharp(bytes, { limitInputPixels: MOST_PIXELS, failOn: 'error', sequentialRead: true, page, pages: 1, unlimited: bytes.length > LARGE_TIFF && planMedia(bytes) === 'image/tiff' });

/** Names for what the picture library says; its own words are for programmers. */
export function namedPictureFault(fault: unknown): PlanRefused {
  const text = fault instanceof Error ? fault.message : '';
  if (/pixel limit|exceeds limit|too large/i.test(text)) return new PlanRefused('too-large', `At most ${MOST_PIXELS / 1e6} million picture elements are read.`);
  if (/premature end|truncated|read error|end of|out of data|not enough/i.test(text)) return new PlanRefused('truncated');
  if (/not configured|unsupported image format|not supported|unsupported/i.test(text)) return new PlanRefused('unsupported');
  return new PlanRefused('damaged');
}

/** What must be refused although the library would show something. */
function refuseDoubtful(bytes: Uint8Array, media: PlanMedia): void {
  if (media === 'image/png') {
    for (const chunk of pngChunks(bytes)) {
      const method = chunk.type === 'iCCP' ? chunk.data[chunk.data.indexOf(0) + 1] : 0;
      if (method !== 0) throw new PlanRefused('damaged', 'Its colour profile is packed in an unknown way, so its colours cannot be trusted.');
    }
  }
  if (media === 'image/tiff') {
    const directories = tiffDirectories(bytes);
    if (directories.length === 0) throw new PlanRefused('truncated', 'Its list of pages lies beyond the end of the file.');
    if (directories.some((directory) => directory.compression === OLD_JPEG_IN_TIFF)) throw new PlanRefused('unsupported', 'It holds the withdrawn first form of JPEG-in-TIFF.');
  }
}

async function header(bytes: Uint8Array, page: number): Promise<Metadata> {
  try {
    return await input(bytes, page).metadata();
  } catch (fault) {
    throw namedPictureFault(fault);
  }
}

/** How EXIF and TIFF orientations 1 to 8 are turned upright: clockwise degrees, mirrored first (TIFF 6.0 tag 274). */
const TURNS: readonly (readonly [number, boolean])[] = [[0, false], [0, true], [180, false], [180, true], [90, true], [90, false], [270, true], [270, false]];

async function pageFacts(bytes: Uint8Array, media: PlanMedia, page: number): Promise<PlanPage> {
  const facts = await header(bytes, page);
  const [turned, mirrored] = TURNS[(facts.orientation ?? 1) - 1] ?? [0, false];
  const unitsPerInch = statedResolution(bytes, media, page);
  const sideways = turned === 90 || turned === 270;
  const [x, y] = unitsPerInch ? (sideways ? [unitsPerInch[1], unitsPerInch[0]] : unitsPerInch) : [1, 1];
  const [width, height] = sideways ? [facts.height, facts.width] : [facts.width, facts.height];
  const oblong = Math.abs(x / y - 1) > SQUARE_WITHIN;
  // The coarser direction is stretched, so that no picture element is thrown away.
  const finest = Math.max(x, y);
  return {
    page, label: null, scales: [], lengths: [], layers: [], drawing: null,
    width: oblong ? Math.round(width * finest / x) : width,
    height: oblong ? Math.round(height * finest / y) : height,
    unitsPerPaperInch: unitsPerInch ? (oblong ? finest : x) : null,
    stored: { width: facts.width, height: facts.height, turned, mirrored, unitsPerInch: unitsPerInch ? [unitsPerInch[0], unitsPerInch[1]] : null },
    warnings: [],
  };
}

/** Reads headers only; nothing is decoded. */
export async function inspectRaster(bytes: Uint8Array, media: PlanMedia): Promise<PlanPage[]> {
  refuseDoubtful(bytes, media);
  const count = media === 'image/tiff' ? (await header(bytes, 0)).pages ?? 1 : 1;
  const pages: PlanPage[] = [];
  for (let page = 0; page < count; page++) pages.push(await pageFacts(bytes, media, page));
  return pages;
}

/** The whole picture, upright, on white, grey where it is grey. */
export async function uprightPicture(bytes: Uint8Array, media: PlanMedia, page: number): Promise<{ readonly picture: Sharp; readonly facts: PlanPage; /** Samples of more than one bit. */ readonly grain: number }> {
  refuseDoubtful(bytes, media);
  const facts = await pageFacts(bytes, media, page);
  const { space, bitsPerSample } = await header(bytes, page);
  const grey = ['b-w', 'grey16'].includes(space ?? '');
  let picture = input(bytes, page).autoOrient().flatten({ background: '#ffffff' });
  const stored = facts.stored.turned % 180 === 0 ? facts.stored : { width: facts.stored.height, height: facts.stored.width };
  if (stored.width !== facts.width || stored.height !== facts.height) picture = picture.resize(facts.width, facts.height, { fit: 'fill' });
  if (grey) picture = picture.toColourspace('b-w');
  return { picture, facts, grain: bitsPerSample === 1 ? 0 : facts.width * facts.height * (grey ? 1 : 3) };
}

/** A small upright picture of one page. @param longSide picture elements, about the size it is shown at */
export async function rasterThumbnail(bytes: Uint8Array, media: PlanMedia, page: number, longSide: number): Promise<Uint8Array> {
  const { picture, facts } = await uprightPicture(bytes, media, page);
  const scale = Math.min(1, longSide / Math.max(facts.width, facts.height));
  try {
    return await picture.resize(Math.max(1, Math.round(facts.width * scale)), Math.max(1, Math.round(facts.height * scale)), { fit: 'fill' }).png().toBuffer();
  } catch (fault) {
    throw namedPictureFault(fault);
  }
}

export async function buildRaster(bytes: Uint8Array, media: PlanMedia, page: number): Promise<Pyramid> {
  const { picture, facts, grain } = await uprightPicture(bytes, media, page);
  const directory = media === 'image/tiff' ? tiffDirectories(bytes)[page] : undefined;
  const lost = directory ? tiffRowsLost(bytes, directory) : 0;
  try {
    const built = await buildPyramid(picture, facts.width, grain);
    return lost > 0 ? { ...built, warnings: [{ code: 'picture-lost', what: `${lost} of the ${directory!.height} rows of this picture are damaged, or rest on one that is; what they show may be wrong or missing.`, todo: 'Compare with a print; scan the sheet anew if something is missing.' }] } : built;
  } catch (fault) {
    throw namedPictureFault(fault);
  }
}
