import { describe, expect, it } from 'vitest';
import { Gap, Trace } from '../../shared-core/code-data/index';
import { enclosureTypes, isOutdoor, readConditions } from '../../shared-core/sizing/enclosure';
import type { Place } from '../../shared-core/sizing/enclosure';

const types = (place: Place, ...words: string[]): readonly string[] => enclosureTypes(new Trace({ edition: '2020' }), place, readConditions(words, place)).acceptable;

describe('enclosure types by environment', () => {
  // NFPA 70 Table 110.28 (2017 indoor half, 2020 both halves): types that carry a mark for every condition named.
  it.each<[Place, string, string]>([
    ['indoor', 'indoor dry', '1 2 4 4X 5 6 6P 12 12K 13'], ['indoor', 'indoor damp or dripping', '2 4 4X 5 6 6P 12 12K 13'], ['indoor', 'indoor settling dust', '4 4X 5 6 6P 12 12K 13'],
    ['indoor', 'indoor dusty (circulating dust, lint, fibers)', '4 4X 6 6P 12 12K 13'], ['indoor', 'indoor oil or coolant seepage', '12 12K 13'], ['indoor', 'indoor oil or coolant spray', '13'],
    ['indoor', 'indoor washdown', '4 4X 6 6P'], ['indoor', 'indoor corrosive washdown', '4X 6P'], ['indoor', 'indoor corrosive', '4X 6P'], ['indoor', 'indoor temporary submersion', '6 6P'], ['indoor', 'indoor prolonged submersion', '6P'],
    ['outdoor', 'outdoor rain and sleet', '3 3R 3RX 3S 3SX 3X 4 4X 6 6P'], ['outdoor', 'outdoor, operable when ice covered', '3S 3SX'], ['outdoor', 'outdoor windblown dust', '3 3S 3SX 3X 4 4X 6 6P'],
    ['outdoor', 'outdoor corrosive', '3RX 3SX 3X 4X 6P'], ['outdoor', 'outdoor corrosive with windblown dust', '3SX 3X 4X 6P'], ['outdoor', 'outdoor washdown', '4 4X 6 6P'], ['outdoor', 'outdoor corrosive washdown', '4X 6P'],
    ['outdoor', 'outdoor temporary submersion', '6 6P'], ['outdoor', 'outdoor prolonged submersion', '6P'],
  ])('%s: %s takes %s', (place, words, expected) => { expect([...types(place, words)].sort()).toEqual(expected.split(' ').sort()); });
  it('adds up what several areas bring', () => { expect(types('indoor', 'washdown', 'corrosive')).toEqual(['4X', '6P']); });
  it('says so when no type covers everything', () => { expect(() => types('indoor', 'washdown', 'oil or coolant spray')).toThrow(Gap); });
  it.each(['classified', 'Class I Division 2', 'hazardous location', 'Zone 1', 'Cl. I Div. 1', 'zone 21', 'flammable vapours, dry', 'combustible dust', 'grain dust', 'paint spray booth', 'dry, solvent store'])('leaves %s to an engineer', (word) => { expect(() => readConditions([word], 'indoor')).toThrow(/outside this tool's scope/); });
  it('hears no word inside another: grain is no rain, laundry not dry, a boiler no oil, proof no roof', () => {
    for (const word of ['grain store', 'laundry', 'boilers', 'foolproof', 'drain']) expect(() => readConditions([word], 'indoor'), word).toThrow(/not one the enclosure table knows/);
    expect(['grain store', 'floor drain', 'dustproof', 'rain', 'on the roof', 'outdoor-dust'].map(isOutdoor)).toEqual([false, false, false, true, true, true]);
  });
  it('a plain word does not carry one that it does not know', () => {
    for (const word of ['indoor pool', 'indoor freezer', 'not dry', 'dry, ammonia']) expect(() => readConditions([word], 'indoor'), word).toThrow(/says more than the enclosure table knows/);
    for (const word of ['dry', 'indoor dry', 'Dry electrical room', 'indoors, clean area', 'general purpose']) expect(readConditions([word], 'indoor'), word).toContain('incidental_contact');
  });
  it('asks for words it knows', () => { expect(() => readConditions(['purple'], 'indoor')).toThrow(/not one the enclosure table knows/); });
});
