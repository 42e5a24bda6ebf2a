import { readFile } from 'node:fs/promises';
import { createCanvas } from '@napi-rs/canvas';
import { decodePDFRawStream, PDFDict, PDFDocument, PDFRawStream, PDFStream } from '@cantoo/pdf-lib';
import { getDocument } from 'pdfjs-dist/legacy/build/pdf.mjs';
import type { PDFDocumentProxy, PDFPageProxy } from 'pdfjs-dist';
import { auditDocument } from '../../shared-core/audit/index';
import { defaultFacts } from '../../shared-core/document/index';
import type { Document, Entity, PlanRef, Sheet } from '../../shared-core/document/index';
import { buildReport } from '../../shared-core/report/index';
import type { Report } from '../../shared-core/report/index';
import { feet, horsepower, sheetUnits, volts } from '../../shared-core/units/index';
import { sha256 } from '../../main/files/plan-file';
import type { FontFiles, PdfOptions } from '../../main/exchange/index';

const assets = new URL('../../assets/', import.meta.url).pathname;
export const fonts = async (): Promise<FontFiles> => ({
  regular: new Uint8Array(await readFile(`${assets}fonts/AtkinsonHyperlegibleNext_400Regular.ttf`)), bold: new Uint8Array(await readFile(`${assets}fonts/AtkinsonHyperlegibleNext_600SemiBold.ttf`)),
});
export const ISSUED = new Date(Date.UTC(2026, 0, 5));
/** Sheets and schedule only: what follows is the demo's to show. */
export const pdfOptions = async (): Promise<PdfOptions> => ({ fonts: await fonts(), issued: ISSUED, sections: ['plan', 'schedule'] });
export const wholePdfOptions = async (): Promise<PdfOptions> => ({ fonts: await fonts(), issued: ISSUED });

export const planRef = (bytes: Uint8Array, media: PlanRef['media'], width: number, height: number, more: Partial<PlanRef> = {}): PlanRef =>
  ({ blob: sha256(bytes), name: 'plan', media, page: 0, width: sheetUnits(width), height: sheetUnits(height), ...more });

export function sheetOn(id: string, plan: PlanRef | null, feetPerUnit = 1 / 9): Sheet {
  return { id, name: `Sheet ${id}`, plan, width: plan?.width ?? sheetUnits(900), height: plan?.height ?? sheetUnits(600), level: { name: 'Ground', floor: feet(0) }, fade: 0,
    scale: { feetPerUnit, relativeUncertainty: 0.002, pickUncertainty: sheetUnits(1), from: { kind: 'stated', typed: '1/8" = 1\'-0"', ratio: 96, unitsPerPaperInch: 72 } } };
}

/** A disconnect and the motor it serves on one sheet, at the given sheet positions. */
export function pairOn(sheet: string, n: string, device: readonly [number, number], motor: readonly [number, number]): Entity[] {
  const at = ([x, y]: readonly [number, number]) => ({ x: sheetUnits(x), y: sheetUnits(y) });
  return [
    { kind: 'load', id: `load-${n}`, sheet, tag: `M-${n}`, name: 'pump', at: at(motor), height: feet(2), standing: feet(0), data: { kind: 'motor', horsepower: horsepower(25), voltage: volts(460), phases: 3, system: 'system-main' } },
    { kind: 'disconnect', id: `disconnect-${n}`, sheet, tag: `DS-${n}`, at: at(device), handleHeight: feet(5), standing: feet(0), facing: 0, mount: null, serves: [`load-${n}`], data: { type: 'enclosed-switch', fusible: true } },
  ];
}

export function documentOf(sheets: readonly Sheet[], entities: readonly Entity[], facts: Partial<Document['facts']> = {}): Document {
  return { formatVersion: 1, facts: { ...defaultFacts(), name: 'Test works', ...facts }, sheets, entities: Object.fromEntries(entities.map((e) => [e.id, e])) };
}
export const reportOf = (document: Document): Report => buildReport(document, auditDocument(document), { date: '2026-01-05' });

export const plansOf = (...bytes: readonly Uint8Array[]): ReadonlyMap<string, Uint8Array> => new Map(bytes.map((b) => [sha256(b), b]));

export async function withPdf<T>(bytes: Uint8Array, work: (pdf: PDFDocumentProxy) => Promise<T>): Promise<T> {
  const task = getDocument({ data: bytes.slice(), verbosity: 0, isEvalSupported: false, useSystemFonts: false });
  try { return await work(await task.promise); } finally { await task.destroy(); }
}

export const MARKS_LAYER = 'Disconnects, loads and sight lines';

/** The page as pixels, with the marks' layer on or off. Only the upper part, down to the given height in points, when asked. */
export async function pixels(pdf: PDFDocumentProxy, page: PDFPageProxy, scale: number, marks: boolean, height?: number, layers?: Awaited<ReturnType<PDFDocumentProxy['getOptionalContentConfig']>>): Promise<{ width: number; height: number; data: Uint8ClampedArray }> {
  const viewport = page.getViewport({ scale });
  const w = Math.round(viewport.width); const h = Math.round(height === undefined ? viewport.height : height * scale);
  const canvas = createCanvas(w, h);
  const context = canvas.getContext('2d');
  context.fillStyle = '#fff'; context.fillRect(0, 0, w, h);
  const config = layers ?? await pdf.getOptionalContentConfig();
  for (const [id, group] of config) if ((group as { name: string | null }).name === MARKS_LAYER) config.setVisibility(id, marks);
  await page.render({ canvas: null, canvasContext: context as unknown as CanvasRenderingContext2D, viewport, optionalContentConfigPromise: Promise.resolve(config) }).promise;
  return { width: w, height: h, data: context.getImageData(0, 0, w, h).data };
}

export const differing = (a: { data: Uint8ClampedArray }, b: { data: Uint8ClampedArray }): number => {
  let count = 0;
  for (let i = 0; i < a.data.length; i += 1) if (Math.abs((a.data[i] ?? 0) - (b.data[i] ?? 0)) > 2) count += 1;
  return count;
};

export interface PlacedText { readonly text: string; readonly x: number; readonly y: number; readonly width: number; readonly height: number }
/** Text pieces with the middle of each in upright points, y down. */
export async function textsOf(page: PDFPageProxy): Promise<PlacedText[]> {
  const viewport = page.getViewport({ scale: 1 });
  const content = await page.getTextContent();
  return content.items.flatMap((item): PlacedText[] => {
    if (!('str' in item) || item.str.trim() === '') return [];
    const t = item.transform as number[]; const size = Math.hypot(t[0] ?? 0, t[1] ?? 0);
    const dx = ((t[0] ?? 0) / size) * (item.width / 2); const dy = ((t[1] ?? 0) / size) * (item.width / 2);
    const [x = 0, y = 0] = viewport.convertToViewportPoint((t[4] ?? 0) + dx, (t[5] ?? 0) + dy) as number[];
    return [{ text: item.str, x, y, width: item.width, height: size }];
  });
}

/** Everything a reader of the file could come across, decoded: object dictionaries, strings and streams. */
export async function everythingIn(bytes: Uint8Array): Promise<string> {
  const pdf = await PDFDocument.load(bytes, { updateMetadata: false });
  return pdf.context.enumerateIndirectObjects().map(([, object]) => {
    if (object instanceof PDFRawStream) {
      let body: string; try { body = Buffer.from(decodePDFRawStream(object).decode()).toString('latin1'); } catch { body = Buffer.from(object.getContents()).toString('latin1'); }
      return `${object.dict.toString()}\n${body}`;
    }
    return object instanceof PDFStream || object instanceof PDFDict ? object.toString() : object.toString();
  }).join('\n').concat(pdf.context.trailerInfo.Root?.toString() ?? '');
}
