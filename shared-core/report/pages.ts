import type { Result, Verdict } from '../code-data/index';
import { VERDICT_ORDER } from '../code-data/index';
import { A4, Flow, LETTER } from './flow';
import type { Cell, Column, PageSize, ReportPage } from './flow';
import { line, move, path, words } from './ink';
import { planChangeHead, planChangeTail } from './plan-changes';
import type { Report, ReportFinding } from './report';
import { CONFIDENCE_WORDS } from './report-words';
import { SCHEDULE_HEADS } from './schedule';
import type { ScheduleColumn, ScheduleRow } from './schedule';
import type { Measure } from './sheet-drawing';

export const pageSizeOf = (report: Report): PageSize => (report.units === 'metric' ? A4 : LETTER);

const count = (n: number, one: string, many: string): string => `${n} ${n === 1 ? one : many}`;

/** Citations as they are printed: edition, and what keeps one from being taken as confirmed. */
export function citationWords(result: Result): string {
  return result.citations.map((c) => {
    const doubt = [CONFIDENCE_WORDS[c.confidence], c.note ?? ''].filter((w) => w !== '').join('; ');
    return `${c.text}${c.edition === '' ? '' : ` (${c.edition})`}${doubt === '' ? '' : ` [${doubt}]`}`;
  }).join('\n');
}

/** The schedule of disconnects; ratings with their source, sight with its verdict. */
export function schedulePages(report: Report, measure: Measure): readonly ReportPage[] {
  const flow = new Flow(pageSizeOf(report), 'Schedule of disconnects', measure);
  flow.heading('Schedule of disconnects');
  const { deviceCounts: c } = report;
  flow.text(`${count(report.schedule.length, 'disconnect', 'disconnects')}: ${[...VERDICT_ORDER].reverse().map((v) => `${c[v]} ${v}`).join(', ')}. "(computed)" marks what nobody has chosen yet: the least that the load asks for. ${TO_VERIFY} rests on typical values, on memory or on sources that differ: verify it on the nameplate or in the code; the calculations say which.`, { size: 8.5 });
  flow.space(6);
  if (report.schedule.length > 0) flow.table(SCHEDULE_COLUMNS.map(({ column }) => column), report.schedule.map((row) => SCHEDULE_COLUMNS.map(({ cell }) => cell(row))), 6.8);
  if (report.unplaced.length > 0) flow.text(`Not placed on any sheet, so not checked: ${report.unplaced.join('; ')}.`, { size: 8.5, bold: true });
  if (report.exceptions.length > 0) {
    flow.space(6); flow.heading('Exceptions on record', 11);
    flow.table([{ head: 'Disconnect', width: 60 }, { head: 'Load', width: 60 }, { head: 'Condition, reason, document, person and date', width: 400 }],
      report.exceptions.map((e) => [{ text: e.device, bold: true }, { text: e.load }, { text: e.words }]), 7.5);
  }
  return flow.finish();
}

/** Stands behind a figure that is to be verified. */
const TO_VERIFY = '†';
/** A text of a row with its sign, and with the words around it. */
const mark = (row: ScheduleRow, column: ScheduleColumn, write: (text: string) => string = (t) => t): string => (row[column] === '' ? '' : `${write(row[column])}${row.doubts[column] === undefined ? '' : TO_VERIFY}`);
const join = (...texts: readonly string[]): string => texts.filter((t) => t !== '').join('\n');
const SCHEDULE_COLUMNS: readonly { readonly column: Column; readonly cell: (row: ScheduleRow) => Cell }[] = [
  { column: { head: 'Disconnect', width: 62 }, cell: (r) => ({ text: `${r.tag}\n${r.verdict}`, bold: true, status: r.verdict }) },
  { column: { head: 'Isolates; sheet', width: 82 }, cell: (r) => ({ text: join(r.serves, r.sheet) }) },
  { column: { head: 'Kind', width: 64 }, cell: (r) => ({ text: r.kind }) },
  { column: { head: 'Needs A', width: 30 }, cell: (r) => ({ text: r.needsAmperes }) },
  { column: { head: 'Rating A; V; hp; poles', width: 58 }, cell: (r) => ({ text: join(mark(r, 'amperes', (t) => `${t} A`), mark(r, 'volts', (t) => `${t} V`), r.horsepower === '' ? '' : `${r.horsepower} hp`, mark(r, 'poles', (t) => `${t}-pole`)) }) },
  { column: { head: 'Fuse', width: 48 }, cell: (r) => ({ text: mark(r, 'fuse') }) },
  { column: { head: 'Encl. type', width: 40 }, cell: (r) => ({ text: mark(r, 'enclosure') }) },
  { column: { head: 'Conductor; ground; raceway', width: 94 }, cell: (r) => ({ text: join(mark(r, 'conductor'), mark(r, 'equipmentGround', (t) => `ground ${t}`), mark(r, 'raceway')) }) },
  { column: { head: 'Lugs', width: 60 }, cell: (r) => ({ text: mark(r, 'lugs') }) },
  { column: { head: 'Fault A; rating A', width: 50 }, cell: (r) => ({ text: join(mark(r, 'faultCurrent'), mark(r, 'shortCircuitRating')) }) },
  { column: { head: 'Drop %', width: 26 }, cell: (r) => ({ text: mark(r, 'voltageDrop') }) },
  { column: { head: 'Within sight', width: 62 }, cell: (r) => ({ text: join(r.sightVerdict, r.sight === '' ? '' : `farthest ${r.sight}`, r.handleRoom === '' ? '' : `may move ${r.handleRoom}`), status: r.sightVerdict }) },
  { column: { head: 'Ratings', width: 58 }, cell: (r) => ({ text: r.sizingVerdict, status: r.sizingVerdict }) },
  { column: { head: 'Handle; fed from', width: 46 }, cell: (r) => ({ text: join(r.handle, r.fedFrom) }) },
];
/** Heads of all columns, for the tables that hold every one. */
export const scheduleHeads = (): readonly ScheduleColumn[] => Object.keys(SCHEDULE_HEADS) as ScheduleColumn[];

const FINDING_HEADS: Readonly<Record<Exclude<Verdict, 'pass'>, string>> = {
  fail: 'Fail: to be mended', incomplete: 'Incomplete: data is missing', judgement: 'Judgement: the authority having jurisdiction decides', marginal: 'Marginal: within the uncertainty of the limit, measure on site',
};

/** All findings that are no plain pass, worst first, with what would mend each; then the cautions. */
export function findingPages(report: Report, measure: Measure): readonly ReportPage[] {
  const flow = new Flow(pageSizeOf(report), 'Findings', measure);
  flow.heading('Findings');
  flow.text(`${count(report.findings.length, 'finding', 'findings')} to settle: ${VERDICT_ORDER.filter((v) => v !== 'pass').map((v) => `${report.counts[v]} ${v}`).join(', ')}. ${count(report.counts.pass, 'check', 'checks')} passed; the calculations list every one.`, { size: 8.5 });
  flow.space(6);
  for (const verdict of VERDICT_ORDER) {
    if (verdict === 'pass') continue;
    const found = report.findings.filter((f) => f.result.verdict === verdict);
    if (found.length === 0) continue;
    flow.need(70);
    flow.text(FINDING_HEADS[verdict], { size: 10.5, bold: true, status: verdict });
    flow.space(3);
    flow.table(FINDING_COLUMNS, found.map(findingCells), 7.2);
  }
  if (report.findings.length === 0) flow.text('Every check that was made passed.', { size: 9, bold: true });
  planChangeText(flow, report);
  flow.space(4);
  flow.need(14 + report.cautions.length * 26);
  cautionText(flow, report);
  return flow.finish();
}

const FINDING_COLUMNS: readonly Column[] = [{ head: 'No.', width: 22, align: 'right' }, { head: 'Concerns', width: 78 }, { head: 'Finding', width: 210 }, { head: 'What would mend it', width: 190 }, { head: 'Rule (edition)', width: 150 }];

function findingCells({ number, about, sheet, result, note }: ReportFinding): readonly Cell[] {
  const asked = result.missing.length > 0 ? `Missing: ${result.missing.join(', ')}.` : '';
  return [{ text: String(number) }, { text: join(about, sheet), bold: true }, { text: result.title }, { text: join(...result.remedies, asked, note === '' ? '' : `For information: ${note}.`) }, { text: citationWords(result) }];
}

/** What became of the findings with a new plan under the marks. */
function planChangeText(flow: Flow, report: Report): void {
  if (report.planChanges.length === 0) return;
  flow.space(4); flow.need(70);
  flow.heading('What new plans changed', 11);
  for (const change of report.planChanges) {
    flow.text(planChangeHead(change), { size: 8.5, bold: true });
    if (change.findings !== null && change.findings.length > 0) {
      flow.space(3);
      flow.table(CHANGE_COLUMNS, change.findings.map((f) => [{ text: f.change, bold: true }, { text: f.about }, { text: f.title }, { text: f.note === '' ? f.verdict : f.note, status: f.verdict }]), 7.2);
    }
    flow.text(planChangeTail(change), { size: 8.5 });
    flow.space(5);
  }
}

const CHANGE_COLUMNS: readonly Column[] = [{ head: 'Finding', width: 60 }, { head: 'Concerns', width: 90 }, { head: 'What it says', width: 330 }, { head: 'Verdict', width: 130 }];

export function cautionText(flow: Flow, report: Report): void {
  flow.heading('Cautions', 11);
  report.cautions.forEach((c, i) => { flow.text(`${i + 1}. ${c}`, { size: 8.5 }); flow.space(1.5); });
}

/** Head and foot of every page that follows the sheets: what it belongs to, its number, and the shortest caution. */
export function finishPages(report: Report, pages: readonly ReportPage[], first: number, total: number, measure: Measure): readonly ReportPage[] {
  return pages.map((page, i) => {
    const left = 40; const right = page.width - 40; const foot = page.height - 34;
    // A long name is set smaller before it would run into the section's.
    const fitted = (text: string, size: number, bold: boolean): number => Math.min(size, (size * (right - left) * 0.62) / Math.max(1, measure(text, size, bold)));
    const issue = [report.site, `revision ${report.revision}`, `issued ${report.date}`].filter((w) => w !== '').join('; ');
    return { ...page, marks: [
      words(left, 32, report.project, fitted(report.project, 10, true), { align: 'left' }), words(left, 45, issue, fitted(issue, 7.5, false), { align: 'left', weight: 'regular' }),
      words(right, 32, page.section, 10, { align: 'right' }), words(right, 45, report.edition, 7.5, { align: 'right', weight: 'regular' }), path([move(left, 53), line(right, 53)], { width: 0.9 }),
      ...page.marks,
      path([move(left, foot), line(right, foot)], { stroke: 'muted', width: 0.5 }),
      words(left, foot + 11, 'Qualified persons only. The adopted code and the authority having jurisdiction decide. Isolate, lock, tag and verify absence of voltage before work.', 7, { align: 'left', weight: 'regular' }),
      words(right, foot + 11, `Page ${first + i} of ${total}`, 7.5, { align: 'right' }),
    ] };
  });
}
