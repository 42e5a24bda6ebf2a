import { sightLineMarks, STATUS_INK } from '../../shared-core/report/index';
import type { Ink } from '../../shared-core/report/index';
import type { Document, Id, Point } from '../../shared-core/document/index';
import { distanceOf, nearestOnSegment } from '../tools/plan-geometry';
import { inkOf, paintChip, paintPrimitives } from './paint-primitives';
import type { Context } from './paint-primitives';
import { DISTANCE_SIZE } from './label-layout';
import type { LabelLayout } from './label-layout';
import { labelText } from './shown-sight';
import type { ShownPair, Unproved } from './shown-sight';
import { toScreen } from './view';
import type { View } from './view';

export interface SightStyle { readonly view: View; readonly document: Document; readonly symbol: number; readonly chosen: ReadonlySet<Id> }

/** Links that have no verdict yet: a faint thread, so that nobody takes it for a clear line. */
export function paintUnproved(context: Context, links: readonly Unproved[], view: View): void {
  if (links.length === 0) return;
  context.beginPath();
  for (const { from, to } of links) { const a = toScreen(view, from); const b = toScreen(view, to); context.moveTo(a.x, a.y); context.lineTo(b.x, b.y); }
  context.strokeStyle = inkOf('muted'); context.lineWidth = 0.9; context.setLineDash([1, 5]); context.stroke(); context.setLineDash([]);
}

/** What stands in the way, outlined in the ink of the verdict it causes. */
export function paintBlockers(context: Context, pairs: readonly ShownPair[], { view, document }: SightStyle): void {
  for (const { blocker, blockedAt, verdict, state } of pairs) {
    const entity = blocker === null ? undefined : document.entities[blocker];
    if (!entity) continue;
    const ink: Ink = verdict === 'fail' ? 'act' : 'ink';
    context.beginPath();
    if (entity.kind === 'wall') {
      const piece = blockedAt ? pieceAt(entity.points, blockedAt) : null;
      if (!piece) continue;
      const a = toScreen(view, piece[0]); const b = toScreen(view, piece[1]);
      context.moveTo(a.x, a.y); context.lineTo(b.x, b.y);
    } else {
      const outline = entity.kind === 'obstruction' ? entity.outline : 'outline' in entity ? entity.outline ?? [] : [];
      outline.forEach((p, i) => { const s = toScreen(view, p); if (i === 0) context.moveTo(s.x, s.y); else context.lineTo(s.x, s.y); });
      context.closePath();
    }
    context.strokeStyle = inkOf('halo'); context.lineWidth = 5; context.stroke();
    context.strokeStyle = inkOf(ink); context.lineWidth = 2.4; if (state === 'doubtful') context.setLineDash([6, 3]); context.stroke(); context.setLineDash([]);
  }
}

/** Only the piece of a long wall that is met, up to 60 pixels to each side would hide the plan less; the segment is what a person can move. */
function pieceAt(points: readonly Point[], at: Point): readonly [Point, Point] | null {
  let best: readonly [Point, Point] | null = null; let near = Infinity;
  points.forEach((a, i) => {
    const b = points[i + 1];
    if (!b) return;
    const { distance } = nearestOnSegment(at, a, b);
    if (distance < near) { near = distance; best = [a, b]; }
  });
  return best;
}

export function paintSightLines(context: Context, pairs: readonly ShownPair[], { view, symbol, chosen }: SightStyle): void {
  for (const pair of pairs) {
    const a = toScreen(view, pair.from); const b = toScreen(view, pair.to);
    if (Math.hypot(b.x - a.x, b.y - a.y) < 2) continue;
    const isChosen = chosen.has(pair.disconnect) || chosen.has(pair.load);
    const at = pair.blockedAt ? toScreen(view, pair.blockedAt) : null;
    const marks = sightLineMarks({
      from: [a.x, a.y], to: [b.x, b.y], state: pair.state, verdict: lineVerdict(pair),
      ...(at ? { blockedAt: [at.x, at.y] as const } : {}), ...(pair.limitShare === null ? {} : { limitShare: pair.limitShare }),
    }, { width: isChosen ? 2.3 : pair.settledBy ? 1 : 1.5, fromClear: symbol * 0.3, toClear: symbol * 0.62 });
    paintPrimitives(context, marks.map((m) => ({ ...m, stroke: 'halo' as const, width: m.width + 3, dash: [] })).map(({ dash: _, ...m }) => ({ ...m, width: Math.min(m.width, 6) })));
    paintPrimitives(context, marks);
  }
}

/** Distance labels, where the layout found room for them. */
export function paintDistances(context: Context, pairs: readonly ShownPair[], places: LabelLayout['lines'], view: View): void {
  for (const pair of pairs) {
    if (!pair.text) continue;
    const place = places.get(pair.key);
    if (!place) continue;
    const at = toScreen(view, place.at);
    const ink = STATUS_INK[lineVerdict(pair)];
    if (place.leaderTo) {
      const to = toScreen(view, place.leaderTo);
      context.beginPath(); context.moveTo(at.x, at.y); context.lineTo(to.x, to.y);
      context.strokeStyle = inkOf(ink === 'muted' ? 'ink' : ink); context.lineWidth = 0.8; context.stroke();
    }
    paintChip(context, at.x, at.y, labelText(pair), ink === 'muted' ? 'ink' : ink, DISTANCE_SIZE);
  }
}

/** A line that would not do by itself never wears the ink of order, whatever settles the finding. */
const lineVerdict = (pair: ShownPair): ShownPair['verdict'] => (pair.settledBy ? 'judgement' : pair.verdict);

export const isLongEnough = (pair: ShownPair, view: View): boolean => distanceOf(pair.from, pair.to) * view.zoom > 30;
