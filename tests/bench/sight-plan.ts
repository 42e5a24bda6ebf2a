import { randomFrom } from '../properties/sight-reference';
import type { Obstacle } from '../../shared-core/sight/index';
import { feet } from '../../shared-core/units/index';

/** A made-up works of `count` bare walls in feet: half rooms with 3 ft doorways, half an open hall with columns and machines. */
export interface BenchPlan { readonly count: number; readonly walls: Float64Array; readonly width: number; readonly depth: number }

export function benchPlan(count: number, seed = 1): BenchPlan {
  const random = randomFrom(seed); const between = (low: number, high: number): number => low + random() * (high - low);
  const ends: number[] = []; const wall = (...w: [number, number, number, number]): void => { ends.push(...w); };
  const full = (share: number): boolean => ends.length / 4 >= count * share;
  const run = (x: number, y: number, dx: number, dy: number, length: number): void => {
    if (random() > 0.85) { wall(x, y, x + dx * length, y + dy * length); return; }
    const door = between(2, length - 5);
    wall(x, y, x + dx * door, y + dy * door); wall(x + dx * (door + 3), y + dy * (door + 3), x + dx * length, y + dy * length);
  };
  const roomsAcross = Math.ceil(Math.sqrt(count / 8));
  for (let i = 0; i < roomsAcross && !full(0.5); i += 1) for (let j = 0; j < roomsAcross && !full(0.5); j += 1) {
    run(i * 20, j * 16, 1, 0, 20); run(i * 20, j * 16, 0, 1, 16);
  }
  const box = (cx: number, cy: number, w: number, h: number, turn: number): void => {
    const c = Math.cos(turn); const s = Math.sin(turn);
    const p = ([[-w, -h], [w, -h], [w, h], [-w, h]] as const).map(([u, v]) => [cx + u * c - v * s, cy + u * s + v * c] as const);
    p.forEach(([x, y], k) => { const [x2, y2] = p[(k + 1) % 4]!; wall(x, y, x2, y2); });
  };
  const hall = roomsAcross * 20 + 40; const baysDeep = Math.ceil(Math.sqrt(count / 36)) + 1;
  for (let i = 0; !full(1); i += 1) for (let j = 0; j < baysDeep && !full(1); j += 1) {
    const x = hall + i * 40; const y = j * 40;
    box(x, y, 0.75, 0.75, 0);
    if (random() < 0.15) wall(x, y, x + 40, y);
    if (random() < 0.15) wall(x, y, x, y + 40);
    for (let k = 2 + Math.floor(random() * 3); k > 0; k -= 1) box(x + between(6, 34), y + between(6, 34), between(1, 5), between(1, 4), random() < 0.7 ? 0 : between(0, 3));
  }
  const walls = Float64Array.from(ends.slice(0, 4 * count));
  let width = 0; let depth = 0;
  for (let k = 0; k < walls.length; k += 2) { width = Math.max(width, walls[k]!); depth = Math.max(depth, walls[k + 1]!); }
  return { count, walls, width, depth };
}

export function benchObstacle(plan: BenchPlan, i: number): Obstacle {
  const [x1, y1, x2, y2] = plan.walls.subarray(4 * i, 4 * i + 4) as unknown as [number, number, number, number];
  return { id: `w${i}`, bottom: feet(0), top: feet(12), transmission: 'opaque', shape: { type: 'wall', x1, y1, x2, y2, thickness: 0 } };
}
export const benchObstacles = (plan: BenchPlan): Obstacle[] => Array.from({ length: plan.count }, (_, i) => benchObstacle(plan, i));

/** Pairs whose ends are at most 50 ft apart, in random order over the plan: x1, y1, x2, y2 each. */
export function benchPairs(plan: BenchPlan, count: number, seed = 2): Float64Array {
  const random = randomFrom(seed); const pairs = new Float64Array(4 * count);
  for (let k = 0; k < count; k += 1) {
    const x = random() * plan.width; const y = random() * plan.depth; const angle = random() * 2 * Math.PI; const r = 50 * Math.sqrt(random());
    pairs.set([x, y, x + r * Math.cos(angle), y + r * Math.sin(angle)], 4 * k);
  }
  return pairs;
}
