import { Gap, atLeast, atMost, given, round, row, ruleValue, table } from '../code-data/index';
import type { Citation, Figure, Finding, Trace } from '../code-data/index';
import { conductorName, refusedSet, setCarries, setIsGuarded, sizeIndex, sizeName } from './conductor';
import type { Protection } from './case';
import { amps, caseOf, hasMotor, hiddenMotor, mayHideMotor, motorsAlone } from './case';
import { showHorsepower } from './horsepower-text';
import { lockedOf, motorOf } from './load';
import type { Circuit } from './load';
import { codeLetterFigure, fullLoadCurrent, lockedRotorFromKva, lockedRotorKva, voltageColumn } from './motor';
import { overloadDevice, roundDown, standardRatings } from './protection';
import { switchCircuitVolts, switchClass } from './rating';
import { maybe, upstreamDevice, withMargin } from './selection';
import type { Selection } from './selection';
import { feederOf, selectionWires, wireName } from './run';
import type { Wires } from './run';

/** A question about one disconnect: its kind, its name in words, and how it is answered. */
export interface Question { readonly check: string; readonly title: string; readonly ask: (t: Trace, s: Selection) => Finding }

const quantity = (f: Figure): { readonly value: number; readonly unit: string } => ({ value: round(f.value), unit: f.unit });
const spare = (have: number, need: number, unit = 'A'): { readonly value: number; readonly unit: string } => ({ value: round(have - need), unit });
const estimateNote = (estimate: boolean): string => (estimate ? ' (route length is an estimate)' : '');

/** Data of every load read, contradictions named; what it draws. */
const loadData: Question = { check: 'sizing.load-current', title: 'Load current', ask: (t, s) => {
  const draws = s.draws(t);
  const circuit = s.circuit(t);
  const running = s.running(t);
  const plate = draws.filter((d) => d.kind === 'motor' && d.part.data.nameplateAmperes === undefined).map((d) => d.part.tag);
  const more = draws.filter((d) => d.kind === 'motor' && (d.part.data.nameplateAmperes ?? 0) > d.current.value);
  const [above] = more;
  if (above) return { verdict: 'judgement', title: `${above.part.tag}: nameplate ${above.part.data.nameplateAmperes} A is above the ${amps(above.current)} of the table, which counts unless the motor is built for low speed, high torque or several speeds`, value: quantity(running),
    citations: [{ text: 'NFPA 70 430.6(A)(1)', edition: t.basis.edition, confidence: t.basis.edition === '2026' ? 'memory' : 'confirmed' }], remedies: [`Record that ${above.part.tag} is such a motor, so that its nameplate current counts, or check its data.`] };
  return { verdict: 'pass', title: `${draws.length === 1 && draws[0] ? draws[0].part.tag : `${draws.length} loads`}: ${amps(running)} at ${circuit.volts} V${circuit.phases === 'dc' ? ' dc' : `, ${circuit.phases}-phase`}`, value: quantity(running),
    remedies: plate.length > 0 ? [`Enter the nameplate amperes of ${plate.join(', ')} to get the overload value.`] : [] };
} };

const ampereRating: Question = { check: 'sizing.ampere-rating', title: 'Ampere rating', ask: (t, s) => {
  const need = s.neededAmperes(t);
  const rated = s.data.ratedAmperes;
  if (rated === undefined) {
    if (s.data.type === 'molded-case-switch') return { verdict: 'pass', title: `to be selected: molded-case switch of at least ${amps(need)}`, value: quantity(need) };
    if (s.isBreaker) {
      const kind = s.protection(t, 'inverse-time-breaker');
      if (!atMost(need.value, kind.largest.value)) throw new Gap(`a breaker of at least ${amps(need)} is needed as a disconnect and one of at most ${amps(kind.largest)} allowed`, ['running current of the load from its nameplate, or another kind of disconnect']);
      return { verdict: 'pass', title: `to be selected: breaker up to ${amps(kind.largest)}, at least ${amps(need)}`, value: quantity(kind.largest) };
    }
    const pick = pickedSwitch(t, s, need);
    return { verdict: 'pass', title: `to be selected: ${pick.amperes.value} A switch (at least ${amps(need)} needed)`, value: quantity(pick.amperes), margin: spare(pick.amperes.value, need.value) };
  }
  const have = given('I_switch', rated, 'A', 'nameplate', s.device.tag);
  const enough = t.test('Rating is enough', `ok = I_switch >= ${need.name}`, [have, need]);
  if (enough) return { verdict: 'pass', title: `${rated} A rating covers ${amps(need)}`, value: quantity(have), margin: spare(rated, need.value) };
  return exceptionByHorsepower(t, s, have, need) ?? { verdict: 'fail', title: `${rated} A rating is below ${amps(need)}`, value: quantity(have), margin: spare(rated, need.value), remedies: [`Take a disconnect rated at least ${amps(need)}.`] };
} };

function pickedSwitch(t: Trace, s: Selection, need: Figure): ReturnType<Selection['switch']> {
  try { return s.switch(t); } catch (error) {
    throw error instanceof Gap ? new Gap(`at least ${amps(need)}; the switch itself waits: ${error.reason}`, error.missing, error.verdict, error.remedies) : error;
  }
}

/** A motor-circuit switch entered as holding no fuses: the only device that may be rated below the percentage. */
const isUnfusedSwitch = ({ data }: Selection): boolean => data.fusible === false && (data.type === undefined || data.type === 'enclosed-switch');

/** A listed unfused switch with enough horsepower may be rated below the percentage (430.110(A) exception); a feeder needs no horsepower. */
function exceptionByHorsepower(t: Trace, s: Selection, have: Figure, need: Figure): Finding | null {
  const hp = s.data.ratedHorsepower;
  const needs = horsepowerNeeds(t, s);
  if (hp === undefined || !needs || !isUnfusedSwitch(s)) return null;
  const { own, marked } = needs;
  const plate = given('P_switch', hp, 'hp', 'nameplate', s.device.tag);
  if (!t.test('Horsepower of the unfused switch is enough', 'ok = P_switch >= P_need', [plate, { ...own, name: 'P_need' }])) return null;
  const { citation } = ruleValue('motor.disconnect.percent', t.basis);
  const rest = { value: quantity(have), margin: spare(have.value, need.value), citations: [{ ...citation, text: `${citation.text} Exception` }] };
  const words = `${have.value} A is below ${amps(need)}, but a listed unfused switch with ${hp} hp may be`;
  if (!atLeast(hp, marked.value)) return { ...rest, verdict: 'judgement', title: `${words}, if it is marked for ${s.circuit(t).volts} V`, remedies: [`Confirm that the switch is marked ${own.value} hp or more at ${s.circuit(t).volts} V.`] };
  return { ...rest, verdict: 'pass', title: words, remedies: ['Keep the listing and the horsepower marking on record.'] };
}

/** Horsepower at the system's own voltage, and what it counts as on a switch marked at 240 V. */
export function horsepowerNeeds(t: Trace, s: Selection): { readonly own: Figure; readonly marked: Figure } | null {
  const wanted = s.horsepower(t);
  if (!wanted) return null;
  const { volts } = s.circuit(t);
  return { own: wanted(volts), marked: wanted(switchCircuitVolts(volts) === 240 ? 240 : volts) };
}

const horsepowerRating: Question = { check: 'sizing.horsepower', title: 'Horsepower rating', ask: (t, s) => {
  const needs = horsepowerNeeds(t, s);
  if (!needs) return aheadOfDrive(t, s) ?? { verdict: 'pass', title: 'not a motor disconnect: no horsepower rating needed' };
  const { own, marked } = needs;
  const { volts } = s.circuit(t);
  const counts = marked.value > own.value;
  const need = counts ? marked : own;
  const words = counts ? `${showHorsepower(own.value)} hp at ${volts} V, counted as ${showHorsepower(marked.value)} hp on a switch marked at 240 V` : `${showHorsepower(own.value)} hp at ${volts} V`;
  if (s.isBreaker) return { verdict: 'pass', title: `${words}: a listed ${s.data.type === 'molded-case-switch' ? 'molded case switch' : 'breaker'} needs no horsepower rating`, value: quantity(own), citations: [{ ...ruleValue('motor.disconnect.percent', t.basis).citation, text: `NFPA 70 430.109(A)(${s.data.type === 'molded-case-switch' ? 3 : 2})` }] };
  const rated = s.data.ratedHorsepower;
  if (rated === undefined) {
    if (s.data.type === 'pullout' || s.data.type === 'attachment-plug') throw new Gap(`${words}: what is typical of switches says nothing about ${s.data.type === 'pullout' ? 'a pull-out' : 'a plug and receptacle'}`, [`horsepower rating marked on the ${s.data.type === 'pullout' ? 'pull-out' : 'plug and receptacle'}`]);
    if (s.data.ratedAmperes !== undefined) return horsepowerOfFrame(t, s, need);
    const pick = s.switch(t);
    if (!pick.horsepower) throw new Gap('the horsepower of the switch is not known', ['horsepower rating of the switch']);
    return { verdict: 'pass', title: `to be selected: ${words}; a typical ${pick.amperes.value} A switch has ${showHorsepower(pick.horsepower.value)} hp${otherFuses(t, s, pick)} (verify on the nameplate)`, value: quantity(own), margin: spare(pick.horsepower.value, need.value, 'hp') };
  }
  refuseImpossiblePlate(t, s, rated);
  const have = given('P_switch', rated, 'hp', 'nameplate', s.device.tag);
  const margin = spare(rated, need.value, 'hp');
  if (t.test('Horsepower is enough', 'ok = P_switch >= P_need', [have, { ...need, name: 'P_need' }])) {
    if (s.circuit(t).phases === 'dc') return { verdict: 'judgement', title: `${rated} hp rating covers ${words} only if it is a rating for direct current`, value: quantity(have), margin, remedies: [`Confirm that the switch is marked ${own.value} hp or more at ${volts} V dc.`] };
    return { verdict: 'pass', title: `${rated} hp rating covers ${words}`, value: quantity(have), margin };
  }
  const alone = besideHeat(t, s, rated);
  if (alone) return { ...alone, margin };
  if (atLeast(rated, own.value)) return { verdict: 'judgement', title: `${rated} hp rating covers ${own.value} hp only if it is marked for ${volts} V (${words})`, value: quantity(have), margin, remedies: [`Confirm that the switch is marked ${own.value} hp or more at ${volts} V.`] };
  return { verdict: 'fail', title: `${rated} hp rating is below ${words}`, value: quantity(have), margin, remedies: [`Take a switch rated at least ${own.value} hp at ${volts} V.`] };
} };

/** A switch ahead of a drive goes by its input current; one marked with less horsepower than the motor behind it is for a person to settle. */
function aheadOfDrive(t: Trace, s: Selection): Finding | null {
  const motor = Math.max(0, ...s.draws(t).filter((d) => d.kind === 'drive').map((d) => d.part.data.horsepower ?? 0));
  const rated = s.data.ratedHorsepower;
  if (s.isFeeder || s.isBreaker || rated === undefined || motor === 0) return null;
  if (t.test('Horsepower of the switch reaches that of the motor behind the drive', 'ok = P_switch >= P_motor', [given('P_switch', rated, 'hp', 'nameplate', s.device.tag), given('P_motor', motor, 'hp', 'nameplate')])) return null;
  return { verdict: 'judgement', title: `${rated} hp is below the ${motor} hp behind the drive: the input current decides (430.128), but as the disconnect of the motor itself it would have to reach it`, value: { value: rated, unit: 'hp' }, margin: spare(rated, motor, 'hp'), remedies: ['Confirm that the motor has a disconnect of its own, or take a switch of its horsepower.'] };
}

/** A switch rated in horsepower and amperes may have the horsepower of the motors alone beside resistance heat (430.110(C)(1) Exception). */
function besideHeat(t: Trace, s: Selection, rated: number): Finding | null {
  const frame = s.data.ratedAmperes;
  const alone = frame === undefined ? null : motorsAlone(t, s);
  if (frame === undefined || !alone) return null;
  const { volts } = s.circuit(t);
  const needs = [alone.horsepower(volts), alone.horsepower(switchCircuitVolts(volts) === 240 ? 240 : volts)];
  const most = needs.reduce((a, b) => (b.value > a.value ? b : a));
  const ok = t.test('Horsepower covers the motors alone', 'ok = P_switch >= P_alone', [given('P_switch', rated, 'hp', 'nameplate', s.device.tag), { ...most, name: 'P_alone' }])
    && t.test('Amperes carry the motors at standstill and the heat', `ok = I_switch >= ${alone.lockedAndHeat.name}`, [given('I_switch', frame, 'A', 'nameplate', s.device.tag), alone.lockedAndHeat]);
  if (!ok) return null;
  const { citation } = ruleValue('motor.combination.disconnect.percent', t.basis);
  return { verdict: 'pass', title: `${rated} hp covers the motors alone, and ${frame} A carry ${amps(alone.lockedAndHeat)} of them at standstill with the heat`, value: { value: rated, unit: 'hp' }, citations: [{ ...citation, text: 'NFPA 70 430.110(C)(1) Exception' }] };
}

/** What the same switch has with fuses that are not time-delay: the standard figure. */
function otherFuses(t: Trace, s: Selection, pick: ReturnType<Selection['switch']>): string {
  const circuit = s.circuit(t);
  if (!s.fusible(t).value) return '';
  const row = table('switch-horsepower').rows.find((r) => r.duty === pick.duty && r.class === pick.volts && r.construction === 'fusible' && r.amperes === pick.amperes.value && r.voltage === switchCircuitVolts(circuit.volts) && r.phases === circuit.phases);
  return typeof row?.standard === 'number' ? ` with time-delay fuses and ${showHorsepower(row.standard)} hp with others` : '';
}

/** A fusible switch cannot be marked with more horsepower than 115 percent of its amperes carries; a listed unfused one may. */
function refuseImpossiblePlate(t: Trace, s: Selection, rated: number): void {
  const circuit = s.circuit(t);
  const frame = s.data.ratedAmperes;
  if (frame === undefined || circuit.phases === 'dc' || !s.fusible(t).value) return;
  const column = maybe(() => voltageColumn(t, circuit.phases, circuit.volts));
  const id = circuit.phases === 1 ? 'full-load-single-phase' : 'full-load-three-phase';
  const printed = circuit.phases === 1 ? row(id, { horsepower: rated }) : row(id, { motor: 'induction', horsepower: rated });
  // A marking between the table rows, or beyond what their column prints, cannot be held against the amperes.
  if (column === null || !printed.ok || rated > Math.max(...table(id).rows.map((r) => (typeof r[column] === 'number' ? Number(r.horsepower) : 0)))) return;
  const current = fullLoadCurrent(t, { horsepower: rated, voltage: circuit.volts, phases: circuit.phases }, 'I_plate');
  const needs = t.compute('Amperes that the marked horsepower needs', 'I_pl = p / 100 x I_plate', [t.rule('motor.disconnect.percent', 'p'), current], 'A');
  if (!atMost(needs.value, frame)) throw new Gap(`${rated} hp needs ${amps(needs)}, more than a fusible ${frame} A switch may be marked with`, ['horsepower rating on the nameplate of the switch']);
}

/** An entered ampere rating without its horsepower: what a typical switch of that rating has, to be verified. */
function horsepowerOfFrame(t: Trace, s: Selection, need: Figure): Finding {
  const pick = maybe(() => s.switch(t));
  const rated = s.data.ratedAmperes ?? 0;
  if (pick?.horsepower && pick.amperes.value <= rated) return { verdict: 'pass', title: `${need.value} hp needed; a typical ${rated} A switch has it${pick.amperes.value === rated && otherFuses(t, s, pick) !== '' ? `: ${showHorsepower(pick.horsepower.value)} hp${otherFuses(t, s, pick)}` : ''} (verify on the nameplate)`, value: quantity(need), remedies: ['Enter the horsepower on the nameplate of the switch.'] };
  throw new Gap(`${need.value} hp is needed and a typical ${rated} A switch may not have it`, ['horsepower rating on the nameplate of the switch']);
}

const lockedRotor: Question = { check: 'sizing.locked-rotor', title: 'Locked-rotor current', ask: (t, s) => {
  const hidden = s.isFeeder ? undefined : s.draws(t).find(mayHideMotor);
  if (hidden) throw hiddenMotor(hidden);
  const draws = s.draws(t).filter((d) => d.kind === 'motor' || d.kind === 'hermetic' || d.kind === 'cooling' || d.kind === 'torque-motor');
  const [first] = draws;
  if (!first) return { verdict: 'pass', title: 'not a motor disconnect: no locked-rotor current to break' };
  const locked = draws.map((d) => ({ d, figure: lockedOf(t, d.part, d.circuit, d.current) }));
  for (const { d, figure } of locked) {
    const letter = d.part.data.codeLetter;
    if (d.kind !== 'motor' || letter === undefined || d.circuit.phases === 'dc') continue;
    const motor = motorOf(t, d.part, d.circuit);
    const byLetter = lockedRotorFromKva(t, lockedRotorKva(t, motor.horsepower, codeLetterFigure(t, letter, 'minimum')), motor.voltage, d.circuit.phases, 'I_letter');
    if (!atMost(byLetter.value, figure.value)) {
      return { verdict: 'judgement', title: `${d.part.tag}: code letter ${letter} means at least ${amps(byLetter)} locked rotor, above the ${amps(figure)} of the table`, value: quantity(byLetter), remedies: ['Enter the locked-rotor amperes on the nameplate, or take the next larger switch.'] };
    }
  }
  return { verdict: 'pass', title: `${locked.map((l) => `${l.d.part.tag} ${amps(l.figure)}`).join(', ')} locked rotor, counted in the horsepower needed`, value: quantity(locked.map((l) => l.figure).reduce((a, b) => (b.value > a.value ? b : a))) };
} };

const STRAIGHT = (t: Trace): Citation => ({ text: 'NFPA 70 240.85', edition: t.basis.edition, confidence: 'memory', note: 'from memory' });
/** Breakers up to here are made as 120/240 V, above as 480Y/277 V and 600Y/347 V. */
const HALF_SLASH = 240;
const SLASH_TOLERANCE = 1.01;

/** Why a breaker of a voltage may be a slash-rated one that this system is not for; null where its lower figure covers the volts to ground too. */
function slashRated(t: Trace, rated: number, { phases, lineNeutral, system, voltsToGround }: Circuit): string | null {
  if (phases === 'dc' || lineNeutral) return null;
  if (voltsToGround === null || !system) return 'the volts to ground are not known, and with a slash in its voltage it is for grounded wye systems only';
  // The high leg of a tapped delta lies higher than its tap says.
  const tapped = phases === 3 && voltsToGround < 0.55 * system.voltage;
  const most = given('U_g', tapped ? (system.voltage * Math.sqrt(3)) / 2 : voltsToGround, 'V', 'plan', system.name);
  const low = given('U_low', rated <= HALF_SLASH ? rated / 2 : rated / Math.sqrt(3), 'V', 'computed', 'lower figure of a slash rating');
  const covered = atMost(most.value, low.value * SLASH_TOLERANCE);
  t.state('A slash rating would cover the volts to ground', covered, '', `${round(most.value)} V to ground, ${round(low.value)} V as the lower figure of a ${rated} V slash rating`, 'plan');
  return covered ? null : `${round(most.value)} V to ground need a straight rating, not one with a slash (${rated <= HALF_SLASH ? '120/240' : rated <= 480 ? '480Y/277' : '600Y/347'} V)`;
}

const voltageRating: Question = { check: 'sizing.voltage-rating', title: 'Voltage rating', ask: (t, s) => {
  const circuit = s.circuit(t);
  const need = given('U', circuit.volts, 'V', 'plan', circuit.system?.name ?? 'load');
  const direct = circuit.phases === 'dc';
  if (s.data.ratedVolts === undefined) {
    if (direct) throw new Gap('voltage ratings on direct current are not those of the typical series', ['dc voltage rating of the disconnect, from its nameplate']);
    if (s.isBreaker) return { verdict: 'pass', title: `to be selected: breaker for ${circuit.volts} V${slashRated(t, circuit.volts, circuit) === null ? '' : ', straight-rated (no slash in its voltage)'}`, value: quantity(need), ...(slashRated(t, circuit.volts, circuit) === null ? {} : { citations: [STRAIGHT(t)] }) };
    const voltageClass = switchClass(s.duty(t).value, s.fusible(t).value ? 'fusible' : 'non-fusible', circuit.volts);
    if (!t.test('The voltage class is enough', 'ok = U_class >= U', [{ ...given('U_class', voltageClass, 'V', 'table', 'classes of the typical series'), confidence: 'typical' as const }, need])) throw new Gap(`no typical switch is made for ${circuit.volts} V`, ['voltage rating of the switch']);
    return { verdict: 'pass', title: `to be selected: ${voltageClass} V switch on ${circuit.volts} V`, value: { value: voltageClass, unit: 'V' } };
  }
  const have = given('U_switch', s.data.ratedVolts, 'V', 'nameplate', s.device.tag);
  const enough = t.test('Voltage rating is enough', 'ok = U_switch >= U', [have, need]);
  const slash = enough && s.isBreaker ? slashRated(t, s.data.ratedVolts, circuit) : null;
  if (slash) return { verdict: 'judgement', title: `${s.data.ratedVolts} V rating on ${circuit.volts} V: ${slash}`, value: quantity(have), citations: [STRAIGHT(t)], remedies: [`Confirm that it is marked ${circuit.volts} V or more without a slash.`] };
  if (enough && direct) return { verdict: 'judgement', title: `${s.data.ratedVolts} V rating on ${circuit.volts} V dc: only if it is a rating for direct current`, value: quantity(have), remedies: [`Confirm that it is marked for ${circuit.volts} V dc or more.`] };
  return enough ? { verdict: 'pass', title: `${s.data.ratedVolts} V rating on ${circuit.volts} V`, value: quantity(have) }
    : { verdict: 'fail', title: `${s.data.ratedVolts} V rating is below ${circuit.volts} V`, value: quantity(have), margin: spare(s.data.ratedVolts, circuit.volts, 'V'), remedies: [`Take a disconnect rated at least ${circuit.volts} V.`] };
} };

/**
 * Whether the conductors of a circuit may include a grounded one that the plan does not tell: those of a two-wire system, or of a
 * three-phase one of three wires, whose whole voltage stands to ground, may be grounded at one end or corner, or nowhere.
 */
const mayBeGrounded = ({ phases, system, lineNeutral }: Circuit): boolean =>
  phases !== 'dc' && !lineNeutral && system !== null && system.wires === (system.phases === 3 ? 3 : 2) && atLeast(system.voltsToGround, system.voltage);

const poles: Question = { check: 'sizing.poles', title: 'Poles', ask: (t, s) => {
  const need = s.poles(t);
  t.state('Ungrounded conductors to open', need.poles, '', 'all ungrounded conductors open together', 'computed', { text: 'NFPA 70 430.103', edition: t.basis.edition, confidence: t.basis.edition === '2026' ? 'memory' : 'confirmed' });
  const words = `${need.poles}-pole${need.neutral ? ' with solid neutral' : ''}`;
  if (s.data.poles === need.poles - 1 && mayBeGrounded(s.circuit(t))) throw new Gap(`${s.data.poles} ${s.data.poles === 1 ? 'pole opens' : 'poles open'} all but one conductor: enough only where that one is grounded`, ['whether one conductor of this circuit is grounded, and is the one left closed (404.2(B), from memory)'], 'judgement');
  if (s.data.poles !== undefined && s.data.poles < need.poles) return { verdict: 'fail', title: `${s.data.poles} poles do not open ${need.poles} ungrounded conductors`, value: words, remedies: [`Take a ${words} disconnect.`] };
  if (s.data.poles !== undefined && need.neutral && s.data.neutral === false) return { verdict: 'fail', title: 'the circuit has a neutral and the switch has none', value: words, remedies: ['Add a solid neutral.'] };
  if (s.data.poles !== undefined && need.neutral && s.data.neutral === undefined && !s.isBreaker && s.data.options?.includes('solid-neutral') !== true) throw new Gap(`${s.data.poles} poles are enough, but the circuit has a neutral and it is not entered whether the switch has a solid one`, ['solid neutral of the switch']);
  return { verdict: 'pass', title: s.data.poles === undefined ? `to be selected: ${words}` : `${s.data.poles} poles${need.neutral && !s.isBreaker ? ' and a solid neutral' : ''}`, value: words };
} };

const fusing: Question = { check: 'sizing.fusing', title: 'Fusible or not', ask: (t, s) => {
  const fusible = s.fusible(t);
  if (s.data.fusible === false && s.data.fuseAmperes !== undefined) throw new Gap(`fuses of ${s.data.fuseAmperes} A are entered in a switch entered as holding none`, ['construction of the switch (fusible or not), or no fuse size']);
  t.state('Fusible', fusible.value, '', fusible.because.join('; '), s.data.fusible === undefined ? 'computed' : 'typed');
  const fusesOnly = s.draws(t).some((d) => d.part.data.fusesOnly === true);
  if (fusesOnly && !fusible.value && s.data.upstreamType !== 'fuse') {
    if (s.data.upstreamType === undefined) throw new Gap('the nameplate allows fuses only and the kind of the upstream device is not entered', ['kind of the upstream device (fuse or breaker)']);
    return { verdict: 'fail', title: 'the nameplate allows fuses only, and there is no fuse in the circuit', remedies: ['Take a fusible switch with fuses not above the marked size.'] };
  }
  if (fusible.value && s.draws(t).some((d) => d.part.data.kind === 'drive' && d.part.data.driveSide === 'load')) return { verdict: 'judgement', title: 'fuses in the output of a drive: only where its maker allows them', value: 'fusible', remedies: ['Take a switch without fuses and enter the device ahead of the drive, or confirm fuses with the maker of the drive.'] };
  if (fusible.value) return { verdict: 'pass', title: `fusible: ${fusible.because.join('; ')}`, value: 'fusible' };
  if (s.isBreaker && s.data.type === 'circuit-breaker') return { verdict: 'pass', title: 'the breaker protects the circuit itself', value: 'breaker' };
  if (s.data.upstreamAmperes === undefined) throw new Gap('nothing is entered that protects this circuit upstream', ['ampere rating and kind of the upstream device']);
  const allowed = s.protection(t, upstreamDevice(s));
  const upstream = given('I_up', s.data.upstreamAmperes, 'A', 'typed', s.device.tag);
  if (t.test('The upstream device is not too large', `ok = I_up <= ${allowed.largest.name}`, [upstream, allowed.largest])) return { verdict: 'pass', title: `non-fusible: the ${upstream.value} A device upstream protects it`, value: 'non-fusible', margin: spare(allowed.largest.value, upstream.value) };
  if (suitedTo(t, s, allowed)) return { verdict: 'pass', title: `non-fusible: ${upstream.value} A upstream, more than the ${amps(allowed.largest)} of the load; ${wireName(s.wires(t))} suits it`, value: 'non-fusible' };
  const asBreaker = s.protection(t, 'inverse-time-breaker');
  if (s.data.upstreamType === undefined && atMost(upstream.value, (asBreaker.ceiling ?? asBreaker.largest).value)) throw new Gap(`${upstream.value} A upstream is too large for a fuse and may be right for a breaker`, ['kind of the upstream device (fuse or breaker)']);
  if (allowed.ceiling && atMost(upstream.value, allowed.ceiling.value)) return { verdict: 'judgement', title: `${upstream.value} A upstream is above ${amps(allowed.largest)}; allowed up to ${amps(allowed.ceiling)} only where the motor will not start`, value: 'non-fusible', remedies: ['Record that the motor does not start on the smaller device, or take it.'] };
  return { verdict: 'fail', title: `${upstream.value} A upstream is above the ${amps(allowed.largest)} this circuit allows`, value: 'non-fusible', margin: spare(allowed.largest.value, upstream.value), remedies: [`Put fuses of at most ${amps(allowed.largest)} in the disconnect, or a smaller device upstream.`] };
} };

/** Whether a device above what the load asks for is no fault: the load sets no limit, and the conductors are those of the device. */
function suitedTo(t: Trace, s: Selection, { mayBeLarger }: Protection): boolean {
  if (mayBeLarger !== true) return false;
  const w = s.wires(t);
  return refusedSet(w.need, w.size, w.perPhase) === null && setCarries(w.need, w.size, w.perPhase) && setIsGuarded(t, w.need, w.size, w.perPhase);
}

const fuse: Question = { check: 'sizing.fuse', title: 'Fuse', ask: (t, s) => {
  if (!s.fusible(t).value) return { verdict: 'pass', title: 'no fuses in this disconnect' };
  const pick = s.fuse(t);
  const { protection } = pick;
  const name = `${pick.amperes.value} A Class ${pick.fuseClass}${pick.timeDelay ? ' time-delay' : ''}`;
  const ceiling = protection.ceiling ? `; up to ${amps(protection.ceiling)} only where the motor will not start` : '';
  if (s.data.fuseAmperes === undefined) return { verdict: 'pass', title: `to be selected: ${name} (at most ${amps(protection.largest)}, ${protection.because}${ceiling})`, value: name, margin: spare(protection.largest.value, pick.amperes.value) };
  const frame = s.data.ratedAmperes ?? s.switch(t).amperes.value;
  const own = { ...pick.amperes, name: 'I_fuse' };
  if (!t.test('The switch holds the fuse', 'ok = I_fuse <= I_switch', [own, given('I_switch', frame, 'A', 'nameplate')])) return { verdict: 'fail', title: `${name} does not fit a ${frame} A switch`, value: name, margin: spare(frame, own.value), remedies: [`Take a larger switch or a fuse of at most ${frame} A.`] };
  const larger = !t.test('The fuse is not too large', `ok = I_fuse <= ${protection.largest.name}`, [own, protection.largest]);
  if (larger && !suitedTo(t, s, protection)) {
    if (protection.ceiling && atMost(own.value, protection.ceiling.value)) return { verdict: 'judgement', title: `${name} is above ${amps(protection.largest)}; allowed up to ${amps(protection.ceiling)} only where the motor will not start`, value: name, remedies: ['Record that the motor does not start on the smaller fuse, or take it.'] };
    return { verdict: 'fail', title: `${name} is above the ${amps(protection.largest)} allowed (${protection.because})`, value: name, margin: spare(protection.largest.value, own.value), remedies: [`Take fuses of at most ${amps(protection.largest)}.`] };
  }
  if (s.circuit(t).phases === 'dc') return { verdict: 'judgement', title: `${name}, at most ${amps(protection.largest)}: only if the fuse has a rating for direct current`, value: name, remedies: [`Confirm that the fuse is marked for ${s.circuit(t).volts} V dc or more and interrupts the dc fault current.`] };
  const row = t.row('fuse-class', { class: pick.fuseClass });
  if (Number(row.volts) < s.circuit(t).volts) return { verdict: 'fail', title: `Class ${pick.fuseClass} fuses are made for ${String(row.volts)} V at most`, value: name, remedies: ['Take another fuse class.'] };
  if (own.value > Number(row.to) || own.value < Number(row.from)) return { verdict: 'fail', title: `Class ${pick.fuseClass} is made from ${String(row.from)} to ${String(row.to)} A`, value: name, remedies: ['Take another fuse class.'] };
  if (!atLeast(own.value, protection.smallest.value)) return { verdict: 'judgement', title: `${name} may not carry the load: ${amps(protection.smallest)} is the smallest worth proposing`, value: name, remedies: [`Take fuses of ${amps(protection.smallest)} to ${amps(protection.largest)}.`] };
  if (larger) return { verdict: 'pass', title: `${name}, more than the ${amps(protection.largest)} of the load; ${wireName(s.wires(t))} suits it`, value: name };
  return { verdict: 'pass', title: `${name}, at most ${amps(protection.largest)} (${protection.because}${ceiling})`, value: name, margin: spare(protection.largest.value, own.value) };
} };

const breakerSize: Question = { check: 'sizing.breaker', title: 'Breaker size', ask: (t, s) => {
  const p = s.protection(t, 'inverse-time-breaker');
  if (s.data.ratedAmperes === undefined) return { verdict: 'pass', title: `to be selected: breaker of at most ${amps(p.largest)} (${p.because})`, value: quantity(p.largest) };
  const own = given('I_cb', s.data.ratedAmperes, 'A', 'nameplate', s.device.tag);
  if (t.test('The breaker is not too large', `ok = I_cb <= ${p.largest.name}`, [own, p.largest])) return { verdict: 'pass', title: `${own.value} A breaker, at most ${amps(p.largest)}`, value: quantity(own), margin: spare(p.largest.value, own.value) };
  if (suitedTo(t, s, p)) return { verdict: 'pass', title: `${own.value} A breaker, more than the ${amps(p.largest)} of the load; ${wireName(s.wires(t))} suits it`, value: quantity(own) };
  if (p.ceiling && atMost(own.value, p.ceiling.value)) return { verdict: 'judgement', title: `${own.value} A breaker is above ${amps(p.largest)}; up to ${amps(p.ceiling)} only where the motor will not start`, value: quantity(own) };
  return { verdict: 'fail', title: `${own.value} A breaker is above the ${amps(p.largest)} allowed`, value: quantity(own), margin: spare(p.largest.value, own.value), remedies: [`Take a breaker of at most ${amps(p.largest)}.`] };
} };

const overload: Question = { check: 'sizing.overload', title: 'Running overload', ask: (t, s) => {
  const [d] = s.draws(t);
  if (d?.part.data.nameplateAmperes === undefined) throw new Gap('the nameplate current is not entered', ['nameplate amperes of the motor']);
  const { duty } = d.part.data;
  if (duty !== undefined && duty !== 'continuous') return { verdict: 'judgement', title: `${duty} duty: the branch-circuit device may stand for the running overload where the motor cannot run on under any condition of use (from memory)`, citations: [{ text: 'NFPA 70 430.33', edition: t.basis.edition, confidence: 'memory' }], remedies: ['Confirm the duty with who drives it; a motor that can run on with load is of continuous duty.'] };
  const plate = given('I_np', d.part.data.nameplateAmperes, 'A', 'nameplate', d.part.tag);
  const facts = { ...(d.part.data.serviceFactor !== undefined ? { serviceFactor: d.part.data.serviceFactor } : {}), ...(d.part.data.temperatureRiseCelsius !== undefined ? { temperatureRise: d.part.data.temperatureRiseCelsius } : {}) };
  const setting = overloadDevice(t, plate, facts);
  const asFuse = roundDown(t, setting, 'time-delay-fuse', 'I_of');
  return { verdict: 'pass', title: `overload device at most ${amps(setting)}${d.part.data.serviceFactor === undefined && d.part.data.temperatureRiseCelsius === undefined ? ' (no service factor or rise entered: the lower figure)' : ''}; as a fuse ${asFuse.value} A`, value: quantity(setting) };
} };

const duty: Question = { check: 'sizing.duty', title: 'General or heavy duty', ask: (t, s) => {
  const chosen = s.duty(t);
  if (chosen.open) throw chosen.open;
  const pick = maybe(() => s.switch(t));
  const value = pick?.duty ?? chosen.value;
  const because = value === chosen.value ? chosen.because : ['no general-duty switch reaches the rating'];
  t.state('Duty', value, '', because.join('; '), s.data.duty === undefined ? 'computed' : 'typed');
  const limit = t.rule('switch.general-duty.volts', 'U_gd');
  if (value === 'general' && s.circuit(t).volts > limit.value) return { verdict: 'fail', title: `general duty stops at ${limit.value} V`, value, remedies: ['Take a heavy-duty switch.'] };
  return { verdict: 'pass', title: `${s.data.duty === undefined ? 'to be selected: ' : ''}${value} duty: ${because.join('; ')}`, value };
} };

const enclosure: Question = { check: 'sizing.enclosure', title: 'Enclosure', ask: (t, s) => {
  const pick = s.enclosure(t);
  const others = pick.acceptable.filter((e) => e !== pick.chosen);
  const inside = 'nothing here protects against condensation or what enters through raceways; fittings keep the rating';
  if (s.data.enclosure === undefined) return { verdict: 'pass', title: `to be selected: Type ${pick.chosen} (${pick.because})`, value: pick.chosen, remedies: others.length > 0 ? [`Also good: Type ${others.join(', ')}; ${inside}.`] : [] };
  const own = s.data.enclosure.trim().replace(/^(?:(?:nema|type)\s*)+/i, '').toUpperCase();
  if (pick.acceptable.includes(own)) return { verdict: 'pass', title: `Type ${own} suits ${pick.because}`, value: own };
  return { verdict: 'fail', title: `Type ${own} does not protect against ${pick.because}`, value: own, remedies: [`Take Type ${pick.chosen}${others.length > 0 ? ` (or ${others.join(', ')})` : ''}.`] };
} };

/** What a set carries, for what: in both columns where the load counts with different currents in them (210.19, 215.2). */
function carried(w: Wires): { readonly words: string; readonly margin: ReturnType<typeof spare> } {
  const { atTerminals, corrected } = w.need;
  const margin = spare(Math.min(w.atTerminals.value - atTerminals.value, w.corrected.value - corrected.value), 0);
  if (atLeast(w.ampacity.value, atTerminals.value)) return { words: `${amps(w.ampacity)} for ${amps(atTerminals)}`, margin };
  return { words: `${amps(w.atTerminals)} at its terminals for ${amps(atTerminals)}, ${amps(w.corrected)} after correction for ${amps(corrected)}`, margin };
}

const conductor: Question = { check: 'sizing.conductor', title: 'Conductors', ask: (t, s) => {
  const w = s.wires(t);
  const need = s.conductorNeed(t);
  const grown = sizeIndex(w.size) > sizeIndex(w.byAmpacity.size) || w.perPhase > w.byAmpacity.perPhase;
  const because = w.dropGap ? '; voltage drop not counted, the route is not known' : grown && !w.entered ? `, enlarged from ${conductorName(w.byAmpacity.size, w.byAmpacity.perPhase, w.material)} for voltage drop` : '';
  const refused = refusedSet(w.need, w.size, w.perPhase);
  if (refused) return { verdict: 'fail', title: refused.words, value: wireName(w), citations: [{ text: `NFPA 70 ${refused.section}`, edition: t.basis.edition, confidence: 'memory' }], remedies: [`Take ${conductorName(w.byAmpacity.size, w.byAmpacity.perPhase, w.material)} or larger.`] };
  const carriesIt = setCarries(w.need, w.size, w.perPhase);
  const tap = carriesIt ? tapOf(t, s, w) : null;
  if (tap) return tap;
  if (w.need.device && carriesIt && !setIsGuarded(t, w.need, w.size, w.perPhase)) return { verdict: 'fail', title: `${wireName(w)} carries ${amps(w.ampacity)}: a device of ${amps(w.need.device.amperes)} does not protect it`, value: wireName(w), margin: spare(w.ampacity.value, w.need.device.amperes.value), remedies: [`Take ${conductorName(w.byAmpacity.size, w.byAmpacity.perPhase, w.material)} or larger, or a smaller device.`] };
  const open = [
    ...(s.data.upstreamAmperes === undefined && s.fusible(t).value ? ['Enter the device upstream: ahead of the fuses here it has to protect these conductors, or they are a tap (240.4, 240.21).'] : []),
    ...(s.draws(t).some((d) => d.part.data.motorType === 'wound-rotor') ? ['Between motor and secondary controller the conductors carry 125 percent of the secondary current on the nameplate (430.23, from memory): not sized here.'] : []),
  ];
  const remarks = open.length === 0 ? {} : { remedies: open };
  if (!w.entered) return { ...remarks, verdict: 'pass', title: `to be selected: ${wireName(w)}, ${carried(w).words}${because}`, value: wireName(w), margin: carried(w).margin };
  return carriesIt ? { ...remarks, verdict: 'pass', title: `${wireName(w)} carries ${carried(w).words}`, value: wireName(w), margin: carried(w).margin }
    : { verdict: 'fail', title: `${wireName(w)} carries ${amps(w.ampacity)}, ${amps(need)} is needed`, value: wireName(w), margin: carried(w).margin, remedies: [`Take ${conductorName(w.byAmpacity.size, w.byAmpacity.perPhase, w.material)} or larger.`] };
} };

/** Conductors ahead of fuses here, under an upstream device that protects neither them nor the load by itself: a tap, with rules of its own. */
function tapOf(t: Trace, s: Selection, w: Wires): Finding | null {
  const upstream = s.data.upstreamAmperes;
  if (upstream === undefined || !s.fusible(t).value) return null;
  const allowed = s.protection(t, upstreamDevice(s));
  if (atMost(upstream, (allowed.ceiling ?? allowed.largest).value)) return null;
  const limit = t.rule('conductor.next-size.limit', 'I_next');
  const covered = upstream > limit.value ? w.ampacity : t.choose('Largest device that protects the conductors', 'I_max', standardRatings(upstreamDevice(s), t.basis.edition), 'up', w.ampacity);
  if (t.test('The upstream device protects the conductors', `ok = I_up <= ${covered.name}`, [given('I_up', upstream, 'A', 'typed', s.device.tag), covered])) return null;
  return { verdict: 'judgement', title: `${wireName(w)} carries the load, but ${upstream} A upstream does not protect it: ahead of the fuses it is a tap`, value: wireName(w),
    citations: [{ text: 'NFPA 70 240.21(B) and 430.28', edition: t.basis.edition, confidence: 'memory' }], remedies: ['Confirm the length and size of the tap, take larger conductors, or a smaller device upstream.'] };
}

const ground: Question = { check: 'sizing.equipment-ground', title: 'Equipment grounding conductor', ask: (t, s) => {
  const w = s.wires(t);
  const size = s.ground(t);
  const here = s.data.upstreamAmperes === undefined && s.fusible(t).value ? s.fuse(t).amperes.value : null;
  return { verdict: 'pass', ...(here === null ? {} : { remedies: ['Enter the device upstream: where it is larger than the fuse here, it decides on the grounding conductor ahead of the fuse.'] }), title: `${sizeName(size)} ${w.material}${w.perPhase > 1 ? ' in each raceway' : ''}${here === null ? '' : `, by the ${here} A fuse here`}${s.data.groundBar === false ? '; the switch has no ground bar: add one' : ''}`, value: `${sizeName(size)} ${w.material}` };
} };

/** Drop from the supply through the devices above, in percent; null where the supply feeds it itself, 'unknown' where one above is not known. */
function dropAbove(t: Trace, s: Selection): Figure | null | 'unknown' {
  const above: Figure[] = [];
  const seen = new Set([s.device.id]);
  for (let at = feederOf(s); at.kind === 'disconnect'; at = feederOf(caseOf(s.project, at))) {
    if (seen.has(at.id)) return 'unknown';
    seen.add(at.id);
    const wires = selectionWires(s.project, at);
    const known = maybe(() => wires(t).drop);
    if (!known) return 'unknown';
    above.push(known.percent);
  }
  if (above.length === 0) return null;
  const named = above.map((f, i) => ({ ...f, name: `d_${i + 1}` }));
  return t.compute('Voltage drop in the runs above', `d_up = ${named.map((f) => f.name).join(' + ')}`, named, '%');
}

const drop: Question = { check: 'sizing.voltage-drop', title: 'Voltage drop', ask: (t, s) => {
  const w = s.wires(t);
  if (!w.drop) throw w.dropGap ?? new Gap('the route has no length', ['route length']);
  const { percent, limit, byConstant, byImpedance, estimate } = w.drop;
  const within = t.test('The recommended limit is kept', 'ok = d <= d_max', [{ ...percent, name: 'd' }, { ...limit, name: 'd_max' }]);
  const above = dropAbove(t, s);
  const most = t.rule('voltage-drop.total-limit', 'd_all');
  if (above === 'unknown' && most.from === 'override') throw new Gap('the drop in the runs above is not known, and a local amendment limits the whole', ['routes and sources of the disconnects that feed it']);
  const whole = above === null || above === 'unknown' ? { ...percent, name: 'd_sum' } : t.compute('Voltage drop from the supply on', 'd_sum = d + d_up', [{ ...percent, name: 'd' }, above], '%');
  const inAll = above === null ? '' : above === 'unknown' ? '; the runs above are not known' : `; ${round(whole.value)} % from the supply on`;
  const title = `${round(percent.value)} % on ${wireName(w)}: ${round(byConstant.value)} V by K, ${round(byImpedance.value)} V by impedance${estimateNote(estimate)}${inAll}`;
  const margin = { value: round(limit.value - percent.value), unit: '%' };
  if (within && !t.test('The limit of the whole is kept', 'ok = d_sum <= d_all', [whole, most])) {
    const held = most.from === 'override';
    return { verdict: held ? 'fail' : 'judgement', title: `${title}; above the ${most.value} % ${held ? 'limit' : 'that is advised'} of the whole`, value: { value: round(percent.value), unit: '%' }, margin: { value: round(most.value - whole.value), unit: '%' }, remedies: ['Take larger conductors here or above, or a nearer supply.'] };
  }
  if (within) return { verdict: 'pass', title, value: { value: round(percent.value), unit: '%' }, margin };
  const amended = limit.from === 'override';
  return { verdict: amended ? 'fail' : 'judgement', title: `${title}; above the ${limit.value} % ${amended ? 'limit' : 'that is advised'}`, value: { value: round(percent.value), unit: '%' }, margin, remedies: ['Take larger conductors or a nearer supply.'] };
} };

/** How far the quicker method lies from the fuller one. */
function spreadWords(percent: number): string {
  const apart = Math.abs(percent).toFixed(1);
  return apart === '0.0' ? 'no spread' : `point to point ${apart} % ${percent < 0 ? 'lower' : 'higher'}`;
}

const fault: Question = { check: 'sizing.fault-current', title: 'Available fault current', ask: (t, s) => {
  const f = s.fault(t);
  const both = f.pointToPoint && f.byImpedance ? `: ${Math.round(f.pointToPoint.value)} A point to point, ${Math.round(f.byImpedance.value)} A by impedance (${spreadWords(f.spreadPercent ?? 0)})` : '';
  if (f.open !== null) return { verdict: 'judgement', title: `${Math.round(f.amperes.value)} A ${f.pointToPoint ? 'from the supply' : 'at the source'}; ${f.open}, by how much is not covered here${both}${estimateNote(f.estimate)}`, value: { value: Math.round(f.amperes.value), unit: 'A' }, remedies: ['Have the whole fault current calculated by an engineer.'] };
  return { verdict: 'pass', title: `${Math.round(f.amperes.value)} A ${f.pointToPoint ? 'with motors' : 'at the source'}${both}${estimateNote(f.estimate)}`, value: { value: Math.round(f.amperes.value), unit: 'A' } };
} };

const shortCircuit: Question = { check: 'sizing.short-circuit-rating', title: 'Short-circuit rating', ask: (t, s) => {
  const { amperes: available, open } = s.fault(t);
  const needed = withMargin(t, available);
  if (open === null && s.isBreaker && s.data.ratedAmperes === undefined && s.data.shortCircuitRating === undefined && s.circuit(t).phases !== 'dc') return { verdict: 'pass', title: `to be selected: interrupting rating of at least ${Math.ceil(needed.value)} A`, value: { value: Math.ceil(needed.value), unit: 'A' } };
  const rating = s.shortCircuit(t);
  const have = { ...rating, name: 'I_cc' };
  const entered = s.data.shortCircuitRating !== undefined;
  const word = entered ? `${rating.value} A rating` : `typical ${rating.value} A${s.fusible(t).value ? ` with Class ${s.fuse(t).fuseClass} fuses` : ''} (verify on the nameplate)`;
  const bare = t.test('Above the fault current', 'ok = I_cc >= I_f', [have, { ...available, name: 'I_f' }]);
  if (!bare) return { verdict: 'fail', title: `${word} is below ${Math.round(available.value)} A`, value: quantity(have), margin: spare(rating.value, available.value), remedies: shortRemedies(s, t) };
  const kept = t.test('With the margin kept', 'ok = I_cc >= I_req', [have, needed]);
  if (s.circuit(t).phases === 'dc') return { verdict: 'judgement', title: `${word} covers ${Math.round(available.value)} A only if it is a rating for direct current${open === null ? '' : `; ${open}`}`, value: quantity(have), margin: spare(rating.value, available.value), remedies: ['Confirm the dc short-circuit rating marked on the disconnect.'] };
  if (open !== null) return { verdict: 'judgement', title: `${word} covers ${Math.round(available.value)} A; ${open}`, value: quantity(have), margin: spare(rating.value, available.value), remedies: ['Have the whole fault current calculated by an engineer.'] };
  if (!kept) return { verdict: 'marginal', title: `${word} is within the margin of ${Math.round(available.value)} A`, value: quantity(have), margin: spare(rating.value, needed.value), remedies: ['Take a higher rating, or have the fault current calculated by an engineer.'] };
  return { verdict: 'pass', title: `${entered ? '' : 'to be selected: '}${word} covers ${Math.round(available.value)} A`, value: quantity(have), margin: spare(rating.value, available.value) };
} };

const shortRemedies = (s: Selection, t: Trace): string[] => (s.fusible(t).value ? ['Take current-limiting fuses (Class RK1, RK5 or J) with the rejection kit, or a heavy-duty switch.'] : ['Take a fusible switch with Class R, J or T fuses, or current-limiting fuses upstream as marked on the switch.']);

const lugs: Question = { check: 'sizing.lugs', title: 'Lugs', ask: (t, s) => {
  const fit = s.lugs(t);
  const w = s.wires(t);
  if (fit.fits) return { verdict: 'pass', title: `typical lugs (${fit.words}) take ${wireName(w)} (verify on the nameplate)`, value: fit.words };
  const chosen = s.data.options?.includes('larger-lugs') === true;
  const title = `typical lugs take ${fit.words}, the conductors are ${wireName(w)}`;
  if (chosen || s.data.ratedAmperes === undefined) return { verdict: 'pass', title: `to be ordered: larger or multiple lugs; ${title}`, value: 'larger-lugs' };
  return { verdict: 'fail', title, value: fit.words, remedies: ['Order larger or multiple lugs, use a listed reducing pin or a splice with a short tail of adequate size, or take a larger switch; never trim strands.'] };
} };

const raceway: Question = { check: 'sizing.raceway', title: 'Raceway', ask: (t, s) => {
  const r = s.raceway(t);
  const sets = s.wires(t).perPhase;
  return { verdict: 'pass', title: `${sets > 1 ? `${sets} x ` : ''}${r.tradeSize} in ${r.raceway} for ${r.conductors} conductors${sets > 1 ? ' each' : ''}`, value: `${r.tradeSize} in ${r.raceway}` };
} };

const deviceType: Question = { check: 'sizing.device-type', title: 'Kind of device', ask: (t, s) => {
  const kind = s.data.type ?? 'enclosed-switch';
  const draws = s.draws(t);
  const motors = draws.filter((d) => d.kind === 'motor');
  const [motor] = motors;
  const cite = (section: string): Finding['citations'] => [{ text: `NFPA 70 ${section}`, edition: t.basis.edition, confidence: t.basis.edition === '2026' ? 'memory' : 'confirmed', ...(t.basis.edition === '2026' ? { note: 'the 2026 text was not read' } : {}) }];
  if (kind === 'enclosed-switch' || kind === 'circuit-breaker' || kind === 'molded-case-switch') return { verdict: 'pass', title: `${s.data.type === undefined ? 'to be selected: ' : ''}${kind.replace(/-/g, ' ')}`, value: kind, citations: cite('430.109(A)'), remedies: s.data.type === undefined ? insteadOf(t, s) : [] };
  if (kind === 'attachment-plug') {
    const hp = horsepowerNeeds(t, s)?.own;
    if (!hp) return { verdict: 'judgement', title: 'plug and receptacle as the disconnect: allowed by the rule of this load only', value: kind };
    if (s.data.ratedHorsepower === undefined) throw new Gap('the horsepower rating of plug and receptacle is not entered', ['horsepower rating of the plug and receptacle']);
    const ok = t.test('The plug has the horsepower', `ok = P_plug >= ${hp.name}`, [given('P_plug', s.data.ratedHorsepower, 'hp', 'nameplate'), hp]);
    return { verdict: ok ? 'pass' : 'fail', title: `plug and receptacle ${s.data.ratedHorsepower} hp for ${hp.value} hp`, value: kind, citations: cite('430.109(F)') };
  }
  if (kind === 'general-use-switch' && draws.every((d) => d.kind === 'torque-motor')) return { verdict: 'pass', title: 'general-use switch for a torque motor', value: kind, citations: cite('430.109(G)') };
  if (kind === 'general-use-switch' && motor && draws.length === 1 && motor.part.count === 1) return generalUse(t, s, motor.current, motorOf(t, motor.part, motor.circuit).horsepower, cite);
  const turns = draws.some(hasMotor);
  return { verdict: turns ? 'judgement' : 'pass', title: `${kind.replace(/-/g, ' ')}${turns ? ': not among the kinds listed for motors, unless it is marked with horsepower' : ''}`, value: kind };
} };

/** What may serve instead of a horsepower-rated switch for one motor, with the sizes it would need. */
function insteadOf(t: Trace, s: Selection): string[] {
  const [d, ...more] = s.draws(t);
  if (d?.kind !== 'motor' || more.length > 0 || d.part.count > 1) return [];
  const motor = motorOf(t, d.part, d.circuit);
  const words = ['A listed breaker that can be locked open may serve instead.'];
  const volts = s.circuit(t).volts;
  if (motor.horsepower <= t.rule('motor.branch-device.horsepower', 'P_br').value) words.push('At this power the branch-circuit overcurrent device may be the disconnect.');
  if (motor.horsepower <= t.rule('motor.general-use.horsepower', 'P_max').value && volts <= t.rule('motor.general-use.volts', 'U_max').value) {
    const small = smallMotorSwitches(t, d.current);
    words.push(`A general-use switch of at least ${amps(small.generalUse)}${d.circuit.phases === 'dc' ? '' : `, or an ac snap switch of at least ${amps(small.snap)},`} may serve instead.`);
  }
  const isolating = t.rule(d.circuit.phases === 'dc' ? 'motor.isolating.horsepower-dc' : 'motor.isolating.horsepower-ac', 'P_iso');
  if (motor.horsepower > isolating.value) words.push("An isolating switch may serve instead when it is marked 'Do not operate under load'.");
  return words;
}

/** General-use switch for a motor: 2 hp and 300 V with twice the current, or an isolating switch above 100 hp. */
function generalUse(t: Trace, s: Selection, current: Figure, horsepower: number, cite: (section: string) => Finding['citations']): Finding {
  const hp = given('P_motor', horsepower, 'hp', 'nameplate');
  const isolating = t.rule(s.circuit(t).phases === 'dc' ? 'motor.isolating.horsepower-dc' : 'motor.isolating.horsepower-ac', 'P_iso');
  if (hp.value > isolating.value) return { verdict: 'judgement', title: `isolating switch for ${hp.value} hp: allowed when marked not to be operated under load`, value: 'general-use-switch', citations: cite('430.109(E)'), remedies: ["Mark it plainly: 'Do not operate under load'."] };
  const small = t.test('Small enough', 'ok = P_motor <= P_max', [hp, t.rule('motor.general-use.horsepower', 'P_max')]) && t.test('Low enough voltage', 'ok = U <= U_max', [given('U', s.circuit(t).volts, 'V', 'plan'), t.rule('motor.general-use.volts', 'U_max')]);
  if (!small) return { verdict: 'fail', title: `a general-use switch may not disconnect ${horsepower} hp`, value: 'general-use-switch', citations: cite('430.109(C)'), remedies: ['Take a horsepower-rated switch or a listed breaker.'] };
  const need = t.compute('Smallest general-use switch', `I_gu = k x ${current.name}`, [t.rule('motor.general-use.multiple', 'k'), current], 'A');
  if (s.data.ratedAmperes === undefined) throw new Gap('the ampere rating of the general-use switch is not entered', ['ampere rating of the switch']);
  const ok = t.test('Rated for twice the current', 'ok = I_switch >= I_gu', [given('I_switch', s.data.ratedAmperes, 'A', 'nameplate'), need]);
  return { verdict: ok ? 'pass' : 'fail', title: `general-use switch ${s.data.ratedAmperes} A, ${amps(need)} needed`, value: 'general-use-switch', margin: spare(s.data.ratedAmperes, need.value), citations: cite('430.109(C)') };
}

/** Smallest general-use switch and ac snap switch of a small motor, amperes. */
export function smallMotorSwitches(t: Trace, current: Figure): { readonly generalUse: Figure; readonly snap: Figure } {
  return {
    generalUse: t.compute('Smallest general-use switch', `I_gu = k x ${current.name}`, [t.rule('motor.general-use.multiple', 'k'), current], 'A'),
    snap: t.compute('Smallest ac snap switch', `I_snap = ${current.name} / (p / 100)`, [current, t.rule('motor.snap-switch.percent', 'p')], 'A'),
  };
}

/** Every question of a disconnect, in the order the panel shows them. */
export const QUESTIONS = { loadData, deviceType, ampereRating, horsepowerRating, lockedRotor, voltageRating, poles, fusing, fuse, breakerSize, overload, duty, fault, shortCircuit, conductor, ground, drop, lugs, raceway, enclosure } as const;
