import { auditDocument } from '../../shared-core/audit/index';
import { readDocument } from '../../shared-core/document/index';
import type { Document } from '../../shared-core/document/index';
import type { Outcome, PdfSection } from '../../shared-core/host-api';
import { buildReport } from '../../shared-core/report/index';
import type { Announce } from './announce';
import type { FontFiles } from './pdf-ink';
import { writePdf } from './write-pdf';
import { writeScheduleCsv, writeScheduleXlsx } from './write-table';

/** Everything an output is made of: it is checked, reported and written somewhere without a disk. */
export interface HandOver {
  readonly document: Document;
  readonly format: 'pdf' | 'csv' | 'xlsx';
  /** ISO date of issue. */
  readonly date: string;
  readonly sheets?: readonly string[];
  readonly sections: readonly PdfSection[];
  /** For a PDF: the faces, the bytes each plan is drawn from by its blob, and the passwords of locked ones. */
  readonly fonts?: FontFiles;
  readonly plans: ReadonlyMap<string, Uint8Array>;
  readonly passwords: ReadonlyMap<string, string>;
}

export interface HandOverFile { readonly bytes: Uint8Array; readonly project: string; readonly revision: string }

export const refuse = (code: string, what: string, todo: string): { readonly ok: false; readonly problem: { code: string; what: string; todo: string } } => ({ ok: false, problem: { code, what, todo } });
export const failed = () => refuse('export-failed', 'The file could not be written: the program that writes it stopped.', 'Export again; if it happens once more, export fewer sheets at a time. Nothing of the project changed.');

/** The one way from a document to its outputs, for the window and the command line: audit, report, file. */
export async function writeHandOver({ document, format, date, sheets, sections, fonts, plans, passwords }: HandOver, announce: Announce = () => undefined): Promise<Outcome<HandOverFile>> {
  const marks = Object.keys(document.entities).length;
  announce({ note: 'Checking the project', from: 0.1, to: 0.3, seconds: 0.5 + marks / 1000 });
  const checked = readDocument(document);
  if (!checked.ok) return refuse('bad-project', `The project holds data that does not fit together (${checked.faults[0] ?? ''}).`, 'Undo the last change, then export again.');
  const unknown = sheets?.find((id) => !document.sheets.some((sheet) => sheet.id === id));
  if (unknown !== undefined) return refuse('sheet-missing', 'One of the chosen sheets is not in the project any more.', 'Choose the sheets again.');
  const report = buildReport(checked.document, auditDocument(checked.document), { date, ...(sheets ? { sheets } : {}) });
  const { project, revision } = report;
  if (format !== 'pdf') return { ok: true, value: { bytes: format === 'csv' ? writeScheduleCsv(report) : writeScheduleXlsx(report), project, revision } };
  if (!fonts) throw new RangeError('a PDF needs its fonts');
  const onProgress = (share: number, note: string): void => { announce({ note, from: 0.3 + 0.7 * share, to: 0.3 + 0.7 * Math.min(1, share + 0.1), seconds: 3 }); };
  const pdf = await writePdf(report, plans, { fonts, sections, issued: new Date(`${date}T12:00:00Z`), passwords, onProgress });
  return pdf.ok ? { ok: true, value: { bytes: pdf.value, project, revision } } : pdf;
}

/** The task inside its process: whatever goes wrong there is told in the words of an export. */
export const performHandOver = (work: HandOver, announce: Announce): Promise<Outcome<HandOverFile>> => writeHandOver(work, announce).catch(failed);
