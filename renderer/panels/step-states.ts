import { VERDICT_ORDER } from '../../shared-core/code-data/index';
import type { Result } from '../../shared-core/code-data/index';
import { entitiesOf, knownChanges } from '../../shared-core/document/index';
import type { Document, Entity, Id, Load, Scale } from '../../shared-core/document/index';
import type { Audit } from '../../shared-core/audit/index';
import type { State, StepId } from '../state/store';
import { words } from '../text/index';

/** One step of the rail: its state in words and numbers, whether it asks for something, and what it lacks. */
export interface StepState {
  readonly id: StepId;
  readonly state: string;
  readonly asks: boolean;
  readonly lacks: readonly string[];
}

type Seen = Pick<State, 'document' | 'audit' | 'sheet' | 'revision' | 'savedRevision'>;

export const scaleWords = (scale: Scale): string => {
  const about = words.steps.uncertainty(scale.relativeUncertainty);
  return scale.from.kind === 'stated' ? `${scale.from.typed} ${about}` : `${words.steps.picked(scale.from.picks.length)} ${about}`;
};

/** Loads no disconnect serves. */
export function unservedLoads(document: Document): Load[] {
  const served = new Set(entitiesOf(document, 'disconnect').flatMap((d) => d.serves));
  return entitiesOf(document, 'load').filter((load) => !served.has(load.id));
}

/** A load takes its voltage from its nameplate or from the system it hangs on. */
const hasVoltage = (load: Load): boolean => load.data.voltage !== undefined || load.data.system !== undefined;

export interface OpenCounts { readonly mend: number; readonly decide: number; readonly supply: number; readonly measure: number }

export function countOpen(results: readonly Result[]): OpenCounts {
  const count = (verdict: Result['verdict']): number => results.reduce((n, r) => (r.verdict === verdict ? n + 1 : n), 0);
  return { mend: count('fail'), decide: count('judgement'), supply: count('incomplete'), measure: count('marginal') };
}

const openWords = (open: OpenCounts): string[] => [
  ...(open.mend > 0 ? [words.steps.toMend(open.mend)] : []), ...(open.decide > 0 ? [words.steps.toDecide(open.decide)] : []),
  ...(open.supply > 0 ? [words.steps.toSupply(open.supply)] : []), ...(open.measure > 0 ? [words.steps.toMeasure(open.measure)] : []),
];

let counted: { readonly document: Document; readonly openings: number } | null = null;
const openingsOf = (entity: Entity | undefined): number => (entity?.kind === 'wall' ? entity.openings.length : 0);

/** Openings in all walls, told from the count before by what an edit changed. */
function openingsIn(document: Document): number {
  const before = counted;
  const changed = before && knownChanges(before.document, document);
  const openings = before && changed
    ? changed.reduce((n, id) => n + openingsOf(document.entities[id]) - openingsOf(before.document.entities[id]), before.openings)
    : entitiesOf(document, 'wall').reduce((n, wall) => n + wall.openings.length, 0);
  counted = { document, openings };
  return openings;
}

/** The seven steps of the work as the rail shows them. Nothing here computes a check: it counts what the document and the audit hold. */
export function stepStates(seen: Seen): StepState[] {
  const { document, audit } = seen;
  const sheet = document.sheets.find((s) => s.id === seen.sheet) ?? document.sheets[0];
  const place = sheet ? document.sheets.indexOf(sheet) + 1 : 0;
  const owed = document.sheets.reduce((n, s) => n + (s.toLookOver ?? []).filter((id) => Object.hasOwn(document.entities, id)).length, 0);
  const unscaled = document.sheets.filter((s) => s.scale === null);
  const walls = entitiesOf(document, 'wall');
  const openings = openingsIn(document);
  const loads = entitiesOf(document, 'load');
  const waiting = loads.filter((load) => load.at === null);
  const noVoltage = loads.filter((load) => !hasVoltage(load));
  const disconnects = entitiesOf(document, 'disconnect');
  const unserved = unservedLoads(document);
  const open = audit ? countOpen(audit.audit.results) : null;
  const t = words.steps;
  const lacks = (...items: (string | false)[]): string[] => items.filter((item): item is string => item !== false);
  return [
    { id: 'plan', asks: !sheet || owed > 0, state: !sheet ? t.noPlan : owed > 0 ? t.toLookOver(owed) : t.sheetOf(sheet.name, place, document.sheets.length), lacks: lacks(!sheet && t.lacksPlan, owed > 0 && t.lacksLook(owed)) },
    { id: 'scale', asks: unscaled.length > 0 || !sheet, state: !sheet ? t.noSheet : sheet.scale ? scaleWords(sheet.scale) : t.noScale,
      lacks: lacks(unscaled.length > 0 && t.lacksScale(unscaled.map((s) => s.name))) },
    { id: 'space', asks: false, state: walls.length === 0 ? t.noWalls : t.walls(walls.length, openings), lacks: lacks(walls.length === 0 && t.lacksWalls) },
    { id: 'loads', asks: waiting.length > 0 || noVoltage.length > 0, state: waiting.length > 0 ? t.loadsWaiting(loads.length, waiting.length) : t.loads(loads.length),
      lacks: lacks(loads.length === 0 && t.lacksLoads, waiting.length > 0 && t.lacksPlace(waiting.length), noVoltage.length > 0 && t.lacksVoltage(noVoltage.map((l) => l.tag))) },
    { id: 'disconnects', asks: unserved.length > 0, state: unserved.length > 0 ? t.disconnectsUnserved(disconnects.length, unserved.length) : t.disconnects(disconnects.length),
      lacks: lacks(unserved.length > 0 && t.lacksDisconnect(unserved.map((l) => l.tag))) },
    { id: 'findings', asks: open !== null && open.mend + open.decide + open.supply + open.measure > 0, lacks: [],
      state: !open || !audit ? t.notChecked : openWords(open).slice(0, 2).join(', ') || t.nothingOpen(audit.audit.counts.pass) },
    { id: 'hand-over', asks: false, lacks: [], state: t.handOver(document.facts.revision, open ? open.mend + open.supply : null) },
  ];
}

/** Findings worst first; what passed comes last. The audit's own order holds within a verdict. */
export function worstFirst(results: readonly Result[]): Result[] {
  return [...results].sort((a, b) => VERDICT_ORDER.indexOf(a.verdict) - VERDICT_ORDER.indexOf(b.verdict));
}

/** Everything a result is about, for the canvas to show and the list to choose. */
export function subjectIds(result: Pick<Result, 'subject'>, document: Document): Id[] {
  const { disconnect, load, others = [] } = result.subject;
  return [disconnect, load, ...others].filter((id): id is Id => id !== undefined && Object.hasOwn(document.entities, id));
}

/** All results that concern one entity, worst first. */
export function resultsAbout(audit: Audit, id: Id): Result[] {
  return worstFirst(audit.results.filter((r) => r.subject.disconnect === id || r.subject.load === id));
}
