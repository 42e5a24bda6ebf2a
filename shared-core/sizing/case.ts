import { Gap, atMost, given, once, round } from '../code-data/index';
import type { Basis, Figure, RuleKey, Trace } from '../code-data/index';
import type { DeviceData, Disconnect, LoadData } from '../document/index';
import { counted, nextDevice } from './general-load';
import { circuitOf, currentOf, lockedOf, motorOf, partClass, servedParts } from './load';
import type { Circuit, Part, PartClass } from './load';
import { equivalentHorsepower, horsepowerForCurrent, horsepowerForLockedRotor, sumOf } from './motor';
import { branchDevice, hermeticDevice, protectionRow, roundDown, standardRatings, startingCeiling } from './protection';
import type { ProtectiveDevice } from './protection';
import { transformerDevice } from './transformer';
import { disconnectAmperes } from './rating';
import { loadsOf } from './project';
import type { Project } from './project';

/** One part with its circuit and currents; 'total' counts every unit. */
export interface Draw { readonly part: Part; readonly kind: PartClass; readonly circuit: Circuit; readonly current: Figure; readonly total: Figure }

export interface Protection {
  /** What the percentage or the plate gives, before rounding; null for a marked maximum. */
  readonly calculated: Figure | null;
  readonly largest: Figure;
  /** What to propose where it is less than the largest allowed. */
  readonly proposed?: Figure;
  /** Higher value allowed only where the motor will not start. */
  readonly ceiling: Figure | null;
  /** Smallest device worth proposing. */
  readonly smallest: Figure;
  readonly because: string;
  /** A device up to this need not be one that the conductors' ampacity allows: motors have rules of their own (240.4(G)). Amperes. */
  readonly freeTo: number;
  /** A larger device is no fault where the conductors suit it: the load itself sets no upper limit. */
  readonly mayBeLarger?: boolean;
}

/** The electrical facts of one disconnect, each worked out once and shared by all its questions. */
export interface Case {
  readonly project: Project;
  readonly device: Disconnect;
  readonly data: DeviceData;
  readonly basis: Basis;
  readonly draws: (t: Trace) => readonly Draw[];
  readonly circuit: (t: Trace) => Circuit;
  /** Sum of the running currents. */
  readonly running: (t: Trace) => Figure;
  readonly neededAmperes: (t: Trace) => Figure;
  /** Horsepower the switch needs, by circuit voltage of the switch table; null where no motor is served. */
  readonly horsepower: (t: Trace) => ((circuitVolts: number) => Figure) | null;
  readonly conductorNeed: (t: Trace) => Figure;
  readonly protection: (t: Trace, device: ProtectiveDevice) => Protection;
  /** A service or feeder disconnect and nothing else: not a motor's. */
  readonly isFeeder: boolean;
  /** A service or feeder among its loads. */
  readonly withFeeder: boolean;
}

const isMotorLike = (kind: PartClass): boolean => kind === 'motor' || kind === 'hermetic' || kind === 'torque-motor';
/** Kinds that hold motors even where only their amperes are known. */
const WITH_MOTORS: ReadonlySet<string> = new Set(['machine', 'crane', 'elevator', 'irrigation', 'pool', 'fire-pump']);
/** Whether a draw may hold a motor of which nothing but amperes is known. */
export const mayHideMotor = ({ kind, part }: Pick<Draw, 'kind' | 'part'>): boolean => (WITH_MOTORS.has(part.data.kind) || part.data.kind === 'other') && !isMotorLike(kind);
export const hiddenMotor = ({ part: { tag, data } }: Draw): Gap => (data.kind === 'other'
  ? new Gap(`${tag} is entered by its amperes, and what it is was not entered: it may be a motor`, [`kind of ${tag}`])
  : new Gap(`${tag} is entered by its amperes alone, and it has motors`, [`motors of ${tag} (its parts), or their horsepower`]));

/** Loads whose circuit may have a larger device than they need, if its conductors have it too: no rule of their own limits it. */
const WITHOUT_LIMIT: ReadonlySet<string> = new Set(['continuous', 'noncontinuous', 'service', 'feeder']);

/** Whether a draw is a motor or holds one, be it entered by its amperes alone. */
export const hasMotor = ({ kind, part }: Draw): boolean => isMotorLike(kind) || kind === 'cooling' || WITH_MOTORS.has(part.data.kind);
const isSingle = (draws: readonly Draw[]): boolean => draws.length === 1 && draws[0]?.part.count === 1;

/** Percentage that a load which is no motor counts with. */
function loadRule(draw: Draw): RuleKey {
  switch (draw.part.data.kind) {
    case 'heater': return 'load.heater.percent';
    case 'ev-supply': return 'load.ev.percent';
    case 'pv': return 'load.pv.percent';
    case 'generator': return 'load.generator.percent';
    case 'drive': return 'load.drive.conductor.percent';
    default: return draw.kind === 'noncontinuous' ? 'load.noncontinuous.percent' : 'load.continuous.percent';
  }
}

const countedDraw = (t: Trace, draw: Draw): Figure => counted(t, draw.total, loadRule(draw), `Current to count for ${draw.part.tag}`);

function findDraws(t: Trace, project: Project, device: Disconnect): Draw[] {
  return servedParts(project, device).map((part) => {
    const circuit = circuitOf(t, project, device, part);
    const kind = partClass(part.data);
    const current = kind === 'cooling' ? coolingCurrent(t, part) : currentOf(t, part, circuit);
    const total = part.count === 1 ? current : t.compute(`Current of ${part.count} x ${part.tag}`, `I_t = n x ${current.name}`, [given('n', part.count, '', 'typed'), current], 'A');
    return { part, kind, circuit, current, total };
  });
}

/** Multi-motor cooling equipment: its marked ampacity is never below the sum of its currents, so it bounds them (own reading). */
function coolingCurrent(t: Trace, { data, tag }: Part): Figure {
  if (data.ratedLoadAmperes !== undefined) return given('I_sum', data.ratedLoadAmperes, 'A', 'nameplate', tag);
  if (data.minimumCircuitAmpacity === undefined) throw new Gap(`${tag} has no minimum circuit ampacity`, [`minimum circuit ampacity (MCA) of ${tag}`]);
  t.state('Sum of the currents, at most', data.minimumCircuitAmpacity, 'A', 'the marked ampacity holds 125 percent of the largest current and all others, so the sum is not above it (own reading)', 'nameplate');
  return { ...given('I_MCA', data.minimumCircuitAmpacity, 'A', 'nameplate', tag), confidence: 'own-reading' };
}

function commonCircuit(t: Trace, draws: readonly Draw[]): Circuit {
  const [first] = draws;
  if (!first) throw new Gap('it serves no load', ['load that this disconnect isolates']);
  const widest = draws.find((d) => d.circuit.phases === 3) ?? draws.find((d) => !d.circuit.lineNeutral) ?? first;
  for (const d of draws) {
    const sameSystem = (d.circuit.system?.id ?? null) === (widest.circuit.system?.id ?? null);
    if (!sameSystem || (!d.circuit.lineNeutral && d.circuit.volts !== widest.circuit.volts)) {
      throw new Gap(`${d.part.tag} (${d.circuit.volts} V) and ${widest.part.tag} (${widest.circuit.volts} V) hang on different circuits`, ['loads of one circuit for this disconnect']);
    }
  }
  const most = t.rule('motor.disconnect.volts', 'U_max').value;
  if (widest.circuit.volts > most) throw new Gap(`${widest.circuit.volts} V is above the ${most} V at which these rules and tables end: ratings, fuses, conductors and fault current of medium voltage are not covered`, ['an engineered selection: above 1000 V is outside this tool']);
  return widest.circuit;
}

const wholeSum = (t: Trace, draws: readonly Draw[]): Figure => {
  const [first] = draws;
  return draws.length === 1 && first ? first.total : sumOf(t, 'Sum of the running currents', 'I_sum', draws.map((d) => d.total));
};

function neededAmperes(t: Trace, draws: readonly Draw[], running: Figure, need: Figure | null): Figure {
  const [first] = draws;
  if (isSingle(draws) && first) {
    if (first.kind === 'motor') return disconnectAmperes(t, running, 'motor.disconnect.percent');
    if (first.kind === 'torque-motor') return disconnectAmperes(t, running, 'motor.torque.disconnect.percent');
    if (first.kind === 'hermetic') return disconnectAmperes(t, running, 'hermetic.disconnect.percent');
    if (first.kind === 'cooling') return disconnectAmperes(t, running, 'hermetic.combination.disconnect.percent');
    if (first.kind === 'drive') return disconnectAmperes(t, running, 'load.drive.disconnect.percent');
  }
  const plain = draws.filter((d) => !isMotorLike(d.kind) && d.kind !== 'cooling');
  const rule: RuleKey = draws.some((d) => d.kind === 'hermetic' || d.kind === 'cooling') ? 'hermetic.combination.disconnect.percent' : 'motor.combination.disconnect.percent';
  const general = plain.length > 0 ? sumOf(t, 'Sum with continuous loads at 125 percent', 'I_gen', draws.map((d) => (plain.includes(d) ? countedDraw(t, d) : d.total))) : null;
  if (plain.length === draws.length && general) return t.compute('Smallest ampere rating of the disconnect', `I_min = ${general.name}`, [general], 'A', general.citation);
  const combined = t.compute('Percentage of the sum', `I_115 = p / 100 x ${running.name}`, [t.rule(rule, 'p'), running], 'A');
  const all = [combined, ...(general ? [general] : []), ...(need ? [need] : [])];
  return all.length === 1 ? { ...combined } : t.compute('Smallest ampere rating of the disconnect', `I_min = max(${all.map((f) => f.name).join(', ')})`, all, 'A', combined.citation);
}

/** 125 percent of the largest motor, the others, and other loads as they count (430.24, 440.33); the marked ampacity of cooling equipment. */
function conductorNeed(t: Trace, draws: readonly Draw[], running: Figure): Figure {
  const [first] = draws;
  if (isSingle(draws) && first) {
    const { data, tag } = first.part;
    if (first.kind === 'cooling' && data.minimumCircuitAmpacity !== undefined) return { ...given('I_MCA', data.minimumCircuitAmpacity, 'A', 'nameplate', tag) };
    const rule: RuleKey = ampacityRule(first);
    const duty = dutyAmpacity(t, first);
    if (duty) return { ...duty, name: 'I_z' };
    const own = t.compute('Smallest conductor ampacity', `I_z = p / 100 x ${running.name}`, [t.rule(rule, 'p'), running], 'A');
    if (first.kind !== 'hermetic' || data.minimumCircuitAmpacity === undefined) return own;
    return t.compute('Not below the marked circuit ampacity', 'I_zm = max(I_z, I_MCA)', [own, given('I_MCA', data.minimumCircuitAmpacity, 'A', 'nameplate', tag)], 'A');
  }
  const motors = draws.filter((d) => isMotorLike(d.kind) || d.kind === 'cooling');
  if (motors.length === 0) return sumOf(t, 'Smallest conductor ampacity', 'I_z', draws.map((d) => countedDraw(t, d)));
  const plain = draws.filter((d) => !motors.includes(d)).map((d) => countedDraw(t, d));
  // Motors of other than continuous duty count with their own percentage beside 125 percent of the largest continuous one: never less than 430.24 asks.
  const duties = motors.flatMap((d) => { const one = dutyAmpacity(t, d); return one ? [d.part.count === 1 ? one : t.compute(`Ampacity for ${d.part.count} x ${d.part.tag}`, 'I_n = n x I_d', [given('n', d.part.count, '', 'typed'), one], 'A')] : []; });
  const steady = motors.filter((d) => interruptedDuty(d) === null).flatMap((d) => (d.part.count > 1 ? [d.current, { ...d.current, value: d.current.value * (d.part.count - 1) }] : [d.current]));
  const others = [...duties, ...plain];
  if (steady.length === 0) return sumOf(t, 'Smallest conductor ampacity', 'I_z', others);
  return groupAmpacity(t, steady, others, draws.some((d) => d.kind === 'hermetic') ? 'hermetic.group.largest.percent' : 'motor.group.largest.percent');
}

/** Percentage of the conductors of one load: six leads from a starter carry less each. */
function ampacityRule(draw: Draw): RuleKey {
  const leads = startsOnPart(draw) && draw.part.data.driveSide === 'load';
  if (draw.kind === 'hermetic' || draw.kind === 'cooling') return leads && draw.part.data.starting === 'wye-delta' ? 'hermetic.conductor.wye-delta.percent' : 'hermetic.conductor.percent';
  if (!isMotorLike(draw.kind)) return loadRule(draw);
  if (leads) return `motor.conductor.${draw.part.data.starting ?? 'wye-delta'}.percent`;
  const rectifier = draw.circuit.phases === 'dc' ? (['rectifier-half-wave', 'rectifier-full-wave'] as const).find((c) => draw.part.data.conditions?.includes(c)) : undefined;
  return rectifier === undefined ? 'motor.conductor.percent' : `motor.conductor.${rectifier}.percent`;
}

/** Whether six leads run from a starter to this motor. */
export const startsOnPart = ({ part, kind }: Draw): boolean => isMotorLike(kind) && part.data.starting !== undefined;

/** The duty of a motor that is not continuous; null for any other. */
function interruptedDuty({ part: { data }, kind }: Draw): Exclude<NonNullable<LoadData['duty']>, 'continuous'> | null {
  return kind !== 'motor' || data.duty === undefined || data.duty === 'continuous' ? null : data.duty;
}
const RATED = { 5: '5-minute', 15: '15-minute', 30: '30-or-60-minute', 60: '30-or-60-minute', continuous: 'continuous' } as const;

/** Conductor ampacity of a motor of other than continuous duty: a percentage of its NAMEPLATE current (430.22(E)); null for continuous duty. */
function dutyAmpacity(t: Trace, draw: Draw): Figure | null {
  const { data: { timeRating, nameplateAmperes }, tag } = draw.part;
  const duty = interruptedDuty(draw);
  if (duty === null) return null;
  if (timeRating === undefined) throw new Gap(`${tag} has ${duty} duty, and its time rating is not entered`, [`time rating of ${tag} (5, 15, 30 or 60 minutes, or continuous)`]);
  if (nameplateAmperes === undefined) throw new Gap(`${tag} has ${duty} duty: its conductors go by the nameplate current`, [`nameplate amperes of ${tag}`]);
  const key = `motor.duty.${duty}.${RATED[timeRating]}.percent` as const;
  if (key === 'motor.duty.short-time.continuous.percent') throw new Gap(`${tag}: nothing is printed for short-time duty of a continuous-rated motor`, [`duty or time rating of ${tag}`]);
  return t.compute(`Conductor ampacity of ${tag}, ${duty} duty`, 'I_d = p / 100 x I_np', [t.rule(key, 'p'), given('I_np', nameplateAmperes, 'A', 'nameplate', tag)], 'A');
}

/** Ampacity for several motors and other loads: the largest motor at its percentage, the rest as given. */
export function groupAmpacity(t: Trace, motors: readonly Figure[], others: readonly Figure[], rule: RuleKey): Figure {
  const largest = motors.reduce((a, b) => (b.value > a.value ? b : a));
  const rest = [...motors.filter((m) => m !== largest), ...others];
  const percent = t.rule(rule, 'p');
  if (rest.length === 0) return t.compute('Smallest conductor ampacity', 'I_z = p / 100 x I_max', [percent, { ...largest, name: 'I_max' }], 'A');
  const sum = sumOf(t, 'Currents of the other loads', 'I_rest', rest);
  return t.compute('Smallest conductor ampacity', 'I_z = p / 100 x I_max + I_rest', [percent, { ...largest, name: 'I_max' }, sum], 'A');
}

/** Volts that the switch table lists; motors at 200 and 208 V (and 120 V on a 240 V figure) go by their equivalent at 230 V. */
const EQUIVALENT_VOLTS = 230;

function neededHorsepower(draws: readonly Draw[], circuit: Circuit, running: Figure): ((t: Trace, circuitVolts: number) => Figure) | null {
  const hidden = draws.find(mayHideMotor);
  if (hidden) throw hiddenMotor(hidden);
  if (!draws.some((d) => isMotorLike(d.kind) || d.kind === 'cooling')) return null;
  if (circuit.phases === 'dc') {
    const [only] = draws;
    if (!isSingle(draws) || only?.kind !== 'motor') throw new Gap('several loads on direct current have no equivalent horsepower: the tables of locked-rotor current are for alternating current', ['disconnect of its own for each dc motor']);
    return (own) => ownHorsepower(own, only);
  }
  const phases = circuit.phases;
  const at = (circuitVolts: number): number => (circuit.volts < circuitVolts ? EQUIVALENT_VOLTS : circuit.volts);
  return (own, circuitVolts) => horsepowerAt(own, draws, running, at(circuitVolts), circuit.volts, phases);
}

/** One motor at its own voltage needs its own horsepower (430.109(A)(1)). */
function ownHorsepower(t: Trace, { part, circuit }: Draw): Figure {
  const motor = given('P_motor', motorOf(t, part, circuit).horsepower, 'hp', 'nameplate', part.tag);
  return t.compute('Horsepower the disconnect needs', 'P_req = P_motor', [motor], 'hp', t.rule('motor.disconnect.percent', 'p').citation);
}

/** What a switch needs whose horsepower covers the motors alone, resistance heat beside them (430.110(C)(1) Exception). */
export interface MotorsAlone { readonly horsepower: (circuitVolts: number) => Figure; readonly lockedAndHeat: Figure }

/** Null unless the load is motors and resistance heat, and nothing else. */
export function motorsAlone(t: Trace, c: Pick<Case, 'draws' | 'circuit' | 'isFeeder'>): MotorsAlone | null {
  const draws = c.draws(t);
  const circuit = c.circuit(t);
  const motors = draws.filter((d) => d.kind === 'motor');
  const heat = draws.filter((d) => d.part.data.kind === 'heater');
  if (c.isFeeder || circuit.phases === 'dc' || motors.length === 0 || heat.length === 0 || motors.length + heat.length < draws.length) return null;
  const horsepower = neededHorsepower(motors, circuit, wholeSum(t, motors));
  if (!horsepower) return null;
  const locked = motors.map((d) => t.compute(`Locked-rotor current of ${d.part.count} x ${d.part.tag}`, 'I_t = n x I_LRC', [given('n', d.part.count, '', 'typed'), { ...lockedOf(t, d.part, d.circuit, d.current), name: 'I_LRC' }], 'A'));
  const lockedAndHeat = sumOf(t, 'Locked-rotor current of the motors and the resistance load', 'I_alone', [...locked, ...heat.map((d) => d.total)]);
  return { horsepower: (volts) => horsepower(t, volts), lockedAndHeat };
}

function horsepowerAt(t: Trace, draws: readonly Draw[], running: Figure, volts: number, own: number, phases: 1 | 3): Figure {
  const [first] = draws;
  if (isSingle(draws) && first?.kind === 'motor') {
    const motor = motorOf(t, first.part, first.circuit);
    const marked = motor.lockedRotorAmperes !== undefined || motor.design === 'A' || motor.design === 'BE' || motor.design === 'CE';
    if (volts === own && !marked) return ownHorsepower(t, first);
    const byCurrent = volts === own ? given('P_FLC', motor.horsepower, 'hp', 'nameplate', first.part.tag) : horsepowerForCurrent(t, { ...running, confidence: 'own-reading' }, volts, phases);
    return equivalentHorsepower(t, byCurrent, horsepowerForLockedRotor(t, lockedOf(t, first.part, first.circuit, running), volts, phases));
  }
  return equivalentHorsepower(t, horsepowerForCurrent(t, running, volts, phases), horsepowerForLockedRotor(t, lockedSum(t, draws), volts, phases));
}

interface Locked { readonly draw: Draw; readonly one: Figure; readonly all: Figure }

/**
 * Locked-rotor currents that can flow together (430.110(C)(1)): of what never starts together the worst start counts on top of
 * the rest running. A machine speaks for its own parts only, so that two machines may still start at once; loads of their own
 * count one start where each of them says so.
 */
function lockedSum(t: Trace, draws: readonly Draw[]): Figure {
  const locked = draws.map((d): Locked => {
    const one = lockedOf(t, d.part, d.circuit, d.current);
    return { draw: d, one, all: d.part.count === 1 ? one : t.compute(`Locked-rotor current of ${d.part.count} x ${d.part.tag}`, `I_t = n x ${one.name}`, [given('n', d.part.count, '', 'typed'), one], 'A') };
  });
  const alone = locked.length > 0 && locked.every((l) => l.draw.part.startsAlone && !l.draw.part.isPart);
  const groups = alone ? [locked] : [...new Set(locked.map((l) => l.draw.part.load))].map((load) => locked.filter((l) => l.draw.part.load === load));
  const starts = groups.map((group) => (group.every((l) => l.draw.part.startsAlone) && (alone || group.every((l) => l.draw.part.isPart)) ? worstStart(t, group, alone ? 1 : group[0]?.draw.part.machines ?? 1) : null));
  if (starts.every((s) => s === null)) return sumOf(t, 'Sum of the locked-rotor currents', 'I_LR', locked.map((l) => l.all));
  const starting = groups.flatMap((group, i) => { const worst = starts[i]; return worst ? [worst.locked] : group.map((l) => l.all); });
  const rest = groups.reduce((sum, group, i) => { const worst = starts[i]; return worst ? sum + group.reduce((all, l) => all + l.draw.total.value, 0) - worst.running : sum; }, 0);
  const [only, ...more] = starting;
  const start = only && more.length === 0 ? { ...only, name: 'I_LRC' } : { ...sumOf(t, 'Locked-rotor currents that may flow together', 'I_start', starting), name: 'I_LRC' };
  return t.compute('Worst start on top of the loads that run', 'I_LR = I_LRC + I_run', [start, given('I_run', rest, 'A', 'computed')], 'A');
}

/** The start that adds most to what runs, of each of some machines at once; and what those units drew running. */
function worstStart(t: Trace, group: readonly Locked[], machines: number): { readonly locked: Figure; readonly running: number } {
  const worst = group.reduce((a, b) => (b.one.value - b.draw.current.value > a.one.value - a.draw.current.value ? b : a));
  const running = worst.draw.current.value * machines;
  if (machines === 1) return { locked: worst.one, running };
  return { locked: t.compute(`Worst start of ${machines} machines at once`, `I_w = n x ${worst.one.name}`, [given('n', machines, '', 'typed'), worst.one], 'A'), running };
}

function protectionOf(t: Trace, draws: readonly Draw[], running: Figure, need: Figure, device: ProtectiveDevice): Protection {
  const [first] = draws;
  const list = standardRatings(device, t.basis.edition);
  const enough = (): Figure => t.choose('Smallest device worth proposing', 'I_small', list, 'up', t.compute('Current a device should carry', `I_run = p / 100 x ${running.name}`, [t.rule('motor.running-fuse.percent', 'p'), running], 'A'));
  const marked = draws.map((d) => d.part.data.maximumOvercurrent).filter((v) => v !== undefined);
  const limited = (p: Protection): Protection => {
    if (marked.length === 0) return p;
    const most = given('I_mark', Math.min(...marked), 'A', 'nameplate');
    if (!p.because.includes('marked') && atMost(p.largest.value, most.value)) return p;
    const largest = roundDown(t, most, device, 'I_dev');
    const { proposed, ...rest } = p;
    return { ...rest, ...(proposed && atMost(proposed.value, largest.value) ? { proposed } : {}), largest, ceiling: null, because: `the plate allows at most ${most.value} A` };
  };
  if (draws.some(isFirePump)) throw firePump(t, draws);
  if (isSingle(draws) && first) {
    if (first.kind === 'motor') {
      const motor = motorOf(t, first.part, first.circuit);
      const { calculated, largest } = branchDevice(t, running, protectionRow(t, motor), device);
      const ceiling = startingCeiling(t, running, device, { tableDevice: largest }).largest;
      return limited({ calculated, largest, ceiling: ceiling.value > largest.value ? ceiling : null, smallest: enough(), because: 'percentage of the motor table', freeTo: Infinity });
    }
    if (first.kind === 'hermetic') {
      const h = hermeticDevice(t, running, null, { device });
      return limited({ calculated: h.calculated, largest: h.firstTry, ceiling: h.ceiling.value > h.firstTry.value ? h.ceiling : null, smallest: enough(), because: '175 percent of the compressor current', freeTo: Infinity });
    }
    if (first.kind === 'cooling') {
      if (marked.length === 0) throw new Gap(`${first.part.tag} has no largest overcurrent device`, [`maximum overcurrent device (MOCP) of ${first.part.tag}`]);
      const largest = roundDown(t, given('I_mark', Math.min(...marked), 'A', 'nameplate', first.part.tag), device, 'I_dev');
      return { calculated: null, largest, ceiling: null, smallest: t.choose('Smallest device worth proposing', 'I_small', list, 'up', need), because: 'marked on the plate', freeTo: Infinity };
    }
    if (first.kind === 'transformer') {
      const made = transformerDevice(t, running, 'primary-only', 'as the rule says', device);
      return { calculated: made.calculated, largest: made.device, ceiling: null, smallest: made.device, because: 'transformer table, primary protection alone', freeTo: 0 };
    }
    if (first.part.data.kind === 'welder' && first.part.data.conditions?.includes('resistance-welder') !== true) {
      const calculated = t.compute('Largest device of an arc welder before rounding', `I_calc = p / 100 x ${running.name}`, [t.rule('load.welder.device.percent', 'p'), running], 'A');
      const least = nextDevice(t, need, device === 'inverse-time-breaker' ? device : 'time-delay-fuse');
      const top = roundDown(t, calculated, device, 'I_dev');
      return limited({ calculated, largest: top.value >= least.value ? top : least, proposed: least, ceiling: null, smallest: least, because: '200 percent of the welder current', freeTo: Infinity });
    }
    if (first.kind === 'drive' && marked.length === 0) throw new Gap(`${first.part.tag} has no largest overcurrent device`, [`maximum overcurrent device marked on the drive ${first.part.tag}`]);
  }
  if (draws.every((d) => !isMotorLike(d.kind) && d.kind !== 'cooling')) {
    const device125 = nextDevice(t, need, device === 'inverse-time-breaker' ? device : 'time-delay-fuse');
    const mayBeLarger = marked.length === 0 && draws.every((d) => WITHOUT_LIMIT.has(d.part.data.kind));
    return limited({ calculated: need, largest: device125, ceiling: null, smallest: device125, because: 'next standard size for the load', freeTo: 0, mayBeLarger });
  }
  return limited(groupProtection(t, draws, running, need, device));
}

export const isFirePump = ({ part }: Draw): boolean => part.data.kind === 'fire-pump';

/** Locked-rotor current of every pump of a draw, by the percentage that its device carries without end. */
export function pumpCurrent(t: Trace, draw: Draw): Figure {
  const { tag, count, data } = draw.part;
  if (draw.kind !== 'motor' && data.lockedRotorAmperes === undefined) throw new Gap(`${tag} is entered by its amperes alone: its locked-rotor current is not known`, [`horsepower or locked-rotor amperes of ${tag}`]);
  const locked = draw.kind === 'motor' ? lockedOf(t, draw.part, draw.circuit, draw.current) : given('I_LRC', data.lockedRotorAmperes ?? 0, 'A', 'nameplate', tag);
  return t.compute(`Locked-rotor current of ${count} x ${tag}`, 'I_p = n x p / 100 x I_LRC', [given('n', count, '', 'typed'), t.rule('fire-pump.device.percent', 'p'), { ...locked, name: 'I_LRC' }], 'A');
}

/** A fire pump's device carries locked-rotor current without end, and nothing but a short circuit opens it: said with the figure, for a person to settle. */
function firePump(t: Trace, draws: readonly Draw[]): Gap {
  const pumps = draws.filter(isFirePump);
  const least = sumOf(t, 'Current that the device carries without end', 'I_fp', [...pumps.map((d) => pumpCurrent(t, d)), ...draws.filter((d) => !isFirePump(d)).map((d) => d.total)]);
  return new Gap(`${pumps.map((d) => d.part.tag).join(', ')} is a fire pump: its overcurrent device carries ${amps(least)} of locked rotor without opening (695.4, read in an older edition only)`, [], 'judgement',
    [`Take a device of at least ${amps(least)} listed for fire pump service, without overload protection, with the fire-pump article and the authority having jurisdiction.`]);
}

/** Feeder or group: the largest branch device plus the other currents, not rounded up (430.62, 440.22(B)). */
function groupProtection(t: Trace, draws: readonly Draw[], running: Figure, need: Figure, device: ProtectiveDevice): Protection {
  const branches = draws.filter((d) => isMotorLike(d.kind)).map((d) => ({ draw: d, device: branchOf(t, d, device) }));
  if (branches.length === 0) throw new Gap('several pieces of cooling equipment: the branch device of each is needed', ['branch device of each piece of equipment']);
  const top = branches.reduce((a, b) => (b.device.value > a.device.value ? b : a));
  const rest = given('I_rest', running.value - top.draw.current.value, 'A', 'computed');
  const made = feederDevice(t, top.device, rest, device);
  const smallest = t.choose('Smallest device worth proposing', 'I_small', standardRatings(device, t.basis.edition), 'up', { ...need, name: 'I_z' });
  const largest = made.largest.value >= smallest.value ? made.largest : smallest;
  return { calculated: made.calculated, largest, ceiling: null, smallest, because: 'largest branch device plus the other loads', freeTo: made.largest.value };
}

function branchOf(t: Trace, d: Draw, device: ProtectiveDevice): Figure {
  if (d.kind === 'hermetic') return hermeticDevice(t, d.current, null, { device, roundDown: true }).firstTry;
  if (d.kind === 'torque-motor') return t.choose('Device of the torque motor', 'I_b', standardRatings(device, t.basis.edition), 'up', d.current);
  return branchDevice(t, d.current, protectionRow(t, motorOf(t, d.part, d.circuit)), device).largest;
}

/** Feeder device for motors: largest branch device plus the other motors' currents, then down to a standard size. */
export function feederDevice(t: Trace, largestBranch: Figure, others: Figure, device: ProtectiveDevice): { readonly calculated: Figure; readonly largest: Figure } {
  const calculated = t.compute('Largest branch device plus the other currents', 'I_calc = I_br + I_oth', [{ ...largestBranch, name: 'I_br' }, { ...others, name: 'I_oth' }], 'A');
  return { calculated, largest: roundDown(t, calculated, device, 'I_dev') };
}

/** The facts of one disconnect, kept with its project: every question and every device below it uses the very same. */
export function caseOf(project: Project, device: Disconnect): Case {
  const key = `case/${device.id}`;
  const known = project.memo.get(key) as Case | undefined;
  if (known) return known;
  const made = setOut(project, device);
  project.memo.set(key, made);
  return made;
}

function setOut(project: Project, device: Disconnect): Case {
  const basis: Basis = { edition: project.document.facts.edition, overrides: project.document.facts.overrides };
  const draws = once((t) => findDraws(t, project, device));
  const circuit = once((t) => commonCircuit(t, draws(t)));
  // What hangs on no one circuit, or on one above these tables, has no current to size by.
  const running = once((t) => { circuit(t); return wholeSum(t, draws(t)); });
  const supplies = loadsOf(project, device).map((l) => l.data.kind === 'service' || l.data.kind === 'feeder');
  const withFeeder = supplies.includes(true);
  const isFeeder = withFeeder && !supplies.includes(false);
  const need = once((t) => conductorNeed(t, draws(t), running(t)));
  const protections = new Map<ProtectiveDevice, (t: Trace) => Protection>();
  const horsepower = once((t) => (isFeeder ? null : neededHorsepower(draws(t), circuit(t), running(t))));
  const horsepowers = new Map<number, (t: Trace) => Figure>();
  return {
    project, device, data: device.data, basis, draws, circuit, running, isFeeder, withFeeder,
    neededAmperes: once((t) => neededAmperes(t, draws(t), running(t), withFeeder ? need(t) : null)),
    horsepower: (t) => {
      const give = horsepower(t);
      if (give === null) return null;
      return (volts) => {
        const known = horsepowers.get(volts) ?? once((own) => give(own, volts));
        horsepowers.set(volts, known);
        return known(t);
      };
    },
    conductorNeed: need,
    protection: (t, kind) => {
      const known = protections.get(kind) ?? once((own) => protectionOf(own, draws(own), running(own), need(own), kind));
      protections.set(kind, known);
      return known(t);
    },
  };
}

/** '46 A' for titles. */
export const amps = (figure: { readonly value: number }): string => `${round(figure.value)} A`;
