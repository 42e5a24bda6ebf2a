import { VERDICT_ORDER, worstVerdict } from '../../shared-core/code-data/index';
import type { Verdict } from '../../shared-core/code-data/index';
import type { LineReport, Meeting, PairReport } from '../../shared-core/checks/index';
import { entitiesOf } from '../../shared-core/document/index';
import type { Document, Id, Point } from '../../shared-core/document/index';
import type { LineState } from '../../shared-core/report/index';
import { feet, showDistanceAgainst, showLength } from '../../shared-core/units/index';
import { nameOf } from '../tools/naming';
import { distanceOf, pointAt } from '../tools/plan-geometry';
import { staleBetween } from './still-true';

/** One pair as it is drawn, sheet units. */
export interface ShownPair {
  readonly key: string;
  readonly disconnect: Id;
  readonly load: Id;
  readonly verdict: Verdict;
  readonly from: Point;
  readonly to: Point;
  readonly state: LineState;
  readonly blockedAt: Point | null;
  /** What stands there, to be outlined. */
  readonly blocker: Id | null;
  readonly limitShare: number | null;
  readonly text: string;
  /** The line itself would not do, but the finding passes all the same: drawn so that nobody takes the line for a clear one. */
  readonly settledBy: 'exception' | 'another disconnect' | null;
}

/** A link whose verdict for the document shown is not known (yet). */
export interface Unproved { readonly disconnect: Id; readonly from: Point; readonly to: Point }

export interface ShownSight {
  readonly pairs: readonly ShownPair[];
  readonly unproved: readonly Unproved[];
  /** Device verdicts that hold for the document shown. */
  readonly verdicts: ReadonlyMap<Id, Verdict>;
}

export const NO_SIGHT: ShownSight = { pairs: [], unproved: [], verdicts: new Map() };

interface Audited { readonly pairs: readonly PairReport[]; readonly deviceVerdicts: Readonly<Record<Id, Verdict>> }
export interface SightSource {
  /** The document that is shown. */
  readonly document: Document;
  readonly sheet: Id;
  readonly audit: { readonly audit: Audited; readonly of: Document | null } | null;
  readonly live: { readonly of: Document; readonly disconnects: readonly Id[]; readonly pairs: readonly PairReport[] } | null;
}

/**
 * What may be shown as true of one document: live pairs computed for exactly it, audited pairs that no later edit can
 * have changed, and for everything else only that a link is there.
 */
export function shownSight({ document, sheet, audit, live }: SightSource): ShownSight {
  const now = live?.of === document ? live : null;
  const isLive = new Set(now?.disconnects ?? []);
  const stale = audit?.of ? staleBetween(audit.of, document) : { all: true, disconnects: new Set<Id>() };
  const holds = (id: Id): boolean => !stale.all && !stale.disconnects.has(id);
  const reports = [...(now?.pairs ?? []), ...(audit?.audit.pairs ?? []).filter((p) => holds(p.disconnect) && !isLive.has(p.disconnect))];
  const pairs: ShownPair[] = [];
  const proved = new Set<string>();
  for (const report of reports) {
    const disconnect = document.entities[report.disconnect];
    if (disconnect?.kind !== 'disconnect' || disconnect.sheet !== sheet) continue;
    const shown = showPair(report, document);
    if (!shown) continue;
    proved.add(`${report.disconnect} ${report.load}`);
    pairs.push(shown);
  }
  const verdicts = new Map<Id, Verdict>();
  if (audit && !stale.all) for (const [id, verdict] of Object.entries(audit.audit.deviceVerdicts)) if (holds(id)) verdicts.set(id, verdict);
  return { pairs: withoutDoubles(pairs), unproved: unprovedLinks(document, sheet, proved), verdicts };
}

/**
 * The part of the picture that a drag changes: live pairs where they hold for exactly the preview, and for every other
 * concerned disconnect only that a link is there.
 */
export function movingSight(preview: Document, sheet: Id, concerned: Iterable<Id>, live: SightSource['live']): ShownSight {
  const pairs: ShownPair[] = []; const proved = new Set<string>();
  for (const report of live?.of === preview ? live.pairs : []) {
    const shown = showPair(report, preview);
    if (!shown) continue;
    proved.add(`${report.disconnect} ${report.load}`);
    pairs.push(shown);
  }
  return { pairs: withoutDoubles(pairs), unproved: unprovedLinks(preview, sheet, proved, concerned), verdicts: new Map() };
}

function unprovedLinks(document: Document, sheet: Id, proved: ReadonlySet<string>, ids: Iterable<Id> = entitiesOf(document, 'disconnect').map((d) => d.id)): Unproved[] {
  const links: Unproved[] = [];
  for (const id of ids) {
    const d = document.entities[id];
    if (d?.kind !== 'disconnect' || d.sheet !== sheet) continue;
    for (const served of d.serves) {
      const load = document.entities[served];
      if (load?.kind !== 'load' || !load.at || load.sheet !== sheet || proved.has(`${id} ${served}`) || distanceOf(d.at, load.at) === 0) continue;
      links.push({ disconnect: id, from: d.at, to: load.at });
    }
  }
  return links;
}

/** The line that tells the worse story: blocked before doubtful before clear, the eye line first. */
function tellingLine(pair: PairReport): LineReport | null {
  const rank = (line: LineReport | null): number => (line === null ? -1 : ['clear', 'doubtful', 'blocked'].indexOf(line.state));
  return rank(pair.bodyLine) > rank(pair.eyeLine) ? pair.bodyLine : pair.eyeLine;
}

export function showPair(pair: PairReport, document: Document): ShownPair | null {
  const line = tellingLine(pair);
  if (!line) return null;
  const from = pointAt(line.handle.x, line.handle.y); const to = pointAt(line.target.x, line.target.y);
  if (distanceOf(from, to) === 0) return null;
  const met = line.state === 'blocked' ? line.meets.find((m) => m.transmission === 'opaque') ?? line.meets[0] : line.state === 'doubtful' ? line.meets.find((m) => m.transmission !== 'mesh') : undefined;
  const isFar = pair.distance !== null && pair.distance > pair.limit;
  return {
    key: `${pair.disconnect} ${pair.load} ${pair.target}`, disconnect: pair.disconnect, load: pair.load, verdict: pair.verdict, from, to, state: line.state,
    blockedAt: line.state === 'blocked' && met ? pointAt(met.at.x, met.at.y) : null, blocker: line.state === 'clear' ? null : met?.entity ?? null,
    limitShare: isFar && pair.distance !== null ? pair.limit / pair.distance : null, text: pairText(pair, line, met, document), settledBy: settledBy(pair, document),
  };
}

/** What stands on a line. */
export const labelText = (pair: ShownPair): string =>
  (pair.settledBy === 'exception' ? `${pair.text}, exception on record` : pair.settledBy ? `${pair.text}, not needed` : pair.text);

/** Why a pair passes whose own line does not. */
function settledBy(pair: PairReport, document: Document): ShownPair['settledBy'] {
  const own = worstVerdict([pair.viewVerdict, pair.distanceVerdict]);
  if (VERDICT_ORDER.indexOf(pair.verdict) <= VERDICT_ORDER.indexOf(own)) return null;
  return exceptionsOf(document).has(`${pair.disconnect} ${pair.load}`) ? 'exception' : 'another disconnect';
}

let lastExceptions: { readonly of: Document['entities']; readonly pairs: ReadonlySet<string> } | null = null;

/** Pairs with an exception on record; looked for once per document. */
function exceptionsOf(document: Document): ReadonlySet<string> {
  if (lastExceptions?.of !== document.entities) lastExceptions = { of: document.entities, pairs: new Set(entitiesOf(document, 'exception').map((e) => `${e.disconnect} ${e.load}`)) };
  return lastExceptions.pairs;
}

const THROUGH = { glazed: 'glass', leaf: 'a door that may be shut', mesh: 'mesh', opaque: 'something' } as const;

/** The distance with its trouble in a few words: 24'-3"; 43'-10" behind T-2; 17'-5" through glass; 51'-3", 1'-3" too far. */
function pairText(pair: PairReport, line: LineReport, met: Meeting | undefined, document: Document): string {
  const { units } = document.facts;
  if (pair.distance === null) return '';
  const distance = showDistanceAgainst(pair.distance, pair.limit, units);
  const blocker = met && line.state === 'blocked' ? document.entities[met.entity] : undefined;
  const behind = line.state === 'blocked' ? ` behind ${blocker ? nameOf(blocker) : 'something'}` : line.state === 'doubtful' && met ? ` through ${THROUGH[met.transmission]}` : '';
  if (pair.distance > pair.limit) return `${distance}${behind}, ${excess(pair.distance - pair.limit, units)} too far`;
  if (behind) return `${distance}${behind}`;
  return pair.verdict === 'marginal' ? `${distance} ± ${showLength(pair.uncertainty, units, { finest: 1 })}` : distance;
}

function excess(over: number, units: 'US' | 'metric'): string {
  const rough = showLength(feet(over), units, { finest: 1 });
  return /[1-9]/.test(rough) ? rough : showLength(feet(over), units);
}

/** Two targets at one place, such as a motor on its machine, are one line: the worse. */
function withoutDoubles(pairs: readonly ShownPair[]): ShownPair[] {
  const kept = new Map<string, ShownPair>();
  const rank = (pair: ShownPair): number => VERDICT_ORDER.indexOf(pair.verdict);
  for (const pair of pairs) {
    const place = `${pair.disconnect} ${pair.to.x.toFixed(3)} ${pair.to.y.toFixed(3)}`;
    const other = kept.get(place);
    if (!other || rank(pair) < rank(other)) kept.set(place, pair);
  }
  return [...kept.values()];
}
