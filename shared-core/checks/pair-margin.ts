import type { Disconnect, Document, Id, Point } from '../document/index';
import { jointMargin, visibleFraction } from '../sight/index';
import type { Handle, SightIndex } from '../sight/index';
import { feet } from '../units/index';
import type { Feet } from '../units/index';
import { handlePoint } from './handle-point';
import type { ReadySheet } from './pair-view';
import type { SightTarget } from './sight-targets';

/** How far a handle may move before one of its pairs changes, which way is better, and how much of the equipment it sees. Information: no verdict is made of it. */
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
  /** Share of the sides turned to the handle that is in plain view (glass and doors that may be shut count as in the way); null where outline or top is not given. */
  readonly seen: number | null;
}

/** The margins of a disconnect's pairs: eye line and body line together. For the chosen device, not for each frame. */
export function marginsOf(document: Document, sheet: ReadySheet, disconnect: Disconnect, targets: readonly SightTarget[]): PairMargin[] {
  const { index, scene } = sheet;
  if (!index) return [];
  const { handle } = handlePoint(document, scene, disconnect);
  return targets.map(({ load, kind, eye, body, limit, own, sides }) => {
    // The limit belongs to the body line: the eye line gets so much that it cannot bind.
    const eyeLimit = feet(Math.max(limit, Math.hypot(limit, eye.z - handle.z)));
    const { margin, improves, setBy, obstacle } = jointMargin(index, handle, [{ ...body, body: own }, { ...eye, body: own, limit: eyeLimit }], limit);
    return { load, target: kind, margin, improves, setBy, entity: obstacle === undefined ? null : scene.owners.get(obstacle)?.entity ?? null, seen: sides && seenOf(index, handle, sides, own) };
  });
}

/** Sides seen under less than this (sine of the angle) are seen end on: they have no face to speak of. */
const END_ON = 1e-6;

/** Share, by area, of the sides turned to the handle that nothing hides. Its own body hides none of it: an outline that is not convex is taken as if it were. */
function seenOf(index: SightIndex, handle: Handle, { outline, bottom, top }: NonNullable<SightTarget['sides']>, own: readonly string[]): number | null {
  if (!(top > bottom)) return null;
  const turn = Math.sign(outline.reduce((sum, a, i) => { const b = outline[(i + 1) % outline.length] ?? a; return sum + a.x * b.y - b.x * a.y; }, 0));
  let whole = 0; let seen = 0;
  outline.forEach((a: Point, i) => {
    const b = outline[(i + 1) % outline.length] ?? a;
    const length = Math.hypot(b.x - a.x, b.y - a.y); const away = Math.hypot(a.x - handle.x, a.y - handle.y);
    const side = (b.x - a.x) * (handle.y - a.y) - (b.y - a.y) * (handle.x - a.x);
    // Inside lies where the outline turns to; the handle must stand on the other side.
    if (length === 0 || side * turn >= -END_ON * length * Math.max(length, away)) return;
    whole += length;
    seen += length * visibleFraction(index, handle, { x1: a.x, y1: a.y, x2: b.x, y2: b.y, bottom, top, body: own });
  });
  return whole > 0 ? seen / whole : null;
}
