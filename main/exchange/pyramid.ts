import { unzipSync } from 'fflate';
import type { Sharp } from 'sharp';
import type { HostOutput, Problem } from '../../shared-core/host-api';

export const TILE = 1024;

/** The picture of one sheet: levels from the finest (0) to one that fits a tile. */
export interface Pyramid {
  readonly tile: number;
  readonly media: 'image/png';
  /** scale is picture elements per sheet unit. */
  readonly levels: readonly { readonly width: number; readonly height: number; readonly scale: number }[];
  /** PNG bytes under 'level/column/row'. */
  readonly tiles: ReadonlyMap<string, Uint8Array>;
  /** What the page can be switched by, as the file itself shows it. */
  readonly layers: HostOutput<'openPlan'>['layers'];
  /** What the person should know although the sheet opens. */
  readonly warnings: readonly Problem[];
}

/** Low effort: line work packs well anyway, and the person is waiting. */
const PNG_EFFORT = 3;

/**
 * Cuts a picture into tiles at halved levels, each the mean of the one below, so that thin lines pale but never vanish.
 * Works through the picture in strips: memory does not grow with its size.
 * @param picture  upright, without transparency
 * @param sheetWidth  width of the sheet in sheet units
 */
export async function buildPyramid(picture: Sharp, sheetWidth: number): Promise<Pyramid> {
  const { data, info } = await picture.png({ compressionLevel: PNG_EFFORT })
    .tile({ size: TILE, overlap: 0, layout: 'dz', container: 'zip', depth: 'onetile' })
    .toBuffer({ resolveWithObject: true });
  const found: { depth: number; column: number; row: number; bytes: Uint8Array }[] = [];
  for (const [path, bytes] of Object.entries(unzipSync(data))) {
    const match = /_files\/(\d+)\/(\d+)_(\d+)\.png$/.exec(path);
    if (match) found.push({ depth: Number(match[1]), column: Number(match[2]), row: Number(match[3]), bytes });
  }
  const finest = Math.max(...found.map((tile) => tile.depth));
  const levels = Array.from({ length: finest + 1 }, (_, level) => {
    const width = Math.ceil(info.width / 2 ** level);
    return { width, height: Math.ceil(info.height / 2 ** level), scale: info.width / 2 ** level / sheetWidth };
  });
  return { tile: TILE, layers: [], warnings: [], media: 'image/png', levels, tiles: new Map(found.map((t) => [`${finest - t.depth}/${t.column}/${t.row}`, t.bytes])) };
}
