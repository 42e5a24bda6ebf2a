import { placeLabels } from '../../shared-core/report/index';
import type { At, LabelRequest } from '../../shared-core/report/index';
import type { Area, Disconnect, Entity, Id, Point } from '../../shared-core/document/index';
import { boxOf, grown, pointAt, pointsOf } from '../tools/plan-geometry';
import { turnHandle } from '../tools/handles';
import type { Box } from '../tools/plan-geometry';
import { labelText } from './shown-sight';
import type { ShownSight } from './shown-sight';
import { statusPlace, symbolCentre } from './symbol-place';

/** Where words stand beside a symbol: pixels from the symbol's centre to the label's middle. */
export interface TagPlace { readonly dx: number; readonly dy: number; readonly leader: readonly [At, At] | null }
/** Labels of the present zoom; positions hold while panning, and roughly while a zoom is under way. */
export interface LabelLayout {
  readonly tags: ReadonlyMap<Id, TagPlace>;
  /** Middle of a sight line's label on the sheet, by the pair's key; and the point of its line, when it had to move off it. */
  readonly lines: ReadonlyMap<string, { readonly at: Point; readonly leaderTo: Point | null }>;
  /** Middle of an area's label on the sheet; an area whose label found no room has none. */
  readonly areas: ReadonlyMap<Id, Point>;
}
export const NO_LABELS: LabelLayout = { tags: new Map(), lines: new Map(), areas: new Map() };

export const TAG_SIZE = 12.5;
export const NAME_SIZE = 12;
export const DISTANCE_SIZE = 12;
export const AREA_SIZE = 11;

export const areaWords = (area: Area): string => [area.label, area.environments.join(', ')].filter(Boolean).join(': ');

/** How far in front of a chosen disconnect its turning handle stands, pixels. */
export const TURN_ARM = 44;

/** Longest leader of a distance label, pixels. */
const FAR = 64;

/** 'M-204 mill': the tag in bold, then the name. */
export function tagWords(entity: Entity): { tag: string; name: string } {
  if (!('tag' in entity)) return { tag: '', name: '' };
  return { tag: entity.tag, name: 'name' in entity ? entity.name : '' };
}

export interface LayoutInput {
  readonly zoom: number;
  /** Part of the sheet to label, sheet units. */
  readonly box: Box;
  /** Part of the sheet in the window, sheet units. */
  readonly seen: Box;
  readonly marks: readonly Entity[];
  /** Areas to name, and obstructions whose names to keep off. */
  readonly spaces: readonly Entity[];
  readonly sight: ShownSight;
  readonly symbol: number;
  readonly chosen: ReadonlySet<Id>;
  readonly width: (text: string, size: number, bold: boolean) => number;
}

/** Places tags and distance labels so that none covers another or a symbol. Works in pixels of the present zoom, free of panning. */
export function layOutLabels({ zoom, box, seen, marks, spaces, sight, symbol, chosen, width }: LayoutInput): LabelLayout {
  const requests: LabelRequest[] = []; const keepClear: { x: number; y: number; width: number; height: number }[] = [];
  const centres = new Map<Id, At>();
  const square = (x: number, y: number, half: number): void => { keepClear.push({ x: x - half, y: y - half, width: 2 * half, height: 2 * half }); };
  for (const mark of marks) {
    const centre = symbolCentre(mark, symbol / zoom);
    if (!centre) continue;
    const at: At = [centre.x * zoom, centre.y * zoom];
    centres.set(mark.id, at);
    square(at[0], at[1], symbol * 0.6);
    if (mark.kind === 'disconnect') { const status = statusPlaceOf(mark, at, symbol); square(status[0], status[1], symbol * 0.42); }
    // The handle that turns a chosen disconnect lies in front of it.
    if (mark.kind === 'disconnect' && chosen.has(mark.id)) { const handle = turnHandle(mark, TURN_ARM / zoom); square(handle.x * zoom, handle.y * zoom, 9); }
    const { tag, name } = tagWords(mark);
    const wide = width(tag, TAG_SIZE, true) + (name ? width(name, NAME_SIZE, false) + 5 : 0);
    requests.push({ id: `tag ${mark.id}`, width: wide + 4, height: TAG_SIZE + 3, beside: { at, clear: symbol * 0.62 }, rank: mark.kind === 'disconnect' ? 3 : 2 });
  }
  for (const space of spaces) {
    const corner = boxOf(pointsOf(space));
    if (space.kind === 'obstruction') {
      // Its name stands in its middle: distances keep off it.
      const half = width(space.label, AREA_SIZE, false) / 2 + 22;
      const x = ((corner.minX + corner.maxX) / 2) * zoom; const y = ((corner.minY + corner.maxY) / 2) * zoom;
      if (2 * half < (corner.maxX - corner.minX) * zoom) keepClear.push({ x: x - half, y: y - 7, width: 2 * half, height: 14 });
    } else if (space.kind === 'area') {
      const wide = width(areaWords(space), AREA_SIZE, false) + 6;
      if (wide < 12 || wide > (corner.maxX - corner.minX) * zoom) continue;
      requests.push({ id: `area ${space.id}`, width: wide, height: AREA_SIZE + 3, beside: { from: [corner.minX * zoom + wide / 2 + 4, corner.maxY * zoom - 11], to: [corner.maxX * zoom - wide / 2 - 4, corner.maxY * zoom - 11] }, rank: -1 });
    }
  }
  const lines: (readonly [At, At])[] = [];
  for (const pair of sight.pairs) {
    const from: At = [pair.from.x * zoom, pair.from.y * zoom]; const to: At = [pair.to.x * zoom, pair.to.y * zoom];
    lines.push([from, to]);
    const isChosen = chosen.has(pair.disconnect) || chosen.has(pair.load);
    // What is not needed is labelled only when it is asked for.
    if (!pair.text || (pair.settledBy === 'another disconnect' && !isChosen)) continue;
    requests.push({ id: `line ${pair.key}`, width: width(labelText(pair), DISTANCE_SIZE, true) + 14, height: DISTANCE_SIZE + 8, beside: { from, to }, rank: isChosen ? 4 : pair.verdict === 'pass' ? 0 : 1 });
  }
  const room = grown({ minX: box.minX * zoom, minY: box.minY * zoom, maxX: box.maxX * zoom, maxY: box.maxY * zoom }, 20);
  const { placed } = placeLabels(requests, { bounds: { x: room.minX, y: room.minY, width: room.maxX - room.minX, height: room.maxY - room.minY },
    seen: { x: seen.minX * zoom, y: seen.minY * zoom, width: (seen.maxX - seen.minX) * zoom, height: (seen.maxY - seen.minY) * zoom }, keepClear, rather: lines, gap: 3 });
  const areas = new Map<Id, Point>(); const tags = new Map<Id, TagPlace>(); const linePlaces = new Map<string, { at: Point; leaderTo: Point | null }>();
  for (const label of placed) {
    const x = label.box.x + label.box.width / 2; const y = label.box.y + label.box.height / 2;
    if (label.id.startsWith('line ')) {
      const to = label.leader?.[1];
      // Far from its line a distance reads as another line's: it waits until there is room, or until it is asked for.
      if (to && Math.hypot(to[0] - x, to[1] - y) > FAR) continue;
      linePlaces.set(label.id.slice(5), { at: pointAt(x / zoom, y / zoom), leaderTo: to ? pointAt(to[0] / zoom, to[1] / zoom) : null });
      continue;
    }
    if (label.id.startsWith('area ')) { if (!label.leader) areas.set(label.id.slice(5), pointAt(x / zoom, y / zoom)); continue; }
    const id = label.id.slice(4);
    const at = centres.get(id);
    if (!at) continue;
    const leader = label.leader ? [[label.leader[0][0] - at[0], label.leader[0][1] - at[1]], [label.leader[1][0] - at[0], label.leader[1][1] - at[1]]] as const : null;
    tags.set(id, { dx: x - at[0], dy: y - at[1], leader });
  }
  return { tags, lines: linePlaces, areas };
}

function statusPlaceOf(disconnect: Disconnect, at: At, symbol: number): At {
  const place = statusPlace(disconnect, { x: at[0], y: at[1] }, symbol);
  return [place.x, place.y];
}
