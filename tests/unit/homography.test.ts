import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { applyHomography, composeHomography, cornerFault, cornersAround, cornersOfBox, enlargementAt, homographyBetween, inFrontOf, invertHomography, ratioOfRectangle } from '../../shared-core/geometry/index';
import type { Corners } from '../../shared-core/geometry/index';

interface Vector { x: number; y: number }
type Triple = readonly [number, number, number];

/** A pinhole camera, the outside truth here: it stands off the sheet, is turned about three axes, and draws a point of the plane z = 0 as X/Z, Y/Z. */
interface Camera { readonly tilt: number; readonly pan: number; readonly roll: number; readonly away: number; readonly focus: number }
const turned = ([x, y, z]: Triple, { tilt, pan, roll }: Camera): Triple => {
  const [x1, y1] = [x * Math.cos(roll) - y * Math.sin(roll), x * Math.sin(roll) + y * Math.cos(roll)];
  const [y2, z2] = [y1 * Math.cos(tilt) - z * Math.sin(tilt), y1 * Math.sin(tilt) + z * Math.cos(tilt)];
  return [x1 * Math.cos(pan) + z2 * Math.sin(pan), y2, -x1 * Math.sin(pan) + z2 * Math.cos(pan)];
};
const photographed = (camera: Camera, { x, y }: Vector): Vector => {
  const [a, b, c] = turned([x, y, 0], camera);
  return { x: 2000 + (camera.focus * a) / (c + camera.away), y: 1500 + (camera.focus * b) / (c + camera.away) };
};
const cameras = fc.record({ tilt: fc.double({ min: -0.6, max: 0.6, noNaN: true }), pan: fc.double({ min: -0.6, max: 0.6, noNaN: true }), roll: fc.double({ min: -0.4, max: 0.4, noNaN: true }),
  away: fc.double({ min: 120, max: 300, noNaN: true }), focus: fc.double({ min: 2500, max: 5000, noNaN: true }) });

const near = (a: Vector, b: Vector): number => Math.hypot(a.x - b.x, a.y - b.y);
const rectangle = (width: number, height: number): Corners => cornersOfBox({ minX: -width / 2, minY: -height / 2, maxX: width / 2, maxY: height / 2 });
const square: Corners = cornersOfBox({ minX: 0, minY: 0, maxX: 1, maxY: 1 });

describe('four corners', () => {
  it('of a photographed rectangle lead every point of it back to its place', () => {
    fc.assert(fc.property(cameras, fc.double({ min: 30, max: 90, noNaN: true }), fc.double({ min: 30, max: 90, noNaN: true }), fc.array(fc.tuple(fc.double({ min: -50, max: 50, noNaN: true }), fc.double({ min: -50, max: 50, noNaN: true }))), (camera, width, height, places) => {
      const flat = rectangle(width, height);
      const map = homographyBetween(flat.map((c) => photographed(camera, c)) as unknown as Corners, flat);
      for (const [x, y] of places) expect(near(applyHomography(map, photographed(camera, { x, y })), { x, y })).toBeLessThan(1e-6);
    }));
  });

  it('tell the shape of the rectangle when the camera stood at a slant both ways', () => {
    const slant = fc.tuple(fc.double({ min: 0.3, max: 0.6, noNaN: true }), fc.constantFrom(-1, 1)).map(([angle, side]) => angle * side);
    fc.assert(fc.property(cameras, slant, slant, fc.double({ min: 30, max: 90, noNaN: true }), fc.double({ min: 30, max: 90, noNaN: true }), (any, tilt, pan, width, height) => {
      const camera = { ...any, tilt, pan, roll: any.roll / 4 };
      // From so far off that the sides hardly run together, corners do not tell it: the usual eye is taken then.
      fc.pre(Math.abs(width * height * Math.sin(tilt) * Math.sin(pan)) / any.away ** 2 > 0.002);
      const seen = rectangle(width, height).map((c) => photographed(camera, c)) as unknown as Corners;
      expect(ratioOfRectangle(seen, { x: 2000, y: 1500 }, 3400) / (width / height)).toBeCloseTo(1, 5);
    }));
  });

  it('seen straight on tell it by their sides', () => {
    expect(ratioOfRectangle(cornersOfBox({ minX: 400, minY: 300, maxX: 1900, maxY: 1300 }), { x: 2000, y: 1500 }, 3000)).toBeCloseTo(1.5, 9);
  });

  // Worked by hand: (x, y) -> (2x, y) / (1 + x) sends the corners of the unit square to (0,0), (1,0), (1,1/2), (0,1).
  it('give the map that was worked by hand', () => {
    const map = homographyBetween(square, [{ x: 0, y: 0 }, { x: 1, y: 0 }, { x: 1, y: 0.5 }, { x: 0, y: 1 }]);
    for (const [x, y] of [[0.5, 0.5], [0.25, 1], [3, -2]] as const) expect(near(applyHomography(map, { x, y }), { x: 2 * x / (1 + x), y: y / (1 + x) })).toBeLessThan(1e-12);
    // Its Jacobian determinant is 2 / (1 + x)^3.
    expect(enlargementAt(map, { x: 0.5, y: 7 })).toBeCloseTo(Math.sqrt(2 / 1.5 ** 3), 12);
  });

  it('keep the cross-ratio of four points in a line, as every projective map must', () => {
    const ratio = (p: readonly Vector[]): number => (near(p[0]!, p[2]!) * near(p[1]!, p[3]!)) / (near(p[1]!, p[2]!) * near(p[0]!, p[3]!));
    const line = [0, 0.2, 0.55, 1].map((t) => ({ x: 100 + 700 * t, y: 220 + 300 * t }));
    const map = homographyBetween([{ x: 80, y: 90 }, { x: 880, y: 140 }, { x: 960, y: 700 }, { x: 20, y: 600 }], rectangle(600, 400));
    expect(ratio(line.map((p) => applyHomography(map, p)))).toBeCloseTo(ratio(line), 10);
  });

  it('lead there and back, and to themselves', () => {
    const slanted: Corners = [{ x: 80, y: 90 }, { x: 880, y: 140 }, { x: 960, y: 700 }, { x: 20, y: 600 }];
    const map = homographyBetween(slanted, square);
    for (const p of [{ x: 500, y: 300 }, { x: 90, y: 100 }]) {
      expect(near(applyHomography(composeHomography(invertHomography(map), map), p), p)).toBeLessThan(1e-9);
      expect(near(applyHomography(homographyBetween(slanted, slanted), p), p)).toBeLessThan(1e-9);
    }
  });

  it('that make no rectangle seen at a slant are refused, each by its name', () => {
    const faults: readonly (readonly [string, readonly (readonly [number, number])[]])[] = [
      ['in-line', [[0, 0], [5, 0], [10, 0], [5, 8]]], ['in-line', [[0, 0], [5, 0.02], [10, 0], [5, 8]]], ['in-line', [[0, 0], [0, 0], [10, 0], [5, 8]]],
      ['crossed', [[0, 0], [10, 10], [10, 0], [0, 10]]], ['dented', [[0, 0], [10, 0], [4, 3], [0, 10]]],
    ];
    for (const [name, points] of faults) {
      const corners = points.map(([x, y]) => ({ x, y })) as unknown as Corners;
      expect(cornerFault(corners), JSON.stringify(points)).toBe(name);
      expect(() => homographyBetween(corners, square)).toThrow(RangeError);
    }
    expect(cornerFault(rectangle(600, 2))).toBeNull();
    expect(cornerFault([...rectangle(6, 4)].reverse() as unknown as Corners)).toBeNull();
  });

  it('are put in order however they were picked', () => {
    const around = [{ x: 12, y: 9 }, { x: 88, y: 14 }, { x: 96, y: 70 }, { x: 2, y: 60 }];
    fc.assert(fc.property(fc.shuffledSubarray(around, { minLength: 4, maxLength: 4 }), (picked) => { expect(cornersAround(picked as unknown as Corners)).toEqual(around); }));
  });

  it('leave out what lies on or behind the horizon', () => {
    // Depth 1 + x: the horizon is x = -1.
    const kept = inFrontOf([1, 0, 0, 0, 1, 0, 1, 0, 1], [{ x: -3, y: 0 }, { x: 1, y: 0 }, { x: 1, y: 4 }, { x: -3, y: 4 }], 0.5);
    expect(kept).toEqual([{ x: -0.5, y: 0 }, { x: 1, y: 0 }, { x: 1, y: 4 }, { x: -0.5, y: 4 }]);
  });
});
