import type { Audit } from '../audit/index';
import { doubtsOf, worstVerdict } from '../code-data/index';
import type { Confidence, Result, Verdict } from '../code-data/index';
import type { SaidMargin } from '../checks/index';
import type { Disconnect, Document, Id } from '../document/index';
import { showDistanceAgainst, showLength } from '../units/index';
import { CONFIDENCE_WORDS, nameOfEntity } from './report-words';

/** Texts of one disconnect in the schedule as they are printed; empty where nothing was chosen or computed. */
export interface ScheduleTexts {
  readonly tag: string; readonly verdict: Verdict; readonly serves: string; readonly sheet: string; readonly fedFrom: string;
  readonly kind: string; readonly needsAmperes: string; readonly amperes: string; readonly volts: string; readonly horsepower: string; readonly poles: string;
  readonly fuse: string; readonly enclosure: string; readonly conductor: string; readonly equipmentGround: string; readonly lugs: string; readonly raceway: string;
  readonly faultCurrent: string; readonly shortCircuitRating: string; readonly voltageDrop: string;
  readonly sight: string; /** How far the handle may surely move while all it serves stays in sight; empty when it is not. */ readonly handleRoom: string; readonly sightVerdict: Verdict; readonly sizingVerdict: Verdict; readonly handle: string; readonly verified: string;
  /** Columns whose figure rests on typical values, memory or disputed sources, each kind in words. */ readonly toVerify: string;
}
export type ScheduleColumn = keyof ScheduleTexts;

export interface ScheduleRow extends ScheduleTexts {
  /** Gravest doubt in each computed column; what was read off the device or chosen is in none. */
  readonly doubts: Readonly<Partial<Record<ScheduleColumn, Confidence>>>;
}

export const SCHEDULE_HEADS: Readonly<Record<ScheduleColumn, string>> = {
  tag: 'Disconnect', verdict: 'Verdict', serves: 'Isolates', sheet: 'Sheet', fedFrom: 'Fed from', kind: 'Kind', needsAmperes: 'Needs at least, A', amperes: 'Rating, A', volts: 'Rating, V',
  horsepower: 'Rating, hp', poles: 'Poles', fuse: 'Fuse', enclosure: 'Enclosure type', conductor: 'Conductor', equipmentGround: 'Equipment ground', lugs: 'Lugs', raceway: 'Raceway',
  faultCurrent: 'Fault current, A', shortCircuitRating: 'Short-circuit rating, A', voltageDrop: 'Voltage drop, %', sight: 'Farthest sight line', handleRoom: 'Handle may move', sightVerdict: 'Within sight', sizingVerdict: 'Ratings',
  handle: 'Handle height', verified: 'Verified on site', toVerify: 'To be verified',
};

/** The check whose answer stands in a column, and the field of a device that takes its place once entered. */
const ANSWERS: readonly (readonly [ScheduleColumn, string, (keyof Disconnect['data'])?])[] = [
  ['amperes', 'ampere-rating', 'ratedAmperes'], ['volts', 'voltage-rating', 'ratedVolts'], ['poles', 'poles', 'poles'], ['fuse', 'fuse', 'fuseAmperes'], ['enclosure', 'enclosure', 'enclosure'], ['conductor', 'conductor', 'conductor'],
  ['equipmentGround', 'equipment-ground'], ['lugs', 'lugs'], ['raceway', 'raceway'], ['faultCurrent', 'fault-current'], ['shortCircuitRating', 'short-circuit-rating', 'shortCircuitRating'], ['voltageDrop', 'voltage-drop'],
];
const MARKED: readonly Confidence[] = ['disputed', 'memory', 'typical'];

/** Doubts of the columns that hold a computed figure; our own readings are named where the derivation stands. */
function doubtsIn(texts: Omit<ScheduleTexts, 'toVerify'>, d: Disconnect, results: readonly Result[]): ScheduleRow['doubts'] {
  const found: Partial<Record<ScheduleColumn, Confidence>> = {};
  for (const [column, check, field] of ANSWERS) {
    const entered = field === 'conductor' ? d.data.conductor?.size !== undefined : field !== undefined && d.data[field] !== undefined;
    const result = results.find((r) => r.check === `sizing.${check}`);
    const gravest = result && !entered && column !== 'toVerify' && texts[column] !== '' && texts[column] !== 'none' ? doubtsOf(result).find((doubt) => MARKED.includes(doubt)) : undefined;
    if (gravest) found[column] = gravest;
  }
  return found;
}

const verifyWords = (doubts: ScheduleRow['doubts']): string => MARKED.flatMap((doubt) => {
  const columns = ANSWERS.filter(([column]) => doubts[column] === doubt).map(([column]) => SCHEDULE_HEADS[column].replace(/, .*$/, ''));
  return columns.length === 0 ? [] : [`${CONFIDENCE_WORDS[doubt]}: ${columns.join(', ')}`];
}).join('; ');

const KINDS: Readonly<Record<NonNullable<Disconnect['data']['type']>, string>> = {
  'enclosed-switch': 'enclosed switch', 'circuit-breaker': 'circuit breaker', 'molded-case-switch': 'molded-case switch', 'attachment-plug': 'attachment plug', 'general-use-switch': 'general-use switch', pullout: 'pull-out',
};
const text = (value: number | string | null | undefined): string => (value === null || value === undefined ? '' : String(value));

export function buildSchedule(document: Document, audit: Audit, devices: readonly Disconnect[], margins: ReadonlyMap<Id, readonly SaidMargin[]>): ScheduleRow[] {
  const sheets = new Map(document.sheets.map((s, i) => [s.id, i]));
  const sorted = [...devices].sort((a, b) => (sheets.get(a.sheet) ?? 0) - (sheets.get(b.sheet) ?? 0) || compareTags(a.tag, b.tag));
  return sorted.map((d) => rowOf(document, audit, d, margins.get(d.id) ?? []));
}

function rowOf(document: Document, audit: Audit, d: Disconnect, margins: readonly SaidMargin[]): ScheduleRow {
  const summary = audit.sizing[d.id]?.summary;
  const { data } = d;
  const pairs = audit.pairs.filter((p) => p.disconnect === d.id);
  const farthest = pairs.reduce<(typeof pairs)[number] | null>((far, p) => (p.distance !== null && (far?.distance ?? -1) < p.distance ? p : far), null);
  const fusible = data.fusible ?? summary?.fusible;
  const duty = data.duty ?? summary?.duty;
  const fuse = fusible === false ? 'none' : data.fuseAmperes !== undefined ? `${data.fuseClass ?? ''} ${data.fuseAmperes} A`.trim() : summary?.fuse ? `${summary.fuse.fuseClass} ${summary.fuse.amperes} A (computed)` : '';
  // A rating that nobody chose yet is the computed one, and says so: a reader must not take it for what hangs on the wall.
  const chosen = (own: number | string | undefined, computed: number | string | null | undefined): string => (own !== undefined ? String(own) : computed === null || computed === undefined ? '' : `${computed} (computed)`);
  const texts: Omit<ScheduleTexts, 'toVerify'> = {
    tag: d.tag, verdict: audit.deviceVerdicts[d.id] ?? 'incomplete', serves: d.serves.map((id) => servedWords(document, id)).join('; '),
    sheet: document.sheets.find((s) => s.id === d.sheet)?.name ?? '', fedFrom: data.fedFrom === undefined ? '' : nameOfEntity(document, data.fedFrom),
    kind: [data.type ? KINDS[data.type] : '', fusible === true ? 'fusible' : fusible === false ? 'not fusible' : '', duty ? `${duty} duty` : ''].filter((w) => w !== '').join(', '),
    needsAmperes: summary?.requiredAmperes === null || summary?.requiredAmperes === undefined ? '' : String(Math.ceil(summary.requiredAmperes * 10 - 1e-6) / 10),
    amperes: chosen(data.ratedAmperes, summary?.switchAmperes), volts: chosen(data.ratedVolts, summary?.switchVolts), horsepower: chosen(data.ratedHorsepower, summary?.requiredHorsepower), poles: chosen(data.poles, summary?.poles),
    fuse, enclosure: chosen(data.enclosure, summary?.enclosure), conductor: chosen(data.conductor?.size, summary?.conductor), equipmentGround: text(summary?.equipmentGround),
    lugs: text(summary?.lugs), raceway: text(summary?.raceway ?? data.conductor?.raceway), faultCurrent: summary?.faultCurrent === null || summary?.faultCurrent === undefined ? '' : String(Math.round(summary.faultCurrent)),
    shortCircuitRating: text(data.shortCircuitRating ?? summary?.shortCircuitRating), voltageDrop: summary?.voltageDropPercent === null || summary?.voltageDropPercent === undefined ? '' : summary.voltageDropPercent.toFixed(1),
    sight: farthest?.distance === null || farthest?.distance === undefined ? '' : showDistanceAgainst(farthest.distance, farthest.limit, document.facts.units),
    handleRoom: leastRoom(pairs.length, margins),
    sightVerdict: worstVerdict(pairs.map((p) => p.verdict)), sizingVerdict: worstVerdict(audit.sizing[d.id]?.results.map((r) => r.verdict) ?? []),
    handle: showLength(d.handleHeight, document.facts.units, { finest: 1 }), verified: data.verified ? `${data.verified.person}, ${data.verified.date}` : '',
  };
  const doubts = doubtsIn(texts, d, audit.sizing[d.id]?.results ?? []);
  return { ...texts, toVerify: verifyWords(doubts), doubts };
}

const leastRoom = (pairs: number, margins: readonly SaidMargin[]): string => {
  const [least] = [...margins].sort((a, b) => a.margin.margin - b.margin.margin);
  return least && margins.length === pairs && margins.every((m) => m.mayMove !== null) ? least.mayMove ?? '' : '';
};

function servedWords(document: Document, id: string): string {
  const load = document.entities[id];
  return load?.kind === 'load' ? `${load.tag} ${load.name}`.trim() : nameOfEntity(document, id);
}

/** Numbers inside tags compare as numbers: DS-2 before DS-10. */
export function compareTags(a: string, b: string): number {
  const parts = (tag: string): string[] => tag.match(/\d+|\D+/g) ?? [];
  const pa = parts(a); const pb = parts(b);
  for (let i = 0; i < Math.max(pa.length, pb.length); i += 1) {
    const x = pa[i] ?? ''; const y = pb[i] ?? '';
    const both = /^\d/.test(x) && /^\d/.test(y);
    if (both && Number(x) !== Number(y)) return Number(x) - Number(y);
    if (!both && x !== y) return x < y ? -1 : 1;
  }
  return 0;
}
