import { describe, expect, it } from 'vitest';
import { allowedRegion, elevationProfile, handleMargin, judgeClearance, judgeDistance, judgeMinimumDistance, mountStretches, prepareScene, walkingDistance } from '../../shared-core/sight/index';
import type { Obstacle, Transmission } from '../../shared-core/sight/index';
import { feet } from '../../shared-core/units/index';

const wall = (id: string, x1: number, y1: number, x2: number, y2: number, thickness = 0, bottom = 0, top = 12, transmission: Transmission = 'opaque'): Obstacle =>
  ({ id, bottom: feet(bottom), top: feet(top), transmission, shape: { type: 'wall', x1, y1, x2, y2, thickness } });
const outline = (id: string, points: [number, number][], bottom = 0, top = 12): Obstacle => ({ id, bottom: feet(bottom), top: feet(top), transmission: 'opaque', shape: { type: 'polygon', points } });
const at = (x: number, y: number, z = 4) => ({ x, y, z: feet(z) });
const LIMIT = feet(50);

describe('a distance with its uncertainty', () => {
  const exact = { point: feet(0), scale: 0 };
  it('exactly the limit passes when nothing is uncertain', () => {
    expect(judgeDistance(feet(50), LIMIT, exact).verdict).toBe('pass');
    expect(judgeDistance(feet(50.00001), LIMIT, exact).verdict).toBe('fail');
  });
  it('is marginal as long as the band straddles the limit', () => {
    // U = sqrt(2 * 0.1^2 + (0.5 % of 49.8)^2) = 0.286, hand calculation
    const judged = judgeDistance(feet(49.8), LIMIT, { point: feet(0.1), scale: 0.005 });
    expect(judged.uncertainty).toBeCloseTo(0.28636, 5);
    expect(judged.verdict).toBe('marginal');
    expect(judged.high).toBeCloseTo(50.08636, 5);
  });
  it('a lower limit turns the other way', () => {
    expect(judgeMinimumDistance(feet(5), feet(5), exact).verdict).toBe('pass');
    expect(judgeMinimumDistance(feet(5.1), feet(5), { point: feet(0.1), scale: 0 }).verdict).toBe('marginal');
    expect(judgeMinimumDistance(feet(4.8), feet(5), { point: feet(0.1), scale: 0 }).verdict).toBe('fail');
  });
  it('refuses what is unknown, so that it cannot pass', () => {
    expect(() => judgeDistance(feet(NaN), LIMIT, exact)).toThrow(RangeError);
    expect(() => judgeDistance(feet(40), LIMIT, { point: feet(NaN), scale: 0 })).toThrow(RangeError);
  });
  it('a clearance equal to what may be off is marginal', () => {
    expect(judgeClearance({ clearance: 0.5, share: 0.25 }, { handle: 0.25, target: 0.25, corner: 0.25 })).toMatchObject({ worst: 0.5, worstVerdict: 'marginal', likelyVerdict: 'pass' });
  });
});

describe('the elevation of a sight line', () => {
  it('shows what stands in its plane with places and heights in feet, whether met or not', () => {
    const index = prepareScene({ feetPerUnit: 0.5, obstacles: [
      wall('bench', 20, -5, 20, 5, 4, 0, 3), outline('tank', [[40, -4], [48, -4], [48, 4], [40, 4]], 0, 9), wall('aside', 20, 8, 30, 8), wall('header', 60, -9, 60, 9, 0, 7, 12),
    ] });
    const profile = elevationProfile(index, at(0, 0, 4), at(80, 0, 5));
    expect(profile.length).toBe(40);
    expect(profile.cuts.map((cut) => [cut.obstacle, cut.from, cut.to, cut.bottom, cut.top, cut.meets])).toEqual([
      ['bench', 9, 11, 0, 3, false], ['tank', 20, 24, 0, 9, true], ['header', 30, 30, 7, 12, false],
    ]);
  });
  it('a U-shaped outline is cut twice', () => {
    const index = prepareScene({ feetPerUnit: 1, obstacles: [outline('u', [[0, 0], [9, 0], [9, 9], [6, 9], [6, 3], [3, 3], [3, 9], [0, 9]])] });
    expect(elevationProfile(index, at(-2, 6), at(12, 6)).cuts.map((cut) => [cut.from, cut.to])).toEqual([[2, 5], [8, 11]]);
  });
});

describe('stretches of wall to hang a handle on', () => {
  it('lie on the facing side only, as long as the target is seen within the limit', () => {
    const obstacles = [wall('w', -80, 30, 80, 30, 1)]; const index = prepareScene({ feetPerUnit: 1, obstacles });
    const region = allowedRegion(index, [at(0, 0)], { handleHeight: feet(4), limit: LIMIT });
    const stretches = mountStretches(index, region, obstacles, feet(0.5));
    expect(stretches).toHaveLength(1);
    // The handle line is y = 29, so half the chord of the 50 ft circle is sqrt(2500 - 841).
    expect(stretches[0]!.length).toBeCloseTo(2 * Math.sqrt(2500 - 841), 9);
    expect(stretches[0]!.y1).toBe(29);
    // Along +x on a y-down sheet, smaller y is to the left.
    expect(stretches[0]!.side).toBe('left');
  });
});

describe('the handle margin', () => {
  it('says how far, to where and which way it improves', () => {
    const index = prepareScene({ feetPerUnit: 1, obstacles: [] });
    const margin = handleMargin(index, at(30, 0), at(0, 0), LIMIT);
    expect(margin.margin).toBe(20); expect(margin.setBy).toBe('limit'); expect(margin.flipsAt).toEqual({ x: 50, y: 0 });
    expect(margin.improves!.x).toBeCloseTo(-1, 12);
    const outside = handleMargin(index, at(60, 0), at(0, 0), LIMIT);
    expect(outside.margin).toBeCloseTo(-10, 9); expect(outside.improves!.x).toBeCloseTo(-1, 9);
  });
  it('the mounting wall does not set it', () => {
    const index = prepareScene({ feetPerUnit: 1, obstacles: [wall('w', 20, -9, 20, 9, 1)] });
    expect(handleMargin(index, { ...at(19.5, 0), mount: ['w'] }, at(0, 0), LIMIT).setBy).toBe('limit');
    expect(handleMargin(index, at(19, 0), at(0, 0), LIMIT)).toMatchObject({ margin: 0.5, setBy: 'obstacle', obstacle: 'w' });
  });
});

describe('the walking distance', () => {
  const floor = feet(0);
  it('is the straight one on an empty floor', () => {
    const walk = walkingDistance(prepareScene({ feetPerUnit: 1, obstacles: [] }), { x: 0, y: 0 }, { x: 30, y: 12 }, { floor });
    expect(walk.ok && walk.distance).toBeCloseTo(Math.hypot(30, 12), 1);
  });
  it('goes round a wall, through a door that may be opened, under a header and over a kerb', () => {
    const long = wall('long', 10, -20, 10, 20); const from = { x: 0, y: 0 }; const to = { x: 20, y: 0 };
    const walk = walkingDistance(prepareScene({ feetPerUnit: 1, obstacles: [long] }), from, to, { floor });
    // Round the end at (10, 20) with 0.75 ft of room: twice the hypotenuse of 10 and 20.75.
    expect(walk.ok && walk.distance / (2 * Math.hypot(10, 20.75))).toBeGreaterThan(0.99);
    expect(walk.ok && walk.distance / (2 * Math.hypot(10, 20.75))).toBeLessThan(1.03);
    const straight = (obstacles: Obstacle[], passable?: ReadonlySet<string>) => walkingDistance(prepareScene({ feetPerUnit: 1, obstacles }), from, to, passable ? { floor, passable } : { floor });
    for (const walked of [straight([long], new Set(['long'])), straight([wall('header', 10, -20, 10, 20, 0, 7, 12)]), straight([wall('kerb', 10, -20, 10, 20, 1, 0, 0.5)]), straight([wall('leaf', 10, -20, 10, 20, 0, 0, 7, 'leaf')])])
      expect(walked.ok && walked.distance).toBeCloseTo(20, 1);
  });
  it('says when there is no way', () => {
    const box = [wall('a', 15, -5, 25, -5), wall('b', 25, -5, 25, 5), wall('c', 25, 5, 15, 5), wall('d', 15, 5, 15, -5)];
    const walk = walkingDistance(prepareScene({ feetPerUnit: 1, obstacles: box }), { x: 0, y: 0 }, { x: 20, y: 0 }, { floor });
    expect(walk).toEqual({ ok: false, reason: expect.stringMatching(/No way/) as string });
  });
});
