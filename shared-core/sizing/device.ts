import { Trace, answer, round } from '../code-data/index';
import type { Finding, Result } from '../code-data/index';
import type { Document, Id, LoadKind } from '../document/index';
import { amperes, horsepower, volts } from '../units/index';
import { sizeName } from './conductor';
import { resultAsWritten } from './figure-text';
import { FIRE_PUMP_QUESTIONS } from './fire-pump';
import { optionsOf } from './options';
import { partClass, partsOf } from './load';
import { loadsOf, projectOf } from './project';
import { QUESTIONS, horsepowerNeeds } from './questions';
import type { Question } from './questions';
import { maybe, selectionOf } from './selection';
import type { Selection } from './selection';
import { SERVICE_QUESTIONS } from './service';
import type { DeviceSizing, DeviceSummary } from './types';
import { wireName } from './run';

/** Motors whose running overload is not that of 430.32: none at a fire pump, that of the drive, or rules of their own. */
const OWN_OVERLOAD: ReadonlySet<LoadKind> = new Set(['fire-pump', 'drive', 'crane', 'elevator']);

/** What a circuit-breaker and a switch are each asked. */
function questionsFor(s: Selection): readonly Question[] {
  const q = QUESTIONS;
  const loads = loadsOf(s.project, s.device);
  const [part, ...others] = partsOf(loads);
  const plate = part !== undefined && others.length === 0 && part.data.nameplateAmperes !== undefined && partClass(part.data) === 'motor' && !OWN_OVERLOAD.has(part.data.kind);
  const list: Question[] = [q.loadData, q.deviceType, q.ampereRating, q.horsepowerRating, q.lockedRotor, q.voltageRating, q.poles];
  if (s.data.type === 'circuit-breaker') list.push(...(partsOf(loads).some(({ data }) => data.fusesOnly === true) ? [q.fusing] : []), q.breakerSize);
  else list.push(q.fusing, q.fuse);
  if (plate) list.push(q.overload);
  if (!s.isBreaker) list.push(q.duty);
  list.push(q.fault, q.shortCircuit, q.conductor, q.ground, q.drop, q.lugs, q.raceway, q.enclosure);
  if (partsOf(loads).some(({ data }) => data.kind === 'fire-pump')) list.push(...FIRE_PUMP_QUESTIONS);
  if (loads.some((l) => l.data.kind === 'service') || s.data.serviceEquipment === true) list.push(...SERVICE_QUESTIONS);
  return list;
}

/** The ratings are worked out by one code only: in a project under another that is never silent. */
const otherRules: Question = { check: 'sizing.jurisdiction', title: 'Code of the ratings', ask: (t) => ({
  verdict: 'judgement', title: `sized by NFPA 70, edition ${t.basis.edition}: no Canadian rules for ratings, fuses and conductors are on file`,
  citations: [{ text: 'CSA C22.1', edition: '', confidence: 'memory', note: 'not on file for sizing; placement has its own profile' }], remedies: ['Check every rating against the Canadian code as adopted where this stands.'],
}) };

/** Whether nothing can be said about the load: then one result says why, and only the place is judged besides. */
function loadGap(s: Selection): boolean {
  try {
    const t = new Trace(s.basis, true);
    s.draws(t);
    s.circuit(t);
    return false;
  } catch { return true; }
}

/**
 * Everything computed for one disconnect: ratings, fuse, conductors, lugs, raceway, fault current, enclosure, options.
 * @param disconnect id of a disconnect of the document
 * @returns one Result per question, each with its ordered derivation, and the same numbers in short; what is missing or
 * contradicts is 'incomplete' with its name, never a number
 * @throws RangeError when the id is no disconnect (programmer error)
 * @limits pure; the index of a document is kept while the document lives; 1,000 devices in well under a second
 * @source tables and rules of code-data; the edition and the local amendments of the project
 */
export function sizeDevice(document: Document, disconnect: Id): DeviceSizing {
  const project = projectOf(document);
  const device = Object.hasOwn(document.entities, disconnect) ? document.entities[disconnect] : undefined;
  if (device?.kind !== 'disconnect') throw new RangeError(`${disconnect} is no disconnect of this project`);
  const s = selectionOf(project, device);
  const [firstLoad] = device.serves;
  const subject = { disconnect, sheet: device.sheet, ...(device.serves.length === 1 && firstLoad !== undefined ? { load: firstLoad } : {}) };
  const ask = (q: Question): Result => answer(`${q.check}/${disconnect}`, q.check, subject, s.basis, `${device.tag} ${q.title.toLowerCase()}`, (t) => named(device.tag, q, q.ask(t, s)));
  const otherCode = document.facts.jurisdiction === 'CA' ? [otherRules] : [];
  const questions = loadGap(s) ? [QUESTIONS.loadData, QUESTIONS.enclosure] : [...questionsFor(s), ...otherCode];
  const results = questions.map(ask);
  const t = new Trace(s.basis, true);
  const options = safely(() => optionsOf(t, s)) ?? [];
  for (const { option, reason } of options) {
    results.push(answer(`sizing.option.${option}/${disconnect}`, 'sizing.option', subject, s.basis, `${device.tag} option`, (own) => {
      own.state('Option', option, '', reason, device.data.options?.includes(option) ? 'typed' : 'computed');
      return { verdict: 'pass', title: `${device.tag} option ${option.replace(/-/g, ' ')}: ${reason}`, value: option };
    }));
  }
  return { disconnect, results: results.map(resultAsWritten), summary: summaryOf(t, s, options) };
}

const named = (tag: string, q: Question, found: Finding): Finding => ({ ...found, title: `${tag} ${q.title.toLowerCase()}: ${found.title}` });

/** Any trouble leaves a blank in the summary; the results say why. */
function safely<T>(work: () => T): T | null {
  try { return maybe(work); } catch { return null; }
}

function summaryOf(t: Trace, s: Selection, options: DeviceSummary['options']): DeviceSummary {
  const hp = safely(() => horsepowerNeeds(t, s)?.own ?? null);
  const fusible = safely(() => s.fusible(t).value);
  const fuse = fusible === true ? safely(() => s.fuse(t)) : null;
  const pick = s.isBreaker ? null : safely(() => s.switch(t));
  const wires = safely(() => s.wires(t));
  const ground = safely(() => s.ground(t));
  const raceway = safely(() => s.raceway(t));
  const needed = safely(() => s.neededAmperes(t));
  const breaker = s.data.type === 'circuit-breaker' ? safely(() => s.protection(t, 'inverse-time-breaker').largest) : null;
  const rated = s.data.ratedAmperes ?? pick?.amperes.value ?? breaker?.value ?? null;
  const rating = safely(() => s.shortCircuit(t));
  return {
    requiredAmperes: needed ? amperes(round(needed.value)) : null, switchAmperes: rated === null ? null : amperes(rated),
    switchVolts: s.data.ratedVolts ?? (pick ? volts(pick.volts) : null), requiredHorsepower: hp ? horsepower(hp.value) : null, fusible,
    fuse: fuse ? { fuseClass: fuse.fuseClass, amperes: amperes(fuse.amperes.value) } : null,
    duty: s.isBreaker ? null : pick?.duty ?? safely(() => s.duty(t).value), poles: s.data.poles ?? safely(() => s.poles(t).poles),
    enclosure: s.data.enclosure ?? safely(() => s.enclosure(t).chosen), conductor: wires ? wireName(wires) : null,
    equipmentGround: ground !== null && wires ? `${sizeName(ground)} ${wires.material}` : null,
    voltageDropPercent: wires?.drop ? round(wires.drop.percent.value) : null,
    faultCurrent: safely(() => amperes(Math.round(s.fault(t).amperes.value))), shortCircuitRating: rating ? amperes(rating.value) : null,
    lugs: safely(() => s.lugs(t).words), raceway: raceway ? `${raceway.tradeSize} in ${raceway.raceway}` : null, options,
  };
}
