import { placementFigures } from '../code-data/index';
import type { PlacementRule, Result } from '../code-data/index';
import { entitiesOf } from '../document/index';
import type { Disconnect, Document, Id, Load } from '../document/index';
import { feet, showLength } from '../units/index';
import { chooseRules, citationOf, figureOf } from './choose-rules';
import { cite, finding, ruleById, servedLoads } from './finding';
import { listWords } from './names';
import { pairTargets } from './pair-targets';
import type { ReadySheet } from './pair-view';
import { viewPair } from './within-sight';

/** What the rules of a device's loads ask besides sight, reach and room. */
export function checkSpecialRules(document: Document, sheetOf: (sheet: Id) => ReadySheet, disconnect: Disconnect): Result[] {
  const results: Result[] = [];
  for (const load of servedLoads(document, disconnect)) {
    const rules = chooseRules(load.data, document.facts.edition);
    if (load.data.kind === 'other') {
      results.push(finding(disconnect, { check: 'place.rule', load, verdict: 'incomplete', title: `${load.tag}: no rule chosen, its kind is not given`, missing: [`kind of ${load.tag}`], citations: [cite(document.facts, 'GEN-INSIGHT')] }));
      continue;
    }
    if (rules.length === 0) {
      results.push(finding(disconnect, { check: 'place.rule', load, verdict: 'judgement', title: `${load.tag}: no placement rule on file for this kind of load`, citations: [cite(document.facts, 'GEN-INSIGHT')], remedies: ['Read the article of the adopted code for this equipment.'] }));
    }
    for (const rule of rules) results.push(...reviewOf(document, disconnect, load, rule));
    const locking = rules.find((rule) => rule.demands.includes('lockable'));
    if (locking) results.push(...lockOf(document, disconnect, load, locking));
    if (load.data.kind === 'fire-pump') results.push(...firePump(document, disconnect, load), ...firePumpController(document, sheetOf, disconnect, load));
    if (load.data.kind === 'service') results.push(...serviceLength(document, disconnect, load));
    if (rules.some((rule) => rule.id === 'EV-2026')) results.push(...emergencyShutoff(document, disconnect, load));
    results.push(...interlock(document, disconnect, load));
  }
  return results;
}

/** A rule that wants nothing in sight but speaks about the place: said, for a person to settle. */
function reviewOf(document: Document, disconnect: Disconnect, load: Load, rule: PlacementRule): Result[] {
  if (!rule.review) return [];
  const { edition, jurisdiction } = document.facts;
  return [finding(disconnect, { check: `place.${rule.id.toLowerCase()}`, load, verdict: 'judgement', title: `${load.tag} (${rule.equipment}): no distance in the rule; ${rule.remarks[0] ?? ''}`, citations: [citationOf(rule, edition, jurisdiction)], remedies: rule.remarks })];
}

function lockOf(document: Document, disconnect: Disconnect, load: Load, rule: PlacementRule): Result[] {
  const { edition, jurisdiction } = document.facts;
  const common = { check: 'place.lock', load, citations: [citationOf(rule, edition, jurisdiction), cite(document.facts, 'GEN-LOCK')] };
  const { lockable } = disconnect.data;
  if (lockable === undefined) return [finding(disconnect, { ...common, verdict: 'incomplete', title: `${disconnect.tag}: ${load.tag} asks for a lock provision`, missing: [`whether ${disconnect.tag} can be locked open with a provision that stays in place`] })];
  return [finding(disconnect, { ...common, verdict: lockable ? 'pass' : 'fail', title: lockable ? `${disconnect.tag} can be locked open` : `${disconnect.tag} has no lock provision that stays in place; ${load.tag} asks for one`, remedies: ['Fit a hasp that stays on the switch with or without the lock.'] })];
}

/** The rule turned round: one supply disconnect, fit for service, feeding nothing else, and none between controller and motor. */
function firePump(document: Document, disconnect: Disconnect, load: Load): Result[] {
  const citations = [cite(document.facts, 'FIREPUMP')];
  const common = { check: 'place.fire-pump', load, citations };
  const servers = entitiesOf(document, 'disconnect').filter((d) => d.serves.includes(load.id));
  if (servers.length > 1) return [finding(disconnect, { ...common, verdict: 'fail', title: `${load.tag} has ${servers.length} disconnects: a fire pump has at most one, and none between controller and motor`, remedies: ['Take the ordinary switches out of the fire pump circuit.'], others: servers.map((d) => d.id) })];
  const { serviceEquipment } = disconnect.data;
  if (serviceEquipment === undefined) return [finding(disconnect, { ...common, verdict: 'incomplete', title: `${disconnect.tag} serves a fire pump: is it suitable as service equipment?`, missing: [`whether ${disconnect.tag} is suitable as service equipment`] })];
  if (!serviceEquipment) return [finding(disconnect, { ...common, verdict: 'fail', title: `${disconnect.tag} is an ordinary switch in a fire pump circuit`, remedies: ['Only a supply disconnect suitable as service equipment and lockable closed may stand there.'] })];
  return [finding(disconnect, { ...common, verdict: 'judgement', title: `${disconnect.tag} is the one supply disconnect of ${load.tag}: to be lockable closed, supervised, marked and remote from others`, remedies: ['Confirm locking closed, supervision, 1 in. letters and the placard at the controller.'] })];
}

/** A fire pump's controller stands in sight of its motor: the controller's place is looked from as a handle is. */
function firePumpController(document: Document, sheetOf: (sheet: Id) => ReadySheet, disconnect: Disconnect, load: Load): Result[] {
  const common = { check: 'place.fire-pump-controller', load, citations: [cite(document.facts, 'FIREPUMP')] };
  const controller = load.controller === undefined ? undefined : document.entities[load.controller];
  if (controller?.kind !== 'controller') return [finding(disconnect, { ...common, verdict: 'incomplete', title: `${load.tag}: its fire pump controller is not on the plan`, missing: [`controller of ${load.tag}`] })];
  const { id, sheet, tag, at, height, standing } = controller;
  const from: Disconnect = { kind: 'disconnect', id, sheet, tag, at, handleHeight: feet(height - standing), standing, facing: 0, mount: null, serves: [load.id], data: {} };
  const [target] = pairTargets(document, load, [{ ...ruleById('GEN-INSIGHT'), targets: ['motor'] }]);
  if (!target) throw new RangeError(`${load.tag} is no target`);
  const view = viewPair(document, () => sheetOf(sheet), from, load, target);
  return [finding(disconnect, { ...common, verdict: view.verdict, missing: view.missing, title: `${tag} ${view.verdict === 'pass' ? 'is' : 'is not surely'} in sight of the fire pump ${load.tag}`, remedies: [`Place ${tag} as near to ${load.tag} as practical, in plain view of it.`], others: [id] })];
}

/** From 2026 a vehicle charger has an emergency shutoff; its sight and distances are checked at the device that is one. */
function emergencyShutoff(document: Document, disconnect: Disconnect, load: Load): Result[] {
  if (entitiesOf(document, 'disconnect').some((d) => d.serves.includes(load.id) && (d.data.options ?? []).includes('emergency-shutoff'))) return [];
  return [finding(disconnect, { check: 'place.emergency-shutoff', load, verdict: 'incomplete', citations: [cite(document.facts, 'EV-2026')], title: `${load.tag}: its emergency shutoff is not on the plan`, missing: [`emergency shutoff of ${load.tag}, in sight of it and 20 ft to 100 ft away`],
    remedies: [`Place the emergency shutoff of ${load.tag}, or mark the disconnect that is one with that option.`] })];
}

/** How far service conductors run inside: the code gives no figure, towns do. */
function serviceLength(document: Document, disconnect: Disconnect, load: Load): Result[] {
  const { facts } = document;
  const local = facts.overrides.some((o) => o.key === 'service.inside-length') ? figureOf(facts, ['service.inside-length'], { value: 1, unit: 'ft' }) : null;
  const length = disconnect.data.routeLength;
  const common = { check: 'place.service-length', load, citations: [cite(facts, 'SERVICE', local?.note)] };
  if (length === undefined) return [finding(disconnect, { ...common, verdict: 'incomplete', title: `${disconnect.tag}: how far the service conductors run inside is not given`, missing: [`length of the service conductors inside, to ${disconnect.tag}`] })];
  const shown = showLength(length, facts.units);
  if (!local) return [finding(disconnect, { ...common, verdict: 'judgement', title: `${disconnect.tag}: ${shown} of service conductors inside; nearest the point of entrance, no figure in the code`, remedies: ['Ask the authority having jurisdiction for its figure and record it as a local amendment.'] })];
  if (local.missing !== undefined) return [finding(disconnect, { ...common, verdict: 'incomplete', title: `${disconnect.tag}: the local figure cannot be read`, missing: [local.missing] })];
  const verdict = length <= local.value ? 'pass' : 'fail';
  return [finding(disconnect, { ...common, verdict, margin: { value: local.value - length, unit: 'ft' }, title: `${disconnect.tag}: ${shown} of service conductors inside, local limit ${showLength(local.value, facts.units)}`, remedies: [`Move ${disconnect.tag} ${showLength(feet(length - local.value), facts.units)} nearer to where the service comes in.`] })];
}

/** A switch in a drive's output: practice, not code, wants the drive told before it opens. */
function interlock(document: Document, disconnect: Disconnect, load: Load): Result[] {
  if (load.data.driveSide !== 'load' || load.controller === undefined) return [];
  const controller = document.entities[load.controller];
  if (controller?.kind !== 'controller' || controller.sheet !== disconnect.sheet) return [];
  const has = (disconnect.data.options ?? []).includes('early-break-contact');
  return [finding(disconnect, { check: 'place.interlock', load, verdict: has ? 'pass' : 'judgement', citations: [{ text: 'common practice, no source', edition: '', confidence: 'typical' }],
    title: has ? `${disconnect.tag} tells the drive ${controller.tag} before it opens` : `${disconnect.tag} opens the output of the drive ${controller.tag} without telling it`, remedies: ['Wire an early-break auxiliary contact to the drive.'] })];
}

/** Handles of one service or one building feed: at most six, from 2020 each in its own enclosure. */
export function checkHandleCount(document: Document): Result[] {
  const { edition, jurisdiction } = document.facts;
  const groups = new Map<string, Disconnect[]>();
  for (const disconnect of entitiesOf(document, 'disconnect')) {
    for (const load of servedLoads(document, disconnect)) {
      if (!chooseRules(load.data, edition).some((rule) => rule.demands.includes('six-handles'))) continue;
      const key = `${load.data.kind} ${load.data.system ?? ''}`;
      const group = groups.get(key) ?? [];
      if (!group.includes(disconnect)) groups.set(key, [...group, disconnect]);
    }
  }
  return [...groups.values()].flatMap((handles): Result[] => {
    const first = handles[0]; const load = first ? servedLoads(document, first)[0] : undefined;
    const rule = load ? chooseRules(load.data, edition).find((r) => r.demands.includes('six-handles')) : undefined;
    if (!first || !rule) return [];
    const { handles: { value: most, sinceSeparateEnclosures } } = { handles: placementFigures.handles };
    const together = handles.filter((d) => d.data.type === 'circuit-breaker' && handles.some((o) => o !== d && o.data.fedFrom !== undefined && o.data.fedFrom === d.data.fedFrom));
    const tooMany = handles.length > most;
    const oneBox = edition >= sinceSeparateEnclosures && together.length > 0;
    const words = tooMany ? `at most ${most}` : oneBox ? `${together.length} of them breakers in one enclosure, each needs its own` : `within ${most}`;
    return [{ ...finding(first, { check: 'place.handles', verdict: tooMany || oneBox ? 'fail' : 'pass', title: `${handles.length} handle${handles.length === 1 ? '' : 's'} for ${rule.equipment}: ${words}`, citations: [citationOf(rule, edition, jurisdiction)], others: handles.map((d) => d.id),
      remedies: [tooMany ? `Bring the handles down to ${most}.` : `Give each of ${listWords(together.map((d) => d.tag))} its own enclosure or compartment.`] }) }];
  });
}

