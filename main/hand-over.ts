import { compareTags, entitiesOf } from '../shared-core/document/index';
import type { Document } from '../shared-core/document/index';
import { writeEquipment } from '../shared-core/exchange/index';
import type { HostOutput, Outcome, PdfSection } from '../shared-core/host-api';
import { writeHandOver, writeHandOverApart, writeListCsv, writeListXlsx } from './exchange/index';
import type { HandOver, HandOverFile } from './exchange/index';
import { readFonts } from './files/fonts';
import { safeFileName } from './files/guard';
import { done } from './files/problems';

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
  /** In a process of its own: for whoever must stay free meanwhile. */
  readonly isApart?: boolean;
}

const today = (): string => {
  const now = new Date();
  return [now.getFullYear(), now.getMonth() + 1, now.getDate()].map((part) => String(part).padStart(2, '0')).join('-');
};

const MARKED_UP: readonly PdfSection[] = ['plan', 'schedule', 'findings'];

/** A file without the plan says in its name what it holds. */
const partOf = (sections: readonly PdfSection[]): string => (sections.includes('plan') ? '' : ` ${sections.join(' ')}`);

/** Where the file is written: here, or in a process of its own that can be cancelled. */
const write = (work: HandOver, { isApart, signal, onProgress }: Omit<HandOverOptions, 'drawable'>): Promise<Outcome<HandOverFile>> => (isApart === true
  ? writeHandOverApart(work, { ...(signal ? { signal } : {}), ...(onProgress ? { onProgress } : {}) })
  : writeHandOver(work));

const namedFile = ({ bytes, project, revision }: HandOverFile, extension: string, media: string, part = ''): Download => ({ name: safeFileName(`${project} revision ${revision}${part}`, extension), media, bytes });

/** @returns the marked-up plan with schedule and findings, or the sections asked for, as one PDF; a problem when nothing would be in it */
export async function makePdf(document: Document, options: HandOverOptions): Promise<Outcome<Download>> {
  const sections = options.sections ?? MARKED_UP;
  const fonts = await readFonts();
  if (!fonts.ok) return fonts;
  const plans = new Map<string, Uint8Array>();
  const passwords = new Map<string, string>();
  const shown = document.sheets.filter((sheet) => sections.includes('plan') && (options.sheets?.includes(sheet.id) ?? true));
  for (const blob of new Set(shown.flatMap((sheet) => (sheet.plan ? [sheet.plan.blob] : [])))) {
    const plan = await options.drawable(blob);
    // A plan that is not at hand is told by the writer, which knows the sheet's name.
    if (!plan.ok) continue;
    plans.set(blob, plan.value.bytes);
    if (plan.value.password !== null) passwords.set(blob, plan.value.password);
  }
  const made = await write({ document, format: 'pdf', date: options.date ?? today(), ...(options.sheets ? { sheets: options.sheets } : {}), sections, fonts: fonts.value, plans, passwords }, options);
  return made.ok ? done(namedFile(made.value, '.pdf', 'application/pdf', partOf(sections))) : made;
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
export async function makeTable(document: Document, format: 'csv' | 'xlsx', options: Omit<HandOverOptions, 'drawable'> = {}): Promise<Outcome<Download>> {
  const made = await write({ document, format, date: options.date ?? today(), sections: ['schedule'], plans: new Map(), passwords: new Map() }, options);
  return made.ok ? done(namedFile(made.value, `.${format}`, format === 'csv' ? CSV : XLSX)) : made;
}
