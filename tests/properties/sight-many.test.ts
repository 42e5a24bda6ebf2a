import { describe, expect, it } from 'vitest';
import { prepareScene, prepareTargets, SIGHT_BLOCKED, SIGHT_CLEAR, SIGHT_DOUBTFUL, SIGHT_TOO_FAR, sightState, sightStates, traceSight } from '../../shared-core/sight/index';
import type { Handle, Obstacle, Target } from '../../shared-core/sight/index';
import { feet } from '../../shared-core/units/index';
import { randomFrom } from './sight-reference';

const CODE = { blocked: SIGHT_BLOCKED, doubtful: SIGHT_DOUBTFUL, clear: SIGHT_CLEAR };

/** Half of the scenes stand on a grid of whole feet, where lines through ends, along walls and onto faces are the rule. */
function scene(random: () => number, grid: boolean): { obstacles: Obstacle[]; place: () => { x: number; y: number }; height: () => number } {
  const size = grid ? 14 : 60;
  const place = () => (grid ? { x: Math.floor(random() * size), y: Math.floor(random() * size) } : { x: random() * size, y: random() * size });
  const height = () => (grid ? Math.floor(random() * 6) : random() * 6);
  const obstacles = Array.from({ length: 3 + Math.floor(random() * 25) }, (_, i): Obstacle => {
    const low = random() < 0.6 ? 0 : height(); const kind = random();
    const common = { id: `w${i}`, bottom: feet(low), top: feet(random() < 0.6 ? 12 : low + height()), transmission: (['opaque', 'opaque', 'opaque', 'opaque', 'glazed', 'leaf', 'mesh'] as const)[Math.floor(random() * 7)]! };
    if (kind < 0.2) return { ...common, shape: { type: 'polygon', points: Array.from({ length: 3 + Math.floor(random() * 3) }, () => { const p = place(); return [p.x, p.y] as const; }) } };
    const a = place(); const b = place(); const share = grid ? 1 : 0.3;
    return { ...common, shape: { type: 'wall', x1: a.x, y1: a.y, x2: a.x + share * (b.x - a.x), y2: a.y + share * (b.y - a.y), thickness: kind < 0.5 ? 0 : grid ? 1 : 0.4 } };
  });
  return { obstacles, place, height };
}

describe('one handle against many targets', () => {
  it('gives each line the state and range that a single check gives, ties included', () => {
    const seed = Number(process.env.LOCKSTEAD_SEED ?? 31_415); console.log(`seed ${seed}`);
    const random = randomFrom(seed); const seen = new Map<number, number>();
    for (let round = 0; round < 240; round += 1) {
      const grid = round % 2 === 0; const { obstacles, place, height } = scene(random, grid);
      const far = round % 5 === 4 ? 2 ** 22 : 0;
      const moved = obstacles.map((o): Obstacle => (o.shape.type === 'wall' ? { ...o, shape: { ...o.shape, x1: o.shape.x1 + far, x2: o.shape.x2 + far } } : { ...o, shape: { type: 'polygon', points: o.shape.points.map(([x, y]) => [x + far, y] as const) } }));
      const index = prepareScene({ feetPerUnit: 1, obstacles: moved });
      if (round % 3 === 0) index.replaceObstacle(moved[0]!); // some walls answer from the list of edits
      const at = (): { x: number; y: number; z: ReturnType<typeof feet> } => { const p = place(); return { x: p.x + far, y: p.y, z: feet(height()) }; };
      const own = moved[Math.floor(random() * moved.length)]!;
      const mounted = random() < 0.4 && own.shape.type === 'wall' ? own.shape : null;
      const handle: Handle = mounted ? { x: (mounted.x1 + mounted.x2) / 2 + (random() < 0.5 ? 0 : 1), y: (mounted.y1 + mounted.y2) / 2, z: feet(height()), mount: [own.id] } : at();
      const level = random() < 0.5 ? height() : null;
      const targets: Target[] = Array.from({ length: 120 }, () => ({ ...at(), ...(level === null ? {} : { z: feet(level) }), ...(random() < 0.15 ? { body: moved[Math.floor(random() * moved.length)]!.id } : {}) }));
      const limit = feet(grid ? 10 : 30);
      const states = sightStates(index, handle, prepareTargets(targets), limit);
      targets.forEach((target, i) => {
        const should = traceSight(index, handle, target).comparesToLimit(limit) > 0 ? SIGHT_TOO_FAR : CODE[sightState(index, handle, target)];
        seen.set(should, (seen.get(should) ?? 0) + 1);
        if (states[i] !== should) throw new Error(JSON.stringify({ round, i, is: states[i], should, handle, target, obstacles: moved }));
      });
    }
    for (const code of [SIGHT_BLOCKED, SIGHT_CLEAR, SIGHT_DOUBTFUL, SIGHT_TOO_FAR]) expect(seen.get(code)).toBeGreaterThan(300);
  });
});
