import { createChecker } from '../checks/index';
import type { Checker } from '../checks/index';
import type { Disconnect, Document, Id, Point, Wall } from '../document/index';
import { mountStretches } from '../sight/index';
import type { AllowedRegion, MountStretch, Obstacle } from '../sight/index';
import { feet, sheetUnits } from '../units/index';
import type { Feet } from '../units/index';
import { boxOf, seeingRegion } from './region';

/** A stretch of a wall's face where a disconnect may hang: it sees all its loads and has room in front. */
export interface HangingStretch {
  readonly wall: Id;
  readonly segment: number;
  readonly facing: number;
  /** Ends on the wall's face, sheet units. */
  readonly from: Point;
  readonly to: Point;
  readonly length: Feet;
}

export interface Places {
  readonly disconnect: Id;
  /** Where the handle sees all its loads, at its own height. Empty while a load is not placed or the scale is missing. */
  readonly region: AllowedRegion;
  readonly stretches: readonly HangingStretch[];
  /** False when volts to ground are not known: the stretches then only see. */
  readonly roomChecked: boolean;
}

/** How far off the face the handle is when it is asked what it sees, and how close together the room in front is tried; feet. */
const OFF_FACE = feet(0.0005); const ROOM_STEP = 0.5;
/** Direction as documents keep it: degrees clockwise from the right, 0 up to 360. */
export const degreesOf = (dx: number, dy: number): number => ((Math.atan2(dy, dx) * 180) / Math.PI + 360) % 360;

/** Where the handle of a disconnect sees all its loads, and the stretches of wall faces there, before room is asked for. */
export interface SeeingPlaces { readonly region: AllowedRegion; readonly stretches: readonly HangingStretch[] }

/** The part of placesFor that is quick enough to follow a drag. */
export function seeingPlaces(checker: Checker, disconnect: Disconnect): SeeingPlaces {
  const region = seeingRegion(checker, disconnect);
  return { region, stretches: region.isEmpty ? [] : hangingStretches(checker, disconnect, region) };
}

/**
 * Where a disconnect may go: the region of handle positions that see all its loads within distance, and the wall stretches in
 * it with room in front. Follows whatever moves: hand in the disconnect as it is now.
 * @param checker one made for the present document, kept between calls
 */
export function placesFor(checker: Checker, disconnect: Disconnect): Places {
  const { region, stretches: seeing } = seeingPlaces(checker, disconnect);
  const roomChecked = seeing.length === 0 || isRoomKnown(checker, disconnect, seeing);
  return { disconnect: disconnect.id, region, stretches: roomChecked ? seeing.flatMap((s) => roomyParts(checker, disconnect, s)) : seeing, roomChecked };
}

/** Whether room in front can be judged at all: it cannot while volts to ground are not known. */
export const isRoomKnown = (checker: Checker, disconnect: Disconnect, stretches: readonly HangingStretch[]): boolean => stretches.some((s) => checker.roomAt(hangAt(disconnect, s, 0)) !== null);

/** The same for a disconnect of a document, when nothing is being dragged. */
export function placesInDocument(document: Document, disconnectId: Id): Places {
  const disconnect = document.entities[disconnectId];
  if (disconnect?.kind !== 'disconnect') throw new RangeError(`no disconnect '${disconnectId}'`);
  return placesFor(createChecker(document, disconnect.sheet), disconnect);
}

/** Stretches of wall faces within the region that reach the handle's height, before room is asked for. */
export function hangingStretches(checker: Checker, disconnect: Disconnect, region: AllowedRegion): HangingStretch[] {
  const { scene, index } = checker.sheetOf(disconnect.sheet);
  if (!index || region.isEmpty) return [];
  const box = boxOf(region);
  const height = disconnect.standing + disconnect.handleHeight;
  const walls = index.inBox(box.left, box.top, box.right, box.bottom).map((slot) => index.obstacles[slot])
    .filter((o): o is Obstacle => o !== undefined && o.shape.type === 'wall' && o.transmission === 'opaque' && o.bottom <= height && o.top >= height && scene.owners.get(o.id)?.opening === undefined)
    .sort((a, b) => (a.id < b.id ? -1 : 1));
  return mountStretches(index, region, walls, OFF_FACE).flatMap((stretch) => {
    const wall = checker.document.entities[scene.owners.get(stretch.wall)?.entity ?? ''];
    return wall?.kind === 'wall' ? [onFace(wall, stretch, index.feetPerUnit)] : [];
  });
}

function onFace(wall: Wall, stretch: MountStretch, feetPerUnit: number): HangingStretch {
  const segment = Number(stretch.wall.slice(wall.id.length + 1).split('/')[0]);
  const dx = stretch.x2 - stretch.x1; const dy = stretch.y2 - stretch.y1; const length = Math.hypot(dx, dy) || 1;
  const sign = stretch.side === 'right' ? 1 : -1;
  const nx = (-dy / length) * sign; const ny = (dx / length) * sign;
  const back = OFF_FACE / feetPerUnit;
  const at = (x: number, y: number): Point => ({ x: sheetUnits(x - nx * back), y: sheetUnits(y - ny * back) });
  return { wall: wall.id, segment, facing: degreesOf(nx, ny), from: at(stretch.x1, stretch.y1), to: at(stretch.x2, stretch.y2), length: stretch.length };
}

/** The disconnect moved to a share of a stretch. */
export function hangAt(disconnect: Disconnect, stretch: HangingStretch, share: number): Disconnect {
  return { ...disconnect, at: between(stretch, share), facing: stretch.facing, mount: { wall: stretch.wall, segment: stretch.segment } };
}

const between = ({ from, to }: HangingStretch, share: number): Point => ({ x: sheetUnits(from.x + (to.x - from.x) * share), y: sheetUnits(from.y + (to.y - from.y) * share) });

/** With room, in reach and on foot; and a line that only grazes its own wall is settled by the pair check, not by the region. */
const isGood = (checker: Checker, here: Disconnect): boolean => checker.roomAt(here)?.free === true && checker.isReady(here) && checker.pairsOf(here).every((p) => p.viewVerdict === 'pass' && p.distanceVerdict === 'pass');

/** Runs of places, half a foot apart, each in sight, in reach and with room in front: an end without room is given up, never a step beyond one. */
export function roomyParts(checker: Checker, disconnect: Disconnect, stretch: HangingStretch): HangingStretch[] {
  const steps = Math.max(1, Math.ceil(stretch.length / ROOM_STEP));
  const parts: HangingStretch[] = [];
  let start = -1;
  for (let i = 0; i <= steps + 1; i += 1) {
    const free = i <= steps && isGood(checker, hangAt(disconnect, stretch, i / steps));
    if (free && start < 0) start = i;
    if (!free && start >= 0) {
      if (i - 1 > start) parts.push({ ...stretch, from: between(stretch, start / steps), to: between(stretch, (i - 1) / steps), length: feet((stretch.length * (i - 1 - start)) / steps) });
      start = -1;
    }
  }
  return parts;
}
