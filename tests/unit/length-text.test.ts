import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import { feet, readDrawingScale, readLength, showDistanceAgainst, showLength } from '../../shared-core/units/index';

const ft = (text: string, system: 'US' | 'metric' = 'US'): number => {
  const read = readLength(text, system);
  if (!read.ok) throw new Error(`${text}: ${read.reason}`);
  return read.length;
};

// Conversions: 1 ft = 0.3048 m and 12 in exactly (NIST SP 811, appendix B).
describe('reading lengths', () => {
  it.each([
    [`12'-6 1/2"`, 12 + 6.5 / 12], [`12' 6"`, 12.5], [`12'6`, 12.5], [`12’-6½”`, 12 + 6.5 / 12], ['12.5 ft', 12.5], [`12.5'`, 12.5], ['12 ft 6 in', 12.5],
    ['12 feet 6 inches', 12.5], ['150"', 12.5], ['6 1/2 in', 6.5 / 12], ['6-1/2"', 6.5 / 12], ['3/8"', 0.375 / 12], [`0'-3"`, 0.25], [`12''`, 1], [`7'`, 7],
    ['3.048 m', 10], ['3048 mm', 10], ['304.8cm', 10], ['0', 0],
  ] as [string, number][])('%s', (text, value) => { expect(ft(text)).toBeCloseTo(value, 12); });

  it('a decimal comma is read in one way when it can only be one', () => { expect(ft('3,2 m', 'metric')).toBeCloseTo(3.2 / 0.3048, 12); });

  it.each(['12.5', '12-6', '1,250 mm', `5'-14"`, `5.5'-3"`, '7 1/2'])('%s is asked back with choices', (text) => {
    const read = readLength(text, 'US');
    expect(read.ok).toBe(false);
    if (!read.ok) expect(read.choices.length).toBeGreaterThan(0);
  });

  it('a bare number offers both of its readings', () => {
    const read = readLength('10', 'metric');
    expect(read.ok ? [] : read.choices.map((c) => c.label)).toEqual(['10 m', '10 mm']);
  });

  it.each(['', 'abc', `12'-`, '5 parsecs', '-3 ft', '1/0"', '12 m 6 in', `1' 2" 3"`, 'NaN', 'Infinity', '1e9 ft'])('%s is refused with a reason', (text) => {
    const read = readLength(text, 'US');
    if (read.ok) throw new Error(`read as ${read.length}`);
    expect(read.reason.length).toBeGreaterThan(10);
    expect(read.choices).toEqual([]);
  });

  it('an offset may be negative where that is asked for', () => { expect(readLength('-2 ft', 'US', { signed: true })).toEqual({ ok: true, length: -2 }); });
});

describe('showing lengths', () => {
  it.each([[12.5 + 0.5 / 12, `12'-6 1/2"`], [0.25, `0'-3"`], [-1, `-1'-0"`], [11.9999, `12'-0"`], [0, `0'-0"`]])('%s ft', (value, text) => { expect(showLength(feet(value), 'US')).toBe(text); });
  it('metric', () => { expect(showLength(feet(10), 'metric')).toBe('3.048 m'); expect(showLength(feet(10), 'metric', { finest: 1 })).toBe('3.05 m'); });

  it('what is shown reads back to the same sixteenth or millimetre', () => {
    fc.assert(fc.property(fc.double({ min: 0, max: 5000, noNaN: true }), fc.constantFrom('US' as const, 'metric' as const), (value, system) => {
      const read = readLength(showLength(feet(value), system), system);
      expect(read.ok && Math.abs(read.length - value)).toBeLessThanOrEqual(system === 'US' ? 1 / 384 + 1e-9 : 0.0005 / 0.3048 + 1e-9);
    }));
  });

  it('a distance over its limit never shows as the limit', () => {
    expect(showDistanceAgainst(feet(50), feet(50), 'US')).toBe(`50'-0"`);
    expect(showDistanceAgainst(feet(50.01), feet(50), 'US')).toBe(`50'-0 1/8"`);
    expect(showDistanceAgainst(feet(50.0001), feet(50), 'US')).toBe(`just over 50'-0"`);
    expect(showDistanceAgainst(feet(43.84), feet(50), 'US')).toBe(`43'-10"`);
    fc.assert(fc.property(fc.double({ min: 49.5, max: 50.5, noNaN: true }), (d) => {
      fc.pre(d !== 50);
      expect(showDistanceAgainst(feet(d), feet(50), 'US')).not.toBe(`50'-0"`);
    }));
  });
});

// Ratios: 12 in over the paper inches; common architectural and engineering scales.
describe('drawing scales', () => {
  it.each([[`1/8" = 1'-0"`, 96], [`1/4"=1'`, 48], [`3/32" = 1'-0"`, 128], [`1" = 20'`, 240], ['1:100', 100], ['Scale 1:50', 50], ['1 cm = 1 m', 100], [`1 1/2" = 1'-0"`, 8]])('%s', (text, ratio) => {
    const read = readDrawingScale(text);
    expect(read.ok && read.ratio).toBeCloseTo(ratio, 9);
  });
  it.each(['', '1:0', '0:100', 'NTS', `1/8" =`, '1 = 20'])('%s is refused', (text) => { expect(readDrawingScale(text).ok).toBe(false); });
});
