/**
 * Order of directions without trigonometry: rises with the angle from just above -2 to 2, 0 along +x, 2 along -x.
 */
export function directionKey(x: number, y: number): number {
  const share = y / (Math.abs(x) + Math.abs(y));
  return x >= 0 ? share : y >= 0 ? 2 - share : -2 - share;
}
const FROM = -2; const TO = 2;
/** After the last direction of a group of runs. */
const PAST = Infinity;
/** No wall in this direction: the view ends at the radius. */
export const OPEN = -1;

/** Equal parts of the order of directions, and the direction at the start of each: |x| + |y| = 1, so a line is linear in the key within one. */
const SECTORS = 128; const PER_KEY = SECTORS / (TO - FROM);
const sectorX = new Float64Array(SECTORS + 1); const sectorY = new Float64Array(SECTORS + 1);
for (let k = 0; k <= SECTORS; k += 1) {
  const key = FROM + k / PER_KEY; const turned = Math.abs(key);
  sectorX[k] = 1 - turned; sectorY[k] = turned <= 1 ? key : Math.sign(key) * (2 - turned);
}
/** Room for rounding when one line is said to lie behind another, as a share of the lines' numbers. */
const SLACK = 1e-14;
/** Twice the area of edge and viewpoint below which an edge has no width that could be reckoned with. */
const NO_WIDTH = 1e-280;

/** Runs of directions, each with the wall edge that is nearest in it. Run k goes from direction k to direction k + 1. */
interface Runs { key: Float64Array; x: Float64Array; y: Float64Array; edge: Int32Array }
const makeRuns = (size: number): Runs => ({ key: new Float64Array(size), x: new Float64Array(size), y: new Float64Array(size), edge: new Int32Array(size) });

/**
 * What is nearest in each direction round a viewpoint, up to a radius: the lower envelope of wall edges over direction, by
 * merging halves. Edges may cross, touch, overlap and repeat. An edge on the viewpoint's own line has no width and is left
 * out; the caller decides what that means. Rounded: for areas, drawing and as a first answer that ties are taken out of.
 * One object may be used again and again; it keeps its arrays.
 */
export class Envelope {
  cx = 0; cy = 0; radius = 0;
  /** Number of runs after `build`. */
  count = 0;
  edges = 0;
  /** An edge's line as seen from the viewpoint is all u with u x line = 1: direction u meets it at 1 / (u x line), and past it u x line > 1. */
  lineX = new Float64Array(256); lineY = new Float64Array(256);
  source = new Int32Array(256);
  /** Ends of the edge's part within the radius, as directions; the edge turns with the angle. */
  private fromX = new Float64Array(256); private fromY = new Float64Array(256); private toX = new Float64Array(256); private toY = new Float64Array(256);
  private fromKey = new Float64Array(256); private toKey = new Float64Array(256);
  runs = makeRuns(1024);
  private spare = makeRuns(1024);
  private offset = new Int32Array(512); private offsetSpare = new Int32Array(512);
  /** By sector: how near (as 1 / distance) at least something stands all across it, and the run at its start. */
  private readonly screen = new Float64Array(SECTORS); private readonly runAt = new Int32Array(SECTORS + 1);
  /** Edges by the sector that they start in, as chains. */
  private readonly firstIn = new Int32Array(SECTORS + 1); private nextIn = new Int32Array(256);

  start(cx: number, cy: number, radius: number): void {
    this.cx = cx; this.cy = cy; this.radius = radius; this.edges = 0; this.count = 0;
  }

  /** @returns false when the edge lies on a line through the viewpoint, and so has no width */
  add(x1: number, y1: number, x2: number, y2: number, source: number): boolean {
    let ax = x1 - this.cx; let ay = y1 - this.cy; let bx = x2 - this.cx; let by = y2 - this.cy;
    let cross = ax * by - ay * bx;
    if (cross < 0) { cross = -cross; let swap = ax; ax = bx; bx = swap; swap = ay; ay = by; by = swap; }
    if (cross < NO_WIDTH) return false;
    const dx = bx - ax; const dy = by - ay; const length2 = dx * dx + dy * dy;
    const r2 = this.radius * this.radius;
    if (cross * cross > r2 * length2) return true;
    let fx = ax; let fy = ay; let tx = bx; let ty = by;
    const a2 = ax * ax + ay * ay; const b2 = bx * bx + by * by;
    if (a2 > r2 || b2 > r2) {
      const half = ax * dx + ay * dy;
      const root = Math.sqrt(Math.max(0, r2 * length2 - cross * cross));
      if (a2 > r2) { const s = (-half - root) / length2; if (s >= 1 || s <= 0) return true; fx = ax + s * dx; fy = ay + s * dy; }
      if (b2 > r2) { const s = (-half + root) / length2; if (s <= 0 || s >= 1) return true; tx = ax + s * dx; ty = ay + s * dy; }
    }
    const i = this.edges;
    if (i === this.source.length) this.growEdges();
    this.lineX[i] = dx / cross; this.lineY[i] = dy / cross; this.source[i] = source;
    this.fromX[i] = fx; this.fromY[i] = fy; this.toX[i] = tx; this.toY[i] = ty;
    this.edges = i + 1;
    return true;
  }

  build(): void {
    const n = this.edges;
    if (this.runs.key.length < 8 * n + 16) { this.runs = makeRuns(16 * n + 16); this.spare = makeRuns(16 * n + 16); }
    if (this.offset.length < n + 2) { this.offset = new Int32Array(2 * n + 2); this.offsetSpare = new Int32Array(2 * n + 2); }
    this.layScreen();
    let groups = this.single();
    while (groups > 1) {
      const { offset, offsetSpare, runs, spare } = this;
      let out = 0; let g = 0;
      for (let i = 0; i < groups; i += 2, g += 1) {
        offsetSpare[g] = out;
        const a = offset[i]!; const b = offset[i + 1]!;
        out = i + 1 < groups ? this.merge(runs, a, b, b, offset[i + 2]!, spare, out) : copyRuns(runs, a, b, spare, out);
      }
      offsetSpare[g] = out;
      groups = g;
      this.runs = spare; this.spare = runs; this.offset = offsetSpare; this.offsetSpare = offset;
    }
    this.closeRound(groups === 0 ? 0 : this.offset[1]!);
    this.indexRuns();
  }

  /** The run that a direction lies in. */
  find(key: number): number {
    const keys = this.runs.key; const last = this.count - 1;
    let run = this.runAt[Math.floor((key - FROM) * PER_KEY)]!;
    while (run < last && keys[run + 1]! <= key) run += 1;
    return run;
  }

  /** Where the direction (x, y) meets the line of an edge, as a multiple of (x, y). */
  reach(edge: number, x: number, y: number): number {
    return 1 / (x * this.lineY[edge]! - y * this.lineX[edge]!);
  }

  private indexRuns(): void {
    const { runAt, count } = this; const keys = this.runs.key;
    for (let sector = 0, run = 0; sector <= SECTORS; sector += 1) {
      const key = FROM + sector / PER_KEY;
      while (run + 1 < count && keys[run + 1]! <= key) run += 1;
      runAt[sector] = run;
    }
  }

  /** Reads off every edge how near it stands all across a sector; what stands behind in all its sectors need not be merged. */
  private layScreen(): void {
    const { screen, fromKey, toKey, lineX, lineY } = this;
    screen.fill(0);
    for (let i = 0; i < this.edges; i += 1) {
      const from = directionKey(this.fromX[i]!, this.fromY[i]!); let to = directionKey(this.toX[i]!, this.toY[i]!);
      // A hair of an edge may come out backwards by rounding; only a jump of more than a quarter is the start of the order.
      if (from > to && from - to < 1) to = from;
      fromKey[i] = from; toKey[i] = to;
      const first = Math.ceil((from - FROM) * PER_KEY); const end = Math.floor((to - FROM) * PER_KEY) + (from > to ? SECTORS : 0);
      if (first >= end) continue;
      const dx = lineX[i]!; const dy = lineY[i]!; const slack = SLACK * (Math.abs(dx) + Math.abs(dy));
      for (let k = first; k < end; k += 1) {
        const s = k % SECTORS;
        const near = Math.min(sectorX[s]! * dy - sectorY[s]! * dx, sectorX[s + 1]! * dy - sectorY[s + 1]! * dx) - slack;
        if (near > screen[s]!) screen[s] = near;
      }
    }
  }

  /** Whether something stands in front of all of the edge. */
  private isScreened(i: number): boolean {
    const { screen } = this; const from = this.fromKey[i]!; const to = this.toKey[i]!;
    const dx = this.lineX[i]!; const dy = this.lineY[i]!; const slack = SLACK * (Math.abs(dx) + Math.abs(dy));
    const end = Math.floor((to - FROM) * PER_KEY) + (from > to ? SECTORS : 0);
    for (let k = Math.floor((from - FROM) * PER_KEY); k <= end; k += 1) {
      const s = k % SECTORS;
      if (!(Math.max(sectorX[s]! * dy - sectorY[s]! * dx, sectorX[s + 1]! * dy - sectorY[s + 1]! * dx) + slack < screen[s]!)) return false;
    }
    return true;
  }

  /**
   * One group of runs for each edge that may show: where it starts and where it ends, as all groups end open. One that goes
   * on across the start of the order makes two. Groups come by the sector of their start, so that neighbours are merged first.
   * @returns how many
   */
  private single(): number {
    const { runs, offset, firstIn, nextIn, fromKey, toKey } = this;
    let out = 0; let groups = 0;
    firstIn.fill(-1);
    for (let i = 0; i < this.edges; i += 1) {
      if (this.isScreened(i)) continue;
      const from = fromKey[i]!; const to = toKey[i]!; const sector = Math.floor((from - FROM) * PER_KEY);
      nextIn[i] = firstIn[sector]!; firstIn[sector] = i;
      if (from <= to || to === FROM) continue;
      offset[groups++] = out;
      out = putRun(runs, out, FROM, -1, 0, i); out = putRun(runs, out, to, this.toX[i]!, this.toY[i]!, OPEN);
    }
    for (let sector = 0; sector <= SECTORS; sector += 1) for (let i = firstIn[sector]!; i >= 0; i = nextIn[i]!) {
      const from = fromKey[i]!; const to = toKey[i]!;
      if (from >= TO) continue;
      offset[groups++] = out;
      out = putRun(runs, out, from, this.fromX[i]!, this.fromY[i]!, i);
      out = from > to ? putRun(runs, out, TO, -1, 0, OPEN) : putRun(runs, out, to, this.toX[i]!, this.toY[i]!, OPEN);
    }
    offset[groups] = out;
    return groups;
  }

  /** Merges the groups i..iEnd and j..jEnd of `a` into `o`. @returns the end of what is written */
  private merge(a: Runs, i: number, iEnd: number, j: number, jEnd: number, o: Runs, out: number): number {
    const { key, x, y, edge } = a; const { lineX, lineY } = this;
    const oKey = o.key; const oX = o.x; const oY = o.y; const oEdge = o.edge;
    let p = OPEN; let q = OPEN; let last = OPEN;
    let ki = key[i]!; let kj = key[j]!;
    for (;;) {
      // On to the next direction in which either changes.
      let at: number;
      if (ki <= kj) {
        if (ki === PAST) return out;
        at = i; p = edge[i]!; i += 1;
        if (ki === kj) { q = edge[j]!; j += 1; kj = j < jEnd ? key[j]! : PAST; }
        ki = i < iEnd ? key[i]! : PAST;
      } else { at = j; q = edge[j]!; j += 1; kj = j < jEnd ? key[j]! : PAST; }
      if (p < 0 || q < 0) {
        const near = p < 0 ? q : p;
        if (near !== last) { oKey[out] = key[at]!; oX[out] = x[at]!; oY[out] = y[at]!; oEdge[out] = near; out += 1; last = near; }
        continue;
      }
      // Along u the lines stand at 1 / (u x line): which is nearer is the sign of u x w, linear in u.
      const after = ki <= kj ? i : j; const t = key[at]!; const ux = x[at]!; const uy = y[at]!;
      const wx = lineX[q]! - lineX[p]!; const wy = lineY[q]! - lineY[p]!;
      const s0 = ux * wy - uy * wx; const s1 = x[after]! * wy - y[after]! * wx;
      const near = s0 < 0 || (s0 === 0 && s1 <= 0) ? p : q;
      if (near !== last) { oKey[out] = t; oX[out] = ux; oY[out] = uy; oEdge[out] = near; out += 1; last = near; }
      if (s0 < 0 ? s1 > 0 : s0 > 0 && s1 < 0) {
        // They cross between the two directions; rounding must not take the crossing out of there.
        const side = s0 < 0 ? -1 : 1; const k = directionKey(side * wx, side * wy);
        oKey[out] = !(k > t) ? t : k > key[after]! ? key[after]! : k; oX[out] = side * wx; oY[out] = side * wy;
        last = near === p ? q : p; oEdge[out] = last; out += 1;
      }
    }
  }

  /** Completes the one group that is left to the full round. */
  private closeRound(end: number): void {
    const { key, x, y, edge } = this.runs;
    let count = end;
    if (count === 0 || key[0]! > FROM) {
      key.copyWithin(1, 0, count); x.copyWithin(1, 0, count); y.copyWithin(1, 0, count); edge.copyWithin(1, 0, count);
      putRun(this.runs, 0, FROM, -1, 0, OPEN); count += 1;
    }
    if (count > 1 && key[count - 1]! >= TO) count -= 1;
    this.count = count;
  }

  private growEdges(): void {
    this.lineX = longer(this.lineX); this.lineY = longer(this.lineY);
    this.fromX = longer(this.fromX); this.fromY = longer(this.fromY); this.toX = longer(this.toX); this.toY = longer(this.toY);
    this.fromKey = longer(this.fromKey); this.toKey = longer(this.toKey);
    const source = new Int32Array(2 * this.source.length); source.set(this.source); this.source = source;
    this.nextIn = new Int32Array(source.length);
  }
}

function longer(old: Float64Array): Float64Array<ArrayBuffer> {
  const fresh = new Float64Array(2 * old.length); fresh.set(old);
  return fresh;
}

function putRun(runs: Runs, at: number, key: number, x: number, y: number, edge: number): number {
  runs.key[at] = key; runs.x[at] = x; runs.y[at] = y; runs.edge[at] = edge;
  return at + 1;
}

function copyRuns(from: Runs, start: number, end: number, to: Runs, out: number): number {
  for (let i = start; i < end; i += 1, out += 1) { to.key[out] = from.key[i]!; to.x[out] = from.x[i]!; to.y[out] = from.y[i]!; to.edge[out] = from.edge[i]!; }
  return out;
}
