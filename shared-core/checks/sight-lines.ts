import { scaleBetween } from '../document/index';
import type { Disconnect, Document, Id } from '../document/index';
import { traceSight } from '../sight/index';
import type { Handle, SightIndex, SpacePoint, Transmission } from '../sight/index';
import { feet } from '../units/index';
import { facingVector } from './handle-point';
import type { MountedHandle } from './handle-point';
import type { PairTarget, TargetBody } from './pair-targets';
import type { SheetScene } from './scene-of';
import type { LineReport, Meeting } from './types';

export interface PairLines {
  readonly eye: LineReport;
  readonly body: LineReport;
  /** Part of the enclosure is in view although the line to the handle is not. */
  readonly partlySeen: boolean;
  /** The view hangs on less than the plan's points are sure of. */
  readonly closeCall: boolean;
  /** Why a line that meets nothing is still doubtful. */
  readonly doubt: string | null;
}

interface Ground { readonly index: SightIndex; readonly scene: SheetScene; readonly own: ReadonlySet<Id> }

/** The two lines of one pair: from a standing eye and from the thing itself to the handle. */
export function traceLines(document: Document, index: SightIndex, scene: SheetScene, disconnect: Disconnect, mounted: MountedHandle, target: PairTarget & { body: TargetBody }): PairLines {
  const at = target.body.at;
  if (!at) throw new RangeError(`${target.body.tag} is not placed`);
  const ground: Ground = { index, scene, own: new Set(target.body.own) };
  const eyePoint: SpacePoint = { x: at.x, y: at.y, z: feet(target.body.standing + document.facts.defaults.eyeHeight) };
  const bodyPoint: SpacePoint = { x: at.x, y: at.y, z: target.body.height };
  const eye = trace(ground, mounted.handle, eyePoint);
  const traced = trace(ground, mounted.handle, bodyPoint);
  // A body below the floor that its people stand on: that floor is not drawn as a slab, yet nobody looks through it.
  const sunken = target.body.height < target.body.standing && traced.state === 'clear';
  const body: LineReport = sunken ? { ...traced, state: 'doubtful' } : traced;
  const blocked = eye.state === 'blocked' && body.state === 'blocked';
  return {
    eye, body, partlySeen: blocked && seesPart(ground, disconnect, mounted, [eyePoint, bodyPoint]),
    closeCall: eye.state === 'clear' && body.state === 'clear' && isCloseCall(ground, disconnect, mounted.handle, target.body, [eyePoint, bodyPoint]),
    doubt: sunken ? `${target.body.tag} lies below the floor that people stand on` : null,
  };
}

const WORST: readonly Transmission[] = ['opaque', 'glazed', 'leaf', 'mesh'];

function stateOf(meets: readonly { readonly transmission: Transmission }[]): LineReport['state'] {
  const worst = Math.min(WORST.length - 1, ...meets.map((m) => WORST.indexOf(m.transmission)));
  if (worst === 0) return 'blocked';
  return worst === WORST.length - 1 ? 'clear' : 'doubtful';
}

function trace(ground: Ground, handle: Handle, target: SpacePoint): LineReport {
  const meets: Meeting[] = [];
  for (const meeting of traceSight(ground.index, handle, target).meetings) {
    const owner = ground.scene.owners.get(meeting.obstacle);
    if (!owner) throw new RangeError(`obstacle '${meeting.obstacle}' has no owner`);
    if (ground.own.has(owner.entity)) continue;
    meets.push({ entity: owner.entity, ...(owner.opening === undefined ? {} : { opening: owner.opening }), transmission: meeting.transmission, at: meeting.at });
  }
  return { state: stateOf(meets), target, handle, meets };
}

/** Whether an edge of the enclosure can be seen from either point; only turns a failure into a judgement. */
function seesPart(ground: Ground, disconnect: Disconnect, mounted: MountedHandle, targets: readonly SpacePoint[]): boolean {
  const size = disconnect.data.size;
  const scale = ground.scene.sheet.scale;
  if (!size || !scale) return false;
  const half = size.width / 2 / scale.feetPerUnit;
  const { handle } = mounted;
  return targets.some((target) => {
    // Across the front of a hung device, across the line of sight of a free one: its turn is not known to be right.
    const facing = facingVector(disconnect.facing);
    const length = Math.hypot(target.x - handle.x, target.y - handle.y) || 1;
    const across = mounted.hangs === 'facing-side' ? { x: 0 - facing.y, y: facing.x } : { x: -(target.y - handle.y) / length, y: (target.x - handle.x) / length };
    return [half, -half].some((d) => trace(ground, { ...handle, x: handle.x + across.x * d, y: handle.y + across.y * d }, target).state !== 'blocked');
  });
}

/** A line is moved sideways by no more than this at a time, feet; and in no more steps than these to a side. Own choice. */
const STEP = 0.25;
const MOST_STEPS = 12;
/** Shares of the way to both sides, the farthest first. */
const sides = (steps: number): number[] => Array.from({ length: steps }, (_, i) => (steps - i) / steps).flatMap((share) => [share, -share]);

/**
 * Whether the line would be met if its ends and the nearest wall were each off by what the plan's points are sure of, all
 * the same way: the line moved sideways by both errors together, in steps that no post slips through.
 */
function isCloseCall(ground: Ground, disconnect: Disconnect, handle: Handle, body: TargetBody, targets: readonly SpacePoint[]): boolean {
  const { scale } = ground.scene.sheet;
  if (!scale) return false;
  const known = scale.pickUncertainty;
  const { rough } = ground.scene;
  const ends = scaleBetween(scale, [disconnect, body]).pickUncertainty;
  // What was itself drawn from far away stands in the way from farther off.
  const off = (entity: Id): number => Math.max(known, rough.get(entity) ?? 0);
  const reach = ends + Math.max(known, ...rough.values());
  if (reach === 0) return false;
  // As far as the plan's own points are off it is one step, as it always was; a place pointed at from far away takes more.
  const steps = reach > 2 * known ? Math.min(MOST_STEPS, Math.ceil((reach * scale.feetPerUnit) / STEP)) : 1;
  const ownWall = disconnect.mount?.wall;
  return targets.some((target) => {
    const length = Math.hypot(target.x - handle.x, target.y - handle.y);
    if (length <= 2 * known) return false;
    const x = (-(target.y - handle.y) / length) * reach; const y = ((target.x - handle.x) / length) * reach;
    return sides(steps).some((side) => trace(ground, { ...handle, x: handle.x + side * x, y: handle.y + side * y }, { x: target.x + side * x, y: target.y + side * y, z: target.z })
      .meets.some((m) => m.transmission !== 'mesh' && m.entity !== ownWall && Math.abs(side) * reach <= ends + off(m.entity)));
  });
}
