import fontkit from '@cantoo/fontkit';
import { PDFDict, PDFName } from '@cantoo/pdf-lib';
import type { PDFDocument, PDFFont, PDFRef } from '@cantoo/pdf-lib';
import { CAP_HEIGHT, PALETTE, arcToCurves } from '../../shared-core/report/index';
import type { Ink, Primitive } from '../../shared-core/report/index';

export interface FontFiles { readonly regular: Uint8Array; readonly bold: Uint8Array }

/** The two faces of an output, embedded as subsets of what is really set in them. */
export interface Faces {
  readonly regular: PDFFont;
  readonly bold: PDFFont;
  readonly names: { readonly regular: string; readonly bold: string };
}

/** Signs that people type and that the face lacks, by the nearest sign it has. */
const STAND_IN: Readonly<Record<string, string>> = {
  'µ': 'u', 'μ': 'u', '′': "'", '″': '"', '→': '>', '←': '<', '\u00a0': ' ', '\u202f': ' ', '\u2009': ' ', '‑': '-', '−': '-', '\t': ' ', '√': 'sqrt ', 'Δ': 'd', '☐': '[ ]',
};

/**
 * Embeds the product's face. Ligatures are off, so that copied text comes back letter by letter; the subset carries the
 * six-letter tag that ISO 32000-1, 9.6.4 asks for.
 */
export async function embedFaces(pdf: PDFDocument, files: FontFiles): Promise<Faces> {
  pdf.registerFontkit(fontkit);
  const options = (tag: string): Parameters<PDFDocument['embedFont']>[1] => ({ subset: true, features: { liga: false, clig: false, dlig: false }, customName: tag });
  return {
    regular: await pdf.embedFont(files.regular, options('LKSTDR+AtkinsonHyperlegibleNext-Regular')),
    bold: await pdf.embedFont(files.bold, options('LKSTDB+AtkinsonHyperlegibleNext-SemiBold')),
    names: { regular: 'LksR', bold: 'LksB' },
  };
}

interface Sign { readonly advance: number; readonly code: string }
const signs = new WeakMap<PDFFont, Map<string, Sign>>();
const shown = new WeakMap<PDFFont, ReadonlySet<number>>();

/** The text with every sign the face can show; a sign without a stand-in becomes '?', never an empty box or an error. */
export function settable(font: PDFFont, text: string): string {
  let set = shown.get(font);
  if (!set) { set = new Set(font.getCharacterSet()); shown.set(font, set); }
  let out = '';
  for (const sign of text.normalize('NFC')) out += set.has(sign.codePointAt(0) ?? 0) ? sign : STAND_IN[sign] ?? (sign < ' ' ? ' ' : '?');
  return out;
}

/** Signs one by one: without ligatures and kerning a line is the sum of its signs, and each is shaped only once. */
function signOf(font: PDFFont, sign: string): Sign {
  let own = signs.get(font);
  if (!own) { own = new Map(); signs.set(font, own); }
  let found = own.get(sign);
  if (!found) { found = { advance: font.widthOfTextAtSize(sign, 1), code: font.encodeText(sign).asString() }; own.set(sign, found); }
  return found;
}
function widthOf(font: PDFFont, text: string, size: number): number {
  let width = 0;
  for (const sign of text) width += signOf(font, sign).advance;
  return width * size;
}

export const textWidth = (faces: Faces) => (text: string, size: number, bold: boolean): number => {
  const font = bold ? faces.bold : faces.regular;
  return widthOf(font, settable(font, text), size);
};

/** Numbers of a content stream: three decimals are 0.35 micrometres of paper. */
const n = (value: number): string => {
  if (!Number.isFinite(value)) throw new RangeError(`a drawing holds no position ${value}`);
  const text = value.toFixed(3).replace(/\.?0+$/, '');
  return text === '-0' ? '0' : text;
};
const rgb = (ink: Ink): string => [1, 3, 5].map((i) => n(parseInt(PALETTE[ink].slice(i, i + 2), 16) / 255)).join(' ');

/**
 * Content-stream text that draws marks given in points, y down from the top of a frame of the given height.
 * @param matrix the frame's place on the page, as 'cm' takes it; null = the page itself
 */
export function inkStream(marks: readonly Primitive[], height: number, faces: Faces, matrix: readonly number[] | null = null): string {
  const out: string[] = ['q', '1 j 0 J'];
  if (matrix) out.push(`${matrix.map(n6).join(' ')} cm`);
  const y = (down: number): string => n(height - down);
  for (const p of marks) {
    if (p.kind === 'text') { out.push(textOperators(p.x, height - p.y, p, faces)); continue; }
    const fill = p.fill; const stroke = p.width > 0 ? p.stroke : null;
    if (!fill && !stroke) continue;
    if (fill) out.push(`${rgb(fill)} rg`);
    if (stroke) out.push(`${rgb(stroke)} RG ${n(p.width)} w [${(p.dash ?? []).map(n).join(' ')}] 0 d`);
    if (p.kind === 'circle') out.push(`${n(p.x + p.radius)} ${y(p.y)} m`, ...curves(p.x, p.y, p.radius, 0, Math.PI * 2, y), 'h');
    else {
      let open = false;
      for (const s of p.steps) {
        if (s.to === 'close') { out.push('h'); open = false; continue; }
        if (s.to === 'arc') {
          out.push(`${n(s.x + s.radius * Math.cos(s.start))} ${y(s.y + s.radius * Math.sin(s.start))} ${open ? 'l' : 'm'}`, ...curves(s.x, s.y, s.radius, s.start, s.end, y));
        } else out.push(`${n(s.x)} ${y(s.y)} ${s.to === 'move' ? 'm' : 'l'}`);
        open = true;
      }
    }
    out.push(fill && stroke ? 'B' : fill ? 'f' : 'S');
  }
  out.push('Q');
  return out.join('\n');
}

const n6 = (value: number): string => String(Math.round(value * 1e6) / 1e6);

const curves = (x: number, y: number, r: number, start: number, end: number, flip: (y: number) => string): string[] =>
  arcToCurves(x, y, r, start, end).map(([x1, y1, x2, y2, x3, y3]) => `${n(x1)} ${flip(y1)} ${n(x2)} ${flip(y2)} ${n(x3)} ${flip(y3)} c`);

function textOperators(x: number, up: number, p: Extract<Primitive, { kind: 'text' }>, faces: Faces): string {
  const font = p.weight === 'bold' ? faces.bold : faces.regular;
  const text = settable(font, p.text);
  const width = p.align === 'left' ? 0 : widthOf(font, text, p.size);
  const left = p.align === 'left' ? x : p.align === 'middle' ? x - width / 2 : x - width;
  const encoded = [...text].map((sign) => signOf(font, sign).code).join('');
  return `BT ${rgb(p.ink)} rg /${faces.names[p.weight]} ${n(p.size)} Tf 1 0 0 1 ${n(left)} ${n(up - (p.size * CAP_HEIGHT) / 2)} Tm <${encoded}> Tj ET`;
}

/** A compressed stream of drawing operators, registered in the document. */
export function contentStream(pdf: PDFDocument, text: string): PDFRef {
  return pdf.context.register(pdf.context.flateStream(text));
}

/** The resource dictionary entries that ink streams refer to. */
export function addFontResources(resources: PDFDict, faces: Faces): void {
  let fonts = resources.lookup(PDFName.of('Font'));
  if (!(fonts instanceof PDFDict)) { fonts = resources.context.obj({}); resources.set(PDFName.of('Font'), fonts); }
  (fonts as PDFDict).set(PDFName.of(faces.names.regular), faces.regular.ref);
  (fonts as PDFDict).set(PDFName.of(faces.names.bold), faces.bold.ref);
}
