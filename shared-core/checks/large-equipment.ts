import { workingSpaceFigures } from '../code-data/index';
import type { Citation, Result } from '../code-data/index';
import { entitiesOf, scaleBetween } from '../document/index';
import type { Disconnect, Document, Opening, Point, Scale, Wall } from '../document/index';
import { sightState } from '../sight/index';
import type { SightIndex } from '../sight/index';
import { feet, showLength } from '../units/index';
import { inFeet } from './choose-rules';
import { distanceToSegment, distanceUncertainty } from './distance';
import { cite, finding } from './finding';
import { contains } from './pair-targets';
import type { ReadySheet } from './pair-view';
import { clipToBox, extentOf, toPlan } from './space-frame';
import type { Frame } from './space-frame';
import { frameOf, surroundingsOf } from './space-surroundings';
import type { Surrounding } from './space-surroundings';
import { findWorkingSpace } from './working-space';
import type { WorkingSpace } from './working-space';

/**
 * Entrances and doors of large equipment, as far as a plan tells: whether a way of the entrance's width is free at each end
 * of the working space, whether twice the depth is, which way the doors near it swing and what hardware a person says they have.
 */
export function checkLargeEquipment(document: Document, sheet: ReadySheet, disconnect: Disconnect): Result[] {
  const { ratedAmperes, size } = disconnect.data;
  const known = sheet.scene.sheet.scale; const scale = known && scaleBetween(known, [disconnect]);
  if (ratedAmperes === undefined || ratedAmperes < Math.min(workingSpaceFigures.largeAmperes, workingSpaceFigures.doorAmperes)) return [];
  const citations: Citation[] = [{ ...cite(document.facts, 'GEN-SPACE'), text: 'NFPA 70 110.26(C)' }];
  const frame = frameOf(document, disconnect, size?.depth ?? 0);
  const space = findWorkingSpace(document, sheet, disconnect, size?.depth ?? 0);
  const isLarge = ratedAmperes >= workingSpaceFigures.largeAmperes;
  if ('missing' in space || !frame || !scale || !sheet.index) {
    return [finding(disconnect, { check: 'space.doors', verdict: 'incomplete', citations, title: `${disconnect.tag}: its entrances and doors are not checked`, missing: 'missing' in space ? space.missing : [`scale of sheet ${sheet.scene.sheet.name}`] })];
  }
  return [
    ...(!isLarge ? [] : size ? entranceResults(document, sheet, disconnect, { frame, space, scale, width: size.width, citations })
      : [finding(disconnect, { check: 'space.entrance', verdict: 'incomplete' as const, citations, title: `${disconnect.tag}: entrances depend on its width`, missing: [`enclosure width of ${disconnect.tag}`] })]),
    ...(ratedAmperes >= workingSpaceFigures.doorAmperes ? [doorResult(document, disconnect, { index: sheet.index, frame, space, scale, citations })] : []),
  ];
}

interface Ground { readonly frame: Frame; readonly space: WorkingSpace; readonly scale: Scale; readonly citations: readonly Citation[] }

function entranceResults(document: Document, sheet: ReadySheet, disconnect: Disconnect, { frame, space, scale, width, citations }: Ground & { readonly width: number }): Result[] {
  if (width <= workingSpaceFigures.largeWidth.value) return [];
  const { depth, shift } = space;
  const way = inFeet(workingSpaceFigures.entranceWidth); const unsure = distanceUncertainty(scale, depth);
  const left = shift - space.width / 2; const right = shift + space.width / 2; const far = 2 * depth + unsure;
  const reach = { width: Math.max(-left, right) + way + unsure, depth: Math.max(far, depth + way) + unsure };
  const around = surroundingsOf(document, sheet, disconnect, frame, reach, disconnect.standing, disconnect.standing + workingSpaceFigures.entranceHeight.value)
    .filter((s) => s.kind !== 'door-swing' && !isDoor(document, s));
  const atLeft = freeAcross(around, [left - way, 0, left, depth], 'v'); const atRight = freeAcross(around, [right, 0, right + way, depth], 'v');
  const ahead = freeAcross(around, [left, depth, right, depth + way], 'u');
  const isTwice = around.every((s) => !extentOf(clipToBox(s.polygon, left, 0, right, far)));
  const common = { check: 'space.entrance', citations };
  const over = `${disconnect.tag}: over 6 ft wide at ${String(disconnect.data.ratedAmperes)} A`;
  if (isTwice && doorsNear(document, disconnect, scale, frontOf(frame, width), depth + unsure, true).length === 0) {
    return [finding(disconnect, { ...common, verdict: 'pass', title: `${over}: twice the depth is free in front and no entrance is nearer than that depth, so one entrance is enough` })];
  }
  if (atLeft < way - unsure && atRight < way - unsure && ahead < way - unsure) {
    return [finding(disconnect, { ...common, verdict: 'fail', title: `${over}: no way 24 in. wide leads into its working space, neither at an end nor ahead`, remedies: [`Clear an entrance 24 in. x 6.5 ft at each end of the space of ${disconnect.tag}.`] })];
  }
  const ends = [['left', atLeft], ['right', atRight]] as const;
  const open = ends.filter(([, free]) => free >= way + unsure).map(([end]) => end);
  const said = open.length === 2 ? 'a way 24 in. wide is free at both ends' : open.length === 1 ? `a way 24 in. wide is free at its ${open[0] ?? ''} hand end only` : 'no way 24 in. wide is surely free at either end';
  return [finding(disconnect, { ...common, verdict: 'judgement', title: `${over}: ${said}${isTwice ? '; twice the depth is free, but an entrance is nearer than that depth' : ''}`,
    remedies: [open.length === 2 ? 'Confirm that both ends lead out, each by an entrance 24 in. x 6.5 ft.' : 'Show an entrance 24 in. x 6.5 ft at each end, a continuous way out, or twice the depth.'] })];
}

/** Longest free stretch of a strip (u1, v1, u2, v2) along one of its sides, feet: what stands in it anywhere closes it there. */
function freeAcross(around: readonly Surrounding[], [u1, v1, u2, v2]: readonly [number, number, number, number], along: 'u' | 'v'): number {
  const [from, to] = along === 'u' ? [u1, u2] : [v1, v2];
  const closed = around.flatMap((s) => { const e = extentOf(clipToBox(s.polygon, u1, v1, u2, v2)); return e ? [along === 'u' ? [e.u1, e.u2] as const : [e.v1, e.v2] as const] : []; }).sort((a, b) => a[0] - b[0]);
  let free = 0; let at = from;
  for (const [a, b] of closed) { free = Math.max(free, a - at); at = Math.max(at, b); }
  return Math.max(free, to - at);
}

/** A leaf can be the entrance itself; a window cannot. */
function isDoor(document: Document, { entity, opening }: Surrounding): boolean {
  const wall = document.entities[entity];
  return wall?.kind === 'wall' && opening !== undefined && wall.openings.some((o) => o.id === opening && o.leaf !== 'glazed');
}

const frontOf = (frame: Frame, width: number): Point[] => [toPlan(frame, [-width / 2, 0]), toPlan(frame, [width / 2, 0])];

interface Door { readonly wall: Wall; readonly opening: Opening; readonly from: Point; readonly to: Point }

/** Doors (and open doorways when asked) with any part nearer than so many feet to an outline or a line. */
function doorsNear(document: Document, { sheet }: Disconnect, scale: Scale, outline: readonly Point[], nearer: number, doorwaysToo: boolean): Door[] {
  return doorsOn(document, sheet, doorwaysToo).filter(({ from, to }) => apart(outline, from, to) * scale.feetPerUnit < nearer);
}

function doorsOn(document: Document, sheet: string, doorwaysToo: boolean): Door[] {
  return entitiesOf(document, 'wall', sheet).flatMap((wall) => wall.openings.flatMap((opening): Door[] => {
    const a = wall.points[opening.segment]; const b = wall.points[opening.segment + 1];
    if (!a || !b || opening.leaf === 'glazed' || (opening.leaf === 'none' && !doorwaysToo)) return [];
    const length = Math.hypot(b.x - a.x, b.y - a.y) || 1;
    const at = (d: number): Point => ({ x: a.x + ((b.x - a.x) * d) / length, y: a.y + ((b.y - a.y) * d) / length }) as Point;
    return [{ wall, opening, from: at(opening.from), to: at(opening.to) }];
  }));
}

/** Plan distance of a segment from a polygon or, of two points, from another segment; 0 when they meet. */
function apart(outline: readonly Point[], from: Point, to: Point): number {
  if (outline.length > 2 && (contains(outline, from) || contains(outline, to))) return 0;
  const side = (a: Point, b: Point, p: Point): number => (b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x);
  return Math.min(...outline.map((a, i) => {
    const b = outline[(i + 1) % outline.length] ?? a;
    if (side(a, b, from) * side(a, b, to) < 0 && side(from, to, a) * side(from, to, b) < 0) return 0;
    return Math.min(distanceToSegment(from, a, b), distanceToSegment(to, a, b), distanceToSegment(a, from, to), distanceToSegment(b, from, to));
  }));
}

/**
 * Personnel doors within 25 ft of the working space: one of the same room that swings in, or is said to have no panic
 * hardware, fails; all pass only when each is drawn to open away and said to have it. What nobody said is never a pass.
 */
function doorResult(document: Document, disconnect: Disconnect, { index, frame, space, scale, citations }: Ground & { readonly index: SightIndex }): Result {
  const common = { check: 'space.doors', citations };
  const limit = workingSpaceFigures.doorDistance.value; const within = showLength(feet(limit), document.facts.units, { finest: 1 });
  const doors = doorsNear(document, disconnect, scale, space.outline, limit + distanceUncertainty(scale, limit), false);
  if (doors.length === 0) {
    if (doorsOn(document, disconnect.sheet, false).length > 0) return finding(disconnect, { ...common, verdict: 'pass', title: `${disconnect.tag}: no door within ${within} of its working space` });
    return finding(disconnect, { ...common, verdict: 'judgement', title: `${disconnect.tag}: no door is drawn on this sheet; those within ${within} of its working space must open outwards with panic hardware`, remedies: ['Draw the doors of the room, or confirm that none is so near.'] });
  }
  const centre = toPlan(frame, [space.shift, space.depth / 2]);
  const others = doors.map((d) => d.wall.id);
  const count = `${doors.length} door${doors.length === 1 ? '' : 's'}`;
  const inRoom = doors.filter((door) => isInTheRoom(index, door, centre, disconnect, frame));
  const inwards = inRoom.filter((door) => swingsTowards(door, centre) === true); const bare = inRoom.filter(({ opening }) => opening.panicHardware === false);
  const faulty = new Set([...inwards, ...bare]).size;
  if (faulty > 0) {
    const opens = faulty === 1 ? ['opens', 'has'] : ['open', 'have'];
    const faults = [...(inwards.length > 0 ? [`${opens[0] ?? ''} inwards, towards it`] : []), ...(bare.length > 0 ? [`${opens[1] ?? ''} no panic hardware`] : [])];
    return finding(disconnect, { ...common, others, verdict: 'fail', title: `${disconnect.tag}: ${faulty === doors.length ? count : `${faulty} of ${count}`} within ${within} of its working space ${faults.join(' or ')}`,
      remedies: ['Hang the door to open in the direction of egress, 90 degrees, with listed panic hardware.'] });
  }
  const unknown = doors.filter((door) => swingsTowards(door, centre) === null).length;
  const unsaid = doors.filter(({ opening }) => opening.panicHardware !== true).length;
  if (doors.every((door) => swingsTowards(door, centre) === false && door.opening.panicHardware === true)) {
    return finding(disconnect, { ...common, others, verdict: 'pass', title: `${disconnect.tag}: ${count} within ${within} of its working space, drawn to open away from it and recorded with panic hardware` });
  }
  return finding(disconnect, { ...common, others, verdict: 'judgement', title: `${disconnect.tag}: ${count} within ${within} of its working space must open 90 degrees outwards with panic hardware${unknown > 0 ? `; of ${unknown} the swing is not drawn` : ''}${unsaid > 0 ? `; of ${unsaid} the hardware is not recorded` : ''}`,
    remedies: ['Draw the swing of these doors and say in their fields whether they have panic hardware.'] });
}

/** Whether the leaf swings to the side that the place lies on; null when its swing is not drawn or the place is in line with it. */
function swingsTowards({ opening, from, to }: Door, place: Point): boolean | null {
  if (!opening.swing) return null;
  // Left of the segment's direction on a plan whose y runs down, as the swing is drawn.
  const cross = (to.x - from.x) * (place.y - from.y) - (to.y - from.y) * (place.x - from.x);
  return cross === 0 ? null : (cross < 0) === (opening.swing.side === 'left');
}

/** Half a foot before the door on the place's side is in plain view of it: no wall makes it another room's door. */
function isInTheRoom(index: SightIndex, { from, to }: Door, place: Point, disconnect: Disconnect, frame: Frame): boolean {
  const length = Math.hypot(to.x - from.x, to.y - from.y) || 1;
  const cross = (to.x - from.x) * (place.y - from.y) - (to.y - from.y) * (place.x - from.x);
  const off = (0.5 / frame.feetPerUnit) * Math.sign(cross);
  const before = { x: (from.x + to.x) / 2 - ((to.y - from.y) / length) * off, y: (from.y + to.y) / 2 + ((to.x - from.x) / length) * off };
  const z = feet(disconnect.standing + 5);
  return sightState(index, { x: place.x, y: place.y, z }, { ...before, z }) !== 'blocked';
}
