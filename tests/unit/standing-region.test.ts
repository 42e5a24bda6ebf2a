import { describe, expect, it } from 'vitest';
import { seeingPlaces, standingRegion, placesFor } from '../../shared-core/advise/index';
import { createChecker } from '../../shared-core/checks/index';
import type { Disconnect, Entity } from '../../shared-core/document/index';
import { amperes, feet, sheetUnits, volts } from '../../shared-core/units/index';
import { disconnect, exactScale, load, opening, plan, wall } from './checks-plan';

// 120 V to ground: 3 ft of room in front, 30 in wide (NFPA 70, 110.26(A), condition 1 to 3). Sight: 50 ft (430.102 with the
// definition of 'within sight'). Highest handle: 6 ft 7 in (404.8(A)).
const systems = [{ id: 'system-main', name: 'supply', voltage: volts(208), phases: 3 as const, wires: 4 as const, voltsToGround: volts(120), source: { availableFaultCurrent: amperes(10_000) } }];
const hatch = (own: Disconnect, ...entities: Entity[]) => {
  const checker = createChecker(plan([...entities, own], { edition: '2026', systems }, { ...exactScale, pickUncertainty: sheetUnits(0) }));
  return { standing: standingRegion(checker, own, seeingPlaces(checker, own).region), stretches: placesFor(checker, own).stretches };
};

describe('where a disconnect could stand free', () => {
  const M = load('M', [100, 100, 5]); const N = load('N', [160, 100, 5]);
  it('on a sheet without walls: all within sight of its loads, but on and right before them', () => {
    const { standing } = hatch(disconnect('DS', [130, 100, 5], ['M', 'N'], { facing: 90 }), M, N);
    // Two discs of 50 ft, 60 ft apart: the lens between has the area 2 r² acos(d / 2r) - d / 2 √(4r² - d²); the loads lie outside it.
    expect(standing?.area).toBeCloseTo(2 * 2500 * Math.acos(0.6) - 30 * Math.sqrt(10_000 - 3600), 6);
    expect(standing?.contains(130, 139.9)).toBe(true);
    expect(standing?.contains(130, 140.1)).toBe(false);
    const one = hatch(disconnect('DS', [130, 100, 5], ['M'], { facing: 90 }), M).standing;
    // Facing down the sheet, the load stands in the room of a device less than 3 ft above it.
    expect([[100, 100], [100, 97.5], [100, 96], [100, 101], [103, 100]].map(([x = 0, y = 0]) => one?.contains(x, y))).toEqual([false, false, true, true, true]);
  });
  it('not behind mesh without a gate, and there again once it has one', () => {
    const own = disconnect('DS', [130, 100, 5], ['M'], { facing: 90 });
    const cage = (gate: boolean) => wall('C', [[110, 90], [130, 90], [130, 110], [110, 110], [110, 90]], { material: 'mesh', openings: gate ? [opening(5, 8, 'none')] : [] });
    const seen = (gate: boolean) => { const { standing } = hatch(own, M, cage(gate)); return [standing?.contains(120, 100), standing?.contains(105, 120)]; };
    expect(seen(false)).toEqual([false, true]);
    expect(seen(true)).toEqual([true, true]);
  });
  it('nowhere, on a wall neither, with its handle above the highest reach', () => {
    const long = wall('W', [[80, 120], [140, 120]], { thickness: feet(0.5) });
    const at = (inches: number) => { const { standing, stretches } = hatch(disconnect('DS', [130, 100, inches / 12], ['M'], { facing: 90 }), M, long); return [standing?.isEmpty, stretches.length > 0]; };
    expect(at(79)).toEqual([false, true]);
    expect(at(79.5)).toEqual([true, false]);
  });
});
