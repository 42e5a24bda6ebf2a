import type { Entity, Id, Point } from '../../shared-core/document/index';
import type { SnapKind } from '../tools/snap';
import { handlesOf } from '../tools/handles';
import { boxOf, halfThickness, pointsOf } from '../tools/plan-geometry';
import type { Draft } from '../tools/tool';
import { inkOf, paintChip } from './paint-primitives';
import type { Context } from './paint-primitives';
import { isMark } from '../tools/plan-index';
import { paintMarks } from './paint-marks';
import { TURN_ARM } from './label-layout';
import type { LabelLayout } from './label-layout';
import { paintSpaceOf } from './paint-space';
import { paintBlockers, paintDistances, paintSightLines, paintUnproved } from './paint-sight';
import { symbolCentre, symbolPixels } from './symbol-place';
import type { Picture } from './picture';
import type { ShownSight } from './shown-sight';
import { toScreen } from './view';
import type { View } from './view';

/** What the hand is on: moved marks with their sight, the selection, handles, drafts, snap marks and the cross-hair. */
export function paintHand(context: Context, picture: Picture, live: ShownSight, labels: LabelLayout): void {
  const { view, sheet, preview, document, moving, selection, ratio } = picture;
  const shown = preview ?? document;
  const symbol = symbolPixels(view, sheet);
  if (preview) {
    const moved = movedEntities(picture);
    paintSpaceOf(context, moved, { view, sheet, units: document.facts.units });
    const chosen = new Set([...moving, ...selection]);
    const style = { view, document: shown, symbol, chosen };
    paintUnproved(context, live.unproved, view);
    paintBlockers(context, live.pairs, style);
    paintSightLines(context, live.pairs, style);
    paintDistances(context, live.pairs, labels.lines, view);
    paintMarks(context, moved.filter(isMark), { view, ratio, symbol, labels, verdicts: live.verdicts });
  }
  for (const id of selection) { const entity = shown.entities[id]; if (entity && entity.sheet === sheet.id) paintSelected(context, entity, picture, symbol); }
  if (picture.hand.tool === 'select') for (const handle of handlesOf(shown, [...selection], TURN_ARM / view.zoom)) paintHandle(context, toScreen(view, handle.at), handle.kind);
  paintDraft(context, picture.hand.draft, view);
  if (picture.hand.cursor) paintCursor(context, toScreen(view, picture.hand.cursor), view);
}

function movedEntities({ preview, document, moving, sheet }: Picture): Entity[] {
  if (!preview) return [];
  const ids = new Set<Id>(moving);
  return [...ids].map((id) => preview.entities[id]).filter((e): e is Entity => e !== undefined && e.sheet === sheet.id && (e !== document.entities[e.id] || moving.has(e.id)));
}

function trace(context: Context, view: View, points: readonly Point[], closed: boolean): void {
  context.beginPath();
  points.forEach((p, i) => { const s = toScreen(view, p); if (i === 0) context.moveTo(s.x, s.y); else context.lineTo(s.x, s.y); });
  if (closed) context.closePath();
}

function paintSelected(context: Context, entity: Entity, { view, sheet }: Picture, symbol: number): void {
  context.strokeStyle = inkOf('order');
  const centre = symbolCentre(entity, symbol / view.zoom);
  if (isMark(entity) && centre) {
    const at = toScreen(view, centre); const half = symbol * 0.5 + 5;
    context.lineWidth = 2;
    context.beginPath(); context.roundRect(at.x - half, at.y - half, 2 * half, 2 * half, 5); context.stroke();
    return;
  }
  const isFace = entity.kind === 'obstruction' || entity.kind === 'area';
  trace(context, view, pointsOf(entity), isFace);
  const around = entity.kind === 'wall' ? 2 * halfThickness(sheet, entity.thickness) * view.zoom + 6 : 5;
  context.save();
  context.globalAlpha = 0.35; context.lineWidth = around; context.lineCap = 'round'; context.lineJoin = 'round'; context.stroke();
  context.restore();
  context.lineWidth = 1.3; context.stroke();
}

function paintHandle(context: Context, at: { x: number; y: number }, kind: 'corner' | 'turn'): void {
  context.beginPath();
  if (kind === 'turn') context.arc(at.x, at.y, 5, 0, 2 * Math.PI); else context.rect(at.x - 4, at.y - 4, 8, 8);
  context.fillStyle = inkOf('paper'); context.fill();
  context.strokeStyle = inkOf('order'); context.lineWidth = 1.8; context.stroke();
}

function paintDraft(context: Context, draft: Draft, view: View): void {
  for (const line of draft.lines) {
    trace(context, view, line.points, line.closed ?? false);
    context.setLineDash(line.style === 'guide' ? [5, 4] : line.style === 'box' ? [4, 3] : []);
    if (line.style === 'ink' && line.width !== undefined && line.width * view.zoom > 3) { context.save(); context.globalAlpha = 0.35; context.strokeStyle = inkOf('ink'); context.lineWidth = line.width * view.zoom; context.stroke(); context.restore(); }
    context.strokeStyle = inkOf(line.style === 'ink' ? 'ink' : 'order'); context.lineWidth = line.style === 'guide' ? 1 : line.style === 'limit' ? 2 : 1.5;
    if (line.style === 'box') { context.save(); context.globalAlpha = 0.08; context.fillStyle = inkOf('order'); context.fill(); context.restore(); }
    context.stroke(); context.setLineDash([]);
  }
  for (const snap of draft.snaps) paintSnap(context, toScreen(view, snap.at), snap.kind);
  for (const { at, text } of draft.texts) { const s = toScreen(view, at); paintChip(context, s.x, s.y - 14, text, 'ink', 12); }
}

/** Each kind of snap has its own shape, so that the eye knows what was caught. */
function paintSnap(context: Context, { x, y }: { x: number; y: number }, kind: SnapKind): void {
  const r = 5;
  context.beginPath();
  switch (kind) {
    case 'end': context.rect(x - r, y - r, 2 * r, 2 * r); break;
    case 'middle': context.moveTo(x, y - r - 1); context.lineTo(x + r + 1, y + r); context.lineTo(x - r - 1, y + r); context.closePath(); break;
    case 'crossing': context.moveTo(x - r, y - r); context.lineTo(x + r, y + r); context.moveTo(x + r, y - r); context.lineTo(x - r, y + r); break;
    case 'right-angle': context.moveTo(x - r, y - r); context.lineTo(x - r, y + r); context.lineTo(x + r, y + r); context.moveTo(x - r, y); context.lineTo(x, y); context.lineTo(x, y + r); break;
    case 'extension': context.moveTo(x - r - 2, y); context.lineTo(x - 2, y); context.moveTo(x + 2, y); context.lineTo(x + r + 2, y); break;
    case 'wall': context.arc(x, y, r, 0, 2 * Math.PI); break;
    case 'free': return;
  }
  context.strokeStyle = inkOf('halo'); context.lineWidth = 4.5; context.stroke();
  context.strokeStyle = inkOf('order'); context.lineWidth = 1.8; context.stroke();
}

function paintCursor(context: Context, { x, y }: { x: number; y: number }, view: View): void {
  context.beginPath();
  context.moveTo(0, y); context.lineTo(x - 8, y); context.moveTo(x + 8, y); context.lineTo(view.width, y);
  context.moveTo(x, 0); context.lineTo(x, y - 8); context.moveTo(x, y + 8); context.lineTo(x, view.height);
  context.strokeStyle = inkOf('halo'); context.lineWidth = 3; context.stroke();
  context.strokeStyle = inkOf('order'); context.lineWidth = 1; context.stroke();
  context.beginPath(); context.arc(x, y, 4, 0, 2 * Math.PI); context.stroke();
}

export const boxOfEntities = (entities: readonly Entity[]): ReturnType<typeof boxOf> | null => {
  const points = entities.flatMap((e) => [...pointsOf(e)]);
  return points.length > 0 ? boxOf(points) : null;
};
