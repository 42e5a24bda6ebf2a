import { FILL } from './candidate';
import type { DoorArc, OfferOptions, PlanLine, WallCandidate } from './candidate';
import { slantedLeaves } from './gaps';
import { likelyWalls } from './likely-walls';
import { inkOfLines } from './wall-body';
import type { InkNear } from './wall-body';

const ANGLE_WITHIN = (1.2 * Math.PI) / 180;
/** Two gaps between lines are alike when one is this share of the other or more. */
const ALIKE = 0.75;
/** A line runs along a pair when it lies beside this share of the pair's length. */
const ALONG = 0.6;
/** Thicknesses with this share of the commonest one's length are walls of the building as well. */
const COMMON = 0.3;

interface Strip { from: number; to: number; readonly across: number; readonly layer?: string; readonly pen?: string; readonly isMeasure?: boolean }
type Interval = readonly [number, number];
/** Two faces with the stretch they share. repeats: how many parallels go on beside them at like spacing, as tiles, treads and hatching do. */
interface Pair { readonly gap: number; readonly overlap: number; readonly i: number; readonly j: number; readonly repeats: number; readonly isRungs: boolean }
interface Group { readonly angle: number; readonly strips: readonly Strip[] }
interface PairedGroup extends Group { readonly pairs: readonly Pair[] }

const without = (free: readonly Interval[], [from, to]: Interval): Interval[] =>
  free.flatMap(([a, b]): Interval[] => (to <= a || from >= b ? [[a, b]] : [[a, from] as Interval, [to, b] as Interval].filter(([p, q]) => q > p)));

const shared = (a: readonly Interval[], b: readonly Interval[]): Interval[] =>
  a.flatMap(([p, q]) => b.map(([r, s]): Interval => [Math.max(p, r), Math.min(q, s)])).filter(([p, q]) => q > p);

/** Groups lines whose directions are alike; each group has the mean direction, weighted by length. */
function byDirection(lines: readonly PlanLine[]): { readonly angle: number; readonly lines: PlanLine[] }[] {
  const angleOf = (line: PlanLine): number => { const a = Math.atan2(line.y2 - line.y1, line.x2 - line.x1); return ((a % Math.PI) + Math.PI) % Math.PI; };
  const lengthOf = (line: PlanLine): number => Math.hypot(line.x2 - line.x1, line.y2 - line.y1);
  const groups: { angle: number; weight: number; lines: PlanLine[] }[] = [];
  for (const line of [...lines].sort((a, b) => lengthOf(b) - lengthOf(a))) {
    const angle = angleOf(line);
    const turn = (of: number): number => { const d = ((angle - of + Math.PI / 2) % Math.PI + Math.PI) % Math.PI - Math.PI / 2; return d; };
    const group = groups.find((each) => Math.abs(turn(each.angle)) <= ANGLE_WITHIN);
    if (!group) { groups.push({ angle, weight: lengthOf(line), lines: [line] }); continue; }
    group.weight += lengthOf(line);
    group.angle += (turn(group.angle) * lengthOf(line)) / group.weight;
    group.lines.push(line);
  }
  return groups;
}

/** Joins strips that lie on one line and touch, on one layer and in one pen. */
function joined(strips: readonly Strip[], slack: number): Strip[] {
  const found: Strip[] = [];
  const rows = new Map<string, Strip[]>();
  const row = (strip: Strip, step: number): string => `${Math.floor(strip.across / Math.max(slack, 1e-9)) + step} ${strip.layer ?? ''} ${strip.pen ?? ''} ${strip.isMeasure === true ? 'measure' : ''}`;
  for (const strip of [...strips].sort((a, b) => a.from - b.from)) {
    const near = [-1, 0, 1].flatMap((step) => rows.get(row(strip, step)) ?? []);
    const before = near.findLast((each) => Math.abs(each.across - strip.across) <= slack && strip.from <= each.to + slack);
    if (before) { before.to = Math.max(before.to, strip.to); continue; }
    const made = { ...strip };
    found.push(made);
    const key = row(strip, 0);
    const list = rows.get(key);
    if (list) list.push(made); else rows.set(key, [made]);
  }
  return found;
}

const overlapOf = (a: { from: number; to: number }, b: { from: number; to: number }): number => Math.min(a.to, b.to) - Math.max(a.from, b.from);

/** Directions at right angles, within so much. */
const SQUARE_WITHIN = (10 * Math.PI) / 180;

function pairsOf({ strips, angle }: Group, groups: readonly Group[], { thickness: [thin, thick], shortest, slack }: OfferOptions): Pair[] {
  const square = groups.filter((other) => Math.abs(Math.abs(((other.angle - angle) % Math.PI + Math.PI) % Math.PI) - Math.PI / 2) <= SQUARE_WITHIN);
  const pairs: Pair[] = [];
  strips.forEach((strip, i) => {
    for (let j = i + 1; j < strips.length && strips[j]!.across - strip.across <= thick; j++) {
      const other = strips[j]!;
      const gap = other.across - strip.across;
      const overlap = overlapOf(strip, other);
      if (gap < thin || overlap < shortest || (strip.isMeasure === true && other.isMeasure === true)) continue;
      const stretch = { from: Math.max(strip.from, other.from), to: Math.min(strip.to, other.to) };
      const rungs = square.reduce((sum, group) => sum + rungsIn(stretch, (strip.across + other.across) / 2, gap, angle, group), 0);
      pairs.push({ gap, overlap, i, j, repeats: repeatsOf(strips, i, j, slack), isRungs: rungs >= 3 && rungs * RUNG_APART * gap >= overlap });
    }
  });
  return pairs;
}

/** Lines across the inside of a pair this many gaps apart or nearer make a ladder of it: tiles, treads, a grille, no wall. */
const RUNG_APART = 5;

/** How many lines of another group cross the inside of a pair, from near one face to near the other. */
function rungsIn(stretch: { from: number; to: number }, across: number, gap: number, angle: number, group: Group): number {
  const turn = group.angle - angle;
  const [cos, sin] = [Math.cos(turn), Math.sin(turn)];
  // In the other group's frame the pair's middle line runs as good as upright.
  const place = (along: number): { along: number; across: number } => ({ along: along * cos + across * sin, across: across * cos - along * sin });
  const [a, b] = [place(stretch.from + gap / 2), place(stretch.to - gap / 2)];
  const [low, high] = [Math.min(a.across, b.across), Math.max(a.across, b.across)];
  const { strips } = group;
  let [from, to] = [0, strips.length];
  while (from < to) { const middle = (from + to) >> 1; if (strips[middle]!.across < low) from = middle + 1; else to = middle; }
  let count = 0;
  let last = -Infinity;
  for (let k = from; k < strips.length && strips[k]!.across <= high; k++) {
    // Lines over each other, as several pens draw one edge, are one.
    if (strips[k]!.across - last < gap / 8) continue;
    const at = a.along + ((b.along - a.along) * (strips[k]!.across - a.across)) / (b.across - a.across || 1);
    if (strips[k]!.from <= at - gap / 4 && strips[k]!.to >= at + gap / 4) { count += 1; last = strips[k]!.across; }
  }
  return count;
}

/** How many further parallels at like spacing and in the pen of a face lie beside a pair, on both sides together. */
function repeatsOf(strips: readonly Strip[], i: number, j: number, slack: number): number {
  const [first, second] = [strips[i]!, strips[j]!];
  const gap = second.across - first.across;
  const stretch = { from: Math.max(first.from, second.from), to: Math.min(first.to, second.to) };
  const further = (from: number, step: 1 | -1): number => {
    let [at, count] = [strips[from]!.across, 0];
    for (let k = from + step; k >= 0 && k < strips.length && count < 3; k += step) {
      const away = Math.abs(strips[k]!.across - at);
      if (away > gap / ALIKE + slack) break;
      if (away < gap * ALIKE - slack || (strips[k]!.pen !== first.pen && strips[k]!.pen !== second.pen) || overlapOf(strips[k]!, stretch) < ALONG * (stretch.to - stretch.from)) continue;
      count += 1;
      at = strips[k]!.across;
    }
    return count;
  };
  return further(i, -1) + further(j, 1);
}

/**
 * Thicknesses that the walls of a building come in, commonest first: long pairs of faces of one thickness, many times over.
 * @param pens  that draw walls; without them all count
 * @returns each with how far a wall may be off it
 */
function commonThicknesses(groups: readonly PairedGroup[], filled: readonly WallCandidate[], { thickness: [thin, thick], slack }: OfferOptions, pens?: ReadonlySet<string | undefined>): { readonly thickness: number; readonly within: number }[] {
  const step = Math.max(slack / 4, (thick - thin) / 200);
  const counts = new Float64Array(Math.ceil((thick - thin) / step) + 3);
  const add = (gap: number, length: number): void => {
    if (length < 3 * gap) return;
    const at = Math.round((gap - thin) / step);
    if (at >= 0 && at < counts.length) counts[at]! += length;
  };
  for (const { strips, pairs } of groups) for (const { gap, overlap, repeats, isRungs, i, j } of pairs) if (repeats < 2 && !isRungs && strips[i]!.pen === strips[j]!.pen && (pens?.has(strips[i]!.pen) ?? true)) add(gap, overlap);
  for (const wall of filled) add(wall.thickness, 2 * Math.hypot(wall.x2 - wall.x1, wall.y2 - wall.y1));
  const within = (thickness: number): number => Math.max(slack / 2, 0.1 * thickness);
  const found: { thickness: number; within: number; weight: number }[] = [];
  for (;;) {
    let best = { thickness: 0, weight: 0 };
    for (let k = 0; k < counts.length; k++) {
      const reach = Math.round(within(thin + k * step) / step);
      let weight = 0; let moment = 0;
      for (let m = Math.max(0, k - reach); m <= Math.min(counts.length - 1, k + reach); m++) { weight += counts[m]!; moment += counts[m]! * m; }
      if (weight > best.weight) best = { thickness: thin + (moment / weight) * step, weight };
    }
    if (best.weight === 0 || (found[0] && best.weight < COMMON * found[0].weight) || found.length >= 5) return found;
    found.push({ ...best, within: within(best.thickness) });
    for (let k = 0; k < counts.length; k++) if (Math.abs(thin + k * step - best.thickness) <= 1.5 * within(best.thickness)) counts[k] = 0;
  }
}

/** A pen draws walls when it draws this share of what the pen that draws the most of them does. */
const SECOND_PEN = 0.5;

/** The pens that walls are drawn with: both faces in one pen and nothing between them, in a common thickness. Undefined is one where pens are not told; a fill always is. */
function pensOfWalls(groups: readonly PairedGroup[], isCommon: (gap: number) => boolean): ReadonlySet<string | undefined> {
  const drawn = new Map<string | undefined, number>();
  for (const { strips, pairs } of groups) for (const { gap, overlap, repeats, isRungs, i, j } of pairs) {
    const { pen, across } = strips[i]!;
    if (pen !== strips[j]!.pen || repeats >= 2 || isRungs || !isCommon(gap)) continue;
    // Lines of any pen clear of both faces, one behind the other.
    const stretch = { from: Math.max(strips[i]!.from, strips[j]!.from), to: Math.min(strips[i]!.to, strips[j]!.to) };
    const between = strips.slice(i + 1, j).reduce((sum, strip) => sum + (Math.abs(strip.across - across - gap / 2) < 0.4 * gap ? Math.max(0, overlapOf(strip, stretch)) : 0), 0);
    if (pen === undefined || between < ALONG * overlap) drawn.set(pen, (drawn.get(pen) ?? 0) + overlap);
  }
  const most = Math.max(0, ...drawn.values());
  return new Set([FILL, ...[...drawn].filter(([, length]) => length >= SECOND_PEN * most).map(([pen]) => pen)]);
}

/** Layers that are named for walls, in the languages plans come in. */
const WALL_LAYER = /wall|mur(?!al)|wand|pared|muro|tabi|стен/i;

/**
 * Walls among everything a plan shows: pairs of parallel lines in the thicknesses the building's walls come in, and what
 * is drawn solid. Tiles, treads and hatching fall out because they repeat, furniture because it stands alone.
 * @param lines   both faces of walls among everything else, any order
 * @param filled  walls that are drawn solid, already as candidates
 * @param arcs    quarter circles, or what finds them once the walls are known: where one stands in a wall or in a gap of it, a door is offered
 * @param ink     everything the plan shows, to tell a wall from the gap between two things; without it the lines
 * @returns centre lines that meet where walls meet, longest first
 * @limits about 20 000 lines
 */
export function wallsFromLines(lines: readonly PlanLine[], options: OfferOptions, filled: readonly WallCandidate[] = [], arcs: readonly DoorArc[] | ((walls: readonly WallCandidate[]) => readonly DoorArc[]) = [], ink: InkNear = inkOfLines(lines, options.thickness)): WallCandidate[] {
  const { shortest, slack } = options;
  const long = lines.filter((line) => Math.hypot(line.x2 - line.x1, line.y2 - line.y1) >= shortest / 2);
  const directions = byDirection(long).map(({ angle, lines: group }): Group => {
    const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
    const strips = joined(group.map((line): Strip => {
      const [a, b] = [line.x1 * cos + line.y1 * sin, line.x2 * cos + line.y2 * sin];
      const across = (-(line.x1 + line.x2) * sin + (line.y1 + line.y2) * cos) / 2;
      return { from: Math.min(a, b), to: Math.max(a, b), across, ...(line.layer === undefined ? {} : { layer: line.layer }), ...(line.pen === undefined ? {} : { pen: line.pen }), ...(line.isMeasure === true ? { isMeasure: true } : {}) };
    }), slack / 2).sort((a, b) => a.across - b.across);
    return { angle, strips };
  });
  const groups = directions.map((group): PairedGroup => ({ ...group, pairs: pairsOf(group, directions, options) }));
  const among = (common: ReturnType<typeof commonThicknesses>) => (gap: number): boolean => common.some(({ thickness, within }) => Math.abs(thickness - gap) <= within);
  const usual = pensOfWalls(groups, among(commonThicknesses(groups, filled, options)));
  const isCommon = among(commonThicknesses(groups, filled, options, usual));
  const found: { readonly wall: WallCandidate; readonly isSure: boolean; readonly isNamed?: boolean; readonly isUsual?: boolean }[] = filled.map((wall) => ({ wall, isSure: isCommon(wall.thickness) }));
  for (const { angle, strips, pairs } of groups) {
    const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
    // A line is the face of one wall: beyond it lies a room. The common thicknesses choose first, then faces of one pen and layer.
    const isNoWall = (pair: Pair): boolean => pair.isRungs || pair.repeats >= (isCommon(pair.gap) ? 3 : 2);
    const isMeasured = ({ i, j }: Pair): boolean => strips[i]!.isMeasure === true || strips[j]!.isMeasure === true;
    const rank = (pair: Pair): number => (isMeasured(pair) ? 16 : 0) + (isNoWall(pair) ? 8 : 0) + (isCommon(pair.gap) ? 0 : 4) + (strips[pair.i]!.pen === strips[pair.j]!.pen ? 0 : 2) + (strips[pair.i]!.layer === strips[pair.j]!.layer ? 0 : 1);
    // Then the faces that run along together farthest; lengths this much alike count as one.
    const reach = ({ overlap }: Pair): number => Math.round(Math.log(overlap) / Math.log(1.25));
    const free = strips.map((s): Interval[] => [[s.from, s.to]]);
    for (const pair of [...pairs].sort((a, b) => rank(a) - rank(b) || reach(b) - reach(a) || a.gap - b.gap)) {
      const { gap, i, j } = pair;
      const { layer } = strips[i]!;
      const isNamed = layer !== undefined && layer === strips[j]!.layer && WALL_LAYER.test(layer);
      for (const piece of shared(free[i]!, free[j]!)) {
        if (piece[1] - piece[0] < shortest) continue;
        free[i] = without(free[i]!, piece);
        free[j] = without(free[j]!, piece);
        const across = (strips[i]!.across + strips[j]!.across) / 2;
        if (!isNamed && isNoWall(pair)) continue;
        const at = (along: number): [number, number] => [along * cos - across * sin, along * sin + across * cos];
        const [[x1, y1], [x2, y2]] = [at(piece[0]), at(piece[1])];
        // Faces in two pens, none of them that of the walls, belong to two things.
        const [first, second] = [strips[i]!.pen, strips[j]!.pen];
        const isOne = first === second || usual.has(first) || usual.has(second);
        found.push({ wall: { x1, y1, x2, y2, thickness: gap, ...(layer === undefined ? {} : { layer }), ...(isMeasured(pair) ? { doubt: 'measure' } : {}) }, isSure: isNamed || (isOne && isCommon(gap)), isNamed, isUsual: usual.has(first) && usual.has(second) });
      }
    }
  }
  const leaves = (walls: readonly WallCandidate[]): DoorArc[] => [...(typeof arcs === 'function' ? arcs(walls) : arcs), ...slantedLeaves(lines, walls, options)];
  return likelyWalls(found, options, leaves, ink).sort((a, b) => Math.hypot(b.x2 - b.x1, b.y2 - b.y1) - Math.hypot(a.x2 - a.x1, a.y2 - a.y1));
}
