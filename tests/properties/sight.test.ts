import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { prepareScene, sightState, traceSight } from '../../shared-core/sight/index';
import type { Handle, Obstacle, SightState, Target } from '../../shared-core/sight/index';
import { feet } from '../../shared-core/units/index';
import { compareWithReference } from './sight-differential';

// Whole coordinates: turning by quarters, mirroring, moving by whole numbers and scaling by powers of two are then exact,
// and lines that only touch are frequent, so 'unchanged' means unchanged to the last bit.
const coordinate = fc.integer({ min: -8, max: 8 });
const height = fc.integer({ min: 0, max: 6 });
const prism = fc.record({
  x1: coordinate, y1: coordinate, x2: coordinate, y2: coordinate, thickness: fc.constantFrom<number>(0, 0, 1, 2, 5),
  corners: fc.option(fc.array(fc.tuple(coordinate, coordinate), { minLength: 3, maxLength: 5 }), { freq: 3 }),
  bottom: height, rise: height, transmission: fc.constantFrom('opaque' as const, 'opaque' as const, 'glazed' as const, 'leaf' as const, 'mesh' as const),
});
type Made = typeof prism extends fc.Arbitrary<infer T> ? T : never;
const scene = fc.array(prism, { minLength: 1, maxLength: 6 });
const end = fc.record({ x: coordinate, y: coordinate, z: height });
const line = fc.record({ from: end, to: end, mount: fc.option(fc.nat({ max: 5 }), { freq: 2 }), body: fc.option(fc.nat({ max: 5 }), { freq: 6 }) });
type Line = typeof line extends fc.Arbitrary<infer T> ? T : never;

type Plan = (x: number, y: number) => readonly [number, number];
const same: Plan = (x, y) => [x, y];

function obstacles(made: readonly Made[], plan: Plan = same, scale = 1): Obstacle[] {
  return made.map((m, i) => {
    const [x1, y1] = plan(m.x1, m.y1); const [x2, y2] = plan(m.x2, m.y2);
    return {
      id: `o${i}`, bottom: feet(m.bottom), top: feet(m.bottom + m.rise), transmission: m.transmission,
      shape: m.corners ? { type: 'polygon', points: m.corners.map(([x, y]) => plan(x, y)) } : { type: 'wall', x1, y1, x2, y2, thickness: m.thickness * scale },
    };
  });
}
function ends(l: Line, plan: Plan = same): { handle: Handle; target: Target } {
  const [hx, hy] = plan(l.from.x, l.from.y); const [tx, ty] = plan(l.to.x, l.to.y);
  return {
    handle: { x: hx, y: hy, z: feet(l.from.z), ...(l.mount === null ? {} : { mount: [`o${l.mount}`] }) },
    target: { x: tx, y: ty, z: feet(l.to.z), ...(l.body === null ? {} : { body: `o${l.body}` }) },
  };
}
function stateOf(list: readonly Obstacle[], { handle, target }: { handle: Handle; target: Target }, feetPerUnit = 1): SightState {
  const index = prepareScene({ feetPerUnit, obstacles: list });
  const state = traceSight(index, handle, target).state;
  expect(sightState(index, handle, target)).toBe(state);
  return state;
}
const worse: Record<SightState, number> = { clear: 0, doubtful: 1, blocked: 2 };
const RUNS = { numRuns: 400 };

describe('what changes no verdict', () => {
  const unchanged = (name: string, plan: Plan, scale = 1): void => it(name, () => fc.assert(fc.property(scene, line, (made, l) => {
    expect(stateOf(obstacles(made, plan, scale), ends(l, plan), 1 / scale)).toBe(stateOf(obstacles(made), ends(l)));
  }), RUNS));
  unchanged('turning the plan by a quarter', (x, y) => [-y, x]);
  unchanged('mirroring the plan', (x, y) => [-x, y]);
  unchanged('swapping the axes', (x, y) => [y, x]);
  unchanged('moving the plan far away', (x, y) => [x + 2 ** 30, y - 2 ** 30]);
  unchanged('another drawing unit', (x, y) => [x / 64, y / 64], 1 / 64);

  it('the order of the obstacles', () => fc.assert(fc.property(scene, line, (made, l) => {
    expect(stateOf([...obstacles(made)].reverse(), ends(l))).toBe(stateOf(obstacles(made), ends(l)));
  }), RUNS));

  it('looking from the target to the handle, when neither has a wall or body of its own', () => fc.assert(fc.property(scene, line, (made, l) => {
    const { handle, target } = ends({ ...l, mount: null, body: null });
    expect(stateOf(obstacles(made), { handle: target, target: handle })).toBe(stateOf(obstacles(made), { handle, target }));
  }), RUNS));

  it('cutting a wall in two at its middle, even when it is the mounting wall', () => fc.assert(fc.property(scene, line, fc.nat({ max: 5 }), (made, l, which) => {
    const list = obstacles(made);
    const { handle, target } = ends({ ...l, body: null });
    const cut = list.flatMap((o): Obstacle[] => {
      const s = o.shape;
      // A wall of one point has no halves.
      if (o.id !== `o${which}` || s.type !== 'wall' || (s.x1 === s.x2 && s.y1 === s.y2)) return [o];
      const mx = (s.x1 + s.x2) / 2; const my = (s.y1 + s.y2) / 2;
      return [{ ...o, shape: { ...s, x2: mx, y2: my } }, { ...o, id: `${o.id}b`, shape: { ...s, x1: mx, y1: my } }];
    });
    const both = handle.mount ? { ...handle, mount: [...handle.mount, `${handle.mount[0]}b`] } : handle;
    expect(stateOf(cut, { handle: both, target })).toBe(stateOf(list, { handle, target }));
  }), RUNS));
});

describe('what can only make it worse', () => {
  it('one more obstacle', () => fc.assert(fc.property(scene, prism, line, (made, extra, l) => {
    const without = stateOf(obstacles(made), ends(l)); const withIt = stateOf(obstacles([...made, extra]), ends({ ...l, mount: l.mount === made.length ? null : l.mount, body: l.body === made.length ? null : l.body }));
    if (l.mount !== made.length && l.body !== made.length) expect(worse[withIt]).toBeGreaterThanOrEqual(worse[without]);
  }), RUNS));
  it('a thicker wall', () => fc.assert(fc.property(scene, line, (made, l) => {
    const bare = { ...l, mount: null };
    expect(worse[stateOf(obstacles(made.map((m) => ({ ...m, thickness: m.thickness + 1 }))), ends(bare))]).toBeGreaterThanOrEqual(worse[stateOf(obstacles(made), ends(bare))]);
  }), RUNS));
});

describe('an edited index answers as a fresh one', () => {
  it('after any run of moves, removals and additions', () => fc.assert(fc.property(scene, fc.array(fc.tuple(fc.nat({ max: 5 }), fc.option(prism, { freq: 4 }), fc.boolean()), { maxLength: 12 }), line, (made, edits, l) => {
    const list = new Map(obstacles(made).map((o) => [o.id, o]));
    const index = prepareScene({ feetPerUnit: 1, obstacles: [...list.values()] });
    for (const [which, to, settle] of edits) {
      const id = `o${which}`;
      if (to) { const o = { ...obstacles([to])[0]!, id }; list.set(id, o); index.replaceObstacle(o); } else { list.delete(id); index.removeObstacle(id); }
      if (settle) index.settle();
    }
    const { handle, target } = ends(l);
    expect(sightState(index, handle, target)).toBe(stateOf([...list.values()], { handle, target }));
    expect(traceSight(index, handle, target).meetings.map((m) => m.obstacle).sort())
      .toEqual(traceSight(prepareScene({ feetPerUnit: 1, obstacles: [...list.values()] }), handle, target).meetings.map((m) => m.obstacle).sort());
  }), RUNS));
});

describe('against an independent exact evaluation', () => {
  // 100 000 and more: npm run verify -- random 100000
  it('random and degenerate lines meet exactly the same obstacles', () => {
    const seed = Number(process.env.LOCKSTEAD_SEED ?? 20_260_101);
    console.log(`seed ${seed}`);
    const count = compareWithReference(4000, seed);
    expect(count.disagreements).toEqual([]);
    // The mix must stay worth comparing.
    for (const kind of ['clear', 'blocked', 'doubtful', 'startOnly'] as const) expect(count[kind]).toBeGreaterThan(100);
  }, 120_000);
});
