import { decodePDFRawStream, parseContentStream, PDFArray, PDFBool, PDFDict, PDFDocument, PDFName, PDFNumber, PDFRawStream } from '@cantoo/pdf-lib';
import type { PDFObject } from '@cantoo/pdf-lib';
import sharp from 'sharp';
import type { Sharp } from 'sharp';
import { composeMatrix, invertMatrix } from '../../shared-core/geometry/index';
import type { Matrix } from '../../shared-core/geometry/index';
import { pdfObjects } from './pdf-document';
import { filesOf } from './pdf-picture-file';
import type { PictureFiles, PlainPicture } from './pdf-picture-file';
import { MOST_PIXELS } from './read-raster';

/** Pages whose pictures have fewer elements are drawn by the PDF library, which unpacks a picture at four bytes each. */
export const LARGE_SCAN = 40e6;
/** What is held unpacked at once: a picture that must be turned upright is read smaller beyond it. */
const MOST_HELD = 560e6;
const MOST_CONTENT = 20e6;
const DEEPEST_FORM = 4;
/** A picture over so much of the sheet hides what was drawn before it: scanners' sizes are rounded. */
const COVERED = 0.999;
/** A picture that lies off the sheet's directions by more than this, in its own elements over its whole length, is not upright. */
const UPRIGHT_WITHIN = 1;

/** A page that is one scanned picture, whole or in strips or tiles. */
export interface PageScan {
  /** The page upright on white; memory stays far below its size. @param longSide picture elements along the long side, at most; the scan's own when absent */
  picture(longSide?: number): { readonly picture: Sharp; readonly width: number; readonly height: number; readonly channels: 1 | 3; /** Nothing but black and white. */ readonly isBilevel: boolean };
}

export interface PdfScans {
  /**
   * @param upright leads from the page's user space to its upright sheet, y down, sheet units
   * @returns why not, where the page is not one large scan that can be read so; the PDF library draws it then, or leaves its picture out
   */
  page(index: number, upright: Matrix, size: { readonly width: number; readonly height: number }): Promise<PageScan | { readonly whyNot: string }>;
}

/** Whether the pictures of a PDF together are so large that a page of it may be a large scan; streams are never hidden inside others. */
export function mayHoldScan(bytes: Uint8Array, least = LARGE_SCAN): boolean {
  const file = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  let elements = 0;
  for (let at = file.indexOf('/Image'); at >= 0; at = file.indexOf('/Image', at + 6)) {
    const near = file.subarray(Math.max(0, at - 1500), at + 1500).toString('latin1');
    const before = near.slice(0, Math.min(at, 1500)); const after = near.slice(Math.min(at, 1500));
    const entries = before.slice(before.lastIndexOf('obj')) + after.slice(0, after.indexOf('stream') + 1 || undefined);
    const side = (key: string): number => Number(new RegExp(`/${key}\\s+(\\d+)`).exec(entries)?.[1] ?? 0);
    elements += side('Width') * side('Height');
    if (elements >= least) return true;
  }
  return false;
}

/**
 * Opens a PDF for reading its large scans.
 * @param least  picture elements of a scan that counts as large
 * @param largeStrip  bytes of packed rows that are not held once more, see filesOf
 * @returns null when it holds none, or has a structure that is not accepted here
 */
export async function openScans(bytes: Uint8Array, password: string | undefined, least = LARGE_SCAN, largeStrip?: number): Promise<PdfScans | null> {
  const pdf = mayHoldScan(bytes, least) ? await pdfObjects(bytes, password) : null;
  return pdf && {
    page: async (index, upright, size) => {
      try {
        return await scanOf(piecesOf(pdf, index, upright, size, least), size, largeStrip);
      } catch (fault) {
        return { whyNot: fault instanceof NotAScan ? fault.message : 'its structure is broken' };
      }
    },
  };
}

// What the page paints -----------------------------------------------------------------------------------------------------

/** A picture on the page: 'place' leads from its elements, rows downwards, to the upright sheet. */
interface Piece extends PlainPicture { readonly place: Matrix }

type Box = readonly [left: number, top: number, right: number, bottom: number];
interface Pen { readonly matrix: Matrix; readonly fill: 'black' | 'white' | 'other'; readonly shows: boolean; readonly clip: Box }

/** The message goes on after 'because'. */
class NotAScan extends Error {}

const name = (text: string): PDFName => PDFName.of(text);
const numberOf = (value: PDFObject | undefined): number => (value instanceof PDFNumber ? value.asNumber() : Number.NaN);
const isTrue = (value: PDFObject | undefined): boolean => value instanceof PDFBool && value.asBoolean();
const listOf = (value: PDFObject | undefined): (PDFObject | undefined)[] => (value instanceof PDFArray ? value.asArray().map((_, i) => value.lookup(i)) : value === undefined ? [] : [value]);

function boxUnder(m: Matrix, [x0, y0, x1, y1]: Box): Box {
  const xs: number[] = []; const ys: number[] = [];
  for (const [x, y] of [[x0, y0], [x1, y0], [x1, y1], [x0, y1]] as const) { xs.push(m[0] * x + m[2] * y + m[4]); ys.push(m[1] * x + m[3] * y + m[5]); }
  return [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)];
}
const meet = (a: Box, b: Box): Box => [Math.max(a[0], b[0]), Math.max(a[1], b[1]), Math.min(a[2], b[2]), Math.min(a[3], b[3])];
const covers = (a: Box, b: Box, by: number): boolean => a[0] <= b[0] + by && a[1] <= b[1] + by && a[2] >= b[2] - by && a[3] >= b[3] - by;

const FILLS: ReadonlySet<string> = new Set(['f', 'F', 'f*']);
const PAINTS: ReadonlySet<string> = new Set(['S', 's', 'B', 'B*', 'b', 'b*']);
const CONSTRUCTS: ReadonlySet<string> = new Set(['m', 'l', 'c', 'v', 'y', 'h']);
const SHOWS_TEXT: ReadonlySet<string> = new Set(['Tj', 'TJ', '\'', '"']);
const PAINTS_NOTHING: ReadonlySet<string> = new Set(['BT', 'ET', 'Tc', 'Tw', 'Tz', 'TL', 'Tf', 'Ts', 'Td', 'TD', 'Tm', 'T*', 'w', 'J', 'j', 'M', 'd', 'ri', 'i', 'G', 'RG', 'K', 'CS', 'SC', 'SCN', 'BMC', 'EMC', 'MP', 'DP', 'BX', 'EX']);
/** Text that is searched but not seen (ISO 32000-2, table 104). */
const UNSEEN_TEXT = 3;

function colourOf(operator: string, args: readonly unknown[]): Pen['fill'] {
  const values = args.filter((value) => typeof value === 'number');
  const [black, white] = operator === 'k' ? ['0,0,0,1', '0,0,0,0'] : values.length === 1 ? ['0', '1'] : ['0,0,0', '1,1,1'];
  return values.join() === black ? 'black' : values.join() === white ? 'white' : 'other';
}

/**
 * The pictures that a page consists of.
 * @throws NotAScan when they are small, when it shows something else as well, or shows them in a way that is not plain
 */
function piecesOf(pdf: PDFDocument, index: number, upright: Matrix, size: { readonly width: number; readonly height: number }, least: number): Piece[] {
  const page = pdf.getPage(index);
  const pieces: Piece[] = [];
  const sheet: Box = [0, 0, size.width, size.height];
  let isUnder: string | null = null;
  /** Searched text often lies under the picture: what that hides is not seen. */
  const besides = (what: string): void => {
    if (pieces.length > 0) throw new NotAScan(what);
    isUnder ??= what;
  };

  const draw = (content: Uint8Array, resources: PDFDict | null, start: Pen, depth: number): void => {
    const text = Buffer.from(content.buffer, content.byteOffset, content.byteLength).toString('latin1');
    if (/(^|\s)BI\s+\//.test(text)) throw new NotAScan('it shows other pictures as well');
    let pen = start; const saved: Pen[] = [];
    let rect: Box | null = null; let corners = 0; let clips = false;
    const endPath = (): void => {
      if (clips) {
        if (rect === null || corners !== 1) throw new NotAScan('the picture is cut to a shape');
        pen = { ...pen, clip: meet(pen.clip, rect) };
      }
      rect = null; corners = 0; clips = false;
    };
    for (const { name: operator, args } of parseContentStream(content)) {
      if (operator === 'q') saved.push(pen);
      else if (operator === 'Q') pen = saved.pop() ?? pen;
      else if (operator === 'cm') pen = { ...pen, matrix: composeMatrix(pen.matrix, args as unknown as Matrix) };
      else if (operator === 'gs') refuseEffects(lookIn(resources, 'ExtGState', args[0]));
      else if (['g', 'rg', 'k', 'sc', 'scn'].includes(operator)) pen = { ...pen, fill: colourOf(operator, args) };
      else if (operator === 'cs') pen = { ...pen, fill: 'black' };
      else if (operator === 'Tr') pen = { ...pen, shows: args[0] !== UNSEEN_TEXT };
      else if (SHOWS_TEXT.has(operator)) { if (pen.shows) besides('it shows text as well'); }
      else if (operator === 're') { const [x, y, w, h] = args as number[]; rect = boxUnder(pen.matrix, [x!, y!, x! + w!, y! + h!]); corners += 1; }
      else if (CONSTRUCTS.has(operator)) corners += 1;
      else if (operator === 'W' || operator === 'W*') clips = true;
      else if (operator === 'n') endPath();
      // White under everything is the paper itself.
      else if (FILLS.has(operator)) { if (pieces.length > 0 || pen.fill !== 'white') besides('it shows filled areas as well'); endPath(); }
      else if (PAINTS.has(operator)) { besides('it shows lines as well'); endPath(); }
      else if (operator === 'BDC') { const [tag] = args; if (typeof tag === 'object' && 'value' in tag && tag.value === 'OC') throw new NotAScan('it has layers'); }
      else if (operator === 'Do') {
        const object = lookIn(resources, 'XObject', args[0]);
        if (!(object instanceof PDFRawStream) || object.dict.has(name('OC'))) throw new NotAScan('it shows objects of other kinds as well');
        if (object.dict.lookup(name('Subtype')) === name('Image')) pieces.push(pieceOf(object, pen, sheet));
        else drawForm(object, resources, pen, depth);
      } else if (!PAINTS_NOTHING.has(operator)) throw new NotAScan('its drawing instructions are not plain');
    }
  };
  const drawForm = (form: PDFRawStream, around: PDFDict | null, pen: Pen, depth: number): void => {
    if (depth >= DEEPEST_FORM || form.dict.has(name('Group')) && form.dict.lookup(name('Group')) instanceof PDFDict && (form.dict.lookup(name('Group')) as PDFDict).has(name('K'))) throw new NotAScan('its drawing instructions are nested');
    const given = listOf(form.dict.lookup(name('Matrix'))).map(numberOf);
    const matrix = given.length === 6 ? composeMatrix(pen.matrix, given as unknown as Matrix) : pen.matrix;
    const box = listOf(form.dict.lookup(name('BBox'))).map(numberOf);
    const own = form.dict.lookup(name('Resources'));
    const clip = box.length === 4 ? meet(pen.clip, boxUnder(matrix, box as unknown as Box)) : pen.clip;
    draw(contentOf([form]), own instanceof PDFDict ? own : around, { ...pen, matrix, clip }, depth + 1);
  };

  const contents = page.node.lookup(name('Contents'));
  const resources = page.node.Resources() ?? null;
  draw(contentOf(listOf(contents)), resources, { matrix: upright, fill: 'black', shows: true, clip: sheet }, 0);
  if (pieces.reduce((sum, { width, height }) => sum + width * height, 0) < least) throw new NotAScan('its pictures are small');
  if (isUnder !== null && !hides(pieces, sheet)) throw new NotAScan(isUnder);
  if (listOf(page.node.lookup(name('Annots'))).some(isSeen)) throw new NotAScan('it has annotations');
  return pieces;
}

/** Whether nothing of the sheet shows beside or through the pictures, which do not overlap. */
function hides(pieces: readonly Piece[], sheet: Box): boolean {
  if (pieces.some(({ isStencil }) => isStencil)) return false;
  const area = ([left, top, right, bottom]: Box): number => Math.max(0, right - left) * Math.max(0, bottom - top);
  const covered = pieces.reduce((sum, { place, width, height }) => sum + area(meet(boxUnder(place, [0, 0, width, height]), sheet)), 0);
  return covered >= COVERED * area(sheet);
}

const lookIn = (resources: PDFDict | null, group: string, key: unknown): PDFObject | undefined => {
  const found = resources?.lookup(name(group));
  return found instanceof PDFDict && typeof key === 'object' && key !== null && 'value' in key ? found.lookup(name(String(key.value))) : undefined;
};

function contentOf(streams: readonly (PDFObject | undefined)[]): Uint8Array {
  const parts = streams.map((stream) => {
    if (!(stream instanceof PDFRawStream)) throw new NotAScan('part of its content is missing');
    return decodePDFRawStream(stream).decode();
  });
  if (parts.reduce((sum, part) => sum + part.length, 0) > MOST_CONTENT) throw new NotAScan('its content is long');
  return Buffer.concat(parts.flatMap((part) => [part, Buffer.from('\n')]));
}

function refuseEffects(state: PDFObject | undefined): void {
  if (!(state instanceof PDFDict)) throw new NotAScan('its drawing instructions are broken');
  const mode = listOf(state.lookup(name('BM')));
  if (mode.some((one) => one !== name('Normal') && one !== name('Compatible'))) throw new NotAScan('the picture is blended');
  if (['ca', 'CA'].some((key) => state.has(name(key)) && numberOf(state.lookup(name(key))) !== 1)) throw new NotAScan('the picture is transparent');
  if (state.has(name('SMask')) && state.lookup(name('SMask')) !== name('None')) throw new NotAScan('the picture is masked');
  if (['TR', 'TR2'].some((key) => state.has(name(key)) && !(state.lookup(name(key)) instanceof PDFName))) throw new NotAScan('the picture is changed in colour');
}

const HIDDEN = 2; const NO_VIEW = 32;
function isSeen(annotation: PDFObject | undefined): boolean {
  if (!(annotation instanceof PDFDict) || !annotation.has(name('AP'))) return false;
  const flags = numberOf(annotation.lookup(name('F'))) || 0;
  return annotation.lookup(name('Subtype')) !== name('Popup') && (flags & (HIDDEN | NO_VIEW)) === 0;
}

function pieceOf(stream: PDFRawStream, pen: Pen, sheet: Box): Piece {
  const { dict } = stream;
  const [width, height] = [numberOf(dict.lookup(name('Width'))), numberOf(dict.lookup(name('Height')))];
  if (!(width >= 1 && height >= 1 && width * height <= MOST_PIXELS)) throw new NotAScan('a picture has no size that can be');
  if (dict.has(name('SMask')) || dict.has(name('Mask'))) throw new NotAScan('the picture is masked');
  const isStencil = isTrue(dict.lookup(name('ImageMask')));
  if (isStencil && pen.fill !== 'black') throw new NotAScan('the picture is a coloured stencil');
  // The unit square of a picture stands on its bottom edge.
  const place = composeMatrix(pen.matrix, [1 / width, 0, 0, -1 / height, 0, 1]);
  const shown = meet(boxUnder(place, [0, 0, width, height]), sheet);
  const element = Math.max(Math.hypot(place[0], place[1]), Math.hypot(place[2], place[3]));
  if (!covers(pen.clip, shown, element)) throw new NotAScan('the picture is cut off');
  return { stream, isStencil, width, height, place };
}

// Putting the pieces together ----------------------------------------------------------------------------------------------

/** Pieces side by side in rows, all of one size but for the last row and column. */
interface Grid { readonly pieces: readonly Piece[]; readonly across: number; readonly width: number; readonly height: number; /** From elements of the whole to the sheet. */ readonly place: Matrix }

function gridOf(pieces: readonly Piece[]): Grid {
  const [first] = pieces;
  if (!first) throw new NotAScan('it shows no picture');
  const back = invertMatrix(first.place);
  const placed = pieces.map((piece) => {
    const [a, b, c, d, e, f] = composeMatrix(back, piece.place);
    if (Math.abs(a - 1) * piece.width > 1 || Math.abs(d - 1) * piece.height > 1 || Math.abs(b) * piece.width > 1 || Math.abs(c) * piece.height > 1) throw new NotAScan('its pictures lie at different sizes or angles');
    return { piece, x: Math.round(e), y: Math.round(f) };
  }).sort((p, q) => p.y - q.y || p.x - q.x);
  const across = placed.filter(({ y }) => y === placed[0]!.y).length;
  const rows = placed.length / across;
  const [cellWidth, cellHeight] = [placed[0]!.piece.width, placed[0]!.piece.height];
  const [left, top] = [placed[0]!.x, placed[0]!.y];
  placed.forEach(({ piece, x, y }, i) => {
    const [column, row] = [i % across, Math.floor(i / across)];
    const isWhole = (column === across - 1 ? piece.width <= cellWidth : piece.width === cellWidth) && (row === rows - 1 ? piece.height <= cellHeight : piece.height === cellHeight);
    if (!isWhole || Math.abs(x - left - column * cellWidth) > 1 || Math.abs(y - top - row * cellHeight) > 1) throw new NotAScan('its pictures do not join');
  });
  const last = placed.at(-1)!.piece;
  const width = (across - 1) * cellWidth + last.width; const height = (rows - 1) * cellHeight + last.height;
  return { pieces: placed.map(({ piece }) => piece), across, width, height, place: composeMatrix(first.place, [1, 0, 0, 1, left, top]) };
}

async function scanOf(pieces: readonly Piece[], size: { readonly width: number; readonly height: number }, largeStrip: number | undefined): Promise<PageScan> {
  const grid = gridOf(pieces);
  const files = await filesOf(grid.pieces, grid.across === 1, largeStrip);
  if (files === null) throw new NotAScan('the picture is packed or coloured in a form that cannot be read in parts');
  const [a, b, c, d] = grid.place;
  const isTurned = Math.abs(b) + Math.abs(c) > Math.abs(a) + Math.abs(d);
  const [along, down] = isTurned ? [c, b] : [a, d];
  const off = isTurned ? Math.max(Math.abs(a) * grid.width / Math.abs(c), Math.abs(d) * grid.height / Math.abs(b)) : Math.max(Math.abs(c) * grid.height / Math.abs(a), Math.abs(b) * grid.width / Math.abs(d));
  if (!(off <= UPRIGHT_WITHIN)) throw new NotAScan('the picture lies askew');
  const finest = Math.min(Math.max(1 / Math.abs(along), 1 / Math.abs(down)), Math.sqrt(MOST_PIXELS / (size.width * size.height)));
  const box = boxUnder(grid.place, [0, 0, grid.width, grid.height]);
  const [left, top, right, bottom] = meet(box, [0, 0, size.width, size.height]);
  if (!(right > left && bottom > top)) throw new NotAScan('the picture lies beside the page');
  const needsWhole = isTurned || down < 0;
  const held = grid.width * grid.height * files.channels;
  return {
    picture: (longSide) => {
      const asked = longSide === undefined ? finest : Math.min(finest, longSide / Math.max(size.width, size.height));
      return laidOut({ files, grid, box, isTurned, along, down }, size, needsWhole ? Math.min(asked, finest * Math.sqrt(MOST_HELD / held)) : asked);
    },
  };
}

/** Of the forms that a picture gets here only a TIFF begins with a letter twice. */
const isTiff = (file: Uint8Array): boolean => file[0] === file[1];

/** How the picture library reads these files: row by row, and nothing that is broken. It would refuse a strip of more than 50 MB; the process has its own limit. */
export const readByRows = (files: PictureFiles) => ({ limitInputPixels: MOST_PIXELS, failOn: 'error', sequentialRead: true, unlimited: files.bytes.every(isTiff) }) as const;

interface Laid { readonly files: PictureFiles; readonly grid: Grid; readonly box: Box; readonly isTurned: boolean; readonly along: number; readonly down: number }

/** One chain: cut off what lies beyond the sheet, bring to size, turn upright, and put white around it. */
function laidOut({ files, grid, box, isTurned, along, down }: Laid, size: { readonly width: number; readonly height: number }, perUnit: number): ReturnType<PageScan['picture']> {
  const options = readByRows(files);
  const isOne = files.bytes.length === 1;
  let picture = isOne ? sharp(files.bytes[0], options) : sharp(files.bytes as Uint8Array[], { ...options, join: { across: grid.across, halign: 'left', valign: 'top' } });
  const [sheetWidth, sheetHeight] = [Math.max(1, Math.round(size.width * perUnit)), Math.max(1, Math.round(size.height * perUnit))];
  const shown = meet(box, [0, 0, size.width, size.height]);
  // The part that is shown, in elements of the picture.
  const inside = boxUnder(invertMatrix(grid.place), shown);
  const cut = { left: Math.max(0, Math.round(inside[0])), top: Math.max(0, Math.round(inside[1])) };
  const kept = { width: Math.max(1, Math.min(grid.width, Math.round(inside[2])) - cut.left), height: Math.max(1, Math.min(grid.height, Math.round(inside[3])) - cut.top) };
  // Joined pieces all take the room of the largest; that the last are smaller leaves some over.
  const { width, height } = grid.pieces[0]!;
  const [joinedWidth, joinedHeight] = isOne ? [grid.width, grid.height] : [width * grid.across, height * grid.pieces.length / grid.across];
  if (cut.left > 0 || cut.top > 0 || kept.width < joinedWidth || kept.height < joinedHeight) picture = picture.extract({ ...cut, ...kept });
  const target: Box = [Math.min(sheetWidth - 1, Math.round(shown[0] * perUnit)), Math.min(sheetHeight - 1, Math.round(shown[1] * perUnit)), Math.round(shown[2] * perUnit), Math.round(shown[3] * perUnit)];
  const [targetWidth, targetHeight] = [Math.max(1, target[2] - target[0]), Math.max(1, target[3] - target[1])];
  const [wide, high] = isTurned ? [targetHeight, targetWidth] : [targetWidth, targetHeight];
  if (wide !== kept.width || high !== kept.height) picture = picture.resize(wide, high, { fit: 'fill' });
  // Inks are exchanged before they become colours, which only this operation does.
  if (files.isInverted) picture = files.channels === 4 ? picture.pipelineColourspace('cmyk').linear(-1, 255) : picture.negate({ alpha: false });
  // Turned by a quarter clockwise, rows run from right to left; what is left is mirrored before.
  if (isTurned) { if (down < 0) picture = picture.flop(); if (along > 0) picture = picture.flip(); picture = picture.rotate(90); } else { if (along < 0) picture = picture.flop(); if (down < 0) picture = picture.flip(); }
  const edges = { left: target[0], top: target[1], right: sheetWidth - target[0] - targetWidth, bottom: sheetHeight - target[1] - targetHeight };
  if (Object.values(edges).some((edge) => edge > 0)) picture = picture.extend({ left: Math.max(0, edges.left), top: Math.max(0, edges.top), right: Math.max(0, edges.right), bottom: Math.max(0, edges.bottom), background: '#ffffff' });
  // Joining adds bands to a grey picture, for the colour of the room between its pieces.
  if (!isOne && files.channels === 1) picture = picture.extractChannel(0);
  const channels = files.channels === 1 ? 1 : 3;
  return { picture: picture.toColourspace(channels === 1 ? 'b-w' : 'srgb'), width: sheetWidth, height: sheetHeight, channels, isBilevel: files.isBilevel };
}
