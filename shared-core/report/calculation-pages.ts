import type { Input, Quantity, Result, Step } from '../code-data/index';
import { feet, showLength } from '../units/index';
import { cautionText, citationWords, pageSizeOf } from './pages';
import { Flow } from './flow';
import type { Cell, Column, ReportPage } from './flow';
import type { Report } from './report';
import { CONFIDENCE_WORDS, nameOfEntity } from './report-words';
import type { Measure } from './sheet-drawing';

/** A figure as it is printed: six significant digits are finer than any rating, and 0.1 + 0.2 prints as 0.3. */
export function figure(value: number | string | boolean): string {
  if (typeof value === 'boolean') return value ? 'yes' : 'no';
  return typeof value === 'number' ? String(Number(value.toPrecision(6))) : value;
}
const withUnit = (value: number | string | boolean, unit: string): string => (unit === '' ? figure(value) : `${figure(value)} ${unit}`);

const ORIGIN_WORDS: Readonly<Record<Input['from'], string>> = {
  typed: 'typed', nameplate: 'nameplate', table: 'table', plan: 'plan', default: 'default', computed: 'computed', override: 'local amendment',
};

const COLUMNS: readonly Column[] = [
  { head: 'Quantity', width: 120 }, { head: 'Formula or table', width: 135 }, { head: 'From', width: 250 }, { head: 'Value', width: 62 }, { head: 'Source (edition), trust', width: 145 },
];

/** Every check of every device with its steps, inputs and sources: what an inspector works through again by hand. */
export function calculationPages(report: Report, measure: Measure): readonly ReportPage[] {
  const flow = new Flow(pageSizeOf(report), 'Calculations', measure);
  flow.heading('Calculations');
  flow.text('Each check with its steps. A value comes from its formula and the inputs beside it, or from the table named; the trust in a value that is not confirmed is stated with its source. Steps that several checks of one device rest on are printed once and named after that.', { size: 8.5 });
  for (const d of report.derivations) {
    flow.space(8);
    flow.need(70);
    flow.rule('ink', 1.1); flow.space(4);
    flow.heading(d.words === '' ? `${d.tag}, isolates nothing yet` : `${d.tag}, isolates ${d.words}`, 12);
    const printed = new Set<string>();
    for (const result of d.results) resultBlock(flow, report, result, printed);
  }
  const general = report.audit.results.filter((r) => r.subject.disconnect === undefined && report.findings.some((f) => f.result === r));
  if (general.length > 0) {
    flow.space(8); flow.need(70); flow.rule('ink', 1.1); flow.space(4); flow.heading('Not tied to one disconnect', 12);
    for (const result of general) resultBlock(flow, report, result, new Set());
  }
  flow.space(6); flow.need(14 + report.cautions.length * 26); cautionText(flow, report);
  return flow.finish();
}

/** @param printed steps of this device that stand above already: several checks rest on the same ones */
function resultBlock(flow: Flow, report: Report, result: Result, printed: Set<string>): void {
  flow.need(40);
  flow.space(3);
  // Steps keep decimal feet, which recompute; the heading says a length as a drawing does.
  const marginWords = (m: Quantity): string => (m.unit === 'ft' ? showLength(feet(m.value), report.units) : withUnit(m.value, m.unit));
  const margin = result.margin === undefined ? '' : `; margin ${marginWords(result.margin)}`;
  flow.text(`${result.verdict}: ${result.title}${margin}`, { size: 8.5, bold: true, status: result.verdict });
  if (result.missing.length > 0) flow.text(`Missing: ${result.missing.join(', ')}.`, { size: 7.5, indent: 12 });
  if (result.verdict !== 'pass') for (const remedy of result.remedies) flow.text(remedy, { size: 7.5, indent: 12 });
  const inSteps = new Set(result.steps.map((s) => s.citation?.text));
  const cited = citationWords({ ...result, citations: result.citations.filter((c) => !inSteps.has(c.text)) });
  if (cited !== '') flow.text(`Rule: ${cited.replaceAll('\n', ';  ')}`, { size: 6.8, indent: 12 });
  const above = result.steps.filter((s) => printed.has(JSON.stringify(s)));
  const fresh = result.steps.filter((s) => !printed.has(JSON.stringify(s)));
  if (above.length > 0) flow.text(`From above: ${above.map((s) => `${s.quantity} ${withUnit(s.value, s.unit)}`).join('; ')}.`, { size: 6.8, indent: 12 });
  flow.space(1);
  if (fresh.length > 0) flow.table(COLUMNS, fresh.map((s) => stepCells(report, s)), 6.4, 1.6);
  for (const s of fresh) printed.add(JSON.stringify(s));
}

/** A source that is an entity's id is printed by its name. */
const sourceWords = (report: Report, source: string): string => (Object.hasOwn(report.document.entities, source) ? nameOfEntity(report.document, source) : source);

/** Where an input came from: a table or a formula names itself, everything else says its kind too ('nameplate, M-101'). */
const originWords = (report: Report, { from, source }: Input): string[] =>
  source === undefined ? [ORIGIN_WORDS[from]] : from === 'table' || from === 'computed' ? [sourceWords(report, source)] : [ORIGIN_WORDS[from], sourceWords(report, source)];

function stepCells(report: Report, step: Step): readonly Cell[] {
  const inputs = step.inputs.map((i) => `${i.name} = ${withUnit(i.value, i.unit)} (${[...originWords(report, i), i.confidence ? CONFIDENCE_WORDS[i.confidence] : ''].filter((w) => w !== '').join(', ')})`).join('; ');
  const trust = CONFIDENCE_WORDS[step.confidence];
  const source = step.citation ? `${step.citation.text}${step.citation.edition === '' ? '' : ` (${step.citation.edition})`}` : '';
  return [{ text: step.quantity }, { text: [step.formula, step.rounding === undefined ? '' : `rounded ${step.rounding}`].filter((w) => w !== '').join('; ') }, { text: inputs }, { text: withUnit(step.value, step.unit), bold: true }, { text: [source, step.citation?.note ?? '', trust].filter((w) => w !== '').join('; ') }];
}
