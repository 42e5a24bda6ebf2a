import type { PairReport, WorkingSpace } from '../../shared-core/checks/index';
import type { Disconnect, Document, Id } from '../../shared-core/document/index';
import { allowedRegion, mountStretches } from '../../shared-core/sight/index';
import type { AllowedRegion, MountStretch, Obstacle, Target } from '../../shared-core/sight/index';
import { feet } from '../../shared-core/units/index';
import type { Box } from '../tools/plan-geometry';
import type { PlanIndex } from '../tools/plan-index';
import type { LiveChecker } from './live-check';

/** Where one disconnect could be, and the room in front of it where it is. For showing only: verdicts come from the checks. */
export interface ShownPlace {
  readonly region: AllowedRegion | null;
  readonly stretches: readonly MountStretch[];
  readonly space: WorkingSpace | null;
}
export const NO_PLACE: ShownPlace = { region: null, stretches: [], space: null };

/** Stretches shorter than this are no place to hang anything. */
const SHORTEST = feet(0.75);

interface Kept { readonly scenes: unknown; readonly key: string; readonly region: AllowedRegion | null; readonly stretches: readonly MountStretch[] }
let kept: Kept | null = null;

/**
 * The region and wall stretches depend on what the disconnect must see and on its handle's height, not on where it is,
 * so a drag computes them once; the working space follows the disconnect.
 */
export function shownPlace(checker: LiveChecker, document: Document, index: PlanIndex, disconnect: Disconnect): ShownPlace {
  const ready = checker.sheetOf(disconnect.sheet);
  if (!ready.index) return NO_PLACE;
  const pairs = checker.pairsOf(disconnect);
  const space = checker.spaceOf(disconnect);
  const targets = targetsOf(pairs, document);
  const limit = Math.min(...pairs.map((p) => p.limit));
  // A link without lines has no place yet: what it would ask for is not known, so no region is promised.
  if (targets.length === 0 || pairs.some((p) => !p.eyeLine && !p.bodyLine) || !Number.isFinite(limit)) return { ...NO_PLACE, space };
  const handleHeight = feet(disconnect.standing + disconnect.handleHeight);
  const key = JSON.stringify([disconnect.sheet, handleHeight, limit, targets]);
  if (kept?.scenes !== ready || kept.key !== key) {
    const region = allowedRegion(ready.index, targets, { handleHeight, limit: feet(limit) });
    const stretches = region.isEmpty ? [] : mountStretches(ready.index, region, wallsIn(region, index, ready), feet(0.5), SHORTEST);
    kept = { scenes: ready, key, region, stretches };
  }
  return { region: kept.region, stretches: kept.stretches, space };
}

function targetsOf(pairs: readonly PairReport[], document: Document): Target[] {
  return pairs.flatMap((pair) => {
    const load = document.entities[pair.load];
    const own: Id | undefined = load?.kind !== 'load' ? undefined : pair.target === 'machine' ? load.machine : pair.target === 'controller' ? load.controller : load.id;
    return [pair.eyeLine, pair.bodyLine].flatMap((line) => (line ? [{ ...line.target, ...(own === undefined ? {} : { body: own }) }] : []));
  });
}

export function boxOfRegion(region: AllowedRegion): Box {
  let minX = Infinity; let minY = Infinity; let maxX = -Infinity; let maxY = -Infinity;
  for (const outline of region.outlines) for (const { x1, y1, arc } of outline) {
    // An arc bulges at most to its own circle.
    const reach = arc ? [arc.cx - arc.radius, arc.cy - arc.radius, arc.cx + arc.radius, arc.cy + arc.radius] as const : [x1, y1, x1, y1] as const;
    minX = Math.min(minX, reach[0]); minY = Math.min(minY, reach[1]); maxX = Math.max(maxX, reach[2]); maxY = Math.max(maxY, reach[3]);
  }
  return { minX, minY, maxX, maxY };
}

function wallsIn(region: AllowedRegion, index: PlanIndex, { scene, index: sight }: ReturnType<LiveChecker['sheetOf']>): Obstacle[] {
  const found = new Map<string, Obstacle>();
  for (const entity of index.entitiesIn(boxOfRegion(region))) {
    if (entity.kind !== 'wall' || entity.material === 'glazed') continue;
    for (const id of scene.obstaclesOf.get(entity.id) ?? []) {
      const obstacle = sight?.get(id);
      // A door leaf or a piece over a doorway carries no switch.
      if (obstacle && scene.owners.get(id)?.opening === undefined) found.set(id, obstacle);
    }
  }
  return [...found.values()];
}
