import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fitted, limitsFor, panned, resized, revealed, toPlan, toScreen, viewBetween, visibleBox, zoomedAt } from '../../renderer/canvas/view';
import type { View } from '../../renderer/canvas/view';
import { pointAt } from '../../renderer/tools/plan-geometry';

const view: View = { centre: pointAt(500, 300), zoom: 2, width: 800, height: 600 };
const limits = { least: 0.01, most: 100 };
const number = (min: number, max: number) => fc.double({ min, max, noNaN: true });

describe('the view', () => {
  it('shows its centre in the middle of the canvas', () => {
    expect(toScreen(view, view.centre)).toEqual({ x: 400, y: 300 });
    expect(toPlan(view, { x: 0, y: 0 })).toEqual({ x: 300, y: 150 });
  });

  it('goes to the screen and back to the same sheet position', () => {
    fc.assert(fc.property(number(-1e4, 1e4), number(-1e4, 1e4), number(0.01, 100), (x, y, zoom) => {
      const back = toPlan({ ...view, zoom }, toScreen({ ...view, zoom }, { x, y }));
      expect(back.x).toBeCloseTo(x, 5); expect(back.y).toBeCloseTo(y, 5);
    }));
  });

  it('holds the position under the pointer still while zooming, also at the limits', () => {
    fc.assert(fc.property(number(0, 800), number(0, 600), number(0.01, 100), (x, y, factor) => {
      const before = toPlan(view, { x, y });
      const after = toPlan(zoomedAt(view, factor, { x, y }, { least: 1, most: 8 }), { x, y });
      expect(after.x).toBeCloseTo(before.x, 6); expect(after.y).toBeCloseTo(before.y, 6);
    }));
  });

  it('moves the plan with the hand', () => {
    const moved = panned(view, 30, -10);
    expect(toScreen(moved, view.centre)).toEqual({ x: 430, y: 290 });
  });

  it('fits a sheet whole, with its margin, and keeps the zoom for a single point', () => {
    const fit = fitted(view, { minX: 0, minY: 0, maxX: 1000, maxY: 200 }, 40, limits);
    expect(toScreen(fit, { x: 0, y: 100 }).x).toBeCloseTo(40);
    expect(toScreen(fit, { x: 1000, y: 100 }).x).toBeCloseTo(760);
    expect(fitted(view, { minX: 5, minY: 5, maxX: 5, maxY: 5 }, 40, limits)).toEqual({ ...view, centre: { x: 5, y: 5 } });
  });

  it('does not move when what is asked for is in sight and legible', () => {
    expect(revealed(view, { minX: 480, minY: 280, maxX: 520, maxY: 320 }, 40, 1, limits)).toBe(view);
  });

  it('brings into sight what lies outside, and zooms in on what is too small to read', () => {
    const far = { minX: 5000, minY: 5000, maxX: 5040, maxY: 5040 };
    const shown = revealed(view, far, 40, 1, limits);
    expect(shown.zoom).toBe(2);
    const seen = visibleBox(shown);
    expect(seen.minX).toBeLessThan(far.minX); expect(seen.maxX).toBeGreaterThan(far.maxX);
    expect(revealed({ ...view, zoom: 0.1 }, far, 40, 1, limits).zoom).toBe(1);
  });

  it('zooms in on a single mark that is too small to read', () => {
    expect(revealed({ ...view, zoom: 0.1 }, { minX: 510, minY: 310, maxX: 510, maxY: 310 }, 40, 1, limits)).toMatchObject({ zoom: 1, centre: { x: 510, y: 310 } });
  });

  it('zooms out when what is asked for is larger than the window', () => {
    const shown = revealed(view, { minX: 0, minY: 0, maxX: 4000, maxY: 100 }, 40, 1, limits);
    expect(shown.zoom).toBeCloseTo(720 / 4000);
  });

  it('keeps the middle when the window changes size', () => {
    expect(toScreen(resized(view, 400, 200), view.centre)).toEqual({ x: 200, y: 100 });
  });

  it('runs from one view to the other and passes no extreme on the way', () => {
    const to = { ...view, zoom: 8, centre: pointAt(900, 100) };
    expect(viewBetween(view, to, 0)).toEqual(view);
    const end = viewBetween(view, to, 1);
    expect(end.zoom).toBeCloseTo(8); expect(end.centre.x).toBeCloseTo(900); expect(end.centre.y).toBeCloseTo(100);
    const half = viewBetween(view, to, 0.5);
    expect(half.zoom).toBeCloseTo(4);
    expect(half.centre.x).toBeGreaterThan(500); expect(half.centre.x).toBeLessThan(900);
  });

  it('allows no zoom that loses the sheet', () => {
    const { least, most } = limitsFor(800, 600, 14_400, 9_600);
    expect(14_400 * least).toBeGreaterThan(100);
    expect(most).toBeGreaterThanOrEqual(5);
  });
});
