import fontkit from '@cantoo/fontkit';
import { PDFDocument, PDFHexString, PDFName, PDFRawStream, StandardFonts } from '@cantoo/pdf-lib';
import type { PDFFont, PDFRef } from '@cantoo/pdf-lib';
import { zlibSync } from 'fflate';
import type { DrawingMark, DrawingSheet } from '../../shared-core/exchange/index';
import { wideFace } from './pdf-document';

/** A line is this share of the sheet's long side wide: about a hairline at any size. */
const LINE_WIDTH = 1 / 2600;
/** Height of capitals of the standard font, in its size. */
const CAPITALS = 0.718;

const n = (value: number): string => {
  const text = value.toFixed(3);
  return text.includes('.') ? text.replace(/\.?0+$/, '') || '0' : text;
};

interface Face { readonly key: string; readonly font: PDFFont; readonly known: ReadonlySet<number> }
/** The standard font first; the second is embedded only where a drawing has letters that the first lacks. */
type Pen = readonly Face[];

const canWrite = ({ known }: Face, text: string): boolean => [...text].every((letter) => known.has(letter.codePointAt(0)!));

/** Letters no face can write (those of East Asia and of scripts that join) become a question mark; the sheet opens and says how many texts have them. */
function writable(text: string, { known }: Face): string {
  return [...text].map((letter) => (known.has(letter.codePointAt(0)!) ? letter : '?')).join('');
}

const textsOf = (sheet: DrawingSheet): string[] => sheet.parts.flatMap((part) => part.marks.flatMap((mark) => (mark.kind === 'text' ? [mark.text] : [])));

function textOperators(mark: Extract<DrawingMark, { kind: 'text' }>, pen: Pen): string {
  const face = pen.find((each) => canWrite(each, mark.text)) ?? pen.at(-1)!;
  const { font, key } = face;
  const text = writable(mark.text, face);
  const shift = mark.align === 'left' ? 0 : font.widthOfTextAtSize(text, 1 / CAPITALS) * (mark.align === 'centre' ? -0.5 : -1);
  const [x, y] = [mark.at[0] + mark.along[0] * shift, mark.at[1] + mark.along[1] * shift];
  return `BT /${key} ${n(1 / CAPITALS)} Tf ${[...mark.along, ...mark.up, x, y].map(n).join(' ')} Tm ${font.encodeText(text).toString()} Tj ET`;
}

const path = (points: readonly (readonly [number, number])[]): string => points.map(([x, y], i) => `${n(x)} ${n(y)} ${i === 0 ? 'm' : 'l'}`).join(' ');

function markOperators(mark: DrawingMark, pen: Pen): string {
  if (mark.kind === 'text') return textOperators(mark, pen);
  if (mark.kind === 'line') return `${path(mark.points)} S`;
  return `${mark.loops.map((loop) => `${path(loop)} h`).join(' ')} f*`;
}

function content(sheet: DrawingSheet, layerNames: ReadonlyMap<string, string>, pen: Pen): string {
  const lines: string[] = ['1 J 1 j', `${n(Math.max(sheet.width, sheet.height) * LINE_WIDTH)} w`];
  for (const { clip, marks } of sheet.parts) {
    lines.push('q');
    if (clip) lines.push(`${clip.map(n).join(' ')} re W n`);
    let layer = '';
    let colour = '';
    for (const mark of marks) {
      if (mark.layer !== layer) {
        if (layer !== '') lines.push('EMC');
        layer = mark.layer;
        lines.push(`/OC /${layerNames.get(layer)!} BDC`);
      }
      const wanted = (mark.kind === 'fill' && mark.cover ? [255, 255, 255] : mark.colour).map((c) => n(c / 255)).join(' ');
      if (wanted !== colour) { colour = wanted; lines.push(`${wanted} RG ${wanted} rg`); }
      lines.push(markOperators(mark, pen));
    }
    if (layer !== '') lines.push('EMC');
    lines.push('Q');
  }
  return lines.join('\n');
}

/**
 * A drawing as a PDF: one page per sheet, one switchable layer per drawing layer, vector throughout.
 * From then on a drawing is shown, zoomed and marked up like any other PDF. The same drawing gives the same bytes.
 * unwritten: how many texts of each sheet have letters that no face at hand can write.
 */
export async function drawingPdf(sheets: readonly DrawingSheet[], isVisible: (layer: string) => boolean): Promise<{ readonly bytes: Uint8Array; readonly unwritten: readonly number[] }> {
  const pdf = await PDFDocument.create({ updateMetadata: false });
  const { context } = pdf;
  const font = await pdf.embedFont(StandardFonts.Helvetica);
  const standard: Face = { key: 'F0', font, known: new Set(font.getCharacterSet()) };
  const pen: Face[] = [standard];
  const face = sheets.flatMap(textsOf).some((text) => !canWrite(standard, text)) ? await wideFace() : null;
  if (face) {
    pdf.registerFontkit(fontkit);
    const wide = await pdf.embedFont(face, { subset: true, customName: 'LKSTDW+LiberationSans' });
    pen.push({ key: 'F1', font: wide, known: new Set(wide.getCharacterSet()) });
  }
  const layers = [...new Set(sheets.flatMap((sheet) => sheet.parts.flatMap((part) => part.marks.map((mark) => mark.layer))))];
  const names = new Map(layers.map((layer, i) => [layer, `L${i}`]));
  const groups = new Map(layers.map((layer) => [layer, context.register(context.obj({ Type: 'OCG', Name: PDFHexString.fromText(layer) }))]));
  const refs = (wanted: readonly string[]): PDFRef[] => wanted.map((layer) => groups.get(layer)!);
  pdf.catalog.set(PDFName.of('OCProperties'), context.obj({
    OCGs: refs(layers), D: { Order: refs(layers), ON: refs(layers.filter(isVisible)), OFF: refs(layers.filter((layer) => !isVisible(layer))) },
  }));
  for (const sheet of sheets) {
    const page = pdf.addPage([sheet.width, sheet.height]);
    const bytes = zlibSync(Buffer.from(content(sheet, names, pen), 'latin1'));
    const stream = PDFRawStream.of(context.obj({ Filter: 'FlateDecode', Length: bytes.length }), bytes);
    page.node.set(PDFName.of('Contents'), context.register(stream));
    page.node.set(PDFName.of('Resources'), context.obj({ Font: Object.fromEntries(pen.map((face) => [face.key, face.font.ref])), Properties: Object.fromEntries(layers.map((layer) => [names.get(layer)!, groups.get(layer)!])) }));
  }
  const unwritten = sheets.map((sheet) => textsOf(sheet).filter((text) => !pen.some((each) => canWrite(each, text))).length);
  return { bytes: await pdf.save({ useObjectStreams: false }), unwritten };
}
