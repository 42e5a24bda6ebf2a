import { describe, expect, it } from 'vitest';
import { placementConditions, placementRules, placementSources, workingSpaceRow } from '../../shared-core/code-data/index';
import type { Edition } from '../../shared-core/code-data/index';
import { citationOf, chooseRules, inFeet } from '../../shared-core/checks/choose-rules';
import type { LoadData, LoadKind } from '../../shared-core/document/index';
import { horsepower } from '../../shared-core/units/index';

const editions: readonly Edition[] = ['2017', '2020', '2023', '2026'];
const uncovered: readonly LoadKind[] = ['continuous', 'noncontinuous', 'other'];
const kinds: readonly LoadKind[] = ['motor', 'torque-motor', 'dc-motor', 'machine', 'hermetic', 'multimotor-cooling', 'heater', 'appliance', 'continuous', 'noncontinuous', 'transformer', 'welder', 'drive', 'generator', 'pv',
  'ev-supply', 'pool', 'fire-pump', 'crane', 'elevator', 'sign', 'irrigation', 'x-ray', 'induction-heating', 'service', 'feeder', 'other'];

describe('the placement rules', () => {
  it('are 41, each with its own id, a source that was read and a number in some edition or federal rule', () => {
    expect(placementRules).toHaveLength(41);
    expect(new Set(placementRules.map((r) => r.id)).size).toBe(41);
    for (const rule of placementRules) {
      expect(rule.confidence.seen.length).toBeGreaterThan(0);
      for (const key of rule.confidence.seen) expect(placementSources[key], `${rule.id} ${key}`).toBeDefined();
      expect(Object.keys(rule.cite).length).toBeGreaterThan(0);
    }
  });
  it('cover every kind of load in every edition, or are known not to', () => {
    for (const kind of kinds) for (const edition of editions) {
      expect(chooseRules({ kind }, edition).length > 0, `${kind} ${edition}`).toBe(!uncovered.includes(kind));
    }
  });
  it('give every target rule a limit, and name in exceptions only conditions that a person can record', () => {
    for (const rule of placementRules) {
      if (rule.targets.length > 0 && rule.group !== 'general') expect(rule.limit?.US, rule.id).toBeDefined();
      for (const condition of rule.outOfSight.conditions) {
        for (const need of condition.needs) if (need.startsWith('load:')) expect(placementConditions[need.slice(5)], need).toBeDefined();
        if (condition.settledBy !== undefined) expect(placementConditions[condition.settledBy]).toBeDefined();
      }
      for (const name of [...(rule.when?.all ?? []), ...(rule.when?.none ?? [])]) expect(placementConditions[name], name).toBeDefined();
    }
  });
  it('never allow a pool switch, an irrigation main or an elevator main out of sight; a fire pump is turned round', () => {
    const allowed = (id: string): string | undefined => placementRules.find((r) => r.id === id)?.outOfSight.allowed;
    expect(['POOL', 'IRRIGATION', 'ELEVATOR', 'CRANE-RUNWAY', 'FIREPUMP'].map(allowed)).toEqual(['no', 'no', 'no', 'no', 'inverted']);
  });
  it('one appliance rule is chosen by size: 300 VA or 1/8 hp, a motor over 1/8 hp, the rest', () => {
    const rule = (data: Partial<LoadData>): string | undefined => chooseRules({ kind: 'appliance', ...data }, '2023')[0]?.id;
    expect([rule({ kilowatts: 0.3 }), rule({ horsepower: horsepower(0.125) }), rule({ horsepower: horsepower(0.333) }), rule({ kilowatts: 4.5 }), rule({})]).toEqual(['APP-SMALL', 'APP-SMALL', 'APP-MOTOR', 'APP-300VA', 'APP-300VA']);
  });
  it('chargers change rule in 2026', () => {
    expect(editions.map((e) => chooseRules({ kind: 'ev-supply' }, e)[0]?.id)).toEqual(['EV-2023', 'EV-2023', 'EV-2023', 'EV-2026']);
  });
  it('say where a number was not read for the edition', () => {
    const motor = placementRules.find((r) => r.id === 'MOT-MACHINE');
    if (!motor) throw new Error('no motor rule');
    expect(citationOf(motor, '2023', 'US')).toMatchObject({ text: 'NFPA 70 430.102(B)', confidence: 'confirmed' });
    expect(citationOf(motor, '2026', 'US')).toMatchObject({ confidence: 'memory', note: expect.stringContaining('not read') as string });
    const induction = placementRules.find((r) => r.id === 'INDUCTION');
    expect(induction && citationOf(induction, '2017', 'CA').note).toContain('no Canadian rule');
  });
  it('lengths are exact: 9 m are 29.53 ft, 79 in are 6 ft 7 in', () => {
    expect(inFeet({ value: 9, unit: 'm' })).toBeCloseTo(29.5276, 4);
    expect(inFeet({ value: 79, unit: 'in' })).toBe(79 / 12);
  });
});

describe('working space depths', () => {
  // 110.26(A)(1) and 110.34(A): transcriptions of the 2017, 2020-based and 2023 tables; 29 CFR 1910.303 Table S-1 prints the same up to 600 V.
  it('by volts to ground and condition', () => {
    const depths = (v: number): number[] | undefined => { const row = workingSpaceRow(v); return row ? [row.depth[1], row.depth[2], row.depth[3]] : undefined; };
    expect([depths(120), depths(150), depths(151), depths(277), depths(480), depths(600), depths(601), depths(1000)]).toEqual([[3, 3, 3], [3, 3, 3], [3, 3.5, 4], [3, 3.5, 4], [3, 3.5, 4], [3, 3.5, 4], [3, 4, 5], [3, 4, 5]]);
    expect([depths(2400), depths(7200), depths(13800), depths(34500), depths(80000)]).toEqual([[3, 4, 5], [4, 5, 6], [5, 6, 9], [6, 8, 10], [8, 10, 12]]);
  });
  it('has no gap and no overlap from just over 0 V up', () => {
    for (let v = 0.5; v < 100_000; v += 7.25) expect(workingSpaceRow(v)).not.toBeNull();
    expect(workingSpaceRow(0)).toBeNull();
  });
});
