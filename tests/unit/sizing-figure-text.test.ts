import { describe, expect, it } from 'vitest';
import type { LoadData } from '../../shared-core/document/index';
import { sizeDevice } from '../../shared-core/sizing/index';
import { asWritten } from '../../shared-core/sizing/figure-text';
import { SIZING_CASES } from '../support/sizing-cases';
import { projectWith, SYSTEM_480 } from '../support/sizing-project';

describe('figures in sentences are written as a person writes them', () => {
  it.each([
    ['200000 A rating', '200,000 A rating'], ['at most 999 A', 'at most 999 A'], ['1000 A', '1,000 A'], ['1234567.5 A', '1,234,567.5 A'], ['(1200.456 A)', '(1,200.46 A)'], ['0.3333 A', '0.3333 A'], ['10380 cmil', '10,380 cmil'],
    ['7.5 hp', '7 1/2 hp'], ['0.3333333333333333 hp', '1/3 hp'], ['25 hp', '25 hp'], ['200 hp at 2300 V', '200 hp at 2300 V'],
    // What hangs on a name stays as it is, and so does what is written already.
    ['MCC-1200 A', 'MCC-1200 A'], ['M1200 A', 'M1200 A'], ['1,200 A', '1,200 A'], ['7 1/2 hp', '7 1/2 hp'], ['1200 Amp bus', '1200 Amp bus'],
  ])("'%s' as '%s'", (text, written) => { expect(asWritten(text)).toBe(written); });
  it.each(SIZING_CASES.map(([name, load, device, more]) => ({ name, load, device, more })))('$name: no bare thousands, no long decimals, no sign that a reader must explain', ({ load, device, more }) => {
    for (const { title, remedies, missing, steps } of sizeDevice(projectWith(load, device, more), 'disconnect-1').results) {
      for (const text of [title, ...remedies, ...missing, ...steps.filter((s) => s.how === 'stated').map((s) => s.formula)]) {
        expect(text).not.toMatch(/(?<![\w.,-])\d{4,}(\.\d+)? (A|cmil)\b/);
        expect(text).not.toMatch(/\d\.\d{5,}/);
        expect(text).not.toMatch(/-\d[\d.]* %/);
        expect(text).not.toMatch(/\b\d+\.(5|25|75|125|333\d*) hp\b/);
      }
    }
  });
  it('says which of both methods is the lower one', () => {
    const fault = (routeLength: number) => sizeDevice(projectWith({ kind: 'motor', horsepower: 25, voltage: 460, phases: 3 }, { routeLength }, { system: SYSTEM_480 }), 'disconnect-1').results.find((r) => r.check === 'sizing.fault-current');
    for (const length of [5, 400]) {
      const found = fault(length);
      const value = (symbol: string): number => Number(found?.steps.findLast((s) => s.formula.startsWith(`${symbol} = `))?.value);
      expect(found?.title).toContain(`point to point ${Math.abs(100 * (value('I_pp') / value('I_imp') - 1)).toFixed(1)} % ${value('I_pp') < value('I_imp') ? 'lower' : 'higher'}`);
    }
  });
  it('a part of a machine is faulted in the same words', () => {
    const machine = { kind: 'machine', voltage: 460, phases: 3, parts: [{ kind: 'motor', horsepower: 7.5, kilowatts: 50 }] } as unknown as LoadData;
    expect(sizeDevice(projectWith(machine as never), 'disconnect-1').results[0]?.title).toContain('7 1/2 hp and 50 kW are not the power of one motor');
  });
});
