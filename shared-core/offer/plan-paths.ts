import { FILL } from './candidate';
import { lettersAmong, measuringLines } from './drafting';
import type { DoorArc, OfferOptions, PlanLine, PlanPath, WallCandidate } from './candidate';

type Place = readonly [number, number];

/** lines: long enough for a face of a wall; edges: everything that is drawn, also the small jamb that closes a wall. */
export interface PlanShapes { readonly lines: readonly PlanLine[]; readonly filled: readonly WallCandidate[]; readonly arcs: readonly DoorArc[]; readonly edges: readonly PlanLine[] }

/** A chain keeps to a curve while it turns less than this at each point. */
const GENTLE = (46 * Math.PI) / 180;
const STRAIGHT = (1.5 * Math.PI) / 180;
/** The way of a leaf: about a quarter turn. */
const QUARTER: Readonly<[number, number]> = [(65 * Math.PI) / 180, (112 * Math.PI) / 180];
/** All points of a circle lie this near its radius. */
const ROUND = 0.04;
/** A strip is at least this much longer than wide. */
const SLENDER = 1.5;
const MOST_LINES = 20_000;
/** Shorter edges than this share of the thinnest wall close nothing: letters and dots. */
const SMALL = 0.25;

const turnAt = (a: Place, b: Place, c: Place): number => {
  const [ux, uy, vx, vy] = [b[0] - a[0], b[1] - a[1], c[0] - b[0], c[1] - b[1]];
  return Math.atan2(ux * vy - uy * vx, ux * vx + uy * vy);
};

/** Quarter circles among the stretches of a chain that turn gently one way. */
function arcsIn(points: readonly Place[]): DoorArc[] {
  const found: DoorArc[] = [];
  for (let start = 0; start + 2 < points.length;) {
    let end = start + 1;
    let sign = 0;
    while (end + 1 < points.length) {
      const turn = turnAt(points[end - 1]!, points[end]!, points[end + 1]!);
      if (Math.abs(turn) < STRAIGHT || Math.abs(turn) > GENTLE || (sign !== 0 && Math.sign(turn) !== sign)) break;
      sign = Math.sign(turn);
      end += 1;
    }
    const arc = end - start >= 3 ? arcThrough(points.slice(start, end + 1)) : null;
    if (arc) found.push(arc);
    start = Math.max(end, start + 1);
  }
  return found;
}

function arcThrough(points: readonly Place[]): DoorArc | null {
  const [a, b, c] = [points[0]!, points[points.length >> 1]!, points.at(-1)!];
  const d = 2 * (a[0] * (b[1] - c[1]) + b[0] * (c[1] - a[1]) + c[0] * (a[1] - b[1]));
  if (Math.abs(d) < 1e-12) return null;
  const [sa, sb, sc] = [a, b, c].map(([x, y]) => x * x + y * y) as [number, number, number];
  const [x, y] = [(sa * (b[1] - c[1]) + sb * (c[1] - a[1]) + sc * (a[1] - b[1])) / d, (sa * (c[0] - b[0]) + sb * (a[0] - c[0]) + sc * (b[0] - a[0])) / d];
  const radius = Math.hypot(a[0] - x, a[1] - y);
  if (points.some(([px, py]) => Math.abs(Math.hypot(px - x, py - y) - radius) > ROUND * radius)) return null;
  const sweep = Math.abs(turnAt([x - (a[0] - x), y - (a[1] - y)], [x, y], c));
  return sweep >= QUARTER[0] && sweep <= QUARTER[1] ? { x, y, radius, ends: [a, c] } : null;
}

/** A four-cornered fill as the wall it would be: its middle line and width; null when it is no strip of wall thickness. */
function stripOf(loop: readonly Place[], [thin, thick]: readonly [number, number], layer: string | undefined): WallCandidate | null {
  const isClosed = loop.length > 1 && loop[0]![0] === loop.at(-1)![0] && loop[0]![1] === loop.at(-1)![1];
  const corners = isClosed ? loop.slice(0, -1) : loop;
  if (corners.length !== 4) return null;
  const [a, b, c, d] = corners as unknown as [Place, Place, Place, Place];
  const length = (p: Place, q: Place): number => Math.hypot(q[0] - p[0], q[1] - p[1]);
  const middle = (p: Place, q: Place): Place => [(p[0] + q[0]) / 2, (p[1] + q[1]) / 2];
  const isAlong = length(a, b) + length(c, d) > length(b, c) + length(d, a);
  const width = isAlong ? (length(b, c) + length(d, a)) / 2 : (length(a, b) + length(c, d)) / 2;
  const [from, to] = isAlong ? [middle(a, d), middle(b, c)] : [middle(a, b), middle(c, d)];
  if (width < thin || width > thick || length(from, to) < SLENDER * width) return null;
  return { x1: from[0], y1: from[1], x2: to[0], y2: to[1], thickness: width, ...(layer === undefined ? {} : { layer }) };
}

/** What the paths of a vector plan hold for finding walls: straight lines, strips inked solid, and the quarter circles of doors. */
export function shapesOf(drawn: Iterable<PlanPath>, { thickness, shortest }: Pick<OfferOptions, 'thickness' | 'shortest'>): PlanShapes {
  const paths = [...drawn];
  const letters = lettersAmong(paths, shortest / 2);
  const lines: PlanLine[] = [];
  const filled: WallCandidate[] = [];
  const arcs: DoorArc[] = [];
  const edges: PlanLine[] = [];
  for (const path of paths) {
    const { points, filled: isFilled, width = 0, layer, pen: named } = path;
    const pen = isFilled ? FILL : named;
    const onLayer = layer === undefined ? {} : { layer };
    for (let i = 0; i < (isFilled ? points.length : points.length - 1); i++) {
      const [[x1, y1], [x2, y2]] = [points[i]!, points[(i + 1) % points.length]!];
      if (Math.hypot(x2 - x1, y2 - y1) >= SMALL * thickness[0]) edges.push({ x1, y1, x2, y2, ...(pen === undefined ? {} : { pen }) });
    }
    if (letters.has(path)) continue;
    const strip = isFilled ? stripOf(points, thickness, layer) : null;
    if (strip) { filled.push(strip); continue; }
    if (!isFilled) for (const arc of arcsIn(points)) if (arc.radius >= thickness[0] && arc.radius <= 12 * thickness[1]) arcs.push(arc);
    const count = isFilled ? points.length : points.length - 1;
    for (let i = 0; i < count; i++) {
      const [x1, y1] = points[i]!; const [x2, y2] = points[(i + 1) % points.length]!;
      const length = Math.hypot(x2 - x1, y2 - y1);
      // A pen as wide as a wall draws the wall itself.
      if (width >= thickness[0] && width <= thickness[1]) { if (length >= shortest) filled.push({ x1, y1, x2, y2, thickness: width, ...onLayer }); } else if (length >= shortest / 2) lines.push({ x1, y1, x2, y2, ...onLayer, ...(pen === undefined ? {} : { pen }) });
    }
  }
  const most = lines.length <= MOST_LINES ? lines
    : lines.map((line) => ({ line, length: Math.hypot(line.x2 - line.x1, line.y2 - line.y1) })).sort((a, b) => b.length - a.length).slice(0, MOST_LINES).map(({ line }) => line);
  const measuring = measuringLines(most, paths, thickness[1]);
  return { lines: most.map((line) => (measuring.has(line) ? { ...line, isMeasure: true } : line)), filled, arcs, edges };
}
