import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { table } from '../../shared-core/code-data/index';
import type { Result, Step } from '../../shared-core/code-data/index';
import type { DeviceData, LoadData, SupplySystem } from '../../shared-core/document/index';
import { sizeDevice } from '../../shared-core/sizing/index';
import { projectWith, SYSTEM_208, SYSTEM_240, SYSTEM_480 } from '../support/sizing-project';
import type { Plain } from '../support/sizing-project';

const seed = Number(process.env.LOCKSTEAD_SEED ?? Math.floor(Math.random() * 1e9));
const options = { seed, numRuns: 60 };
const size = (load: Plain<LoadData>, device: Plain<DeviceData> = {}, system: SupplySystem = SYSTEM_480) => sizeDevice(projectWith(load, device, { system }), 'disconnect-1');

const SYSTEMS: readonly [SupplySystem, number, 1 | 3][] = [[SYSTEM_480, 460, 3], [SYSTEM_208, 208, 3], [SYSTEM_240, 230, 1], [SYSTEM_240, 115, 1]];
const powersFor = (voltage: number, phases: 1 | 3): number[] => table(phases === 1 ? 'full-load-single-phase' : 'full-load-three-phase').rows.filter((r) => r.motor !== 'synchronous' && typeof r[String(voltage)] === 'number').map((r) => Number(r.horsepower));

/** Ampacity that the conductor result states, and the metal of a set. */
const ampacityOf = (results: readonly Result[]): number => Number(results.find((r) => r.check === 'sizing.conductor')?.steps.findLast((s) => s.formula.startsWith('I_z = n x min'))?.value ?? Number.NaN);
const metal = (text: string | null): number => {
  const [, sets, word] = /^(?:(\d+) x )?(\S+) /.exec(text ?? '') ?? [];
  return Number(sets ?? 1) * Number(table('conductor').rows.find((r) => r.size === word)?.cmil);
};
const never = (before: number | null, after: number | null): boolean => before === null || after === null || after >= before;

describe(`sizing properties (seed ${seed})`, () => {
  it.each(SYSTEMS)('a larger motor never gets a smaller switch, fuse or conductor on %o at %s V, %s-phase', (system, voltage, phases) => {
    for (const fusible of [true, false]) {
      let before: ReturnType<typeof size> | null = null;
      let sized = 0;
      for (const horsepower of powersFor(voltage, phases)) {
        // A short route: the conductor is then decided by the motor alone, and parallel sets are compared by what they carry.
        const now = size({ kind: 'motor', horsepower, voltage, phases }, { fusible, routeLength: 5, ...(fusible ? {} : { upstreamAmperes: 20, upstreamType: 'fuse' as const }) }, system);
        if (before) {
          expect(never(before.summary.switchAmperes, now.summary.switchAmperes), `${horsepower} hp switch`).toBe(true);
          expect(never(before.summary.fuse?.amperes ?? null, now.summary.fuse?.amperes ?? null), `${horsepower} hp fuse`).toBe(true);
          expect(never(before.summary.requiredAmperes, now.summary.requiredAmperes)).toBe(true);
          expect(ampacityOf(now.results), `${horsepower} hp conductor`).toBeGreaterThanOrEqual(ampacityOf(before.results));
        }
        if (now.summary.conductor !== null) sized += 1;
        before = now;
      }
      expect(sized).toBeGreaterThan(5);
    }
  });

  it('a higher fault current never gets a lower rating, and never turns fail into pass', () => {
    const at = (availableFaultCurrent: number, device: Plain<DeviceData>) => size({ kind: 'motor', horsepower: 25, voltage: 460, phases: 3 }, { routeLength: 10, ...device }, { ...SYSTEM_480, source: { availableFaultCurrent } } as SupplySystem);
    fc.assert(fc.property(fc.integer({ min: 500, max: 150_000 }), fc.integer({ min: 1, max: 100_000 }), fc.constantFrom<Plain<DeviceData>>({}, { fusible: false, upstreamAmperes: 60 }, { upstreamAmperes: 60 }, { shortCircuitRating: 10_000 }, { conductor: { size: '4/0' } }), (low, more, device) => {
      const [a, b] = [at(low, device), at(low + more, device)];
      const order = ['fail', 'marginal', 'pass'];
      const verdict = (s: typeof a): number => order.indexOf(s.results.find((r) => r.check === 'sizing.short-circuit-rating')?.verdict ?? '');
      return never(a.summary.shortCircuitRating, b.summary.shortCircuitRating) && never(a.summary.faultCurrent, b.summary.faultCurrent)
        && (a.summary.shortCircuitRating !== b.summary.shortCircuitRating || verdict(b) <= verdict(a));
    }), options);
  });

  it('a longer route never gets a smaller conductor, a smaller ground or a higher fault current', () => {
    fc.assert(fc.property(fc.constantFrom(...SYSTEMS), fc.nat(), fc.double({ min: 1, max: 1500, noNaN: true }), fc.double({ min: 0.1, max: 800, noNaN: true }), fc.constantFrom('copper' as const, 'aluminum' as const), ([system, voltage, phases], pick, length, more, material) => {
      const powers = powersFor(voltage, phases);
      const load = { kind: 'motor', horsepower: powers[pick % powers.length] ?? 1, voltage, phases } as const;
      const [near, far] = [size(load, { routeLength: length, conductor: { material } }, system), size(load, { routeLength: length + more, conductor: { material } }, system)];
      if (near.summary.conductor === null || far.summary.conductor === null) return true;
      // Each raceway of a set has a grounding conductor of its own: their metal together is compared.
      const sets = (s: typeof near): number => Number(/^(\d+) x /.exec(s.summary.conductor ?? '')?.[1] ?? 1);
      const ground = (s: typeof near): number => sets(s) * metal(s.summary.equipmentGround);
      return metal(far.summary.conductor) >= metal(near.summary.conductor) && !(ground(far) < ground(near)) && (far.summary.conductor !== near.summary.conductor || never(far.summary.faultCurrent, near.summary.faultCurrent));
    }), options);
  });

  it('more heat or more conductors in the raceway never give a smaller conductor', () => {
    const load = { kind: 'motor', horsepower: 30, voltage: 460, phases: 3 } as const;
    fc.assert(fc.property(fc.integer({ min: 0, max: 50 }), fc.integer({ min: 0, max: 15 }), fc.integer({ min: 1, max: 30 }), fc.integer({ min: 0, max: 12 }), (celsius, hotter, count, more) => {
      const at = (ambientCelsius: number, conductorsInRaceway: number) => metal(size(load, { routeLength: 20, conductor: { ambientCelsius, conductorsInRaceway } }).summary.conductor);
      const [cool, warm] = [at(celsius, count), at(celsius + hotter, count + more)];
      return !(warm < cool);
    }), options);
  });

  it('nothing that a person entered passes below what the rules ask, worked out here by itself', () => {
    // 240.6(A) as both editions of the list print it from 15 to 600 A; percentages of Table 430.52(C)(1) for squirrel-cage motors.
    const sizes = [15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200, 225, 250, 300, 350, 400, 450, 500, 600, 700, 800, 1000, 1200, 1600, 2000];
    const up = (amperes: number): number => sizes.find((s) => s >= amperes - 1e-6) ?? Infinity;
    const current = (horsepower: number): number => Number(table('full-load-three-phase').rows.find((r) => r.motor === 'induction' && r.horsepower === horsepower)?.['460']);
    const maybeOf = <T>(arbitrary: fc.Arbitrary<T>): fc.Arbitrary<T | undefined> => fc.option(arbitrary, { nil: undefined });
    const device = fc.record({
      type: maybeOf(fc.constantFrom('enclosed-switch', 'circuit-breaker', 'molded-case-switch', 'attachment-plug', 'general-use-switch', 'pullout')), fusible: maybeOf(fc.boolean()), ratedAmperes: maybeOf(fc.constantFrom(30, 60, 100, 200, 400, 600)),
      ratedHorsepower: maybeOf(fc.constantFrom(5, 10, 25, 50, 100)), ratedVolts: maybeOf(fc.constantFrom(240, 480, 600)), poles: maybeOf(fc.constantFrom(1, 2, 3, 4)), fuseAmperes: maybeOf(fc.constantFrom(...sizes.slice(0, 24))),
      upstreamAmperes: maybeOf(fc.constantFrom(...sizes.slice(0, 24))), upstreamType: maybeOf(fc.constantFrom('fuse', 'circuit-breaker')), shortCircuitRating: maybeOf(fc.constantFrom(5000, 10_000, 65_000)), duty: maybeOf(fc.constantFrom('general', 'heavy')),
    });
    let passed = 0;
    fc.assert(fc.property(fc.constantFrom(...powersFor(460, 3)), device, fc.boolean(), (horsepower, entered, fusesOnly) => {
      const given = Object.fromEntries(Object.entries(entered).filter(([, value]) => value !== undefined)) as unknown as Plain<DeviceData> & typeof entered;
      const s = size({ kind: 'motor', horsepower, voltage: 460, phases: 3, fusesOnly }, { routeLength: 60, ...given });
      const flc = current(horsepower);
      const passes = (check: string): boolean => s.results.some((r) => r.check === check && r.verdict === 'pass');
      const breaker = given.type === 'circuit-breaker' || given.type === 'molded-case-switch';
      const plainSwitch = given.type === undefined || given.type === 'enclosed-switch';
      const upstreamMost = up(given.upstreamType === 'circuit-breaker' ? 2.5 * flc : 1.75 * flc);
      const faults = [
        passes('sizing.ampere-rating') && given.ratedAmperes !== undefined && given.ratedAmperes < 1.15 * flc - 1e-6 && !(plainSwitch && given.fusible === false && (given.ratedHorsepower ?? 0) >= horsepower) && 'amperes',
        passes('sizing.horsepower') && !breaker && given.ratedHorsepower !== undefined && given.ratedHorsepower < horsepower && 'horsepower',
        passes('sizing.voltage-rating') && given.ratedVolts !== undefined && given.ratedVolts < 480 && 'volts',
        passes('sizing.poles') && given.poles !== undefined && given.poles < 3 && 'poles',
        passes('sizing.duty') && given.duty === 'general' && 'duty',
        passes('sizing.fuse') && given.fuseAmperes !== undefined && given.fusible === true && plainSwitch && (given.fuseAmperes > up(1.75 * flc) || (given.ratedAmperes !== undefined && given.fuseAmperes > given.ratedAmperes)) && 'fuse',
        passes('sizing.breaker') && given.ratedAmperes !== undefined && given.ratedAmperes > up(2.5 * flc) && 'breaker',
        passes('sizing.fusing') && given.fusible === false && given.type !== 'circuit-breaker' && (given.upstreamAmperes === undefined || given.upstreamAmperes > upstreamMost) && 'upstream',
        passes('sizing.fusing') && given.fusible === false && fusesOnly && given.upstreamType !== 'fuse' && 'fuses only',
        passes('sizing.short-circuit-rating') && given.shortCircuitRating !== undefined && given.shortCircuitRating < (s.summary.faultCurrent ?? Infinity) && 'short circuit',
      ].filter((fault) => fault !== false);
      passed += s.results.filter((r) => r.verdict === 'pass').length;
      expect(faults, JSON.stringify([horsepower, given])).toEqual([]);
    }), { seed, numRuns: 150 });
    expect(passed).toBeGreaterThan(1000);
  });

  it('every derivation recomputes to its value', () => {
    const loads: Plain<LoadData>[] = [
      { kind: 'motor', horsepower: 25, voltage: 460, phases: 3, nameplateAmperes: 32, serviceFactor: 1.15, codeLetter: 'F' }, { kind: 'motor', horsepower: 100, voltage: 460, phases: 3, motorType: 'synchronous', powerFactor: 0.9 },
      { kind: 'motor', horsepower: 60, voltage: 460, phases: 3, design: 'A', codeLetter: 'H' }, { kind: 'hermetic', ratedLoadAmperes: 21, branchSelectionAmperes: 23, lockedRotorAmperes: 150, voltage: 460, phases: 3 },
      { kind: 'multimotor-cooling', minimumCircuitAmpacity: 44, maximumOvercurrent: 60, lockedRotorAmperes: 200, voltage: 460, phases: 3 }, { kind: 'heater', kilowatts: 20, voltage: 480, phases: 3 }, { kind: 'transformer', kva: 75, voltage: 480, phases: 3 },
      { kind: 'drive', driveInputAmperes: 40, maximumOvercurrent: 80, voltage: 480, phases: 3 }, { kind: 'torque-motor', nameplateAmperes: 12, lockedRotorAmperes: 13, voltage: 460, phases: 3 }, { kind: 'continuous', nameplateAmperes: 300, phases: 3 },
      { kind: 'machine', voltage: 460, phases: 3, parts: [{ kind: 'motor', horsepower: 10 }, { kind: 'motor', horsepower: 5, count: 2 }, { kind: 'heater', kilowatts: 6 }] as unknown as LoadData[] },
      { kind: 'machine', voltage: 460, phases: 3, parts: [{ kind: 'motor', horsepower: 10, startTogether: false }, { kind: 'motor', horsepower: 5, startTogether: false }] as unknown as LoadData[] },
      { kind: 'service', nameplateAmperes: 1000, phases: 3 },
    ];
    let computed = 0; let read = 0; let chosen = 0;
    for (const load of loads) {
      for (const device of [{}, { routeLength: 700 }, { conductor: { size: '4/0', material: 'aluminum' as const, raceway: 'PVC-40' as const } }, { ratedAmperes: 100, ratedHorsepower: 60, fuseAmperes: 60, shortCircuitRating: 9000 }]) {
        for (const r of size(load, device).results) {
          for (const step of r.steps) {
            const again = recompute(step);
            if (again === undefined) continue;
            if (step.how === 'computed') computed += 1; else if (step.how === 'look-up') read += 1; else chosen += 1;
            if (typeof step.value === 'number') expect(again, `${r.check}: ${step.formula}`).toBeCloseTo(step.value, 6);
            else expect(again, `${r.check}: ${step.formula}`).toBe(step.value);
          }
        }
      }
    }
    expect(Math.min(computed, read, chosen)).toBeGreaterThan(100);
  });
});

/** Works a step out again in another way than the engine: JavaScript's own arithmetic, and the table rows as they stand. */
function recompute(step: Step): number | string | boolean | undefined {
  const inputs = Object.fromEntries(step.inputs.map((i) => [i.name, i.value]));
  if (step.how === 'computed') {
    const expression = step.formula.slice(step.formula.indexOf(' = ') + 3).replace(/ x /g, ' * ').replace(/\^/g, '**').replace(/\b(sqrt|max|min)\(/g, 'Math.$1(');
    const slack = typeof step.value === 'boolean' ? expression.replace(/>= (\S+)$/, '>= $1 * (1 - 1e-9)').replace(/<= (\S+)$/, '<= $1 * (1 + 1e-9)') : expression;
    const make = Function as unknown as new (...args: string[]) => (...values: unknown[]) => number | boolean;
    return new make(...Object.keys(inputs), `return ${slack};`)(...Object.values(inputs));
  }
  if (step.table === undefined) return undefined;
  const rows = table(step.table.id as Parameters<typeof table>[0]).rows;
  const column = step.table.column;
  if (step.how === 'look-up') {
    const keys = step.table.keys ?? {};
    const kinds = table(step.table.id as Parameters<typeof table>[0]).keys;
    return rows.find((r) => Object.entries(keys).every(([k, v]) => (kinds[k] === 'up-to' ? r[k] === null || Number(r[k]) >= Number(v) : k === 'horsepower' ? Math.abs(Number(r[k]) - Number(v)) < 0.01 * Number(v) : r[k] === v)))?.[column] as number | string;
  }
  if (step.how !== 'chosen') return undefined;
  const need = Number(step.inputs[0]?.value);
  if (step.inputs.some((i) => i.name === 'column')) return rows.filter((r) => r.motor !== 'synchronous').find((r) => Number(r[column]) >= need * (1 - 1e-9) && r[column] !== undefined)?.horsepower as number;
  if (column === 'amperes') return Number(step.value) >= need * (1 - 1e-9) ? step.value : undefined;
  const list = rows.filter((r) => r[column] === true).map((r) => Number(r.amperes));
  return step.rounding === 'up' ? list.find((v) => v >= need * (1 - 1e-9)) : list.findLast((v) => v <= need * (1 + 1e-9));
}
