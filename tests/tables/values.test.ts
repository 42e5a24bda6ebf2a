import { describe, expect, it } from 'vitest';
import { evaluate, row, table } from '../../shared-core/code-data/index';
import type { Key, TableId } from '../../shared-core/code-data/index';

const value = (id: TableId, keys: Record<string, Key>, column: string): unknown => {
  const found = row(id, keys);
  return found.ok ? found.row[column] : found.reason;
};

describe('values of the tables', () => {
  // Figures as printed in the named NFPA 70 tables (2017 and 2023 copies agree).
  it.each<[TableId, Record<string, Key>, string, number | string]>([
    ['full-load-three-phase', { motor: 'induction', horsepower: 25 }, '460', 34],
    ['full-load-three-phase', { motor: 'induction', horsepower: 25 }, '208', 74.8],
    ['full-load-three-phase', { motor: 'synchronous', horsepower: 100 }, '460', 101],
    ['full-load-single-phase', { horsepower: 3 }, '115', 34],
    ['full-load-single-phase', { horsepower: 1 / 3 }, '115', 7.2],
    ['full-load-dc', { horsepower: 10 }, '240', 38],
    ['locked-rotor-three-phase', { horsepower: 50 }, '460', 363],
    ['code-letter', { letter: 'G' }, 'maximum', 6.29],
    ['ampacity', { material: 'copper', size: '4/0' }, '75', 230],
    ['equipment-ground', { amperes: 45 }, 'copper', '10'],
    ['bundling', { conductors: 8 }, 'percent', 70],
    ['ambient-correction', { celsius: 41 }, '90', 0.87],
    ['ambient-correction', { celsius: -20 }, '75', 1.2],
  ])('%s %o column %s is %s', (id, keys, column, expected) => { expect(value(id, keys, column)).toBe(expected); });

  it('does not invent what the standard leaves blank', () => {
    expect(value('full-load-three-phase', { motor: 'induction', horsepower: 250 }, '230')).toBeNull();
    expect(value('full-load-three-phase', { motor: 'induction', horsepower: 4 }, '460')).toContain('not covered');
  });

  // Physics: R = rho L / A with copper of 100 % IACS at 20 C, 10.371 ohm cmil/ft, and 0.00393 per kelvin (IEC 60028).
  it('agrees with resistance from resistivity within the stranding allowance', () => {
    const at75 = 10.371 * (1 + 0.00393 * 55);
    for (const r of table('conductor').rows) {
      const fromResistivity = at75 * 1000 / Number(r.cmil);
      expect(Number(r.copper) / fromResistivity, String(r.size)).toBeGreaterThan(0.98);
      expect(Number(r.copper) / fromResistivity, String(r.size)).toBeLessThan(1.05);
    }
  });

  // The printed effective-impedance column of Chapter 9 Table 9 at power factor 0.85 is R pf + X sin(arccos pf).
  it('agrees with the printed effective impedance from R and X', () => {
    for (const r of table('impedance').rows) {
      for (const metal of ['copper', 'aluminum']) {
        const printed = r[`${metal}-z`];
        if (typeof printed !== 'number' || typeof r[metal] !== 'number') continue;
        const z = r[metal] * 0.85 + Number(r.reactance) * Math.sqrt(1 - 0.85 ** 2);
        expect(Math.abs(z - printed), `${String(r.size)} ${metal} ${String(r.raceway)}`).toBeLessThan(printed > 0.5 ? 0.09 * printed : 0.0045 + 0.03 * printed);
      }
    }
  });

  // Every locked-rotor cell of the single-phase table is six times full load; the disputed one is kept in both readings.
  it('keeps both readings of the disputed locked-rotor cell', () => {
    expect(value('locked-rotor-single-phase', { horsepower: 10 }, '115')).toBe(1000);
    expect(value('locked-rotor-single-phase', { horsepower: 10 }, '115 lower')).toBe(600);
    expect(6 * Number(value('full-load-single-phase', { horsepower: 10 }, '115'))).toBe(600);
  });
});

describe('formulas', () => {
  it('compute what they say', () => {
    expect(evaluate('I = 115 / 100 x I_FLC', { I_FLC: 40 })).toBeCloseTo(46, 12);
    expect(evaluate('a = 2 + 3 x 4 - 6 / 2', {})).toBe(11);
    expect(evaluate('a = sqrt(3) x (b - 1) ^ 2', { b: 3 })).toBeCloseTo(6.928203, 6);
    expect(evaluate('a = max(b, c, 2)', { b: 1, c: 5 })).toBe(5);
    expect(evaluate('ok = a >= b', { a: 2, b: 2 })).toBe(true);
    expect(evaluate('ok = a < b', { a: 2, b: 2 })).toBe(false);
  });
  it('refuse what is no formula or lacks a value', () => {
    expect(() => evaluate('a = 2 x', {})).toThrow(RangeError);
    expect(() => evaluate('a = b', {})).toThrow(RangeError);
    expect(() => evaluate('a = 2 3', {})).toThrow(RangeError);
  });
});
