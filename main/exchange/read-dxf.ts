import { drawingSheets, readDxf } from '../../shared-core/exchange/index';
import type { DrawingSheet } from '../../shared-core/exchange/index';
import { drawingPdf } from './drawing-pdf';
import { dxfPairs } from './dxf-pairs';
import { PlanRefused } from './problems';
import { buildPdf, inspectPdf } from './read-pdf';
import type { Pyramid } from './pyramid';
import type { PlanPage } from './read-raster';

function sheetsOf(bytes: Uint8Array) {
  const file = readDxf(dxfPairs(bytes));
  const sheets = drawingSheets(file);
  if (sheets.length === 0) throw new PlanRefused('empty-drawing');
  return { file, sheets };
}

const shownBy = ({ file }: ReturnType<typeof sheetsOf>) => (layer: string): boolean => file.layers.get(layer.toLowerCase())?.visible ?? true;

/** The sheets of a drawing, model first, and which of its layers it shows. */
export function dxfSheets(bytes: Uint8Array): { readonly sheets: DrawingSheet[]; readonly isShown: (layer: string) => boolean } {
  const drawing = sheetsOf(bytes);
  return { sheets: drawing.sheets, isShown: shownBy(drawing) };
}

const asPdf = (drawing: ReturnType<typeof sheetsOf>): ReturnType<typeof drawingPdf> => drawingPdf(drawing.sheets, shownBy(drawing));

/** The drawing as a PDF, one page per sheet; what is shown and marked up. */
export async function dxfAsPdf(bytes: Uint8Array): Promise<Uint8Array> { return (await asPdf(sheetsOf(bytes))).bytes; }

export async function inspectDxf(bytes: Uint8Array): Promise<PlanPage[]> {
  const drawing = sheetsOf(bytes);
  const { sheets } = drawing;
  const { bytes: made, unwritten } = await asPdf(drawing);
  const pages = await inspectPdf(made);
  return pages.map((page, index) => {
    const sheet = sheets[index]!;
    const whole: [number, number, number, number] = [0, 0, page.width, page.height];
    return {
      ...page, label: sheet.label, unitsPerPaperInch: null,
      scales: sheet.scales.map(({ name, feetPerUnit }) => ({ name, feetPerUnit, box: whole })),
      lengths: sheet.lengths.map(({ from, to, text, feet }) => ({ from: [...from] as [number, number], to: [...to] as [number, number], text, feet })),
      drawing: { origin: [...sheet.origin] as [number, number], unitsPerDrawingUnit: sheet.unitsPerDrawingUnit, declaredUnit: sheet.declaredUnit },
      warnings: [...page.warnings, ...sheet.warnings, ...lettersMissing(unwritten[index] ?? 0)],
    };
  });
}

const lettersMissing = (count: number): PlanPage['warnings'] => (count === 0 ? [] : [{
  code: 'letters-missing', what: `${count === 1 ? 'One text' : `${count} texts`} of this sheet ${count === 1 ? 'has' : 'have'} letters that cannot be drawn here (such as those of East Asia, Hebrew and Arabic); each of them shows as a question mark.`,
  todo: 'Read these texts in the drawing itself, or bring the plan in as a PDF; all lines are there.',
}]);

export async function buildDxf(bytes: Uint8Array, page: number, layersOff?: readonly string[]): Promise<Pyramid> {
  return buildPdf(await dxfAsPdf(bytes), page, { layersOff });
}
