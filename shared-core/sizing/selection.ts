import { Gap, OutOfReach, Trace, atLeast, atMost, given, isOpenQuestion, once, round, table } from '../code-data/index';
import type { Figure, TableRow } from '../code-data/index';
import type { Disconnect } from '../document/index';
import { capGround, setArea, tableGround, upsizedGround } from './grounding';
import { sizeName, sizeIndex } from './conductor';
import { enclosureTypes, isClassified, isOutdoor, readConditions } from './enclosure';
import type { EnclosurePick, Place } from './enclosure';
import { branchDevice, protectionRow, roundDown } from './protection';
import type { ProtectiveDevice } from './protection';
import { pickSwitch, switchAmperes, SWITCH_RATINGS } from './rating';
import type { Duty, SwitchPick } from './rating';
import { areasAt } from './project';
import type { Project } from './project';
import { caseOf } from './case';
import type { Case, Protection } from './case';
import { faultOf, selectionWires, sixLeads, wireName } from './run';
import type { Fault, Wires } from './run';

export type FuseClassName = NonNullable<Disconnect['data']['fuseClass']>;
export interface FusePick { readonly fuseClass: FuseClassName; readonly amperes: Figure; readonly timeDelay: boolean; readonly protection: Protection }
/** A choice with its reasons; 'open' names what could still change it. */
export interface Reasoned<T> { readonly value: T; readonly because: readonly string[]; readonly open?: Gap }
export interface LugFit { readonly fits: boolean; readonly words: string; readonly min: string; readonly max: string }
export interface RacewayPick { readonly raceway: string; readonly tradeSize: string; readonly conductors: number }

/** Everything chosen for one disconnect, each part worked out once. */
export interface Selection extends Case {
  readonly wires: (t: Trace) => Wires;
  readonly enclosure: (t: Trace) => EnclosurePick;
  readonly fault: (t: Trace) => Fault;
  readonly fusible: (t: Trace) => Reasoned<boolean>;
  readonly duty: (t: Trace) => Reasoned<Duty>;
  readonly fuse: (t: Trace) => FusePick;
  readonly switch: (t: Trace) => SwitchPick;
  readonly shortCircuit: (t: Trace) => Figure;
  readonly ground: (t: Trace) => string;
  readonly lugs: (t: Trace) => LugFit;
  readonly raceway: (t: Trace) => RacewayPick;
  readonly poles: (t: Trace) => { readonly poles: number; readonly neutral: boolean };
  readonly isBreaker: boolean;
}

/** Null instead of an open question, for choices that go on without; what is broken stays broken. */
export function maybe<T>(work: () => T): T | null {
  try { return work(); } catch (error) {
    if (isOpenQuestion(error)) return null;
    throw error;
  }
}

/** Fuses of these classes are made as time-delay fuses; a Class CC time-delay fuse still counts in the other column. */
const TIME_DELAY_COLUMN: ReadonlySet<string> = new Set(['J', 'RK1', 'RK5', 'L', 'CF', 'H', 'K5', 'G']);
const protectiveColumn = (fuseClass: string): ProtectiveDevice => (TIME_DELAY_COLUMN.has(fuseClass) ? 'time-delay-fuse' : 'nontime-delay-fuse');
/** The general-duty series is made in these enclosures only (common practice, no source). */
const GENERAL_DUTY_ENCLOSURES: ReadonlySet<string> = new Set(['1', '3R']);
/** Options that only heavy-duty switches take (common practice, no source). */
const HEAVY_OPTIONS: ReadonlySet<string> = new Set(['viewing-window', 'early-break-contact', 'receptacle-interlock', 'barriered-line-side', 'double-throw']);
const LARGEST_ORDINARY = 600;
/** Classes that motor switches are not usually made for: the figure is on the switch. */
const UNUSUAL_CLASSES: ReadonlySet<string> = new Set(['G', 'CF']);

function findEnclosure(t: Trace, project: Project, device: Disconnect): EnclosurePick {
  const areas = areasAt(project, device.sheet, device.at);
  const words = areas.flatMap((a) => a.environments);
  if (words.length === 0) throw new Gap('it stands in no environment area', ['environment where the disconnect stands (draw an area, e.g. dry, dust, washdown, outdoors)']);
  if (words.some(isClassified)) throw new Gap("outside this tool's scope: engineered selection required for a hazardous (classified) area", [], 'judgement', ['Have the enclosure of this area selected by an engineer.']);
  const place: Place = words.some(isOutdoor) ? 'outdoor' : 'indoor';
  t.state('Areas it stands in', areas.map((a) => a.label || a.environments.join(', ')).join('; '), '', 'the outlines that contain it', 'plan');
  const pick = enclosureTypes(t, place, readConditions(words, place));
  return pick;
}

/** How an upstream device is judged; one of unknown kind as a fuse, whose limit is never the higher one. */
export const upstreamDevice = ({ data }: Pick<Case, 'data'>): ProtectiveDevice => (data.upstreamType === 'circuit-breaker' ? 'inverse-time-breaker' : 'time-delay-fuse');

function decideFusible(t: Trace, c: Case, fault: (t: Trace) => Fault): Reasoned<boolean> {
  if (c.data.type === 'circuit-breaker' || c.data.type === 'molded-case-switch' || c.data.type === 'attachment-plug' || c.data.type === 'general-use-switch') return { value: false, because: [`a ${c.data.type.replace(/-/g, ' ')} holds no fuses`] };
  if (c.data.fusible !== undefined) return { value: c.data.fusible, because: ['as entered'] };
  if (c.draws(t).some((d) => d.part.data.fusesOnly === true) && c.data.upstreamType !== 'fuse') return { value: true, because: ['the nameplate allows fuses only and none is entered upstream'] };
  if (c.data.upstreamAmperes === undefined) return { value: true, because: ['no protective device upstream is entered, so the fuses are here'] };
  const allowed = c.protection(t, upstreamDevice(c)).largest;
  if (!atMost(c.data.upstreamAmperes, allowed.value)) return { value: true, because: [`the upstream ${c.data.upstreamAmperes} A is above the ${round(allowed.value)} A this circuit allows`] };
  const available = quietFault(t, fault);
  const bare = t.rule('switch.nonfusible.short-circuit', 'I_bare');
  if (!available) return { value: true, because: ['the available fault current is not known, so the switch takes current-limiting fuses'] };
  if (!atMost(withMargin(t, available.amperes).value, bare.value)) return { value: true, because: [`the available fault current ${round(available.amperes.value)} A is too much for a non-fusible switch on its own`] };
  return { value: false, because: [`the upstream ${c.data.upstreamAmperes} A device protects this circuit`] };
}

/** The fault current for a choice that has its own result elsewhere: one step instead of its whole derivation. */
function quietFault(t: Trace, fault: (t: Trace) => Fault): Fault | null {
  const known = maybe(() => fault(new Trace(t.basis, true)));
  const found = known?.open === null ? known : null;
  if (found) t.state('Available fault current', Math.round(found.amperes.value), 'A', 'see the result on fault current', 'computed', undefined, found.amperes.confidence);
  return found;
}

/** Fault current with the margin kept between it and a rating. */
export const withMargin = (t: Trace, fault: Figure): Figure => t.compute('Fault current with the margin kept', 'I_req = I_f x (1 + p / 100)', [{ ...fault, name: 'I_f' }, t.rule('fault.margin.percent', 'p')], 'A');

function decideDuty(t: Trace, s: { readonly c: Case; readonly enclosure: (t: Trace) => EnclosurePick; readonly fault: (t: Trace) => Fault; readonly fusible: (t: Trace) => Reasoned<boolean> }): Reasoned<Duty> {
  const { c } = s;
  if (c.data.duty !== undefined) return { value: c.data.duty, because: ['as entered'] };
  const reasons: string[] = [];
  const volts = c.circuit(t).volts;
  const limit = t.rule('switch.general-duty.volts', 'U_gd');
  if (c.circuit(t).phases === 'dc') reasons.push('direct current: general-duty switches carry no such rating (common practice, no source)');
  if (volts > limit.value) reasons.push(`${volts} V is above the ${limit.value} V of general-duty switches`);
  let open: Gap | null = null;
  let type = c.data.enclosure;
  if (type === undefined) {
    try { type = s.enclosure(new Trace(t.basis, true)).chosen; } catch (error) {
      if (!isOpenQuestion(error)) throw error;
      open = error;
    }
  }
  if (type !== undefined && !GENERAL_DUTY_ENCLOSURES.has(type)) reasons.push(`enclosure type ${type} is made in heavy duty (common practice, no source)`);
  const fault = quietFault(t, s.fault);
  const most = t.rule('switch.general-duty.short-circuit', 'I_gd');
  if (fault && withMargin(t, fault.amperes).value > most.value) reasons.push(`fault current ${round(fault.amperes.value)} A is above a general-duty rating`);
  for (const option of c.data.options ?? []) if (HEAVY_OPTIONS.has(option)) reasons.push(`option ${option.replace(/-/g, ' ')} is made in heavy duty (common practice, no source)`);
  return reasons.length > 0 ? { value: 'heavy', because: reasons } : { value: 'general', because: [`${volts} V, dry or rainproof enclosure, no option that needs more`], ...(open ? { open } : {}) };
}

const SIX = 6;
function findSwitch(t: Trace, s: Pick<Selection, 'draws' | 'neededAmperes' | 'horsepower' | 'circuit' | 'data' | 'protection'> & { readonly fusible: boolean; readonly duty: Reasoned<Duty> }): SwitchPick {
  const circuit = s.circuit(t);
  if (sixLeads(t, s)) throw new Gap('the typical series has no six-pole switch', ['ampere and horsepower rating of the six-pole switch, from its nameplate']);
  if (circuit.phases === 'dc') throw new Gap('switch ratings on direct current are not published here', ['dc ampere, volt and horsepower rating of the switch']);
  const fuseClass = s.data.fuseClass;
  const timeDelay = fuseClass === undefined || protectiveColumn(fuseClass) === 'time-delay-fuse';
  const need = (duty: Duty): SwitchPick => pickSwitch(t, {
    amperes: s.neededAmperes(t), horsepower: s.horsepower(t), volts: circuit.volts, phases: circuit.phases === 3 ? 3 : 1, construction: s.fusible ? 'fusible' : 'non-fusible', duty, timeDelay,
    smallestFuse: s.fusible ? s.protection(t, timeDelay ? 'time-delay-fuse' : 'nontime-delay-fuse').smallest : null,
  });
  if (s.duty.value === 'heavy' || s.data.duty !== undefined) return need(s.duty.value);
  try { return need('general'); } catch (error) {
    if (error instanceof OutOfReach) return need('heavy');
    throw error;
  }
}

/** The switch by amperes and fuse alone, where its horsepower cannot be settled: enough to size the fuse. */
function frameByAmperes(t: Trace, c: Case): Figure {
  const smallest = c.protection(t, 'time-delay-fuse').smallest;
  const need = c.neededAmperes(t);
  return switchAmperes(t, smallest.value > need.value ? smallest : need);
}

function pickFuse(t: Trace, c: Case, frame: Figure): FusePick {
  const fuseClass = c.data.fuseClass ?? (frame.value > LARGEST_ORDINARY ? 'L' : 'RK5');
  const device = protectiveColumn(fuseClass);
  const protection = c.protection(t, device);
  if (c.data.fuseAmperes !== undefined) return { fuseClass, amperes: given('I_fuse', c.data.fuseAmperes, 'A', 'typed', c.device.tag), timeDelay: device === 'time-delay-fuse', protection };
  const circuit = c.circuit(t);
  const row = t.row('fuse-class', { class: fuseClass });
  if (circuit.phases === 'dc') throw new Gap('direct-current ratings of fuses are not in these tables', ['direct-current rating of the fuse']);
  if (circuit.volts > Number(row.volts)) throw new Gap(`Class ${fuseClass} fuses are made for ${String(row.volts)} V at most`, ['fuse class for this voltage']);
  if (protection.largest.value < Number(row.from)) throw new Gap(`Class ${fuseClass} starts at ${String(row.from)} A, above the ${round(protection.largest.value)} A allowed`, ['another fuse class']);
  const most = Math.min(frame.value, Number(row.to));
  const wanted = protection.proposed ?? protection.largest;
  if (atMost(wanted.value, most)) return { fuseClass, amperes: { ...wanted, name: 'I_fuse' }, timeDelay: device === 'time-delay-fuse', protection };
  const fits = roundDown(t, given('I_hold', most, 'A', 'computed', 'what the switch and the fuse class hold'), device, 'I_fuse');
  if (!atLeast(fits.value, protection.smallest.value)) throw new Gap(`no Class ${fuseClass} fuse fits: ${round(protection.smallest.value)} A is needed, the switch holds ${most} A`, ['larger switch or another fuse class']);
  return { fuseClass, amperes: fits, timeDelay: device === 'time-delay-fuse', protection };
}

/** The kind of a device that is no enclosed switch, in words: what is typical of switches says nothing about it. */
const otherKind = ({ data }: Pick<Case, 'data'>): string | null => (data.type === undefined || data.type === 'enclosed-switch' ? null : data.type.replace(/-/g, ' '));

/** Short-circuit rating that switch and fuse have together, typical, or as entered. */
function ratingOf(t: Trace, c: Case, fusible: boolean, duty: Duty, fuse: () => FusePick): Figure {
  if (c.data.shortCircuitRating !== undefined) return given('I_cc', c.data.shortCircuitRating, 'A', 'nameplate', c.device.tag);
  // The typical label is one of switches: what else is entered here carries its own marking.
  const other = otherKind(c);
  if (other !== null) throw new Gap(`no typical short-circuit rating holds for a device of this kind (${other})`, [`short-circuit (interrupting) rating marked on the ${other}`]);
  if (!fusible) return t.rule('switch.nonfusible.short-circuit', 'I_cc');
  const { fuseClass } = fuse();
  // A fuse that is there may be of the lowest class; one still to be selected is of the class proposed.
  if (c.data.fuseAmperes !== undefined && c.data.fuseClass === undefined) throw new Gap('the class of the fuses is not entered: Class H interrupts 10,000 A at most', ['class of the fuses entered']);
  const column = duty === 'general' ? 'general-duty-switch' : 'heavy-duty-switch';
  if (UNUSUAL_CLASSES.has(fuseClass)) throw new Gap(`no typical switch rating is published with Class ${fuseClass} fuses`, ['short-circuit rating marked on the switch']);
  return t.lookUp(`Typical rating of a ${duty}-duty switch with Class ${fuseClass} fuses`, 'I_cc', 'fuse-class', { class: fuseClass }, column, 'A');
}

function findGround(t: Trace, s: Pick<Selection, 'wires' | 'protection' | 'draws' | 'running' | 'data' | 'fuse'> & { readonly isBreaker: boolean; readonly fusible: boolean }): string {
  const wires = s.wires(t);
  // The device ahead of the conductors decides; where it is not entered, the fuse here or the largest one allowed stands for it.
  const device = s.data.upstreamAmperes !== undefined ? given('I_dev', s.data.upstreamAmperes, 'A', 'typed')
    : s.fusible ? { ...s.fuse(t).amperes, name: 'I_dev' } : s.data.type === 'circuit-breaker' && s.data.ratedAmperes !== undefined ? given('I_dev', s.data.ratedAmperes, 'A', 'nameplate')
      : s.protection(t, 'inverse-time-breaker').largest;
  const table122 = tableGround(t, device, wires.material);
  const base = capGround(t, table122, wires.byAmpacity.size, wires.byAmpacity.perPhase);
  const original = setArea(t, wires.byAmpacity.size, wires.byAmpacity.perPhase, 'A_min');
  const installed = setArea(t, wires.size, wires.perPhase, 'A_inst');
  if (installed.value <= original.value) return base;
  const upsized = capGround(t, upsizedGround(t, base, original, installed).size, wires.size);
  return sizeIndex(upsized) < sizeIndex(base) ? base : upsized;
}

/** Reference fuse for the grounding conductor of an instantaneous-trip breaker (250.122(D)(2)). */
export function referenceFuse(t: Trace, current: Figure, motor: Parameters<typeof protectionRow>[1]): Figure {
  return branchDevice(t, current, protectionRow(t, motor), 'time-delay-fuse').largest;
}

function findLugs(t: Trace, wires: Wires, frame: number): LugFit {
  const rows = table('lug').rows.filter((r) => r.amperes === frame);
  if (rows.length === 0) throw new Gap(`no lug range is published for a ${frame} A switch`, ['lug range of the switch, from its nameplate']);
  if (rows.some((r) => typeof r[`${wires.material}-min`] !== 'string' || typeof r[`${wires.material}-max`] !== 'string')) throw new Gap('a lug range is unreadable');
  const usable = (r: TableRow): boolean => Number(r['per-phase']) >= wires.perPhase;
  const inRange = (r: TableRow): boolean => sizeIndex(String(r[`${wires.material}-min`])) <= sizeIndex(wires.size) && sizeIndex(wires.size) <= sizeIndex(String(r[`${wires.material}-max`]));
  const fit = rows.find((r) => usable(r) && inRange(r));
  const row = fit ?? rows.filter(usable).at(-1) ?? rows.at(-1);
  if (!row) throw new Gap('no lug range is published', ['lug range of the switch']);
  const min = t.word('Smallest conductor of the typical lug', 'lug', { amperes: frame, 'per-phase': Number(row['per-phase']) }, `${wires.material}-min`);
  const max = t.word('Largest conductor of the typical lug', 'lug', { amperes: frame, 'per-phase': Number(row['per-phase']) }, `${wires.material}-max`);
  const sets = Number(row['per-phase']);
  return { fits: fit !== undefined, min, max, words: `${sets > 1 ? `${sets} x ` : ''}${sizeName(min)} to ${sizeName(max)}` };
}

/** Raceway by fill: phase conductors, neutral and grounding conductor of each set in a raceway of its own. */
function findRaceway(t: Trace, wires: Wires, ground: string, conductors: number): RacewayPick {
  const area = t.lookUp(`Area of ${sizeName(wires.size)} THHN/THWN-2`, 'A_c', 'conductor-area', { insulation: 'THHN', size: wires.size }, 'area');
  const earth = t.lookUp(`Area of ${sizeName(ground)} THHN/THWN-2`, 'A_g', 'conductor-area', { insulation: 'THHN', size: ground }, 'area');
  const total = t.compute('Area of the conductors in one raceway', 'A_sum = n x A_c + A_g', [given('n', conductors, '', 'computed'), area, earth], 'in2');
  const percent = t.lookUp('Part of the raceway that may be filled', 'p', 'raceway-fill', { conductors: conductors + 1 }, 'percent');
  const inside = t.compute('Inside area needed', 'A_need = A_sum / (p / 100)', [total, percent], 'in2');
  const row = table('raceway-area').rows.find((r) => {
    if (typeof r.area !== 'number') throw new Gap('a raceway area is unreadable');
    return r.raceway === wires.facts.raceway && atLeast(r.area, inside.value);
  });
  if (!row) throw new Gap(`no ${wires.facts.raceway} is large enough`, ['raceway for these conductors']);
  const tradeSize = String(row['trade-size']);
  const own = t.lookUp(`Inside area of ${tradeSize} in ${wires.facts.raceway}`, 'A_in', 'raceway-area', { raceway: wires.facts.raceway, 'trade-size': tradeSize }, 'area');
  t.test('The raceway holds them', 'ok = A_in >= A_need', [own, inside]);
  return { raceway: wires.facts.raceway, tradeSize, conductors: conductors + 1 };
}

/** Sets out every choice of one disconnect. */
export function selectionOf(project: Project, device: Disconnect): Selection {
  const c = caseOf(project, device);
  const wires = selectionWires(project, device);
  const enclosure = once((t) => findEnclosure(t, project, device));
  const fault = once((t) => faultOf(t, c));
  const fusible = once((t) => decideFusible(t, c, fault));
  const duty = once((t) => decideDuty(t, { c, enclosure, fault, fusible }));
  const isBreaker = c.data.type === 'circuit-breaker' || c.data.type === 'molded-case-switch';
  const pick = once((t) => findSwitch(t, { ...c, fusible: fusible(t).value, duty: duty(t) }));
  const fuse = once((t) => pickFuse(t, c, c.data.ratedAmperes !== undefined ? given('I_switch', c.data.ratedAmperes, 'A', 'nameplate', device.tag) : maybe(() => pick(t))?.amperes ?? frameByAmperes(t, c)));
  const poles = once((t) => {
    const circuit = c.circuit(t);
    const six = sixLeads(t, c);
    const feeder = c.withFeeder && circuit.system !== null && circuit.system.wires > (circuit.phases === 3 ? 3 : 2);
    return { poles: six ? SIX : circuit.phases === 3 ? 3 : circuit.lineNeutral ? 1 : 2, neutral: circuit.lineNeutral || feeder || c.draws(t).some((d) => d.circuit.lineNeutral) };
  });
  const ground = once((t) => findGround(t, { ...c, wires, fuse, isBreaker, fusible: fusible(t).value }));
  return {
    ...c, wires, enclosure, fault, fusible, duty, fuse, switch: pick, isBreaker, ground, poles,
    shortCircuit: once((t) => ratingOf(t, c, fusible(t).value, maybe(() => pick(t))?.duty ?? duty(t).value, () => fuse(t))),
    lugs: once((t) => {
      const other = otherKind(c);
      if (other !== null) throw new Gap(`typical lugs are those of switches, not of a device of this kind (${other})`, [], 'judgement', [`Confirm on the ${other} that its lugs take ${wireName(wires(t))}.`]);
      const { ratedAmperes } = c.data;
      const frame = frameOf(ratedAmperes);
      if (ratedAmperes !== undefined && frame === undefined) throw new Gap(`a rating of ${ratedAmperes} A is beyond the typical series, and so are its lugs`, ['lug range of the switch, from its nameplate']);
      return findLugs(t, wires(t), frame ?? pick(t).amperes.value); }),
    raceway: once((t) => {
      const p = poles(t);
      const own = p.poles + (p.neutral ? 1 : 0);
      const found = findRaceway(t, wires(t), ground(t), own);
      const all = c.data.conductor?.conductorsInRaceway ?? own;
      if (all > own) throw new Gap(`${all} current-carrying conductors share the raceway, and those of other circuits are not known here: its own alone need ${found.tradeSize} in ${found.raceway}`, [], 'judgement', ['Size the raceway for all circuits that share it.']);
      return found;
    }),
  };
}

const frameOf = (amperes: number | undefined): number | undefined => (amperes === undefined ? undefined : SWITCH_RATINGS.find((r) => r >= amperes));

