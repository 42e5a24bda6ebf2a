import { describe, expect, it } from 'vitest';
import { prepareScene, sightState, traceSight } from '../../shared-core/sight/index';
import type { Obstacle, SightState } from '../../shared-core/sight/index';
import { feet } from '../../shared-core/units/index';
import { randomFrom } from './sight-reference';

/** Enough obstacles for the cells to be used; on whole numbers, so that lines run along walls, cell borders and corners. */
function plan(random: () => number, count: number, size: number, far: number, whole: boolean): Obstacle[] {
  const place = (): number => far + (whole ? Math.floor(random() * size) : random() * size);
  return Array.from({ length: count }, (_, i): Obstacle => {
    const common = { id: `w${i}`, bottom: feet(random() < 0.8 ? 0 : 4), top: feet(random() < 0.7 ? 12 : 5), transmission: (['opaque', 'opaque', 'opaque', 'glazed', 'mesh'] as const)[Math.floor(random() * 5)]! };
    const x = place(); const y = place(); const kind = random();
    // Now and then something wide: a slab, a long wall.
    const reach = random() < 0.01 ? size * 3 : 3;
    const step = (): number => (whole ? Math.round((random() * 2 - 1) * reach) : (random() * 2 - 1) * reach);
    if (kind < 0.1) return { ...common, shape: { type: 'polygon', points: [[x, y], [x + step(), y + step()], [x + step(), y + step()]] } };
    return { ...common, shape: { type: 'wall', x1: x, y1: y, x2: x + step(), y2: y + step(), thickness: kind < 0.3 ? 1 : 0 } };
  });
}

describe('the hot copies of the index', () => {
  it('answer as the index of record does: lines along walls, cell borders, far away, off the plan, after edits', () => {
    const seed = Number(process.env.LOCKSTEAD_SEED ?? 2718); console.log(`seed ${seed}`);
    const random = randomFrom(seed); const seen: Record<SightState, number> = { clear: 0, doubtful: 0, blocked: 0 };
    for (let round = 0; round < 40; round += 1) {
      const size = 40 + Math.floor(random() * 200); const far = [0, -(2 ** 24), 2 ** 40][round % 3]!; const whole = round % 4 !== 3;
      const clustered = round % 5 === 4; // half of the plan in one corner: cells are crowded, the nodes serve
      const obstacles = plan(random, 80 + Math.floor(random() * 400), size, far, whole);
      if (clustered) obstacles.push({ id: 'far', bottom: feet(0), top: feet(9), transmission: 'opaque', shape: { type: 'wall', x1: far + size * 5000, y1: far, x2: far + size * 5000, y2: far + 1, thickness: 0 } });
      const index = prepareScene({ feetPerUnit: 1, obstacles });
      for (let edit = 0; edit < 12; edit += 1) {
        const o = obstacles[Math.floor(random() * obstacles.length)]!; const other = plan(random, 1, size, far, whole)[0]!;
        if (random() < 0.2) index.removeObstacle(o.id); else index.replaceObstacle({ ...other, id: o.id });
      }
      if (round % 2) index.settle();
      const end = (): number => far + (whole ? Math.floor(random() * (size + 20)) - 10 : random() * (size + 20) - 10);
      for (let k = 0; k < 200; k += 1) {
        const from = { x: end(), y: end(), z: feet(4) }; const level = random() < 0.5;
        const to = { x: random() < 0.2 ? from.x : from.x + Math.round((random() * 2 - 1) * 15), y: random() < 0.2 ? from.y : from.y + Math.round((random() * 2 - 1) * 15), z: feet(level ? 4 : 6) };
        const state = traceSight(index, from, to).state; seen[state] += 1;
        if (sightState(index, from, to) !== state) throw new Error(JSON.stringify({ round, from, to, state, quick: sightState(index, from, to), meets: traceSight(index, from, to).meetings }));
      }
    }
    expect(Math.min(seen.clear, seen.doubtful, seen.blocked)).toBeGreaterThan(200);
  });
});
