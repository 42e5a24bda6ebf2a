import type { Audit } from '../audit/index';
import { createChecker, sayMargins } from '../checks/index';
import type { Checker, PairReport, SaidMargin } from '../checks/index';
import type { Result, Verdict } from '../code-data/index';
import { entitiesOf, layOf, sheetUnitsPerPaperInch } from '../document/index';
import type { Disconnect, Document, Entity, Id, PlanRef, Point, Sheet } from '../document/index';
import { CAUTIONS } from './cautions';
import { planChanges } from './plan-changes';
import type { PlanChange } from './plan-changes';
import { labelOfLine, nameOfEntity, paperScaleWords } from './report-words';
import type { At, LineState } from './lines';
import { disconnectSymbolName, loadLetter, loadSymbolName, supplySymbolName } from './symbols';
import type { SymbolName } from './symbols';
import { buildSchedule } from './schedule';
import type { ScheduleRow } from './schedule';

export interface ReportSymbol {
  readonly id: Id; readonly symbol: SymbolName; readonly letter: string; readonly at: At; readonly tag: string;
  /** Second line of its label. */
  readonly words: string;
  /** Degrees, 0 = right, clockwise; only for what has a front. */
  readonly facing?: number;
  readonly verdict?: Verdict;
}
export interface ReportLine {
  readonly id: string; readonly disconnect: Id; readonly from: At; readonly to: At; readonly state: LineState; readonly verdict: Verdict;
  readonly blockedAt?: At; readonly limitShare?: number; readonly label: string;
}
export interface ReportArea { readonly id: Id; readonly outline: readonly At[]; readonly words: string }

/** One sheet and everything that is drawn on it; positions in sheet units, y down. */
export interface ReportSheet {
  readonly id: Id; readonly name: string; readonly level: string; readonly plan: PlanRef | null;
  readonly width: number; readonly height: number;
  /** 0: the plan at full strength. */
  readonly fade: number;
  /** Paper points that one sheet unit becomes; false when the print size is not known and a common one was taken. */
  readonly pointsPerUnit: number; readonly paperKnown: boolean;
  readonly scale: { readonly feetPerUnit: number; readonly relativeUncertainty: number; readonly words: string; /** It holds in some views of the page only. */ readonly inPart?: true } | null;
  readonly symbols: readonly ReportSymbol[];
  readonly lines: readonly ReportLine[];
  /** What stands in a blocked line. */
  readonly blockers: readonly (readonly At[])[];
  readonly areas: readonly ReportArea[];
  /** Working spaces, as outlines on the floor. */
  readonly spaces: readonly (readonly At[])[];
  /** Walls as the person marked them: drawn only where there is no plan, else labels keep off them. */
  readonly walls: readonly { readonly points: readonly At[]; readonly thickness: number }[];
  readonly bodies: readonly { readonly outline: readonly At[] }[];
  readonly counts: Readonly<Record<Verdict, number>>;
}

/** `note` says how far the handle must or may move and what it sees, beside a finding of sight; else empty. */
export interface ReportFinding { readonly number: number; readonly result: Result; readonly sheet: string; readonly about: string; readonly note: string }
export interface Derivation { readonly tag: string; readonly words: string; readonly results: readonly Result[] }

/** Everything that is handed over, as plain data; what is written only lays it out. */
export interface Report {
  readonly project: string; readonly site: string; readonly revision: string; readonly edition: string;
  /** ISO date of issue, as it is printed. */
  readonly date: string;
  readonly units: Document['facts']['units'];
  readonly sheets: readonly ReportSheet[];
  readonly schedule: readonly ScheduleRow[];
  readonly unplaced: readonly string[];
  /** Whatever is not a plain pass, worst first; then how many passed. */
  readonly findings: readonly ReportFinding[];
  /** What the plans laid under the marks changed, one for each sheet with such a plan. */
  readonly planChanges: readonly PlanChange[];
  readonly counts: Readonly<Record<Verdict, number>>;
  readonly deviceCounts: Readonly<Record<Verdict, number>>;
  readonly exceptions: readonly { readonly device: string; readonly load: string; readonly words: string }[];
  readonly derivations: readonly Derivation[];
  readonly document: Document;
  readonly audit: Audit;
  readonly cautions: readonly string[];
}

export interface ReportOptions {
  /** ISO date that is printed on every page. */
  readonly date: string;
  /** Only these sheets; all when absent. */
  readonly sheets?: readonly Id[];
}

const POINTS_PER_INCH = 72;
/** Long side of a page whose print size is not known: 17 inches, a common sheet. */
const UNKNOWN_PAPER = 17 * POINTS_PER_INCH;

/**
 * Gathers the hand-over of a project from its document and audit; computes no verdict that the audit has not.
 * @throws RangeError when a sheet is asked for that the document does not have
 */
export function buildReport(document: Document, audit: Audit, options: ReportOptions): Report {
  for (const id of options.sheets ?? []) if (!document.sheets.some((s) => s.id === id)) throw new RangeError(`the project has no sheet ${id}`);
  const wanted = document.sheets.filter((s) => options.sheets === undefined || options.sheets.includes(s.id));
  const isWanted = (sheet: string | undefined): boolean => sheet === undefined || wanted.some((s) => s.id === sheet);
  const results = audit.results.filter((r) => isWanted(r.subject.sheet));
  const { facts } = document;
  const devices = entitiesOf(document, 'disconnect').filter((d) => isWanted(d.sheet));
  const checker = createChecker(document);
  const margins = new Map(devices.map((d) => [d.id, marginsOf(checker, d)]));
  const notes = new Map([...margins.values()].flat().map((m) => [m.result, `${m.room}; ${m.seen}`]));
  return {
    project: facts.name, site: facts.site, revision: facts.revision, date: options.date, units: facts.units,
    edition: facts.jurisdiction === 'CA' ? `CSA C22.1, jurisdiction Canada (${facts.edition} set)` : `NFPA 70, ${facts.edition} edition`,
    sheets: wanted.map((sheet) => sheetOf(document, audit, checker, sheet)),
    schedule: buildSchedule(document, audit, devices, margins),
    unplaced: entitiesOf(document, 'load').filter((l) => l.at === null && isWanted(l.sheet)).map((l) => `${l.tag} ${l.name}`.trim()),
    findings: results.filter((r) => r.verdict !== 'pass').map((result, i) => ({ number: i + 1, result, sheet: whereOf(document, result), about: aboutOf(document, result), note: notes.get(result.id) ?? '' })),
    planChanges: planChanges(document, results, wanted),
    counts: countOf(results.map((r) => r.verdict)),
    deviceCounts: countOf(devices.map((d) => audit.deviceVerdicts[d.id] ?? 'incomplete')),
    exceptions: entitiesOf(document, 'exception').filter((e) => isWanted(e.sheet)).map((e) => ({
      device: nameOfEntity(document, e.disconnect), load: nameOfEntity(document, e.load), words: `${e.condition}: ${e.reason} (${e.document}; ${e.person}, ${e.date})`,
    })),
    derivations: devices.map((d) => ({
      tag: d.tag, words: d.serves.map((id) => nameOfEntity(document, id)).join(', '),
      results: results.filter((r) => r.subject.disconnect === d.id),
    })),
    document, audit, cautions: CAUTIONS,
  };
}

/** Beside a finding, never instead of one: a device whose margin cannot be found has none. */
function marginsOf(checker: Checker, device: Disconnect): SaidMargin[] {
  try { return sayMargins(checker, device); } catch { return []; }
}

function countOf(verdicts: readonly Verdict[]): Record<Verdict, number> {
  const counts: Record<Verdict, number> = { pass: 0, marginal: 0, fail: 0, judgement: 0, incomplete: 0 };
  for (const verdict of verdicts) counts[verdict] += 1;
  return counts;
}

/** The sheet a finding is about, by name. A load in the tray belongs to a sheet but stands on none yet. */
function whereOf(document: Document, { subject }: Result): string {
  const load = subject.disconnect === undefined && subject.load !== undefined ? document.entities[subject.load] : undefined;
  if (load?.kind === 'load' && load.at === null) return 'not placed';
  return document.sheets.find((s) => s.id === subject.sheet)?.name ?? '';
}

function aboutOf(document: Document, result: Result): string {
  const { disconnect, load } = result.subject;
  return [disconnect, load].filter((id) => id !== undefined).map((id) => nameOfEntity(document, id)).join(' / ');
}

const at = (p: Point): At => [p.x, p.y];

function sheetOf(document: Document, audit: Audit, checker: Checker, sheet: Sheet): ReportSheet {
  const { plan, width, height } = sheet;
  const unitsPerInch = (plan ? sheetUnitsPerPaperInch(plan) : undefined) ?? (sheet.scale?.from.kind === 'stated' ? sheet.scale.from.unitsPerPaperInch : undefined);
  const pointsPerUnit = plan?.media === 'application/pdf' ? 1 / layOf(plan).scale : unitsPerInch === undefined ? UNKNOWN_PAPER / Math.max(width, height) : POINTS_PER_INCH / unitsPerInch;
  const paperKnown = plan?.media === 'application/pdf' || unitsPerInch !== undefined;
  const pairs = audit.pairs.filter((p) => document.entities[p.disconnect]?.sheet === sheet.id);
  const lines = pairs.flatMap((pair) => lineOf(document, pair));
  const devices = entitiesOf(document, 'disconnect', sheet.id);
  return {
    id: sheet.id, name: sheet.name, level: sheet.level.name, plan, width, height, fade: sheet.fade, pointsPerUnit, paperKnown,
    scale: sheet.scale ? {
      feetPerUnit: sheet.scale.feetPerUnit, relativeUncertainty: sheet.scale.relativeUncertainty, ...(sheet.scale.areas ? { inPart: true as const } : {}),
      words: paperScaleWords(sheet.scale, pointsPerUnit, paperKnown, document.facts.units),
    } : null,
    symbols: symbolsOf(document, audit, sheet.id), lines, blockers: blockersOf(document, pairs, sheet.id),
    areas: entitiesOf(document, 'area', sheet.id).map((a) => ({ id: a.id, outline: a.outline.map(at), words: a.label })),
    spaces: spacesOf(checker, devices, sheet),
    walls: entitiesOf(document, 'wall', sheet.id).map((w) => ({ points: w.points.map(at), thickness: sheet.scale ? w.thickness / sheet.scale.feetPerUnit : 0 })),
    bodies: [...entitiesOf(document, 'obstruction', sheet.id), ...entitiesOf(document, 'load', sheet.id), ...entitiesOf(document, 'machine', sheet.id)].flatMap((o) => (o.outline ? [{ outline: o.outline.map(at) }] : [])),
    counts: countOf(devices.map((d) => audit.deviceVerdicts[d.id] ?? 'incomplete')),
  };
}

function symbolsOf(document: Document, audit: Audit, sheet: Id): ReportSymbol[] {
  const found: ReportSymbol[] = [];
  for (const e of Object.values(document.entities)) {
    if (e.sheet !== sheet) continue;
    if (e.kind === 'disconnect') found.push({ id: e.id, symbol: disconnectSymbolName(e.data), letter: '', at: at(e.at), tag: e.tag, words: ratingWords(e), facing: e.facing, verdict: audit.deviceVerdicts[e.id] ?? 'incomplete' });
    else if (e.kind === 'load' && e.at) found.push({ id: e.id, symbol: loadSymbolName(e.data), letter: loadLetter(e.data), at: at(e.at), tag: e.tag, words: e.name });
    else if (e.kind === 'machine') found.push({ id: e.id, symbol: 'machine', letter: '', at: at(e.at), tag: e.tag, words: e.name });
    else if (e.kind === 'controller') found.push({ id: e.id, symbol: 'controller', letter: '', at: at(e.at), tag: e.tag, words: e.name });
    else if (e.kind === 'supply') found.push({ id: e.id, symbol: supplySymbolName(e.role), letter: '', at: at(e.at), tag: e.tag, words: e.name });
  }
  return found;
}

/** '60 A, J 35, type 4X': what a person chose; nothing is filled in that was not chosen. */
function ratingWords({ data }: Extract<Entity, { kind: 'disconnect' }>): string {
  const fuse = data.fusible === false ? 'not fusible' : data.fuseAmperes === undefined ? '' : `${data.fuseClass ?? ''} ${data.fuseAmperes} A`.trim();
  return [data.ratedAmperes === undefined ? '' : `${data.ratedAmperes} A`, fuse, data.enclosure === undefined ? '' : `type ${data.enclosure}`].filter((w) => w !== '').join(', ');
}

function lineOf(document: Document, pair: PairReport): ReportLine[] {
  const line = pair.eyeLine ?? pair.bodyLine;
  if (!line) return [];
  const from: At = [line.handle.x, line.handle.y]; const to: At = [line.target.x, line.target.y];
  if (Math.hypot(to[0] - from[0], to[1] - from[1]) === 0) return [];
  const states = [pair.eyeLine?.state ?? 'blocked', pair.bodyLine?.state ?? 'blocked'];
  // One clear line beside a blocked one is doubtful, as the verdict has it; the bar stands only where nothing is seen.
  const state: LineState = states.every((s) => s === 'blocked') ? 'blocked' : states.every((s) => s === 'clear') ? 'clear' : 'doubtful';
  const stops = [pair.eyeLine, pair.bodyLine].flatMap((l) => l?.meets.filter((m) => m.transmission === 'opaque') ?? []).map((m) => [m.at.x, m.at.y] as const);
  const stop = stops.sort((a, b) => Math.hypot(a[0] - from[0], a[1] - from[1]) - Math.hypot(b[0] - from[0], b[1] - from[1]))[0];
  const share = pair.distance !== null && pair.distance > pair.limit && pair.distanceVerdict === 'fail' ? pair.limit / pair.distance : undefined;
  return [{
    id: pair.result.id, disconnect: pair.disconnect, from, to, state, verdict: pair.verdict, label: labelOfLine(document, pair, state),
    ...(state === 'blocked' && stop ? { blockedAt: stop } : {}), ...(share === undefined ? {} : { limitShare: share }),
  }];
}

function blockersOf(document: Document, pairs: readonly PairReport[], sheet: Id): At[][] {
  const ids = new Set<Id>();
  for (const pair of pairs) for (const line of [pair.eyeLine, pair.bodyLine]) {
    if (line?.state === 'blocked') for (const m of line.meets) if (m.transmission === 'opaque') ids.add(m.entity);
  }
  return [...ids].flatMap((id) => {
    const e = document.entities[id];
    const outline = e && e.sheet === sheet && 'outline' in e ? e.outline : undefined;
    return outline ? [outline.map(at)] : [];
  });
}

function spacesOf(checker: Checker, devices: readonly Disconnect[], sheet: Sheet): At[][] {
  if (!sheet.scale || devices.length === 0) return [];
  return devices.flatMap((d) => { const space = checker.spaceOf(d); return space ? [space.outline.map(at)] : []; });
}
