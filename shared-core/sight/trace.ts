import { compareDistance, segmentsMeet } from '../geometry/index';
import { feet } from '../units/index';
import type { Feet } from '../units/index';
import { exactContact, firstContact, meets, quickSegments, quickWall, MEETS, MISSES } from './contact';
import type { Line } from './contact';
import { MESH, OPAQUE } from './sight-index';
import type { SightIndex } from './sight-index';
import type { LineGrid } from './line-grid';
import { bodiesOf } from './scene';
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
    if (own.bodies.includes(slot)) continue;
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

export interface Own { readonly bodies: readonly number[]; readonly mounts: readonly number[] }
const NOTHING_OWN: Own = { bodies: [], mounts: [] };

export function slotsOf(index: SightIndex, handle: Handle, target: Target): Own {
  return {
    bodies: bodiesOf(target).map((id) => index.slotOf(id)),
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

/** Slots that the line may meet, a superset of what it meets: down the nodes whose box it passes, then the edits. */
function candidates(index: SightIndex, line: Line): number[] {
  const { ax, ay, bx, by } = line; const { plan, solid } = index;
  const minX = Math.min(ax, bx); const maxX = Math.max(ax, bx); const minY = Math.min(ay, by); const maxY = Math.max(ay, by);
  const found: number[] = [];
  const look = (from: number, to: number): void => {
    for (let slot = from; slot < to; slot += 1) {
      if (index.isGone(slot)) continue;
      const k = 4 * slot; const t = solid[3 * slot]!;
      const x1 = plan[k]!; const y1 = plan[k + 1]!; const x2 = plan[k + 2]!; const y2 = plan[k + 3]!;
      if ((x1 > maxX + t && x2 > maxX + t) || (x1 < minX - t && x2 < minX - t) || (y1 > maxY + t && y2 > maxY + t) || (y1 < minY - t && y2 < minY - t)) continue;
      found.push(slot);
    }
  };
  const vx = bx - ax; const vy = by - ay; const wx = Math.abs(vx); const wy = Math.abs(vy);
  const pad = nodePad(index, line);
  const { count, boxes, skip, first, last } = index.nodes;
  for (let node = 0; node < count;) {
    const k = 4 * node;
    const left = boxes[k]!; const up = boxes[k + 1]!; const right = boxes[k + 2]!; const down = boxes[k + 3]!;
    const off = vx * ((up + down) * 0.5 - ay) - vy * ((left + right) * 0.5 - ax);
    if (left > maxX || right < minX || up > maxY || down < minY || Math.abs(off) > (wx * (down - up) + wy * (right - left)) * 0.5 + pad) { node = skip[node]!; continue; }
    look(first[node]!, last[node]!);
    node += 1;
  }
  look(index.settled, index.used);
  return found;
}

/** A box is skipped only when it lies clear of the line by more than all the rounding of that test. */
const nodePad = (index: SightIndex, { ax, ay, bx, by }: Line): number =>
  2e-15 * (Math.abs(bx - ax) + Math.abs(by - ay)) * (index.extent + Math.abs(ax) + Math.abs(ay) + Math.abs(bx) + Math.abs(by));

/** The smallest transmission number that the line meets. The hot loops: flat arrays, no allocation until a tie. */
function worstMet(index: SightIndex, line: Line, own: Own): number {
  const { grid } = index;
  let worst = grid ? worstInCells(index, grid, line, own) : worstInNodes(index, line, own);
  for (let slot = index.settled; slot < index.used && worst !== OPAQUE; slot += 1) worst = worseOf(worst, index, slot, line, own);
  return worst;
}

/** Along the cells that the line passes: slice by slice of its longer axis, so that its slope is at most 1. */
function worstInCells(index: SightIndex, grid: LineGrid, line: Line, own: Own): number {
  const { ax, ay, bx, by } = line; const { left, up, cell, columns, rows, start, items, wide } = grid;
  const vx = bx - ax; const vy = by - ay; const pad = cell * 1e-7;
  const minX = ax < bx ? ax : bx; const maxX = ax < bx ? bx : ax; const minY = ay < by ? ay : by; const maxY = ay < by ? by : ay;
  const per = 1 / cell;
  let worst = MESH;
  for (let k = 0; k < wide.length; k += 1) worst = worseOf(worst, index, wide[k]!, line, own);
  if (worst === OPAQUE) return OPAQUE;
  if (Math.abs(vx) >= Math.abs(vy)) {
    const slope = vx === 0 ? 0 : vy / vx;
    const c0 = Math.max(0, Math.floor((minX - pad - left) * per)); const c1 = Math.min(columns - 1, Math.floor((maxX + pad - left) * per));
    for (let c = c0; c <= c1; c += 1) {
      const x0 = Math.max(minX, left + c * cell - pad); const x1 = Math.min(maxX, left + (c + 1) * cell + pad);
      const y0 = ay + (x0 - ax) * slope; const y1 = ay + (x1 - ax) * slope;
      const r0 = Math.max(0, Math.floor(((y0 < y1 ? y0 : y1) - pad - up) * per)); const r1 = Math.min(rows - 1, Math.floor(((y0 < y1 ? y1 : y0) + pad - up) * per));
      for (let r = r0; r <= r1; r += 1) {
        const k = r * columns + c;
        worst = worstOfItems(worst, index, items, start[k]!, start[k + 1]!, line, own);
        if (worst === OPAQUE) return OPAQUE;
      }
    }
    return worst;
  }
  const slope = vx / vy;
  const r0 = Math.max(0, Math.floor((minY - pad - up) * per)); const r1 = Math.min(rows - 1, Math.floor((maxY + pad - up) * per));
  for (let r = r0; r <= r1; r += 1) {
    const y0 = Math.max(minY, up + r * cell - pad); const y1 = Math.min(maxY, up + (r + 1) * cell + pad);
    const x0 = ax + (y0 - ay) * slope; const x1 = ax + (y1 - ay) * slope;
    const c0 = Math.max(0, Math.floor(((x0 < x1 ? x0 : x1) - pad - left) * per)); const c1 = Math.min(columns - 1, Math.floor(((x0 < x1 ? x1 : x0) + pad - left) * per));
    if (c0 > c1) continue;
    worst = worstOfItems(worst, index, items, start[r * columns + c0]!, start[r * columns + c1 + 1]!, line, own);
    if (worst === OPAQUE) return OPAQUE;
  }
  return worst;
}

/** Down the nodes whose box the line passes. */
function worstInNodes(index: SightIndex, line: Line, own: Own): number {
  const { ax, ay, bx, by } = line;
  const minX = ax < bx ? ax : bx; const maxX = ax < bx ? bx : ax; const minY = ay < by ? ay : by; const maxY = ay < by ? by : ay;
  const vx = bx - ax; const vy = by - ay; const wx = Math.abs(vx); const wy = Math.abs(vy);
  const pad = nodePad(index, line);
  const { count, boxes, skip, first, last } = index.nodes;
  let worst = MESH;
  for (let node = 0; node < count;) {
    const k = 4 * node;
    const left = boxes[k]!; const up = boxes[k + 1]!; const right = boxes[k + 2]!; const down = boxes[k + 3]!;
    if (left > maxX || right < minX || up > maxY || down < minY) { node = skip[node]!; continue; }
    const off = vx * ((up + down) * 0.5 - ay) - vy * ((left + right) * 0.5 - ax);
    const reach = (wx * (down - up) + wy * (right - left)) * 0.5 + pad;
    if (off > reach || off < -reach) { node = skip[node]!; continue; }
    for (let slot = first[node]!; slot < last[node]!; slot += 1) {
      worst = worseOf(worst, index, slot, line, own);
      if (worst === OPAQUE) return OPAQUE;
    }
    node += 1;
  }
  return worst;
}

function worstOfItems(before: number, index: SightIndex, items: Int32Array, from: number, to: number, line: Line, own: Own): number {
  const { plan, solid, isRing, transmission, thickest: t } = index; const { ax, ay, az, bx, by, bz } = line;
  const minX = (ax < bx ? ax : bx) - t; const maxX = (ax < bx ? bx : ax) + t; const minY = (ay < by ? ay : by) - t; const maxY = (ay < by ? by : ay) + t;
  const low = az < bz ? az : bz; const high = az < bz ? bz : az; const plainEnds = own === NOTHING_OWN;
  let worst = before;
  for (let i = from; i < to; i += 1) {
    const slot = items[i]!; const k = 4 * slot;
    const x1 = plan[k]!; const x2 = plan[k + 2]!;
    if ((x1 > maxX && x2 > maxX) || (x1 < minX && x2 < minX)) continue;
    const y1 = plan[k + 1]!; const y2 = plan[k + 3]!;
    if ((y1 > maxY && y2 > maxY) || (y1 < minY && y2 < minY)) continue;
    const light = transmission[slot]!;
    if (light >= worst) continue;
    // A bare wall through all the heights of the line, nobody's own: nearly every obstacle of nearly every plan.
    const s = 3 * slot;
    if (plainEnds && solid[s] === 0 && solid[s + 1]! <= low && solid[s + 2]! >= high && isRing[slot] === 0) {
      const quick = quickSegments(ax, ay, bx, by, x1, y1, x2, y2);
      if (quick === MISSES || (quick !== MEETS && !segmentsMeet(ax, ay, bx, by, x1, y1, x2, y2))) continue;
    } else if (!slotMet(index, slot, line, own)) continue;
    if (light === OPAQUE) return OPAQUE;
    worst = light;
  }
  return worst;
}

function worseOf(worst: number, index: SightIndex, slot: number, line: Line, own: Own): number {
  const light = index.transmission[slot]!;
  return light < worst && slotMet(index, slot, line, own) ? light : worst;
}

/** Whether the line meets one obstacle in the sense of traceSight. */
export function slotMet(index: SightIndex, slot: number, line: Line, own: Own): boolean {
  const { plan, solid } = index; const k = 4 * slot; const s = 3 * slot;
  const bottom = solid[s + 1]!; const top = solid[s + 2]!;
  const { az, bz } = line;
  if ((az > top && bz > top) || (az < bottom && bz < bottom)) return false;
  if (az >= bottom && az <= top && bz >= bottom && bz <= top && index.isRing[slot] === 0) {
    const quick = quickWall(line.ax, line.ay, line.bx, line.by, 0, plan[k]!, plan[k + 1]!, plan[k + 2]!, plan[k + 3]!, solid[s]!);
    if (quick === MISSES) return false;
    if (quick === MEETS && own === NOTHING_OWN) return true;
  }
  if (own.bodies.includes(slot)) return false;
  const prism = index.prism(slot);
  return own.mounts.includes(slot) ? exactContact(line, prism) === 'beyond' : meets(line, prism);
}
