import { Gap, given, round } from '../code-data/index';
import type { Figure, Finding, Trace } from '../code-data/index';
import { amps, isFirePump, pumpCurrent } from './case';
import type { Draw } from './case';
import { feedingSystem } from './load';
import { sumOf } from './motor';
import { entityOf, loadsOf, routeBetween } from './project';
import type { Question } from './questions';
import { impedanceAhead, runAfter } from './run';
import type { Ahead } from './run';
import type { Selection } from './selection';

/** Length of conductors from the disconnect on to a thing that stands on the plan. */
function lengthTo(t: Trace, s: Selection, target: 'controller' | 'motor'): { readonly figure: Figure; readonly estimate: boolean } | null {
  // A typed length counts as the whole way.
  if (s.data.routeLength !== undefined) return null;
  const { device } = s;
  const ends = loadsOf(s.project, device).map((load) => {
    const controller = target === 'controller' ? entityOf(s.project, load.controller) : undefined;
    const at = controller?.kind === 'controller' ? controller : load;
    // Without its controller on the plan the way to the motor stands for it: longer, so never on the favourable side.
    if (at.at === null) throw new Gap(`${load.tag} is not placed, so the way to its ${target} is not known`, [`place of ${load.tag}, or the route length`]);
    const found = routeBetween(s.project, { id: device.id, sheet: device.sheet, at: device.at, height: device.handleHeight }, { id: at.id, sheet: at.sheet, at: at.at, height: at.height });
    if (!found.ok) throw new Gap(`the way to the ${target} of ${load.tag} is not known: ${found.reason}`, [found.missing]);
    return found;
  });
  const longest = ends.reduce((a, b) => (b.length > a.length ? b : a));
  t.state(`Length on to the ${target}`, round(longest.length), 'ft', longest.words, 'plan');
  return { figure: given('L_2', longest.length, 'ft', 'plan', longest.words), estimate: longest.estimate };
}

/** What a current takes off the voltage between source and terminals: impedance and current at their full size, whatever their angles. */
function lostVolts(t: Trace, ahead: Ahead, current: Figure): Figure {
  const z = t.compute('Impedance from the source', 'Z_e = sqrt(R_e ^ 2 + X_e ^ 2)', [{ ...ahead.r, name: 'R_e' }, { ...ahead.x, name: 'X_e' }], 'ohm');
  return t.compute('Volts lost, angles left aside', `U_d = ${ahead.phases === 3 ? 'sqrt(3) x ' : ''}I x Z_e`, [{ ...current, name: 'I' }, z], 'V');
}

/** What keeps a computed drop from being certain. */
function doubts(s: Selection, { system, estimate }: Ahead, moreEstimate: boolean): string[] {
  const others = [...s.project.servedBy].some(([load, devices]) => !s.device.serves.includes(load) && devices.some((d) => feedingSystem(s.project, d)?.id === system.id));
  return [
    ...(estimate || moreEstimate ? ['the route length is an estimate'] : []),
    ...(system.source?.availableFaultCurrent === undefined ? ['what the utility loses ahead of the transformer is not counted'] : []),
    ...(others ? [`other loads on ${system.name} lower the voltage further`] : []),
  ];
}

function judged(within: boolean, title: string, doubt: readonly string[], rest: Pick<Finding, 'value' | 'margin'>, remedy: string): Finding {
  if (!within) return { ...rest, verdict: 'fail', title, remedies: [remedy] };
  if (doubt.length === 0) return { ...rest, verdict: 'pass', title };
  return { ...rest, verdict: 'judgement', title: `${title}; ${doubt.join('; ')}`, remedies: ['Have the voltage of the fire pump calculated with the figures of the utility and the measured routes.'] };
}

const othersOf = (draws: readonly Draw[]): Figure[] => draws.filter((d) => !isFirePump(d)).map((d) => d.total);

const starting: Question = { check: 'sizing.fire-pump-starting', title: 'Voltage while the fire pump starts', ask: (t, s) => {
  const draws = s.draws(t);
  const current = sumOf(t, 'Current while the pumps start', 'I_start', [...draws.filter(isFirePump).map((d) => pumpCurrent(t, d)), ...othersOf(draws)]);
  const more = lengthTo(t, s, 'controller');
  const here = impedanceAhead(t, s.project, s.device);
  const ahead = more ? runAfter(t, here, s.wires(t), more.figure) : here;
  const lost = t.compute('Voltage drop at the controller', 'd = 100 x U_d / U', [lostVolts(t, ahead, current), { ...ahead.volts, name: 'U' }], '%');
  const most = t.rule('fire-pump.starting-drop.percent', 'd_max');
  const within = t.test('The controller keeps its voltage', 'ok = d <= d_max', [lost, most]);
  return judged(within, `${round(lost.value)} % at the controller with ${amps(current)}, at most ${most.value} %`, doubts(s, ahead, more?.estimate ?? false),
    { value: { value: round(lost.value), unit: '%' }, margin: { value: round(most.value - lost.value), unit: '%' } }, 'Take larger conductors, a stiffer source or a controller that starts on less current (emergency mechanical starting is exempt).');
} };

const running: Question = { check: 'sizing.fire-pump-running', title: 'Voltage of the running fire pump', ask: (t, s) => {
  const draws = s.draws(t);
  const percent = t.rule('fire-pump.running-current.percent', 'p');
  const pumps = draws.filter(isFirePump).map((d) => {
    if (d.kind !== 'motor') throw new Gap(`${d.part.tag} is entered by its amperes alone`, [`horsepower of ${d.part.tag}`]);
    const plate = d.part.data.nameplateAmperes;
    const full = plate === undefined || plate <= d.current.value ? { ...d.current, name: 'I_FLC' } : given('I_FLC', plate, 'A', 'nameplate', d.part.tag);
    return t.compute(`Current of ${d.part.tag} at which its voltage is judged`, 'I_115 = n x p / 100 x I_FLC', [given('n', d.part.count, '', 'typed'), percent, full], 'A');
  });
  const current = sumOf(t, 'Current while the pumps run', 'I_run', [...pumps, ...othersOf(draws)]);
  const more = lengthTo(t, s, 'motor');
  const here = impedanceAhead(t, s.project, s.device);
  const ahead = more ? runAfter(t, here, s.wires(t), more.figure) : here;
  const rated = Math.max(...draws.filter(isFirePump).map((d) => d.part.data.voltage ?? ahead.volts.value));
  const left = t.compute('Voltage at the motor', 'U_motor = U - U_d', [{ ...ahead.volts, name: 'U' }, lostVolts(t, ahead, current)], 'V');
  const least = t.compute('Least voltage at the motor', 'U_min = U_rated x (1 - p / 100)', [given('U_rated', rated, 'V', 'nameplate'), t.rule('fire-pump.running-drop.percent', 'p')], 'V');
  const within = t.test('The motor keeps its voltage', 'ok = U_motor >= U_min', [left, least]);
  return judged(within, `${round(left.value)} V at the motor with ${amps(current)}, at least ${round(least.value)} V`, doubts(s, ahead, more?.estimate ?? false),
    { value: { value: round(left.value), unit: 'V' }, margin: { value: round(left.value - least.value), unit: 'V' } }, 'Take larger conductors or a stiffer source.');
} };

/** Devices in the circuit of the pump that are entered, each with its amperes. */
const devicesOf = ({ data }: Selection): (readonly [string, number])[] => [
  ...(data.type === 'circuit-breaker' && data.ratedAmperes !== undefined ? [['breaker', data.ratedAmperes] as const] : []),
  ...(data.fuseAmperes === undefined ? [] : [['fuse', data.fuseAmperes] as const]), ...(data.upstreamAmperes === undefined ? [] : [['upstream device', data.upstreamAmperes] as const]),
];

const holding: Question = { check: 'sizing.fire-pump-device', title: 'Device that holds the standstill current', ask: (t, s) => {
  const draws = s.draws(t);
  const least = sumOf(t, 'Current that the device carries without end', 'I_fp', [...draws.filter(isFirePump).map((d) => pumpCurrent(t, d)), ...othersOf(draws)]);
  const entered = devicesOf(s);
  if (entered.length === 0) throw new Gap(`its overcurrent device is not entered, and carries at least ${amps(least)}`, ['amperes of the overcurrent device of the fire pump']);
  for (const [words, amperes] of entered) {
    const have = given('I_dev', amperes, 'A', 'typed', s.device.tag);
    if (!t.test(`The ${words} holds`, 'ok = I_dev >= I_fp', [have, least])) return { verdict: 'fail', title: `the ${words} of ${amperes} A opens under ${amps(least)} of locked rotor`, value: { value: amperes, unit: 'A' }, margin: { value: round(amperes - least.value), unit: 'A' }, remedies: [`Take a device of at least ${amps(least)} listed for fire pump service.`] };
  }
  const smallest = Math.min(...entered.map(([, amperes]) => amperes));
  return { verdict: 'judgement', title: `${entered.map(([words, amperes]) => `${words} ${amperes} A`).join(', ')}: at least ${amps(least)}; its listing for fire pump service is not in the data`, value: { value: smallest, unit: 'A' }, margin: { value: round(smallest - least.value), unit: 'A' }, remedies: ['Confirm that it is listed for fire pump service and has no overload protection.'] };
} };

/** Questions of a disconnect that serves a fire pump. */
export const FIRE_PUMP_QUESTIONS: readonly Question[] = [holding, starting, running];
