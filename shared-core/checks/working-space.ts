import { workingSpaceFigures, workingSpaceRow } from '../code-data/index';
import type { SpaceCondition, SpaceRow } from '../code-data/index';
import { scaleBetween } from '../document/index';
import type { Disconnect, Document, Id, Point } from '../document/index';
import { feet, sheetUnits } from '../units/index';
import type { Feet, SheetUnits } from '../units/index';
import { inFeet } from './choose-rules';
import { distanceUncertainty } from './distance';
import { servedLoads } from './finding';
import type { ReadySheet } from './pair-view';
import { clipToBox, extentOf, extentWithin, toLocal, toPlan } from './space-frame';
import type { Extent, Frame, Local } from './space-frame';
import { ROUNDING, disconnectsOn, frameOf, surroundingsOf } from './space-surroundings';
import type { Surrounding } from './space-surroundings';

export interface SpaceConflict {
  readonly entity: Id;
  readonly opening?: Id;
  readonly kind: 'wall' | 'obstruction' | 'equipment' | 'door-swing' | 'other-space';
  /** How far it reaches into the space: along the depth and along the width. */
  readonly overlap: { readonly depth: Feet; readonly width: Feet };
  /** Clear depth up to it, and the depth its kind asks for. */
  readonly clear: Feet;
  readonly required: Feet;
  /** Stands off the floor, over or in the head room. */
  readonly overhead: boolean;
  /** The overlap on the plan, for drawing. */
  readonly outline: readonly Point[];
}

/** The clear space in front of one device, to be drawn and judged. Plan in sheet units. */
export interface WorkingSpace {
  readonly disconnect: Id;
  readonly outline: readonly Point[];
  readonly depth: Feet;
  readonly width: Feet;
  readonly height: Feet;
  readonly condition: SpaceCondition;
  /** What stands opposite and decided the condition. */
  readonly opposite: Id | null;
  /** How far the width is moved off the device's centre, to its right hand. */
  readonly shift: Feet;
  readonly row: SpaceRow | null;
  readonly voltsToGround: number;
  readonly conflicts: readonly SpaceConflict[];
  /** Spaces of other devices it shares floor with; allowed, but said. */
  readonly shared: readonly SpaceConflict[];
  /** Nothing stands in it only because the width was moved. */
  readonly shiftNeeded: boolean;
  /** Least of clear depth over what its kind asks for, within the width; null when nothing is near. Negative: what is lacking. */
  readonly slack: Feet | null;
  /** Width free of everything on the required depth, around the enclosure, up to twice what is needed on each side. */
  readonly clearWidth: Feet;
  /** How far the place of what stands around may be off where it was pointed at from far away, the worst of it; 0: as exact as the plan. */
  readonly within: SheetUnits;
  /** The width is free, but by less than the plan is sure of. */
  readonly tight: boolean;
  /** A wall opposite whose face is not known would make it too shallow if grounded. */
  readonly faceUnknown: readonly Id[];
}

/** Data that a working space needs and the document lacks. */
export interface SpaceGap { readonly missing: readonly string[] }

/** Assumed enclosure when its size is not given: only to see whether it would matter. */
export const ASSUMED_DEPTH = 1;

/** Volts to ground of what a device serves: the largest counts. */
export function voltsToGroundOf(document: Document, disconnect: Disconnect): number | null {
  const { systems } = document.facts;
  let most: number | null = null;
  for (const load of servedLoads(document, disconnect)) {
    const system = load.data.system === undefined ? (systems.length === 1 ? systems[0] : undefined) : systems.find((s) => s.id === load.data.system);
    if (!system) return null;
    most = Math.max(most ?? 0, system.voltsToGround);
  }
  return most;
}

/** What the space in front of a device must measure, in feet, by its loads' volts to ground and its enclosure. */
export interface SpaceNeeds { readonly volts: number; readonly row: SpaceRow | null; readonly width: number; readonly height: number; readonly depthOf: (condition: SpaceCondition) => number }

/** Those measures, or what is missing to know them. */
export function spaceNeedsOf(document: Document, disconnect: Disconnect): SpaceNeeds | SpaceGap {
  const volts = voltsToGroundOf(document, disconnect);
  if (volts === null) return { missing: [`supply system of what ${disconnect.tag} serves (volts to ground)`] };
  const canadian = document.facts.jurisdiction === 'CA';
  const row = canadian ? null : workingSpaceRow(volts);
  if (!canadian && !row) return { missing: [`volts to ground of what ${disconnect.tag} serves: ${volts} is not in the table`] };
  const width = Math.max(inFeet(volts > 1000 ? workingSpaceFigures.widthOver1000 : workingSpaceFigures.width), disconnect.data.size?.width ?? 0);
  return { volts, row, width, height: workingSpaceFigures.height.value, depthOf: (condition) => (row ? row.depth[condition] : inFeet(workingSpaceFigures.canada)) };
}

/**
 * The space a person needs in front of a device, placed where its width is free if it can be (it may be moved sideways as
 * long as it covers the enclosure).
 * @param enclosureDepth how far the front stands off the wall, feet
 * @returns what is missing when scale or voltage is not known
 */
export function findWorkingSpace(document: Document, sheet: ReadySheet, disconnect: Disconnect, enclosureDepth: number): WorkingSpace | SpaceGap {
  const frame = frameOf(document, disconnect, enclosureDepth);
  const needs = spaceNeedsOf(document, disconnect);
  if (!frame) return { missing: [`scale of sheet ${sheet.scene.sheet.name}`, ...('missing' in needs ? needs.missing : [])] };
  if ('missing' in needs) return needs;
  const { volts, row, width, height, depthOf } = needs;
  const box = disconnect.data.size?.width ?? 0;
  // What was drawn roughly may stand so much nearer than it is drawn.
  const reach = Math.max(0, ...sheet.scene.rough.values()) * frame.feetPerUnit;
  const around = surroundingsOf(document, sheet, disconnect, frame, { width: 2 * width + reach, depth: depthOf(3) + ASSUMED_DEPTH + reach }, disconnect.standing, disconnect.standing + height);
  const requiredOf = (s: Surrounding): number => depthOf(s.kind === 'door-swing' ? 2 : s.condition);
  // Only what stands within the depth that its kind asks for takes width: a slanted wall is further along than it is near.
  const intruders = around.flatMap((s) => { const extent = within(s, -2 * width, 2 * width, requiredOf(s)); return extent && extent.v1 < requiredOf(s) ? [{ ...s, extent }] : []; });
  const freedom = Math.max(0, (width - box) / 2);
  const shift = chooseShift(intruders, width, freedom);
  const facing = around.flatMap((s) => { const extent = s.kind === 'door-swing' ? null : within(s, shift - width / 2 + ROUNDING, shift + width / 2 - ROUNDING, Number.POSITIVE_INFINITY); return extent ? [{ ...s, extent }] : []; });
  const opposite = oppositeOf(facing);
  const condition = opposite?.condition ?? 1;
  const depth = depthOf(condition);
  const conflicts = intruders.filter((s) => overlapsWindow(s, shift, width) && within(s, shift - width / 2, shift + width / 2, requiredOf(s))).map((s) => describe(s, frame, shift, width, s.kind === 'door-swing' ? depth : requiredOf(s), disconnect.standing));
  const corners: Local[] = [[shift - width / 2, 0], [shift + width / 2, 0], [shift + width / 2, depth], [shift - width / 2, depth]];
  const faceUnknown = facing.filter((s) => s.faceUnknown && s.extent.v1 >= depthOf(1) && s.extent.v1 < requiredOf(s)).map((s) => s.entity);
  const slack = facing.map((s) => s.extent.v1 - requiredOf(s));
  const rough = Math.max(0, ...around.map((s) => document.entities[s.entity]?.within ?? 0));
  const sure = sheet.scene.sheet.scale && scaleBetween(sheet.scene.sheet.scale, [disconnect, { within: sheetUnits(rough) }]);
  const off = sure ? distanceUncertainty(sure, feet(width)) : 0;
  const clearWidth = clearWidthOf(intruders, width, box);
  const isBeside = (s: Surrounding): boolean => s.kind !== 'door-swing' && within(s, shift - width / 2 - off + ROUNDING, shift + width / 2 + off - ROUNDING, requiredOf(s)) !== null;
  return {
    within: sheetUnits(rough), tight: clearWidth < width + off && around.some(isBeside),
    slack: slack.length === 0 ? null : feet(Math.min(...slack)), clearWidth: feet(clearWidth),
    disconnect: disconnect.id, outline: corners.map((c) => toPlan(frame, c)), depth: feet(depth), width: feet(width), height: feet(height), condition, opposite: opposite?.entity ?? null, shift: feet(shift),
    row, voltsToGround: volts, conflicts, shared: sharedFloor(document, disconnect, frame, corners), shiftNeeded: conflicts.length === 0 && shift !== 0, faceUnknown: [...new Set(faceUnknown)],
  };
}

const overlapsWindow = (s: Surrounding, shift: number, width: number): boolean => s.extent.u2 > shift - width / 2 + ROUNDING && s.extent.u1 < shift + width / 2 - ROUNDING;

/** The smallest move that frees the width, of door swings too if it can; none found: where least stands in it. */
function chooseShift(intruders: readonly Surrounding[], width: number, freedom: number): number {
  const half = width / 2;
  const moves = [0, freedom, -freedom, ...intruders.flatMap((s) => [s.extent.u2 + half, s.extent.u1 - half])].filter((m) => Math.abs(m) <= freedom + ROUNDING);
  const cost = (move: number): readonly number[] => {
    const inside = intruders.filter((s) => overlapsWindow(s, move, width));
    const overlap = inside.reduce((sum, s) => sum + Math.min(s.extent.u2, move + half) - Math.max(s.extent.u1, move - half), 0);
    return [inside.filter((s) => s.kind !== 'door-swing').length === 0 ? 0 : 1, inside.length === 0 ? 0 : 1, inside.length === 0 ? 0 : overlap, Math.abs(move), move];
  };
  return moves.reduce((best, move) => (isLess(cost(move), cost(best)) ? move : best), 0);
}

function isLess(a: readonly number[], b: readonly number[]): boolean {
  for (let i = 0; i < a.length; i += 1) {
    const d = (a[i] ?? 0) - (b[i] ?? 0);
    if (Math.abs(d) > ROUNDING) return d < 0;
  }
  return false;
}

function clearWidthOf(intruders: readonly Surrounding[], width: number, box: number): number {
  let left = -2 * width; let right = 2 * width;
  for (const { extent, kind } of intruders) {
    if (kind === 'door-swing') continue;
    if (extent.u2 <= -box / 2 + ROUNDING) left = Math.max(left, extent.u2);
    else if (extent.u1 >= box / 2 - ROUNDING) right = Math.min(right, extent.u1);
    else return 0;
  }
  return right - left;
}

/** Extent of the part of something that lies in front between two sides and nearer than a depth; null where it only touches the front. */
function within({ polygon }: Surrounding, u1: number, u2: number, depth: number): Extent | null {
  const extent = extentWithin(polygon, u1, 0, u2, depth);
  return extent && extent.v2 > ROUNDING ? extent : null;
}

/** The nearest thing that faces the device across the space, of those in its width. */
function oppositeOf(facing: readonly Surrounding[]): Surrounding | null {
  return [...facing].sort((a, b) => a.extent.v1 - b.extent.v1 || b.condition - a.condition)[0] ?? null;
}

/** How high something must hang to be in the head room rather than on the floor. */
const OVERHEAD = 3;

function describe(s: Surrounding, frame: Frame, shift: number, width: number, required: number, standing: number): SpaceConflict {
  const inside = clipToBox(s.polygon, shift - width / 2, 0, shift + width / 2, required);
  const extent = extentOf(inside) ?? s.extent;
  const clear = Math.max(0, extent.v1);
  return {
    entity: s.entity, ...(s.opening === undefined ? {} : { opening: s.opening }), kind: s.kind, clear: feet(clear), required: feet(required), overhead: s.bottom >= standing + OVERHEAD,
    overlap: { depth: feet(required - clear), width: feet(extent.u2 - extent.u1) }, outline: inside.map((p) => toPlan(frame, p)),
  };
}

/** Other devices' spaces on the same floor, each centred and at its own depth against the same kind of surface. */
function sharedFloor(document: Document, disconnect: Disconnect, frame: Frame, corners: readonly Local[]): SpaceConflict[] {
  const own = extentOf(corners);
  if (!own) return [];
  const half = inFeet(workingSpaceFigures.width) / 2;
  const near = (half + own.v2 + 2 * inFeet(workingSpaceFigures.width)) * 2;
  return disconnectsOn(document, disconnect.sheet).flatMap((other): SpaceConflict[] => {
    if (other.id === disconnect.id || Math.abs(other.standing - disconnect.standing) > workingSpaceFigures.height.value) return [];
    if (Math.hypot(...toLocal(frame, other.at.x, other.at.y)) > near) return [];
    const front = frameOf(document, other, other.data.size?.depth ?? 0);
    const volts = voltsToGroundOf(document, other);
    const depth = volts === null ? undefined : workingSpaceRow(volts)?.depth[2];
    if (!front || depth === undefined) return [];
    const theirs = ([[-half, 0], [half, 0], [half, depth], [-half, depth]] as const).map((c) => { const p = toPlan(front, c); return toLocal(frame, p.x, p.y); });
    const common = clipToBox(theirs, own.u1, own.v1, own.u2, own.v2);
    const extent = extentOf(common);
    if (!extent || extent.u2 - extent.u1 <= ROUNDING || extent.v2 - extent.v1 <= ROUNDING) return [];
    return [{ entity: other.id, kind: 'other-space', overlap: { depth: feet(extent.v2 - extent.v1), width: feet(extent.u2 - extent.u1) }, clear: feet(extent.v1), required: feet(own.v2), overhead: false, outline: common.map((p) => toPlan(frame, p)) }];
  });
}
