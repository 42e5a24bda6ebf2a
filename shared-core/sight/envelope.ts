/**
 * Order of directions without trigonometry: rises with the angle from just above -2 to 2, 0 along +x, 2 along -x.
 */
export function directionKey(x: number, y: number): number {
  const share = y / (Math.abs(x) + Math.abs(y));
  return x >= 0 ? share : y >= 0 ? 2 - share : -2 - share;
}
const FROM = -2; const TO = 2;
/** No wall in this direction: the view ends at the radius. */
export const OPEN = -1;

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
  /** Edge as a line seen from the viewpoint: start, direction, and their cross product (positive: turns with the angle). */
  ax = new Float64Array(256); ay = new Float64Array(256); dx = new Float64Array(256); dy = new Float64Array(256); cross = new Float64Array(256);
  source = new Int32Array(256);
  /** Ends of the edge's part within the radius, as directions. */
  private fromX = new Float64Array(256); private fromY = new Float64Array(256); private toX = new Float64Array(256); private toY = new Float64Array(256);
  runs = makeRuns(1024);
  private spare = makeRuns(1024);
  private offset = new Int32Array(512); private offsetSpare = new Int32Array(512);

  start(cx: number, cy: number, radius: number): void {
    this.cx = cx; this.cy = cy; this.radius = radius; this.edges = 0; this.count = 0;
  }

  /** @returns false when the edge lies on a line through the viewpoint, and so has no width */
  add(x1: number, y1: number, x2: number, y2: number, source: number): boolean {
    let ax = x1 - this.cx; let ay = y1 - this.cy; let bx = x2 - this.cx; let by = y2 - this.cy;
    let cross = ax * by - ay * bx;
    if (cross === 0) return false;
    if (cross < 0) { cross = -cross; let swap = ax; ax = bx; bx = swap; swap = ay; ay = by; by = swap; }
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
    if (i === this.ax.length) this.growEdges();
    this.ax[i] = ax; this.ay[i] = ay; this.dx[i] = dx; this.dy[i] = dy; this.cross[i] = cross; this.source[i] = source;
    this.fromX[i] = fx; this.fromY[i] = fy; this.toX[i] = tx; this.toY[i] = ty;
    this.edges = i + 1;
    return true;
  }

  build(): void {
    const n = this.edges;
    if (this.runs.key.length < 8 * n + 16) { this.runs = makeRuns(16 * n + 16); this.spare = makeRuns(16 * n + 16); }
    if (this.offset.length < n + 2) { this.offset = new Int32Array(2 * n + 2); this.offsetSpare = new Int32Array(2 * n + 2); }
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
    this.count = this.offset[1]!;
  }

  /** The run that a direction lies in. */
  find(key: number): number {
    const keys = this.runs.key;
    let low = 0; let high = this.count - 1;
    while (low < high) { const mid = (low + high + 1) >> 1; if (keys[mid]! <= key) low = mid; else high = mid - 1; }
    return low;
  }

  /** Where the direction (x, y) meets the line of an edge, as a multiple of (x, y). */
  reach(edge: number, x: number, y: number): number {
    return this.cross[edge]! / (x * this.dy[edge]! - y * this.dx[edge]!);
  }

  /** One envelope per edge: up to three runs. */
  private single(): number {
    const { runs, offset, edges } = this;
    let out = 0;
    for (let i = 0; i < edges; i += 1) {
      offset[i] = out;
      const fx = this.fromX[i]!; const fy = this.fromY[i]!; const tx = this.toX[i]!; const ty = this.toY[i]!;
      const from = directionKey(fx, fy); let to = directionKey(tx, ty);
      // A hair of an edge may come out backwards by rounding; only a jump of more than a quarter is the start of the order.
      if (from > to && from - to < 1) to = from;
      const wraps = from > to;
      out = putRun(runs, out, FROM, -1, 0, wraps ? i : OPEN);
      if (wraps) {
        out = putRun(runs, out, to, tx, ty, OPEN);
        if (from < TO) out = putRun(runs, out, from, fx, fy, i);
      } else {
        out = putRun(runs, out, from, fx, fy, i);
        if (to < TO) out = putRun(runs, out, to, tx, ty, OPEN);
      }
    }
    if (edges === 0) { offset[0] = 0; offset[1] = putRun(runs, 0, FROM, -1, 0, OPEN); return 1; }
    offset[edges] = out;
    return edges;
  }

  private merge(a: Runs, i: number, iEnd: number, j: number, jEnd: number, o: Runs, out: number): number {
    const { key, x, y, edge } = a; const { cross, dx, dy } = this;
    const oKey = o.key; const oX = o.x; const oY = o.y; const oEdge = o.edge;
    let last = -2; let t = FROM; let ux = -1; let uy = 0;
    for (;;) {
      const iNext = i + 1 < iEnd ? key[i + 1]! : TO; const jNext = j + 1 < jEnd ? key[j + 1]! : TO;
      let next: number; let vx: number; let vy: number;
      if (iNext <= jNext) { next = iNext; if (i + 1 < iEnd) { vx = x[i + 1]!; vy = y[i + 1]!; } else { vx = -1; vy = 0; } }
      else { next = jNext; vx = x[j + 1]!; vy = y[j + 1]!; }
      const p = edge[i]!; const q = edge[j]!;
      let near = p; let then = -2; let wx = 0; let wy = 0;
      if (p < 0) near = q;
      else if (q >= 0 && p !== q) {
        // Along u the edges stand at cross / (u x d): which is nearer is the sign of u x w, linear in u.
        const cp = cross[p]!; const cq = cross[q]!;
        wx = cp * dx[q]! - cq * dx[p]!; wy = cp * dy[q]! - cq * dy[p]!;
        const s0 = ux * wy - uy * wx; const s1 = vx * wy - vy * wx;
        if (s0 <= 0 && s1 <= 0) near = p;
        else if (s0 >= 0 && s1 >= 0) near = q;
        else if (s0 < 0) { near = p; then = q; wx = -wx; wy = -wy; } else { near = q; then = p; }
      }
      if (near !== last) { oKey[out] = t; oX[out] = ux; oY[out] = uy; oEdge[out] = near; out += 1; last = near; }
      if (then !== -2) {
        let k = directionKey(wx, wy);
        if (!(k > t)) k = t; else if (k > next) k = next;
        oKey[out] = k; oX[out] = wx; oY[out] = wy; oEdge[out] = then; out += 1; last = then;
      }
      if (next >= TO) return out;
      if (iNext <= next) i += 1;
      if (jNext <= next) j += 1;
      t = next; ux = vx; uy = vy;
    }
  }

  private growEdges(): void {
    this.ax = longer(this.ax); this.ay = longer(this.ay); this.dx = longer(this.dx); this.dy = longer(this.dy); this.cross = longer(this.cross);
    this.fromX = longer(this.fromX); this.fromY = longer(this.fromY); this.toX = longer(this.toX); this.toY = longer(this.toY);
    const source = new Int32Array(2 * this.source.length); source.set(this.source); this.source = source;
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
