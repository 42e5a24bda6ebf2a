/** Picture elements per inch along x and y; null where the file does not say or says nonsense. */
export type Resolution = readonly [number, number] | null;

const CM_PER_INCH = 2.54;
const INCHES_PER_METRE = 39.3700787;
/** Outside of these a stated resolution is a placeholder, not a scanner's setting. */
const LOWEST = 10;
const HIGHEST = 20_000;

const sensible = (x: number, y: number): Resolution =>
  [x, y].every((value) => Number.isFinite(value) && value >= LOWEST && value <= HIGHEST) ? [x, y] : null;

const view = (bytes: Uint8Array): DataView => new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
const word = (bytes: Uint8Array, at: number, length: number): string => String.fromCharCode(...bytes.subarray(at, at + length));

/** Chunks of a PNG in file order; stops at the first that runs over the end. */
export function* pngChunks(bytes: Uint8Array): Generator<{ readonly type: string; readonly data: Uint8Array }> {
  const data = view(bytes);
  for (let at = 8; at + 8 <= bytes.length;) {
    const length = data.getUint32(at);
    const type = word(bytes, at + 4, 4);
    if (at + 12 + length > bytes.length) return;
    yield { type, data: bytes.subarray(at + 8, at + 8 + length) };
    at += 12 + length;
  }
}

function pngResolution(bytes: Uint8Array): Resolution {
  for (const chunk of pngChunks(bytes)) {
    if (chunk.type === 'IDAT') return null;
    if (chunk.type !== 'pHYs' || chunk.data.length < 9 || chunk.data[8] !== 1) continue;
    const data = view(chunk.data);
    return sensible(data.getUint32(0) / INCHES_PER_METRE, data.getUint32(4) / INCHES_PER_METRE);
  }
  return null;
}

function jpegResolution(bytes: Uint8Array): Resolution {
  const data = view(bytes);
  let exif: Resolution = null;
  for (let at = 2; at + 4 <= bytes.length && bytes[at] === 0xff;) {
    const marker = bytes[at + 1]!;
    if (marker === 0xda || marker === 0xd9) break;
    const length = data.getUint16(at + 2);
    const body = bytes.subarray(at + 4, at + 2 + length);
    if (marker === 0xe0 && word(body, 0, 4) === 'JFIF' && body.length >= 12) {
      const unit = body[7]!;
      const inner = view(body);
      const factor = unit === 1 ? 1 : unit === 2 ? CM_PER_INCH : 0;
      const found = sensible(inner.getUint16(8) * factor, inner.getUint16(10) * factor);
      if (found) return found;
    }
    if (marker === 0xe1 && word(body, 0, 4) === 'Exif') exif = tiffDirectories(body.subarray(6))[0]?.resolution ?? null;
    at += 2 + length;
  }
  return exif;
}

export interface TiffDirectory {
  readonly resolution: Resolution; readonly compression: number;
  /** What of it lies where, as far as it lies in strips. */
  readonly width: number; readonly height: number; readonly rowsPerStrip: number; readonly strips: readonly { readonly from: number; readonly size: number }[];
  /** The bits of each byte run from the lowest. */
  readonly isReversed: boolean;
  /** Group 3: rows may rest on the one before. */
  readonly isTwoDimensional: boolean;
}

const MOST_DIRECTORIES = 500;
const MOST_STRIPS = 100_000;

/**
 * The directories (pages) of a TIFF, or of the EXIF block of a photograph.
 * Ends at a directory that lies outside the file or was seen before, so a loop gives a finite list.
 * @source TIFF 6.0 pp. 13-16, tags 256, 257, 259, 266, 273, 278, 279, 282, 283, 292, 296
 */
export function tiffDirectories(bytes: Uint8Array): TiffDirectory[] {
  if (bytes.length < 8) return [];
  const little = bytes[0] === 0x49;
  const data = view(bytes);
  const short = (at: number): number => (at + 2 <= bytes.length ? data.getUint16(at, little) : 0);
  const long = (at: number): number => (at + 4 <= bytes.length ? data.getUint32(at, little) : 0);
  const found: TiffDirectory[] = [];
  const seen = new Set<number>();
  if (short(2) !== 42) return [];
  for (let at = long(4); at >= 8 && at + 2 <= bytes.length && !seen.has(at) && found.length < MOST_DIRECTORIES;) {
    seen.add(at);
    const count = short(at);
    let unit = 2;
    let x = Number.NaN;
    let y = Number.NaN;
    let compression = 1;
    let [width, height, rowsPerStrip, isReversed, isTwoDimensional] = [0, 0, Infinity, false, false];
    let [offsets, sizes]: [number[], number[]] = [[], []];
    for (let i = 0; i < count && at + 2 + i * 12 + 12 <= bytes.length; i++) {
      const entry = at + 2 + i * 12;
      const rational = (): number => long(long(entry + 8)) / long(long(entry + 8) + 4);
      const SHORT = 3;
      const isShort = short(entry + 2) === SHORT;
      const value = (): number => (isShort ? short(entry + 8) : long(entry + 8));
      const values = (): number[] => {
        const size = isShort ? 2 : 4; const many = Math.min(long(entry + 4), MOST_STRIPS);
        const first = many * size <= 4 ? entry + 8 : long(entry + 8);
        return Array.from({ length: Math.max(0, Math.min(many, Math.floor((bytes.length - first) / size))) }, (_, n) => (isShort ? short(first + n * size) : long(first + n * size)));
      };
      switch (short(entry)) {
        case 256: width = value(); break;
        case 257: height = value(); break;
        case 266: isReversed = short(entry + 8) === 2; break;
        case 273: offsets = values(); break;
        case 278: rowsPerStrip = value(); break;
        case 279: sizes = values(); break;
        case 292: isTwoDimensional = (long(entry + 8) & 1) === 1; break;
        case 259: compression = short(entry + 8); break;
        case 282: x = rational(); break;
        case 283: y = rational(); break;
        case 296: unit = short(entry + 8); break;
        default:
      }
    }
    const factor = unit === 2 ? 1 : unit === 3 ? CM_PER_INCH : 0;
    found.push({ resolution: sensible(x * factor, y * factor), compression, width, height, rowsPerStrip: Math.min(rowsPerStrip, height), strips: offsets.map((from, i) => ({ from, size: sizes[i] ?? 0 })), isReversed, isTwoDimensional });
    at = long(at + 2 + count * 12);
  }
  return found;
}

/**
 * The resolution that a scan or picture states for one of its pages; a hint for the scale, never trusted alone.
 * @param media  what planMedia said of the same bytes
 */
export function statedResolution(bytes: Uint8Array, media: string, page: number): Resolution {
  if (media === 'image/png') return pngResolution(bytes);
  if (media === 'image/jpeg') return jpegResolution(bytes);
  if (media === 'image/tiff') return tiffDirectories(bytes)[page]?.resolution ?? null;
  return null;
}
