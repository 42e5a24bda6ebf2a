import { compareDistance, UNIT, windingNumber } from '../geometry/index';
import type { Feet } from '../units/index';
import { Envelope, OPEN, directionKey } from './envelope';
import { bodiesOf } from './scene';
import type { Handle, Target } from './scene';
import { planOutline } from './shadows';
import { MESH, OPAQUE } from './sight-index';
import type { SightIndex } from './sight-index';
import { lineBetween, sightState, slotMet, slotsOf } from './trace';

/** One line's answer as a number, for arrays. */
export const SIGHT_BLOCKED = 0; export const SIGHT_DOUBTFUL = 1; export const SIGHT_CLEAR = 2; export const SIGHT_TOO_FAR = 3;
const CODE = { blocked: SIGHT_BLOCKED, doubtful: SIGHT_DOUBTFUL, clear: SIGHT_CLEAR } as const;

/** From this many targets in reach on, one look round the handle costs less than a line to each. */
const WORTH_A_LOOK_ROUND = 40;
/** Nearer than this to a tie (as a share of direction or area) the exact test decides. */
const TIE = 1e-9;

/** Targets laid out for many looks, neighbours one after another; make it once, use it for every handle and frame. */
export interface TargetSet {
  readonly targets: readonly Target[];
  /** The target that stands at each place of x, y and z. */
  readonly order: Int32Array;
  readonly x: Float64Array; readonly y: Float64Array; readonly z: Float64Array;
}
export function prepareTargets(targets: readonly Target[]): TargetSet {
  const order = inRows(targets);
  const laid = (read: (t: Target) => number): Float64Array => Float64Array.from(order, (i) => read(targets[i]!));
  return { targets, order, x: laid((t) => t.x), y: laid((t) => t.y), z: laid((t) => t.z) };
}

/** To and fro in rows, so that what is answered one after another mostly goes the same way. */
function inRows(targets: readonly Target[]): Int32Array {
  let up = Infinity; let down = -Infinity;
  for (const { y } of targets) { up = Math.min(up, y); down = Math.max(down, y); }
  const rows = Math.sqrt(targets.length) / (down - up || 1);
  const row = Int32Array.from(targets, ({ y }) => Math.floor((y - up) * rows));
  return Int32Array.from(targets.keys()).sort((a, b) => row[a]! - row[b]! || (row[a]! % 2 === 0 ? 1 : -1) * (targets[a]!.x - targets[b]!.x));
}

/**
 * The states of the lines from one handle to many targets, each the same as sightState and compareDistance would give:
 * the nearest walls are found once in all directions round the handle, and what is near a tie is decided exactly.
 * @returns SIGHT_TOO_FAR past the limit (exactly at the limit is within), else blocked, doubtful or clear; in `out` when given
 */
export function sightStates(index: SightIndex, handle: Handle, set: TargetSet, limit: Feet, out: Uint8Array = new Uint8Array(set.targets.length)): Uint8Array {
  const near = withinLimit(index, handle, set, limit, out);
  if (near.count === 0) return out;
  if (near.count < WORTH_A_LOOK_ROUND || !lookRound(index, handle, near)) {
    for (let k = 0; k < near.count; k += 1) { const i = set.order[list[k]!]!; out[i] = CODE[sightState(index, handle, set.targets[i]!)]; }
    return out;
  }
  const { order, x, y, targets } = set; const { x: hx, y: hy } = handle;
  for (let k = 0; k < near.count; k += 1) {
    const at = list[k]!; const i = order[at]!;
    const state = quickState(index, handle, x[at]! - hx, y[at]! - hy, targets[i]!);
    out[i] = state === UNSURE ? CODE[sightState(index, handle, targets[i]!)] : state;
  }
  return out;
}

/** Places in the set of the targets within the limit. */
let list = new Int32Array(1024);
interface Near { count: number; reach: number; low: number; high: number }

/** Marks what is too far and lists the rest, with the span of their heights. */
function withinLimit(index: SightIndex, handle: Handle, set: TargetSet, limit: number, out: Uint8Array): Near {
  const n = set.targets.length;
  if (list.length < n) list = new Int32Array(2 * n);
  const { x, y, z, order } = set; const unit = index.feetPerUnit; const square = unit * unit; const bound = limit * limit;
  const slack = 32 * UNIT * bound; const hx = handle.x; const hy = handle.y; const hz = handle.z;
  const near: Near = { count: 0, reach: 0, low: hz, high: hz };
  let farthest = 0; let { low, high } = near; let count = 0;
  for (let i = 0; i < n; i += 1) {
    const dx = x[i]! - hx; const dy = y[i]! - hy; const dz = z[i]! - hz; const plan = dx * dx + dy * dy;
    const over = plan * square + dz * dz - bound;
    // NaN must not slip through as near: it fails both comparisons and goes to the exact one, which refuses it.
    if (over > slack || (!(over < -slack) && compareDistance(hx, hy, hz, x[i]!, y[i]!, z[i]!, unit, limit) > 0)) { out[order[i]!] = SIGHT_TOO_FAR; continue; }
    list[count++] = i;
    if (plan > farthest) farthest = plan;
    if (z[i]! < low) low = z[i]!; else if (z[i]! > high) high = z[i]!;
  }
  near.count = count; near.reach = Math.sqrt(farthest) * (1 + 1e-9); near.low = low; near.high = high;
  return near;
}

const UNSURE = -2; const NOT_HIDDEN = -1;
/** What surely blocks at every height of the fan, and everything else that may matter to some line. */
const sure = new Envelope(); const maybe = new Envelope();
/** Directions of walls that point at the handle: they have no width in an envelope, so lines close to them are decided exactly. */
const radial: number[] = [];
let tooClose = 0;
/** Mounting walls touch the handle, so they are in no envelope: each line is tested against them. */
let mounts: readonly number[] = [];

/** Builds both envelopes; false when the handle stands on or all but on something, where directions mean nothing. */
function lookRound(index: SightIndex, handle: Handle, near: Near): boolean {
  const { x: hx, y: hy } = handle; const { plan, solid, transmission } = index;
  // Rounding of coordinates, and the distance at which it is 1e-10 of a direction.
  tooClose = 4e-16 * (index.extent + Math.abs(hx) + Math.abs(hy)) * 1e10;
  mounts = (handle.mount ?? []).map((id) => index.slotOf(id));
  sure.start(hx, hy, near.reach); maybe.start(hx, hy, near.reach);
  radial.length = 0;
  const count = index.gather(hx - near.reach, hy - near.reach, hx + near.reach, hy + near.reach);
  const found = index.gathered;
  for (let j = 0; j < count; j += 1) {
    const slot = found[j]!; const light = transmission[slot]!;
    if (light === MESH || mounts.includes(slot)) continue;
    const bottom = solid[3 * slot + 1]!; const top = solid[3 * slot + 2]!;
    if (top < near.low || bottom > near.high) continue;
    const isSure = light === OPAQUE && bottom <= near.low && top >= near.high;
    const view = isSure ? sure : maybe;
    if (solid[3 * slot] === 0 && index.isRing[slot] === 0) {
      const k = 4 * slot;
      if (!addEdge(view, plan[k]!, plan[k + 1]!, plan[k + 2]!, plan[k + 3]!, slot)) return false;
      continue;
    }
    const ring = planOutline(index, slot); const n = ring.length;
    // From inside, a line meets it without meeting an edge.
    if (n > 4 && windingNumber(ring, hx, hy) !== 0) return false;
    for (let i = 0, p = n - 2; i < n; p = i, i += 2) if (!addEdge(view, ring[p]!, ring[p + 1]!, ring[i]!, ring[i + 1]!, slot)) return false;
  }
  sure.build(); maybe.build();
  return true;
}

/** False when the edge passes so close to the handle that directions from it are not to be trusted. */
function addEdge(view: Envelope, x1: number, y1: number, x2: number, y2: number, slot: number): boolean {
  const ax = x1 - view.cx; const ay = y1 - view.cy; const bx = x2 - view.cx; const by = y2 - view.cy;
  const p = ax * by; const q = ay * bx; const cross = Math.abs(p - q);
  const dx = bx - ax; const dy = by - ay; const length = Math.abs(dx) + Math.abs(dy);
  // Distance to the line at least cross / length; to the segment at least that, or to its ends.
  if (cross <= tooClose * length) {
    const dot = ax * bx + ay * by;
    if (dot <= 0 || Math.abs(ax) + Math.abs(ay) <= tooClose || Math.abs(bx) + Math.abs(by) <= tooClose) return false;
  }
  if (cross <= TIE * (Math.abs(p) + Math.abs(q))) { radial.push(directionKey(ax, ay), directionKey(bx, by)); return true; }
  view.add(x1, y1, x2, y2, slot);
  return true;
}

function quickState(index: SightIndex, handle: Handle, vx: number, vy: number, target: Target): number {
  if (Math.abs(vx) + Math.abs(vy) <= tooClose) return UNSURE;
  const key = directionKey(vx, vy);
  for (let k = 0; k < radial.length; k += 1) { const off = Math.abs(radial[k]! - key); if (off < TIE || off > 4 - TIE) return UNSURE; }
  const block = hides(sure, key, vx, vy);
  if (block === UNSURE) return UNSURE;
  // Its own body does not block a target; what lies behind that body is not in the envelope.
  if (block >= 0) return target.body !== undefined && bodiesOf(target).some((id) => index.slotOf(id) === block) ? UNSURE : SIGHT_BLOCKED;
  if (maybe.edges > 0 && hides(maybe, key, vx, vy) !== NOT_HIDDEN) return UNSURE;
  return mounts.length > 0 && meetsMount(index, handle, target) ? UNSURE : SIGHT_CLEAR;
}

function meetsMount(index: SightIndex, handle: Handle, target: Target): boolean {
  const line = lineBetween(handle, target); const own = slotsOf(index, handle, target);
  return mounts.some((slot) => slot >= 0 && slotMet(index, slot, line, own));
}

/** The slot that hides the point surely, NOT_HIDDEN when surely nothing in this envelope does, UNSURE near a tie. */
function hides(view: Envelope, key: number, vx: number, vy: number): number {
  const run = view.find(key); const keys = view.runs.key;
  if (view.count > 1 && (key - keys[run]! < TIE || (run + 1 < view.count ? keys[run + 1]! : 2) - key < TIE)) return UNSURE;
  const edge = view.runs.edge[run]!;
  if (edge === OPEN) return NOT_HIDDEN;
  const dx = view.lineX[edge]!; const dy = view.lineY[edge]!;
  const beyond = vx * dy - vy * dx - 1;
  const tie = TIE * (Math.abs(vx) + Math.abs(vy)) * (Math.abs(dx) + Math.abs(dy));
  return beyond > tie ? view.source[edge]! : beyond < -tie ? NOT_HIDDEN : UNSURE;
}
