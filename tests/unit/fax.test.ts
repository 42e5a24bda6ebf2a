import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { faxRowsLost, tiffDirectories, tiffRowsLost } from '../../shared-core/exchange/index';

const bytesOf = (bits: string): Uint8Array => Uint8Array.from((bits.replaceAll(' ', '').match(/.{1,8}/g) ?? []).map((byte) => parseInt(byte.padEnd(8, '0'), 2)));

/** Runs of every length up to 2,700, and noise, in fax coding of group 4 by another library. */
async function packed(width = 2800, height = 240): Promise<Buffer> {
  const samples = Buffer.alloc(width * height, 255);
  let state = 1;
  for (let y = 0; y < height; y++) {
    if (y % 3 === 0) samples.fill(0, y * width + y, y * width + Math.min(width, y + 1 + y * 11));
    else if (y % 3 === 1) for (let x = 0; x < width; x++) { state = (Math.imul(state, 1664525) + 1013904223) >>> 0; if (state >>> 26 < y) samples[y * width + x] = 0; }
  }
  return sharp(samples, { raw: { width, height, channels: 1 } }).toColourspace('b-w').tiff({ compression: 'ccittfax4', bitdepth: 1 }).toBuffer();
}
const lost = (tiff: Buffer): number => tiffDirectories(tiff).reduce((sum, directory) => sum + tiffRowsLost(tiff, directory), 0);

describe('rows lost in fax coding', () => {
  it('what another library packed is whole', async () => {
    const tiff = await packed();
    expect(tiffDirectories(tiff)[0]).toMatchObject({ compression: 4, width: 2800, height: 240 });
    expect(lost(tiff)).toBe(0);
    // Noise alone is coded mode by mode.
    expect(lost(await packed(333, 700))).toBe(0);
  });

  it('spoiled bytes, a cut and noise are told', async () => {
    const tiff = await packed();
    const [{ strips, rowsPerStrip }] = tiffDirectories(tiff) as [ReturnType<typeof tiffDirectories>[number]];
    const { from, size } = strips[0]!;
    const data = tiff.subarray(from, from + size);
    const rows = Math.min(rowsPerStrip, 240);
    const coding = { columns: 2800, rows, k: -1, aligned: false };
    expect(faxRowsLost(data, coding)).toBe(0);
    for (const share of [0.25, 0.5, 0.75]) expect(faxRowsLost(data.subarray(0, Math.floor(size * share)), coding)).toBeGreaterThan(1);
    const spoiled = Buffer.from(tiff);
    spoiled.fill(0, from + (size >> 1), from + (size >> 1) + 12);
    expect(lost(spoiled)).toBeGreaterThan(0);
    expect(faxRowsLost(Buffer.from(Array.from({ length: 3000 }, (_, i) => (i * 7919) % 251)), coding)).toBeGreaterThan(1);
  });

  // Codes of ITU-T T.4, tables 2 and 3: white 8 is 10011, black 8 is 000101, white 16 is 101010; the end of a line is eleven zeros and a one.
  const [END, HALVES, WHITE] = ['000000000001', '10011000101', '101010'];
  const coding = { columns: 16, rows: 4, k: 0, aligned: false };
  it.each<[string, string, object, number]>([
    ['rows one after another', HALVES + WHITE + HALVES + WHITE, {}, 0],
    ['with ends of lines, and zeros before them', `${END}${HALVES}0000${END}${WHITE}${END}${HALVES}00${END}${WHITE}${END.repeat(6)}`, {}, 0],
    ['a page that ends before its last rows', END + HALVES + END.repeat(6), {}, 0],
    ['each at a whole byte', `${HALVES}00000 ${WHITE}00 ${HALVES}00000 ${WHITE}00`, { aligned: true }, 0],
    ['by the row above: both changes level with it', `${END}1${HALVES}${END}011${END}011${END}1${WHITE}`, { k: 1 }, 0],
    ['one row broken', `${END}${HALVES}${END}10011${'0000000010'}${END}${WHITE}${END}${WHITE}`, {}, 1],
    ['one row too long', `${END}${HALVES}${END}${WHITE}${END}10011${'011000'}${END}${WHITE}${END.repeat(6)}`, {}, 1],
    ['broken off', END + HALVES + END, {}, 3],
  ])('%s', (_what, bits, more, wanted) => { expect(faxRowsLost(bytesOf(bits), { ...coding, ...more })).toBe(wanted); });
});
