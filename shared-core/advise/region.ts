import type { Checker, SightTarget } from '../checks/index';
import { holdsAt } from '../document/index';
import type { Disconnect, Point } from '../document/index';
import { areaOfOutlines, cutRegions, outlinesContain } from '../geometry/index';
import type { Outline, OutlineEdge } from '../geometry/index';
import { allowedRegion } from '../sight/index';
import type { AllowedRegion, SightIndex, Target } from '../sight/index';
import { feet, sheetUnits } from '../units/index';
import type { Feet, SheetUnits } from '../units/index';

const nowhere: AllowedRegion = { outlines: [], area: 0, squareFeet: 0, isEmpty: true, contains: () => false };

/**
 * Where the handle of a disconnect surely sees all its loads within distance, at its own height: eye line and body line of
 * each target clear, nothing doubtful, the scale's uncertainty taken off the limit, and not inside the loads themselves.
 * Empty while a load is not placed. For showing and searching; the verdict of a place is the pair check's.
 */
export function seeingRegion(checker: Checker, disconnect: Disconnect): AllowedRegion {
  const targets = checker.sightTargetsOf(disconnect);
  const { index } = checker.sheetOf(disconnect.sheet);
  const served = new Set(targets.map((t) => t.load));
  if (!index || targets.length === 0 || disconnect.serves.some((id) => !served.has(id))) return nowhere;
  const height = feet(disconnect.standing + disconnect.handleHeight);
  const parts = [...questionsOf(targets, height)].map(([limit, asked]) => allowedRegion(index, asked, { handleHeight: height, limit: feet(limit) }));
  if (parts.some((part) => part.isEmpty)) return nowhere;
  const bodies = targets.flatMap((t) => t.own).flatMap((id) => ownOutline(index, id, height));
  const { drawn, convex } = checker.tooNearGround(disconnect);
  const drops = [...bodies.map((outline) => [outline]), ...drawn.map((points) => [outlineOf(points)]), ...(convex.length > 0 ? [convex.map(outlineOf)] : [])];
  const [first] = parts;
  // Where one page shows several views, only that of the loads is to their scale.
  const views = checker.sheetOf(disconnect.sheet).scene.sheet.scale?.areas?.filter((area) => targets.every((t) => holdsAt({ areas: [area] }, [t.body])));
  return first && parts.length === 1 && drops.length === 0 && !views ? first : cutTo(index, parts, drops, views?.map(outlineOf));
}

/**
 * The part of a region where the disconnect could stand free, on a post or a strut, turned as it is: nothing in its enclosure,
 * room in front, the handle in reach and a way on foot from its loads. Stretches of wall are another question: there its wall turns it.
 * @returns null while scale or volts to ground are not known
 */
export function standingRegion(checker: Checker, disconnect: Disconnect, region: AllowedRegion): AllowedRegion | null {
  const { index } = checker.sheetOf(disconnect.sheet);
  if (!index || region.isEmpty) return region;
  const box = boxOf(region); const taken = checker.takenGround(disconnect, box);
  if (!taken) return null;
  const edges = region.outlines.flat();
  const near = (points: readonly Point[]): boolean => mayMeet(region, edges, points);
  const convex = taken.convex.filter(near).map(outlineOf);
  const unready = checker.unreadyGround(disconnect, box);
  if (unready === 'everywhere') return nowhere;
  const cutOff = unready.filter(near).map(outlineOf);
  const drops = [...taken.drawn.filter(near).map((points) => [outlineOf(points)]), ...[convex, cutOff].filter((shape) => shape.length > 0)];
  return drops.length === 0 ? region : cutTo(index, [region], drops);
}

/** What all parts have in common, without the dropped shapes, and within the outline given. */
function cutTo(index: SightIndex, parts: readonly AllowedRegion[], drops: readonly (readonly Outline[])[], within?: readonly Outline[]): AllowedRegion {
  const { area, outlines } = cutRegions([...(within ? [{ role: 'keep' as const, outlines: within }] : []), ...parts.map((part) => ({ role: 'keep' as const, outlines: part.outlines })), ...drops.map((shape) => ({ role: 'drop' as const, outlines: shape }))]);
  return regionOfOutlines({ outlines, area: Math.abs(area), squareFeet: Math.abs(areaOfOutlines(outlines)) * index.feetPerUnit ** 2, isEmpty: outlines.length === 0 });
}

/** A region of what is known about it, as it is handed from thread to thread. */
export const regionOfOutlines = (data: Omit<AllowedRegion, 'contains'>): AllowedRegion => ({ ...data, contains: (x, y) => outlinesContain(data.outlines, x, y) });

/** Whether a shape may lie over some of a region: its box meets an edge's box, or it lies wholly inside. */
function mayMeet(region: AllowedRegion, edges: readonly OutlineEdge[], points: readonly Point[]): boolean {
  let left = Infinity; let top = Infinity; let right = -Infinity; let bottom = -Infinity;
  for (const { x, y } of points) { left = Math.min(left, x); right = Math.max(right, x); top = Math.min(top, y); bottom = Math.max(bottom, y); }
  for (const { x1, y1, x2, y2, arc } of edges) {
    // An arc's box by its whole circle is too wide to tell anything; half its chord is how far it can bulge at most.
    const bulge = arc ? Math.hypot(x2 - x1, y2 - y1) / 2 : 0;
    if (Math.min(x1, x2) - bulge <= right && Math.max(x1, x2) + bulge >= left && Math.min(y1, y2) - bulge <= bottom && Math.max(y1, y2) + bulge >= top) return true;
  }
  const [first] = points;
  return first !== undefined && region.contains(first.x, first.y);
}

const outlineOf = (points: readonly Point[]): Outline => points.map((p, i) => { const q = points[(i + 1) % points.length] ?? p; return { x1: p.x, y1: p.y, x2: q.x, y2: q.y }; });

/** Targets by their limit; a target's own bodies are left out by the engine. */
function questionsOf(targets: readonly SightTarget[], height: Feet): Map<number, Target[]> {
  const questions = new Map<number, Target[]>();
  const ask = (point: SightTarget['eye'], limit: number, own: readonly string[]): void => {
    const asked = questions.get(limit) ?? [];
    questions.set(limit, asked);
    asked.push({ ...point, body: own });
  };
  for (const { eye, body, limit, own } of targets) {
    const rise = Math.abs(body.z - height); const eyeRise = Math.abs(eye.z - height);
    ask(body, limit, own);
    // The limit belongs to the body line: where the eye is level enough it cannot bind, else it gets just enough more.
    ask(eye, eyeRise <= rise ? limit : Math.hypot(limit, eyeRise), own);
  }
  return questions;
}

function ownOutline(index: SightIndex, id: string, height: Feet): Outline[] {
  const obstacle = index.get(id);
  if (obstacle?.shape.type !== 'polygon' || obstacle.bottom > height || obstacle.top < height) return [];
  return [outlineOf(obstacle.shape.points.map(([x, y]) => ({ x: sheetUnits(x), y: sheetUnits(y) })))];
}

export interface PlanBox { readonly left: SheetUnits; readonly top: SheetUnits; readonly right: SheetUnits; readonly bottom: SheetUnits }

/** Box around a region. */
export function boxOf(region: AllowedRegion): PlanBox {
  let left = Infinity; let top = Infinity; let right = -Infinity; let bottom = -Infinity;
  const take = (x: number, y: number): void => { left = Math.min(left, x); right = Math.max(right, x); top = Math.min(top, y); bottom = Math.max(bottom, y); };
  for (const { x1, y1, x2, y2, arc } of region.outlines.flat()) {
    take(x1, y1); take(x2, y2);
    if (!arc) continue;
    // An arc is at most half a turn: it holds what of its circle lies across its chord from the middle.
    const { cx, cy, radius } = arc; const turn = (x: number, y: number): number => (x2 - x1) * (y - y1) - (y2 - y1) * (x - x1);
    for (const [x, y] of [[cx - radius, cy], [cx + radius, cy], [cx, cy - radius], [cx, cy + radius]] as const) if (turn(x, y) * turn(cx, cy) <= 1e-9 * radius ** 4) take(x, y);
  }
  return { left: sheetUnits(left), top: sheetUnits(top), right: sheetUnits(right), bottom: sheetUnits(bottom) };
}
