import { placementFigures } from '../code-data/index';
import type { Result } from '../code-data/index';
import { entitiesOf } from '../document/index';
import type { Disconnect, Document, Load } from '../document/index';
import { feet, showLength } from '../units/index';
import { chooseRules, figureOf, inFeet } from './choose-rules';
import { cite, finding, servedLoads, step } from './finding';
import { contains } from './pair-targets';

/** How near a drawn platform's top must come to the stated standing height to be the same surface. */
const SAME_SURFACE = 0.1;

/** Whether a load has another disconnect that is readily accessible. */
export type HasReady = (load: Load) => boolean;

/** The highest a handle may be, with a local amendment where there is one. */
export const handleLimit = ({ facts }: Document) => figureOf(facts, ['handle-height'], placementFigures.handleHeight[facts.jurisdiction]);

/** Handle height above the floor or platform, with the exception for equipment that is itself out of reach. */
export function checkHandleHeight(document: Document, disconnect: Disconnect, hasReady: HasReady): Result[] {
  const { facts } = document;
  const limit = handleLimit(document);
  const height = disconnect.handleHeight;
  const shown = showLength(height, facts.units);
  const citations = [cite(facts, 'GEN-HEIGHT', limit.note)];
  const steps = [step('handle height', 'centre of the grip at its highest <= limit', height, 'ft', [
    { name: 'limit', value: limit.value, unit: 'ft', from: limit.from === 'override' ? 'override' : 'table', source: 'GEN-HEIGHT' },
    { name: 'standing surface', value: disconnect.standing, unit: 'ft', from: 'typed', source: disconnect.id },
  ])];
  const common = { check: 'reach.height', citations, steps, value: { value: height, unit: 'ft' }, margin: { value: limit.value - height, unit: 'ft' } };
  const missing = [...(limit.missing === undefined ? [] : [limit.missing]), ...(standsOnSomething(document, disconnect) ? [] : [`platform ${showLength(disconnect.standing, facts.units)} up that ${disconnect.tag} is worked from`])];
  if (height <= limit.value) {
    if (missing.length > 0) return [finding(disconnect, { ...common, verdict: 'incomplete', title: `${disconnect.tag}: handle ${shown} above a surface that is not drawn`, missing })];
    return [finding(disconnect, { ...common, verdict: 'pass', title: `${disconnect.tag}: handle at ${shown}, within reach` })];
  }
  return [judgeHigh(document, disconnect, limit.value, common, shown, hasReady)];
}

/** Too high, unless it is next to equipment that is itself out of reach; a motor circuit then needs another one within reach. */
function judgeHigh(document: Document, disconnect: Disconnect, limit: number, common: Omit<Parameters<typeof finding>[1], 'verdict' | 'title'>, shown: string, hasReady: HasReady): Result {
  const scale = document.sheets.find((s) => s.id === disconnect.sheet)?.scale;
  const beside = scale ? servedLoads(document, disconnect).filter((load) => isBesideHigh(disconnect, load, limit, scale.feetPerUnit)) : [];
  const served = disconnect.serves.length;
  if (beside.length === 0 || beside.length < served) {
    const over = showLength(feet(disconnect.handleHeight - limit), document.facts.units);
    return finding(disconnect, { ...common, verdict: 'fail', title: `${disconnect.tag}: handle at ${shown}, ${over} too high`, remedies: [`Lower the handle of ${disconnect.tag} by ${over}, or give it a fixed platform.`] });
  }
  const motors = beside.filter((load) => chooseRules(load.data, document.facts.edition).some((rule) => rule.id === 'MOT-READY'));
  const open = motors.filter((load) => !(load.data.conditions ?? []).includes('ready-disconnect-elsewhere') && !hasReady(load));
  const title = `${disconnect.tag}: handle at ${shown}, next to ${beside.map((l) => l.tag).join(', ')}, reached by portable means`;
  if (open.length === 0) return finding(disconnect, { ...common, verdict: 'pass', title });
  return finding(disconnect, { ...common, verdict: 'judgement', title, citations: [...common.citations, cite(document.facts, 'MOT-READY')],
    remedies: [`Show another disconnect of ${open.map((l) => l.tag).join(', ')} that is readily accessible, or lower ${disconnect.tag}.`] });
}

function isBesideHigh(disconnect: Disconnect, load: Load, limit: number, feetPerUnit: number): boolean {
  if (!load.at || load.sheet !== disconnect.sheet) return false;
  const plan = Math.hypot(load.at.x - disconnect.at.x, load.at.y - disconnect.at.y) * feetPerUnit;
  const rise = load.height - disconnect.standing - disconnect.handleHeight;
  return Math.hypot(plan, rise) <= inFeet(placementFigures.nextTo) && load.height - load.standing > limit;
}

/** The floor, or something walkable whose top is that high under the handle or in front of it. */
export function standsOnSomething(document: Document, disconnect: Disconnect): boolean {
  return Math.abs(disconnect.standing) <= SAME_SURFACE || platformUnder(document, disconnect) !== null;
}

/** The platform a device is worked from, or null when it stands on the level's floor or on nothing drawn. */
export function platformUnder(document: Document, place: { readonly sheet: string; readonly at: Disconnect['at']; readonly standing: number }) {
  const scale = document.sheets.find((s) => s.id === place.sheet)?.scale;
  // A handle hangs at the edge of what it is worked from: half a stride around it counts.
  const near = scale ? inFeet(placementFigures.nextTo) / 2 / scale.feetPerUnit : 0;
  const around = [[0, 0], [near, 0], [-near, 0], [0, near], [0, -near]].map(([dx, dy]) => ({ x: place.at.x + (dx ?? 0), y: place.at.y + (dy ?? 0) }) as Disconnect['at']);
  return entitiesOf(document, 'obstruction', place.sheet).find((o) => o.walkable && Math.abs(o.top - place.standing) <= SAME_SURFACE && around.some((p) => contains(o.outline, p))) ?? null;
}
