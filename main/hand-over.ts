import { auditDocument } from '../shared-core/audit/index';
import { compareTags, entitiesOf, readDocument } from '../shared-core/document/index';
import type { Document } from '../shared-core/document/index';
import { writeEquipment } from '../shared-core/exchange/index';
import type { HostOutput, Outcome, PdfSection } from '../shared-core/host-api';
import { buildReport } from '../shared-core/report/index';
import type { Report } from '../shared-core/report/index';
import { writeListCsv, writeListXlsx, writePdf, writeScheduleCsv, writeScheduleXlsx } from './exchange/index';
import { readFonts } from './files/fonts';
import { safeFileName } from './files/guard';
import { done, failed } from './files/problems';

export type Download = HostOutput<'exportPdf'>;
/** The bytes a sheet is drawn from, and the password that opens them where there is one. */
export type Drawable = (blob: string) => Promise<Outcome<{ readonly bytes: Uint8Array; readonly password: string | null }>>;

export interface HandOverOptions {
  readonly drawable: Drawable;
  /** ISO date of issue; today when absent. */
  readonly date?: string;
  readonly sheets?: readonly string[];
  /** The marked-up plan with schedule and findings when absent. */
  readonly sections?: readonly PdfSection[];
  readonly signal?: AbortSignal;
  readonly onProgress?: (done: number, note: string) => void;
}

const today = (): string => {
  const now = new Date();
  return [now.getFullYear(), now.getMonth() + 1, now.getDate()].map((part) => String(part).padStart(2, '0')).join('-');
};

/** The one way from a document to its outputs, for the window and the command line: audit, report, file. */
function reportOf(document: Document, options: Pick<HandOverOptions, 'date' | 'sheets'>): Outcome<Report> {
  const checked = readDocument(document);
  if (!checked.ok) return failed('bad-project', `The project holds data that does not fit together (${checked.faults[0] ?? ''}).`, 'Undo the last change, then export again.');
  const unknown = options.sheets?.find((id) => !document.sheets.some((sheet) => sheet.id === id));
  if (unknown !== undefined) return failed('sheet-missing', 'One of the chosen sheets is not in the project any more.', 'Choose the sheets again.');
  return done(buildReport(checked.document, auditDocument(checked.document), { date: options.date ?? today(), ...(options.sheets ? { sheets: options.sheets } : {}) }));
}

const MARKED_UP: readonly PdfSection[] = ['plan', 'schedule', 'findings'];

const nameOf = (report: Report, extension: string, part = ''): string => safeFileName(`${report.project} revision ${report.revision}${part}`, extension);
/** A file without the plan says in its name what it holds. */
const partOf = (sections: readonly PdfSection[]): string => (sections.includes('plan') ? '' : ` ${sections.join(' ')}`);

class Cancelled extends Error {}

/** @returns the marked-up plan with schedule and findings, or the sections asked for, as one PDF; a problem when nothing would be in it */
export async function makePdf(document: Document, options: HandOverOptions): Promise<Outcome<Download>> {
  options.onProgress?.(0, 'Checking the project');
  const report = reportOf(document, options);
  if (!report.ok) return report;
  const sections = options.sections ?? MARKED_UP;
  const fonts = await readFonts();
  if (!fonts.ok) return fonts;
  const plans = new Map<string, Uint8Array>();
  const passwords = new Map<string, string>();
  for (const blob of !sections.includes('plan') ? [] : new Set(report.value.sheets.flatMap((sheet) => (sheet.plan ? [sheet.plan.blob] : [])))) {
    const plan = await options.drawable(blob);
    // A plan that is not at hand is told by the writer, which knows the sheet's name.
    if (!plan.ok) continue;
    plans.set(blob, plan.value.bytes);
    if (plan.value.password !== null) passwords.set(blob, plan.value.password);
  }
  const onProgress = (share: number, note: string): void => {
    if (options.signal?.aborted) throw new Cancelled();
    options.onProgress?.(share, note);
  };
  try {
    const pdf = await writePdf(report.value, plans, { fonts: fonts.value, sections, issued: new Date(`${report.value.date}T12:00:00Z`), passwords, onProgress });
    return pdf.ok ? done({ name: nameOf(report.value, '.pdf', partOf(sections)), media: 'application/pdf', bytes: pdf.value }) : pdf;
  } catch (error) {
    if (error instanceof Cancelled) return failed('cancelled', 'The export was cancelled.', 'Export again when you want it.');
    throw error;
  }
}

const CSV = 'text/csv; charset=utf-8';
const XLSX = 'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet';

/** @returns the loads, by tag, as an equipment list that can be imported again */
export function makeList(document: Document, format: 'csv' | 'xlsx'): Outcome<Download> {
  const loads = entitiesOf(document, 'load').sort((a, b) => compareTags(a.tag, b.tag));
  const name = safeFileName(`${document.facts.name} equipment list`, `.${format}`);
  const cells = writeEquipment(loads);
  return done(format === 'csv' ? { name, media: CSV, bytes: writeListCsv(cells) } : { name, media: XLSX, bytes: writeListXlsx('Equipment', cells) });
}

/** @returns the schedule as a table */
export function makeTable(document: Document, format: 'csv' | 'xlsx', options: Pick<HandOverOptions, 'date'> = {}): Outcome<Download> {
  const report = reportOf(document, options);
  if (!report.ok) return report;
  return format === 'csv'
    ? done({ name: nameOf(report.value, '.csv'), media: CSV, bytes: writeScheduleCsv(report.value) })
    : done({ name: nameOf(report.value, '.xlsx'), media: XLSX, bytes: writeScheduleXlsx(report.value) });
}
