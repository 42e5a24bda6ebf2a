import { unzipSync } from 'fflate';
import type { Sharp } from 'sharp';
import type { HostOutput, Problem } from '../../shared-core/host-api';

export const TILE = 1024;

/** The picture of one sheet: levels from the finest (0) to one that fits a tile. */
export interface Pyramid {
  readonly tile: number;
  readonly media: 'image/png' | 'image/jpeg';
  /** scale is picture elements per sheet unit. */
  readonly levels: readonly { readonly width: number; readonly height: number; readonly scale: number }[];
  /** Encoded bytes under 'level/column/row'. */
  readonly tiles: ReadonlyMap<string, Uint8Array>;
  /** A page that is one scan: level 0 shows all there is of it. */
  readonly isScan: boolean;
  /** What the page can be switched by, as the file itself shows it. */
  readonly layers: HostOutput<'openPlan'>['layers'];
  /** What the person should know although the sheet opens. */
  readonly warnings: readonly Problem[];
}

/** Low effort: line work packs well anyway, and the person is waiting. */
const PNG_EFFORT = 3;
/** Tiles of a scan in greys or colours with more samples than this are JPEG: its grain, packed without loss, takes more memory than a reading process has. */
const MOST_LOSSLESS = 300e6;
const JPEG_QUALITY = 90;

/**
 * Cuts a picture into tiles at halved levels, each the mean of the one below, so that thin lines pale but never vanish.
 * Works through the picture in strips: memory does not grow with its size.
 * @param picture  upright, without transparency
 * @param sheetWidth  width of the sheet in sheet units
 * @param grain  how many samples of more than one bit the picture has; 0 when it is black and white
 */
export async function buildPyramid(picture: Sharp, sheetWidth: number, grain = 0): Promise<Pyramid> {
  const isLossy = grain > MOST_LOSSLESS;
  const { data, info } = await (isLossy ? picture.jpeg({ quality: JPEG_QUALITY, chromaSubsampling: '4:4:4' }) : picture.png({ compressionLevel: PNG_EFFORT }))
    .tile({ size: TILE, overlap: 0, layout: 'dz', container: 'zip', depth: 'onetile' })
    .toBuffer({ resolveWithObject: true });
  const found: { depth: number; column: number; row: number; bytes: Uint8Array }[] = [];
  for (const [path, bytes] of Object.entries(unzipSync(data))) {
    const match = /_files\/(\d+)\/(\d+)_(\d+)\.(?:png|jpe?g)$/.exec(path);
    if (match) found.push({ depth: Number(match[1]), column: Number(match[2]), row: Number(match[3]), bytes });
  }
  const finest = Math.max(...found.map((tile) => tile.depth));
  const levels = Array.from({ length: finest + 1 }, (_, level) => {
    const width = Math.ceil(info.width / 2 ** level);
    return { width, height: Math.ceil(info.height / 2 ** level), scale: info.width / 2 ** level / sheetWidth };
  });
  return { tile: TILE, isScan: false, layers: [], warnings: [], media: isLossy ? 'image/jpeg' : 'image/png', levels, tiles: new Map(found.map((t) => [`${finest - t.depth}/${t.column}/${t.row}`, t.bytes])) };
}
