import type { DoorArc, OfferOptions, WallCandidate } from './candidate';
import { withDoors } from './doors';
import { withDoubts } from './doubts';
import { isOpenAtEnd, isParted } from './wall-body';
import type { InkNear } from './wall-body';

/** sure: in a thickness common in the building, drawn solid, or on a layer named for walls; named: the last; usual: both faces in the pen of the walls. */
interface Found { readonly wall: WallCandidate; readonly isSure: boolean; readonly isNamed?: boolean; readonly isUsual?: boolean }
interface Axis { readonly wall: WallCandidate; readonly ux: number; readonly uy: number; readonly length: number }

/** Directions this near are one. */
const PARALLEL = Math.sin((3 * Math.PI) / 180);
/** Walls at less than this angle do not make a corner. */
const CORNER = Math.sin((20 * Math.PI) / 180);
/** Walls go on beyond a door: pieces in one line this many thicknesses apart belong together. */
const DOORWAY = 10;
/** A group of connected walls shorter than this share of the longest group, and than so many thicknesses, is furniture. */
const SHARE_OF_NETWORK = 0.05;
const SHORT_NETWORK = 6;
/** On a crowded sheet a wall is at least this much longer than it is thick. */
const STUB = 3;
/** There a wall shorter than so many thicknesses goes on from a longer one, if only beyond a door, or leads from wall to wall: dead ends are benches and tubs. */
const SHORT = 5;
/** A sheet is bare when uncertain pairs come to no more than this share of the certain ones. */
const CLEAN = 0.15;
/** A wall so many thicknesses long is one even if it ends openly. */
const LONG = 12;

const axisOf = (wall: WallCandidate): Axis => {
  const length = Math.hypot(wall.x2 - wall.x1, wall.y2 - wall.y1) || 1;
  return { wall, length, ux: (wall.x2 - wall.x1) / length, uy: (wall.y2 - wall.y1) / length };
};
const along = ({ wall, ux, uy }: Axis, x: number, y: number): number => (x - wall.x1) * ux + (y - wall.y1) * uy;
const across = ({ wall, ux, uy }: Axis, x: number, y: number): number => (y - wall.y1) * ux - (x - wall.x1) * uy;
const isParallel = (a: Axis, b: Axis): boolean => Math.abs(a.ux * b.uy - a.uy * b.ux) <= PARALLEL;

/** The gap between two pieces of one line: 0 where they touch or overlap, null where they are no pieces of one line. */
function gapInLine(a: Axis, b: Axis): number | null {
  if (!isParallel(a, b)) return null;
  const near = (a.wall.thickness + b.wall.thickness) / 4;
  if (Math.abs(across(a, b.wall.x1, b.wall.y1)) > near || Math.abs(across(a, b.wall.x2, b.wall.y2)) > near) return null;
  const [p, q] = [along(a, b.wall.x1, b.wall.y1), along(a, b.wall.x2, b.wall.y2)];
  return Math.max(0, Math.min(p, q) - a.length, -Math.max(p, q));
}

/** Whether an end of one wall reaches the other's body, or nearly. */
function isMeeting(a: Axis, b: Axis, slack: number): boolean {
  const reach = (a.wall.thickness + b.wall.thickness) / 2 + 2 * slack;
  const touches = (one: Axis, { wall }: Axis): boolean => [[wall.x1, wall.y1], [wall.x2, wall.y2]].some(([x, y]) => {
    const t = along(one, x!, y!);
    return t >= -reach && t <= one.length + reach && Math.abs(across(one, x!, y!)) <= reach;
  });
  return touches(a, b) || touches(b, a);
}

/** Neighbours of each wall by cells of the sheet, so that a large plan is not compared each with each. */
function neighbours(axes: readonly Axis[], reach: number): number[][] {
  const size = Math.max(reach * 2, 1e-9);
  const cells = new Map<string, number[]>();
  const cellsOf = ({ wall, length }: Axis): Set<string> => {
    const keys = new Set<string>();
    const steps = Math.ceil(length / size);
    for (let i = 0; i <= steps; i++) {
      const [x, y] = [wall.x1 + ((wall.x2 - wall.x1) * i) / Math.max(1, steps), wall.y1 + ((wall.y2 - wall.y1) * i) / Math.max(1, steps)];
      for (const dx of [-1, 0, 1]) for (const dy of [-1, 0, 1]) keys.add(`${Math.floor(x / size) + dx} ${Math.floor(y / size) + dy}`);
    }
    return keys;
  };
  axes.forEach((axis, i) => { for (const key of cellsOf(axis)) { const list = cells.get(key); if (list) list.push(i); else cells.set(key, [i]); } });
  return axes.map((axis, i) => {
    const found = new Set<number>();
    for (const key of cellsOf(axis)) for (const j of cells.get(key) ?? []) if (j !== i) found.add(j);
    return [...found];
  });
}

/** Pieces of one wall that only a crossing wall or a torn line parted become one again. */
function mended(found: readonly Found[], slack: number): Found[] {
  const done: Found[] = [];
  for (const one of [...found].sort((a, b) => axisOf(b.wall).length - axisOf(a.wall).length)) {
    const axis = axisOf(one.wall);
    const at = done.findIndex((other) => {
      const alike = Math.min(other.wall.thickness, one.wall.thickness) >= 0.75 * Math.max(other.wall.thickness, one.wall.thickness) - slack;
      const gap = alike && other.wall.layer === one.wall.layer && other.wall.doubt === one.wall.doubt ? gapInLine(axisOf(other.wall), axis) : null;
      return gap !== null && gap <= 1.2 * one.wall.thickness + slack;
    });
    const other = done[at];
    if (!other) { done.push(one); continue; }
    const base = axisOf(other.wall);
    const ends = [along(base, one.wall.x1, one.wall.y1), along(base, one.wall.x2, one.wall.y2)];
    const [from, to] = [Math.min(0, ...ends), Math.max(base.length, ...ends)];
    const place = (t: number): { x: number; y: number } => ({ x: other.wall.x1 + base.ux * t, y: other.wall.y1 + base.uy * t });
    const [a, b] = [place(from), place(to)];
    done[at] = { wall: { ...other.wall, x1: a.x, y1: a.y, x2: b.x, y2: b.y }, isSure: other.isSure || one.isSure, isNamed: (other.isNamed ?? false) || (one.isNamed ?? false), isUsual: (other.isUsual ?? false) || (one.isUsual ?? false) };
  }
  return done;
}

/** Directions this near are seen twice in a scan: a long wall in one comes back in pieces in the other. */
const SAME_DIRECTION = Math.sin((9 * Math.PI) / 180);

/** Without pieces that lie in the body of a longer wall; what is sure and walls in their usual pen go before all others. */
function distinct(found: readonly Found[]): Found[] {
  const isFirst = ({ isSure, wall }: Found): number => (isSure && wall.doubt === undefined ? 1 : 0);
  const sorted = [...found].sort((a, b) => isFirst(b) - isFirst(a) || Number(b.isUsual ?? false) - Number(a.isUsual ?? false) || axisOf(b.wall).length - axisOf(a.wall).length);
  const axes = sorted.map(({ wall }) => axisOf(wall));
  const near = neighbours(axes, Math.max(0, ...found.map(({ wall }) => wall.thickness)));
  const gone = new Set<number>();
  return sorted.filter((one, i) => {
    const { wall } = one;
    const isIn = near[i]!.some((j) => {
      const [longer, axis] = [axes[j]!, axes[i]!];
      if (j > i || gone.has(j) || Math.abs(longer.ux * axis.uy - longer.uy * axis.ux) > SAME_DIRECTION) return false;
      return [0.2, 0.5, 0.8].every((t) => {
        const [x, y] = [wall.x1 + (wall.x2 - wall.x1) * t, wall.y1 + (wall.y2 - wall.y1) * t];
        const at = along(longer, x, y);
        return at >= 0 && at <= longer.length && Math.abs(across(longer, x, y)) <= longer.wall.thickness * 0.6;
      });
    });
    if (isIn) gone.add(i);
    return !isIn;
  });
}

const boxOf = (found: readonly Found[]): { readonly left: number; readonly right: number; readonly top: number; readonly bottom: number } => {
  const [xs, ys] = [found.flatMap(({ wall }) => [wall.x1, wall.x2]), found.flatMap(({ wall }) => [wall.y1, wall.y2])];
  return { left: Math.min(...xs), right: Math.max(...xs), top: Math.min(...ys), bottom: Math.max(...ys) };
};

/** A group shorter than this share of the longest one that stands farther outside it than a doorway is a scale bar, a title block or a shed: in doubt. */
const SHARE_APART = 0.2;
/** That holds where this share of all walls hangs together: a sheet of free-standing walls has no outside. */
const ONE_BUILDING = 0.6;

/** The walls that hang together with the building; a doorway does not part them. What stands apart from it is in doubt. */
function connected(found: readonly Found[], isClean: boolean, slack: number): Found[] {
  const axes = found.map(({ wall }) => axisOf(wall));
  const thickest = Math.max(0, ...found.map(({ wall }) => wall.thickness));
  const near = neighbours(axes, DOORWAY * thickest);
  const isTied = (i: number, j: number): boolean => {
    const gap = gapInLine(axes[i]!, axes[j]!);
    return (gap !== null && gap <= DOORWAY * Math.min(found[i]!.wall.thickness, found[j]!.wall.thickness)) || isMeeting(axes[i]!, axes[j]!, slack);
  };
  const isLong = found.map(({ isSure, wall }, i) => isSure && axes[i]!.length >= SHORT * wall.thickness);
  const isPlaced = (i: number): boolean => {
    const beside = near[i]!.filter((j) => isLong[j]);
    const { wall, ux, uy } = axes[i]!;
    const isHeld = (x: number, y: number): boolean => beside.some((j) => isMeeting({ wall: { ...wall, x1: x, y1: y, x2: x, y2: y }, ux, uy, length: 0 }, axes[j]!, slack));
    return beside.some((j) => { const gap = gapInLine(axes[j]!, axes[i]!); return gap !== null && gap <= DOORWAY * wall.thickness; }) || (isHeld(wall.x1, wall.y1) && isHeld(wall.x2, wall.y2));
  };
  const kept = found.map(({ isSure, wall, isNamed }, i) => isClean || isLong[i]! || (isSure && axes[i]!.length >= STUB * wall.thickness && (isNamed === true || isPlaced(i))));
  const group = found.map((_, i) => i);
  const root = (i: number): number => { let r = i; while (group[r] !== r) r = group[r]!; group[i] = r; return r; };
  found.forEach((_, i) => { if (kept[i]) for (const j of near[i]!) if (kept[j] && isTied(i, j)) group[root(i)] = root(j); });
  const lengths = new Map<number, number>();
  found.forEach((_, i) => { if (kept[i]) lengths.set(root(i), (lengths.get(root(i)) ?? 0) + axes[i]!.length); });
  const longest = Math.max(0, ...lengths.values());
  const building = boxOf(found.filter((_, i) => kept[i] && lengths.get(root(i)) === longest));
  const isOne = longest >= ONE_BUILDING * [...lengths.values()].reduce((sum, length) => sum + length, 0);
  return found.flatMap((one, i) => {
    const length = lengths.get(root(i)) ?? 0;
    if (!kept[i] || (length < SHARE_OF_NETWORK * longest && length < SHORT_NETWORK * one.wall.thickness)) return [];
    if (!isOne || length >= SHARE_APART * longest || one.wall.doubt !== undefined || one.isNamed === true) return [one];
    const group = boxOf(found.filter((_, j) => kept[j] && root(j) === root(i)));
    const away = Math.max(group.left - building.right, building.left - group.right, group.top - building.bottom, building.top - group.bottom);
    const isOutside = away > DOORWAY * one.wall.thickness;
    return [isOutside ? { ...one, wall: { ...one.wall, doubt: 'apart' } } : one];
  });
}

/**
 * Ends drawn on to the middle line of the wall they meet: two faces meet at the inner corner, half a thickness short of
 * it, and a gap there would be a view through the corner.
 */
function closed(walls: readonly WallCandidate[], slack: number): WallCandidate[] {
  const axes = walls.map(axisOf);
  const near = neighbours(axes, 2 * Math.max(0, ...walls.map((wall) => wall.thickness)));
  return walls.map((wall, i): WallCandidate => {
    const axis = axes[i]!;
    const grown = (sign: 1 | -1): number => {
      const [x, y] = sign === 1 ? [wall.x2, wall.y2] : [wall.x1, wall.y1];
      let best = 0;
      for (const j of near[i]!) {
        const other = axes[j]!;
        const turn = (axis.ux * other.uy - axis.uy * other.ux) * sign;
        if (Math.abs(turn) < CORNER) continue;
        const reach = (wall.thickness + other.wall.thickness) / 2 + 2 * slack;
        // How far the end is from the other's middle line along its own way, and where it meets it.
        const step = -across(other, x, y) / (other.ux * axis.uy * sign - other.uy * axis.ux * sign);
        const meets = along(other, x + axis.ux * sign * step, y + axis.uy * sign * step);
        if (step > best && step <= reach / Math.abs(turn) && meets >= -reach && meets <= other.length + reach) best = step;
      }
      return best;
    };
    const [before, after] = [grown(-1), grown(1)];
    if (before === 0 && after === 0) return wall;
    const openings = wall.openings?.map((o) => ({ ...o, from: o.from + before, to: o.to + before }));
    return { ...wall, x1: wall.x1 - axis.ux * before, y1: wall.y1 - axis.uy * before, x2: wall.x2 + axis.ux * after, y2: wall.y2 + axis.uy * after, ...(openings ? { openings } : {}) };
  });
}

/** Walls of a sheet are drawn in layers, a line for each, when this share of what could be walls has lines along its inside. */
const LAYERED = 0.4;

const lengthOf = (found: readonly Found[], counts: (one: Found) => boolean): number => found.reduce((sum, one) => sum + (counts(one) ? axisOf(one.wall).length : 0), 0);

/** Without pairs that a further line parts, as a partition between a chair and a room does. A window goes on as a piece of its wall. */
function whole(found: readonly Found[], ink: InkNear): readonly Found[] {
  const parted = new Set(found.filter(({ wall, isNamed }) => isNamed !== true && isParted(ink, wall)));
  const isLayered = lengthOf(found, (one) => one.isSure && parted.has(one)) > LAYERED * lengthOf(found, ({ isSure }) => isSure);
  return isLayered ? found : found.filter((one) => !parted.has(one));
}

/** Walls of a sheet end closed when no more than this share of the ends of its long walls is open, and there are so many of these at least. */
const MOST_OPEN = 0.1;
const LEAST_LONG = 4;

/** Without gaps between things: where walls end closed, what runs out into a room is none. */
function closedOnly(found: readonly Found[], ink: InkNear): readonly Found[] {
  const ends = found.map(({ wall }) => Number(isOpenAtEnd(ink, wall)) + Number(isOpenAtEnd(ink, { ...wall, x1: wall.x2, y1: wall.y2, x2: wall.x1, y2: wall.y1 })));
  const isLong = found.map(({ isSure, wall }) => isSure && axisOf(wall).length >= LONG * wall.thickness);
  const count = isLong.filter(Boolean).length;
  const open = ends.reduce((sum, n, i) => sum + (isLong[i] ? n : 0), 0);
  return count < LEAST_LONG || open > MOST_OPEN * 2 * count ? found : found.filter(({ isNamed }, i) => ends[i] === 0 || isLong[i] || isNamed === true);
}

/** From what could be walls to what is likely one: mended, without what stands alone, with their doors, corners closed, doubts said. */
export function likelyWalls(found: readonly Found[], options: OfferOptions, arcsOf: (walls: readonly WallCandidate[]) => readonly DoorArc[], ink: InkNear): WallCandidate[] {
  const { slack } = options;
  const pieces = distinct(mended(found, slack));
  // On a sheet that shows little else, what only may be a wall is one.
  const isClean = lengthOf(pieces, ({ isSure }) => !isSure) <= CLEAN * lengthOf(pieces, ({ isSure }) => isSure);
  const walls = connected(closedOnly(whole(pieces, ink), ink), isClean, slack).map(({ wall }) => wall);
  return withDoubts(closed(withDoors(walls, arcsOf(walls), slack), slack), ink, options);
}
