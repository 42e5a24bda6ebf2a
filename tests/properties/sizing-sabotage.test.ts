import { afterEach, describe, expect, it } from 'vitest';
import { Gap, RULES, Trace } from '../../shared-core/code-data/index';
import type { Result, Rule, Step } from '../../shared-core/code-data/index';
import { TABLES } from '../../shared-core/code-data/tables/index';
import type { DeviceData, LoadData } from '../../shared-core/document/index';
import { sizeDevice } from '../../shared-core/sizing/index';
import { projectWith, SYSTEM_208, SYSTEM_480 } from '../support/sizing-project';
import type { Plain } from '../support/sizing-project';

// Nothing unknown may pass: each step, each row and each rule is made to fail in turn, and no result that rests on it passes.
const CASES: readonly [string, Plain<LoadData>, Plain<DeviceData>, typeof SYSTEM_480][] = [
  ['motor', { kind: 'motor', horsepower: 25, voltage: 460, phases: 3, nameplateAmperes: 32, serviceFactor: 1.15, codeLetter: 'F' }, {}, SYSTEM_480],
  ['motor on 208 V, entered device', { kind: 'motor', horsepower: 10, voltage: 208, phases: 3 }, { ratedAmperes: 60, ratedHorsepower: 15, fuseAmperes: 50, fuseClass: 'RK1', shortCircuitRating: 100_000, enclosure: '12', poles: 3, ratedVolts: 240 }, SYSTEM_208],
  ['non-fusible', { kind: 'motor', horsepower: 10, voltage: 460, phases: 3 }, { fusible: false, upstreamAmperes: 25, upstreamType: 'circuit-breaker' }, SYSTEM_480],
  ['compressor', { kind: 'hermetic', ratedLoadAmperes: 21, lockedRotorAmperes: 150, voltage: 460, phases: 3 }, {}, SYSTEM_480],
  ['machine', { kind: 'machine', voltage: 460, phases: 3, parts: [{ kind: 'motor', horsepower: 10 }, { kind: 'motor', horsepower: 5 }, { kind: 'heater', kilowatts: 6 }] as unknown as LoadData[] }, {}, SYSTEM_480],
  ['heater', { kind: 'heater', kilowatts: 20, voltage: 480, phases: 3 }, {}, SYSTEM_480],
  ['transformer', { kind: 'transformer', kva: 75, voltage: 480, phases: 3 }, {}, SYSTEM_480],
  ['service', { kind: 'service', nameplateAmperes: 300, phases: 3 }, { serviceEquipment: true }, SYSTEM_480],
];
const METHODS = ['compute', 'test', 'lookUp', 'word', 'choose', 'pickRow', 'state', 'row', 'rule', 'allows'] as const;
type Method = (typeof METHODS)[number];
const originals = Object.fromEntries(METHODS.map((m) => [m, Object.getOwnPropertyDescriptor(Trace.prototype, m)?.value as (...args: unknown[]) => unknown])) as Record<Method, (...args: unknown[]) => unknown>;
const patch = (wrap: (method: Method, original: (...args: unknown[]) => unknown) => (this: Trace, ...args: unknown[]) => unknown): void => {
  for (const m of METHODS) Object.defineProperty(Trace.prototype, m, { value: wrap(m, originals[m]), configurable: true, writable: true });
};
afterEach(() => { patch((_m, original) => original); });

const size = (c: (typeof CASES)[number]): readonly Result[] => sizeDevice(projectWith(c[1], c[2], { system: c[3] }), 'disconnect-1').results;
const sameStep = (a: Step, b: Step): boolean => a.quantity === b.quantity && a.formula === b.formula && a.value === b.value && JSON.stringify(a.inputs) === JSON.stringify(b.inputs);

/** Which results of a run rest on the step that the nth call made. */
function recordCalls(c: (typeof CASES)[number]): { readonly calls: { readonly method: Method; readonly step: Step | null }[]; readonly results: readonly Result[] } {
  const calls: { method: Method; step: Step | null }[] = [];
  patch((method, original) => function wrapped(this: Trace, ...args: unknown[]) {
    const before = this.steps.length;
    const value = original.apply(this, args);
    calls.push({ method, step: this.steps.length > before ? this.steps.at(-1) ?? null : null });
    return value;
  });
  const results = size(c);
  patch((_m, original) => original);
  return { calls, results };
}

describe.each(CASES.map((c) => [c[0], c] as const))('%s: what fails is never a pass', (_name, c) => {
  it.each([['an exception', () => new Error('sabotage')], ['missing data', () => new Gap('sabotage')]] as const)('%s in each step', (_kind, make) => {
    const { calls, results } = recordCalls(c);
    const steps = calls.map((call, n) => ({ ...call, n })).filter((call) => call.step !== null);
    let passes = 0; let tried = 0;
    for (const { n, step } of steps) {
      const resting = new Set(results.filter((r) => step && r.steps.some((s) => sameStep(s, step))).map((r) => r.id));
      if (resting.size === 0) continue;
      patch((_m, original) => function wrapped(this: Trace, ...args: unknown[]) {
        const before = this.steps.length;
        const value = original.apply(this, args);
        const made = this.steps.length > before ? this.steps.at(-1) : undefined;
        // Every making of this step fails, whoever asks: a step that is made twice has not failed if one making holds.
        if (made && step && sameStep(made, step)) { this.steps.pop(); throw make(); }
        return value;
      });
      tried += 1;
      const broken = size(c).filter((r) => resting.has(r.id) && r.verdict === 'pass');
      if (broken.length > 0) { passes += broken.length; expect.soft(broken.map((r) => `${n} ${step?.quantity}: ${r.title}`)).toEqual([]); }
      patch((_m, original) => original);
    }
    expect(tried).toBeGreaterThan(20);
    expect(passes).toBe(0);
  });
});

describe('data that is not whole', () => {
  it('a lost row of any table that a result reads is never a pass', () => {
    let passes = 0; let tried = 0;
    for (const c of CASES) {
      const base = size(c);
      const used = new Set(base.flatMap((r) => r.steps.flatMap((s) => (s.table ? [s.table.id] : []))));
      for (const id of used) {
        const rows = (TABLES as unknown as Record<string, { rows: unknown[] }>)[id]?.rows ?? [];
        const resting = new Set(base.filter((r) => r.steps.some((s) => s.table?.id === id)).map((r) => r.id));
        for (let n = 0; n < rows.length; n += Math.max(1, Math.floor(rows.length / 6))) {
          const [lost] = rows.splice(n, 1);
          try {
            const broken = size(c).filter((r) => resting.has(r.id) && r.verdict === 'pass');
            passes += broken.length;
            expect.soft(broken.map((r) => `${c[0]} ${id} row ${n}: ${r.title}`)).toEqual([]);
          } finally { rows.splice(n, 0, lost); }
          tried += 1;
        }
      }
    }
    expect(tried).toBeGreaterThan(200);
    expect(passes).toBe(0);
  });

  it('the very row a look-up reads, made unreadable, is never a pass', () => {
    let passes = 0; let tried = 0;
    for (const c of CASES) {
      const base = size(c);
      const reads = new Map(base.flatMap((r) => r.steps.filter((s) => s.how === 'look-up' && s.table?.keys).map((s) => [`${s.table?.id} ${JSON.stringify(s.table?.keys)} ${s.table?.column}`, s] as const)));
      for (const step of reads.values()) {
        const rows = (TABLES as unknown as Record<string, { rows: Record<string, unknown>[] }>)[step.table?.id ?? '']?.rows ?? [];
        const column = step.table?.column ?? '';
        const hit = rows.find((r) => r[column] === step.value && Object.entries(step.table?.keys ?? {}).every(([k, v]) => r[k] === v || r[k] === null || Number(r[k]) >= Number(v)));
        if (!hit) continue;
        const resting = new Set(base.filter((r) => r.steps.some((s) => sameStep(s, step))).map((r) => r.id));
        hit[column] = null;
        try {
          const broken = size(c).filter((r) => resting.has(r.id) && r.verdict === 'pass');
          passes += broken.length;
          expect.soft(broken.map((r) => `${c[0]} ${step.quantity} ${column}: ${r.title}`)).toEqual([]);
        } finally { hit[column] = step.value; }
        tried += 1;
      }
    }
    expect(tried).toBeGreaterThan(80);
    expect(passes).toBe(0);
  });

  it('a lost rule is never a pass for what rests on it', () => {
    const rules = RULES as unknown as Record<string, Rule | undefined>;
    let passes = 0; let tried = 0;
    for (const c of CASES) {
      const used = new Set<string>();
      patch((m, original) => function wrapped(this: Trace, ...args: unknown[]) { if (m === 'rule' || m === 'allows') used.add(String(args[0])); return original.apply(this, args); });
      const base = size(c);
      patch((_m, original) => original);
      for (const key of used) {
        const rule = rules[key];
        const resting = new Set(base.filter((r) => r.steps.some((s) => s.inputs.some((i) => i.from === 'table' && i.name.length > 0 && i.value === rule?.value && s.citation?.text.includes(rule.section.split(' ')[0] ?? '') === true))).map((r) => r.id));
        rules[key] = undefined;
        try {
          const broken = size(c).filter((r) => resting.has(r.id) && r.verdict === 'pass');
          passes += broken.length;
          expect.soft(broken.map((r) => `${c[0]} ${key}: ${r.title}`)).toEqual([]);
        } finally { rules[key] = rule; }
        tried += 1;
      }
    }
    expect(tried).toBeGreaterThan(50);
    expect(passes).toBe(0);
  });
});
