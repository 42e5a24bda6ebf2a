import type { Citation, Input, Result, Step, Verdict } from '../code-data/index';
import { placementRules } from '../code-data/index';
import type { Disconnect, Document } from '../document/index';
import { showLength } from '../units/index';
import { feet } from '../units/index';
import { citationOf } from './choose-rules';
import type { ExceptionOutcome } from './exceptions';
import { listWords, nameOfMeeting } from './names';
import type { LineReport, TargetKind } from './types';
import type { PairView } from './pair-view';

/** Said with every sight verdict: what the code leaves open. */
const OWN_READING = 'eye point, heights and measuring points are our own reading; the code gives none';

const TARGET_WORDS: Readonly<Record<TargetKind, string>> = { motor: 'motor', machine: 'driven machine', controller: 'controller', unit: 'equipment' };

/** The one Result of a pair, in trade words. */
export function writePairResult(document: Document, view: PairView, verdict: Verdict, exception: ExceptionOutcome | null, servedBy: Disconnect | null): Result {
  const { disconnect, load, target, distance } = view;
  const tag = target.body?.tag ?? load.tag;
  const met = [view.lines?.eye, view.lines?.body].flatMap((line) => line?.meets ?? []);
  const others = [...new Set([...(target.body && target.body.id !== load.id ? [target.body.id] : []), ...met.map((m) => m.entity)])];
  return {
    id: `sight/${disconnect.id}/${load.id}/${target.kind}`, check: `sight.${target.kind}`,
    subject: { disconnect: disconnect.id, load: load.id, sheet: disconnect.sheet, others },
    verdict, title: titleOf(document, view, verdict, exception, servedBy, tag), remedies: remediesFor(document, view, verdict, exception, tag),
    missing: view.verdict === 'incomplete' ? view.missing : verdict === 'incomplete' ? exception?.missing ?? [] : [],
    citations: citationsOf(document, view), steps: stepsOf(document, view, exception),
    ...(distance ? { value: { value: distance.distance, unit: 'ft' }, margin: { value: distance.limit.value - distance.distance, unit: 'ft' } } : {}),
  };
}

function citationsOf(document: Document, view: PairView): Citation[] {
  const { edition, jurisdiction } = document.facts;
  const general = placementRules.find((rule) => rule.id === 'GEN-INSIGHT');
  const amendment = view.distance?.limit.note;
  return [citationOf(view.target.rule, edition, jurisdiction, amendment), ...(general ? [citationOf(general, edition, jurisdiction, OWN_READING)] : [])];
}

const blockers = (document: Document, line: LineReport | undefined): string[] =>
  (line?.meets ?? []).filter((m) => m.transmission === 'opaque').map((m) => nameOfMeeting(document, m));

function titleOf(document: Document, view: PairView, verdict: Verdict, exception: ExceptionOutcome | null, servedBy: Disconnect | null, tag: string): string {
  const { disconnect, target, distance, lines } = view;
  const what = target.kind === 'motor' || target.kind === 'unit' ? tag : `${TARGET_WORDS[target.kind]} ${tag}`;
  if (servedBy) return `${what} has its disconnect in sight: ${servedBy.tag}; ${disconnect.tag} need not be`;
  if (view.verdict === 'incomplete') return `${what} and ${disconnect.tag}: not checked, ${listWords(view.missing)} missing`;
  if (exception && verdict !== view.verdict) return `${what} is not surely in sight of ${disconnect.tag}; ${exception.words}`;
  if (!distance || !lines) return `${what} and ${disconnect.tag}: not checked`;
  const system = document.facts.units;
  const far = showLength(distance.distance, system);
  const refused = exception?.verdict === 'fail' ? `; ${exception.words}` : '';
  const seen = viewWords(document, view);
  if (distance.verdict === 'fail' && distance.reason === null) return `${what} is ${far} from ${disconnect.tag}, limit ${showLength(distance.limit.value, system)}${seen === null ? '' : `; ${seen}`}${refused}`;
  if (seen !== null) return `${what} ${seen}${refused}`;
  if (distance.reason !== null) return `${what}, ${far} from ${disconnect.tag}: ${distance.reason}`;
  if (distance.verdict === 'marginal') return `${what} is ${far} from ${disconnect.tag}, within ${showLength(distance.uncertainty, system)} of the limit`;
  const mesh = lines.eye.meets.concat(lines.body.meets).filter((m) => m.transmission === 'mesh').map((m) => nameOfMeeting(document, m));
  return `${what} is in sight of ${disconnect.tag} at ${far}${mesh.length > 0 ? `, seen through ${listWords(mesh)}` : ''}${assumption(view)}`;
}

/** A motor without a machine of its own on the plan: said, so that a fan behind the wall is not forgotten. */
const assumption = (view: PairView): string =>
  (view.target.kind === 'motor' && view.load.machine === undefined ? '; its machine is taken to stand at the motor' : '');

function viewWords(document: Document, view: PairView): string | null {
  const { disconnect, lines } = view;
  if (!lines) return null;
  const { eye, body } = lines;
  if (eye.state === 'clear' && body.state === 'clear') return lines.closeCall ? `is seen from ${disconnect.tag} by less than the plan is sure of` : null;
  const hiding = listWords([...blockers(document, eye), ...blockers(document, body)]);
  const verb = hiding.includes(' and ') ? 'stand' : 'stands';
  if (eye.state === 'blocked' && body.state === 'blocked') {
    const wrongSide = view.mounted?.hangs === 'wrong-side' ? ' (it is drawn on the other side of its wall than it faces)' : '';
    return `is ${lines.partlySeen ? 'only partly in sight' : 'not in sight'} of ${disconnect.tag}: ${hiding} ${verb} between${wrongSide}`;
  }
  if (eye.state === 'blocked') return `is seen from ${disconnect.tag} by its body but not from eye height: ${hiding} ${verb} between`;
  if (body.state === 'blocked') return `is seen from ${disconnect.tag} at eye height but not by its body: ${hiding} ${verb} between`;
  if (lines.doubt !== null) return `is seen from ${disconnect.tag} at eye height only: ${lines.doubt}`;
  const through = [...eye.meets, ...body.meets].filter((m) => m.transmission === 'glazed' || m.transmission === 'leaf').map((m) => nameOfMeeting(document, m));
  return `is seen from ${disconnect.tag} only through ${listWords(through)}`;
}

function remediesFor(document: Document, view: PairView, verdict: Verdict, exception: ExceptionOutcome | null, tag: string): string[] {
  if (verdict === 'pass') return [];
  const { disconnect, distance, lines, target } = view;
  if (view.verdict === 'incomplete') return view.missing.map((m) => `Give the ${m}.`);
  if (exception?.verdict === 'incomplete') return exception.missing.map((m) => `Give the ${m}.`);
  const remedies: string[] = [];
  const system = document.facts.units;
  if (exception && verdict === 'judgement' && exception.verdict === 'judgement') return [`Have the authority having jurisdiction accept the exception (${exception.record.document === '' ? 'no document named' : exception.record.document}).`];
  if (distance?.verdict === 'fail') remedies.push(`Move ${disconnect.tag} at least ${showLength(feet(distance.distance - distance.limit.value), system)} nearer to ${tag}.`);
  if (lines && (lines.eye.state !== 'clear' || lines.body.state !== 'clear')) {
    const between = listWords([...lines.eye.meets, ...lines.body.meets].filter((m) => m.transmission !== 'mesh').map((m) => nameOfMeeting(document, m)));
    remedies.push(between === '' ? `Move ${disconnect.tag} to where ${tag} is in plain view.` : `Move ${disconnect.tag} to where ${between} ${between.includes(' and ') ? 'do' : 'does'} not stand in the lines.`);
  }
  if (distance?.verdict === 'marginal' || lines?.closeCall) remedies.push(...placeExactly(view));
  if (distance?.verdict === 'marginal') remedies.push(`Measure the distance from ${disconnect.tag} to ${tag} on site.`);
  if (lines?.closeCall) remedies.push(`Check the view from ${disconnect.tag} to ${tag} on site, or move it further into the open.`);
  if (verdict === 'judgement') remedies.push('Ask the authority having jurisdiction whether this counts as in sight.');
  remedies.push(...(exception?.remedies ?? []));
  if (distance?.reach && distance.reach.farthest > distance.limit.value) {
    remedies.push(`This disconnect is for servicing ${tag}; to stop it from anywhere along its length plan pull cords or stop buttons, which stop but do not isolate.`);
  }
  if (!exception && verdict === 'fail' && target.rule.outOfSight.conditions.length > 0) {
    remedies.push(`Or, where it applies, record the exception: ${target.rule.outOfSight.conditions.map((c) => c.words).join('; or ')}.`);
  }
  return remedies;
}

/** Marks that were pointed at from far away: nothing need be measured on site before they stand where they belong. */
function placeExactly({ disconnect, target }: PairView): string[] {
  const rough = [disconnect, ...(target.body ? [target.body] : [])].filter((mark) => mark.within !== undefined).map((mark) => mark.tag);
  return rough.length === 0 ? [] : [`Zoom in and put ${listWords(rough)} exactly where ${rough.length > 1 ? 'they belong' : 'it belongs'}: placed from far away.`];
}

function stepsOf(document: Document, view: PairView, exception: ExceptionOutcome | null): Step[] {
  const { distance, lines, target, disconnect, mounted } = view;
  const steps: Step[] = [];
  if (distance && mounted && target.body) {
    const scale = document.sheets.find((s) => s.id === disconnect.sheet)?.scale;
    const inputs: Input[] = [
      { name: 'plan distance', value: distance.plan, unit: 'ft', from: 'plan' },
      { name: 'handle height', value: mounted.handle.z, unit: 'ft', from: 'typed', source: disconnect.id },
      { name: `height of the ${TARGET_WORDS[target.kind]}`, value: target.body.height, unit: 'ft', from: 'typed', source: target.body.id },
    ];
    steps.push({ quantity: 'distance', formula: 'd = sqrt(plan^2 + rise^2)', inputs, value: distance.distance, unit: 'ft', confidence: 'own-reading' });
    steps.push({ quantity: 'uncertainty', formula: 'U = sqrt(2 u_p^2 + (u_s d)^2)', unit: 'ft', value: distance.uncertainty, confidence: 'own-reading',
      inputs: [{ name: 'u_p', value: distance.point, unit: 'ft', from: 'plan' }, { name: 'u_s', value: scale?.relativeUncertainty ?? 0, unit: '', from: 'plan' }] });
    steps.push({ quantity: 'limit', formula: 'd + U <= limit', unit: 'ft', value: distance.limit.value, confidence: target.rule.confidence.level === 'high' ? 'confirmed' : 'memory',
      inputs: [{ name: 'limit', value: distance.limit.value, unit: 'ft', from: distance.limit.from === 'override' ? 'override' : 'table', source: target.rule.id }] });
    if (distance.reach) {
      steps.push({ quantity: 'farthest point', formula: 'd to the farthest corner of the outline', unit: 'ft', value: distance.reach.farthest, confidence: 'own-reading',
        inputs: [{ name: 'nearest point', value: distance.reach.nearest, unit: 'ft', from: 'plan' }] });
    }
  }
  if (lines) {
    for (const [quantity, line] of [['eye line', lines.eye], ['body line', lines.body]] as const) {
      steps.push({ quantity, formula: 'straight line to the handle', value: line.state, unit: '', confidence: 'own-reading',
        inputs: [{ name: 'from height', value: line.target.z, unit: 'ft', from: quantity === 'eye line' ? 'default' : 'typed' },
          ...line.meets.map((m): Input => ({ name: `meets ${nameOfMeeting(document, m)} at height`, value: m.at.z, unit: 'ft', from: 'plan', source: m.entity }))] });
    }
  }
  if (exception) {
    const { record } = exception;
    steps.push({ quantity: 'exception', formula: exception.words, value: exception.verdict, unit: '', confidence: 'own-reading',
      inputs: [['condition', record.condition], ['reason', record.reason], ['document', record.document], ['accepted by', record.person], ['date', record.date]]
        .map(([name, value]): Input => ({ name: name ?? '', value: value ?? '', unit: '', from: 'typed', source: record.id })) });
  }
  return steps;
}
