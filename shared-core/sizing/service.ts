import { Gap, atLeast, given, round, ruleValue } from '../code-data/index';
import type { Edition, Figure, Finding, RuleKey, Trace } from '../code-data/index';
import { entitiesOf } from '../document/index';
import { amps } from './case';
import { dwelling } from './options';
import type { Question } from './questions';
import { loadsOf } from './project';
import type { Selection } from './selection';

export type Arrangement = 'separate enclosures' | 'one enclosure with a main' | 'one enclosure without a main';

/** Whether a number of service disconnects in an arrangement is allowed in an edition (230.71). */
export function serviceHandles(t: Trace, count: number, arrangement: Arrangement): Finding {
  const most = t.rule('service.handles', 'n_max');
  const number = given('n', count, '', 'plan');
  if (!t.test('Not too many service disconnects', 'ok = n <= n_max', [number, most])) return { verdict: 'fail', title: `${count} service disconnects, at most ${most.value}`, remedies: [`Bring them to ${most.value} or fewer, or put a main ahead of them.`], margin: { value: most.value - count, unit: '' } };
  const shared = t.allows('service.one-enclosure');
  if (count > 1 && arrangement === 'one enclosure without a main' && !shared.value) return { verdict: 'fail', title: `${count} service disconnects in one enclosure: since 2020 each needs its own enclosure or compartment`, citations: [shared.citation], remedies: ['Give each its own enclosure, or add a main.'] };
  return { verdict: 'pass', title: `${count} service disconnect${count === 1 ? '' : 's'}, at most ${most.value}`, citations: [shared.citation], margin: { value: most.value - count, unit: '' } };
}

/**
 * Run inside the building to the service disconnect: no distance in the code, a local limit if one is set (230.70(A)(1)).
 * @param measured false for a length along the axes of the plan without rise and drop: it can break a local limit, never keep one
 */
export function serviceDistance(t: Trace, insideFeet: number, measured = true): Finding {
  const { value, citation, from } = ruleValue('service.inside-length', t.basis);
  const length = given('L_in', insideFeet, 'ft', 'plan');
  t.state('Conductor length inside', round(insideFeet), 'ft', 'from the point of entrance', 'plan');
  if (from !== 'override' || typeof value !== 'number') return { verdict: 'judgement', title: `${round(insideFeet)} ft inside: nearest the point of entrance is asked for, no distance is given`, citations: [citation], remedies: ['Ask the authority having jurisdiction whether a local limit holds and enter it as a local amendment.'], value: { value: round(insideFeet), unit: 'ft' } };
  const ok = t.test('Within the local limit', 'ok = L_in <= L_max', [length, { ...given('L_max', value, 'ft', 'override'), citation }]);
  if (ok && !measured) throw new Gap(`${round(insideFeet)} ft inside is an estimate along the axes, without rise and drop: it cannot show that the local limit of ${round(value)} ft is kept`, ['length of the service conductors inside, measured']);
  return { verdict: ok ? 'pass' : 'fail', title: `${round(insideFeet)} ft inside, local limit ${round(value)} ft`, citations: [citation], margin: { value: round(value - insideFeet), unit: 'ft' }, value: { value: round(insideFeet), unit: 'ft' }, ...(ok ? {} : { remedies: ['Move the service disconnect towards the point of entrance.'] }) };
}

/** Smallest rating of a service disconnect by what it serves (230.79). */
export function serviceMinimum(t: Trace, conditions: readonly string[]): Figure {
  const has = (word: string): boolean => conditions.includes(word);
  const key: RuleKey = has('one-branch-circuit') ? 'service.rating.one-circuit' : has('two-branch-circuits') ? 'service.rating.two-circuits'
    : has('one-family-dwelling') || has('dwelling') ? 'service.rating.dwelling' : 'service.rating.minimum';
  return t.rule(key, 'I_floor');
}

/** Whether ground-fault protection of equipment is needed (230.95): solidly grounded wye above 150 V to ground, 1000 A or more. */
export function needsGroundFault(t: Trace, amperes: number, volts: number, voltsToGround: number): boolean {
  const enough = t.test('Rating reaches the threshold', 'ok = I_r >= I_gf', [given('I_r', amperes, 'A', 'computed'), t.rule('service.ground-fault.amperes', 'I_gf')]);
  const above = voltsToGround > t.rule('service.ground-fault.volts-to-ground', 'U_g').value;
  const within = volts <= t.rule('service.ground-fault.volts', 'U_max').value;
  const wye = Math.abs(volts / Math.sqrt(3) / voltsToGround - 1) < WYE_TOLERANCE;
  const solidly = above && within && wye;
  t.state('Solidly grounded wye above the voltage to ground', solidly, '', `${volts} V with ${voltsToGround} V to ground`, 'plan');
  return enough && solidly;
}
const WYE_TOLERANCE = 0.02;

const ratingNow = (t: Trace, s: Selection): number => s.data.ratedAmperes ?? s.switch(t).amperes.value;

const suitability: Question = { check: 'sizing.service-suitability', title: 'Suitable as service equipment', ask: (t, s) => {
  t.state('Marked suitable for use as service equipment', s.data.serviceEquipment ?? 'not entered', '', 'marking on the disconnect', 'typed', { text: 'NFPA 70 230.66(A)', edition: t.basis.edition, confidence: t.basis.edition === '2026' ? 'memory' : 'confirmed' });
  if (s.data.serviceEquipment === true) return { verdict: 'pass', title: 'marked suitable for use as service equipment' };
  if (s.data.serviceEquipment === false) return { verdict: 'fail', title: 'not suitable for use as service equipment', remedies: ['Take a disconnect marked suitable for use as service equipment.'] };
  throw new Gap('it is not entered whether it is suitable as service equipment', ['marking as service equipment']);
} };

const serviceRating: Question = { check: 'sizing.service-rating', title: 'Smallest service rating', ask: (t, s) => {
  const floor = serviceMinimum(t, loadsOf(s.project, s.device).flatMap((l) => l.data.conditions ?? []));
  const load = s.neededAmperes(t);
  const need = t.compute('Smallest rating', `I_svc = max(I_floor, ${load.name})`, [floor, load], 'A', floor.citation);
  const have = given('I_switch', ratingNow(t, s), 'A', s.data.ratedAmperes === undefined ? 'computed' : 'nameplate');
  const ok = t.test('Rating is enough', 'ok = I_switch >= I_svc', [have, need]);
  if (ok) return { verdict: 'pass', title: `${have.value} A, at least ${amps(need)} for this service`, value: { value: round(need.value), unit: 'A' }, margin: { value: round(have.value - need.value), unit: 'A' } };
  return s.data.ratedAmperes === undefined ? { verdict: 'pass', title: `to be selected: at least ${amps(need)} for this service`, value: { value: round(need.value), unit: 'A' } }
    : { verdict: 'fail', title: `${have.value} A is below ${amps(need)} for this service`, value: { value: round(need.value), unit: 'A' }, remedies: [`Take at least ${amps(need)}.`] };
} };

const groundFault: Question = { check: 'sizing.service-ground-fault', title: 'Ground-fault protection of equipment', ask: (t, s) => {
  const circuit = s.circuit(t);
  if (circuit.voltsToGround === null) throw new Gap('the voltage to ground is not known', ['supply system of the service']);
  const needed = needsGroundFault(t, ratingNow(t, s), circuit.volts, circuit.voltsToGround);
  const setting = t.rule('service.ground-fault.setting', 'I_set');
  return needed ? { verdict: 'judgement', title: `ground-fault protection is needed, set at most ${setting.value} A`, remedies: ['Provide it and record its performance test (not for a continuous industrial process where a shutdown adds hazard).'], value: 'needed' }
    : { verdict: 'pass', title: 'ground-fault protection of equipment is not required', value: 'not required' };
} };

const handles: Question = { check: 'sizing.service-handles', title: 'Number of service disconnects', ask: (t, s) => {
  const same = entitiesOf(s.project.document, 'disconnect').filter((d) => d.data.fedFrom === s.data.fedFrom && loadsOf(s.project, d).some((l) => l.data.kind === 'service'));
  const conditions = loadsOf(s.project, s.device).flatMap((l) => l.data.conditions ?? []);
  const arrangement: Arrangement = conditions.includes('one-enclosure-without-main') ? 'one enclosure without a main' : 'separate enclosures';
  return serviceHandles(t, Math.max(1, same.length), arrangement);
} };

const distance: Question = { check: 'sizing.service-distance', title: 'Nearest the point of entrance', ask: (t, s) => {
  const entrance = entitiesOf(s.project.document, 'supply', s.device.sheet).find((e) => e.role === 'service-entrance');
  if (!entrance) throw new Gap('the point of entrance is not marked', ['point where the service conductors enter']);
  if (s.data.routeLength !== undefined) return serviceDistance(t, s.data.routeLength);
  const scale = s.project.sheets.get(s.device.sheet)?.scale;
  if (!scale) throw new Gap('the sheet has no scale', ['scale of the sheet']);
  return serviceDistance(t, (Math.abs(entrance.at.x - s.device.at.x) + Math.abs(entrance.at.y - s.device.at.y)) * scale.feetPerUnit, false);
} };

const emergency: Question = { check: 'sizing.service-emergency', title: 'Emergency disconnect', ask: (t, s) => {
  const rule = t.allows('service.emergency');
  if (!dwelling(s) || !rule.value) return { verdict: 'pass', title: dwelling(s) ? 'not required by this edition' : 'not a one- or two-family dwelling', citations: [rule.citation] };
  return { verdict: 'judgement', title: 'one- and two-family dwelling: an outdoor, readily accessible emergency disconnect is required', citations: [rule.citation], remedies: ['Confirm that this disconnect, or another, stands outdoors within sight of the dwelling and is marked.'] };
} };

/** Texts that a service disconnect carries, by edition. */
export function serviceMarkings(edition: Edition, facts: { readonly dwelling: boolean; readonly amperes: number; readonly arcFlashFrom: number }): readonly string[] {
  const marks = ['SERVICE DISCONNECT'];
  if (!facts.dwelling) marks.push('available fault current and date of its calculation', 'purpose, identification of its source' + (edition === '2017' || edition === '2020' ? '' : ' and location of the source'), 'arc-flash warning');
  if (!facts.dwelling && atLeast(facts.amperes, facts.arcFlashFrom)) marks.push('detailed arc-flash label with its date');
  if (facts.dwelling && edition !== '2017') marks.push('EMERGENCY DISCONNECT, SERVICE DISCONNECT');
  return marks;
}

const markings: Question = { check: 'sizing.service-markings', title: 'Markings', ask: (t, s) => {
  const threshold = t.rule('service.arc-flash.amperes', 'I_af');
  const marks = serviceMarkings(t.basis.edition, { dwelling: dwelling(s), amperes: ratingNow(t, s), arcFlashFrom: threshold.value });
  for (const mark of marks) t.state('Marking', mark, '', 'required on the disconnect', 'computed', threshold.citation);
  return { verdict: 'pass', title: `to be marked: ${marks.join('; ')}`, value: marks.join('; ') };
} };

/** Questions of a service disconnect. */
export const SERVICE_QUESTIONS: readonly Question[] = [suitability, serviceRating, groundFault, handles, distance, emergency, markings];
