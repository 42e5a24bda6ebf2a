import { nearestOnEdge, nearestOnSegment } from '../geometry/index';
import { feet } from '../units/index';
import type { Feet } from '../units/index';
import { allowedRegion, planRadius } from './region';
import type { RegionTarget } from './region';
import { bodiesOf } from './scene';
import type { Handle, Target } from './scene';
import { planOutline, shadowRange, throwsShadow } from './shadows';
import type { Blocking } from './shadows';
import { sightState, traceSight } from './trace';
import type { SightIndex } from './sight-index';

export interface HandleMargin {
  /**
   * How far the handle may move in plan before the verdict flips: positive when it passes now, negative when it must move
   * that far to pass, -Infinity when no place at this height passes.
   */
  readonly margin: Feet;
  /** Nearest place (plan units) where the verdict is the other one; null when there is none. */
  readonly flipsAt: { readonly x: number; readonly y: number } | null;
  /** Plan direction of length 1 that makes it better: away from the nearest failure, or towards the nearest pass; null when the handle stands on the edge. */
  readonly improves: { readonly x: number; readonly y: number } | null;
  /** What sets it: the distance limit, or the obstacle whose shadow is nearest (passing handles). */
  readonly setBy: 'limit' | 'obstacle' | 'region';
  readonly obstacle?: string;
}

/**
 * The handle's margin for one target: distance and sight together, at the handle's own height.
 * The mounting wall is left out while the handle passes, because a handle that moves takes its wall side with it.
 */
export function handleMargin(index: SightIndex, handle: Handle, target: Target, limit: Feet, blocking: Blocking = 'doubtful-too'): HandleMargin {
  return jointMargin(index, handle, [target], limit, blocking);
}

/**
 * The handle's margin for several targets at once, each with its own limit where it has one: of those that pass the one
 * with least room counts; while one fails, the nearest place where all of them pass.
 * @throws RangeError without targets
 */
export function jointMargin(index: SightIndex, handle: Handle, targets: readonly RegionTarget[], limit: Feet, blocking: Blocking = 'doubtful-too'): HandleMargin {
  const passes = targets.every((target) => {
    const state = sightState(index, handle, target);
    const sees = state === 'clear' || (blocking === 'opaque' && state === 'doubtful');
    return sees && traceSight(index, handle, target).comparesToLimit(target.limit ?? limit) <= 0;
  });
  if (!passes) return marginOfFailure(index, handle, targets, limit, blocking);
  const [least] = targets.map((target) => marginOfPass(index, handle, target, target.limit ?? limit, blocking)).sort((a, b) => a.margin - b.margin);
  if (!least) throw new RangeError('A margin needs at least one target.');
  return least;
}

function marginOfPass(index: SightIndex, handle: Handle, target: Target, limit: Feet, blocking: Blocking): HandleMargin {
  const reach = planRadius(index, target, { handleHeight: handle.z, limit }) ?? 0;
  const dx = handle.x - target.x; const dy = handle.y - target.y; const distance = Math.hypot(dx, dy);
  const outward = distance === 0 ? { x: 1, y: 0 } : { x: dx / distance, y: dy / distance };
  let best = Math.max(0, reach - distance); let setBy: 'limit' | 'obstacle' = 'limit'; let obstacle: string | undefined;
  let at = { x: target.x + outward.x * reach, y: target.y + outward.y * reach };
  const ignored = new Set([...(handle.mount ?? []), ...bodiesOf(target)].map((id) => index.slotOf(id)));
  const minX = Math.min(target.x, handle.x - best); const maxX = Math.max(target.x, handle.x + best);
  const minY = Math.min(target.y, handle.y - best); const maxY = Math.max(target.y, handle.y + best);
  for (const slot of index.inBox(minX, minY, maxX, maxY)) {
    if (ignored.has(slot) || !throwsShadow(index.transmission[slot]!, blocking)) continue;
    const range = shadowRange(target.z, handle.z, index.solid[3 * slot + 1]!, index.solid[3 * slot + 2]!);
    if (!range) continue;
    const ring = planOutline(index, slot); const n = ring.length;
    const point = (i: number, factor: number): [number, number] => [target.x + factor * (ring[i]! - target.x), target.y + factor * (ring[i + 1]! - target.y)];
    // The sides of an endless shadow run on until they are past anything the handle could reach.
    const endless = (i: number): number => (range.far === Infinity ? Math.max(range.near, (4 * (reach + best)) / Math.max(1e-12 * reach, Math.hypot(ring[i]! - target.x, ring[i + 1]! - target.y))) : range.far);
    for (let i = 0, j = n - 2; i < n; j = i, i += 2) {
      const [ax, ay] = point(j, range.near); const [bx, by] = point(i, range.near);
      const [cx, cy] = point(i, endless(i)); const [ex, ey] = point(j, endless(j));
      for (const nearest of [nearestOnSegment(ax, ay, bx, by, handle.x, handle.y), nearestOnSegment(bx, by, cx, cy, handle.x, handle.y), nearestOnSegment(ax, ay, ex, ey, handle.x, handle.y), nearestOnSegment(cx, cy, ex, ey, handle.x, handle.y)]) {
        if (nearest.distance < best) { best = nearest.distance; at = { x: nearest.x, y: nearest.y }; setBy = 'obstacle'; obstacle = index.obstacles[slot]!.id; }
      }
    }
  }
  return { margin: feet(best * index.feetPerUnit), flipsAt: at, improves: direction(at, handle), setBy, ...(obstacle === undefined ? {} : { obstacle }) };
}

function marginOfFailure(index: SightIndex, handle: Handle, targets: readonly RegionTarget[], limit: Feet, blocking: Blocking): HandleMargin {
  const region = allowedRegion(index, targets, { handleHeight: handle.z, limit, blocking });
  let best = Infinity; let at: { x: number; y: number } | null = null;
  for (const outline of region.outlines) for (const edge of outline) {
    const nearest = nearestOnEdge(edge, handle.x, handle.y);
    if (nearest.distance < best) { best = nearest.distance; at = { x: nearest.x, y: nearest.y }; }
  }
  return { margin: feet(-best * index.feetPerUnit), flipsAt: at, improves: at && direction(handle, at), setBy: 'region' };
}

function direction(from: { readonly x: number; readonly y: number }, to: { readonly x: number; readonly y: number }): { x: number; y: number } | null {
  const dx = to.x - from.x; const dy = to.y - from.y; const length = Math.hypot(dx, dy);
  return length === 0 ? null : { x: dx / length, y: dy / length };
}
