import type { Disconnect, Document, Point, Wall } from '../document/index';
import type { Handle } from '../sight/index';
import { feet, sheetUnits } from '../units/index';
import type { SheetScene } from './scene-of';

/** How the handle stands to the wall it hangs on. */
export interface MountedHandle {
  /** Where distances are measured from: the point as drawn. */
  readonly point: Point;
  /** Where sight lines start, with the mounting wall's obstacles. */
  readonly handle: Handle;
  readonly hangs: 'free' | 'facing-side' | 'wrong-side' | 'wall-missing';
}

/** Share of half the wall's thickness by which a sight line starts off the face, so that rounding never starts it inside the wall. */
const OFF_THE_FACE = 1e-6;

const DEGREES = Math.PI / 180;
/** Unit vector a device faces: degrees clockwise from the right, y down. */
export const facingVector = (facing: number): Point => ({ x: sheetUnits(tidy(Math.cos(facing * DEGREES))), y: sheetUnits(tidy(Math.sin(facing * DEGREES))) });
/** Right angles come out exact, as they were meant. */
const tidy = (n: number): number => (Math.abs(n) < Number.EPSILON ? 0 : n);

/**
 * The handle in space. A device that hangs on a wall and faces away from it is put on the wall's facing face, even when it
 * was snapped to the centre line; a device beyond the wall's other face is left where it is, so that the wall hides it.
 */
export function handlePoint(document: Document, scene: SheetScene, disconnect: Disconnect): MountedHandle {
  const z = feet(disconnect.standing + disconnect.handleHeight);
  const free = (hangs: MountedHandle['hangs']): MountedHandle => ({ point: disconnect.at, handle: { x: disconnect.at.x, y: disconnect.at.y, z }, hangs });
  if (!disconnect.mount) return free('free');
  const wall = document.entities[disconnect.mount.wall];
  if (wall?.kind !== 'wall') return free('wall-missing');
  const face = faceOf(wall, disconnect.mount.segment, facingVector(disconnect.facing), disconnect.at);
  if (!face) return free('wall-missing');
  const half = scene.sheet.scale ? wall.thickness / 2 / scene.sheet.scale.feetPerUnit : 0;
  // On a turned plan the line of a bare wall is hit only as nearly as numbers tell: that is on it, not beyond it.
  const rounding = Number.EPSILON * 16 * (Math.abs(disconnect.at.x) + Math.abs(disconnect.at.y));
  const slack = Math.max(scene.sheet.scale?.pickUncertainty ?? 0, half * OFF_THE_FACE, rounding);
  // Drawn clearly on the other side of the wall than it says it faces: the drawing is believed, and the wall hides it.
  if (face.offset < -slack) return free('wrong-side');
  const clear = half * (1 + OFF_THE_FACE) + rounding;
  const start = face.offset > clear ? disconnect.at : shift(face.foot, face.normal, clear);
  const mount = scene.obstaclesOf.get(`${wall.id}/${disconnect.mount.segment}`) ?? [];
  return { point: disconnect.at, handle: { x: start.x, y: start.y, z, mount }, hangs: 'facing-side' };
}

const shift = (p: Point, normal: Point, distance: number): Point => ({ x: sheetUnits(p.x + normal.x * distance), y: sheetUnits(p.y + normal.y * distance) });

/** Foot of the point on the segment's line, the unit normal to the side faced, and how far off the line the point lies to that side. */
export function faceOf(wall: Wall, segment: number, facing: Point, at: Point): { foot: Point; normal: Point; offset: number } | null {
  const a = wall.points[segment]; const b = wall.points[segment + 1];
  if (!a || !b) return null;
  const length = Math.hypot(b.x - a.x, b.y - a.y);
  if (length === 0) return null;
  const along = { x: (b.x - a.x) / length, y: (b.y - a.y) / length };
  const side = facing.x * -along.y + facing.y * along.x >= 0 ? 1 : -1;
  const normal: Point = { x: sheetUnits(-along.y * side), y: sheetUnits(along.x * side) };
  const offset = (at.x - a.x) * normal.x + (at.y - a.y) * normal.y;
  const foot: Point = { x: sheetUnits(at.x - normal.x * offset), y: sheetUnits(at.y - normal.y * offset) };
  return { foot, normal, offset };
}
