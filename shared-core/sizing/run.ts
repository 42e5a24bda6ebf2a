import { Gap, atMost, given, isOpenQuestion, once, round, table, Trace } from '../code-data/index';
import type { Figure } from '../code-data/index';
import type { Disconnect, Entity, SupplySystem } from '../document/index';
import { ambientFactor, bundlingFactor, conductorName, pickConductor, readSize, setCarries, describePick, setIsGuarded, SIZES, sizeIndex, smallestUnderDevice } from './conductor';
import type { Celsius, ConductorNeed, ConductorPick, Guard, Material } from './conductor';
import { dropByConstant, dropByOhms, dropConstant, dropPercent, effectiveImpedance, tableImpedance, tableResistance } from './voltage-drop';
import type { RacewayKind, Run } from './voltage-drop';
import { conductorConstant, effectiveImpedancePercent, faultByImpedance, impedanceToEnd, faultMultiplier, lineNeutralFault, motorContribution, pointToPoint, sourceImpedance, terminalFault, transformerAmperes } from './fault-current';
import { currentOf, partClass, partsOf, circuitOf } from './load';
import type { Case } from './case';
import { caseOf, mayHideMotor, startsOnPart } from './case';
import { entityOf, loadsOf, routeBetween } from './project';
import type { Project } from './project';
import { checkSource } from './plausible';

/** The supply or disconnect that feeds a device. */
export function feederOf(c: Case): Extract<Entity, { kind: 'supply' | 'disconnect' }> {
  const from = entityOf(c.project, c.data.fedFrom);
  if (from?.kind !== 'supply' && from?.kind !== 'disconnect') throw new Gap('what feeds it is not entered', ['supply that feeds the disconnect'], 'incomplete', ['Choose the panel, transformer or disconnect that feeds it.']);
  return from;
}

const heightOf = (project: Project, e: Entity): number => (e.kind === 'disconnect' ? e.handleHeight : e.kind === 'load' ? e.height : project.document.facts.defaults.handleHeight);

export interface Length { readonly figure: Figure; readonly estimate: boolean }

/** Conductor length from the supply to the device: typed, drawn, or estimated and marked so. */
export function supplyLength(t: Trace, c: Case): Length {
  const typed = c.data.routeLength;
  if (typed !== undefined) {
    if (!Number.isFinite(typed) || typed <= 0) throw new Gap(`a route of ${typed} ft has no length`, ['route length greater than zero']);
    t.state('Route length', typed, 'ft', 'typed', 'typed');
    return { figure: given('L', typed, 'ft', 'typed', c.device.tag), estimate: false };
  }
  const from = feederOf(c);
  const found = routeBetween(c.project, { id: from.id, sheet: from.sheet, at: from.at, height: heightOf(c.project, from) }, { id: c.device.id, sheet: c.device.sheet, at: c.device.at, height: c.device.handleHeight });
  if (!found.ok) throw new Gap(found.reason, [found.missing]);
  t.state('Route length', round(found.length), 'ft', found.words, 'plan', undefined, found.estimate ? 'own-reading' : undefined);
  return { figure: { ...given('L', found.length, 'ft', 'plan', found.words), ...(found.estimate ? { confidence: 'own-reading' as const } : {}) }, estimate: found.estimate };
}

/** Conductor length on to the farthest placed load; zero where none is placed or the plan has no scale. */
function loadLength(t: Trace, c: Case): Figure {
  let most = 0;
  for (const load of loadsOf(c.project, c.device)) {
    if (!load.at) continue;
    const found = routeBetween(c.project, { id: c.device.id, sheet: c.device.sheet, at: c.device.at, height: c.device.handleHeight }, { id: load.id, sheet: load.sheet, at: load.at, height: load.height });
    if (found.ok) most = Math.max(most, found.length);
  }
  if (most > 0) t.state('Length on to the load', round(most), 'ft', 'drawn route or estimate along the axes', 'plan');
  return given('L_2', most, 'ft', 'plan');
}

/** Whole length for voltage drop: supply to device and on to the load. A typed length counts as the whole way. */
export function wholeLength(t: Trace, c: Case): Length {
  const first = supplyLength(t, c);
  if (c.data.routeLength !== undefined) return first;
  const second = loadLength(t, c);
  if (second.value === 0) return first;
  const figure = t.compute('Length from the supply to the load', 'L = L_1 + L_2', [{ ...first.figure, name: 'L_1' }, second], 'ft');
  return { figure: { ...figure, ...(first.figure.confidence ? { confidence: first.figure.confidence } : {}) }, estimate: first.estimate };
}

export interface WireFacts { readonly material: Material; readonly insulation: Celsius; readonly termination: 60 | 75; readonly raceway: 'EMT' | 'IMC' | 'RMC' | 'PVC-40' | 'PVC-80'; readonly racewayKind: RacewayKind }

/** What conductors are used: as chosen, else copper, 75 C insulation in EMT, terminals by the circuit rating. */
export function wireFacts(t: Trace, c: Case, need: Figure): WireFacts {
  const chosen = c.data.conductor;
  const draws = c.draws(t);
  const marked = draws.every((d) => d.kind === 'motor' && (d.part.data.design === 'B' || d.part.data.design === 'C' || d.part.data.design === 'D'));
  const split = t.rule('conductor.termination.split', 'I_split');
  const termination = chosen?.terminationCelsius ?? (marked || need.value > split.value ? 75 : 60);
  const because = chosen?.terminationCelsius !== undefined ? 'as entered' : marked ? 'motor marked Design B, C or D' : termination === 75 ? `circuit above ${split.value} A` : `circuit of ${split.value} A or less without a 75 C marking entered`;
  const assumed = [...(chosen?.material === undefined ? ['copper'] : []), ...(chosen?.insulationCelsius === undefined ? ['75 C insulation'] : []), ...(chosen?.raceway === undefined ? ['EMT'] : [])];
  t.state('Conductors and raceway', [chosen?.material ?? 'copper', `${chosen?.insulationCelsius ?? 75} C insulation`, chosen?.raceway ?? 'EMT'].join(', '), '', assumed.length === 0 ? 'as entered' : `assumed, since nothing is entered: ${assumed.join(', ')}`, assumed.length === 0 ? 'typed' : 'default');
  t.state('Terminal temperature', termination, 'C', because, chosen?.terminationCelsius === undefined ? 'default' : 'typed', split.citation);
  const raceway = chosen?.raceway ?? 'EMT';
  return { material: chosen?.material ?? 'copper', insulation: chosen?.insulationCelsius ?? 75, termination, raceway, racewayKind: raceway.startsWith('PVC') ? 'nonmetallic' : 'steel' };
}

/**
 * Whether six leads pass the device: it stands between a wye-delta or part-winding starter and its motor.
 * @throws Gap where it is not entered on which side of the starter it stands, or where other loads share the device
 */
export function sixLeads(t: Trace, c: Pick<Case, 'draws'>): boolean {
  const draws = c.draws(t);
  const starter = draws.find(startsOnPart);
  if (!starter) return false;
  if (starter.part.data.driveSide === undefined) throw new Gap(`${starter.part.tag} starts on part of its winding, and it is not entered on which side of its starter the disconnect stands`, [`side of the starter of ${starter.part.tag} on which the disconnect stands`]);
  if (starter.part.data.driveSide === 'line') return false;
  if (draws.length > 1 || starter.part.count > 1) throw new Gap(`the six leads of ${starter.part.tag} share the disconnect with other loads`, [`disconnect of its own for ${starter.part.tag}`]);
  return true;
}

export interface Wires extends ConductorPick {
  readonly facts: WireFacts;
  readonly need: ConductorNeed;
  /** The size by ampacity alone, before a longer run enlarged it. */
  readonly byAmpacity: { readonly size: string; readonly perPhase: number };
  readonly drop: { readonly percent: Figure; readonly byConstant: Figure; readonly byImpedance: Figure; readonly limit: Figure; readonly estimate: boolean } | null;
  /** Why no drop could be worked out. */
  readonly dropGap: Gap | null;
  readonly entered: boolean;
}

/** Conductors of a device: by ampacity, then enlarged until the recommended drop holds; or the entered ones, judged. */
export function wiresOf(t: Trace, c: Case): Wires {
  const load = c.conductorNeed(t);
  const facts = wireFacts(t, c, load);
  const chosen = c.data.conductor;
  const circuit = c.circuit(t);
  const celsius = chosen?.ambientCelsius ?? c.project.document.facts.defaults.ambientCelsius;
  t.state('Ambient temperature', celsius, 'C', chosen?.ambientCelsius === undefined ? 'default of the project' : 'as entered', chosen?.ambientCelsius === undefined ? 'default' : 'typed');
  const ambient = ambientFactor(t, celsius, facts.insulation);
  const bundling = bundlingFactor(t, chosen?.conductorsInRaceway ?? (sixLeads(t, c) ? 6 : circuit.phases === 3 ? 3 : 2));
  const draws = c.draws(t);
  const general = draws.every((d) => d.kind === 'continuous' || d.kind === 'noncontinuous');
  const withoutMargin = general ? { ...c.running(t), name: 'I_b' } : load;
  const limit = general ? deviceAhead(t, c) : null;
  const guard = guardOf(t, c);
  const need: ConductorNeed = { material: facts.material, insulation: facts.insulation, termination: facts.termination, atTerminals: load, corrected: withoutMargin, ambient, bundling,
    ...(limit ? { smallest: smallestUnderDevice(t, limit, facts.material) } : {}), ...(guard ? { device: guard } : {}) };
  const byAmpacity = pickConductor(t, need);
  const size = chosen?.size === undefined ? undefined : readSize(chosen.size);
  if (size === null) throw new Gap(`'${chosen?.size}' is no conductor size`, ['conductor size, e.g. 4 AWG or 250 kcmil']);
  const entered = size !== undefined;
  const sets = chosen?.perPhase ?? (entered ? 1 : byAmpacity.perPhase);
  const startSize = size ?? byAmpacity.size;
  const base = { facts, need, byAmpacity: { size: byAmpacity.size, perPhase: byAmpacity.perPhase }, entered };
  let length: Length;
  try { length = wholeLength(t, c); } catch (error) {
    if (!isOpenQuestion(error)) throw error;
    const pick = entered ? describePick(t, need, startSize, sets) : byAmpacity;
    return { ...pick, ...base, drop: null, dropGap: error };
  }
  return { ...base, ...enlarge(t, c, { facts, need, startSize, sets, entered, length, byAmpacity }), dropGap: null };
}

/** Null instead of an open question about the device: its own result says what is missing. */
function known<T>(work: () => T): T | null {
  try { return work(); } catch (error) {
    if (isOpenQuestion(error)) return null;
    throw error;
  }
}

/** The device ahead of the conductors; where none is entered, the largest fuse allowed stands for it. */
function deviceAhead(t: Trace, c: Case): Figure | null {
  const { type, ratedAmperes, fuseAmperes, upstreamAmperes } = c.data;
  const entered = upstreamAmperes ?? (type === 'circuit-breaker' ? ratedAmperes : fuseAmperes);
  return entered !== undefined ? given('I_dev', entered, 'A', 'typed', c.device.tag) : known(() => c.protection(t, 'time-delay-fuse').largest);
}

/**
 * The device that protects the conductors: the breaker or fuses here, or the device upstream where nothing here does or where it is not too
 * large for the circuit (else the conductors are a tap ahead of fuses here). Null where none is known, or where a motor's own rules set it.
 */
function guardOf(t: Trace, c: Case): Guard | null {
  const { type, fusible, ratedAmperes, fuseAmperes, upstreamAmperes, upstreamType } = c.data;
  const kind = type === 'circuit-breaker' || (fuseAmperes === undefined && upstreamType === 'circuit-breaker') ? 'inverse-time-breaker' : 'time-delay-fuse';
  // Its steps join the derivation only where it decides.
  const protection = known(() => c.protection(new Trace(t.basis, true), kind));
  if (!protection || protection.freeTo === Infinity) return null;
  known(() => c.protection(t, kind));
  const here = type === 'circuit-breaker' ? ratedAmperes : fuseAmperes;
  const ahead = upstreamAmperes !== undefined && (fusible === false || atMost(upstreamAmperes, protection.largest.value)) ? upstreamAmperes : undefined;
  const amperes = here !== undefined ? given('I_dev', here, 'A', 'nameplate', c.device.tag) : ahead !== undefined ? given('I_dev', ahead, 'A', 'typed', c.device.tag) : protection.proposed ?? protection.largest;
  return atMost(amperes.value, protection.freeTo) ? null : { amperes, kind, nextSizeTo: t.rule('conductor.next-size.limit', 'I_next') };
}

interface Enlarge { readonly facts: WireFacts; readonly need: ConductorNeed; readonly startSize: string; readonly sets: number; readonly entered: boolean; readonly length: Length; readonly byAmpacity: ConductorPick }

/** Largest drop of the two methods for a size; the better-known impedance method is shown beside the K method. */
function dropOf(t: Trace, c: Case, e: Enlarge, size: string, sets: number): { readonly percent: Figure; readonly byConstant: Figure; readonly byImpedance: Figure } {
  const circuit = c.circuit(t);
  const run: Run = { current: c.running(t), length: e.length.figure, phases: circuit.phases, perPhase: sets };
  const byConstant = { ...dropByConstant(t, run, dropConstant(t, e.facts.material), size), name: 'U_K' };
  const byImpedance = { ...dropByOhms(t, run, ohmsOf(t, c, e, size), 'U_Z'), name: 'U_Z' };
  const worst = t.compute('Larger of both', 'U_d = max(U_K, U_Z)', [byConstant, byImpedance], 'V');
  return { percent: dropPercent(t, worst, given('U', circuit.volts, 'V', 'plan')), byConstant, byImpedance };
}

function ohmsOf(t: Trace, c: Case, e: Enlarge, size: string): Figure {
  if (c.circuit(t).phases === 'dc') return tableResistance(t, size, e.facts.material);
  const { resistance, reactance } = tableImpedance(t, size, e.facts.material, e.facts.racewayKind);
  const [first] = c.draws(t);
  const own = first?.part.data.powerFactor;
  const heater = c.draws(t).every((d) => d.part.data.kind === 'heater');
  const pf = own !== undefined ? given('pf', own, '', 'nameplate') : heater ? given('pf', 1, '', 'default') : t.rule('voltage-drop.power-factor', 'pf');
  return effectiveImpedance(t, resistance, reactance, pf);
}

function enlarge(t: Trace, c: Case, e: Enlarge): ConductorPick & { readonly drop: NonNullable<Wires['drop']> } {
  const limit = t.rule('voltage-drop.limit', 'd_max');
  const finish = (size: string, sets: number): ConductorPick & { readonly drop: NonNullable<Wires['drop']> } => {
    const drop = dropOf(t, c, e, size, sets);
    const pick = size === e.byAmpacity.size && sets === e.byAmpacity.perPhase ? e.byAmpacity : describePick(t, e.need, size, sets);
    return { ...pick, drop: { ...drop, limit, estimate: e.length.estimate } };
  };
  if (e.entered) return finish(e.startSize, e.sets);
  // Trials leave no steps: only the size that is taken is shown.
  const keeps = (size: string, sets: number): boolean => dropOf(new Trace(t.basis, true), c, e, size, sets).percent.value <= limit.value;
  const usable = SIZES.slice(0, sizeIndex('600') + 1);
  for (let sets = e.sets; sets <= e.sets + MORE_SETS; sets += 1) {
    const from = sets === e.sets ? e.startSize : '1/0';
    // More sets are never less metal than the largest of fewer sets.
    const least = sets === e.sets ? 0 : (sets - 1) * LARGEST_CMIL;
    const size = usable.slice(sizeIndex(from)).find((s) => setCarries(e.need, s, sets) && setIsGuarded(t, e.need, s, sets) && sets * cmilOf(s) >= least && keeps(s, sets));
    if (size !== undefined) return finish(size, sets);
  }
  throw new Gap('no conductor set keeps the recommended drop over this route', ['another supply point, or a higher limit as a local amendment']);
}
const MORE_SETS = 8;
const cmilOf = (size: string): number => Number(table('conductor').rows.find((r) => r.size === size)?.cmil);
const LARGEST_CMIL = cmilOf('600');

/** Words for the chosen set. */
export const wireName = (w: Wires): string => conductorName(w.size, w.perPhase, w.material);

export interface Fault {
  readonly amperes: Figure;
  readonly pointToPoint: Figure | null;
  readonly byImpedance: Figure | null;
  readonly spreadPercent: number | null;
  readonly estimate: boolean;
  /** What may still add to it and is not covered here; null where nothing is. */
  readonly open: string | null;
}

interface SourceFault { readonly start: Figure; readonly r: Figure; readonly x: Figure; readonly volts: Figure; readonly phases: 1 | 3; readonly neutral: boolean }

function sourceOf(t: Trace, system: SupplySystem, toleranceCounts = true): SourceFault {
  checkSource(system);
  const source = system.source;
  const { phases } = system;
  if (phases === 'dc') throw new Gap('fault current on direct current is worked out from a stated value only', ['available fault current of the dc source, from its maker or an engineer']);
  const volts = given('U', system.voltage, 'V', 'typed', system.name);
  if (source?.availableFaultCurrent !== undefined) {
    const start = given('I_0', source.availableFaultCurrent, 'A', 'typed', system.name);
    const ratio = source.xOverR === undefined ? t.rule('fault.service-x-over-r', 'k_XR') : given('k_XR', source.xOverR, '', 'typed', system.name);
    return { start, volts, phases, neutral: false, ...sourceImpedance(t, start, volts, ratio, phases) };
  }
  if (source?.transformerKva === undefined || source.impedancePercent === undefined) {
    throw new Gap(`the source of ${system.name} is not known`, [`available fault current of ${system.name}, or its transformer's kVA and impedance`]);
  }
  const kva = given('S', source.transformerKva, 'kVA', 'nameplate', system.name);
  const full = transformerAmperes(t, kva, volts, phases);
  const z = effectiveImpedancePercent(t, given('Z_np', source.impedancePercent, '%', 'nameplate', system.name), toleranceCounts && source.transformerKva >= SMALLEST_TOLERANCE_KVA);
  const start = terminalFault(t, full, faultMultiplier(t, z));
  const ratio = source.xOverR === undefined ? t.rule('fault.x-over-r', 'k_XR') : given('k_XR', source.xOverR, '', 'nameplate', system.name);
  return { start, volts, phases, neutral: phases === 1 && system.voltsToGround < system.voltage, ...sourceImpedance(t, start, volts, ratio, phases) };
}
/** The impedance tolerance holds for transformers of 25 kVA and larger. */
const SMALLEST_TOLERANCE_KVA = 25;

/** What lies between the source and a point: its impedance, and what about it is not certain. */
export interface Ahead { readonly r: Figure; readonly x: Figure; readonly volts: Figure; readonly phases: 1 | 3; readonly system: SupplySystem; readonly estimate: boolean }

/** Impedance of the source, at its nameplate, and of every run up to the line side of a device. */
export function impedanceAhead(t: Trace, project: Project, device: Disconnect, seen: ReadonlySet<string> = new Set()): Ahead {
  if (seen.has(device.id)) throw new Gap('the disconnects feed each other in a circle', ['what feeds the disconnect']);
  const c = caseOf(project, device);
  const from = feederOf(c);
  const length = supplyLength(t, c);
  const wires = selectionWires(project, device)(t);
  let start: Ahead;
  if (from.kind === 'supply') {
    const system = project.systems.get(from.system);
    if (!system) throw new Gap('the feeding supply has no system', ['system of the feeding supply']);
    const { r, x, volts, phases } = sourceOf(t, system, false);
    start = { r, x, volts, phases, system, estimate: false };
  } else start = impedanceAhead(t, project, from, new Set([...seen, device.id]));
  return { ...runAfter(t, start, wires, length.figure), estimate: length.estimate || start.estimate };
}

/** A further run of the same conductors. */
export const runAfter = (t: Trace, ahead: Ahead, wires: Wires, length: Figure): Ahead =>
  ({ ...ahead, ...impedanceToEnd(t, ahead, { length, perPhase: wires.perPhase, phases: ahead.phases }, wires.size, wires.facts.material, wires.facts.racewayKind) });

interface EndFault { readonly pp: Figure; readonly imp: Figure; readonly source: SourceFault; readonly r: Figure; readonly x: Figure; readonly estimate: boolean }

/** Fault current at the line side of a device, through every run above it, without motors. */
function endFault(t: Trace, project: Project, device: Disconnect, seen: ReadonlySet<string>): EndFault {
  if (seen.has(device.id)) throw new Gap('the disconnects feed each other in a circle', ['what feeds the disconnect']);
  const key = `fault/${device.id}`;
  const known = project.memo.get(key) as ((t: Trace) => EndFault) | undefined;
  if (known) return known(t);
  const ask = once((own) => runFault(own, project, device, new Set([...seen, device.id])));
  project.memo.set(key, ask);
  return ask(t);
}

function runFault(t: Trace, project: Project, device: Disconnect, seen: ReadonlySet<string>): EndFault {
  const c = caseOf(project, device);
  const from = feederOf(c);
  const length = supplyLength(t, c);
  const wires = selectionWires(project, device)(t);
  let above: EndFault | null = null;
  let source: SourceFault;
  if (from.kind === 'supply') {
    const system = project.systems.get(from.system);
    if (!system) throw new Gap('the feeding supply has no system', ['system of the feeding supply']);
    source = sourceOf(t, system);
  } else {
    above = endFault(t, project, from, seen);
    source = above.source;
  }
  const run = { length: length.figure, perPhase: wires.perPhase, volts: source.volts, phases: source.phases };
  const start = above?.pp ?? source.start;
  const constant = conductorConstant(t, wires.size, wires.material, wires.facts.racewayKind);
  let pp = pointToPoint(t, start, run, constant).end;
  if (source.neutral && !above) {
    const neutral = lineNeutralFault(t, start, t.rule('fault.line-neutral-factor', 'k_LN'));
    const half = t.compute('Volts to neutral', 'U_n = U / 2', [source.volts], 'V');
    const toNeutral = pointToPoint(t, neutral, { ...run, volts: half }, constant).end;
    pp = t.compute('Larger of line to line and line to neutral', 'I_pp = max(I_LL, I_LN)', [{ ...pp, name: 'I_LL' }, { ...toNeutral, name: 'I_LN' }], 'A');
  }
  const imp = faultByImpedance(t, { r: above?.r ?? source.r, x: above?.x ?? source.x }, run, wires.size, wires.material, wires.facts.racewayKind);
  return { pp, imp: imp.end, r: imp.r, x: imp.x, source, estimate: length.estimate || (above?.estimate ?? false) };
}

/** Full-load current of all motors of a system, which feed a fault while they run down; what may hold motors counts with its amperes. */
function runningMotors(project: Project, system: SupplySystem): number {
  const key = `motors/${system.id}`;
  const known = project.memo.get(key);
  if (typeof known === 'number') return known;
  let sum = 0;
  for (const [loadId, devices] of project.servedBy) {
    const load = entityOf(project, loadId);
    const [device] = devices;
    if (load?.kind !== 'load' || !device) continue;
    for (const part of partsOf([load])) {
      const kind = partClass(part.data);
      if (kind !== 'motor' && kind !== 'hermetic' && kind !== 'torque-motor' && kind !== 'cooling' && !mayHideMotor({ kind, part })) continue;
      const quiet = new Trace({ edition: project.document.facts.edition });
      try {
        const circuit = circuitOf(quiet, project, device, part);
        const own = kind === 'cooling' ? part.data.ratedLoadAmperes ?? part.data.minimumCircuitAmpacity ?? 0 : currentOf(quiet, part, circuit).value;
        if (circuit.system?.id === system.id) sum += own * part.count;
      } catch (error) {
        // A load without data adds nothing here; its own result says what is missing.
        if (!(error instanceof Gap)) throw error;
      }
    }
  }
  project.memo.set(key, sum);
  return sum;
}

/** Available fault current at the line side of a device, both ways, with what running motors add. */
export function faultOf(t: Trace, c: Case): Fault {
  const { phases, system } = c.circuit(t);
  if (phases === 'dc') return directFault(t, c.project, system);
  if (system) refuseSmallSource(c.running(t).value, system);
  const end = endFault(t, c.project, c.device, new Set());
  const circuit = c.circuit(t);
  const more: Figure[] = [];
  if (circuit.system) {
    const running = runningMotors(c.project, circuit.system);
    if (running > 0) more.push(motorContribution(t, given('I_run', running, 'A', 'computed', `all motors on ${circuit.system.name}`), t.rule('fault.motor-multiple', 'k_m')));
  }
  const worst = t.compute('Larger of both methods', 'I_max = max(I_pp, I_imp)', [{ ...end.pp, name: 'I_pp' }, { ...end.imp, name: 'I_imp' }], 'A');
  const amperes = more.length === 0 ? { ...worst, name: 'I_f' } : t.compute('Available fault current with motors', 'I_f = I_max + I_m', [worst, ...more.map((m) => ({ ...m, name: 'I_m' }))], 'A');
  const spread = t.compute('Spread of the two methods, negative where point to point is the lower', 'd = 100 x (I_pp / I_imp - 1)', [{ ...end.pp, name: 'I_pp' }, { ...end.imp, name: 'I_imp' }], '%');
  return { amperes, pointToPoint: end.pp, byImpedance: end.imp, spreadPercent: spread.value, estimate: end.estimate, open: otherSource(c) };
}

/** Overload beyond which a transformer is not the one that feeds the load: a unit was mistaken, and its fault current would be as wrong (own reading). */
const MOST_OVERLOAD = 4;

function refuseSmallSource(running: number, system: SupplySystem): void {
  checkSource(system);
  const { name, voltage, phases, source } = system;
  if (source?.transformerKva === undefined || source.availableFaultCurrent !== undefined) return;
  const full = (source.transformerKva * 1000) / (voltage * (phases === 3 ? Math.sqrt(3) : 1));
  if (running > MOST_OVERLOAD * full) throw new Gap(`the transformer of ${name}, ${source.transformerKva} kVA, carries ${round(full)} A, and the load draws ${round(running)} A`, [`kVA of the transformer of ${name}, or the loads it feeds`]);
}

/** A source besides the supply that a fault is fed from: its current is not worked out here. */
function otherSource(c: Case): string | null {
  const loads = loadsOf(c.project, c.device);
  if (partsOf(loads).some(({ data }) => data.kind === 'generator')) return 'the generator feeds a fault as well';
  if (partsOf(loads).some(({ data }) => data.kind === 'pv')) return 'the inverter feeds a fault as well';
  return loads.some(({ data }) => data.conditions?.includes('two-sources') === true) ? 'the second source may give more' : null;
}

/** Direct current: what is stated at the source bounds it everywhere, since conductors only lower it; motors that feed back are not covered. */
function directFault(t: Trace, project: Project, system: SupplySystem | null): Fault {
  if (system) checkSource(system);
  const stated = system?.source?.availableFaultCurrent;
  if (!system || stated === undefined) throw new Gap('fault current on direct current is worked out from a stated value only', ['available fault current of the dc source, from its maker or an engineer']);
  t.state('Available fault current at the source', stated, 'A', 'as stated; the conductors on the way are not counted, they only lower it (own reading)', 'typed');
  const amperes: Figure = { ...given('I_f', stated, 'A', 'typed', system.name), confidence: 'own-reading' };
  return { amperes, pointToPoint: null, byImpedance: null, spreadPercent: null, estimate: false, open: runningMotors(project, system) > 0 ? 'dc motors that run add to it' : null };
}

/** The conductors of a device, kept with the project so that devices below it use the very same. */
export function selectionWires(project: Project, device: Disconnect): (t: Trace) => Wires {
  const key = `wires/${device.id}`;
  const known = project.memo.get(key) as ((t: Trace) => Wires) | undefined;
  if (known) return known;
  const c = caseOf(project, device);
  const ask = once((t) => wiresOf(t, c));
  project.memo.set(key, ask);
  return ask;
}
