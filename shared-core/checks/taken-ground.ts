import { placementFigures } from '../code-data/index';
import type { SpaceCondition } from '../code-data/index';
import { entitiesOf, scaleBetween } from '../document/index';
import type { Disconnect, Document, Entity, Point } from '../document/index';
import { sheetUnits } from '../units/index';
import { chooseRules, figureOf } from './choose-rules';
import { distanceUncertainty } from './distance';
import { servedLoads } from './finding';
import { facingVector } from './handle-point';
import type { ReadySheet } from './pair-view';
import type { SightTarget } from './sight-targets';
import { toLocal, toPlan } from './space-frame';
import type { Frame, Local } from './space-frame';
import { POINT_HALF, disconnectsOn, faceConditionOf, planOf, pointsOn, swingsNear } from './space-surroundings';
import { WATER } from './water';
import { findWorkingSpace, spaceNeedsOf } from './working-space';

/** Plan outlines that together are one shape; each turns the same way, and those that may cross themselves stand alone. */
export interface TakenGround {
  /** Convex outlines, all turning the same way. */
  readonly convex: readonly (readonly Point[])[];
  /** Outlines as drawn, each a shape of its own. */
  readonly drawn: readonly (readonly Point[])[];
}

/** Part of a plan, sheet units. */
export interface PlanBox { readonly left: number; readonly top: number; readonly right: number; readonly bottom: number }

/** Feet around everything taken: what only just fits is no place to promise. */
const HAIR = 1 / 48;

interface Stamp { readonly u1: number; readonly u2: number; readonly v1: number; readonly v2: number }

/**
 * Where a device that hangs on no wall, turned as it is, would have something in its enclosure or in the room in front of it:
 * everything it could meet, grown by the size of both. Wider than the checks in doubt (its width stays centred, what stands
 * beside it counts as in front), never narrower.
 * @param box where it is asked, sheet units
 * @returns null while scale or volts to ground are not known
 */
export function takenGround(document: Document, sheet: ReadySheet, disconnect: Disconnect, box: PlanBox): TakenGround | null {
  const { scene, index } = sheet; const { scale } = scene.sheet;
  const needs = spaceNeedsOf(document, disconnect);
  if (!index || !scale || 'missing' in needs) return null;
  const frame: Frame = { origin: disconnect.at, facing: facingVector(disconnect.facing), feetPerUnit: scale.feetPerUnit };
  const { size } = disconnect.data; const { standing } = disconnect; const handle = standing + disconnect.handleHeight; const half = (size?.height ?? 0) / 2;
  const low = Math.min(standing, handle - half); const high = Math.max(standing + needs.height, handle + half);
  const back = size?.depth ?? 0;
  const convex: Point[][] = []; const drawn: Point[][] = [];
  // The room in front, turned about: where the device stands when the thing's point lies in it.
  const stampOf = (condition: SpaceCondition): Stamp => ({ u1: -needs.width / 2 - HAIR, u2: needs.width / 2 + HAIR, v1: -needs.depthOf(condition) - HAIR, v2: back + HAIR });
  const take = (polygon: readonly Local[], stamp: Stamp): void => { convex.push(hullOf(polygon, stamp).map((p) => toPlan(frame, p))); };
  const reach = (Math.hypot(needs.width, needs.depthOf(3)) + back + 1) / scale.feetPerUnit;
  const isNear = (e: Entity): boolean => {
    if (!('at' in e) || !e.at) return false;
    const away = e.kind === 'disconnect' && e.data.size ? reach + (e.data.size.width + e.data.size.depth) / scale.feetPerUnit : reach;
    return e.at.x >= box.left - away && e.at.x <= box.right + away && e.at.y >= box.top - away && e.at.y <= box.bottom + away;
  };
  for (const slot of index.inBox(box.left - reach, box.top - reach, box.right + reach, box.bottom + reach)) {
    const obstacle = index.obstacles[slot]; const owner = obstacle ? scene.owners.get(obstacle.id) : undefined;
    if (!obstacle || !owner || owner.heightAssumed || obstacle.transmission === 'leaf' || obstacle.top <= low || obstacle.bottom >= high) continue;
    const outline = planOf(obstacle); const stamp = stampOf(faceConditionOf(document, owner.entity).condition);
    const polygon = outline.map(([x, y]) => toLocal(frame, x, y));
    if (obstacle.shape.type === 'wall' || isConvex(polygon)) { take(polygon, stamp); continue; }
    drawn.push(outline.map(([x, y]) => ({ x: sheetUnits(x), y: sheetUnits(y) })));
    polygon.forEach((a, i) => { take([a, polygon[(i + 1) % polygon.length] ?? a], stamp); });
  }
  for (const { polygon, condition } of pointsOn(document, disconnect, frame, isNear)) take(polygon, stampOf(condition));
  for (const { polygon, bottom, top } of swingsNear(document, disconnect.sheet, frame, box)) if (top > low && bottom < high) take(polygon, stampOf(2));
  // The rooms in front of other devices: an enclosure that stands there takes them away.
  const own: Stamp = size ? { u1: 0 - size.width / 2, u2: size.width / 2, v1: 0, v2: size.depth } : { u1: -POINT_HALF * Math.SQRT2, u2: POINT_HALF * Math.SQRT2, v1: -POINT_HALF * Math.SQRT2, v2: POINT_HALF * Math.SQRT2 };
  for (const other of disconnectsOn(document, disconnect.sheet)) {
    if (other.id === disconnect.id || Math.abs(other.standing - standing) > needs.height || !isNear(other)) continue;
    const space = findWorkingSpace(document, sheet, other, other.data.size?.depth ?? 0);
    if ('outline' in space) take(space.outline.map((p) => toLocal(frame, p.x, p.y)), own);
  }
  return { convex, drawn };
}

/** Ground that is too near for the rules of what a disconnect serves, whichever way it looks: to the water of a pool, to a charger. */
export function tooNearGround(document: Document, sheet: ReadySheet, disconnect: Disconnect, targets: readonly SightTarget[]): TakenGround {
  const { scale } = sheet.scene.sheet; const { facts } = document;
  const convex: Point[][] = []; const drawn: Point[][] = [];
  if (!scale) return { convex, drawn };
  const keepOff = (outline: readonly Point[], far: number): void => {
    if (outline.length > 2) drawn.push([...outline]);
    outline.forEach((a, i) => { convex.push(roundAbout(a, outline[(i + 1) % outline.length] ?? a, far / scale.feetPerUnit)); });
  };
  for (const rule of servedLoads(document, disconnect).flatMap((load) => chooseRules(load.data, facts.edition).filter((r) => r.demands.includes('water-distance')))) {
    const minimum = figureOf(facts, [`${rule.id}.water-distance`], placementFigures.fromWater).value;
    for (const pool of entitiesOf(document, 'area', disconnect.sheet).filter((a) => a.environments.includes(WATER))) keepOff(pool.outline, minimum + distanceUncertainty(scaleBetween(scale, [disconnect]), minimum));
  }
  for (const { minimum, body } of targets) {
    const rise = Math.abs(disconnect.standing + disconnect.handleHeight - body.z);
    if (minimum && minimum.distance > rise) keepOff(minimum.from, Math.sqrt((minimum.distance - rise) * (minimum.distance + rise)));
  }
  return { convex, drawn };
}

const SIDES = 48;

/** Everything at most so far from a segment, as an outline around it: never less, a little more at its ends. */
function roundAbout(a: Point, b: Point, far: number): Point[] {
  const outer = far / Math.cos(Math.PI / SIDES);
  const points: Local[] = [a, b].flatMap((p) => Array.from({ length: SIDES }, (_, i): Local => { const turn = (2 * Math.PI * i) / SIDES; return [p.x + outer * Math.cos(turn), p.y + outer * Math.sin(turn)]; }));
  return convexHull(points).map(([x, y]) => ({ x: sheetUnits(x), y: sheetUnits(y) }));
}

/** A polygon grown by a box: everything that any of its points reaches. */
function hullOf(polygon: readonly Local[], { u1, u2, v1, v2 }: Stamp): Local[] {
  return convexHull(polygon.flatMap(([u, v]): Local[] => [[u + u1, v + v1], [u + u2, v + v1], [u + u2, v + v2], [u + u1, v + v2]]));
}

const turnOf = (a: Local, b: Local, c: Local): number => (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);

function convexHull(points: readonly Local[]): Local[] {
  const sorted = [...points].sort((a, b) => a[0] - b[0] || a[1] - b[1]);
  const chain = (along: readonly Local[]): Local[] => {
    const kept: Local[] = [];
    for (const p of along) {
      while (kept.length > 1 && turnOf(kept[kept.length - 2]!, kept[kept.length - 1]!, p) <= 0) kept.pop();
      kept.push(p);
    }
    kept.pop();
    return kept;
  };
  return [...chain(sorted), ...chain([...sorted].reverse())];
}

/** Whether an outline turns one way only and once round. */
function isConvex(polygon: readonly Local[]): boolean {
  let sign = 0; let flips = 0; let before = 0;
  for (let i = 0; i < polygon.length; i += 1) {
    const a = polygon[i]!; const b = polygon[(i + 1) % polygon.length]!; const c = polygon[(i + 2) % polygon.length]!;
    const turn = Math.sign(turnOf(a, b, c));
    if (turn !== 0) { if (sign !== 0 && turn !== sign) return false; sign = turn; }
    const run = Math.sign(b[0] - a[0]);
    if (run !== 0) { if (before !== 0 && run !== before) flips += 1; before = run; }
  }
  // A star turns one way too, but runs back and forth more than once.
  return flips <= 2;
}
