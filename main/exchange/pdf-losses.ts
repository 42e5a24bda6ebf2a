import { Readable, Writable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { createInflateRaw } from 'node:zlib';
import { decodePDFRawStream, PDFArray, PDFDict, PDFName, PDFNumber, PDFRawStream } from '@cantoo/pdf-lib';
import type { PDFDocument, PDFObject } from '@cantoo/pdf-lib';
import { faxRowsLost } from '../../shared-core/exchange/index';
import type { FaxCoding } from '../../shared-core/exchange/index';
import { MOST_UNPACKED } from './pdf-swell';
import { PlanRefused } from './problems';

/** What of a page cannot be read; the sentence goes on after 'of page 3'. */
export interface Loss { readonly kind: 'drawing' | 'picture'; readonly what: string }

const name = (text: string): PDFName => PDFName.of(text);
const listOf = (value: PDFObject | undefined): (PDFObject | undefined)[] => (value instanceof PDFArray ? value.asArray().map((_, i) => value.lookup(i)) : value === undefined ? [] : [value]);
const numberOf = (value: PDFObject | undefined): number => (value instanceof PDFNumber ? value.asNumber() : Number.NaN);

const FOR_ALL: ReadonlySet<string> = new Set(['FlateDecode', 'Fl', 'LZWDecode', 'LZW', 'ASCII85Decode', 'A85', 'ASCIIHexDecode', 'AHx', 'RunLengthDecode', 'RL', 'Crypt']);
const FOR_PICTURES: ReadonlySet<string> = new Set(['DCTDecode', 'DCT', 'JPXDecode', 'JBIG2Decode', 'CCITTFaxDecode', 'CCF']);
const MOST_STREAMS = 2000;
const SHOWN = /\/([^\s/<>[\]()]+)\s+Do\b/g;
const PIECE = 64 * 1024;

/**
 * What a page needs for being drawn and what of it is missing or broken. The PDF library draws what it can and is silent
 * about much of the rest; a sheet that lacks part of the plan must not pass for the plan.
 */
export async function lossesOf(pdf: PDFDocument, index: number): Promise<Loss[]> {
  const losses: Loss[] = [];
  const seen = new Set<PDFObject>();
  const page = pdf.getPage(index);
  const lose = (kind: Loss['kind'], what: string): void => { losses.push({ kind, what }); };

  const look = async (streams: readonly (PDFObject | undefined)[], resources: PDFDict | null): Promise<void> => {
    const used = new Set<string>();
    for (const stream of streams) {
      if (!(stream instanceof PDFRawStream)) { lose('drawing', 'a part is missing'); continue; }
      const fault = await faultOf(stream, false);
      if (fault !== null) lose('drawing', fault);
      for (const [, key] of textOf(stream).matchAll(SHOWN)) used.add(decodedName(key!));
    }
    const objects = resources?.lookup(name('XObject'));
    for (const key of used) {
      const object = objects instanceof PDFDict ? objects.lookup(name(key)) : undefined;
      if (object === undefined) { lose('drawing', 'a part is missing'); continue; }
      if (seen.has(object) || seen.size > MOST_STREAMS) continue;
      seen.add(object);
      if (!(object instanceof PDFRawStream)) { lose('drawing', 'a part is missing'); continue; }
      const own = object.dict.lookup(name('Resources'));
      if (object.dict.lookup(name('Subtype')) === name('Form')) await look([object], own instanceof PDFDict ? own : resources);
      else if (object.dict.lookup(name('Subtype')) === name('Image')) { const fault = await faultOf(object, true); if (fault !== null) lose('picture', fault); }
    }
  };
  // A page without any content is blank by right.
  const contents = page.node.get(name('Contents'));
  if (contents !== undefined) {
    const found = page.node.lookup(name('Contents'));
    await look(found instanceof PDFArray ? listOf(found) : [found], page.node.Resources() ?? null);
  }
  return losses;
}

/** Bytes of drawing instructions that are worked through for one page, those of a form as often as it is shown. */
const MOST_WORK = 500e6;

/**
 * Refuses a page whose forms show forms that show forms, until a small file takes hours to draw, and one with a form that
 * shows itself. What it cannot read counts as nothing.
 * @throws PlanRefused  absurd-size, damaged
 */
export function refuseBlowUp(pdf: PDFDocument, index: number): void {
  const known = new Map<PDFObject, number>();
  const open = new Set<PDFObject>();
  const workOf = (streams: readonly PDFRawStream[], resources: PDFDict | null): number => {
    let work = 0;
    const objects = resources?.lookup(name('XObject'));
    for (const stream of streams) {
      const text = textOf(stream);
      work += text.length;
      for (const [, key] of text.matchAll(SHOWN)) {
        const object = objects instanceof PDFDict ? objects.lookup(name(decodedName(key!))) : undefined;
        if (object instanceof PDFRawStream && object.dict.lookup(name('Subtype')) === name('Form')) work += formWork(object, resources);
      }
    }
    return work;
  };
  const formWork = (form: PDFRawStream, around: PDFDict | null): number => {
    if (open.has(form)) throw new PlanRefused('damaged', `A part of page ${index + 1} shows itself without end.`);
    const before = known.get(form);
    if (before !== undefined) return before;
    open.add(form);
    const own = form.dict.lookup(name('Resources'));
    const work = workOf([form], own instanceof PDFDict ? own : around);
    open.delete(form);
    known.set(form, work);
    return work;
  };
  const page = pdf.getPage(index);
  const streams = listOf(page.node.lookup(name('Contents'))).filter((stream) => stream instanceof PDFRawStream);
  const work = workOf(streams, page.node.Resources() ?? null);
  if (work > MOST_WORK) throw new PlanRefused('absurd-size', `The parts of page ${index + 1} show each other so often that drawing them would take hours.`);
}

/** Names in content may spell any sign by its number. */
const decodedName = (written: string): string => written.replace(/#([0-9a-f]{2})/gi, (_, hex: string) => String.fromCharCode(parseInt(hex, 16)));

function textOf(stream: PDFRawStream): string {
  try {
    return Buffer.from(decodePDFRawStream(stream).decode()).toString('latin1');
  } catch { return ''; }
}

/** What is wrong with a stream, as far as that can be told without drawing; null when nothing is. */
async function faultOf({ dict, contents }: PDFRawStream, isPicture: boolean): Promise<string | null> {
  const filters = listOf(dict.lookup(name('Filter'))).map((filter) => (filter instanceof PDFName ? filter.decodeText() : '?'));
  const unknown = filters.find((filter) => !FOR_ALL.has(filter) && !(isPicture && FOR_PICTURES.has(filter)));
  if (unknown !== undefined) return `${isPicture ? 'a picture' : 'a part'} is packed in a way that is not known (${unknown.slice(0, 40)})`;
  if (isPicture && (filters[0] === 'CCITTFaxDecode' || filters[0] === 'CCF')) return faxRowsLost(contents, faxCodingOf(dict)) > 0 ? 'rows of a picture are damaged' : null;
  if (filters[0] !== 'FlateDecode' && filters[0] !== 'Fl') return isPicture && filters.length === 0 && contents.length < leastBytes(dict) ? 'a picture breaks off' : null;
  const unpacked = await inflated(contents);
  const what = isPicture ? 'a picture' : 'a part';
  if (unpacked === null) return `${what} is damaged`;
  if (!unpacked.isWhole || (isPicture && filters.length === 1 && unpacked.size < leastBytes(dict))) return `${what} breaks off`;
  return null;
}

/** @source ISO 32000-2, table 11: what holds where nothing is said */
function faxCodingOf(dict: PDFDict): FaxCoding {
  const [given] = listOf(dict.lookup(name('DecodeParms')));
  const own = (key: string, otherwise: number): number => { const value = given instanceof PDFDict ? numberOf(given.lookup(name(key))) : Number.NaN; return Number.isFinite(value) ? value : otherwise; };
  const isAligned = given instanceof PDFDict && String(given.lookup(name('EncodedByteAlign'))) === 'true';
  return { columns: own('Columns', 1728), rows: numberOf(dict.lookup(name('Height'))) || 0, k: own('K', 0), aligned: isAligned };
}

/** Bytes that a picture has at the very least: one colour, and its last row may be missing. */
function leastBytes(dict: PDFDict): number {
  const [width, height, bits] = ['Width', 'Height', 'BitsPerComponent'].map((key) => numberOf(dict.lookup(name(key))));
  const depth = Number.isFinite(bits) ? bits! : 1;
  const space = dict.lookup(name('ColorSpace'));
  const colours = space === name('DeviceRGB') ? 3 : space === name('DeviceCMYK') ? 4 : 1;
  return Math.ceil((width! * depth * colours) / 8) * (height! - 1) || 0;
}

/** How much deflated data give, and whether they come to their end; null when they are no such data. A wrong check sum at the end loses nothing. */
async function inflated(packed: Uint8Array): Promise<{ readonly size: number; readonly isWhole: boolean } | null> {
  const [method = 0, flags = 0] = packed;
  if ((method & 15) !== 8 || (method * 256 + flags) % 31 !== 0) return null;
  let size = 0;
  const count = new Writable({ write: (piece: Uint8Array, _encoding, done) => { size += piece.length; done(size > MOST_UNPACKED ? new Error('enough') : null); } });
  try {
    await pipeline([Readable.from([packed.subarray(2)]), createInflateRaw({ chunkSize: PIECE }), count]);
    return { size, isWhole: true };
  } catch (fault) {
    const { code, message } = fault as { code?: string; message?: string };
    // A large picture holds more than is counted.
    if (message === 'enough') return { size: Infinity, isWhole: true };
    return code === 'Z_BUF_ERROR' ? { size, isWhole: false } : null;
  }
}

const HEARD: readonly (readonly [RegExp, Loss])[] = [
  [/unable to decode image|image dimensions are missing|EOI marker|JS JBIG2|jpx|jpeg|ccitt/i, { kind: 'picture', what: 'a picture is damaged' }],
  [/invalid stream|bad encoding|filter \S+ is not supported|ignoring (xobject|shading|errors|extgstate)|unknown command|skipping command/i, { kind: 'drawing', what: 'a part is damaged' }],
];

/** What the PDF library said that it left out. */
export const lossesHeard = (warnings: readonly string[]): Loss[] => warnings.flatMap((text) => { const found = HEARD.find(([said]) => said.test(text)); return found ? [found[1]] : []; });
