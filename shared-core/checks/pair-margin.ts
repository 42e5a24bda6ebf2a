import type { Disconnect, Document, Id } from '../document/index';
import { handleMargin } from '../sight/index';
import { feet } from '../units/index';
import type { Feet } from '../units/index';
import { handlePoint } from './handle-point';
import type { ReadySheet } from './pair-view';
import type { SightTarget } from './sight-targets';

/** How far a handle may move before one of its pairs changes, and which way is better. */
export interface PairMargin {
  readonly load: Id;
  readonly target: SightTarget['kind'];
  /** Positive: room to move while it passes. Negative: how far it must move to pass; -Infinity when no place at this height does. */
  readonly margin: Feet;
  /** Plan direction that improves it; null where none is known. */
  readonly improves: { readonly x: number; readonly y: number } | null;
  readonly setBy: 'limit' | 'obstacle' | 'region';
  /** What stands nearest to the line, when that sets it. */
  readonly entity: Id | null;
}

/** The margins of a disconnect's pairs: of its two lines the one with less room counts. For the chosen device, not for each frame. */
export function marginsOf(document: Document, sheet: ReadySheet, disconnect: Disconnect, targets: readonly SightTarget[]): PairMargin[] {
  const { index, scene } = sheet;
  if (!index) return [];
  const { handle } = handlePoint(document, scene, disconnect);
  return targets.map(({ load, kind, eye, body, limit, own }) => {
    // Of several own bodies one is left out by the engine; the others then only make the margin smaller.
    const [first] = own;
    const ignore = first === undefined ? {} : { body: first };
    const eyeLimit = feet(Math.max(limit, Math.hypot(limit, eye.z - handle.z)));
    const [least] = [handleMargin(index, handle, { ...eye, ...ignore }, eyeLimit), handleMargin(index, handle, { ...body, ...ignore }, limit)].sort((a, b) => a.margin - b.margin);
    if (!least) throw new RangeError('a pair has two lines');
    return { load, target: kind, margin: least.margin, improves: least.improves, setBy: least.setBy, entity: least.obstacle === undefined ? null : scene.owners.get(least.obstacle)?.entity ?? null };
  });
}
