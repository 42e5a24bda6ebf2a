import type { TiffDirectory } from './raster-facts';

/**
 * Fax coding (ITU-T T.4 and T.6), read only to tell whether rows of it are broken: the libraries that show such pictures
 * go on after a broken row with whatever comes, and say nothing.
 */
export interface FaxCoding {
  readonly columns: number;
  /** Rows that the picture says it has. */
  readonly rows: number;
  /** Below 0: every row by the one before (T.6); 0: every row by itself; above: both, as each row says (T.4). */
  readonly k: number;
  /** Each row begins at a whole byte. */
  readonly aligned: boolean;
}

// Codes as T.4 prints them, tables 2 to 4: runs of 0 to 63, then of 64, 128 ... 1728, then those of both colours to 2560.
const WHITE = `00110101 000111 0111 1000 1011 1100 1110 1111 10011 10100 00111 01000 001000 000011 110100 110101 101010 101011 0100111 0001100 0001000 0010111 0000011 0000100 0101000 0101011 0010011 0100100 0011000
00000010 00000011 00011010 00011011 00010010 00010011 00010100 00010101 00010110 00010111 00101000 00101001 00101010 00101011 00101100 00101101 00000100 00000101 00001010 00001011 01010010 01010011 01010100 01010101
00100100 00100101 01011000 01011001 01011010 01011011 01001010 01001011 00110010 00110011 00110100
11011 10010 010111 0110111 00110110 00110111 01100100 01100101 01101000 01100111 011001100 011001101 011010010 011010011 011010100 011010101 011010110 011010111 011011000 011011001 011011010 011011011 010011000
010011001 010011010 011000 010011011`;
const BLACK = `0000110111 010 11 10 011 0011 0010 00011 000101 000100 0000100 0000101 0000111 00000100 00000111 000011000 0000010111 0000011000 0000001000 00001100111 00001101000 00001101100 00000110111 00000101000 00000010111
00000011000 000011001010 000011001011 000011001100 000011001101 000001101000 000001101001 000001101010 000001101011 000011010010 000011010011 000011010100 000011010101 000011010110 000011010111 000001101100 000001101101
000011011010 000011011011 000001010100 000001010101 000001010110 000001010111 000001100100 000001100101 000001010010 000001010011 000000100100 000000110111 000000111000 000000100111 000000101000 000001011000 000001011001
000000101011 000000101100 000001011010 000001100110 000001100111
0000001111 000011001000 000011001001 000001011011 000000110011 000000110100 000000110101 0000001101100 0000001101101 0000001001010 0000001001011 0000001001100 0000001001101 0000001110010 0000001110011 0000001110100
0000001110101 0000001110110 0000001110111 0000001010010 0000001010011 0000001010100 0000001010101 0000001011010 0000001011011 0000001100100 0000001100101`;
const BOTH = '00000001000 00000001100 00000001101 000000010010 000000010011 000000010100 000000010101 000000010110 000000010111 000000011100 000000011101 000000011110 000000011111';
/** T.6 table 1, in the order of MODES. */
const MODE_CODES = '0001 001 1 011 000011 0000011 010 000010 0000010';
const PASS = -100; const LEVEL = -101;
const MODES = [PASS, LEVEL, 0, 1, 2, 3, -1, -2, -3];

const WIDEST = 13;
const NONE = -1000;
interface Codes { readonly value: Int16Array; readonly length: Uint8Array }
/** What every 13 bits begin with. */
function tableOf(codes: readonly string[], values: readonly number[]): Codes {
  const value = new Int16Array(2 ** WIDEST).fill(NONE); const length = new Uint8Array(2 ** WIDEST);
  codes.forEach((code, i) => {
    const first = parseInt(code, 2) << (WIDEST - code.length);
    value.fill(values[i]!, first, first + 2 ** (WIDEST - code.length));
    length.fill(code.length, first, first + 2 ** (WIDEST - code.length));
  });
  return { value, length };
}
const LONGEST_OWN = 63; const UNIT = 64;
const runsOf = (own: string): Codes => { const codes = `${own} ${BOTH}`.split(/\s+/); return tableOf(codes, codes.map((_, i) => (i <= LONGEST_OWN ? i : (i - LONGEST_OWN) * UNIT))); };
const RUNS = [runsOf(WHITE), runsOf(BLACK)] as const;
const MODE = tableOf(MODE_CODES.split(' '), MODES);

const END = 12;

/** @returns how many rows are broken or missing; after the first broken row of T.6 all that follow rest on it */
export function faxRowsLost(data: Uint8Array, { columns, rows, k, aligned }: FaxCoding): number {
  let at = 0;
  const bits = data.length * 8;
  const peek = (count: number): number => {
    const byte = at >> 3;
    const four = ((data[byte] ?? 0) * 2 ** 24 + ((data[byte + 1] ?? 0) << 16) + ((data[byte + 2] ?? 0) << 8) + (data[byte + 3] ?? 0)) >>> 0;
    return (four << (at & 7)) >>> (32 - count);
  };
  const take = (codes: Codes): number => {
    const next = peek(WIDEST);
    at += codes.length[next]!;
    return at > bits ? NONE : codes.value[next]!;
  };
  const run = (colour: 0 | 1): number => {
    let sum = 0;
    for (;;) {
      const part = take(RUNS[colour]);
      if (part === NONE) return NONE;
      sum += part;
      if (part <= LONGEST_OWN) return sum;
      if (sum > columns) return NONE;
    }
  };
  /** Where colours change, and once more the end; null when broken. */
  const rowByItself = (): number[] | null => {
    const changes: number[] = [];
    let [x, colour]: [number, 0 | 1] = [0, 0];
    while (x < columns) {
      const long = run(colour);
      if (long === NONE || x + long > columns) return null;
      x += long; colour = colour === 0 ? 1 : 0;
      changes.push(x);
    }
    return changes;
  };
  const rowByOther = (above: readonly number[]): number[] | null => {
    const changes: number[] = [];
    let x = -1; let colour: 0 | 1 = 0; let i = 0;
    while (x < columns) {
      // The first change above to the right of here that leaves our colour.
      while (i > 0 && (above[i - 1] ?? columns) > x) i -= 1;
      while (i < above.length && (above[i]! <= x || (i & 1) !== colour)) i += 1;
      const b1 = above[i] ?? columns;
      const mode = take(MODE);
      if (mode === NONE) return null;
      if (mode === PASS) { x = above[i + 1] ?? columns; continue; }
      if (mode === LEVEL) {
        const own = run(colour);
        const other = own === NONE ? NONE : run(colour === 0 ? 1 : 0);
        if (other === NONE) return null;
        const from = Math.max(0, x) + own;
        if (from + other > columns) return null;
        changes.push(from, from + other);
        x = from + other;
        continue;
      }
      const to = b1 + mode;
      if (to < Math.max(0, x) || to > columns) return null;
      changes.push(to);
      x = to; colour = colour === 0 ? 1 : 0;
    }
    return changes;
  };
  /** Passes ends of line, with zeros before them; says how many. */
  const ends = (): number => {
    let count = 0;
    for (;;) {
      const start = at;
      while (at < bits && peek(END - 1) === 0 && (peek(END) & 1) === 0) at += 1;
      if (at < bits && peek(END) === 1) { at += END; count += 1; if (k > 0) { tag = peek(1); at += 1; } } else { at = start; return count; }
    }
  };
  let tag = 1;
  let above: number[] = [];
  let [good, broken] = [0, 0];
  while (good + broken < rows) {
    const found = ends();
    // Several ends one after another end the page, one of T.6 as well.
    if (found > 1 || (found > 0 && k < 0)) break;
    if (aligned && found === 0) at = (at + 7) & ~7;
    if (at >= bits) break;
    const row = k < 0 || (k > 0 && tag === 0) ? rowByOther(above) : rowByItself();
    if (row) { above = row; good += 1; continue; }
    if (k < 0) return rows - good;
    broken += 1;
    // T.4 goes on at the next end of line.
    while (at < bits && peek(END) !== 1) at += 1;
    above = [];
  }
  // Of a page that comes to its end, or all but, rows below it are white by right.
  const missing = rows - good - broken;
  return broken + (at >= bits && missing > 1 ? missing : 0);
}

const GROUP_3 = 3; const GROUP_4 = 4; const RUNS_ONLY = 2;

/** Rows of a page of a TIFF that are broken or missing; 0 for one that is not coded as fax. @source TIFF 6.0, sections 10 and 11 */
export function tiffRowsLost(file: Uint8Array, { compression, width, height, rowsPerStrip, strips, isReversed, isTwoDimensional }: TiffDirectory): number {
  if (![RUNS_ONLY, GROUP_3, GROUP_4].includes(compression) || !(width > 0 && rowsPerStrip > 0)) return 0;
  const k = compression === GROUP_4 ? -1 : compression === GROUP_3 && isTwoDimensional ? 1 : 0;
  return strips.reduce((sum, { from, size }, i) => {
    const data = file.subarray(from, from + size);
    const rows = Math.min(rowsPerStrip, height - i * rowsPerStrip);
    return sum + (rows > 0 ? faxRowsLost(isReversed ? data.map((byte) => REVERSED[byte]!) : data, { columns: width, rows, k, aligned: compression === RUNS_ONLY }) : 0);
  }, 0);
}

const REVERSED = Uint8Array.from({ length: 256 }, (_, byte) => [0, 1, 2, 3, 4, 5, 6, 7].reduce((sum, bit) => sum | (((byte >> bit) & 1) << (7 - bit)), 0));
