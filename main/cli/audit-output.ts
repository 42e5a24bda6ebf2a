import type { Audit } from '../../shared-core/audit/index';
import { VERDICT_ORDER, worstVerdict } from '../../shared-core/code-data/index';
import { createChecker, sayMargins } from '../../shared-core/checks/index';
import type { SaidMargin } from '../../shared-core/checks/index';
import type { Citation, Result, Subject } from '../../shared-core/code-data/index';
import { entitiesOf } from '../../shared-core/document/index';
import type { Document } from '../../shared-core/document/index';
import { CAUTIONS, planChangeHead, planChanges, planChangeTail } from '../../shared-core/report/index';
import type { PlanChange } from '../../shared-core/report/index';

const tagOf = (document: Document, id: string | undefined): string | undefined => {
  const entity = id === undefined ? undefined : document.entities[id];
  return entity && 'tag' in entity ? entity.tag : undefined;
};
const sheetOf = (document: Document, subject: Subject): string | undefined => document.sheets.find((sheet) => sheet.id === subject.sheet)?.name;

/** What can be said about the handle beside each sight result. */
function handlesOf(document: Document): ReadonlyMap<string, SaidMargin> {
  const checker = createChecker(document);
  return new Map(entitiesOf(document, 'disconnect').flatMap((device) => {
    // For information only: a device whose margin cannot be found has none.
    try { return sayMargins(checker, device); } catch { return []; }
  }).map((said) => [said.result, said]));
}

/** Every finding worst first, the passed ones as a number only, then counts and cautions. */
export function auditText(file: string, document: Document, audit: Audit): string {
  const { facts } = document;
  const lines = [`${facts.name}, revision ${facts.revision} (${file}); edition ${facts.edition}, jurisdiction ${facts.jurisdiction}`, ''];
  const handles = handlesOf(document);
  for (const result of audit.results) if (result.verdict !== 'pass') lines.push(...findingLines(document, result, handles.get(result.id)), '');
  for (const change of planChanges(document, audit.results, document.sheets)) lines.push(...planChangeLines(change), '');
  const counts = VERDICT_ORDER.map((verdict) => `${audit.counts[verdict]} ${verdict}`).join(', ');
  lines.push(`${audit.results.length} checks: ${counts}`);
  if (audit.results.length === 0) lines.push('incomplete: the project holds nothing that could be checked');
  lines.push('', ...CAUTIONS.map((caution) => `! ${caution}`));
  return `${lines.join('\n')}\n`;
}

const planChangeLines = (change: PlanChange): string[] => [
  planChangeHead(change),
  ...(change.findings ?? []).map(({ change: what, verdict, title, note }) => `  ${what.padEnd(9)}${verdict.padEnd(11)}${title}${note === '' ? '' : ` (${note})`}`),
  planChangeTail(change),
];

function findingLines(document: Document, result: Result, handle: SaidMargin | undefined): string[] {
  const place = sheetOf(document, result.subject);
  const lines = [`${result.verdict.padEnd(10)} ${result.title}${place === undefined ? '' : ` [${place}]`}`];
  const cited = new Set(result.citations.map(citationText));
  if (cited.size > 0) lines.push(`           rule: ${[...cited].join('; ')}`);
  // Room to spare beside a finding would read as if it passed: a blocked line may well be short.
  if (result.margin && (result.margin.value < 0 || result.verdict === 'marginal')) lines.push(`           margin: ${result.margin.value.toFixed(2)} ${result.margin.unit}`);
  if (result.missing.length > 0) lines.push(`           missing: ${result.missing.join('; ')}`);
  if (result.remedies.length > 0) lines.push(`           to do: ${result.remedies.join(' ')}`);
  if (handle) lines.push(`           sight: ${handle.room}; ${handle.seen}`);
  return lines;
}

/** An unconfirmed source is marked wherever it shows. */
function citationText({ text, edition, confidence }: Citation): string {
  const notes = [edition, confidence === 'confirmed' ? '' : confidence].filter((note) => note !== '');
  return notes.length > 0 ? `${text} (${notes.join(', ')})` : text;
}

/** The whole audit for other programs: every result with its derivation, tags beside ids, verdict words as everywhere. */
export function auditJson(file: string, document: Document, audit: Audit, version: string): string {
  const { facts } = document;
  const handles = handlesOf(document);
  const handleOf = ({ id }: Result) => { const said = handles.get(id); return said ? { handle: { margin: said.margin.margin, unit: 'ft', improves: said.margin.improves, seen: said.margin.seen, room: said.room, view: said.seen } } : {}; };
  const devices = Object.fromEntries(Object.entries(audit.deviceVerdicts).map(([id, verdict]) => [tagOf(document, id) ?? id, verdict]));
  return `${JSON.stringify({
    program: 'lockstead', version, file, project: facts.name, revision: facts.revision, edition: facts.edition, jurisdiction: facts.jurisdiction,
    verdict: worstVerdict(audit.results.map((result) => result.verdict)), counts: audit.counts, devices,
    findings: audit.results.map((result) => ({
      ...result, disconnect: tagOf(document, result.subject.disconnect), load: tagOf(document, result.subject.load), sheet: sheetOf(document, result.subject), ...handleOf(result),
    })),
    planChanges: planChanges(document, audit.results, document.sheets),
    cautions: CAUTIONS,
  }, null, 2)}\n`;
}
