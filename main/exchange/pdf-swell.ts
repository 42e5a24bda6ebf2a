import { Readable, Writable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { constants, createInflate } from 'node:zlib';
import { PlanRefused } from './problems';

/** What one stream may unpack to: the largest picture that is read, in three colours. */
export const MOST_UNPACKED = 400e6;
/** Deflate packs no better than 1032 : 1 (RFC 1951: 258 bytes from two bits). */
const BEST_PACKED = 1032;
/** Drawings pack 5 : 1 to 20 : 1, blank scans a few hundred; only what begins above this is unpacked to its end. */
const DOUBTFUL = 150;
const SAMPLE = 64 * 1024;
const DICTIONARY = 2048;
/** A picture in a page is unpacked whole, at four bytes each element; more does not fit the memory of a reading process. */
export const MOST_PICTURE_IN_PAGE = 150e6;
const MOST_JPX_SAMPLES = 120e6;

/**
 * Refuses a PDF with a stream that swells beyond any drawing, before the page is read. Nothing that is unpacked is kept.
 * A stream that swells only later is met by the memory limit of the reading process.
 * @throws PlanRefused  absurd-size, too-large
 */
export async function refuseSwelling(bytes: Uint8Array): Promise<void> {
  const file = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  for (let at = file.indexOf('stream'); at >= 0; at = file.indexOf('stream', at + 6)) {
    if (file.subarray(at - 3, at).toString('latin1') === 'end') continue;
    const before = file.subarray(Math.max(0, at - DICTIONARY), at).toString('latin1');
    const stages = before.slice(before.lastIndexOf(' obj')).match(/\/(FlateDecode|Fl)\b/g)?.length ?? 0;
    if (/\/JPXDecode\b/.test(before.slice(before.lastIndexOf(' obj')))) refuseLargeJpx(file.subarray(at, at + DICTIONARY));
    const elements = pictureElements(before);
    // A picture that says itself that it is larger is never unpacked further than it says: it is read row by row, or left out.
    if (stages === 0 || elements > MOST_PICTURE_IN_PAGE) continue;
    const most = Math.max(MOST_UNPACKED, 3 * elements);
    const end = file.indexOf('endstream', at);
    const start = at + (file[at + 6] === 0x0d ? 8 : 7);
    const packed = file.subarray(start, end < 0 ? file.length : end);
    if (packed.length * BEST_PACKED ** stages < most) continue;
    const sample = packed.subarray(0, SAMPLE);
    if (await unpackedSize(sample, stages, most) < DOUBTFUL * sample.length) continue;
    if (await unpackedSize(packed, stages, most) > most) throw new PlanRefused('absurd-size', `A part of it of ${packed.length} bytes unpacks to more than ${most / 1e6} MB.`);
  }
}

/**
 * A JPEG 2000 is unpacked whole at four bytes a sample, whatever the page says of its size.
 * @source ITU-T T.800 A.5.1: marker SIZ with length, capabilities, width and height, offsets, tile sizes and offsets, count of components
 */
function refuseLargeJpx(head: Buffer): void {
  const at = head.indexOf(Buffer.from([0xff, 0x4f, 0xff, 0x51]));
  if (at < 0 || at + 42 > head.length) return;
  const [width, height] = [head.readUInt32BE(at + 8) - head.readUInt32BE(at + 16), head.readUInt32BE(at + 12) - head.readUInt32BE(at + 20)];
  const samples = width * height * head.readUInt16BE(at + 40);
  if (samples > MOST_JPX_SAMPLES) throw new PlanRefused('too-large', `It holds a JPEG 2000 picture of ${width} x ${height} elements; at most ${MOST_JPX_SAMPLES / 1e6} million samples are read in that form. As JPEG, TIFF or PNG it may be larger.`);
}

/** What a picture says of its size; 0 for anything else. */
function pictureElements(entries: string): number {
  const own = entries.slice(entries.lastIndexOf(' obj'));
  const side = (key: string): number => Number(new RegExp(`/${key}\\s+(\\d+)`).exec(own)?.[1] ?? 0);
  return /\/Subtype\s*\/Image/.test(own) ? side('Width') * side('Height') : 0;
}

/** Bytes that so many layers of packing give, counted up to a little over the most allowed; what is broken counts as far as it goes. */
async function unpackedSize(packed: Uint8Array, stages: number, most: number): Promise<number> {
  let size = 0;
  const layers = Array.from({ length: stages }, () => createInflate({ chunkSize: SAMPLE, finishFlush: constants.Z_SYNC_FLUSH }));
  const count = new Writable({
    write: (piece: Uint8Array, _encoding, done) => {
      size += piece.length;
      done(size > most ? new Error('enough') : null);
    },
  });
  await pipeline([Readable.from([packed]), ...layers, count]).catch(() => undefined);
  return size;
}
