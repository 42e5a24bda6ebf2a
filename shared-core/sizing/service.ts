import { Gap, atLeast, given, round, ruleValue } from '../code-data/index';
import type { Citation, Edition, Figure, Finding, RuleKey, Trace } from '../code-data/index';
import { entitiesOf, scaleAt } from '../document/index';
import type { Disconnect } from '../document/index';
import { amps } from './case';
import { dwelling } from './options';
import type { Question } from './questions';
import { entityOf, loadsOf } from './project';
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
    : has('one-family-dwelling') || has('dwelling') || has('one-or-two-family') ? 'service.rating.dwelling' : 'service.rating.minimum';
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

/** Rating as entered, else of what is proposed: of a breaker the largest it may be. */
const ratingNow = (t: Trace, s: Selection): number => s.data.ratedAmperes ?? (s.data.type === 'circuit-breaker' ? s.protection(t, 'inverse-time-breaker').largest : s.switch(t).amperes).value;

/** The service disconnects beside this one: all that hang on the same supply as one, whatever they serve (230.71). */
function serviceDisconnects(s: Selection): readonly Disconnect[] {
  const { fedFrom } = s.data;
  const entrance = entityOf(s.project, fedFrom);
  const fromEntrance = entrance?.kind === 'supply' && entrance.role === 'service-entrance';
  return entitiesOf(s.project.document, 'disconnect').filter((d) => d.id === s.device.id
    || (d.data.fedFrom === fedFrom && (fromEntrance || d.data.serviceEquipment === true || loadsOf(s.project, d).some((l) => l.data.kind === 'service'))));
}

const suitability: Question = { check: 'sizing.service-suitability', title: 'Suitable as service equipment', ask: (t, s) => {
  t.state('Marked suitable for use as service equipment', s.data.serviceEquipment ?? 'not entered', '', 'marking on the disconnect', 'typed', { text: 'NFPA 70 230.66(A)', edition: t.basis.edition, confidence: t.basis.edition === '2026' ? 'memory' : 'confirmed' });
  if (s.data.serviceEquipment === true) return { verdict: 'pass', title: 'marked suitable for use as service equipment' };
  if (s.data.serviceEquipment === false) return { verdict: 'fail', title: 'not suitable for use as service equipment', remedies: ['Take a disconnect marked suitable for use as service equipment.'] };
  throw new Gap('it is not entered whether it is suitable as service equipment', ['marking as service equipment']);
} };

/** Highest volts to ground of a dwelling's service (own reading of 210.6). */
const DWELLING_VOLTS = 150;

/** Whether a one- or two-family dwelling is served: as recorded, else no where the voltage is none of a dwelling; null where nothing tells. */
function servesDwelling(t: Trace, s: Selection): boolean | null {
  if (dwelling(s)) return true;
  const said = loadsOf(s.project, s.device).some(({ data: { conditions } }) => conditions?.includes('no-dwelling') === true || conditions?.includes('industrial') === true);
  if (said) return false;
  const toGround = s.circuit(t).voltsToGround;
  return toGround !== null && toGround > DWELLING_VOLTS ? false : null;
}
const WHICH_BUILDING = 'building that is served (a fact of the load: one- or two-family dwelling, or no dwelling)';

const serviceRating: Question = { check: 'sizing.service-rating', title: 'Smallest service rating', ask: (t, s) => {
  const conditions = loadsOf(s.project, s.device).flatMap((l) => l.data.conditions ?? []);
  const floor = serviceMinimum(t, conditions);
  const load = s.neededAmperes(t);
  const together = serviceDisconnects(s);
  if (together.length > 1) return combinedRating(t, s, together, { floor, load });
  const need = t.compute('Smallest rating', `I_svc = max(I_floor, ${load.name})`, [floor, load], 'A', floor.citation);
  const have = given('I_switch', ratingNow(t, s), 'A', s.data.ratedAmperes === undefined ? 'computed' : 'nameplate');
  const ok = t.test('Rating is enough', 'ok = I_switch >= I_svc', [have, need]);
  const few = conditions.includes('one-branch-circuit') || conditions.includes('two-branch-circuits');
  const most = t.rule('service.rating.dwelling', 'I_dw');
  if (ok && !few && servesDwelling(t, s) === null && !atLeast(have.value, most.value)) throw new Gap(`a one-family dwelling needs ${amps(most)}, and it is not entered whether one is served`, [WHICH_BUILDING]);
  if (ok) return { verdict: 'pass', title: `${have.value} A, at least ${amps(need)} for this service`, value: { value: round(need.value), unit: 'A' }, margin: { value: round(have.value - need.value), unit: 'A' } };
  return s.data.ratedAmperes === undefined ? { verdict: 'pass', title: `to be selected: at least ${amps(need)} for this service`, value: { value: round(need.value), unit: 'A' } }
    : { verdict: 'fail', title: `${have.value} A is below ${amps(need)} for this service`, value: { value: round(need.value), unit: 'A' }, remedies: [`Take at least ${amps(need)}.`] };
} };

/** Of several disconnects each carries its own load, and all together the smallest rating of the service (230.80). */
function combinedRating(t: Trace, s: Selection, together: readonly Disconnect[], { floor, load }: { readonly floor: Figure; readonly load: Figure }): Finding {
  const have = given('I_switch', ratingNow(t, s), 'A', s.data.ratedAmperes === undefined ? 'computed' : 'nameplate', s.device.tag);
  const value = { value: round(load.value), unit: 'A' };
  if (!t.test('Rating carries its own load', `ok = I_switch >= ${load.name}`, [have, load])) return { verdict: 'fail', title: `${have.value} A is below ${amps(load)} for what it serves`, value, remedies: [`Take at least ${amps(load)}.`] };
  const entered = together.filter((d) => d.id !== s.device.id).map((d) => ({ tag: d.tag, amperes: d.data.ratedAmperes }));
  const known = entered.reduce((sum, { amperes }) => sum + (amperes ?? 0), 0);
  const sum = t.compute('Ratings of the service together', 'I_all = I_switch + I_others', [have, given('I_others', known, 'A', 'nameplate', entered.map((d) => d.tag).join(', '))], 'A', { text: 'NFPA 70 230.80', edition: t.basis.edition, confidence: t.basis.edition === '2026' ? 'memory' : 'confirmed' });
  if (t.test('Together they reach the smallest rating of the service', `ok = I_all >= ${floor.name}`, [sum, floor])) return { verdict: 'pass', title: `${have.value} A for ${amps(load)}, ${amps(sum)} with the other ${entered.length} for ${amps(floor)} of this service`, value, margin: { value: round(have.value - load.value), unit: 'A' } };
  const open = entered.filter((d) => d.amperes === undefined);
  if (open.length > 0) throw new Gap(`the ratings of the service add up to ${amps(sum)} so far, below ${amps(floor)}`, open.map((d) => `ampere rating of ${d.tag}`));
  return { verdict: 'fail', title: `the ratings of the service add up to ${amps(sum)}, below ${amps(floor)}`, value, remedies: [`Take disconnects of ${amps(floor)} together.`] };
}

const groundFault: Question = { check: 'sizing.service-ground-fault', title: 'Ground-fault protection of equipment', ask: (t, s) => {
  const circuit = s.circuit(t);
  if (circuit.voltsToGround === null) throw new Gap('the voltage to ground is not known', ['supply system of the service']);
  const needed = needsGroundFault(t, ratingNow(t, s), circuit.volts, circuit.voltsToGround);
  const setting = t.rule('service.ground-fault.setting', 'I_set');
  return needed ? { verdict: 'judgement', title: `ground-fault protection is needed, set at most ${setting.value} A`, remedies: ['Provide it and record its performance test (not for a continuous industrial process where a shutdown adds hazard).'], value: 'needed' }
    : { verdict: 'pass', title: 'ground-fault protection of equipment is not required', value: 'not required' };
} };

const handles: Question = { check: 'sizing.service-handles', title: 'Number of service disconnects', ask: (t, s) => {
  if (s.data.fedFrom === undefined) throw new Gap('what feeds it is not entered, so the disconnects of its service cannot be counted', ['supply that feeds the disconnect']);
  const same = serviceDisconnects(s);
  t.state('Service disconnects on this supply', same.map((d) => d.tag).join(', '), '', 'all that it feeds and that serve a service, are marked as service equipment or hang on the point of entrance', 'plan');
  const conditions = loadsOf(s.project, s.device).flatMap((l) => l.data.conditions ?? []);
  const arrangement: Arrangement = conditions.includes('one-enclosure-without-main') ? 'one enclosure without a main' : 'separate enclosures';
  return serviceHandles(t, same.length, arrangement);
} };

const distance: Question = { check: 'sizing.service-distance', title: 'Nearest the point of entrance', ask: (t, s) => {
  const entrance = entitiesOf(s.project.document, 'supply', s.device.sheet).find((e) => e.role === 'service-entrance');
  if (!entrance) throw new Gap('the point of entrance is not marked', ['point where the service conductors enter']);
  if (s.data.routeLength !== undefined) return serviceDistance(t, s.data.routeLength);
  const scale = scaleAt(s.project.sheets.get(s.device.sheet)?.scale, [entrance.at, s.device.at]);
  if (!scale) throw new Gap(s.project.sheets.get(s.device.sheet)?.scale ? 'the scale of the sheet is not known there' : 'the sheet has no scale', ['scale of the sheet']);
  return serviceDistance(t, (Math.abs(entrance.at.x - s.device.at.x) + Math.abs(entrance.at.y - s.device.at.y)) * scale.feetPerUnit, false);
} };

const emergency: Question = { check: 'sizing.service-emergency', title: 'Emergency disconnect', ask: (t, s) => {
  const rule = t.allows('service.emergency');
  const served = servesDwelling(t, s);
  if (!rule.value) return { verdict: 'pass', title: 'not required by this edition', citations: [rule.citation] };
  if (served === null) throw new Gap('a one- or two-family dwelling needs an outdoor emergency disconnect, and it is not entered whether one is served', [WHICH_BUILDING]);
  if (!served) return { verdict: 'pass', title: 'not a one- or two-family dwelling', citations: [rule.citation] };
  return { verdict: 'judgement', title: 'one- and two-family dwelling: an outdoor, readily accessible emergency disconnect is required', citations: [rule.citation], remedies: ['Confirm that this disconnect, or another, stands outdoors within sight of the dwelling and is marked.'] };
} };

interface ServiceFacts { readonly dwelling: boolean; readonly amperes: number; readonly arcFlashFrom: number; /** Disconnects of the service, where more than one. */ readonly count?: number }
interface Marking { readonly text: string; readonly section: string }
const PURPOSE: Readonly<Record<Edition, string>> = { '2017': 'purpose', '2020': 'purpose, identification of its source', '2023': 'purpose, identification of its source and location of the source', '2026': 'purpose, identification of its source and location of the source' };

/** Markings with the section that asks for each; the detailed arc-flash label, whose threshold is a rule of its own, has none here. */
function markingsOf(edition: Edition, facts: ServiceFacts): readonly Marking[] {
  const marks: Marking[] = [{ text: 'SERVICE DISCONNECT', section: '230.70(B)' }];
  if ((facts.count ?? 1) > 1) marks.push({ text: 'the load it serves, grouped with the others', section: '230.72(A)' });
  if (!facts.dwelling) marks.push({ text: 'available fault current and date of its calculation', section: '110.24(A)' }, { text: PURPOSE[edition], section: '110.22(A)' }, { text: 'arc-flash warning', section: edition === '2026' ? '110.16' : '110.16(A)' });
  if (!facts.dwelling && atLeast(facts.amperes, facts.arcFlashFrom)) marks.push({ text: 'detailed arc-flash label with its date', section: '' });
  if (facts.dwelling && edition !== '2017') marks.push({ text: 'EMERGENCY DISCONNECT, SERVICE DISCONNECT', section: edition === '2023' ? '230.85(E)' : edition === '2020' ? '230.85' : '230.70' });
  return marks;
}

/** Texts that a service disconnect carries, by edition. */
export const serviceMarkings = (edition: Edition, facts: ServiceFacts): readonly string[] => markingsOf(edition, facts).map((m) => m.text);

const markings: Question = { check: 'sizing.service-markings', title: 'Markings', ask: (t, s) => {
  const threshold = t.rule('service.arc-flash.amperes', 'I_af');
  const { edition } = t.basis;
  const marks = markingsOf(edition, { dwelling: dwelling(s), amperes: ratingNow(t, s), arcFlashFrom: threshold.value, count: serviceDisconnects(s).length });
  const unread: Partial<Citation> = edition === '2026' ? { confidence: 'memory', note: 'the 2026 text was not read; taken as in 2023' } : {};
  for (const { text, section } of marks) t.state('Marking', text, '', 'required on the disconnect', 'computed', section === '' ? threshold.citation : { text: `NFPA 70 ${section}`, edition, confidence: 'confirmed', ...unread });
  const texts = marks.map((m) => m.text).join('; ');
  return { verdict: 'pass', title: `to be marked: ${texts}`, value: texts };
} };

/** Questions of a service disconnect. */
export const SERVICE_QUESTIONS: readonly Question[] = [suitability, serviceRating, groundFault, handles, distance, emergency, markings];
