/** A picture in greys, row by row: 0 is black ink, 255 white paper. */
export interface Greys { readonly width: number; readonly height: number; readonly greys: Uint8Array }

/** What a picture element of a comparison holds. */
export const INK = { none: 0, kept: 1, gone: 2, fresh: 3 } as const;
/** Perhaps changed: counts where it hangs together with what surely changed, else it was noise. */
const FAINT = { gone: 4, fresh: 5 } as const;

/** A patch of the plan that is not as it was. Picture elements; the box's far edges lie outside it. */
export interface ChangedPatch { readonly minX: number; readonly minY: number; readonly maxX: number; readonly maxY: number; readonly gone: number; readonly fresh: number }

export interface InkDifference {
  readonly width: number; readonly height: number;
  /** One of INK for each picture element. */
  readonly ink: Uint8Array;
  /** Largest first. */
  readonly patches: readonly ChangedPatch[];
  /** Small squares that hold changed ink, for finding what lies near it: left and top of each, in picture elements. */
  readonly cells: readonly { readonly x: number; readonly y: number; readonly gone: boolean; readonly fresh: boolean }[];
  readonly cell: number;
}

export interface CompareOptions {
  /** Ink within so many picture elements of ink on the other plan counts as the same. */
  readonly tolerance: number;
  /** Changed ink is gathered in squares of so many picture elements; neighbouring ones make one patch. */
  readonly cell: number;
  /** Patches with fewer picture elements of surely changed ink are dirt. */
  readonly dirt: number;
}

/** Squares over which the tone of the paper is taken to be even. */
const TONE = 64;
/** Share of the way from paper to full ink: more than STRONG is surely ink, less than WEAK surely paper. Found by trying. */
const STRONG = 0.3;
const WEAK = 0.14;

/** The tone of the paper around each square: the light end of its own and its neighbours' greys. */
function paperTones({ width, height, greys }: Greys): { readonly columns: number; readonly tones: Float64Array } {
  const columns = Math.ceil(width / TONE); const rows = Math.ceil(height / TONE);
  const own = new Float64Array(columns * rows);
  const counts = new Uint32Array(256);
  for (let row = 0; row < rows; row += 1) for (let column = 0; column < columns; column += 1) {
    counts.fill(0);
    let n = 0;
    for (let y = row * TONE; y < Math.min(height, (row + 1) * TONE); y += 1) for (let x = column * TONE; x < Math.min(width, (column + 1) * TONE); x += 1) { counts[greys[y * width + x]!]! += 1; n += 1; }
    let seen = 0; let level = 255;
    while (level > 0 && seen + counts[level]! < 0.1 * n) { seen += counts[level]!; level -= 1; }
    own[row * columns + column] = level;
  }
  // A square filled with ink has no paper of its own.
  const tones = new Float64Array(own.length);
  for (let row = 0; row < rows; row += 1) for (let column = 0; column < columns; column += 1) {
    let most = 0;
    for (let r = Math.max(0, row - 1); r <= Math.min(rows - 1, row + 1); r += 1) for (let c = Math.max(0, column - 1); c <= Math.min(columns - 1, column + 1); c += 1) most = Math.max(most, own[r * columns + c]!);
    tones[row * columns + column] = most;
  }
  return { columns, tones };
}

/** For each picture element: 2 surely ink, 1 perhaps, 0 paper. A plan on a black ground is read turned to white. */
function inkOf(picture: Greys): Uint8Array {
  const { width, height, greys } = picture;
  let sum = 0;
  for (const grey of greys) sum += grey;
  if (greys.length > 0 && sum / greys.length < 110) return inkOf({ width, height, greys: greys.map((grey) => 255 - grey) });
  const { columns, tones } = paperTones(picture);
  const levels = new Uint8Array(greys.length);
  for (let y = 0; y < height; y += 1) for (let column = 0; column < columns; column += 1) {
    const tone = tones[Math.floor(y / TONE) * columns + column]!;
    const strong = tone - STRONG * Math.max(tone, 64); const weak = tone - WEAK * Math.max(tone, 64);
    const end = y * width + Math.min(width, (column + 1) * TONE);
    for (let i = y * width + column * TONE; i < end; i += 1) { const grey = greys[i]!; levels[i] = grey < strong ? 2 : grey < weak ? 1 : 0; }
  }
  return levels;
}

/** Whether any ink lies within `by` steps along rows and columns: running counts, one pass each way and both along the rows, as memory lies. */
function spread(levels: Uint8Array, width: number, height: number, by: number): Uint8Array {
  const across = new Uint8Array(levels.length);
  for (let y = 0; y < height; y += 1) {
    const row = y * width;
    let held = 0;
    for (let x = -by; x < width; x += 1) {
      if (x + by < width && levels[row + x + by]! > 0) held += 1;
      if (x - by - 1 >= 0 && levels[row + x - by - 1]! > 0) held -= 1;
      if (x >= 0 && held > 0) across[row + x] = 1;
    }
  }
  const whole = new Uint8Array(levels.length);
  const held = new Uint16Array(width);
  for (let y = -by; y < height; y += 1) {
    const entering = y + by < height ? (y + by) * width : -1; const leaving = y - by - 1 >= 0 ? (y - by - 1) * width : -1;
    if (entering >= 0) for (let x = 0; x < width; x += 1) held[x]! += across[entering + x]!;
    if (leaving >= 0) for (let x = 0; x < width; x += 1) held[x]! -= across[leaving + x]!;
    if (y >= 0) for (let x = 0; x < width; x += 1) if (held[x]! > 0) whole[y * width + x] = 1;
  }
  return whole;
}

/**
 * What two pictures of one sheet show differently. Ink is told from paper by contrast against the paper around it; ink that
 * the other picture has within the tolerance, be it faint, is kept.
 * @param old, next  pictures of the same size, laid on each other
 * @throws RangeError when the sizes differ or an option is not a whole number above 0 (tolerance: 0 or more)
 */
export function compareInk(old: Greys, next: Greys, options: CompareOptions): InkDifference {
  const { width, height } = old;
  const { tolerance, cell, dirt } = options;
  if (next.width !== width || next.height !== height || old.greys.length !== width * height || next.greys.length !== width * height) throw new RangeError('pictures to compare must have one size');
  if (!Number.isInteger(tolerance) || tolerance < 0 || !Number.isInteger(cell) || cell < 1) throw new RangeError('tolerance and cell are whole picture elements');
  const was = inkOf(old); const is = inkOf(next);
  const nearOld = spread(was, width, height, tolerance); const nearNew = spread(is, width, height, tolerance);
  const ink = new Uint8Array(width * height);
  for (let i = 0; i < ink.length; i += 1) {
    if (is[i]! > 0) ink[i] = nearOld[i] === 1 ? INK.kept : is[i] === 2 ? INK.fresh : FAINT.fresh;
    else if (was[i]! > 0 && nearNew[i] === 0) ink[i] = was[i] === 2 ? INK.gone : FAINT.gone;
  }
  const gathered = gather(ink, width, height, cell, dirt);
  return { width, height, ink, cell, ...gathered };
}

/** Joins changed ink to patches of neighbouring squares and takes the dirt out of the picture. */
function gather(ink: Uint8Array, width: number, height: number, cell: number, dirt: number): Pick<InkDifference, 'patches' | 'cells'> {
  const columns = Math.ceil(width / cell); const rows = Math.ceil(height / cell);
  const gone = new Uint32Array(columns * rows); const fresh = new Uint32Array(columns * rows); const sure = new Uint32Array(columns * rows);
  // Asked only where ink changed, which is seldom.
  const squareOf = (i: number): number => Math.floor(Math.floor(i / width) / cell) * columns + Math.floor((i % width) / cell);
  for (let i = 0; i < ink.length; i += 1) {
    const what = ink[i]!;
    if (what < INK.gone) continue;
    const square = squareOf(i);
    if (what === INK.gone || what === FAINT.gone) gone[square]! += 1; else fresh[square]! += 1;
    if (what === INK.gone || what === INK.fresh) sure[square]! += 1;
  }
  const seen = new Uint8Array(columns * rows); const isDirt = new Uint8Array(columns * rows);
  const patches: ChangedPatch[] = []; const cells: { x: number; y: number; gone: boolean; fresh: boolean }[] = [];
  for (let start = 0; start < seen.length; start += 1) {
    if (seen[start] === 1 || gone[start]! + fresh[start]! === 0) continue;
    const members = [start];
    seen[start] = 1;
    for (let k = 0; k < members.length; k += 1) {
      const at = members[k]!; const column = at % columns; const row = Math.floor(at / columns);
      for (let r = Math.max(0, row - 1); r <= Math.min(rows - 1, row + 1); r += 1) for (let c = Math.max(0, column - 1); c <= Math.min(columns - 1, column + 1); c += 1) {
        const next = r * columns + c;
        if (seen[next] === 0 && gone[next]! + fresh[next]! > 0) { seen[next] = 1; members.push(next); }
      }
    }
    const patch = { minX: Infinity, minY: Infinity, maxX: 0, maxY: 0, gone: 0, fresh: 0 };
    let surely = 0;
    for (const at of members) {
      const x = (at % columns) * cell; const y = Math.floor(at / columns) * cell;
      patch.minX = Math.min(patch.minX, x); patch.minY = Math.min(patch.minY, y);
      patch.maxX = Math.max(patch.maxX, Math.min(width, x + cell)); patch.maxY = Math.max(patch.maxY, Math.min(height, y + cell));
      patch.gone += gone[at]!; patch.fresh += fresh[at]!; surely += sure[at]!;
    }
    if (surely < dirt) { for (const at of members) isDirt[at] = 1; continue; }
    patches.push(patch);
    for (const at of members) cells.push({ x: (at % columns) * cell, y: Math.floor(at / columns) * cell, gone: gone[at]! > 0, fresh: fresh[at]! > 0 });
  }
  for (let i = 0; i < ink.length; i += 1) {
    const what = ink[i]!;
    if (what < INK.gone) continue;
    const isFresh = what === INK.fresh || what === FAINT.fresh;
    ink[i] = isDirt[squareOf(i)] === 1 ? (isFresh ? INK.kept : INK.none) : isFresh ? INK.fresh : INK.gone;
  }
  patches.sort((a, b) => b.gone + b.fresh - a.gone - a.fresh);
  return { patches, cells };
}
