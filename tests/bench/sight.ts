import { computeViewport, breakIntersections } from 'visibility-polygon';
import { LiveScenes, sceneOf } from '../../shared-core/checks/index';
import type { Document, Wall } from '../../shared-core/document/index';
import { allowedRegion, isClear, prepareScene, prepareTargets, SIGHT_CLEAR, sightStates } from '../../shared-core/sight/index';
import type { Handle, SightIndex, Target } from '../../shared-core/sight/index';
import { feet, sheetUnits } from '../../shared-core/units/index';
import { randomFrom } from '../properties/sight-reference';
import { exactScale, plan as planOf, wall as wallOf } from '../unit/checks-plan';
import { against, atMost, fastest, percentile } from './bench-row';
import type { BenchRow, Contender } from './bench-row';
import { benchObstacle, benchObstacles, benchPairs, benchPlan } from './sight-plan';
import type { BenchPlan } from './sight-plan';
import { jstsPeer, meshPeer, planckPeer, rbushPeer } from './sight-peers.mjs';
import { areaByDirection, clearMemory } from './sight-measures';

const LIMIT = feet(50); const PAIRS = 2000;
type Blocked = (ax: number, ay: number, bx: number, by: number) => boolean;
const RBUSH = 'rbush.search + robust-predicates';
const GENERAL = ['planck', 'jsts', 'three-mesh-bvh'] as const;

/** Every peer over a plan, built when first asked for. */
function peersOf({ walls, count }: BenchPlan): Record<string, Blocked> {
  return { [RBUSH]: rbushPeer(walls, count).blocked, planck: planckPeer(walls, count).blocked, jsts: jstsPeer(walls, count).blocked, 'three-mesh-bvh': meshPeer(walls, count).blocked };
}
const indexOf = (plan: BenchPlan): SightIndex => prepareScene({ feetPerUnit: 1, obstacles: benchObstacles(plan) });
const handleAt = (x: number, y: number): Handle => ({ x, y, z: feet(4.5) });
const targetAt = (x: number, y: number): Target => ({ x, y, z: feet(3) });
/** Adds up what the timed loops find, so that none of it can be optimised away. */
let sink = 0;

function bestOf(best: Map<string, number>, names: readonly string[]): readonly [string, number] {
  return names.map((name) => [name, best.get(name)!] as const).sort((a, b) => a[1] - b[1])[0]!;
}

/** A single line between two points in random order over the plan, all ends at most 50 ft apart. */
function* pairRows(plan: BenchPlan, index: SightIndex, peers: Record<string, Blocked>): Generator<BenchRow> {
  const pairs = benchPairs(plan, PAIRS); const handles: Handle[] = []; const targets: Target[] = [];
  for (let k = 0; k < PAIRS; k += 1) { handles.push(handleAt(pairs[4 * k]!, pairs[4 * k + 1]!)); targets.push(targetAt(pairs[4 * k + 2]!, pairs[4 * k + 3]!)); }
  const best = fastest([
    { name: 'product', run: () => { for (let k = 0; k < PAIRS; k += 1) if (!isClear(index, handles[k]!, targets[k]!)) sink += 1; } },
    ...Object.entries(peers).map(([name, blocked]): Contender => ({ name, run: () => { for (let k = 0; k < PAIRS; k += 1) if (blocked(pairs[4 * k]!, pairs[4 * k + 1]!, pairs[4 * k + 2]!, pairs[4 * k + 3]!)) sink += 1; } })),
  ], 3000);
  const us = (ms: number): number => (ms / PAIRS) * 1000;
  const [peerName, peer] = bestOf(best, GENERAL); const product = us(best.get('product')!);
  yield against(`pair check, ${plan.count} walls`, 'us', product, peerName, us(peer), 2.5, 7);
  yield against(`pair check, ${plan.count} walls, beside the bare index`, 'us', product, RBUSH, us(best.get(RBUSH)!), 2);
}

/** Rounds of a drag in which the peers take turns. Slow frames are counted after them: a drag has no peers' garbage in it, and its code is compiled by then. */
const BESIDE_PEERS = 4;

/** One handle moving among 1 000 loads within about 50 ft: what a frame of a drag must answer. */
function* dragRows(plan: BenchPlan, index: SightIndex, peers: Record<string, Blocked>): Generator<BenchRow> {
  const random = randomFrom(3); const loads = 1000; const cx = plan.width * 0.8; const cy = plan.depth * 0.5;
  const targets = Array.from({ length: loads }, () => { const angle = random() * 2 * Math.PI; const r = 48 * Math.sqrt(random()); return targetAt(cx + r * Math.cos(angle), cy + r * Math.sin(angle)); });
  const set = prepareTargets(targets); const out = new Uint8Array(loads);
  const frames = { product: [] as number[] } as Record<string, number[]>;
  const timed = (name: string, f: () => void): void => { const start = performance.now(); f(); (frames[name] ??= []).push(performance.now() - start); };
  for (let round = 0; round < 24; round += 1) for (let frame = 0; frame < 30; frame += 1) {
    const x = cx + frame * 0.02; const y = cy + frame * 0.005;
    timed('product', () => { sink += sightStates(index, handleAt(x, y), set, LIMIT, out)[0]!; });
    if (round >= BESIDE_PEERS) continue;
    for (const name of GENERAL) timed(name, () => { for (const t of targets) if ((t.x - x) ** 2 + (t.y - y) ** 2 <= 2500 && peers[name]!(x, y, t.x, t.y)) sink += 1; });
  }
  const half = (name: string): number => percentile(frames[name]!.slice(30), 0.5);
  const [peerName, peer] = bestOf(new Map(GENERAL.map((name) => [name, half(name)])), GENERAL);
  yield against(`drag frame, ${loads} loads, ${plan.count} walls`, 'ms', half('product'), peerName, peer, 15, 30);
  yield atMost(`drag frame, ${loads} loads, ${plan.count} walls, 95 of 100 frames`, 'ms', percentile(frames.product!.slice(30 * BESIDE_PEERS), 0.95), 0.25);
}

/** 300 disconnects, each against 1 000 loads: all in range (worst), and the loads spread about three to a disconnect (usual). */
function* auditRows(plan: BenchPlan, index: SightIndex, peers: Record<string, Blocked>): Generator<BenchRow> {
  const random = randomFrom(3); const disconnects = 300; const loads = 1000;
  const handles = Array.from({ length: disconnects }, () => handleAt(60 + random() * (plan.width - 120), 60 + random() * (plan.depth - 120)));
  const about = (h: Handle, r: number): Target => { const angle = random() * 2 * Math.PI; const d = r * Math.sqrt(random()); return targetAt(h.x + d * Math.cos(angle), h.y + d * Math.sin(angle)); };
  const worst = handles.map((h) => prepareTargets(Array.from({ length: loads }, () => about(h, 50))));
  const usual = prepareTargets(Array.from({ length: loads }, (_, k) => about(handles[k % disconnects]!, 60)));
  const out = new Uint8Array(loads); const part = 10;
  const best = fastest([
    { name: 'worst', run: () => { handles.forEach((h, d) => { sink += sightStates(index, h, worst[d]!, LIMIT, out)[0]!; }); } },
    { name: 'usual', run: () => { for (const h of handles) sink += sightStates(index, h, usual, LIMIT, out)[0]!; } },
    // A peer does a tenth of the disconnects; its time counts ten times.
    ...GENERAL.map((name): Contender => ({ name, run: () => { for (let d = 0; d < disconnects; d += part) for (const t of worst[d]!.targets) if (peers[name]!(handles[d]!.x, handles[d]!.y, t.x, t.y)) sink += 1; } })),
  ], 5000);
  const [peerName, peer] = bestOf(best, GENERAL);
  yield against(`audit of 300 x 1000 pairs in range, ${plan.count} walls`, 'ms', best.get('worst')!, peerName, peer * part, 10, 15);
  yield atMost(`audit of 300 x 1000 pairs in range, ${plan.count} walls, time`, 'ms', best.get('worst')!, 60);
  yield atMost(`audit of 300 x 1000 pairs, loads spread, ${plan.count} walls`, 'ms', best.get('usual')!, 10, 4);
}

type Segment = [[number, number], [number, number]];
/** The region of one load against a visibility polygon of the walls near it, its crossings broken first as its own manual asks. */
function* regionRows(plan: BenchPlan, index: SightIndex): Generator<BenchRow> {
  const random = randomFrom(77); const { tree } = rbushPeer(plan.walls, plan.count); const question = { handleHeight: feet(4.5), limit: LIMIT };
  const spots = Array.from({ length: 40 }, () => targetAt(40 + random() * (plan.width - 80), 40 + random() * (plan.depth - 80)));
  const near = (x: number, y: number): Segment[] => tree.search({ minX: x - 50, minY: y - 50, maxX: x + 50, maxY: y + 50 }).map(({ i }: { i: number }): Segment => [[plan.walls[4 * i]!, plan.walls[4 * i + 1]!], [plan.walls[4 * i + 2]!, plan.walls[4 * i + 3]!]]);
  const peer = (spot: Target): void => { try { sink += computeViewport([spot.x, spot.y], breakIntersections(near(spot.x, spot.y)), [spot.x - 50, spot.y - 50], [spot.x + 50, spot.y + 50]).length; } catch { sink += 1; } };
  const best = fastest([
    { name: 'product', run: () => { for (const spot of spots) sink += allowedRegion(index, [spot], question).outlines.length; } },
    { name: 'visibility-polygon', run: () => { for (const spot of spots.slice(0, 8)) peer(spot); } },
  ], 2500);
  const each = best.get('product')! / spots.length;
  yield against(`region of one load, ${plan.count} walls`, 'us', each * 1000, 'visibility-polygon', (best.get('visibility-polygon')! / 8) * 1000, 8, 12);
  yield atMost(`region of one load, ${plan.count} walls, per frame`, 'ms', each, 0.1);
  let worst = 0;
  for (const { x, y } of spots) {
    const slow = areaByDirection(x, y, 50, near(x, y).map(([[a, b], [c, d]]) => [a, b, c, d]));
    worst = Math.max(worst, Math.abs(allowedRegion(index, [targetAt(x, y)], { handleHeight: feet(3), limit: LIMIT }).area / slow - 1));
  }
  yield atMost(`region area beside a quadratic method, ${plan.count} walls`, 'relative', worst, 1e-9, 1e-13);
  const cx = plan.width * 0.8; const cy = plan.depth * 0.5;
  const group = Array.from({ length: 20 }, () => targetAt(cx + random() * 30 - 15, cy + random() * 30 - 15));
  const twenty = fastest([
    { name: 'all', run: () => { sink += allowedRegion(index, group, question).outlines.length; } },
    { name: 'each', run: () => { for (const spot of group) sink += allowedRegion(index, [spot], question).outlines.length; } },
  ], 800);
  yield atMost(`regions of 20 loads, ${plan.count} walls`, 'ms', twenty.get('each')!, 1.5, 0.5);
  yield atMost(`ground that sees 20 loads at once, ${plan.count} walls`, 'ms', twenty.get('all')!, 1.5, 0.5);
}

/** One wall dragged: moved, then the line through it checked again, with no rebuild in between. */
function* editRows(plan: BenchPlan, index: SightIndex): Generator<BenchRow> {
  const random = randomFrom(9); const samples: number[] = []; const before = index.unsettled;
  for (let wall = 0; wall < 12; wall += 1) {
    const i = Math.floor(random() * plan.count); const o = benchObstacle(plan, i); if (o.shape.type !== 'wall') continue;
    for (let frame = 0; frame < 40; frame += 1) {
      const shape = { ...o.shape, x1: o.shape.x1 + frame * 0.1, x2: o.shape.x2 + frame * 0.1 };
      const start = performance.now();
      index.replaceObstacle({ ...o, shape });
      if (isClear(index, handleAt(shape.x1, shape.y1 - 3), targetAt(shape.x2, shape.y2 + 3))) sink += 1;
      samples.push(performance.now() - start);
    }
  }
  yield atMost(`move one wall and check again, ${plan.count} walls, 95 of 100`, 'ms', percentile(samples, 0.95), 0.1);
  yield atMost(`walls waiting for the index after dragging 12 of ${plan.count}`, 'count', index.unsettled - before, 12);
  index.settle();
}

/** One wall of a document dragged: its scene follows, against a scene prepared anew for every frame. */
function* followRows(plan: BenchPlan): Generator<BenchRow> {
  const before = documentOf(plan); const live = new LiveScenes(before); live.sheetOf(before.sheets[0]!.id);
  const samples: number[] = []; let shown = before;
  for (let frame = 0; frame < 60; frame += 1) {
    const wall = before.entities['wall-7'] as Wall;
    const next: Document = { ...before, entities: { ...before.entities, [wall.id]: { ...wall, points: wall.points.map((p) => ({ x: sheetUnits(p.x + frame * 0.1), y: p.y })) } } };
    const start = performance.now(); live.follow(next, [wall.id]); sink += live.sheetOf(wall.sheet).index?.size ?? 0;
    samples.push(performance.now() - start);
    shown = next;
  }
  const start = performance.now(); sink += prepareScene(sceneOf(shown, shown.sheets[0]!.id).scene).size; const anew = performance.now() - start;
  yield against(`drag a wall of a project, ${plan.count} walls: the scene follows`, 'ms', percentile(samples, 0.5), 'scene prepared anew', anew, 20);
}

const documentOf = ({ walls, count }: BenchPlan): Document =>
  planOf(Array.from({ length: count }, (_, i) => wallOf(String(i), [[walls[4 * i]!, walls[4 * i + 1]!], [walls[4 * i + 2]!, walls[4 * i + 3]!]], { thickness: feet(0.5) })), {}, { ...exactScale, pickUncertainty: sheetUnits(0.05) });

function* memoryRows(): Generator<BenchRow> {
  const plan = benchPlan(100_000); const obstacles = benchObstacles(plan);
  const start = clearMemory(); const index = prepareScene({ feetPerUnit: 1, obstacles }); const used = clearMemory() - start;
  sink += index.size;
  yield atMost('index memory per wall, 100000 walls', 'B', used / plan.count, 250);
}

/** How build time, a pair check and a region grow with the plan; no goal but to be told, except that a check stays flat. */
function* growthRows(): Generator<BenchRow> {
  let first = 0;
  for (const count of [1000, 10_000, 100_000, 1_000_000]) {
    const plan = benchPlan(count); const obstacles = benchObstacles(plan);
    let index = prepareScene({ feetPerUnit: 1, obstacles });
    const build = fastest([{ name: 'build', run: () => { index = prepareScene({ feetPerUnit: 1, obstacles }); } }], 300, 1).get('build')!;
    const pairs = benchPairs(plan, PAIRS);
    const best = fastest([{ name: 'pair', run: () => { for (let k = 0; k < PAIRS; k += 1) if (isClear(index, handleAt(pairs[4 * k]!, pairs[4 * k + 1]!), targetAt(pairs[4 * k + 2]!, pairs[4 * k + 3]!))) sink += 1; } }], 600);
    const us = (best.get('pair')! / PAIRS) * 1000;
    if (first === 0) first = us;
    yield atMost(`growth: build, ${count} walls`, 'ms', build, 20 * Math.max(1, count / 1000));
    yield atMost(`growth: pair check, ${count} walls (1000 walls: ${first.toPrecision(2)} us)`, 'us', us, Number((4 * first).toPrecision(2)));
  }
}

export async function* rows(): AsyncGenerator<BenchRow> {
  for (const count of [1000, 10_000, 100_000]) {
    const plan = benchPlan(count); const index = indexOf(plan); const peers = peersOf(plan);
    yield* pairRows(plan, index, peers);
    yield* dragRows(plan, index, peers);
    if (count === 100_000) yield* auditRows(plan, index, peers);
    yield* regionRows(plan, index);
    yield* editRows(plan, index);
    if (count === 10_000) yield* followRows(plan);
  }
  yield* memoryRows();
  yield* growthRows();
  if (sink < SIGHT_CLEAR) throw new Error('The timed work found nothing at all.');
}
