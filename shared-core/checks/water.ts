import { placementFigures } from '../code-data/index';
import type { Result } from '../code-data/index';
import { entitiesOf, scaleBetween } from '../document/index';
import type { Area, Disconnect, Document, Point } from '../document/index';
import type { Obstacle } from '../sight/index';
import { feet, showLength } from '../units/index';
import { chooseRules, citationOf, figureOf } from './choose-rules';
import { distanceToSegment, judgeAtLeast } from './distance';
import { finding, servedLoads, step } from './finding';
import { contains } from './pair-targets';
import type { ReadySheet } from './pair-view';

/** Word in an area's environments that marks the inside walls of a pool, spa or fountain. */
export const WATER = 'pool-water';
/** What starts this low stands in a walker's way, feet. */
const STEP_OVER = 0.5;

/** Least distance from the water: straight and flat, or round a permanent barrier by the shortest way. */
export function checkWater(document: Document, sheet: ReadySheet, disconnect: Disconnect): Result[] {
  return servedLoads(document, disconnect).flatMap((load) => {
    const { facts } = document;
    const rule = chooseRules(load.data, facts.edition).find((r) => r.demands.includes('water-distance'));
    if (!rule) return [];
    const minimum = figureOf(facts, [`${rule.id}.water-distance`], placementFigures.fromWater);
    const common = { check: 'place.water', load, citations: [citationOf(rule, facts.edition, facts.jurisdiction, minimum.note)] };
    const pools = entitiesOf(document, 'area', disconnect.sheet).filter((a) => a.environments.includes(WATER));
    const scale = sheet.scene.sheet.scale;
    if (pools.length === 0 || !scale) {
      const missing = [...(scale ? [] : [`scale of sheet ${sheet.scene.sheet.name}`]), ...(pools.length > 0 ? [] : [`water's edge (an area marked '${WATER}')`])];
      return [finding(disconnect, { ...common, verdict: 'incomplete', title: `${disconnect.tag}: distance from the water not checked`, missing })];
    }
    const straight = Math.min(...pools.map((pool) => distanceToWater(pool, disconnect.at))) * scale.feetPerUnit;
    const round = Math.min(...pools.map((pool) => reachPath(document, sheet, pool, disconnect.at, minimum.value))) * scale.feetPerUnit;
    const distance = Math.max(straight, round);
    const verdict = judgeAtLeast(distance, scaleBetween(scale, [disconnect, ...pools]), minimum.value);
    const shown = showLength(feet(distance), facts.units);
    return [finding(disconnect, { ...common, verdict, value: { value: distance, unit: 'ft' }, margin: { value: distance - minimum.value, unit: 'ft' },
      title: `${disconnect.tag} is ${shown} from the water${round > straight ? ' round the barrier' : ''}, at least ${showLength(minimum.value, facts.units)} needed`, remedies: [`Move ${disconnect.tag} further from the water.`],
      steps: [step('distance from the water', 'flat, from the inside wall; round a permanent barrier by the shortest way', distance, 'ft', [{ name: 'straight', value: straight, unit: 'ft', from: 'plan' }, { name: 'round barriers', value: round, unit: 'ft', from: 'plan' }])] })];
  });
}

function distanceToWater(pool: Area, p: Point): number {
  if (contains(pool.outline, p)) return 0;
  return Math.min(...pool.outline.map((a, i) => distanceToSegment(p, a, pool.outline[(i + 1) % pool.outline.length] ?? a)));
}

function nearestOnWater(pool: Area, p: Point): Point {
  let best: Point = p; let nearest = Number.POSITIVE_INFINITY;
  pool.outline.forEach((a, i) => {
    const b = pool.outline[(i + 1) % pool.outline.length] ?? a;
    const length2 = (b.x - a.x) ** 2 + (b.y - a.y) ** 2 || 1;
    const t = Math.max(0, Math.min(1, ((p.x - a.x) * (b.x - a.x) + (p.y - a.y) * (b.y - a.y)) / length2));
    const q = { x: a.x + t * (b.x - a.x), y: a.y + t * (b.y - a.y) } as Point;
    const d = Math.hypot(q.x - p.x, q.y - p.y);
    if (d < nearest) { nearest = d; best = q; }
  });
  return best;
}

/** Shortest way from the water's edge to the point that crosses no wall standing on the floor; by the ends of those walls. */
function reachPath(document: Document, sheet: ReadySheet, pool: Area, target: Point, minimum: number): number {
  const barriers = barriersNear(document, sheet, pool, target, minimum);
  const blocked = (a: Point, b: Point): boolean => barriers.some(([p, q]) => crosses(a, b, p, q));
  const direct = nearestOnWater(pool, target);
  if (!blocked(direct, target)) return Math.hypot(direct.x - target.x, direct.y - target.y);
  const nodes = [target, ...barriers.flat()];
  const cost = nodes.map((_, i) => (i === 0 ? 0 : Number.POSITIVE_INFINITY)); const done = new Set<number>();
  let best = Number.POSITIVE_INFINITY;
  for (;;) {
    let here = -1;
    nodes.forEach((_, i) => { if (!done.has(i) && (cost[i] ?? Infinity) < (here < 0 ? Infinity : cost[here] ?? Infinity)) here = i; });
    const at = nodes[here];
    if (here < 0 || !at) return best;
    done.add(here);
    const so = cost[here] ?? Infinity;
    if (so >= best) return best;
    const shore = nearestOnWater(pool, at);
    if (!blocked(shore, at)) best = Math.min(best, so + Math.hypot(shore.x - at.x, shore.y - at.y));
    nodes.forEach((node, i) => {
      if (!done.has(i) && !blocked(at, node)) cost[i] = Math.min(cost[i] ?? Infinity, so + Math.hypot(node.x - at.x, node.y - at.y));
    });
  }
}

/**
 * Centre lines of the walls on the floor that could stand between: all that lie near the way. A gate or door is no permanent
 * barrier, and what is lower than the distance itself can be reached over on a shorter way.
 */
function barriersNear(document: Document, sheet: ReadySheet, pool: Area, target: Point, minimum: number): [Point, Point][] {
  const shore = nearestOnWater(pool, target);
  const reach = 4 * Math.hypot(shore.x - target.x, shore.y - target.y) + 20 / (sheet.scene.sheet.scale?.feetPerUnit ?? 1);
  const near = sheet.index?.obstaclesIn(target.x - reach, target.y - reach, target.x + reach, target.y + reach) ?? [];
  return near.filter((o) => o.bottom <= STEP_OVER && o.top >= minimum && o.transmission !== 'leaf' && !isDoor(document, sheet, o))
    .flatMap(({ shape }): [Point, Point][] => (shape.type === 'wall' ? [[{ x: shape.x1, y: shape.y1 } as Point, { x: shape.x2, y: shape.y2 } as Point]] : []));
}

function isDoor(document: Document, { scene }: ReadySheet, { id }: Obstacle): boolean {
  const owner = scene.owners.get(id); const wall = owner && document.entities[owner.entity];
  return wall?.kind === 'wall' && owner?.opening !== undefined && wall.openings.some((o) => o.id === owner.opening && o.leaf !== 'glazed');
}

/** Whether two segments cross in their insides: going round a wall's very end is the way round it. */
function crosses(a: Point, b: Point, p: Point, q: Point): boolean {
  const side = (u: Point, v: Point, w: Point): number => Math.sign((v.x - u.x) * (w.y - u.y) - (v.y - u.y) * (w.x - u.x));
  return side(a, b, p) * side(a, b, q) < 0 && side(p, q, a) * side(p, q, b) < 0;
}
