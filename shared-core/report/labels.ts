import RBush from 'rbush';
import type { Box } from './ink';
import type { At } from './lines';

/** One label that wants a place. All lengths in the drawing's own unit, y down. */
export interface LabelRequest {
  readonly id: string;
  readonly width: number;
  readonly height: number;
  /** Beside a symbol at 'at' with its rim 'clear' away; or on a line, centred on it. */
  readonly beside:
    | { readonly at: At; readonly clear: number; /** Direction the label should rather lie in, any length. */ readonly towards?: At }
    | { readonly from: At; readonly to: At };
  /** Higher is placed first; equal ones in the given order. */
  readonly rank?: number;
}

export interface PlacedLabel {
  readonly id: string;
  readonly box: Box;
  /** From the label's edge to what it names, when it had to move away. */
  readonly leader: readonly [At, At] | null;
}

export interface LabelRoom {
  /** Nothing of a label or leader's label may leave this. */
  readonly bounds: Box;
  /** Symbols and other things no label may touch. */
  readonly keepClear: readonly Box[];
  /** Lines a label should rather not cover (walls, sight lines): a cost, not a ban. */
  readonly rather?: readonly (readonly [At, At])[];
  /** How full a box is of what lies below already, 0 to 1: a cost too, so that labels keep off a plan's own words. */
  readonly crowding?: (box: Box) => number;
  /** What the reader sees of the drawing: the label of something in it rather lies in it whole than cut off at its edge. */
  readonly seen?: Box;
  /** Distance kept between labels and from symbols. */
  readonly gap: number;
}

export interface LabelPlan {
  readonly placed: readonly PlacedLabel[];
  /** Ids that found no free place: the caller hides them and says so, or lists them beside the drawing. */
  readonly omitted: readonly string[];
}

interface Item { minX: number; minY: number; maxX: number; maxY: number }
interface LineItem extends Item { line: readonly [At, At] }
/** What is already on the drawing while labels are placed. */
interface Field { symbols: RBush<Item>; labels: RBush<Item>; leaders: RBush<LineItem>; lines: RBush<LineItem> }
interface Candidate { readonly x: number; readonly y: number; readonly cost: number; readonly leader: boolean }

const RINGS = [0, 1, 2, 3.2, 4.6, 6.2, 8, 10, 12.5, 15.5];
const DIRECTIONS = 16;
/** Cut off at the edge costs more than a leader some lines long. */
const CUT_COST = 12;
/** Lying wholly on words costs more than a short leader. */
const CROWDING_COST = 24;
const SLIDES = [0.5, 0.42, 0.58, 0.34, 0.66, 0.27, 0.73, 0.2, 0.8, 0.14, 0.86];
/** Right, left, above and below read better than aside and the corners, in this order. */
const SIDES: readonly At[] = [[1, 0], [-1, 0], [0, -1], [0, 1], [1, -0.5], [1, 0.5], [-1, -0.5], [-1, 0.5], [0.5, -1], [0.5, 1], [-0.5, -1], [-0.5, 1], [1, -1], [1, 1], [-1, -1], [-1, 1]];

/**
 * Places labels so that none covers another, a symbol or a leader, and none leaves the bounds. A label stays beside its
 * symbol while it can and moves out on a leader before anything else; the same input gives the same places.
 * @throws RangeError when a label has no size
 */
export function placeLabels(requests: readonly LabelRequest[], room: LabelRoom): LabelPlan {
  const field: Field = { symbols: new RBush(), labels: new RBush(), leaders: new RBush(), lines: new RBush() };
  field.symbols.load(room.keepClear.map((b) => item(grown(b, room.gap / 2))));
  field.lines.load((room.rather ?? []).map((l) => ({ ...around(l), line: l })));
  const order = requests.map((request, index) => ({ request, index })).sort((a, b) => (b.request.rank ?? 0) - (a.request.rank ?? 0) || a.index - b.index);
  const placed: (PlacedLabel | undefined)[] = [];
  const omitted: string[] = [];
  for (const { request, index } of order) {
    if (!(request.width > 0) || !(request.height > 0)) throw new RangeError(`label '${request.id}' has no size`);
    const label = findPlace(request, room, field);
    if (label === null) { omitted.push(request.id); continue; }
    placed[index] = label;
    field.labels.insert(item(grown(label.box, room.gap)));
    if (label.leader) field.leaders.insert({ ...around(label.leader), line: label.leader });
  }
  return { placed: placed.filter((l) => l !== undefined), omitted };
}

function findPlace(request: LabelRequest, room: LabelRoom, field: Field): PlacedLabel | null {
  let best: { cost: number; label: PlacedLabel } | null = null;
  const anchor = anchorOf(request);
  const seen = room.seen && inside({ x: anchor[0], y: anchor[1], width: 0, height: 0 }, room.seen) ? room.seen : null;
  for (const c of candidatesOf(request, room.gap)) {
    if (best && c.cost >= best.cost) continue;
    const box = { x: c.x, y: c.y, width: request.width, height: request.height };
    if (!inside(box, room.bounds) || field.symbols.collides(item(box)) || field.labels.collides(item(box))) continue;
    if (field.leaders.search(item(box)).some((l) => crossesBox(l.line, box))) continue;
    const leader = c.leader ? leaderOf(request, box) : null;
    if (leader && !leaderIsFree(leader, request, field)) continue;
    const covered = field.lines.search(item(box)).filter((l) => crossesBox(l.line, box)).length;
    const cost = c.cost + covered * 1.5 + (seen && !inside(box, seen) ? CUT_COST : 0) + (room.crowding?.(box) ?? 0) * CROWDING_COST;
    if (!best || cost < best.cost) best = { cost, label: { id: request.id, box, leader } };
  }
  return best?.label ?? null;
}

/** Nearest first, so that the search can stop early; the cost grows with the distance in label heights. */
function* candidatesOf(request: LabelRequest, gap: number): Generator<Candidate> {
  const { width, height, beside } = request;
  if ('from' in beside) {
    for (const [i, t] of SLIDES.entries()) {
      const x = beside.from[0] + (beside.to[0] - beside.from[0]) * t; const y = beside.from[1] + (beside.to[1] - beside.from[1]) * t;
      yield { x: x - width / 2, y: y - height / 2, cost: i * 0.25, leader: false };
    }
  } else {
    const d = beside.clear + gap;
    for (const [i, [dx, dy]] of SIDES.entries()) {
      const away = turnedAway(beside.towards, dx, dy);
      yield { x: beside.at[0] + dx * (d + width / 2) - width / 2, y: beside.at[1] + dy * (d + height / 2) - height / 2, cost: i * 0.1 + away, leader: false };
    }
  }
  const at = anchorOf(request); const clear = 'from' in beside ? 0 : beside.clear;
  for (const ring of RINGS.slice(1)) for (let i = 0; i < DIRECTIONS; i += 1) {
    const a = (2 * Math.PI * i) / DIRECTIONS;
    const out = clear + gap + ring * height;
    // The label's nearest edge, not its middle, lies on the ring.
    yield {
      x: at[0] + Math.cos(a) * (out + width / 2) - width / 2, y: at[1] + Math.sin(a) * (out + height / 2) - height / 2,
      cost: 3 + ring * 1.2 + (i % 4 === 0 ? 0 : 0.1) + ('at' in beside ? turnedAway(beside.towards, Math.cos(a), Math.sin(a)) : 0), leader: true,
    };
  }
}

/** 0 in the wanted direction, growing to 5.2 behind it: the other side of a wall is another room. */
function turnedAway(towards: At | undefined, dx: number, dy: number): number {
  const length = towards ? Math.hypot(...towards) * Math.hypot(dx, dy) : 0;
  return towards && length > 0 ? 2.6 * (1 - (towards[0] * dx + towards[1] * dy) / length) : 0;
}

const anchorOf = ({ beside }: LabelRequest): At => ('from' in beside ? [(beside.from[0] + beside.to[0]) / 2, (beside.from[1] + beside.to[1]) / 2] : beside.at);

function leaderOf(request: LabelRequest, box: Box): readonly [At, At] {
  const at = anchorOf(request); const clear = 'from' in request.beside ? 0 : request.beside.clear;
  const x = Math.min(Math.max(at[0], box.x), box.x + box.width); const y = Math.min(Math.max(at[1], box.y), box.y + box.height);
  const length = Math.hypot(x - at[0], y - at[1]);
  const t = length > 0 ? Math.min(clear / length, 1) : 0;
  return [[x, y], [at[0] + (x - at[0]) * t, at[1] + (y - at[1]) * t]];
}

/** A leader touches the symbol it belongs to only, runs through no label and crosses no other leader. */
function leaderIsFree(leader: readonly [At, At], request: LabelRequest, field: Field): boolean {
  const [x, y] = anchorOf(request);
  const hits = (tree: RBush<Item>): Item[] => tree.search(around(leader)).filter((b) => crossesBox(leader, { x: b.minX, y: b.minY, width: b.maxX - b.minX, height: b.maxY - b.minY }));
  if (hits(field.labels).length > 0) return false;
  if (hits(field.symbols).some((b) => x < b.minX || x > b.maxX || y < b.minY || y > b.maxY)) return false;
  return !field.leaders.search(around(leader)).some((l) => segmentsCross(l.line, leader));
}

const item = (b: Box): Item => ({ minX: b.x, minY: b.y, maxX: b.x + b.width, maxY: b.y + b.height });
const grown = (b: Box, by: number): Box => ({ x: b.x - by, y: b.y - by, width: b.width + 2 * by, height: b.height + 2 * by });
const around = ([a, b]: readonly [At, At]): Item => ({ minX: Math.min(a[0], b[0]), minY: Math.min(a[1], b[1]), maxX: Math.max(a[0], b[0]), maxY: Math.max(a[1], b[1]) });
const inside = (b: Box, o: Box): boolean => b.x >= o.x && b.y >= o.y && b.x + b.width <= o.x + o.width && b.y + b.height <= o.y + o.height;

/** Whether a segment meets a box (slab test; drawing only, so ordinary arithmetic will do). */
export function crossesBox([a, b]: readonly [At, At], box: Box): boolean {
  let t0 = 0; let t1 = 1;
  for (const [from, to, low, high] of [[a[0], b[0], box.x, box.x + box.width], [a[1], b[1], box.y, box.y + box.height]] as const) {
    const d = to - from;
    if (d === 0) { if (from < low || from > high) return false; continue; }
    const u = (low - from) / d; const v = (high - from) / d;
    t0 = Math.max(t0, Math.min(u, v)); t1 = Math.min(t1, Math.max(u, v));
    if (t0 > t1) return false;
  }
  return true;
}

function segmentsCross([a, b]: readonly [At, At], [c, d]: readonly [At, At]): boolean {
  const side = (p: At, q: At, r: At): number => (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0]);
  return side(a, b, c) * side(a, b, d) < 0 && side(c, d, a) * side(c, d, b) < 0;
}
