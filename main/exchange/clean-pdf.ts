import { decodePDFRawStream, EncryptedPDFError, parseContentStream, PDFArray, PDFDict, PDFDocument, PDFHexString, PDFName, PDFNumber, PDFObjectCopier, PDFRawStream, PDFRef, PDFStream, PDFString } from '@cantoo/pdf-lib';
import type { PDFObject, PDFPage } from '@cantoo/pdf-lib';
import { composeMatrix, invertMatrix } from '../../shared-core/geometry/index';
import type { Matrix } from '../../shared-core/geometry/index';
import type { Outcome } from '../../shared-core/host-api';
import { refusal } from './problems';

const name = (text: string): PDFName => PDFName.of(text);

/** A page taken over from a source, upright: 'matrix' leads from its upright frame (points, y up from the bottom left of what is shown) to the page's own user space. */
export interface SourcePage {
  readonly page: PDFPage;
  readonly width: number;
  readonly height: number;
  readonly matrix: Matrix;
  /** Lengthens what is shown at the upright bottom edge by so many points. */
  lengthen(points: number): void;
  /** Draws after everything of the source. @param content operators in the page's own user space */
  append(content: PDFRef): void;
  readonly resources: PDFDict;
  /** Start of names that the source does not use in its resources: it may be an earlier hand-over of ours. */
  readonly prefix: string;
}

/**
 * How a source page lies on a page of another size: 'matrix' leads from the source's upright frame to the new page's own
 * (points, y up from the bottom left of each).
 */
export interface Placing { readonly width: number; readonly height: number; readonly matrix: Matrix }

/** Takes pages over from one source, with its layers, and nothing that could act. */
export interface PdfSource {
  readonly pageCount: number;
  /** Upright size of a page as it is shown, points. */
  sizeOf(index: number): { readonly width: number; readonly height: number };
  /** @param placing the page as it is when absent */
  takePage(index: number, placing?: Placing): Promise<SourcePage>;
}

/**
 * Opens a source PDF for taking pages over into another document. Only what is seen is taken: contents, resources, boxes,
 * layers and their state, the measuring viewport, and the look of annotations. Scripts, actions, links, forms, attached
 * files and metadata stay behind, because they are not among the things that are copied.
 * @param layersOff names of the layers that are hidden, all others shown; as the source says when absent
 * @returns a problem when it is locked or damaged
 */
export async function openPdfSource(target: PDFDocument, bytes: Uint8Array, fileName: string, password?: string, layersOff?: readonly string[]): Promise<Outcome<PdfSource>> {
  let source: PDFDocument;
  try {
    source = await loadSource(bytes, password);
    if (source.getPageCount() < 1) return refusal('no-pages', fileName);
  } catch (fault) {
    if (fault instanceof EncryptedPDFError || (fault instanceof Error && /password|encrypt/i.test(fault.message))) return refusal(password === undefined ? 'password-needed' : 'password-wrong', fileName);
    return refusal('damaged', fileName);
  }
  const copier = PDFObjectCopier.for(source.context, target.context);
  let layersTaken = false;
  return { ok: true, value: {
    pageCount: source.getPageCount(),
    sizeOf: (index) => { const { width, height } = frameOf(source.getPage(index)); return { width, height }; },
    takePage: async (index, placing) => {
      if (!layersTaken) { layersTaken = true; takeLayers(source, target, copier, layersOff); }
      return takePage(source.getPage(index), target, copier, placing);
    },
  } };
}

async function loadSource(bytes: Uint8Array, password: string | undefined): Promise<PDFDocument> {
  const options = { updateMetadata: false, throwOnInvalidObject: false } as const;
  if (password !== undefined) return PDFDocument.load(bytes, { ...options, password });
  try {
    return await PDFDocument.load(bytes, options);
  } catch (fault) {
    if (!(fault instanceof EncryptedPDFError)) throw fault;
    // Many plans are locked against changes only and open for everybody without a password.
    try { return await PDFDocument.load(bytes, { ...options, password: '' }); } catch { throw fault; }
  }
}

const numbers = (array: PDFArray | undefined): number[] => (array ? array.asArray().map((o, i) => { const n = array.lookup(i); return n instanceof PDFNumber ? n.asNumber() : o instanceof PDFNumber ? o.asNumber() : 0; }) : []);

type Rect = readonly [number, number, number, number];
function rectOf(array: PDFArray | undefined): Rect | null {
  const [a = 0, b = 0, c = 0, d = 0] = numbers(array);
  const rect: Rect = [Math.min(a, c), Math.min(b, d), Math.max(a, c), Math.max(b, d)];
  return rect[2] > rect[0] && rect[3] > rect[1] ? rect : null;
}
const LETTER_BOX: Rect = [0, 0, 612, 792];

function inherited(page: PDFPage, key: string): PDFObject | undefined {
  const value = page.node.getInheritableAttribute(name(key));
  return value instanceof PDFRef ? page.doc.context.lookup(value) : value;
}

interface Frame { readonly media: Rect; readonly shown: Rect; readonly unit: number; readonly rotate: number; readonly width: number; readonly height: number; readonly matrix: Matrix }

/** What of a page is shown, and where its upright frame lies in its user space. */
function frameOf(from: PDFPage): Frame {
  const media = rectOf(asArray(inherited(from, 'MediaBox'))) ?? LETTER_BOX;
  const crop = rectOf(asArray(inherited(from, 'CropBox'))) ?? media;
  const both: Rect = [Math.max(media[0], crop[0]), Math.max(media[1], crop[1]), Math.min(media[2], crop[2]), Math.min(media[3], crop[3])];
  const shown = both[2] > both[0] && both[3] > both[1] ? both : media;
  const [x0, y0, x1, y1] = shown;
  const unitEntry = from.node.lookup(name('UserUnit'));
  const unit = unitEntry instanceof PDFNumber && unitEntry.asNumber() > 0 ? unitEntry.asNumber() : 1;
  const rotateEntry = inherited(from, 'Rotate');
  const rotate = rotateEntry instanceof PDFNumber ? (((Math.round(rotateEntry.asNumber() / 90) * 90) % 360) + 360) % 360 : 0;
  const s = 1 / unit;
  const [across, up] = rotate % 180 === 0 ? [x1 - x0, y1 - y0] : [y1 - y0, x1 - x0];
  const matrices = { 0: [s, 0, 0, s, x0, y0], 90: [0, s, -s, 0, x1, y0], 180: [-s, 0, 0, -s, x1, y1], 270: [0, -s, s, 0, x0, y1] } as const;
  return { media, shown, unit, rotate, width: across * unit, height: up * unit, matrix: matrices[rotate as 0 | 90 | 180 | 270] };
}

async function takePage(from: PDFPage, target: PDFDocument, copier: PDFObjectCopier, placing?: Placing): Promise<SourcePage> {
  const frame = frameOf(from);
  const s = 1 / frame.unit;
  const [x0, y0, x1, y1]: Rect = placing ? [0, 0, placing.width * s, placing.height * s] : frame.shown;
  const rotate = placing ? 0 : frame.rotate;
  const page = target.addPage([x1 - x0, y1 - y0]);
  const { node } = page;
  for (const key of node.keys()) if (!['Type', 'Parent'].includes(key.decodeText())) node.delete(key);
  node.set(name('Rotate'), target.context.obj(rotate));
  if (frame.unit !== 1) node.set(name('UserUnit'), target.context.obj(frame.unit));
  // The measuring viewports hold for the page as it was drawn.
  for (const key of placing ? ['Group'] : ['VP', 'Group']) { const value = from.node.get(name(key)); if (value) node.set(name(key), copier.copy(value)); }
  const resources = ownResources(target, copier.copy(inherited(from, 'Resources') ?? target.context.obj({})));
  node.set(name('Resources'), resources);
  const prefix = freePrefix(resources);
  const contents = target.context.obj([]);
  const taking: Taking = { from, target, copier, resources, contents, prefix };
  const plain = (text: string): void => { contents.push(target.context.register(target.context.flateStream(text))); };
  if (placing) {
    const matrix = composeMatrix(composeMatrix([s, 0, 0, s, 0, 0], placing.matrix), invertMatrix(frame.matrix));
    plain(`q 0 0 ${x1} ${y1} re W n ${writtenNumbers(matrix)} cm\n`);
    const [left, bottom, right, top] = frame.shown;
    plain(`1 g ${writtenNumbers([left, bottom, right - left, top - bottom])} re f\n`);
    contents.push(takeAsForm(taking, frame.shown));
  } else for (const ref of takeContents(taking, frame.shown)) contents.push(ref);
  node.set(name('Contents'), contents);
  takeAnnotations(taking);
  if (placing) plain('Q\n');

  const media: Rect = placing ? [x0, y0, x1, y1] : frame.media;
  const setBox = (box: Rect): void => {
    const outer: Rect = [Math.min(media[0], box[0]), Math.min(media[1], box[1]), Math.max(media[2], box[2]), Math.max(media[3], box[3])];
    node.set(name('MediaBox'), target.context.obj([...outer])); node.set(name('CropBox'), target.context.obj([...box]));
  };
  setBox([x0, y0, x1, y1]);
  return {
    page, resources, prefix, width: placing?.width ?? frame.width, height: placing?.height ?? frame.height, matrix: placing ? [s, 0, 0, s, 0, 0] : frame.matrix,
    lengthen: (points) => { const by = points * s; setBox(rotate === 0 ? [x0, y0 - by, x1, y1] : rotate === 90 ? [x0, y0, x1 + by, y1] : rotate === 180 ? [x0, y0, x1, y1 + by] : [x0 - by, y0, x1, y1]); },
    append: (content) => { contents.push(content); },
  };
}

/** Numbers as a content stream takes them: no exponents. */
export const writtenNumbers = (numbersOf: readonly number[]): string => numbersOf.map((n) => Number(n.toFixed(8)).toFixed(8).replace(/\.?0+$/, '')).join(' ');

interface Taking { readonly from: PDFPage; readonly target: PDFDocument; readonly copier: PDFObjectCopier; readonly resources: PDFDict; readonly contents: PDFArray; readonly prefix: string }

function freePrefix(resources: PDFDict): string {
  const used = ['Font', 'XObject', 'Properties', 'ExtGState'].flatMap((group) => { const d = resources.lookup(name(group)); return d instanceof PDFDict ? d.keys().map((key) => key.decodeText()) : []; });
  for (let i = 0; ; i += 1) { const prefix = `Lks${i}x`; if (!used.some((key) => key.startsWith(prefix))) return prefix; }
}

const asArray = (value: PDFObject | undefined): PDFArray | undefined => (value instanceof PDFArray ? value : undefined);

/** The page's own copy of its resources, one level deep: several pages often share one dictionary. */
function ownResources(target: PDFDocument, copied: PDFObject): PDFDict {
  const shared = copied instanceof PDFRef ? target.context.lookup(copied) : copied;
  const own = target.context.obj({});
  if (shared instanceof PDFDict) for (const [key, value] of shared.entries()) {
    const inner = value instanceof PDFRef ? target.context.lookup(value) : value;
    own.set(key, inner instanceof PDFDict && !(inner instanceof PDFStream) && ['Font', 'XObject', 'Properties', 'ExtGState'].includes(key.decodeText()) ? inner.clone(target.context) : value);
  }
  return own;
}

export function resourceGroup(resources: PDFDict, key: string): PDFDict {
  const found = resources.lookup(name(key));
  if (found instanceof PDFDict) return found;
  const made = resources.context.obj({});
  resources.set(name(key), made);
  return made;
}

/** The source's own streams, byte for byte, between q and Q. Streams that leave the graphics state open are wrapped as one form instead, whose end closes it. */
function takeContents(taking: Taking, box: Rect): PDFRef[] {
  const { from, target, copier } = taking;
  const streams = contentStreams(from);
  const decoded = streams.map((s) => decodeStream(s));
  const plain = (text: string): PDFRef => target.context.register(target.context.flateStream(text));
  if (decoded.every((d) => d !== null) && isBalanced(decoded)) {
    return [plain('q\n'), ...streams.map((s) => target.context.register(copier.copy(s))), plain('\nQ\n')];
  }
  return [takeAsForm(taking, box)];
}

/** The source's streams as one form: it ends the graphics state, and its patterns turn along with it (ISO 32000-1, 8.7.3.1). */
function takeAsForm({ from, target, resources, prefix }: Taking, box: Rect): PDFRef {
  const known = contentStreams(from).map((s) => decodeStream(s)).filter((d) => d !== null);
  const length = known.reduce((sum, d) => sum + d.length + 1, 0);
  const joined = new Uint8Array(length); let at = 0;
  for (const part of known) { joined.set(part, at); joined[at + part.length] = 0x0a; at += part.length + 1; }
  const form = target.context.flateStream(joined, { Type: 'XObject', Subtype: 'Form', BBox: [...box], Resources: resources.clone(target.context) });
  resourceGroup(resources, 'XObject').set(name(`${prefix}Source`), target.context.register(form));
  return target.context.register(target.context.flateStream(`q /${prefix}Source Do Q\n`));
}

function contentStreams(page: PDFPage): PDFRawStream[] {
  const contents = page.node.lookup(name('Contents'));
  const list = contents instanceof PDFArray ? contents.asArray().map((_, i) => contents.lookup(i)) : [contents];
  return list.filter((s) => s instanceof PDFRawStream);
}

function decodeStream(stream: PDFRawStream): Uint8Array | null {
  try { return decodePDFRawStream(stream).decode(); } catch { return null; }
}

function isBalanced(parts: readonly Uint8Array[]): boolean {
  let depth = 0;
  try {
    for (const part of parts) for (const { name: operator } of parseContentStream(part)) {
      if (operator === 'q') depth += 1;
      else if (operator === 'Q') { depth -= 1; if (depth < 0) return false; }
    }
  } catch { return false; }
  return depth === 0;
}

const HIDDEN = 2; const NO_VIEW = 32;

/** Draws what an annotation looks like into the page (ISO 32000-1, 12.5.5) and leaves the annotation itself behind. */
function takeAnnotations({ from, target, copier, resources, contents, prefix }: Taking): void {
  const annots = from.node.lookup(name('Annots'));
  if (!(annots instanceof PDFArray)) return;
  annots.asArray().forEach((_, i) => {
    const annot = annots.lookup(i);
    if (!(annot instanceof PDFDict)) return;
    const kind = annot.lookup(name('Subtype'));
    const flags = annot.lookup(name('F')); const bits = flags instanceof PDFNumber ? flags.asNumber() : 0;
    if (kind === name('Popup') || (bits & (HIDDEN | NO_VIEW)) !== 0) return;
    const look = appearanceOf(annot); const rect = rectOf(asArray(annot.lookup(name('Rect'))));
    if (!look || !rect) return;
    const stream = from.doc.context.lookup(look);
    if (!(stream instanceof PDFStream)) return;
    const place = placeAppearance(stream.dict, rect);
    if (!place) return;
    const key = `${prefix}Look${i}`;
    resourceGroup(resources, 'XObject').set(name(key), copier.copy(look));
    const layer = annot.get(name('OC'));
    let open = ''; let close = '';
    if (layer) { resourceGroup(resources, 'Properties').set(name(`${key}Layer`), copier.copy(layer)); open = `/OC /${key}Layer BDC `; close = ' EMC'; }
    contents.push(target.context.register(target.context.flateStream(`${open}q ${place.map((v) => Number(v.toFixed(5))).join(' ')} cm /${key} Do Q${close}\n`)));
  });
}

function appearanceOf(annot: PDFDict): PDFRef | null {
  const looks = annot.lookup(name('AP'));
  if (!(looks instanceof PDFDict)) return null;
  const normal = looks.get(name('N'));
  const found = looks.lookup(name('N'));
  if (found instanceof PDFStream) return normal instanceof PDFRef ? normal : null;
  const state = annot.lookup(name('AS'));
  const chosen = found instanceof PDFDict && state instanceof PDFName ? found.get(state) : undefined;
  return chosen instanceof PDFRef ? chosen : null;
}

function placeAppearance(form: PDFDict, rect: Rect): number[] | null {
  const box = rectOf(asArray(form.lookup(name('BBox'))));
  if (!box) return null;
  const given = numbers(asArray(form.lookup(name('Matrix'))));
  const [a = 1, b = 0, c = 0, d = 1, e = 0, f = 0] = given.length === 6 ? given : [1, 0, 0, 1, 0, 0];
  const corners = [[box[0], box[1]], [box[2], box[1]], [box[2], box[3]], [box[0], box[3]]].map(([x = 0, y = 0]) => [a * x + c * y + e, b * x + d * y + f] as const);
  const left = Math.min(...corners.map((p) => p[0])); const right = Math.max(...corners.map((p) => p[0]));
  const low = Math.min(...corners.map((p) => p[1])); const high = Math.max(...corners.map((p) => p[1]));
  if (!(right > left) || !(high > low)) return null;
  const sx = (rect[2] - rect[0]) / (right - left); const sy = (rect[3] - rect[1]) / (high - low);
  return [sx, 0, 0, sy, rect[0] - left * sx, rect[1] - low * sy];
}

/** A layer's name as readers show it; one without a name goes by its object's number. */
function layerName(layer: PDFRef, source: PDFDocument): string {
  const group = source.context.lookup(layer);
  const text = group instanceof PDFDict ? group.lookup(name('Name')) : undefined;
  return text instanceof PDFString || text instanceof PDFHexString ? text.decodeText() : `${layer.objectNumber}R${layer.generationNumber === 0 ? '' : layer.generationNumber}`;
}

/** Joins the source's layers to the target's, each explicitly on or off as the sheet or else the source shows it. */
function takeLayers(source: PDFDocument, target: PDFDocument, copier: PDFObjectCopier, layersOff: readonly string[] | undefined): void {
  const from = source.catalog.lookup(name('OCProperties'));
  if (!(from instanceof PDFDict)) return;
  const config = from.lookup(name('D'));
  const given = config instanceof PDFDict ? config : source.context.obj({});
  const listed = (key: string, of: PDFDict): PDFObject[] => { const a = of.lookup(name(key)); return a instanceof PDFArray ? a.asArray() : []; };
  const layers = listed('OCGs', from).filter((o): o is PDFRef => o instanceof PDFRef);
  const off = new Set(listed('OFF', given)); const on = new Set(listed('ON', given));
  const startsOff = given.lookup(name('BaseState')) === name('OFF');
  const state = layerState(target);
  for (const layer of layers) {
    const taken = copier.copy(layer);
    state.all.push(taken);
    const isOff = layersOff ? layersOff.includes(layerName(layer, source)) : off.has(layer) || (startsOff && !on.has(layer));
    (isOff ? state.off : state.on).push(taken);
  }
  for (const key of ['Order', 'Locked', 'RBGroups', 'AS'] as const) for (const entry of listed(key, given)) state[key].push(copier.copy(entry));
}

interface LayerState { readonly all: PDFArray; readonly on: PDFArray; readonly off: PDFArray; readonly Order: PDFArray; readonly Locked: PDFArray; readonly RBGroups: PDFArray; readonly AS: PDFArray }

/** The target's layer lists, made on first use. */
export function layerState(target: PDFDocument): LayerState {
  const { context } = target;
  const child = (of: PDFDict, key: string): PDFArray => { const found = of.lookup(name(key)); if (found instanceof PDFArray) return found; const made = context.obj([]); of.set(name(key), made); return made; };
  let properties = target.catalog.lookup(name('OCProperties'));
  if (!(properties instanceof PDFDict)) { properties = context.obj({ OCGs: [], D: context.obj({}) }); target.catalog.set(name('OCProperties'), properties); }
  const config = (properties as PDFDict).lookup(name('D'), PDFDict);
  return { all: child(properties as PDFDict, 'OCGs'), on: child(config, 'ON'), off: child(config, 'OFF'), Order: child(config, 'Order'), Locked: child(config, 'Locked'), RBGroups: child(config, 'RBGroups'), AS: child(config, 'AS') };
}

/** Keys that make something act, fetch or carry a file, wherever they stand in what was copied. */
const ACTIVE_KEYS = ['AA', 'OpenAction', 'JS', 'JavaScript', 'EF', 'AF', 'OPI', 'Metadata', 'PieceInfo', 'StructParent', 'StructParents', 'Subtype2', 'Alternates', 'Annots', 'AcroForm', 'Names', 'URI'];

/**
 * Goes through every object of the document and takes out what acts. The pages were copied by a list of what is allowed;
 * this is the second lock, for what hides inside resources.
 */
export function removeActive(target: PDFDocument): void {
  const seen = new Set<PDFObject>();
  const stack: PDFObject[] = target.context.enumerateIndirectObjects().map(([, object]) => object);
  while (stack.length > 0) {
    const object = stack.pop();
    if (object === undefined || seen.has(object)) continue;
    seen.add(object);
    if (object instanceof PDFArray) { stack.push(...object.asArray()); continue; }
    const dict = object instanceof PDFStream ? object.dict : object instanceof PDFDict ? object : null;
    if (!dict) continue;
    for (const key of ACTIVE_KEYS) dict.delete(name(key));
    if (object instanceof PDFStream) {
      // A stream may name a file outside instead of holding its data; a form may stand for a page of another file.
      for (const key of ['F', 'FFilter', 'FDecodeParms', 'Ref']) dict.delete(name(key));
      if (dict.lookup(name('Subtype')) === name('PS')) { dict.set(name('Subtype'), name('Form')); dict.set(name('BBox'), target.context.obj([0, 0, 0, 0])); }
    }
    const action = dict.lookup(name('A'));
    if (action instanceof PDFDict && action.has(name('S'))) dict.delete(name('A'));
    stack.push(...dict.values());
  }
}
