import { PDFDocument, PDFHexString, PDFName, PDFString } from '@cantoo/pdf-lib';
import type { PDFDict, PDFRef } from '@cantoo/pdf-lib';
import { layOf, lookLayers } from '../../shared-core/document/index';
import type { LookLayer, PlanRef } from '../../shared-core/document/index';
import { planMedia } from '../../shared-core/exchange/index';
import { composeMatrix, isIdentity, similarityMatrix } from '../../shared-core/geometry/index';
import type { Matrix } from '../../shared-core/geometry/index';
import type { Outcome, PdfSection } from '../../shared-core/host-api';
import { calculationPages, drawSheet, findingPages, finishPages, isolationPages, labelPages, schedulePages, stripOf } from '../../shared-core/report/index';
import type { Measure, Primitive, Report, ReportPage, ReportSheet } from '../../shared-core/report/index';
import { layerState, openPdfSource, removeActive, resourceGroup, writtenNumbers } from './clean-pdf';
import type { PdfSource, Placing } from './clean-pdf';
import { embedRaster } from './embed-raster';
import { addFontResources, contentStream, embedFaces, inkStream, textWidth } from './pdf-ink';
import type { Faces, FontFiles } from './pdf-ink';
import { crowdingOf } from './plan-crowding';
import type { Crowding } from './plan-crowding';
import { refusal } from './problems';

/** What follows the drawn sheets, in this order. */
const REPORT_SECTIONS = { schedule: schedulePages, findings: findingPages, calculations: calculationPages, labels: labelPages, isolation: isolationPages } as const satisfies Record<Exclude<PdfSection, 'plan'>, unknown>;

export interface PdfOptions {
  readonly fonts: FontFiles;
  /** Date of issue: stands in the file's properties; the printed one is the report's. */
  readonly issued: Date;
  /** All of them when absent. */
  readonly sections?: readonly PdfSection[];
  /** Passwords of locked plans, by blob. */
  readonly passwords?: ReadonlyMap<string, string>;
  /** Told before each sheet; may throw to stop. */
  readonly onProgress?: (done: number, note: string) => void;
}

interface Writing { readonly pdf: PDFDocument; readonly faces: Faces; readonly measure: Measure; readonly layer: PDFRef; readonly report: Report; readonly sources: Map<string, PdfSource>; readonly options: PdfOptions }

/**
 * Writes the hand-over as PDF: every sheet on its original page, then schedule and findings. The source's own content
 * streams and picture bytes go in unchanged; marks lie on a layer of their own; a strip below the sheet holds legend,
 * scale bar and cautions. Nothing in the file acts, whatever a source carried. The same input gives the same bytes.
 * @param plans original plan bytes by their SHA-256 (for a drawing file the PDF page made of it)
 * @returns a problem that names the plan when one is missing, locked or damaged
 */
export async function writePdf(report: Report, plans: ReadonlyMap<string, Uint8Array>, options: PdfOptions): Promise<Outcome<Uint8Array>> {
  const pdf = await PDFDocument.create({ updateMetadata: false });
  const faces = await embedFaces(pdf, options.fonts);
  const layer = pdf.context.register(pdf.context.obj({ Type: 'OCG', Name: PDFString.of('Disconnects, loads and sight lines') }));
  const writing: Writing = { pdf, faces, measure: textWidth(faces), layer, report, sources: new Map(), options };
  const isWanted = (section: PdfSection): boolean => options.sections === undefined || options.sections.includes(section);
  const sheets = isWanted('plan') ? report.sheets : [];
  for (const [i, sheet] of sheets.entries()) {
    options.onProgress?.(i / (sheets.length + 1), `Writing ${sheet.name}`);
    const written = await writeSheet(writing, sheet, plans);
    if (!written.ok) return written;
  }
  if (sheets.length > 0) {
    const state = layerState(pdf);
    state.all.push(layer); state.on.push(layer); state.Order.push(layer);
  }
  removeActive(pdf);
  const pages = Object.entries(REPORT_SECTIONS).flatMap(([section, pagesOf]) => (isWanted(section as PdfSection) ? pagesOf(report, writing.measure) : []));
  const titles = [...sheets.map((sheet) => sheet.name), ...pages.map((page) => page.section)];
  for (const page of finishPages(report, pages, sheets.length + 1, sheets.length + pages.length, writing.measure)) addReportPage(writing, page);
  addOutline(pdf, titles);
  describe(pdf, report, options.issued);
  options.onProgress?.(0.95, 'Packing the file');
  return { ok: true, value: await pdf.save({ useObjectStreams: false, addDefaultPage: false, updateFieldAppearances: false }) };
}

function describe(pdf: PDFDocument, report: Report, issued: Date): void {
  pdf.setTitle(`${report.project}: disconnecting means, revision ${report.revision}`, { showInWindowTitleBar: true });
  pdf.setSubject('Placement, sight lines and ratings of disconnecting means'); pdf.setCreator('Lockstead'); pdf.setProducer('Lockstead'); pdf.setLanguage('en-US');
  pdf.setCreationDate(issued); pdf.setModificationDate(issued);
  // Printing must not shrink the sheet to the paper's margins: it is true to scale.
  const { context } = pdf;
  const viewer = pdf.catalog.lookup(PDFName.of('ViewerPreferences'));
  const preferences = (viewer ?? context.obj({})) as PDFDict;
  preferences.set(PDFName.of('PrintScaling'), PDFName.of('None'));
  pdf.catalog.set(PDFName.of('ViewerPreferences'), preferences);
}

/** A table of contents beside the pages: plain destinations, no actions. The first page of each run of equal titles is listed. */
function addOutline(pdf: PDFDocument, titles: readonly string[]): void {
  const { context } = pdf;
  const starts = titles.flatMap((title, i) => (i === 0 || titles[i - 1] !== title ? [{ title, page: i }] : []));
  const root = context.nextRef();
  const refs = starts.map(() => context.nextRef());
  starts.forEach(({ title, page }, i) => {
    const item = context.obj({ Title: PDFHexString.fromText(title), Parent: root, Dest: [pdf.getPage(page).ref, 'Fit'] });
    const before = refs[i - 1]; const after = refs[i + 1];
    if (before) item.set(PDFName.of('Prev'), before);
    if (after) item.set(PDFName.of('Next'), after);
    context.assign(refs[i] as PDFRef, item);
  });
  const first = refs[0]; const last = refs.at(-1);
  if (!first || !last) return;
  context.assign(root, context.obj({ Type: 'Outlines', First: first, Last: last, Count: refs.length }));
  pdf.catalog.set(PDFName.of('Outlines'), root);
  pdf.catalog.set(PDFName.of('PageMode'), PDFName.of('UseOutlines'));
}

async function writeSheet(writing: Writing, sheet: ReportSheet, plans: ReadonlyMap<string, Uint8Array>): Promise<Outcome<null>> {
  const { plan } = sheet;
  if (!plan) return drawOnNewPage(writing, sheet, null, '');
  const bytes = plans.get(plan.blob);
  if (!bytes) return { ok: false, problem: { code: 'plan-missing', what: `The plan ${plan.name} of the sheet ${sheet.name} is not at hand.`, todo: 'Bring the plan in again, then export.' } };
  if (planMedia(bytes) === 'application/pdf') return drawOnSource(writing, sheet, plan, bytes);
  try {
    const raster = await embedRaster(writing.pdf, bytes, plan.page);
    const crowding = await crowdingOf(bytes, sheet, writing.options.passwords?.get(plan.blob));
    return await drawOnNewPage(writing, sheet, crowding, `${writtenNumbers(composeMatrix(picturePlace(sheet, plan), [plan.width, 0, 0, -1 * plan.height, 0, plan.height]))} cm ${raster.matrix.join(' ')} cm /LksPlan Do`, raster.image);
  } catch {
    return refusal('damaged', plan.name);
  }
}

/** From the plan's picture units, y down, to the sheet's upright paper points, y up. */
function picturePlace(sheet: ReportSheet, plan: PlanRef): Matrix {
  const k = sheet.pointsPerUnit;
  return composeMatrix([k, 0, 0, -k, 0, sheet.height * k], similarityMatrix(layOf(plan)));
}

const BLEND: Readonly<Record<LookLayer['blend'], string>> = { 'difference': 'Difference', 'color-dodge': 'ColorDodge', 'color-burn': 'ColorBurn', 'normal': 'Normal' };

/** Blending in the colours of a screen, where the plan was looked at. */
const rgbGroup = (pdf: PDFDocument): PDFDict => pdf.context.obj({ S: 'Transparency', CS: 'DeviceRGB', I: true });

/**
 * Operators that invert, strengthen and fade the plan as the screen does, in the sheet's paper points, y up: the plan's own
 * bytes stay as they are. null when it is shown as it is.
 */
function lookOf(writing: Writing, sheet: ReportSheet, plan: PlanRef, resources: PDFDict, prefix: string): string | null {
  const layers = lookLayers(plan, sheet.fade);
  if (layers.length === 0) return null;
  const { context } = writing.pdf;
  const [a, b, c, d, e, f] = picturePlace(sheet, plan);
  const corners = [[0, 0], [plan.width, 0], [plan.width, plan.height], [0, plan.height]].map(([x = 0, y = 0]) => writtenNumbers([a * x + c * y + e, b * x + d * y + f]));
  const outline = `${corners.map((at, i) => `${at} ${i === 0 ? 'm' : 'l'}`).join(' ')} h f`;
  return layers.map(({ blend, grey, alpha }, i) => {
    const name = `${prefix}Look${i}`;
    resourceGroup(resources, 'ExtGState').set(PDFName.of(name), context.obj({ Type: 'ExtGState', BM: BLEND[blend], ca: alpha, SMask: 'None' }));
    return `q /${name} gs ${writtenNumbers([grey])} g ${outline} Q`;
  }).join(' ');
}

/** @param draw operators that draw the plan in paper points, y up; it is cut off at the drawing area */
async function drawOnNewPage(writing: Writing, sheet: ReportSheet, crowding: Crowding | null, draw: string, image?: PDFRef): Promise<Outcome<null>> {
  const { pdf } = writing; const { context } = pdf;
  const width = sheet.width * sheet.pointsPerUnit; const height = sheet.height * sheet.pointsPerUnit;
  const drawn = sheetStreams(writing, sheet, crowding, { height, matrix: null, prefix: 'Lks' });
  const page = pdf.addPage([width, height + drawn.strip]);
  page.node.set(PDFName.of('MediaBox'), context.obj([0, -drawn.strip, width, height]));
  const resources = context.obj({});
  page.node.set(PDFName.of('Resources'), resources);
  const contents = context.obj([]);
  if (image) {
    resourceGroup(resources, 'XObject').set(PDFName.of('LksPlan'), image);
    const look = sheet.plan ? lookOf(writing, sheet, sheet.plan, resources, 'Lks') : null;
    if (look) page.node.set(PDFName.of('Group'), rgbGroup(pdf));
    contents.push(contentStream(pdf, `q 0 0 ${width} ${height} re W n q ${draw} Q ${look ?? ''} Q`));
  }
  contents.push(contentStream(pdf, drawn.content));
  page.node.set(PDFName.of('Contents'), contents);
  addMarkResources(writing, resources, 'Lks');
  return { ok: true, value: null };
}

async function drawOnSource(writing: Writing, sheet: ReportSheet, plan: PlanRef, bytes: Uint8Array): Promise<Outcome<null>> {
  // One page may lie on two sheets with different layers; each state needs layers of its own in the file.
  const key = `${plan.blob} ${JSON.stringify(plan.layersOff ?? null)}`;
  let source = writing.sources.get(key);
  if (!source) {
    const opened = await openPdfSource(writing.pdf, bytes, plan.name, writing.options.passwords?.get(plan.blob), plan.layersOff);
    if (!opened.ok) return opened;
    source = opened.value; writing.sources.set(key, source);
  }
  if (plan.page >= source.pageCount) return refusal('page-missing', plan.name);
  const size = source.sizeOf(plan.page);
  // A page made of a drawing file has its own size; the sheet's units follow it.
  const pointsPerPictureUnit = size.width / plan.width;
  if (Math.abs((size.height / plan.height) / pointsPerPictureUnit - 1) > 0.01) {
    return { ok: false, problem: { code: 'plan-changed', what: `Page ${plan.page + 1} of ${plan.name} has another shape than the sheet ${sheet.name} was drawn on.`, todo: 'Bring that page in again as the plan of the sheet, then export.' } };
  }
  const lay = layOf(plan);
  const scaled: ReportSheet = { ...sheet, pointsPerUnit: pointsPerPictureUnit / lay.scale };
  const k = scaled.pointsPerUnit;
  // Blending needs paper under the plan, which a source page does not paint.
  const isWhole = plan.look === undefined && isIdentity(lay) && Math.abs(sheet.width / plan.width - 1) < 1e-6 && Math.abs(sheet.height / plan.height - 1) < 1e-6;
  const placing: Placing | undefined = isWhole ? undefined
    : { width: sheet.width * k, height: sheet.height * k, matrix: composeMatrix(picturePlace(scaled, plan), [1 / pointsPerPictureUnit, 0, 0, -1 / pointsPerPictureUnit, 0, plan.height]) };
  const taken = await source.takePage(plan.page, placing);
  const crowding = await crowdingOf(bytes, scaled, writing.options.passwords?.get(plan.blob));
  const drawn = sheetStreams(writing, scaled, crowding, taken);
  const look = lookOf(writing, scaled, plan, taken.resources, taken.prefix);
  if (look) {
    if (!taken.page.node.has(PDFName.of('Group'))) taken.page.node.set(PDFName.of('Group'), rgbGroup(writing.pdf));
    taken.append(contentStream(writing.pdf, `q ${writtenNumbers(taken.matrix)} cm 0 0 ${writtenNumbers([taken.width, taken.height])} re W n ${look} Q`));
  }
  taken.lengthen(drawn.strip);
  taken.append(contentStream(writing.pdf, drawn.content));
  addMarkResources(writing, taken.resources, taken.prefix);
  return { ok: true, value: null };
}

/** Operators for the marks and the strip of one sheet; the strip's paper lies below the marks' layer, so that nothing hidden outside the source's crop comes to light. */
function sheetStreams(writing: Writing, sheet: ReportSheet, crowding: Crowding | null, { height, matrix, prefix }: { readonly height: number; readonly matrix: readonly number[] | null; readonly prefix: string }): { readonly content: string; readonly strip: number } {
  const { report, measure } = writing;
  const faces = namedFaces(writing.faces, prefix);
  const drawing = drawSheet(sheet, measure, crowding ?? undefined);
  const strip = stripOf(report, sheet, drawing, measure);
  const [paper, ...legend] = strip.marks;
  const below = (marks: readonly Primitive[]): string => inkStream(marks, 0, faces, matrix);
  return { strip: strip.height, content: [below(paper ? [paper] : []), `/OC /${prefix}Marks BDC`, inkStream(drawing.marks, height, faces, matrix), below(legend), 'EMC'].join('\n') };
}

const namedFaces = (faces: Faces, prefix: string): Faces => ({ ...faces, names: { regular: `${prefix}R`, bold: `${prefix}B` } });

function addMarkResources(writing: Writing, resources: PDFDict, prefix: string): void {
  addFontResources(resources, namedFaces(writing.faces, prefix));
  resourceGroup(resources, 'Properties').set(PDFName.of(`${prefix}Marks`), writing.layer);
}

function addReportPage(writing: Writing, content: ReportPage): void {
  const { pdf, faces } = writing;
  const page = pdf.addPage([content.width, content.height]);
  const resources = pdf.context.obj({});
  addFontResources(resources, faces);
  page.node.set(PDFName.of('Resources'), resources);
  page.node.set(PDFName.of('Contents'), contentStream(pdf, inkStream(content.marks, content.height, faces)));
}
