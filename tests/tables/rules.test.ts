import { describe, expect, it } from 'vitest';
import { RULES, ruleValue } from '../../shared-core/code-data/index';
import type { Edition, RuleKey } from '../../shared-core/code-data/index';

// A second typing of every rule figure, with what differs by edition: sections and sources stand beside each rule.
const FIGURES: readonly (readonly [RuleKey, number | boolean, string, Partial<Record<Edition, number | boolean>>?])[] = [
  ['motor.disconnect.percent', 115, '%'],
  ['motor.disconnect.volts', 1000, 'V'],
  ['motor.torque.disconnect.percent', 115, '%'],
  ['motor.combination.disconnect.percent', 115, '%'],
  ['motor.small.locked-rotor-multiple', 6, ''],
  ['motor.branch-device.horsepower', 0.125, 'hp'],
  ['motor.general-use.horsepower', 2, 'hp'],
  ['motor.general-use.volts', 300, 'V'],
  ['motor.general-use.multiple', 2, ''],
  ['motor.snap-switch.percent', 80, '%'],
  ['motor.isolating.horsepower-ac', 100, 'hp'],
  ['motor.isolating.horsepower-dc', 40, 'hp'],
  ['motor.conductor.percent', 125, '%'],
  ['motor.group.largest.percent', 125, '%'],
  ['motor.start.nontime-delay-fuse.percent', 400, '%'],
  ['motor.start.time-delay-fuse.percent', 225, '%'],
  ['motor.start.breaker-to-100.percent', 400, '%'],
  ['motor.start.breaker-over-100.percent', 300, '%'],
  ['motor.start.large-fuse.percent', 300, '%'],
  ['motor.start.breaker-split', 100, 'A'],
  ['motor.start.instantaneous.percent', 1300, '%'],
  ['motor.start.instantaneous-efficient.percent', 1700, '%'],
  ['motor.premium-efficiency.named', true, '', { '2017': false, '2020': false }],
  ['motor.overload.high.percent', 125, '%'],
  ['motor.overload.other.percent', 115, '%'],
  ['motor.overload.retry-high.percent', 140, '%'],
  ['motor.overload.retry-other.percent', 130, '%'],
  ['motor.overload.service-factor', 1.15, ''],
  ['motor.overload.rise', 40, 'C'],
  ['motor.table-2300-range', true, '', { '2017': false, '2020': false }],
  ['motor.running-fuse.percent', 125, '%'],
  ['hermetic.disconnect.percent', 115, '%'],
  ['hermetic.combination.disconnect.percent', 115, '%'],
  ['hermetic.small.locked-rotor-multiple', 6, ''],
  ['hermetic.protection.percent', 175, '%'],
  ['hermetic.protection.ceiling-percent', 225, '%'],
  ['hermetic.protection.floor', 15, 'A'],
  ['hermetic.protection.next-size-up', true, '', { '2017': false, '2020': false }],
  ['hermetic.conductor.percent', 125, '%'],
  ['hermetic.group.largest.percent', 125, '%'],
  ['load.continuous.percent', 125, '%'],
  ['load.noncontinuous.percent', 100, '%'],
  ['load.breaker.continuous-percent', 80, '%'],
  ['load.heater.percent', 125, '%'],
  ['load.ev.percent', 125, '%'],
  ['load.pv.percent', 125, '%'],
  ['load.generator.percent', 115, '%'],
  ['load.drive.disconnect.percent', 115, '%'],
  ['load.drive.conductor.percent', 125, '%'],
  ['load.welder.device.percent', 200, '%'],
  ['conductor.termination.split', 100, 'A'],
  ['conductor.next-size.limit', 800, 'A'],
  ['voltage-drop.limit', 3, '%'],
  ['voltage-drop.total-limit', 5, '%'],
  ['voltage-drop.k-copper', 12.9, 'ohm cmil/ft'],
  ['voltage-drop.k-aluminum', 21.2, 'ohm cmil/ft'],
  ['voltage-drop.power-factor', 0.85, ''],
  ['fault.impedance-tolerance.percent', 10, '%'],
  ['fault.motor-multiple', 4, ''],
  ['fault.margin.percent', 10, '%'],
  ['fault.line-neutral-factor', 1.5, ''],
  ['fault.x-over-r', 4, ''],
  ['fault.service-x-over-r', 4, ''],
  ['switch.nonfusible.short-circuit', 10000, 'A'],
  ['switch.general-duty.short-circuit', 100000, 'A'],
  ['switch.heavy-duty.short-circuit', 200000, 'A'],
  ['switch.general-duty.volts', 240, 'V'],
  ['transformer.primary-only.percent', 125, '%'],
  ['transformer.primary-only-small.percent', 167, '%'],
  ['transformer.primary-only-tiny.percent', 300, '%'],
  ['transformer.primary-with-secondary.percent', 250, '%'],
  ['transformer.secondary.percent', 125, '%'],
  ['transformer.secondary-small.percent', 167, '%'],
  ['transformer.split', 9, 'A'],
  ['transformer.tiny-split', 2, 'A'],
  ['service.rating.minimum', 60, 'A'],
  ['service.rating.dwelling', 100, 'A'],
  ['service.rating.two-circuits', 30, 'A'],
  ['service.rating.one-circuit', 15, 'A'],
  ['service.handles', 6, ''],
  ['service.one-enclosure', false, '', { '2017': true }],
  ['service.ground-fault.amperes', 1000, 'A'],
  ['service.ground-fault.volts-to-ground', 150, 'V'],
  ['service.ground-fault.volts', 1000, 'V'],
  ['service.ground-fault.setting', 1200, 'A'],
  ['service.emergency', true, '', { '2017': false, '2026': true }],
  ['service.surge', true, '', { '2017': false }],
  ['service.arc-flash.amperes', 1000, 'A', { '2017': 1200, '2020': 1200, '2026': 0 }],
  ['service.distance', 0, 'ft'],
  ['data.nameplate-ratio', 2, ''],
  ['data.power-share.percent', 15, '%'],
  ['data.voltage-low.percent', 91, '%'],
  ['data.voltage-high.percent', 105, '%'],
];

describe('rule figures', () => {
  it('are all restated here', () => { expect(FIGURES.map(([key]) => key)).toEqual(Object.keys(RULES)); });
  it.each(FIGURES.map(([key, value, unit, differing]) => ({ key, value, unit, differing: differing ?? {} })))('$key is $value $unit', ({ key, value, unit, differing }) => {
    expect(RULES[key].unit).toBe(unit);
    for (const edition of ['2017', '2020', '2023', '2026'] as const) expect(ruleValue(key, { edition }).value, edition).toBe(differing[edition] ?? value);
  });
  it('cite sections by edition and carry an amendment with its reason', () => {
    expect(ruleValue('motor.start.time-delay-fuse.percent', { edition: '2020' }).citation.text).toBe('NFPA 70 430.52(C)(1) Exception No. 2(2)');
    expect(ruleValue('motor.start.time-delay-fuse.percent', { edition: '2023' }).citation.text).toBe('NFPA 70 430.52(C)(1)(b)(2)');
    const basis = { edition: '2023' as const, overrides: [{ key: 'service.handles', value: 4, reason: 'fire department', authority: 'city' }] };
    expect(ruleValue('service.handles', basis)).toMatchObject({ value: 4, from: 'override', citation: { note: 'local amendment: fire department (city)' } });
    expect(ruleValue('service.emergency', { edition: '2023', overrides: [{ key: 'service.emergency', value: 'no', reason: 'r', authority: 'a' }] }).value).toBe(false);
    expect(ruleValue('service.emergency', { edition: '2017', overrides: [{ key: 'service.emergency', value: 'yes', reason: 'r', authority: 'a' }] }).value).toBe(true);
    expect(() => ruleValue('service.handles', { edition: '2023', overrides: [{ key: 'service.handles', value: 'many', reason: 'r', authority: 'a' }] })).toThrow(/no usable value/);
  });
});
