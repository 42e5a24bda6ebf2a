/** A straight line of a drawing or scan, sheet units. */
export interface PlanLine { readonly x1: number; readonly y1: number; readonly x2: number; readonly y2: number; readonly layer?: string }

/** A door seen in a candidate: its edges along the centre line from the first point, and the swing where the drawing shows it. */
export interface OfferedDoor { readonly from: number; readonly to: number; readonly swing?: { readonly hinge: 'from' | 'to'; readonly side: 'left' | 'right' } }

/** A wall that could be there: its centre line and thickness, sheet units. Offered only; nothing becomes a wall unasked. */
export interface WallCandidate {
  readonly x1: number; readonly y1: number; readonly x2: number; readonly y2: number; readonly thickness: number; readonly layer?: string;
  readonly openings?: readonly OfferedDoor[];
}

export interface OfferOptions {
  /** Thinnest and thickest wall, sheet units. */
  readonly thickness: readonly [number, number];
  /** Shorter candidates are left out, sheet units. */
  readonly shortest: number;
  /** Lines and pieces of wall this far apart along or across count as one, sheet units. */
  readonly slack: number;
}

const ANGLE_WITHIN = (1.2 * Math.PI) / 180;

interface Strip { from: number; to: number; readonly across: number; readonly layer?: string }
type Interval = readonly [number, number];

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

/** Joins strips that lie on one line and touch. */
function joined(strips: Strip[], slack: number): Strip[] {
  const found: Strip[] = [];
  for (const strip of [...strips].sort((a, b) => a.from - b.from)) {
    const before = found.findLast((each) => Math.abs(each.across - strip.across) <= slack && strip.from <= each.to + slack && each.layer === strip.layer);
    if (before) before.to = Math.max(before.to, strip.to); else found.push({ ...strip });
  }
  return found;
}

/**
 * Walls as pairs of parallel lines: each line belongs to its nearest partner within the thickness range.
 * @param lines  both faces of walls among everything else, any order
 * @returns centre lines, longest first
 * @limits about 20 000 lines
 */
export function wallsFromLines(lines: readonly PlanLine[], options: OfferOptions): WallCandidate[] {
  const { thickness: [thin, thick], shortest, slack } = options;
  const found: WallCandidate[] = [];
  for (const { angle, lines: group } of byDirection(lines.filter((line) => Math.hypot(line.x2 - line.x1, line.y2 - line.y1) >= shortest / 2))) {
    const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
    const strips = joined(group.map((line): Strip => {
      const [a, b] = [line.x1 * cos + line.y1 * sin, line.x2 * cos + line.y2 * sin];
      const across = (-(line.x1 + line.x2) * sin + (line.y1 + line.y2) * cos) / 2;
      return { from: Math.min(a, b), to: Math.max(a, b), across, ...(line.layer === undefined ? {} : { layer: line.layer }) };
    }), slack / 2).sort((a, b) => a.across - b.across);
    const pairs: { gap: number; i: number; j: number }[] = [];
    strips.forEach((strip, i) => {
      for (let j = i + 1; j < strips.length && strips[j]!.across - strip.across <= thick; j++) {
        const other = strips[j]!;
        const overlap = Math.min(strip.to, other.to) - Math.max(strip.from, other.from);
        if (other.across - strip.across >= thin && overlap >= shortest) pairs.push({ gap: other.across - strip.across, i, j });
      }
    });
    // A line is the face of one wall: beyond it lies a room.
    const free = strips.map((s): Interval[] => [[s.from, s.to]]);
    for (const { gap, i, j } of pairs.sort((a, b) => a.gap - b.gap)) {
      for (const piece of shared(free[i]!, free[j]!)) {
        if (piece[1] - piece[0] < shortest) continue;
        free[i] = without(free[i]!, piece);
        free[j] = without(free[j]!, piece);
        const across = (strips[i]!.across + strips[j]!.across) / 2;
        const at = (along: number): [number, number] => [along * cos - across * sin, along * sin + across * cos];
        const [[x1, y1], [x2, y2]] = [at(piece[0]), at(piece[1])];
        found.push({ x1, y1, x2, y2, thickness: gap, ...(strips[i]!.layer === undefined ? {} : { layer: strips[i]!.layer }) });
      }
    }
  }
  return found.sort((a, b) => Math.hypot(b.x2 - b.x1, b.y2 - b.y1) - Math.hypot(a.x2 - a.x1, a.y2 - a.y1));
}
