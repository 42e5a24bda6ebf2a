import { describe, expect, it } from 'vitest';
import { Trace } from '../../shared-core/code-data/index';
import type { Document, LoadData } from '../../shared-core/document/index';
import { sheetUnits } from '../../shared-core/units/index';
import { isInside } from '../../shared-core/sizing/project';
import { protectionRow } from '../../shared-core/sizing/protection';
import { sizeDevice } from '../../shared-core/sizing/index';
import { projectWith, SYSTEM_480 } from '../support/sizing-project';

const at = (x: number, y: number) => ({ x: sheetUnits(x), y: sheetUnits(y) });
const first = (document: Document) => sizeDevice(document, 'disconnect-1').results[0];
const motor = { kind: 'motor', horsepower: 10, voltage: 460, phases: 3 } as const;
const OTHER = { ...SYSTEM_480, id: 'system-other', name: 'other 480 V' };

describe('edges of the sizing rules', () => {
  it('premium efficiency has the 1100 percent figure by name from 2023 on', () => {
    const row = (edition: '2017' | '2020' | '2023') => protectionRow(new Trace({ edition }), { phases: 3, design: 'B', premium: true });
    expect([row('2017'), row('2020'), row('2023')]).toEqual(['squirrel-cage', 'squirrel-cage', 'squirrel-cage-efficient']);
    expect(protectionRow(new Trace({ edition: '2023' }), { phases: 3, design: 'C', premium: true })).toBe('squirrel-cage');
    expect(([1, 3, 'dc'] as const).map((phases) => protectionRow(new Trace({ edition: '2023' }), { phases }))).toEqual(['single-phase', 'squirrel-cage', 'dc']);
    expect((['wound-rotor', 'synchronous'] as const).map((type) => protectionRow(new Trace({ edition: '2023' }), { phases: 3, type }))).toEqual(['wound-rotor', 'synchronous']);
  });
  it('finds what lies in a slanted or hollow outline, its edge included', () => {
    const triangle = [at(0, 0), at(10, 4), at(2, 12)];
    expect([at(4, 5), at(5, 2), at(1, 6)].map((p) => isInside(p, triangle))).toEqual([true, true, true]);
    expect([at(8, 1), at(0, 6), at(8, 9), at(-1, 0)].map((p) => isInside(p, triangle))).toEqual([false, false, false, false]);
    const bracket = [at(0, 0), at(10, 0), at(10, 10), at(7, 10), at(7, 3), at(3, 3), at(3, 10), at(0, 10)];
    expect([at(1, 8), at(8, 8), at(5, 1), at(5, 3)].map((p) => isInside(p, bracket))).toEqual([true, true, true, true]);
    expect([at(5, 8), at(11, 5)].map((p) => isInside(p, bracket))).toEqual([false, false]);
    // Every edge and every corner belongs to it: upright, level and slanted ones.
    expect([at(0, 5), at(10, 5), at(7, 6), at(3, 6), at(4, 0), at(8, 10), at(0, 0), at(10, 0), at(10, 10), at(7, 10), at(7, 3), at(3, 3), at(3, 10), at(0, 10)].map((p) => isInside(p, bracket))).toEqual(Array.from({ length: 14 }, () => true));
    expect([at(-0.01, 5), at(10.01, 5), at(6.99, 6), at(3.01, 6), at(4, -0.01), at(8, 10.01), at(5, 3.01), at(5, 10)].map((p) => isInside(p, bracket))).toEqual(Array.from({ length: 8 }, () => false));
    expect([at(0, 0), at(10, 4), at(2, 12), at(10.01, 4), at(2, 12.01)].map((p) => isInside(p, triangle))).toEqual([true, true, true, false, false]);
  });
  it('names a load whose own system is not the one that feeds the disconnect', () => {
    expect(first(projectWith({ ...motor, system: 'system-other' }, {}, { facts: { systems: [SYSTEM_480, OTHER] } }))?.title).toContain('fed from');
    expect(first(projectWith({ ...motor, system: 'system-480' }, {}, { facts: { systems: [SYSTEM_480, OTHER] } }))?.verdict).toBe('pass');
  });
  it('refuses two systems of one voltage behind one disconnect', () => {
    const base = projectWith({ ...motor, system: 'system-480' }, { fedFrom: undefined }, { facts: { systems: [SYSTEM_480, OTHER] } });
    const load = base.entities['load-1'];
    const device = base.entities['disconnect-1'];
    if (load?.kind !== 'load' || device?.kind !== 'disconnect') throw new Error('no such entities');
    const entities = { ...base.entities, 'load-2': { ...load, id: 'load-2', data: { ...load.data, system: 'system-other' } satisfies LoadData }, 'disconnect-1': { ...device, serves: ['load-1', 'load-2'] } };
    expect(first({ ...base, entities })?.title).toContain('different circuits');
  });
  it('takes the impedance tolerance from 25 kVA on', () => {
    const terminals = (transformerKva: number): unknown => sizeDevice(projectWith(motor, { routeLength: 10 }, { system: { ...SYSTEM_480, source: { transformerKva, impedancePercent: 2 } } }), 'disconnect-1').results
      .find((r) => r.check === 'sizing.fault-current')?.steps.some((s) => s.formula.startsWith('Z = Z_np'));
    expect([terminals(24), terminals(25)]).toEqual([false, true]);
  });
  // 10 hp is 7.46 kW: without any loss 9.36 A at 460 V three-phase; twice the 14 A of Table 430.250 is beyond belief.
  it.each([[9.3, 'incomplete'], [9.4, 'pass'], [14, 'pass'], [14.1, 'judgement'], [28, 'judgement'], [28.1, 'incomplete']] as const)('nameplate %s A of a 14 A motor is %s', (nameplateAmperes, expected) => { expect(first(projectWith({ ...motor, nameplateAmperes }))?.verdict).toBe(expected); });
  it.each([[0.99, 'pass'], [1, 'pass'], [1.01, 'incomplete']] as const)('a power factor of %s is %s', (powerFactor, expected) => { expect(first(projectWith({ ...motor, powerFactor }))?.verdict).toBe(expected); });
  it('counts the service disconnects of one supply', () => {
    const base = projectWith({ kind: 'service', nameplateAmperes: 50, phases: 3 }, { serviceEquipment: true });
    const device = base.entities['disconnect-1'];
    if (!device) throw new Error('no disconnect');
    const many = (count: number) => ({ ...base, entities: { ...base.entities, ...Object.fromEntries(Array.from({ length: count - 1 }, (_, i) => [`disconnect-s${i}`, { ...device, id: `disconnect-s${i}` }])) } });
    const verdict = (count: number) => sizeDevice(many(count), 'disconnect-1').results.find((r) => r.check === 'sizing.service-handles')?.verdict;
    expect([verdict(6), verdict(7)]).toEqual(['pass', 'fail']);
  });
});
