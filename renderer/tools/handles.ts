import type { Disconnect, Document, Id, Point } from '../../shared-core/document/index';
import { distanceOf, pointAt, pointsOf } from './plan-geometry';
import { entityOf } from './tool';

/** Something to take hold of on the one selected mark. */
export interface Handle { readonly kind: 'corner' | 'turn'; readonly corner: number; readonly at: Point }

/**
 * The handles of a selection: corners of a single outline or chain, and the turning handle of a single disconnect.
 * @param arm  how far the turning handle stands off, sheet units
 */
export function handlesOf(document: Document, selection: readonly Id[], arm: number): Handle[] {
  const only = selection.length === 1 && selection[0] !== undefined ? entityOf(document, selection[0]) : null;
  if (!only) return [];
  if (only.kind === 'disconnect') return [{ kind: 'turn', corner: 0, at: turnHandle(only, arm) }];
  if (only.kind === 'wall' || only.kind === 'obstruction' || only.kind === 'area') return pointsOf(only).map((at, corner) => ({ kind: 'corner', corner, at }));
  // The ends of a route belong to what they join.
  if (only.kind === 'route') return only.points.map((at, corner) => ({ kind: 'corner' as const, corner, at })).slice(1, -1);
  return [];
}

/** Where the handle stands that turns a disconnect: so far in front of it, sheet units. */
export function turnHandle({ at, facing }: Disconnect, arm: number): Point {
  const angle = (facing * Math.PI) / 180;
  return pointAt(at.x + arm * Math.cos(angle), at.y + arm * Math.sin(angle));
}

export function handleAt(handles: readonly Handle[], at: Point, reach: number): Handle | null {
  let best: Handle | null = null; let near = reach;
  for (const handle of handles) {
    const d = distanceOf(handle.at, at);
    if (d <= near) { near = d; best = handle; }
  }
  return best;
}
