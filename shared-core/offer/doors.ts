import type { DoorArc, OfferedDoor, WallCandidate } from './candidate';

/** A leaf closes within this angle of its wall. */
const CLOSED_WITHIN = Math.sin((10 * Math.PI) / 180);
/** A leaf is at least so many wall thicknesses wide. */
const LEAST_WIDTH = 2;

interface Leaf { readonly from: number; readonly to: number; readonly hinge: 'from' | 'to'; readonly side: 'left' | 'right' }
interface Frame { readonly wall: WallCandidate; readonly length: number; readonly along: (x: number, y: number) => number; readonly across: (x: number, y: number) => number; readonly ux: number; readonly uy: number }

function frameOf(wall: WallCandidate): Frame {
  const length = Math.hypot(wall.x2 - wall.x1, wall.y2 - wall.y1) || 1;
  const [ux, uy] = [(wall.x2 - wall.x1) / length, (wall.y2 - wall.y1) / length];
  return { wall, length, ux, uy, along: (x, y) => (x - wall.x1) * ux + (y - wall.y1) * uy, across: (x, y) => (y - wall.y1) * ux - (x - wall.x1) * uy };
}

/** The arc as a leaf hung in the wall's line: hinge and latch on it, the open end off it. */
function leafIn(arc: DoorArc, { wall, along, across, ux, uy }: Frame): Leaf | null {
  if (arc.radius < LEAST_WIDTH * wall.thickness) return null;
  const near = 0.75 * wall.thickness + 0.05 * arc.radius;
  if (Math.abs(across(arc.x, arc.y)) > near) return null;
  for (const [latch, open] of [arc.ends, [arc.ends[1], arc.ends[0]]] as const) {
    const turn = ((latch[0] - arc.x) * uy - (latch[1] - arc.y) * ux) / arc.radius;
    if (Math.abs(turn) > CLOSED_WITHIN || Math.abs(across(latch[0], latch[1])) > near) continue;
    const [hinge, other] = [along(arc.x, arc.y), along(latch[0], latch[1])];
    // Left of the way from - to on a plan whose y runs down.
    const side = across(open[0], open[1]) < across(arc.x, arc.y) ? 'left' : 'right';
    return hinge < other ? { from: hinge, to: other, hinge: 'from', side } : { from: other, to: hinge, hinge: 'to', side };
  }
  return null;
}

const mirrored = (wall: WallCandidate): WallCandidate => {
  const { length } = frameOf(wall);
  const openings = wall.openings?.map((o): OfferedDoor => ({ from: length - o.to, to: length - o.from, ...(o.swing ? { swing: { hinge: o.swing.hinge === 'from' ? 'to' : 'from', side: o.swing.side === 'left' ? 'right' : 'left' } } : {}) })).reverse();
  return { ...wall, x1: wall.x2, y1: wall.y2, x2: wall.x1, y2: wall.y1, ...(openings ? { openings } : {}) };
};

const doorOf = (from: number, to: number, leaves: readonly Leaf[]): OfferedDoor => {
  const only = leaves.length === 1 ? leaves[0] : undefined;
  return { from, to, ...(only ? { swing: { hinge: only.hinge, side: only.side } } : {}) };
};

/** How far leaves reach on from an end of the wall, one leaf or two; null for none. */
function reachFrom(end: number, leaves: readonly Leaf[], slack: number): { readonly to: number; readonly leaves: readonly Leaf[] } | null {
  const taken: Leaf[] = [];
  let to = end;
  for (;;) {
    const next = leaves.find((leaf) => !taken.includes(leaf) && Math.abs(leaf.from - to) <= slack);
    if (!next || taken.length === 2) break;
    taken.push(next);
    ({ to } = next);
  }
  return taken.length > 0 ? { to, leaves: taken } : null;
}

/**
 * Walls with the doors that quarter circles show in them: a leaf whose hinge and latch lie in a wall, in the gap between
 * two pieces of one, or between a wall's end and the wall it would meet. The pieces become one wall with a door in it.
 * A door is offered closed: it never opens a view by itself.
 * @param slack  how far off jambs may be drawn, sheet units
 */
export function withDoors(walls: readonly WallCandidate[], arcs: readonly DoorArc[], slack: number): WallCandidate[] {
  let done: WallCandidate[] = [...walls];
  if (arcs.length === 0) return done;
  for (let at = 0; at < done.length; at++) {
    for (let turns = 0; turns < 2; turns++) {
      // Each way round once; a wall that grew is looked at again from its new end.
      for (let isGrown = true; isGrown;) { const next = grown(done, at, arcs, slack); isGrown = next !== null; if (next) done = next.walls; if (next) at = next.at; }
      done[at] = mirrored(done[at]!);
    }
    done[at] = inside(done[at]!, arcs);
  }
  return done;
}

/** Doors drawn over a wall that goes on beneath them. */
function inside(wall: WallCandidate, arcs: readonly DoorArc[]): WallCandidate {
  const frame = frameOf(wall);
  const doors = [...(wall.openings ?? [])];
  for (const arc of arcs) {
    const leaf = leafIn(arc, frame);
    if (!leaf || leaf.from < 0 || leaf.to > frame.length || doors.some((door) => leaf.from < door.to && leaf.to > door.from)) continue;
    doors.push(doorOf(leaf.from, leaf.to, [leaf]));
  }
  return doors.length === (wall.openings?.length ?? 0) ? wall : { ...wall, openings: doors.sort((a, b) => a.from - b.from) };
}

/** The wall grown over the door at its far end, together with the piece beyond; null when there is no door. */
function grown(walls: readonly WallCandidate[], at: number, arcs: readonly DoorArc[], slack: number): { readonly walls: WallCandidate[]; readonly at: number } | null {
  const wall = walls[at]!;
  const frame = frameOf(wall);
  const near = wall.thickness + 2 * slack;
  const leaves = arcs.map((arc) => leafIn(arc, frame)).filter((leaf): leaf is Leaf => leaf !== null && leaf.to > frame.length + near);
  const reach = reachFrom(frame.length, leaves, near);
  if (!reach) return null;
  for (let j = 0; j < walls.length; j++) {
    if (j === at) continue;
    const other = walls[j]!;
    const ends = [frame.along(other.x1, other.y1), frame.along(other.x2, other.y2)] as const;
    const beside = Math.max(Math.abs(frame.across(other.x1, other.y1)), Math.abs(frame.across(other.x2, other.y2)));
    if (beside > (wall.thickness + other.thickness) / 4 || Math.abs(Math.min(...ends) - reach.to) > near) continue;
    const beyond = ends[0] < ends[1] ? other : mirrored(other);
    const start = Math.min(...ends);
    const openings = [...(wall.openings ?? []), doorOf(frame.length, start, reach.leaves), ...(beyond.openings ?? []).map((o) => ({ ...o, from: o.from + start, to: o.to + start }))];
    // Two pieces are in doubt together only if both were.
    const { doubt, ...sure } = wall;
    const joined: WallCandidate = { ...sure, ...(doubt !== undefined && beyond.doubt !== undefined ? { doubt } : {}), x2: beyond.x2, y2: beyond.y2, openings };
    const left = walls.filter((_, k) => k !== j).map((one) => (one === wall ? joined : one));
    return { walls: left, at: left.indexOf(joined) };
  }
  const meets = walls.some((other, j) => {
    if (j === at) return false;
    const [x, y] = [wall.x1 + frame.ux * reach.to, wall.y1 + frame.uy * reach.to];
    const cross = frameOf(other);
    if (Math.abs(cross.ux * frame.uy - cross.uy * frame.ux) < 0.7) return false;
    const t = cross.along(x, y);
    return t >= -near && t <= cross.length + near && Math.abs(cross.across(x, y)) <= other.thickness / 2 + near;
  });
  if (!meets) return null;
  // The far jamb stays in the wall it meets; the door leaves a bit of its own wall there, so that the corner closes.
  const openings = [...(wall.openings ?? []), doorOf(frame.length, reach.to, reach.leaves)];
  const joined: WallCandidate = { ...wall, x2: wall.x1 + frame.ux * reach.to, y2: wall.y1 + frame.uy * reach.to, openings };
  return { walls: walls.map((one) => (one === wall ? joined : one)), at };
}
