import type { Result, Verdict } from '../code-data/index';
import { entitiesOf } from '../document/index';
import type { Disconnect, Document, ExceptionRecord, Load, Point } from '../document/index';
import { walkingDistance, walkingGround } from '../sight/index';
import type { SightIndex, Walk, WalkingGround, WalkQuestion } from '../sight/index';
import { feet, showLength } from '../units/index';
import { limitOf } from './check-view';
import { chooseRules, inFeet } from './choose-rules';
import { KEY_RECORD, isWholeRecord } from './exceptions';
import { cite, finding, servedLoads, step } from './finding';
import { facingVector } from './handle-point';
import type { ReadySheet } from './pair-view';
import { handleLimit, platformUnder } from './reach-height';
import { extentWithin, toPlan } from './space-frame';
import type { Frame, Local } from './space-frame';
import { ROUNDING, frameOf, surroundingsOf } from './space-surroundings';

/** Feet; our own reading, the code gives none: a step one takes in the stride, an arm's reach, half a person, how far round a way is looked for. */
const STRIDE = 0.75; const ARM = 2; const HALF_PERSON = 0.75; const HEAD_ROOM = 6.5;
const LOOK_AROUND = [25, 60] as const;
/** A walk this many times the straight line, and this much longer or past the sight limit, is worth a word. */
const LONG_WAY = 1.5; const DETOUR = 25;

interface Access { readonly verdict: Verdict; readonly words: string; readonly remedies: readonly string[]; readonly missing: readonly string[]; readonly walk: number | null }
const LOCKED_AWAY = 'only through a locked door';
/** Whether what stands between is a locked door alone: then a record of who holds the key (KEY_RECORD) mends it. */
export const isLockedAway = (result: Result): boolean => result.check === 'reach.access' && result.verdict === 'fail' && result.title.endsWith(LOCKED_AWAY);

const access = (verdict: Verdict, words: string, remedies: readonly string[] = [], missing: readonly string[] = [], walk: number | null = null): Access => ({ verdict, words, remedies, missing, walk });

/**
 * Whether people who work at the load reach the handle without climbing, reaching over something, or a locked room. No
 * distance belongs to it; a long way round is worth a judgement. A motor circuit needs one such disconnect.
 */
export function checkReadyAccess(document: Document, sheet: ReadySheet, disconnect: Disconnect): Result[] {
  const { facts } = document;
  return servedLoads(document, disconnect).flatMap((load) => {
    const rules = chooseRules(load.data, facts.edition);
    if (!rules.some((rule) => rule.demands.includes('readily-accessible'))) return [];
    if (!load.at || load.sheet !== disconnect.sheet) {
      // Some rules want nothing in sight: without a word here a place that nobody can walk to would pass.
      return [finding(disconnect, { check: 'reach.access', load, verdict: 'incomplete', title: `${disconnect.tag}, ready access from ${load.tag}: not checked`, missing: [load.at ? `${load.tag} and ${disconnect.tag} on one sheet` : `place of ${load.tag} on the plan`], citations: [cite(facts, 'GEN-READY')] })];
    }
    let found = accessOf(document, sheet, disconnect, load);
    const oneIsEnough = rules.some((rule) => rule.id === 'MOT-READY');
    const other = found.verdict === 'pass' || !oneIsEnough ? undefined : readyOther(document, sheet, disconnect, load);
    if (other) found = access('pass', `the circuit has another that is: ${other.tag}`);
    return [finding(disconnect, { check: 'reach.access', load, verdict: found.verdict, title: `${disconnect.tag}, ready access from ${load.tag}: ${found.words}`, remedies: found.remedies, missing: found.missing,
      citations: [cite(facts, 'GEN-READY'), ...(oneIsEnough ? [cite(facts, 'MOT-READY')] : [])],
      steps: found.walk === null ? [] : [step('walking distance', 'round what stands on the floor; no limit belongs to it', found.walk, 'ft', [], 'own-reading')] })];
  });
}

/** Another disconnect of the load that is readily accessible, on the same sheet. */
export const readyOther = (document: Document, sheet: ReadySheet, disconnect: Disconnect, load: Load): Disconnect | undefined =>
  entitiesOf(document, 'disconnect', disconnect.sheet).find((d) => d.id !== disconnect.id && d.serves.includes(load.id) && load.sheet === disconnect.sheet && accessOf(document, sheet, d, load).verdict === 'pass');

function accessOf(document: Document, sheet: ReadySheet, disconnect: Disconnect, load: Load): Access {
  const { units } = document.facts;
  const scale = sheet.scene.sheet.scale;
  const frame = frameOf(document, disconnect, disconnect.data.size?.depth ?? 0);
  if (!sheet.index || !scale || !frame || !load.at) return access('incomplete', 'not checked', [], [`scale of sheet ${sheet.scene.sheet.name}`]);
  if (isHandleTooHigh(document, disconnect)) return access('fail', 'its handle is out of reach without a portable ladder', [`Lower the handle of ${disconnect.tag}, give it a fixed platform, or give the circuit another disconnect within reach.`]);
  const rise = Math.abs(load.standing - disconnect.standing);
  if (rise > STRIDE) return changeOfLevel(document, disconnect, load, showLength(feet(rise), units));
  const spot = standingSpot(document, sheet, disconnect, frame);
  if (!spot) return access('fail', 'no room to stand at the handle; reaching over something is climbing', [`Clear the floor in front of ${disconnect.tag}, or move it.`]);
  const walk = findWalk(sheet, sheet.index, spot, load, {});
  if (walk.ok) return judgeWalk(document, disconnect, load, walk.distance, scale.feetPerUnit);
  if (sheet.scene.doors.some((door) => door.loose) && findWalk(sheet, sheet.index, spot, load, { loose: true }).ok) {
    return access('incomplete', 'only through an opening that reaches past its wall or into another', ['Move the opening, make it narrower, or delete it.'], ['place and width of the opening']);
  }
  const unlocked = findWalk(sheet, sheet.index, spot, load, { locked: true, loose: true });
  if (!unlocked.ok) return access('fail', 'no way on foot is drawn', [`Draw the door or the gap that leads from ${load.tag} to ${disconnect.tag}, or move ${disconnect.tag}.`]);
  const key = keyRecord(document, disconnect, load);
  if (key) return access('pass', `behind a locked door; ${key.person} records who holds the key`, [], [], unlocked.distance);
  return access('fail', LOCKED_AWAY, ['Record who holds the key, if the people who need the switch do; else move it.'], [], unlocked.distance);
}

function changeOfLevel(document: Document, disconnect: Disconnect, load: Load, rise: string): Access {
  const places = [{ sheet: disconnect.sheet, at: disconnect.at, standing: disconnect.standing }, ...(load.at ? [{ sheet: load.sheet, at: load.at, standing: load.standing }] : [])];
  const withoutStairs = places.filter((p) => Math.abs(p.standing) > STRIDE && !platformUnder(document, p)?.stairs);
  if (withoutStairs.length === 0) return access('pass', `${rise} of level, by the fixed stairs marked on the platform`);
  return access('fail', `${rise} of level without stairs: a ladder or hatch is climbing`, [`Place ${disconnect.tag} on the level of ${load.tag}, or mark the fixed stairs of the platform.`]);
}

function judgeWalk(document: Document, disconnect: Disconnect, load: Load, walk: number, feetPerUnit: number): Access {
  const straight = load.at ? Math.hypot(load.at.x - disconnect.at.x, load.at.y - disconnect.at.y) * feetPerUnit : 0;
  const rule = chooseRules(load.data, document.facts.edition).find((r) => r.limit !== null);
  const near = rule ? inFeet(limitOf(rule, document.facts.jurisdiction).atMost) : Number.POSITIVE_INFINITY;
  const shown = showLength(feet(walk), document.facts.units);
  if (straight <= near && walk > LONG_WAY * straight && (walk > near || walk - straight > DETOUR)) return access('judgement', `${shown} to walk for ${showLength(feet(straight), document.facts.units)} straight`, ['Open a nearer way, or ask the authority having jurisdiction whether this is quick enough.'], [], walk);
  return access('pass', `${shown} on foot`, [], [], walk);
}

const keyRecord = (document: Document, disconnect: Disconnect, load: Load): ExceptionRecord | undefined =>
  entitiesOf(document, 'exception').find((r) => r.condition === KEY_RECORD && r.disconnect === disconnect.id && r.load === load.id && isWholeRecord(r));

/** A place within arm's reach of the handle where a person fits, with nothing to reach over; the nearest straight ahead first. */
function standingSpot(document: Document, sheet: ReadySheet, disconnect: Disconnect, frame: Frame): Point | null {
  const around = surroundingsOf(document, sheet, disconnect, frame, { width: 2 * ARM, depth: 2 * ARM }, disconnect.standing + STRIDE, disconnect.standing + HEAD_ROOM).filter((s) => s.kind !== 'door-swing');
  const half = HALF_PERSON - ROUNDING;
  const fits = (u: number, v: number): boolean => v >= HALF_PERSON && !around.some(({ polygon }) => extentWithin(polygon, u - half, v - half, u + half, v + half));
  for (const turn of [0, 20, -20, 40, -40, 60, -60]) {
    for (const out of [ARM / 2, (3 * ARM) / 4, ARM]) {
      const angle = (turn * Math.PI) / 180;
      const arm: Local = [out * Math.sin(angle), out * Math.cos(angle)];
      if (fits(...arm) && !around.some(({ polygon }) => crossesArm(polygon, arm))) return toPlan(frame, arm);
    }
  }
  return null;
}

/** Whether an outline crosses the arm from the handle (the frame's origin) to a spot; what only touches the handle itself is not crossed. */
function crossesArm(polygon: readonly Local[], [u, v]: Local): boolean {
  return polygon.some(([a, b], i) => {
    const [c, d] = polygon[(i + 1) % polygon.length] ?? [a, b];
    const ex = c - a; const ey = d - b; const turn = u * ey - v * ex; const off = a * v - b * u;
    // Along the arm and past it on either side in one line: its ends tell.
    if (turn === 0) return off === 0 && [[a, b], [c, d]].some(([x = 0, y = 0]) => { const share = (x * u + y * v) / (u * u + v * v); return share > ROUNDING && share <= 1; });
    const share = (a * ey - b * ex) / turn; const along = off / turn;
    return share > ROUNDING && share <= 1 && along >= 0 && along <= 1;
  });
}

/** The walk from the spot at the handle to the load. */
function findWalk(sheet: ReadySheet, index: SightIndex, spot: Point, load: Load, through: Through): Walk {
  let walk: Walk = { ok: false, reason: '' };
  for (const around of LOOK_AROUND) {
    if (!load.at) return walk;
    walk = walkingDistance(index, spot, load.at, walkQuestion(sheet, load, through, around));
    if (walk.ok) return walk;
  }
  return walk;
}

interface Through { readonly locked?: boolean; readonly loose?: boolean }

/** Through doors that open (locked and loosely drawn ones where that is asked); the load's own body and machine do not stand in the way. */
function walkQuestion(sheet: ReadySheet, load: Load, through: Through, around: number): WalkQuestion {
  const { obstaclesOf, doors } = sheet.scene;
  const passable = new Set([...(obstaclesOf.get(load.id) ?? []), ...(load.machine === undefined ? [] : obstaclesOf.get(load.machine) ?? [])]);
  const shut = new Set<string>();
  for (const door of doors) if ((through.locked || !door.locked) && (through.loose || !door.loose)) passable.add(door.obstacle); else shut.add(door.obstacle);
  return { floor: load.standing, step: feet(STRIDE), headroom: feet(HEAD_ROOM), halfWidth: feet(HALF_PERSON), passable, shut, around: feet(around) };
}

/** From where the handle of a device can be worked by those who work at what it serves, whatever its place: 'nowhere' also where that depends on more than its place on the floor. */
export type ReadyGround = 'nowhere' | readonly { readonly walking: WalkingGround; /** Something that closes the floor may hang lower than the room in front is high. */ readonly isLow: boolean }[];

/** The highest a handle may be, past which it needs equipment beside it that is out of reach itself. */
export const isHandleTooHigh = (document: Document, disconnect: Disconnect): boolean => disconnect.handleHeight > handleLimit(document).value;

/** The ground on foot for each load that asks for ready access; checkReadyAccess gives every place on it a way. */
export function readyGround(document: Document, sheet: ReadySheet, disconnect: Disconnect): ReadyGround {
  const { index } = sheet;
  if (!index || isHandleTooHigh(document, disconnect)) return 'nowhere';
  const grounds: Exclude<ReadyGround, string>[number][] = [];
  for (const load of servedLoads(document, disconnect)) {
    const rules = chooseRules(load.data, document.facts.edition);
    if (!rules.some((rule) => rule.demands.includes('readily-accessible'))) continue;
    if (!load.at || load.sheet !== disconnect.sheet) return 'nowhere';
    if (rules.some((rule) => rule.id === 'MOT-READY') && readyOther(document, sheet, disconnect, load)) continue;
    if (Math.abs(load.standing - disconnect.standing) > STRIDE) {
      // By stairs, or not: of a device on a platform that is another question at every place.
      if (Math.abs(disconnect.standing) > STRIDE || changeOfLevel(document, disconnect, load, '').verdict !== 'pass') return 'nowhere';
      continue;
    }
    const locked = keyRecord(document, disconnect, load) !== undefined;
    grounds.push({ walking: walkingGround(index, load.at, walkQuestion(sheet, load, { locked }, LOOK_AROUND[1])), isLow: load.standing > disconnect.standing });
  }
  return grounds;
}

/** Half the cell's diagonal past where a person who stands straight ahead of the handle surely finds an open cell, feet. */
const NEAREST_CELL = 0.65;

/**
 * Where a device that stands free, turned as it is, has no way on foot to it: plan outlines, all turning the same way. Of places
 * with room in front alone, so that a person fits straight ahead of the handle.
 */
export function cutOffOnFoot(grounds: Exclude<ReadyGround, string>, disconnect: Disconnect, feetPerUnit: number, box: { readonly left: number; readonly top: number; readonly right: number; readonly bottom: number }): Point[][] | 'everywhere' {
  const facing = facingVector(disconnect.facing); const ahead = ARM / 2 / feetPerUnit; const near = NEAREST_CELL / feetPerUnit;
  const dx = facing.x * ahead; const dy = facing.y * ahead;
  const spots = { minX: box.left + dx - near, minY: box.top + dy - near, maxX: box.right + dx + near, maxY: box.bottom + dy + near };
  const outlines: Point[][] = [];
  for (const { walking, isLow } of grounds) {
    const runs = walking.cutOff(spots, isLow ? 'all' : 'open');
    if (!runs) return 'everywhere';
    for (const { minX, minY, maxX, maxY } of runs) {
      const left = minX - near - dx; const right = maxX + near - dx; const up = minY - near - dy; const down = maxY + near - dy;
      outlines.push([[left, up], [right, up], [right, down], [left, down]].map(([x, y]) => ({ x, y }) as Point));
    }
  }
  return outlines;
}

/** Whether a device where it hangs has a place to stand at its handle with a way on foot, surely: the cell that place lies in is open and reached. */
export function isOnFoot(document: Document, sheet: ReadySheet, disconnect: Disconnect, grounds: Exclude<ReadyGround, string>): boolean {
  if (grounds.length === 0) return true;
  const frame = frameOf(document, disconnect, disconnect.data.size?.depth ?? 0);
  const spot = frame && standingSpot(document, sheet, disconnect, frame);
  return spot !== null && grounds.every(({ walking }) => walking.reaches(spot.x, spot.y));
}
