import { readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { auditDocument } from '../../shared-core/audit/index';
import { amendableValues } from '../../shared-core/checks/index';
import { RULES, ruleValue } from '../../shared-core/code-data/index';
import type { RuleKey } from '../../shared-core/code-data/index';
import { defaultFacts, entitiesOf } from '../../shared-core/document/index';
import type { Disconnect, Document, Entity, Load, Override } from '../../shared-core/document/index';
import { feet } from '../../shared-core/units/index';
import { exampleDocument } from './panels-example';

const ROOT = new URL('../../shared-core', import.meta.url).pathname;
const amendment = (key: string, value: number | string, unit: string, more: Partial<Override> = {}): Override => ({ id: `override-${key}`, key, value, unit, reason: 'amendment 12', authority: 'county', ...more });
const amended = (...overrides: Override[]): Document => { const plain = exampleDocument(); return { ...plain, facts: { ...plain.facts, overrides } }; };
const findings = (document: Document) => auditDocument(document).results.filter((r) => r.check === 'data.amendment');

/** Every source that may read a rule, the list of the rules left out. */
const READERS = ['sizing', 'checks', 'audit', 'code-data'].flatMap((folder) => readdirSync(join(ROOT, folder)).filter((f) => f.endsWith('.ts')).map((f) => readFileSync(join(ROOT, folder, f), 'utf8'))).join('\n');

describe('the values that a local amendment may replace', () => {
  it('are each read somewhere: an amendment of a figure that nothing reads would be believed and count for nothing', () => {
    // Keys are written whole, or composed of a fixed beginning and a word of the load.
    const composed = [...READERS.matchAll(/`((?:[a-z-]+\.)+)\$\{/g)].map((m) => m[1] ?? '');
    const unread = Object.keys(RULES).filter((key) => !READERS.includes(`'${key}'`) && !composed.some((start) => key.startsWith(start)));
    expect(unread).toEqual([]);
  });
  const values = amendableValues(defaultFacts());
  it('carry each key once, with a name, and every figure of the sizing rules is among them', () => {
    const keys = values.map((v) => v.key);
    expect(new Set(keys).size).toBe(keys.length);
    for (const key of Object.keys(RULES)) expect(keys).toContain(key);
    for (const value of values) expect(value.name.length, value.key).toBeGreaterThan(5);
  });
  it.each(['2017', '2020', '2023', '2026'] as const)('show what the sizing reads without an amendment in %s', (edition) => {
    for (const { key, kind, printed } of amendableValues({ ...defaultFacts(), edition })) {
      if (!Object.hasOwn(RULES, key) || printed === null) continue;
      expect(printed, key).toBe(ruleValue(key as RuleKey, { edition }).value);
      expect(kind, key).toBe(typeof printed === 'boolean' ? 'yes-no' : RULES[key as RuleKey].unit === 'ft' ? 'length' : 'number');
    }
  });
  // 404.8(A): 6'-7"; 110.29: 50 ft; Canada 9 m: product facts read in the printed texts named in placement.ts.
  it('show lengths in feet', () => {
    expect(values.find((v) => v.key === 'handle-height')?.printed).toBeCloseTo(79 / 12, 9);
    expect(values.find((v) => v.key === 'within-sight.distance')?.printed).toBe(50);
    expect(amendableValues({ ...defaultFacts(), jurisdiction: 'CA' }).find((v) => v.key === 'within-sight.distance')?.printed).toBeCloseTo(9 / 0.3048, 9);
  });
  it('are read: the handle limit and the sight limit of one rule change the checks they name', () => {
    const verdict = (document: Document, check: string): string[] => auditDocument(document).results.filter((r) => r.check === check).map((r) => r.verdict);
    expect(new Set(verdict(amended(), 'reach.height'))).toEqual(new Set(['pass']));
    expect(new Set(verdict(amended(amendment('handle-height', 4, 'ft')), 'reach.height'))).toEqual(new Set(['fail']));
    expect(verdict(amended(amendment('MOT-MACHINE.distance', 1, 'ft')), 'sight.motor')).not.toContain('pass');
  });
});

describe('the longest run inside to a service disconnect', () => {
  // 230.70(A)(1) gives no figure; the town does. 14 ft are typed.
  const service = (...overrides: Override[]): Document => {
    const plain = exampleDocument();
    const load = plain.entities['load-m-204'] as Load;
    const device = entitiesOf(plain, 'disconnect').find((d) => d.serves.includes(load.id)) as Disconnect;
    const entrance: Entity = { kind: 'supply', id: 'supply-entrance', sheet: device.sheet, tag: 'SE', name: '', at: device.at, system: 'system-main', role: 'service-entrance' };
    return { ...plain, facts: { ...plain.facts, overrides }, entities: { ...plain.entities, [entrance.id]: entrance, [load.id]: { ...load, data: { kind: 'service', nameplateAmperes: 100 as never, phases: 3, system: 'system-main' } }, [device.id]: { ...device, serves: [load.id], data: { ...device.data, serviceEquipment: true, routeLength: feet(14) } } } };
  };
  const verdicts = (document: Document) => ['place.service-length', 'sizing.service-distance'].map((check) => auditDocument(document).results.find((r) => r.check === check)?.verdict);
  it.each<[Override[], string]>([
    [[], 'judgement'], [[amendment('service.inside-length', 10, 'ft')], 'fail'], [[amendment('service.inside-length', 14, 'ft')], 'pass'], [[amendment('service.inside-length', 5, 'm')], 'pass'], [[amendment('service.inside-length', 4, 'm')], 'fail'], [[amendment('service.inside-length', 120, 'in')], 'fail'],
    [[amendment('service.inside-length', 20, '')], 'incomplete'], [[amendment('service.inside-length', 20, 'ells')], 'incomplete'], [[amendment('service.inside-length', -1, 'ft')], 'incomplete'],
  ])('%j moves the check of place and the sizing alike: %s', (overrides, verdict) => { expect(verdicts(service(...overrides))).toEqual([verdict, verdict]); });
  it('goes by one key', () => { expect(amendableValues(defaultFacts()).filter((v) => /run inside/i.test(v.name)).map((v) => v.key)).toEqual(['service.inside-length']); });
});

describe('a local amendment that cannot count is pointed out, never passed over', () => {
  it.each<[string, Override, RegExp]>([
    ['a key that no rule has', amendment('within-sight.distanse', 50, 'ft'), /no value of a rule goes by that name/],
    ['another unit than the rule', amendment('motor.disconnect.percent', 1.25, 'times'), /it is in 'times', the rule in '%'/],
    ['a length in no unit of length', amendment('handle-height', 6, 'ells'), /'ells' is no unit of length/],
    ['words for a number', amendment('service.handles', 'many', ''), /no number greater than zero/],
    ['a number below zero', amendment('handle-height', -1, 'ft'), /no number greater than zero/],
    ['neither yes nor no', amendment('service.surge', 'perhaps', ''), /neither 'yes' nor 'no'/],
    ['no reason', amendment('handle-height', 6, 'ft', { reason: ' ' }), /no reason/],
    ['no authority', amendment('handle-height', 6, 'ft', { authority: '' }), /no authority/],
  ])('%s', (_, override, said) => {
    const [found, ...more] = findings(amended(override));
    expect(more).toEqual([]);
    expect(found).toMatchObject({ verdict: 'incomplete' });
    expect(found?.title).toMatch(said);
    expect(found?.missing).toHaveLength(1);
  });
  it('the second amendment of one value', () => {
    expect(findings(amended(amendment('handle-height', 6, 'ft'), amendment('handle-height', 5, 'ft', { id: 'override-2' })))).toMatchObject([{ id: 'data/amendment/override-2', verdict: 'incomplete' }]);
  });
  it('one in order is not', () => { expect(findings(amended(amendment('handle-height', 2, 'm'), amendment('motor.disconnect.percent', 125, '%'), amendment('service.surge', 'no', '')))).toEqual([]); });

  it('in another unit its number reaches no result: what rests on it is open', () => {
    // 1.15 'times' read as percent would ask for a switch of a hundredth of the current.
    const load = auditDocument(amended(amendment('motor.disconnect.percent', 1.15, 'times'))).results.filter((r) => r.check === 'sizing.ampere-rating');
    for (const result of load) expect(result.verdict).not.toBe('pass');
    expect(() => ruleValue('motor.disconnect.percent', { edition: '2023', overrides: [amendment('motor.disconnect.percent', 1.15, 'times')] })).toThrow(/in times, the rule in %/);
    expect(() => ruleValue('service.emergency', { edition: '2023', overrides: [amendment('service.emergency', 'ja', '')] })).toThrow(/neither yes nor no/);
  });
});
