import { OPS } from 'pdfjs-dist/legacy/build/pdf.mjs';
import type { PlanPath } from '../../shared-core/offer/index';
import { switchLayers, withPdf } from './pdf-document';
import type { Layers } from './pdf-document';
import { PlanRefused } from './problems';

type Matrix = readonly [number, number, number, number, number, number];
type Place = [number, number];

/** The reader stops taking in paths beyond so many points: a page of outlined text and hatching has millions. */
const MOST_POINTS = 3_000_000;
/** A curve is taken as so many chords. */
const CHORDS = 8;
/** Ink lighter than this covers what lies below instead of showing: masks under text and doors. */
const PAPER_WHITE = 0.93;

/** Steps of a path as the library hands them over. */
const STEP = { move: 0, line: 1, curve: 2, quadratic: 3, close: 4 } as const;

const STROKES: ReadonlySet<number> = new Set([OPS.stroke, OPS.closeStroke, OPS.fillStroke, OPS.eoFillStroke, OPS.closeFillStroke, OPS.closeEOFillStroke]);
const FILLS: ReadonlySet<number> = new Set([OPS.fill, OPS.eoFill, OPS.fillStroke, OPS.eoFillStroke, OPS.closeFillStroke, OPS.closeEOFillStroke]);
const PICTURES: ReadonlySet<number> = new Set([OPS.paintImageXObject, OPS.paintInlineImageXObject, OPS.paintImageMaskXObject, OPS.paintImageXObjectRepeat, OPS.paintImageMaskXObjectRepeat]);

export interface PdfPaths {
  readonly paths: readonly PlanPath[];
  /** The page shows pictures as well: it may be a scan. */
  readonly hasPictures: boolean;
}

interface Pen { readonly matrix: Matrix; readonly width: number; readonly fill: boolean; readonly stroke: boolean; readonly colour: string }

const times = (a: Matrix, b: ArrayLike<number>): Matrix => [
  a[0] * b[0]! + a[2] * b[1]!, a[1] * b[0]! + a[3] * b[1]!, a[0] * b[2]! + a[2] * b[3]!, a[1] * b[2]! + a[3] * b[3]!,
  a[0] * b[4]! + a[2] * b[5]! + a[4], a[1] * b[4]! + a[3] * b[5]! + a[5],
];
const put = ([a, b, c, d, e, f]: Matrix, x: number, y: number): Place => [a * x + c * y + e, b * x + d * y + f];

function isInk(colour: unknown): boolean {
  const hex = typeof colour === 'string' ? /^#([0-9a-f]{2})([0-9a-f]{2})([0-9a-f]{2})$/i.exec(colour) : null;
  // Strongest colour: a yellow line on white is ink as well.
  return hex === null || Math.min(...hex.slice(1).map((two) => parseInt(two, 16))) < PAPER_WHITE * 255;
}

/** Chains of points of one path, curves as chords; a closed one ends where it began. */
function* chainsOf(steps: ArrayLike<number>, matrix: Matrix): Generator<Place[]> {
  let chain: Place[] = [];
  let [x, y] = [0, 0];
  for (let i = 0; i < steps.length;) {
    switch (steps[i++]) {
      case STEP.move:
        if (chain.length > 1) yield chain;
        [x, y] = [steps[i]!, steps[i + 1]!];
        chain = [put(matrix, x, y)];
        i += 2;
        break;
      case STEP.line:
        [x, y] = [steps[i]!, steps[i + 1]!];
        chain.push(put(matrix, x, y));
        i += 2;
        break;
      case STEP.curve: case STEP.quadratic: {
        const isCubic = steps[i - 1] === STEP.curve;
        const at = (k: number): number => steps[i + k]!;
        const [ex, ey] = isCubic ? [at(4), at(5)] : [at(2), at(3)];
        const [ax, ay, bx, by] = isCubic ? [at(0), at(1), at(2), at(3)] : [x + (2 / 3) * (at(0) - x), y + (2 / 3) * (at(1) - y), ex + (2 / 3) * (at(0) - ex), ey + (2 / 3) * (at(1) - ey)];
        for (let k = 1; k <= CHORDS; k++) {
          const t = k / CHORDS; const s = 1 - t;
          chain.push(put(matrix, s ** 3 * x + 3 * s * s * t * ax + 3 * s * t * t * bx + t ** 3 * ex, s ** 3 * y + 3 * s * s * t * ay + 3 * s * t * t * by + t ** 3 * ey));
        }
        [x, y] = [ex, ey];
        i += isCubic ? 6 : 4;
        break;
      }
      case STEP.close: {
        const [first] = chain;
        if (first) chain.push([...first]);
        break;
      }
      default: return;
    }
  }
  if (chain.length > 1) yield chain;
}

/**
 * What a PDF page draws in lines and fills, upright in sheet units, with the name of the layer it stands on. Hidden
 * layers (those the file hides, or layersOff and no others), text, pictures, patterns' insides and annotations are left out.
 */
export function pdfPaths(bytes: Uint8Array, index: number, { password, layersOff }: { readonly password?: string | undefined; readonly layersOff?: readonly string[] | undefined } = {}): Promise<PdfPaths> {
  return withPdf(bytes, password, async (pdf) => {
    if (index >= pdf.numPages) throw new PlanRefused('page-missing');
    const page = await pdf.getPage(index + 1).catch(() => { throw new PlanRefused('damaged', `Page ${index + 1} cannot be read.`); });
    const list = await page.getOperatorList({ annotationMode: 0 }).catch(() => { throw new PlanRefused('damaged', `Page ${index + 1} cannot be read.`); });
    const layers = await pdf.getOptionalContentConfig() as unknown as Layers;
    switchLayers(layers, layersOff);
    const paths: PlanPath[] = [];
    let hasPictures = false;
    let points = 0;
    let pen: Pen = { matrix: page.getViewport({ scale: 1 }).transform as unknown as Matrix, width: 1, fill: true, stroke: true, colour: '#000000' };
    const saved: Pen[] = [];
    const marked: { readonly isShown: boolean; readonly layer: string | undefined }[] = [];
    for (let k = 0; k < list.fnArray.length && points < MOST_POINTS; k++) {
      const does = list.fnArray[k]!;
      const args = (list.argsArray[k] ?? []) as readonly unknown[];
      if (does === OPS.save) saved.push(pen);
      else if (does === OPS.restore || does === OPS.paintFormXObjectEnd) pen = saved.pop() ?? pen;
      else if (does === OPS.transform) pen = { ...pen, matrix: times(pen.matrix, args as readonly number[]) };
      else if (does === OPS.paintFormXObjectBegin) { saved.push(pen); if (args[0]) pen = { ...pen, matrix: times(pen.matrix, args[0] as ArrayLike<number>) }; }
      else if (does === OPS.setLineWidth) pen = { ...pen, width: args[0] as number };
      else if (does === OPS.setGState) { const width = (args[0] as readonly (readonly [string, unknown])[]).find(([key]) => key === 'LW'); if (width) pen = { ...pen, width: width[1] as number }; }
      else if (does === OPS.setFillRGBColor) pen = { ...pen, fill: isInk(args[0]) };
      else if (does === OPS.setStrokeRGBColor) pen = { ...pen, stroke: isInk(args[0]), colour: String(args[0]) };
      else if (does === OPS.setFillColorN || does === OPS.setFillTransparent) pen = { ...pen, fill: false };
      else if (does === OPS.setStrokeTransparent) pen = { ...pen, stroke: false };
      else if (does === OPS.beginMarkedContent) marked.push({ isShown: true, layer: undefined });
      else if (does === OPS.beginMarkedContentProps) {
        const group = args[0] === 'OC' ? args[1] as { readonly id?: string } | null : null;
        marked.push({ isShown: group === null || layers.isVisible(group), layer: group?.id === undefined ? undefined : layers.getGroup(group.id)?.name ?? undefined });
      } else if (does === OPS.endMarkedContent) marked.pop();
      else if (PICTURES.has(does)) hasPictures = true;
      else if (does === OPS.constructPath) {
        const [paint, [steps]] = args as unknown as [number, [ArrayLike<number> | null]];
        const isFilled = FILLS.has(paint) && pen.fill;
        const isStroked = STROKES.has(paint) && pen.stroke;
        if (!steps || (!isFilled && !isStroked) || marked.some(({ isShown }) => !isShown)) continue;
        const layer = marked.findLast((one) => one.layer !== undefined)?.layer;
        const width = pen.width * Math.sqrt(Math.abs(pen.matrix[0] * pen.matrix[3] - pen.matrix[1] * pen.matrix[2]));
        for (const chain of chainsOf(steps, pen.matrix)) {
          points += chain.length;
          paths.push({ points: chain, filled: isFilled, ...(isStroked && !isFilled ? { width, pen: `${pen.colour} ${width.toFixed(2)}` } : {}), ...(layer === undefined ? {} : { layer }) });
        }
      }
    }
    return { paths, hasPictures };
  });
}
