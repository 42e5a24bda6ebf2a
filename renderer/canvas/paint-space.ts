import { showLength } from '../../shared-core/units/index';
import type { Area, Entity, Obstruction, Point, Sheet, Wall } from '../../shared-core/document/index';
import { boxOf, halfThickness } from '../tools/plan-geometry';
import { inkOf, paintHaloText, textWidth } from './paint-primitives';
import type { Context } from './paint-primitives';
import { AREA_SIZE, areaWords } from './label-layout';
import { toScreen } from './view';
import type { View } from './view';
import { wallShape } from './wall-shape';
import type { Gap } from './wall-shape';

/** What walls, areas and obstructions are painted from: the whole picture, or only what a drag changes. */
export interface SpaceScene { readonly view: View; readonly sheet: Sheet; readonly units: 'US' | 'metric' }

/** What belongs to the building as it is painted: all that has a body on the plan. */
export const isSpace = (e: Entity): boolean => e.kind === 'wall' || e.kind === 'obstruction' || e.kind === 'area' || e.kind === 'route' || ((e.kind === 'load' || e.kind === 'machine') && e.outline !== undefined);

/** Paints pieces of the building, stroked in as few paths as there are styles. */
export function paintSpaceOf(context: Context, entities: readonly Entity[], scene: SpaceScene): void {
  const steps = paintSpaceInSteps(context, entities, scene);
  while (!steps.next().done);
}

/** The same in steps of a few milliseconds; the context is left alone in between. */
export function* paintSpaceInSteps(context: Context, entities: readonly Entity[], scene: SpaceScene): Generator<undefined, void> {
  const walls: Wall[] = []; const obstructions: Obstruction[] = []; const areas: Area[] = [];
  const bodies: (readonly Point[])[] = []; const routes: (readonly Point[])[] = [];
  for (const entity of entities) {
    if (entity.kind === 'wall') walls.push(entity);
    else if (entity.kind === 'obstruction') obstructions.push(entity);
    else if (entity.kind === 'area') areas.push(entity);
    else if (entity.kind === 'route') routes.push(entity.points);
    else if ((entity.kind === 'load' || entity.kind === 'machine') && entity.outline) bodies.push(entity.outline);
  }
  paintAreas(context, areas, scene);
  paintObstructions(context, obstructions, bodies, scene);
  paintRoutes(context, routes, scene.view);
  yield undefined;
  yield* paintWalls(context, walls, scene);
}

/** Adds an outline in screen pixels to the context's path. */
function trace(context: Context, { centre, zoom, width, height }: View, points: readonly Point[], closed: boolean): void {
  points.forEach((p, i) => {
    const x = (p.x - centre.x) * zoom + width / 2; const y = (p.y - centre.y) * zoom + height / 2;
    if (i === 0) context.moveTo(x, y); else context.lineTo(x, y);
  });
  if (closed) context.closePath();
}

function traceRun(context: Context, { centre, zoom, width, height }: View, run: readonly number[]): void {
  const dx = width / 2 - centre.x * zoom; const dy = height / 2 - centre.y * zoom;
  context.moveTo((run[0] ?? 0) * zoom + dx, (run[1] ?? 0) * zoom + dy);
  for (let i = 2; i < run.length; i += 2) context.lineTo((run[i] ?? 0) * zoom + dx, (run[i + 1] ?? 0) * zoom + dy);
}

function paintAreas(context: Context, areas: readonly Area[], { view }: SpaceScene): void {
  if (areas.length === 0) return;
  context.beginPath();
  for (const area of areas) trace(context, view, area.outline, true);
  context.strokeStyle = inkOf('order'); context.lineWidth = 1.1; context.setLineDash([2, 3]); context.stroke(); context.setLineDash([]);
}

/** What an area's surroundings are, where the layout found room for the words. */
export function paintAreaName(context: Context, area: Entity | undefined, place: Point, view: View): void {
  if (area?.kind !== 'area') return;
  const at = toScreen(view, place);
  paintHaloText(context, at.x, at.y, areaWords(area), AREA_SIZE, false, 'order', 'center');
}

function screenBox(view: View, points: readonly Point[]): ReturnType<typeof boxOf> {
  const box = boxOf(points);
  const x = (n: number): number => (n - view.centre.x) * view.zoom + view.width / 2; const y = (n: number): number => (n - view.centre.y) * view.zoom + view.height / 2;
  return { minX: x(box.minX), minY: y(box.minY), maxX: x(box.maxX), maxY: y(box.maxY) };
}

function paintObstructions(context: Context, obstructions: readonly Obstruction[], bodies: readonly (readonly Point[])[], { view, units }: SpaceScene): void {
  const solid = obstructions.filter((o) => o.material !== 'mesh'); const mesh = obstructions.filter((o) => o.material === 'mesh');
  context.beginPath();
  for (const { outline } of solid) trace(context, view, outline, true);
  context.fillStyle = 'rgb(236 230 221 / 78%)'; context.fill();
  context.strokeStyle = inkOf('ink'); context.lineWidth = 1.2; context.stroke();
  context.beginPath();
  for (const { outline } of mesh) trace(context, view, outline, true);
  for (const outline of bodies) trace(context, view, outline, true);
  context.strokeStyle = inkOf('muted'); context.setLineDash([5, 2]); context.lineWidth = 1.1; context.stroke(); context.setLineDash([]);
  for (const o of obstructions) {
    const text = `${o.label} ${showLength(o.top, units, { finest: 1 })}`.trim();
    const box = screenBox(view, o.outline);
    if (textWidth(text, 11, false) + 8 < box.maxX - box.minX && box.maxY - box.minY > 15) paintHaloText(context, (box.minX + box.maxX) / 2, (box.minY + box.maxY) / 2, text, 11, false, 'muted', 'center');
  }
}

function paintRoutes(context: Context, routes: readonly (readonly Point[])[], view: View): void {
  if (routes.length === 0) return;
  context.beginPath();
  for (const points of routes) trace(context, view, points, false);
  context.strokeStyle = inkOf('muted'); context.lineWidth = 1.4; context.setLineDash([9, 3, 2, 3]); context.stroke(); context.setLineDash([]);
}

function* paintWalls(context: Context, walls: readonly Wall[], scene: SpaceScene): Generator<undefined, void> {
  const batches = new Map<string, Wall[]>();
  let count = 0;
  for (const wall of walls) {
    const key = `${wall.material} ${wall.thickness}`;
    const batch = batches.get(key);
    if (batch) batch.push(wall); else batches.set(key, [wall]);
    count += 1;
    if (count % (5 * PORTION) === 0) yield undefined;
  }
  context.lineJoin = 'miter'; context.miterLimit = 4; context.lineCap = 'butt';
  for (const batch of batches.values()) yield* paintWallBatch(context, batch, scene);
  for (const wall of walls) {
    for (const gap of wallShape(wall).gaps) paintOpening(context, gap, 2 * halfThickness(scene.sheet, wall.thickness) * scene.view.zoom, scene.view);
    count += 1;
    if (count % PORTION === 0) yield undefined;
  }
}

/** Beyond so many walls of less than a pixel and a half a hairline is drawn: measured five times as fast as any wider stroke, and there is nothing more to see. */
const CROWD = 6000;
/** Walls stroked in one path. */
const PORTION = 1000;

/** One style of wall: a wide stroke and a narrower one on it give the two faces with clean corners. */
function* paintWallBatch(context: Context, batch: readonly Wall[], { view, sheet }: SpaceScene): Generator<undefined, void> {
  const first = batch[0];
  if (!first) return;
  const thick = 2 * halfThickness(sheet, first.thickness) * view.zoom;
  // Each stroke goes over the whole style before the next one: a corner is clean only if the wide one lies below on both of its walls.
  for (const [width, ink] of strokesOf(first, thick, batch.length)) for (let from = 0; from < batch.length; from += PORTION) {
    context.beginPath();
    for (const wall of batch.slice(from, from + PORTION)) for (const run of wallShape(wall).runs) traceRun(context, view, run);
    context.lineWidth = width; context.strokeStyle = ink;
    if (first.material === 'mesh') context.setLineDash([6, 3]);
    context.stroke();
    context.setLineDash([]);
    yield undefined;
  }
}

/** Width in pixels and ink of each stroke that a wall takes, the lowest first. */
function strokesOf({ material }: Wall, thick: number, count: number): readonly (readonly [number, string])[] {
  const isGlazed = material === 'glazed'; const ink = inkOf('ink'); const paper = inkOf('paper');
  if (material === 'mesh') return [[1.4, ink]];
  if (thick < 3.5) return [[count > CROWD && thick < 1.5 ? 1 : Math.max(1.5, thick), ink], ...(isGlazed ? [[Math.max(0.7, thick - 1.6), paper] as const] : [])];
  return [[thick + 0.7, ink], [thick - 1.7, isGlazed ? paper : '#6d737b'], ...(isGlazed ? [[0.8, ink] as const] : [])];
}

/** Doors with their leaf and swing, windows as two thin lines, doorways as a bare gap. */
function paintOpening(context: Context, gap: Gap, thick: number, view: View): void {
  const { opening } = gap;
  const x = (n: number): number => (n - view.centre.x) * view.zoom + view.width / 2; const y = (n: number): number => (n - view.centre.y) * view.zoom + view.height / 2;
  const x1 = x(gap.x1); const y1 = y(gap.y1); const x2 = x(gap.x2); const y2 = y(gap.y2);
  const width = Math.hypot(x2 - x1, y2 - y1);
  if (width < 4) return;
  const nx = -gap.uy; const ny = gap.ux;
  context.strokeStyle = inkOf('ink'); context.lineWidth = 1;
  context.beginPath();
  // The reveals: the wall's cut ends.
  for (const [px, py] of [[x1, y1], [x2, y2]] as const) { context.moveTo(px - (nx * thick) / 2, py - (ny * thick) / 2); context.lineTo(px + (nx * thick) / 2, py + (ny * thick) / 2); }
  if (opening.leaf === 'glazed') {
    for (const side of [-0.25, 0.25]) { context.moveTo(x1 + nx * thick * side, y1 + ny * thick * side); context.lineTo(x2 + nx * thick * side, y2 + ny * thick * side); }
    context.stroke();
    return;
  }
  context.stroke();
  if (opening.leaf === 'none') return;
  if (!opening.swing) { context.lineWidth = 2; context.beginPath(); context.moveTo(x1, y1); context.lineTo(x2, y2); context.stroke(); return; }
  const side = opening.swing.side === 'left' ? -1 : 1;
  const atFrom = opening.swing.hinge === 'from';
  const hx = atFrom ? x1 : x2; const hy = atFrom ? y1 : y2; const ex = atFrom ? x2 : x1; const ey = atFrom ? y2 : y1;
  const lx = hx + nx * side * width; const ly = hy + ny * side * width;
  context.lineWidth = opening.leaf === 'vision-panel' ? 1 : 1.8;
  if (opening.leaf === 'normally-open') context.setLineDash([4, 2]);
  context.beginPath(); context.moveTo(hx, hy); context.lineTo(lx, ly); context.stroke();
  const start = Math.atan2(ly - hy, lx - hx); const end = Math.atan2(ey - hy, ex - hx);
  const turn = Math.atan2(Math.sin(end - start), Math.cos(end - start));
  context.lineWidth = 0.7; context.strokeStyle = inkOf('muted');
  context.beginPath(); context.arc(hx, hy, width, start, end, turn < 0); context.stroke();
  context.setLineDash([]);
}
