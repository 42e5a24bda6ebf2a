import { angleMinusSine } from './outlines';
import type { Circle, Outline, OutlineEdge } from './outlines';

/** One shape of a cut: the result lies inside every 'keep' shape and outside every 'drop' shape (non-zero winding each). */
export interface CutShape { readonly role: 'keep' | 'drop'; readonly outlines: readonly Outline[] }
export interface CutResult { readonly area: number; readonly outlines: readonly Outline[] }

/** An edge that runs strictly left to right. Arcs are halves: `bulge` +1 the half of larger y, -1 of smaller. */
interface Strand {
  readonly x0: number; readonly y0: number; readonly x1: number; readonly y1: number;
  /** +1 when the outline runs along it to the right. */
  readonly turn: 1 | -1;
  readonly shape: number;
  readonly circle: Circle | null; readonly bulge: number;
  readonly low: number; readonly high: number;
  /** y at the middle of the current slab. */
  mid: number;
}

/**
 * Intersection and difference of regions bounded by straight edges and circle arcs.
 * The plane is cut into upright slabs at every corner and crossing; within a slab the strands do not cross, so each cell
 * between two neighbours is in or out as a whole. A rounding error can only misjudge a cell as thin as itself: shared walls,
 * touching corners and overlaps need no special cases, which is why this is preferred to linking crossing points.
 */
export function cutRegions(shapes: readonly CutShape[], options: { readonly areaOnly?: boolean } = {}): CutResult {
  const window = commonWindow(shapes);
  if (!window) return { area: 0, outlines: [] };
  const strands = shapes.flatMap((shape, i) => strandsOf(shape.outlines, i, window));
  strands.sort((a, b) => a.x0 - b.x0);
  const isKeep = shapes.map((shape) => shape.role === 'keep');
  const borders = bordersOf(strands, window, isKeep);
  const sliver = 1e-11 * (window.right - window.left + Math.abs(window.top - window.bottom));
  const tracer = options.areaOnly ? null : new Tracer();
  const winding = new Int32Array(shapes.length);
  const keeps = isKeep.filter(Boolean).length;
  // Strands wholly below the window are only counted.
  const below = strands.filter((strand) => strand.high < window.bottom); const level = strands.filter((strand) => strand.high >= window.bottom);
  let active: Strand[] = []; let next = 0; let area = 0;
  for (let b = 0; b + 1 < borders.length; b += 1) {
    const left = borders[b]!; const right = borders[b + 1]!; const middle = (left + right) / 2;
    let kept = 0;
    for (const strand of active) if (strand.x1 > middle) active[kept++] = strand;
    active.length = kept;
    while (next < level.length && level[next]!.x0 <= middle) { const strand = level[next++]!; if (strand.x1 > middle) active.push(strand); }
    for (const strand of active) strand.mid = heightAt(strand, middle);
    active = sortByMiddle(active);
    winding.fill(0);
    // A corner out of the window makes no slab, so the middle may lie right on one: there the strand to its right counts, never both or none.
    for (const strand of below) { if (strand.x0 > middle) break; if (strand.x1 > middle) winding[strand.shape]! += strand.turn; }
    let inside = 0; let cut = 0; let floor: Strand | null = null;
    for (let s = 0; s < winding.length; s += 1) if (winding[s] !== 0) { if (isKeep[s]) inside += 1; else cut += 1; }
    for (const strand of active) {
      const s = strand.shape; const before = winding[s]! !== 0;
      winding[s]! += strand.turn;
      const after = winding[s]! !== 0;
      if (before === after) continue;
      if (isKeep[s]) inside += after ? 1 : -1; else cut += after ? 1 : -1;
      const open: boolean = inside === keeps && cut === 0;
      if (open && !floor) floor = strand;
      else if (!open && floor) {
        if (strand.mid - floor.mid > sliver) {
          area += areaUnder(strand, left, right) - areaUnder(floor, left, right);
          tracer?.cell(floor, strand);
        }
        floor = null;
      }
    }
    tracer?.slab(left);
  }
  tracer?.slab(borders.at(-1)!);
  return { area: Math.max(0, area), outlines: tracer ? tracer.finish() : [] };
}

/**
 * Which regions lie over each other: the distinct sets of regions that cover some cell of the plane, by index, ascending;
 * a set that only cells as thin as rounding show is left out. Regions as for cutRegions, one shape each.
 */
export function overlapSets(regions: readonly (readonly Outline[])[]): number[][] {
  const windows = regions.map((outlines) => commonWindow([{ role: 'keep', outlines }])).filter((w): w is Window => w !== null);
  if (windows.length === 0) return [];
  const window: Window = { left: Math.min(...windows.map((w) => w.left)), right: Math.max(...windows.map((w) => w.right)), bottom: Math.min(...windows.map((w) => w.bottom)), top: Math.max(...windows.map((w) => w.top)), uprights: [] };
  const strands = regions.flatMap((outlines, i) => strandsOf(outlines, i, window)).sort((a, b) => a.x0 - b.x0);
  const borders = bordersOf(strands, window, regions.map(() => true));
  const thin = 1e-9 * (window.right - window.left + window.top - window.bottom);
  const sets = new Map<string, number[]>();
  const winding = new Int32Array(regions.length);
  let active: Strand[] = []; let next = 0;
  for (let b = 0; b + 1 < borders.length; b += 1) {
    const middle = (borders[b]! + borders[b + 1]!) / 2;
    active = active.filter((strand) => strand.x1 > middle);
    while (next < strands.length && strands[next]!.x0 < middle) { const strand = strands[next++]!; if (strand.x1 > middle) active.push(strand); }
    if (borders[b + 1]! - borders[b]! <= thin) continue;
    for (const strand of active) strand.mid = heightAt(strand, middle);
    active = sortByMiddle(active);
    winding.fill(0);
    for (const [k, strand] of active.entries()) {
      winding[strand.shape]! += strand.turn;
      const roof = active[k + 1];
      if (!roof || roof.mid - strand.mid <= thin) continue;
      const over = [...winding.keys()].filter((i) => winding[i] !== 0);
      if (over.length > 0) sets.set(over.join(' '), over);
    }
  }
  return [...sets.values()].sort((a, b) => b.length - a.length || (a.join(' ') < b.join(' ') ? -1 : 1));
}

interface Window { left: number; right: number; bottom: number; top: number; readonly uprights: number[] }

/** What every kept shape covers: nothing outside it can be in the result. */
function commonWindow(shapes: readonly CutShape[]): Window | null {
  const window: Window = { left: -Infinity, right: Infinity, bottom: -Infinity, top: Infinity, uprights: [] };
  for (const shape of shapes) {
    if (shape.role !== 'keep') continue;
    let left = Infinity; let right = -Infinity; let bottom = Infinity; let top = -Infinity;
    for (const outline of shape.outlines) for (const e of outline) {
      left = Math.min(left, e.x1); right = Math.max(right, e.x1); bottom = Math.min(bottom, e.y1); top = Math.max(top, e.y1);
      if (!e.arc) continue;
      const { cx, cy, radius } = e.arc;
      if (arcReaches(e, cx - radius, cy)) left = Math.min(left, cx - radius);
      if (arcReaches(e, cx + radius, cy)) right = Math.max(right, cx + radius);
      if (arcReaches(e, cx, cy - radius)) bottom = Math.min(bottom, cy - radius);
      if (arcReaches(e, cx, cy + radius)) top = Math.max(top, cy + radius);
    }
    window.left = Math.max(window.left, left); window.right = Math.min(window.right, right);
    window.bottom = Math.max(window.bottom, bottom); window.top = Math.min(window.top, top);
  }
  return window.left < window.right && window.bottom < window.top ? window : null;
}

/** A point of the circle lies on the arc when it lies on the arc's side of the chord. */
function arcReaches(e: OutlineEdge, x: number, y: number): boolean {
  return (e.x2 - e.x1) * (y - e.y1) - (e.y2 - e.y1) * (x - e.x1) < 0;
}

function strandsOf(outlines: readonly Outline[], shape: number, window: Window): Strand[] {
  const strands: Strand[] = [];
  for (const outline of outlines) for (const e of outline) {
    if (!e.arc) { putStrand(strands, e.x1, e.y1, e.x2, e.y2, shape, null, 0, window); continue; }
    for (const part of splitAtSides(e, e.arc)) putStrand(strands, part.x1, part.y1, part.x2, part.y2, shape, e.arc, part.bulge, window);
  }
  return strands;
}

function putStrand(strands: Strand[], xa: number, ya: number, xb: number, yb: number, shape: number, circle: Circle | null, bulge: number, window: Window): void {
  if (xa === xb) {
    // Upright edges are no strands and cross none, so one that passes right through the window must make its slab's border itself.
    if (Math.min(ya, yb) <= window.top && Math.max(ya, yb) >= window.bottom) window.uprights.push(xa);
    return;
  }
  const forward = xa < xb;
  const x0 = forward ? xa : xb; const x1 = forward ? xb : xa; const y0 = forward ? ya : yb; const y1 = forward ? yb : ya;
  let low = Math.min(y0, y1); let high = Math.max(y0, y1);
  if (circle && x0 < circle.cx && x1 > circle.cx) { if (bulge > 0) high = circle.cy + circle.radius; else low = circle.cy - circle.radius; }
  // Well above the window nothing is left to switch on; beside it there is no slab. Below it still counts.
  if (x1 <= window.left || x0 >= window.right || low > window.top + 1e-9 * (window.top - window.bottom)) return;
  strands.push({ x0, y0, x1, y1, turn: forward ? 1 : -1, shape, circle, bulge, low, high, mid: 0 });
}

/** Cuts an arc where it turns back in x: at the circle's right and left ends. */
function splitAtSides(e: OutlineEdge, arc: Circle): { x1: number; y1: number; x2: number; y2: number; bulge: number }[] {
  const turn = 2 * Math.PI;
  const start = Math.atan2(e.y1 - arc.cy, e.x1 - arc.cx); let end = Math.atan2(e.y2 - arc.cy, e.x2 - arc.cx);
  if (end <= start - 1e-9) end += turn;
  if (end <= start) return [];
  const parts: { x1: number; y1: number; x2: number; y2: number; bulge: number }[] = [];
  let angle = start; let x = e.x1; let y = e.y1;
  while (angle < end) {
    // Sides lie at multiples of pi; the half just after `angle` tells the bulge.
    const half = Math.floor(angle / Math.PI + 1e-12);
    const stop = (half + 1) * Math.PI;
    const bulge = (((half % 2) + 2) % 2) === 0 ? 1 : -1;
    if (stop >= end - 1e-12) { parts.push({ x1: x, y1: y, x2: e.x2, y2: e.y2, bulge }); break; }
    const sideX = bulge > 0 ? arc.cx - arc.radius : arc.cx + arc.radius;
    parts.push({ x1: x, y1: y, x2: sideX, y2: arc.cy, bulge });
    x = sideX; y = arc.cy; angle = stop;
  }
  return parts;
}

function heightAt(s: Strand, x: number): number {
  if (x <= s.x0) return s.y0;
  if (x >= s.x1) return s.y1;
  if (!s.circle) { const share = (x - s.x0) / (s.x1 - s.x0); return share < 0.5 ? s.y0 + share * (s.y1 - s.y0) : s.y1 - ((s.x1 - x) / (s.x1 - s.x0)) * (s.y1 - s.y0); }
  const d = x - s.circle.cx; const r = s.circle.radius;
  return s.circle.cy + s.bulge * Math.sqrt(Math.max(0, (r - d) * (r + d)));
}

/** Area between the strand and the x axis over left..right: chord and cap. */
function areaUnder(s: Strand, left: number, right: number): number {
  const ya = heightAt(s, left); const yb = heightAt(s, right); const width = right - left;
  const trapezoid = ((ya + yb) / 2) * width;
  if (!s.circle) return trapezoid;
  const chord = Math.hypot(width, yb - ya); const r = s.circle.radius;
  const angle = 2 * Math.asin(Math.min(1, chord / (2 * r)));
  return trapezoid + s.bulge * 0.5 * r * r * angleMinusSine(angle);
}

function sortByMiddle(strands: Strand[]): Strand[] {
  for (let i = 1; i < strands.length; i += 1) {
    const strand = strands[i]!; let j = i - 1;
    while (j >= 0 && strands[j]!.mid > strand.mid) { strands[j + 1] = strands[j]!; j -= 1; }
    strands[j + 1] = strand;
  }
  return strands;
}

/** Collects the x of corners and crossings. What happens above or below the window changes no cell: there strands are only counted. */
class Borders {
  private readonly xs: number[];
  readonly bottom: number; private readonly top: number;
  constructor(private readonly window: Window) {
    const margin = 1e-9 * (window.top - window.bottom);
    this.bottom = window.bottom - margin; this.top = window.top + margin;
    this.xs = [window.left, window.right];
  }
  add(x: number, y: number): void {
    if (x > this.window.left && x < this.window.right && y >= this.bottom && y <= this.top) this.xs.push(x);
  }
  /** A crossing counts within the two strands' common run only; y is on the first. */
  cross(a: Strand, b: Strand, x: number): void {
    if (x > a.x0 && x > b.x0 && x < a.x1 && x < b.x1) this.add(x, heightAt(a, x));
  }
  sorted(): Float64Array {
    const xs = Float64Array.from(this.xs).sort();
    const gap = 1e-13 * (this.window.right - this.window.left);
    let n = 0;
    for (const x of xs) if (n === 0 || x - xs[n - 1]! > gap) xs[n++] = x;
    return xs.subarray(0, n);
  }
}

function bordersOf(strands: readonly Strand[], window: Window, isKeep: readonly boolean[]): Float64Array {
  const borders = new Borders(window);
  for (const x of window.uprights) borders.add(x, window.bottom);
  for (let i = 0; i < strands.length; i += 1) {
    const a = strands[i]!;
    borders.add(a.x0, a.y0); borders.add(a.x1, a.y1);
    if (a.high < borders.bottom) continue;
    for (let j = i + 1; j < strands.length; j += 1) {
      const b = strands[j]!;
      if (b.x0 >= a.x1) break;
      // A kept outline never crosses itself; a dropped one may, when it was drawn badly.
      if ((b.shape !== a.shape || !isKeep[a.shape]) && b.low <= a.high && b.high >= a.low) crossings(a, b, borders);
    }
  }
  return borders.sorted();
}

function crossings(a: Strand, b: Strand, borders: Borders): void {
  if (!a.circle && !b.circle) {
    const low = Math.max(a.x0, b.x0); const high = Math.min(a.x1, b.x1);
    const l = heightAt(a, low) - heightAt(b, low); const r = heightAt(a, high) - heightAt(b, high);
    if ((l > 0) !== (r > 0) && l !== r) borders.cross(a, b, low + (l / (l - r)) * (high - low));
  } else if (a.circle && b.circle) {
    if (a.circle !== b.circle) circlesCross(a, b, a.circle, b.circle, borders);
  } else if (a.circle) lineCrossesCircle(b, a, a.circle, borders);
  else lineCrossesCircle(a, b, b.circle!, borders);
}

function lineCrossesCircle(line: Strand, arc: Strand, circle: Circle, borders: Borders): void {
  const dx = line.x1 - line.x0; const dy = line.y1 - line.y0; const px = line.x0 - circle.cx; const py = line.y0 - circle.cy;
  const length2 = dx * dx + dy * dy; const cross = px * dy - py * dx;
  const rest = circle.radius * circle.radius * length2 - cross * cross;
  if (rest < 0) return;
  const half = px * dx + py * dy; const root = Math.sqrt(rest);
  borders.cross(line, arc, line.x0 + ((-half - root) / length2) * dx); borders.cross(line, arc, line.x0 + ((-half + root) / length2) * dx);
}

function circlesCross(p: Strand, q: Strand, a: Circle, b: Circle, borders: Borders): void {
  const dx = b.cx - a.cx; const dy = b.cy - a.cy; const d2 = dx * dx + dy * dy;
  if (d2 === 0) return;
  const along = (d2 + a.radius * a.radius - b.radius * b.radius) / (2 * d2);
  const rest = a.radius * a.radius / d2 - along * along;
  if (rest < 0) return;
  const side = Math.sqrt(rest);
  borders.cross(p, q, a.cx + along * dx - side * dy); borders.cross(p, q, a.cx + along * dx + side * dy);
}

/** A cell that goes on from border to border as long as the same two strands bound it. */
interface Cell { readonly floor: Strand; readonly roof: Strand; readonly floorPiece: Piece; readonly roofPiece: Piece; goesOn: boolean }
/** A directed piece of the outline; node numbers at its ends. */
interface Piece { from: number; to: number; readonly strand: Strand | null; x1: number; y1: number; x2: number; y2: number; used: boolean }

const unplaced = (strand: Strand): Piece => ({ from: -1, to: -1, strand, x1: 0, y1: 0, x2: 0, y2: 0, used: false });

/** Where floor and roof meet in a point, rounding may put the roof a hair below: its side then runs the other way. */
function cover(side: Int8Array, a: number, b: number, weight: number): void {
  for (let k = Math.min(a, b); k < Math.max(a, b); k += 1) side[k]! += a < b ? weight : -weight;
}

/** Joins cells to outlines: floors run right, roofs run left, upright sides cancel where one cell gives way to another. */
class Tracer {
  private open: Cell[] = []; private fresh: Cell[] = [];
  private pieces: Piece[] = []; private nodes = 0;

  /** A cell of the slab that is being looked at. */
  cell(floor: Strand, roof: Strand): void {
    for (const cell of this.open) if (cell.floor === floor && cell.roof === roof) { cell.goesOn = true; return; }
    this.fresh.push({ floor, roof, floorPiece: unplaced(floor), roofPiece: unplaced(roof), goesOn: true });
  }

  /** Ends the slab that begins at x: cells that were not met again end there, new ones begin there. */
  slab(x: number): void {
    const { open, fresh } = this;
    const ended = open.filter((cell) => !cell.goesOn);
    if (ended.length > 0 || fresh.length > 0) { this.link(x, ended, fresh); this.open = open.filter((cell) => cell.goesOn); this.open.push(...fresh); this.fresh = []; }
    for (const cell of this.open) cell.goesOn = false;
  }

  private link(x: number, ended: readonly Cell[], begun: readonly Cell[]): void {
    const ys: number[] = [];
    for (const { floor, roof } of ended) ys.push(heightAt(floor, x), heightAt(roof, x));
    for (const { floor, roof } of begun) ys.push(heightAt(floor, x), heightAt(roof, x));
    const levels = [...ys].sort((a, b) => a - b).filter((y, i, all) => i === 0 || y !== all[i - 1]);
    const first = this.nodes; this.nodes += levels.length;
    const side = new Int8Array(levels.length);
    let at = 0;
    for (const { floorPiece, roofPiece } of ended) {
      const low = ys[at]!; const high = ys[at + 1]!; at += 2;
      const a = levels.indexOf(low); const b = levels.indexOf(high);
      floorPiece.x2 = x; floorPiece.y2 = low; floorPiece.to = first + a; roofPiece.x1 = x; roofPiece.y1 = high; roofPiece.from = first + b;
      cover(side, a, b, 1);
    }
    for (const { floorPiece, roofPiece } of begun) {
      const low = ys[at]!; const high = ys[at + 1]!; at += 2;
      const a = levels.indexOf(low); const b = levels.indexOf(high);
      floorPiece.x1 = x; floorPiece.y1 = low; floorPiece.from = first + a; roofPiece.x2 = x; roofPiece.y2 = high; roofPiece.to = first + b;
      this.pieces.push(floorPiece, roofPiece);
      cover(side, a, b, -1);
    }
    for (let k = 0; k + 1 < levels.length; k += 1) {
      const up = side[k]! > 0; const low = up ? k : k + 1; const high = up ? k + 1 : k;
      for (let copy = Math.abs(side[k]!); copy > 0; copy -= 1)
        this.pieces.push({ from: first + low, to: first + high, strand: null, x1: x, y1: levels[low]!, x2: x, y2: levels[high]!, used: false });
    }
  }

  finish(): Outline[] {
    const leaving: Piece[][] = Array.from({ length: this.nodes }, () => []);
    for (const piece of this.pieces) leaving[piece.from]!.push(piece);
    const outlines: Outline[] = [];
    for (const start of this.pieces) {
      if (start.used) continue;
      const loop: Piece[] = [];
      let piece: Piece | undefined = start;
      while (piece && !piece.used) { piece.used = true; loop.push(piece); piece = leaving[piece.to]!.find((each) => !each.used); }
      const outline = mergePieces(loop);
      if (outline.length > 1) outlines.push(outline);
    }
    return outlines;
  }
}

/** Pieces of one strand in a row become one edge again; uprights join; what has no length is dropped. */
function mergePieces(loop: readonly Piece[]): Outline {
  const edges: { x1: number; y1: number; x2: number; y2: number; strand: Strand | null }[] = [];
  // Begin at a change of strand, so that no edge is cut at the loop's arbitrary start.
  let begin = 0;
  for (let i = 0; i < loop.length; i += 1) if (loop[i]!.strand !== loop[(i + loop.length - 1) % loop.length]!.strand) { begin = i; break; }
  for (let i = 0; i < loop.length; i += 1) {
    const piece = loop[(begin + i) % loop.length]!;
    if (piece.x1 === piece.x2 && piece.y1 === piece.y2) continue;
    const last = edges.at(-1);
    if (last && last.strand === piece.strand) { last.x2 = piece.x2; last.y2 = piece.y2; }
    else edges.push({ x1: piece.x1, y1: piece.y1, x2: piece.x2, y2: piece.y2, strand: piece.strand });
  }
  return edges.map(({ x1, y1, x2, y2, strand }): OutlineEdge => (strand?.circle ? { x1, y1, x2, y2, arc: strand.circle } : { x1, y1, x2, y2 }));
}
