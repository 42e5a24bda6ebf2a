import { compareDistance } from '../geometry/index';
import { feet } from '../units/index';
import type { Feet } from '../units/index';
import { exactContact, firstContact, meets, quickWall, MEETS, MISSES } from './contact';
import type { Line } from './contact';
import { MESH, OPAQUE } from './sight-index';
import type { SightIndex } from './sight-index';
import type { Handle, SpacePoint, Target, Transmission } from './scene';

/** 'doubtful' means that glazing or a door that is only normally open stands in the line, and nothing opaque. */
export type SightState = 'clear' | 'doubtful' | 'blocked';

export interface SightMeeting {
  readonly obstacle: string;
  readonly transmission: Transmission;
  /** First point of the line, from the handle, that lies in the obstacle; rounded. */
  readonly at: SpacePoint;
  /** Straight distance from the handle to that point. */
  readonly along: Feet;
}

export interface SightLine {
  readonly state: SightState;
  /** True when nothing opaque stands in the line (it may still be doubtful). */
  readonly clearOfOpaque: boolean;
  /** Everything the line meets, nearest to the handle first; mesh included. */
  readonly meetings: readonly SightMeeting[];
  /** Straight line in space. */
  readonly distance: Feet;
  /** Sign of (distance - limit), exactly: 0 is exactly at the limit. */
  readonly comparesToLimit: (limit: Feet) => -1 | 0 | 1;
}

const STATE_OF: readonly SightState[] = ['blocked', 'doubtful', 'doubtful', 'clear'];

/**
 * Everything a straight line from the handle to the target meets. Touching counts as meeting, exactly on the numbers as
 * given; the target's own body is ignored; a mounting wall touched by nothing but the handle itself does not count.
 * @throws RangeError when a coordinate is not finite
 */
export function traceSight(index: SightIndex, handle: Handle, target: Target): SightLine {
  const line = lineBetween(handle, target);
  const own = slotsOf(index, handle, target);
  const meetings: (SightMeeting & { readonly share: number })[] = [];
  let worst = MESH;
  for (const slot of candidates(index, line)) {
    if (slot === own.body) continue;
    const prism = index.prism(slot);
    if (own.mounts.includes(slot) ? exactContact(line, prism) !== 'beyond' : !meets(line, prism)) continue;
    const share = firstContact(line, prism);
    const obstacle = index.obstacles[slot]!;
    worst = Math.min(worst, index.transmission[slot]!);
    const at = pointAlong(line, share);
    const height = Math.min(prism.top, Math.max(prism.bottom, at.z));
    meetings.push({ obstacle: obstacle.id, transmission: obstacle.transmission, share, along: spaceDistance(index, handle, at), at: { ...at, z: feet(height) } });
  }
  meetings.sort((a, b) => a.share - b.share || (a.obstacle < b.obstacle ? -1 : 1));
  const state = STATE_OF[worst]!;
  return {
    state, clearOfOpaque: state !== 'blocked',
    meetings: meetings.map(({ obstacle, transmission, at, along }) => ({ obstacle, transmission, at, along })),
    distance: spaceDistance(index, handle, target),
    comparesToLimit: (limit) => compareDistance(handle.x, handle.y, handle.z, target.x, target.y, target.z, index.feetPerUnit, limit),
  };
}

/** The state alone, as traceSight would give it; ends at the first opaque obstacle. For the many lines of a drag or an audit. */
export function sightState(index: SightIndex, handle: Handle, target: Target): SightState {
  const line = lineBetween(handle, target);
  const own = handle.mount || target.body !== undefined ? slotsOf(index, handle, target) : NOTHING_OWN;
  return STATE_OF[worstMet(index, line, own)]!;
}

/** Whether nothing but mesh stands in the line: a sure 'clear'. */
export function isClear(index: SightIndex, handle: Handle, target: Target): boolean {
  return sightState(index, handle, target) === 'clear';
}

export interface Own { readonly body: number; readonly mounts: readonly number[] }
const NOTHING_OWN: Own = { body: -1, mounts: [] };

export function slotsOf(index: SightIndex, handle: Handle, target: Target): Own {
  return {
    body: target.body === undefined ? -1 : index.slotOf(target.body),
    mounts: (handle.mount ?? []).map((id) => index.slotOf(id)),
  };
}

export function lineBetween(from: SpacePoint, to: SpacePoint): Line {
  const line = { ax: from.x, ay: from.y, az: from.z, bx: to.x, by: to.y, bz: to.z };
  if (!Number.isFinite(line.ax + line.ay + line.az + line.bx + line.by + line.bz))
    throw new RangeError(`A sight line needs finite ends, got (${from.x}, ${from.y}, ${from.z}) and (${to.x}, ${to.y}, ${to.z}).`);
  return line;
}

const pointAlong = (line: Line, share: number): SpacePoint => (share >= 1
  ? { x: line.bx, y: line.by, z: feet(line.bz) }
  : { x: line.ax + share * (line.bx - line.ax), y: line.ay + share * (line.by - line.ay), z: feet(line.az + share * (line.bz - line.az)) });

function spaceDistance(index: SightIndex, a: SpacePoint, b: SpacePoint): Feet {
  return feet(Math.hypot((a.x - b.x) * index.feetPerUnit, (a.y - b.y) * index.feetPerUnit, a.z - b.z));
}

/** Slots whose box the line meets: a superset of what it meets. */
function candidates(index: SightIndex, line: Line): number[] {
  const { ax, ay, bx, by } = line;
  return index.inBox(Math.min(ax, bx), Math.min(ay, by), Math.max(ax, bx), Math.max(ay, by));
}

/** The smallest transmission number that the line meets. The hot loop: flat arrays, no allocation until a tie. */
function worstMet(index: SightIndex, line: Line, own: Own): number {
  const { ax, ay, bx, by } = line;
  const minX = ax < bx ? ax : bx; const maxX = ax < bx ? bx : ax; const minY = ay < by ? ay : by; const maxY = ay < by ? by : ay;
  const vx = bx - ax; const vy = by - ay; const wx = Math.abs(vx); const wy = Math.abs(vy);
  // A box is skipped only when it lies clear of the line by more than all the rounding of this test.
  const pad = 2e-15 * (wx + wy) * (index.extent + Math.abs(ax) + Math.abs(ay) + Math.abs(bx) + Math.abs(by));
  const { count, boxes, skip, first, last } = index.nodes;
  let worst = MESH;
  for (let node = 0; node < count;) {
    const k = 4 * node;
    const left = boxes[k]!; const up = boxes[k + 1]!; const right = boxes[k + 2]!; const down = boxes[k + 3]!;
    if (left > maxX || right < minX || up > maxY || down < minY) { node = skip[node]!; continue; }
    const off = vx * ((up + down) * 0.5 - ay) - vy * ((left + right) * 0.5 - ax);
    const reach = (wx * (down - up) + wy * (right - left)) * 0.5 + pad;
    if (off > reach || off < -reach) { node = skip[node]!; continue; }
    const end = last[node]!;
    for (let slot = first[node]!; slot < end; slot += 1) {
      const light = index.transmission[slot]!;
      if (light >= worst || !slotMet(index, slot, line, minX, minY, maxX, maxY, own)) continue;
      if (light === OPAQUE) return OPAQUE;
      worst = light;
    }
    node += 1;
  }
  for (let slot = index.settled; slot < index.used; slot += 1) {
    const light = index.transmission[slot]!;
    if (light >= worst || !slotMet(index, slot, line, minX, minY, maxX, maxY, own)) continue;
    if (light === OPAQUE) return OPAQUE;
    worst = light;
  }
  return worst;
}

/** Whether the line meets one obstacle in the sense of traceSight; the box is the line's. */
export function slotMet(index: SightIndex, slot: number, line: Line, minX: number, minY: number, maxX: number, maxY: number, own: Own): boolean {
  const { plan, solid } = index; const k = 4 * slot; const s = 3 * slot;
  const x1 = plan[k]!; const y1 = plan[k + 1]!; const x2 = plan[k + 2]!; const y2 = plan[k + 3]!;
  // Twice the half thickness: room for the rounding of the sums.
  const t = solid[s]!;
  if ((x1 > maxX + t && x2 > maxX + t) || (x1 < minX - t && x2 < minX - t) || (y1 > maxY + t && y2 > maxY + t) || (y1 < minY - t && y2 < minY - t)) return false;
  const bottom = solid[s + 1]!; const top = solid[s + 2]!;
  const { az, bz } = line;
  if ((az > top && bz > top) || (az < bottom && bz < bottom)) return false;
  if (az >= bottom && az <= top && bz >= bottom && bz <= top && !index.rings.has(slot)) {
    const quick = quickWall(line.ax, line.ay, line.bx, line.by, 0, x1, y1, x2, y2, t);
    if (quick === MISSES) return false;
    if (quick === MEETS && own === NOTHING_OWN) return true;
  }
  if (slot === own.body) return false;
  const prism = index.prism(slot);
  return own.mounts.includes(slot) ? exactContact(line, prism) === 'beyond' : meets(line, prism);
}
