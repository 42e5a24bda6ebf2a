import { describe, expect, it } from 'vitest';
import { isClear, prepareScene, sightState, traceSight } from '../../shared-core/sight/index';
import type { Handle, Obstacle, PlanShape, Target, Transmission } from '../../shared-core/sight/index';
import { feet } from '../../shared-core/units/index';

// Scenes small enough to decide by hand; the reasoning stands in each title. All are our own.
let count = 0;
function solid(shape: PlanShape, bottom = 0, top = 12, transmission: Transmission = 'opaque', id = `o${count += 1}`): Obstacle {
  return { id, shape, bottom: feet(bottom), top: feet(top), transmission };
}
const wall = (x1: number, y1: number, x2: number, y2: number, thickness = 0, bottom = 0, top = 12, id?: string): Obstacle =>
  solid({ type: 'wall', x1, y1, x2, y2, thickness }, bottom, top, 'opaque', id);
const outline = (points: [number, number][], bottom = 0, top = 12, id?: string): Obstacle => solid({ type: 'polygon', points }, bottom, top, 'opaque', id);
const at = (x: number, y: number, z = 4): { x: number; y: number; z: ReturnType<typeof feet> } => ({ x, y, z: feet(z) });

function state(obstacles: Obstacle[], handle: Handle, target: Target): string {
  const index = prepareScene({ feetPerUnit: 1, obstacles });
  const traced = traceSight(index, handle, target).state;
  expect(sightState(index, handle, target)).toBe(traced);
  expect(isClear(index, handle, target)).toBe(traced === 'clear');
  return traced;
}

describe('a line and thin walls', () => {
  it('an empty floor is clear', () => expect(state([], at(0, 0), at(30, 5))).toBe('clear'));
  it('a wall across the line blocks', () => expect(state([wall(5, -5, 5, 5)], at(0, 0), at(10, 0))).toBe('blocked'));
  it('a wall that ends exactly on the line touches it and blocks', () => expect(state([wall(5, 0, 5, 5)], at(0, 0), at(10, 0))).toBe('blocked'));
  it('a wall that ends one rounding step beside the line does not', () => expect(state([wall(5, Number.MIN_VALUE, 5, 5)], at(0, 0), at(10, 0))).toBe('clear'));
  it('a wall along the line blocks, head on', () => expect(state([wall(3, 3, 6, 6)], at(0, 0), at(10, 10))).toBe('blocked'));
  it('a wall on the line extended, behind the handle, does not', () => expect(state([wall(-6, -6, -1, -1)], at(0, 0), at(10, 10))).toBe('clear'));
  it('two walls that meet in a corner leave no gap', () => expect(state([wall(5, -5, 5, 0), wall(5, 0, 9, 0)], at(0, -5), at(10, 5))).toBe('blocked'));
  it('three tenths is not three times one tenth: a wall end at 0.1 + 0.2 is seen past a line at 0.3', () => {
    // 0.1 + 0.2 > 0.3 as doubles, so the wall from there upwards stays 5.6e-17 clear of the line.
    expect(state([wall(5, 0.1 + 0.2, 5, 5)], at(0, 0.3), at(10, 0.3))).toBe('clear');
    expect(state([wall(5, 0.3, 5, 5)], at(0, 0.3), at(10, 0.3))).toBe('blocked');
  });
  it('a T-junction on a skew wall has no pinhole where the end lies exactly on the wall', () =>
    expect(state([wall(0, 0, 12, 6), wall(6, 3, 6, 20)], at(5, 2.5 + 2), at(7, 3.5 + 2))).toBe('blocked'));
  it('far from the origin nothing changes', () => {
    const far = 2 ** 20;
    expect(state([wall(far + 5, far, far + 5, far + 5)], at(far, far), at(far + 10, far))).toBe('blocked');
    expect(state([wall(far + 5, far + 2 ** -30, far + 5, far + 5)], at(far, far), at(far + 10, far))).toBe('clear');
  });
});

describe('a wall without length is a point', () => {
  it('on the line it blocks, whatever its thickness says', () => expect(state([wall(4, 2, 4, 2, 9)], at(0, 0), at(8, 4))).toBe('blocked'));
  it('beside the line it does not', () => expect(state([wall(4, 3, 4, 3, 9)], at(0, 0), at(8, 4))).toBe('clear'));
});

describe('thick walls', () => {
  it('a line along the face touches it', () => expect(state([wall(2, 0, 8, 0, 1)], at(0, 0.5), at(10, 0.5))).toBe('blocked'));
  it('one step off the face it is clear', () => expect(state([wall(2, 0, 8, 0, 1)], at(0, 0.5000000000000001), at(10, 0.5000000000000001))).toBe('clear'));
  it('a butt end does not reach past the end of the centre line', () => expect(state([wall(0, 0, 4, 0, 2)], at(4.000001, -3), at(4.000001, 3))).toBe('clear'));
  it('a line through the corner of the rectangle touches it', () => expect(state([wall(0, 0, 4, 0, 2)], at(3, 2), at(5, 0))).toBe('blocked'));
  it('a skew wall 3-4-5: the corner of the rectangle is exact although the length needs a root', () => {
    // Centre line (0,0)-(4,3), thickness 5: the corner (4,3) + 2.5 * (3,-4)/5 = (5.5, 1).
    expect(state([wall(0, 0, 4, 3, 5)], at(5.5, 1), at(9, 1))).toBe('blocked');
    expect(state([wall(0, 0, 4, 3, 5)], at(5.500001, 1), at(9, 1))).toBe('clear');
  });
  it('a handle inside the wall is blocked', () => expect(state([wall(-5, 0, 5, 0, 1)], at(0, 0.2), at(0, 9))).toBe('blocked'));
});

describe('outlines', () => {
  const court: [number, number][] = [[0, 0], [9, 0], [9, 9], [6, 9], [6, 3], [3, 3], [3, 9], [0, 9]];
  it('a line through the open court of a U shape is clear', () => expect(state([outline(court)], at(4.5, 12), at(4.5, 4))).toBe('clear'));
  it('it ends where it touches the bottom of the court', () => expect(state([outline(court)], at(4.5, 12), at(4.5, 3))).toBe('blocked'));
  it('a line wholly inside an outline is blocked though it meets no edge', () => expect(state([outline(court)], at(1, 1), at(8, 2))).toBe('blocked'));
  it('a line through a single corner touches', () => expect(state([outline([[0, 0], [4, 0], [2, 3]])], at(0, 3), at(4, 3))).toBe('blocked'));
  it('the turning sense does not matter', () => expect(state([outline([...court].reverse())], at(4.5, 12), at(4.5, 4))).toBe('clear'));
  it('where an outline crosses itself the part wound twice is still solid', () =>
    // A pentagram: its middle is wound twice, an even-odd rule would call it empty.
    expect(state([outline([[0, -10], [6, 8], [-9, -3], [9, -3], [-6, 8]])], at(0, 0.5), at(0.5, 0.5))).toBe('blocked'));
});

describe('heights', () => {
  it('a line over a low bench is clear', () => expect(state([wall(5, -5, 5, 5, 0, 0, 3)], at(0, 0, 5), at(10, 0, 4))).toBe('clear'));
  it('a line that just touches the top rim is blocked', () => expect(state([wall(5, -5, 5, 5, 0, 0, 3)], at(0, 0, 6), at(10, 0, 0))).toBe('blocked'));
  it('a header above the line does not block, its lower edge does', () => {
    expect(state([wall(5, -5, 5, 5, 0, 7, 12)], at(0, 0, 6), at(10, 0, 7.9))).toBe('clear');
    expect(state([wall(5, -5, 5, 5, 0, 7, 12)], at(0, 0, 6), at(10, 0, 8))).toBe('blocked');
  });
  it('a line that enters a thick low wall from above, sloping, is blocked by its top', () =>
    expect(state([wall(0, 0, 20, 0, 6, 0, 3)], at(10, -9, 6), at(10, 3.1, 2.9))).toBe('blocked'));
  it('straight down onto a tank is blocked, straight down beside it is clear', () => {
    const tank = outline([[0, 0], [4, 0], [4, 4], [0, 4]], 0, 5);
    expect(state([tank], at(2, 2, 9), at(2, 2, 1))).toBe('blocked');
    expect(state([tank], at(4, 2, 9), at(4, 2, 5))).toBe('blocked');
    expect(state([tank], at(4.01, 2, 9), at(4.01, 2, 1))).toBe('clear');
  });
  it('a wall without top or bottom blocks at every height', () =>
    expect(state([wall(5, 0, 5, 5, 0, -Infinity, Infinity)], at(0, 0, 400), at(10, 0, -900))).toBe('blocked'));
});

describe('the own wall and the own body', () => {
  const own = (x: number, y: number, z = 4): Handle => ({ ...at(x, y, z), mount: ['w'] });
  const mounted = wall(-5, 0, 5, 0, 1, 0, 12, 'w');
  it('a handle on the facing side of its wall is not hidden by it', () => expect(state([mounted], own(0, 0.5), at(3, 9))).toBe('clear'));
  it('through the wall it is', () => expect(state([mounted], own(0, 0.5), at(3, -9))).toBe('blocked'));
  it('along the face it is', () => expect(state([mounted], own(0, 0.5), at(9, 0.5))).toBe('blocked'));
  it('another wall on the same face still blocks', () => expect(state([mounted, wall(-5, 0.5, 5, 0.5)], own(0, 0.5), at(3, 9))).toBe('blocked'));
  it('a handle drawn on a bare line sees both sides', () => {
    expect(state([wall(-5, 0, 5, 0, 0, 0, 12, 'w')], own(0, 0), at(3, 9))).toBe('clear');
    expect(state([wall(-5, 0, 5, 0, 0, 0, 12, 'w')], own(0, 0), at(3, -9))).toBe('clear');
    expect(state([wall(-5, 0, 5, 0, 0, 0, 12, 'w')], own(0, 0), at(9, 0))).toBe('blocked');
  });
  it('inside its wall it sees nothing', () => expect(state([mounted], own(0, 0.25), at(3, 9))).toBe('blocked'));
  it('on top of its wall it sees upwards only', () => {
    expect(state([mounted], own(0, 0, 12), at(9, 0, 14))).toBe('clear');
    expect(state([mounted], own(0, 0, 12), at(9, 0, 12))).toBe('blocked');
  });
  it('two pieces of one wall may both be named', () => {
    const pieces = [wall(-5, 0, 0, 0, 1, 0, 12, 'w'), wall(0, 0, 5, 0, 1, 0, 12, 'v')];
    expect(state(pieces, own(0, 0.5), at(3, 9))).toBe('blocked');
    expect(state(pieces, { ...at(0, 0.5), mount: ['w', 'v'] }, at(3, 9))).toBe('clear');
  });
  it('a motor is not hidden by its own outline, another motor is', () => {
    const body = outline([[8, -2], [12, -2], [12, 2], [8, 2]], 0, 4, 'm');
    expect(state([body], at(0, 0), { ...at(10, 0, 2), body: 'm' })).toBe('clear');
    expect(state([body], at(0, 0), at(10, 0, 2))).toBe('blocked');
  });
});

describe('what light does', () => {
  const pane = (transmission: Transmission): Obstacle => solid({ type: 'wall', x1: 5, y1: -5, x2: 5, y2: 5, thickness: 0 }, 0, 12, transmission);
  it('mesh is clear but said', () => {
    const index = prepareScene({ feetPerUnit: 1, obstacles: [pane('mesh')] });
    const line = traceSight(index, at(0, 0), at(10, 0));
    expect(line.state).toBe('clear');
    expect(line.meetings.map((met) => met.transmission)).toEqual(['mesh']);
  });
  it('glass and a normally open door make it doubtful, never clear', () => {
    expect(state([pane('glazed')], at(0, 0), at(10, 0))).toBe('doubtful');
    expect(state([pane('leaf'), pane('mesh')], at(0, 0), at(10, 0))).toBe('doubtful');
  });
  it('opaque decides over glass', () => expect(state([pane('glazed'), wall(7, -5, 7, 5)], at(0, 0), at(10, 0))).toBe('blocked'));
});

describe('what is reported', () => {
  it('names what is met from the handle on, with the place and the height there', () => {
    const index = prepareScene({ feetPerUnit: 0.5, obstacles: [wall(30, -5, 30, 5, 0, 0, 12, 'far'), wall(10, -5, 10, 5, 4, 0, 12, 'near'), wall(-3, -5, -3, 5, 0, 0, 12, 'behind')] });
    const line = traceSight(index, at(0, 0, 4), at(40, 0, 8));
    expect(line.meetings.map((met) => met.obstacle)).toEqual(['near', 'far']);
    // The near face lies 8 of 40 units along: height 4 + 4 * 0.2.
    expect(line.meetings[0]!.at.x).toBeCloseTo(8, 12); expect(line.meetings[0]!.at.z).toBeCloseTo(4.8, 12);
    expect(line.meetings[0]!.along).toBeCloseTo(Math.hypot(4, 0.8), 12);
    expect(line.distance).toBeCloseTo(Math.hypot(20, 4), 12);
  });
  it('compares with the limit exactly: a 30-40 triangle is at 50 ft, one step more is past it', () => {
    const index = prepareScene({ feetPerUnit: 1, obstacles: [] });
    expect(traceSight(index, at(0, 0, 4), at(30, 40, 4)).comparesToLimit(feet(50))).toBe(0);
    expect(traceSight(index, at(0, 0, 4), at(30, 40.00000000000001, 4)).comparesToLimit(feet(50))).toBe(1);
    expect(traceSight(index, at(0, 0, 0), at(18, 24, 40)).comparesToLimit(feet(50))).toBe(0);
    expect(traceSight(index, at(0, 0, 0), at(18, 24, 39.99999999999999)).comparesToLimit(feet(50))).toBe(-1);
  });
});

describe('edits without a rebuild', () => {
  it('moving, removing and adding an obstacle answer as a fresh scene would', () => {
    const obstacles = Array.from({ length: 60 }, (_, i) => wall(i * 3, 5, i * 3 + 2, 5, 0, 0, 12, `w${i}`));
    const index = prepareScene({ feetPerUnit: 1, obstacles });
    expect(sightState(index, at(31, 0), at(31, 10))).toBe('blocked');
    index.replaceObstacle(wall(30, 50, 32, 50, 0, 0, 12, 'w10'));
    expect(sightState(index, at(31, 0), at(31, 10))).toBe('clear');
    index.replaceObstacle(wall(30, 7, 32, 7, 0, 0, 12, 'w10'));
    expect(traceSight(index, at(31, 0), at(31, 10)).meetings.map((met) => met.obstacle)).toEqual(['w10']);
    expect(index.removeObstacle('w10')).toBe(true);
    expect(index.removeObstacle('w10')).toBe(false);
    index.add(wall(30, 8, 32, 8, 0, 0, 12, 'new'));
    expect(index.size).toBe(60);
    index.settle();
    expect(traceSight(index, at(31, 0), at(31, 10)).meetings.map((met) => met.obstacle)).toEqual(['new']);
    expect(index.unsettled).toBe(0);
  });
});

describe('wrong use is refused', () => {
  it('names what is wrong', () => {
    expect(() => prepareScene({ feetPerUnit: 0, obstacles: [] })).toThrow(/greater than zero/);
    expect(() => prepareScene({ feetPerUnit: 1, obstacles: [wall(0, 0, 1, 1, 0, 5, 4, 'low')] })).toThrow(/'low'.*below its bottom/);
    expect(() => prepareScene({ feetPerUnit: 1, obstacles: [wall(0, NaN, 1, 1)] })).toThrow(RangeError);
    expect(() => prepareScene({ feetPerUnit: 1, obstacles: [wall(0, 0, 1, 1, 0, 0, 1, 'a'), wall(0, 0, 1, 1, 0, 0, 1, 'a')] })).toThrow(/same id/);
    expect(() => traceSight(prepareScene({ feetPerUnit: 1, obstacles: [] }), at(NaN, 0), at(1, 1))).toThrow(RangeError);
  });
});
