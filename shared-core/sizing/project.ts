import { entitiesOf, scaleAt, toFeet } from '../document/index';
import type { Area, Disconnect, Document, Entity, Id, Load, Point, Route, Sheet, SupplySystem } from '../document/index';
import { feet, sheetUnits } from '../units/index';
import type { Feet } from '../units/index';

/** What sizing asks of a project, indexed once: areas by sheet, routes by their end, loads of a disconnect, systems. */
export interface Project {
  readonly document: Document;
  readonly areas: ReadonlyMap<Id, readonly Area[]>;
  readonly routes: ReadonlyMap<Id, Route>;
  readonly sheets: ReadonlyMap<Id, Sheet>;
  readonly systems: ReadonlyMap<Id, SupplySystem>;
  /** Disconnects that serve a load, by load. */
  readonly servedBy: ReadonlyMap<Id, readonly Disconnect[]>;
  /** Answers that several devices share, e.g. running motor current of a system, fault current at a feeding device. */
  readonly memo: Map<string, unknown>;
}

const projects = new WeakMap<Document, Project>();

/** The index of a document; built once, since documents never change in place. */
export function projectOf(document: Document): Project {
  const known = projects.get(document);
  if (known) return known;
  const areas = new Map<Id, Area[]>();
  for (const area of entitiesOf(document, 'area')) areas.set(area.sheet, [...(areas.get(area.sheet) ?? []), area]);
  const routes = new Map<Id, Route>();
  for (const route of entitiesOf(document, 'route')) if (!routes.has(route.to)) routes.set(route.to, route);
  const servedBy = new Map<Id, Disconnect[]>();
  for (const device of entitiesOf(document, 'disconnect')) for (const id of device.serves) servedBy.set(id, [...(servedBy.get(id) ?? []), device]);
  const project: Project = {
    document, areas, routes, servedBy, memo: new Map(), sheets: new Map(document.sheets.map((s) => [s.id, s])),
    systems: new Map(document.facts.systems.map((s) => [s.id, s])),
  };
  projects.set(document, project);
  return project;
}

export const entityOf = (project: Project, id: Id | undefined): Entity | undefined =>
  (id !== undefined && Object.hasOwn(project.document.entities, id) ? project.document.entities[id] : undefined);

/** The loads a disconnect serves, in its order. */
export function loadsOf(project: Project, device: Disconnect): Load[] {
  return device.serves.map((id) => entityOf(project, id)).filter((e): e is Load => e?.kind === 'load');
}

/** Whether a point lies in an outline; its edge counts as inside, so that a device on the border is protected too. */
export function isInside(point: Point, outline: readonly Point[]): boolean {
  let inside = false;
  for (let i = 0, j = outline.length - 1; i < outline.length; j = i, i += 1) {
    const a = outline[i];
    const b = outline[j];
    if (!a || !b) continue;
    const cross = (b.x - a.x) * (point.y - a.y) - (b.y - a.y) * (point.x - a.x);
    const within = Math.min(a.x, b.x) <= point.x && point.x <= Math.max(a.x, b.x) && Math.min(a.y, b.y) <= point.y && point.y <= Math.max(a.y, b.y);
    if (cross === 0 && within) return true;
    if (a.y > point.y !== b.y > point.y && point.x < ((b.x - a.x) * (point.y - a.y)) / (b.y - a.y) + a.x) inside = !inside;
  }
  return inside;
}

/** The environment areas a point of a sheet lies in. */
export const areasAt = (project: Project, sheet: Id, at: Point): readonly Area[] => (project.areas.get(sheet) ?? []).filter((a) => isInside(at, a.outline));

export type RouteFound =
  | { readonly ok: true; readonly length: Feet; readonly from: 'typed' | 'plan'; readonly estimate: boolean; readonly words: string }
  | { readonly ok: false; readonly reason: string; readonly missing: string };

/** Feet along a drawn polyline. */
function polylineFeet(points: readonly Point[], sheet: Sheet): number | null {
  const scale = scaleAt(sheet.scale, points);
  if (!scale) return null;
  let length = 0;
  points.forEach((p, i) => {
    const before = points[i - 1];
    if (before) length += Math.hypot(p.x - before.x, p.y - before.y);
  });
  return toFeet(scale, sheetUnits(length));
}

const noScale = (sheet: Sheet | undefined): string => (sheet?.scale ? 'the scale of the sheet is not known there' : 'the sheet has no scale');

interface Placed { readonly id: Id; readonly sheet: Id; readonly at: Point; readonly height: number }

/**
 * Length of conductors between two placed things: a drawn route, else along the building's axes with a rise to the
 * ceiling and a drop at each end, marked as an estimate.
 */
export function routeBetween(project: Project, from: Placed, to: Placed): RouteFound {
  const sheet = project.sheets.get(to.sheet);
  const drawn = project.routes.get(to.id);
  if (drawn && sheet) {
    const flat = polylineFeet(drawn.points, sheet);
    if (flat === null) return { ok: false, reason: `${noScale(sheet)}, so the drawn route has no length`, missing: 'scale of the sheet' };
    const length = flat + drawn.drops;
    if (!(length > 0)) return { ok: false, reason: 'the drawn route has no length', missing: 'route from the supply' };
    return { ok: true, length: feet(length), from: 'plan', estimate: false, words: `drawn route, ${drawn.points.length} points and drops of ${drawn.drops} ft` };
  }
  if (from.sheet !== to.sheet) return { ok: false, reason: 'the supply stands on another sheet and no route is drawn', missing: 'route length from the supply' };
  const scale = scaleAt(sheet?.scale, [from.at, to.at]);
  if (!scale) return { ok: false, reason: noScale(sheet), missing: 'scale of the sheet or route length' };
  const flat = (Math.abs(to.at.x - from.at.x) + Math.abs(to.at.y - from.at.y)) * scale.feetPerUnit;
  const ceiling = project.document.facts.defaults.wallHeight;
  const drops = Math.max(0, ceiling - from.height) + Math.max(0, ceiling - to.height);
  const length = flat + drops;
  if (!(length > 0)) return { ok: false, reason: 'supply and disconnect lie on one point', missing: 'route length from the supply' };
  return { ok: true, length: feet(length), from: 'plan', estimate: true, words: `estimate: ${flat.toFixed(0)} ft along the axes and ${drops.toFixed(1)} ft of drops` };
}
