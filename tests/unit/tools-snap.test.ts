import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { distanceOf } from '../../renderer/tools/plan-geometry';
import { PlanIndex } from '../../renderer/tools/plan-index';
import { hangOnWall, snapPoint } from '../../renderer/tools/snap';
import type { Entity } from '../../shared-core/document/index';
import { feet, sheetUnits } from '../../shared-core/units/index';
import { at, documentWith, sheet, wallOf } from './tools-workbench';

const indexOf = (...entities: readonly Entity[]): PlanIndex => { const index = new PlanIndex(); index.update(documentWith(...entities), sheet.id); return index; };
const wall = wallOf('wall-1', [100, 100], [300, 100]);

describe('snapping', () => {
  const index = indexOf(wall);
  const reach = 8;

  it('an end is stronger than the wall it ends, and a mid-point too', () => {
    expect(snapPoint(index, at(104, 103), { reach })).toEqual({ at: at(100, 100), kind: 'end' });
    expect(snapPoint(index, at(203, 104), { reach })).toEqual({ at: at(200, 100), kind: 'middle' });
    expect(snapPoint(index, at(150, 104), { reach })).toEqual({ at: at(150, 100), kind: 'wall' });
  });

  it('away from everything the position stays as it was pointed', () => {
    expect(snapPoint(index, at(150, 140), { reach })).toEqual({ at: at(150, 140), kind: 'free' });
  });

  it('a line nearly level becomes level, and shows where from', () => {
    expect(snapPoint(index, at(300, 403), { reach, from: at(100, 400) })).toEqual({ at: at(300, 400), kind: 'right-angle', guide: [at(100, 400), at(300, 400)] });
  });

  it('with Shift every line is at a right angle to the sheet or to the line before it', () => {
    const snap = snapPoint(index, at(260, 520), { reach, from: at(200, 500), before: at(100, 400), square: true });
    expect(snap.kind).toBe('right-angle');
    expect(snap.at.x - 200).toBeCloseTo(60); expect(snap.at.y).toBeCloseTo(500);
  });

  it('a level line that meets a wall stops on the wall', () => {
    const upright = indexOf(wallOf('wall-2', [400, 0], [400, 800]));
    expect(snapPoint(upright, at(396, 203), { reach, from: at(100, 200) })).toMatchObject({ at: at(400, 200), kind: 'crossing' });
  });

  it('carries a wall on beyond its end', () => {
    expect(snapPoint(index, at(350, 102), { reach })).toEqual({ at: at(350, 100), kind: 'extension', guide: [at(300, 100), at(350, 100)] });
  });

  it('what is being moved does not attract itself', () => {
    expect(snapPoint(index, at(101, 101), { reach, exclude: new Set(['wall-1']) })).toEqual({ at: at(101, 101), kind: 'free' });
  });

  it('finds the crossing of two walls', () => {
    expect(snapPoint(indexOf(wall, wallOf('wall-2', [240, 0], [240, 160])), at(243, 96), { reach })).toEqual({ at: at(240, 100), kind: 'crossing' });
  });

  it('never moves a position further than twice its reach unless Shift asks for it', () => {
    fc.assert(fc.property(fc.integer({ min: 0, max: 400 }), fc.integer({ min: 0, max: 400 }), fc.integer({ min: 0, max: 400 }), (x, y, fx) => {
      const snap = snapPoint(index, at(x, y), { reach, from: at(fx, 250) });
      expect(distanceOf(snap.at, at(x, y))).toBeLessThanOrEqual(2 * reach);
    }));
  });
});

describe('hanging a disconnect on a wall', () => {
  // The wall is 1 ft thick: its faces lie 5 sheet units off the centre line.
  const index = indexOf(wall);

  it('takes the face on the side that was pointed at and faces away from the wall', () => {
    expect(hangOnWall(index, sheet, at(150, 110), 16, 5)).toEqual({ at: at(150, 105), facing: 90, wall: 'wall-1', segment: 0 });
    expect(hangOnWall(index, sheet, at(150, 90), 16, 5)).toMatchObject({ at: at(150, 95), facing: 270 });
    const upright = indexOf(wallOf('wall-2', [400, 0], [400, 800]));
    expect(hangOnWall(upright, sheet, at(408, 300), 16, 5)).toMatchObject({ at: at(405, 300), facing: 0 });
    expect(hangOnWall(upright, sheet, at(392, 300), 16, 5)).toMatchObject({ at: at(395, 300), facing: 180 });
  });

  it('lets go beyond its reach', () => {
    expect(hangOnWall(index, sheet, at(150, 122), 16, 5)).toBeNull();
  });

  it('hangs nothing in a doorway or on glass, but does hang below a window sill', () => {
    const door = { id: 'opening-1', segment: 0, from: sheetUnits(30), to: sheetUnits(60), sill: feet(0), head: feet(7), leaf: 'none' } as const;
    expect(hangOnWall(indexOf({ ...wall, openings: [door] }), sheet, at(145, 110), 16, 5)).toBeNull();
    const window = { ...door, sill: feet(6), head: feet(9), leaf: 'glazed' } as const;
    expect(hangOnWall(indexOf({ ...wall, openings: [window] }), sheet, at(145, 110), 16, 5)).not.toBeNull();
    expect(hangOnWall(indexOf({ ...wall, material: 'glazed' }), sheet, at(145, 110), 16, 5)).toBeNull();
  });

  it('chooses the nearer of two walls in a corner', () => {
    const corner = indexOf(wall, wallOf('wall-2', [100, 100], [100, 300]));
    expect(hangOnWall(corner, sheet, at(108, 118), 16, 5)).toMatchObject({ wall: 'wall-2', facing: 0 });
  });
});
