import type { PlanLine, PlanPath } from './candidate';

type Place = readonly [number, number];

/** A stroke across the end of a dimension line, or an arrowhead at it: the place it marks, its own direction and length. */
interface Mark { readonly kind: 'tick' | 'arrow'; readonly x: number; readonly y: number; readonly ux: number; readonly uy: number; readonly length: number }

/** A tick that is drawn solid is at least this much longer than wide. */
const SLENDER = 3;
/** A tick slants across its line by 30 to 60 degrees. */
const SLANT: Readonly<[number, number]> = [Math.sin(Math.PI / 6), Math.sin(Math.PI / 3)];
/** An arrow lies along its line, within 5 degrees. */
const ALONG = Math.sin(Math.PI / 36);
/** The marked place lies on the line within this share of the mark's length. */
const ON_LINE = 0.12;

/** Measuring lines have a second pen when it draws this share of what the first does. */
const SECOND_PEN = 0.5;

const distance = ([x1, y1]: Place, [x2, y2]: Place): number => Math.hypot(x2 - x1, y2 - y1);
const middle = ([x1, y1]: Place, [x2, y2]: Place): Place => [(x1 + x2) / 2, (y1 + y2) / 2];

/** The corners of a closed chain, each once. */
function cornersOf(points: readonly Place[]): Place[] {
  const corners = points.filter((point, i) => i === 0 || distance(point, points[i - 1]!) > 0);
  if (corners.length > 1 && distance(corners[0]!, corners.at(-1)!) === 0) corners.pop();
  return corners;
}

function markOf({ points, filled }: PlanPath, longest: number): Mark | null {
  if (points.length > 6) return null;
  const made = (kind: Mark['kind'], from: Place, to: Place, [x, y]: Place): Mark | null => {
    const length = distance(from, to);
    return length > 0 && length <= longest ? { kind, x, y, ux: (to[0] - from[0]) / length, uy: (to[1] - from[1]) / length, length } : null;
  };
  const corners = cornersOf(points);
  const [a, b, c, d] = corners;
  if (corners.length === 2 && !filled) return made('tick', a!, b!, middle(a!, b!));
  if (corners.length === 4 && filled) {
    const [from, to] = distance(a!, b!) > distance(b!, c!) ? [middle(a!, d!), middle(b!, c!)] : [middle(a!, b!), middle(c!, d!)];
    const wide = Math.min(distance(a!, b!), distance(b!, c!));
    return distance(from, to) >= SLENDER * wide ? made('tick', from, to, middle(from, to)) : null;
  }
  if (corners.length !== 3 || !filled) return null;
  // The tip lies over against the shortest side.
  const [tip, left, right] = ([[a, b, c], [b, c, a], [c, a, b]] as [Place, Place, Place][]).sort((p, q) => distance(p[1], p[2]) - distance(q[1], q[2]))[0]!;
  return made('arrow', middle(left, right), tip, tip);
}

/**
 * Which lines measure or point instead of being built: dimension lines and their extension lines, where ticks cross their
 * ends, and lines that end in an arrow.
 * @param longest  tick or arrowhead, sheet units
 */
export function measuringLines(lines: readonly PlanLine[], paths: readonly PlanPath[], longest: number): ReadonlySet<PlanLine> {
  const cells = new Map<string, Mark[]>();
  for (const path of paths) {
    const mark = markOf(path, longest);
    if (!mark) continue;
    const key = `${Math.floor(mark.x / longest)} ${Math.floor(mark.y / longest)}`;
    const list = cells.get(key);
    if (list) list.push(mark); else cells.set(key, [mark]);
  }
  const found = new Set<PlanLine>();
  for (const line of lines) {
    const length = Math.hypot(line.x2 - line.x1, line.y2 - line.y1);
    const [ux, uy] = [(line.x2 - line.x1) / length, (line.y2 - line.y1) / length];
    const isMarkedAt = (x: number, y: number): boolean => [-1, 0, 1].some((dx) => [-1, 0, 1].some((dy) => (cells.get(`${Math.floor(x / longest) + dx} ${Math.floor(y / longest) + dy}`) ?? []).some((mark) => {
      const [px, py] = [mark.x - x, mark.y - y];
      if (Math.hypot(px, py) > mark.length || Math.abs(px * uy - py * ux) > ON_LINE * mark.length || length < 2 * mark.length) return false;
      const turn = Math.abs(mark.ux * uy - mark.uy * ux);
      return mark.kind === 'arrow' ? turn <= ALONG : turn >= SLANT[0] && turn <= SLANT[1];
    })));
    if (isMarkedAt(line.x1, line.y1) || isMarkedAt(line.x2, line.y2)) found.add(line);
  }
  // A face that happens to end at a tick is drawn with another pen, where the sheet has several.
  const drawn = new Map<string | undefined, number>();
  for (const { pen } of found) drawn.set(pen, (drawn.get(pen) ?? 0) + 1);
  const most = Math.max(0, ...drawn.values());
  return new Set([...found].filter(({ pen }) => drawn.get(pen)! >= SECOND_PEN * most));
}

/** Letters of a row differ in height by this share at most (round ones are a little taller), and stand no farther apart than so many heights. */
const ALIKE = 0.15;
const WORD_SPACE = 1;
/** A letter is at most so many heights wide. */
const WIDEST = 1.5;
/** A row of so many is lettering when this share of its shapes is not made of level and upright edges alone: walls are. */
const LEAST_ROW = 3;
const LETTERED = 0.34;
const SLANTED = 0.15;

interface Glyph { readonly path: PlanPath; readonly x: number; readonly y: number; readonly width: number; readonly height: number; readonly isSlanted: boolean }

function glyphOf(path: PlanPath): Glyph | null {
  const { points, filled } = path;
  const isClosed = points.length > 3 && distance(points[0]!, points.at(-1)!) === 0;
  if (!filled && !isClosed) return null;
  let [left, right, top, bottom] = [Infinity, -Infinity, Infinity, -Infinity];
  for (const [x, y] of points) { left = Math.min(left, x); right = Math.max(right, x); top = Math.min(top, y); bottom = Math.max(bottom, y); }
  let [all, slanted] = [0, 0];
  points.forEach((point, i) => {
    const next = points[(i + 1) % points.length]!;
    const length = distance(point, next);
    all += length;
    if (Math.min(Math.abs(next[0] - point[0]), Math.abs(next[1] - point[1])) > 0.08 * length) slanted += length;
  });
  return { path, x: left, y: top, width: right - left, height: bottom - top, isSlanted: slanted > SLANTED * all };
}

/**
 * Paths that are letters drawn as outlines: closed shapes of one height in a row, level or upright, and what lies inside them.
 * @param smallest  shapes that are lower and narrower are left aside, sheet units
 */
export function lettersAmong(paths: readonly PlanPath[], smallest: number): ReadonlySet<PlanPath> {
  const level = paths.map(glyphOf).filter((glyph): glyph is Glyph => glyph !== null && Math.max(glyph.width, glyph.height) >= smallest);
  const letters = new Set<PlanPath>();
  const upright = level.map((glyph): Glyph => ({ ...glyph, x: glyph.y, y: glyph.x, width: glyph.height, height: glyph.width }));
  for (const glyphs of [level, upright]) {
    // Those that stand at one place in rows of like height: each glyph looks for the nearest that goes on from it.
    const sorted = glyphs.filter(({ width, height }) => height > 0 && width <= WIDEST * height).sort((a, b) => a.x - b.x);
    const rows: Glyph[][] = [];
    let open: Glyph[][] = [];
    for (const glyph of sorted) {
      open = open.filter((one) => glyph.x - one.at(-1)!.x <= (WIDEST + WORD_SPACE) * one.at(-1)!.height);
      const row = open.findLast((one) => {
        const last = one.at(-1)!;
        const near = ALIKE * last.height;
        return Math.abs(last.height - glyph.height) <= near && Math.abs(last.y + last.height - glyph.y - glyph.height) <= near && glyph.x - last.x - last.width <= WORD_SPACE * last.height && glyph.x >= last.x + last.width / 2;
      });
      if (row) { row.push(glyph); continue; }
      rows.push([glyph]);
      open.push(rows.at(-1)!);
    }
    for (const row of rows) {
      if (row.length < LEAST_ROW || row.filter(({ isSlanted }) => isSlanted).length < LETTERED * row.length) continue;
      for (const letter of row) for (const glyph of glyphs) {
        if (glyph.x >= letter.x && glyph.y >= letter.y && glyph.x + glyph.width <= letter.x + letter.width && glyph.y + glyph.height <= letter.y + letter.height) letters.add(glyph.path);
      }
    }
  }
  return letters;
}
