import type { PictureBox } from './types';

/** One level of a picture: its size in picture elements and picture elements per picture unit. */
export interface Level { readonly width: number; readonly height: number; readonly scale: number }

export interface GridTile { readonly key: string; readonly level: number; readonly column: number; readonly row: number; readonly box: PictureBox }

/** The coarsest level that still has a picture element for each device pixel, or the finest there is. */
export function levelFor(levels: readonly Level[], pixelsPerUnit: number): number {
  let chosen = 0;
  levels.forEach((level, index) => { if (level.scale >= pixelsPerUnit) chosen = index; });
  return chosen;
}

/** The tile at a place of a level's grid, with the part of the sheet it covers. */
export function gridTile(level: Level, index: number, size: number, column: number, row: number, prefix = ''): GridTile {
  const x = column * size;
  const y = row * size;
  const box = {
    x: x / level.scale, y: y / level.scale,
    width: Math.min(size, level.width - x) / level.scale, height: Math.min(size, level.height - y) / level.scale,
  };
  return { key: `${prefix}${index}/${column}/${row}`, level: index, column, row, box };
}

/** The tiles of a level that a view touches, nearest to its middle first. */
export function tilesIn(level: Level, index: number, size: number, view: PictureBox, prefix = ''): GridTile[] {
  const range = (from: number, length: number, whole: number): [number, number] => {
    const last = Math.ceil(whole / size) - 1;
    return [Math.max(0, Math.floor(from * level.scale / size)), Math.min(last, Math.floor((from + length) * level.scale / size))];
  };
  const [left, right] = range(view.x, view.width, level.width);
  const [top, bottom] = range(view.y, view.height, level.height);
  const found: GridTile[] = [];
  for (let row = top; row <= bottom; row++) for (let column = left; column <= right; column++) found.push(gridTile(level, index, size, column, row, prefix));
  const distance = ({ box }: GridTile): number =>
    Math.hypot(box.x + box.width / 2 - view.x - view.width / 2, box.y + box.height / 2 - view.y - view.height / 2);
  return found.sort((a, b) => distance(a) - distance(b));
}
