import { existsSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { table } from '../../shared-core/code-data/index';
import type { TableId } from '../../shared-core/code-data/index';
import { run } from '../verify/sizing';

// Extra checks against the optional reference folder beside the project; the product and its own tests do not need it.
const reference = new URL('../../../shared/reference/', import.meta.url).pathname;
const here = existsSync(`${reference}examples`);
interface ReferenceRow { readonly [cell: string]: unknown }
const rowsOf = (file: string): ReferenceRow[] => (JSON.parse(readFileSync(reference + file, 'utf8')) as { rows: ReferenceRow[] }).rows;
const bySize = (id: TableId, match: Record<string, unknown>) => table(id).rows.find((r) => Object.entries(match).every(([k, v]) => r[k] === v));

describe.skipIf(!here)('the reference folder', () => {
  it('agrees with every worked example', async () => {
    expect(await run([`${reference}examples`])).toEqual({ passed: 119, failed: 0 });
  });

  it.each([['motors/single_phase_flc.json', 'full-load-single-phase'], ['motors/dc_motor_flc.json', 'full-load-dc'], ['motors/locked_rotor_three_phase.json', 'locked-rotor-three-phase']] as const)('agrees with every cell of %s', (file, id) => {
    const rows = rowsOf(file);
    expect(table(id).rows.length).toBe(rows.length);
    rows.forEach((r, n) => {
      for (const column of table(id).columns) expect(table(id).rows[n]?.[column] ?? null, `${String(r.horsepower)} hp ${column}`).toBe(r[`amperes_at_${column}_volts`] ?? null);
    });
  });

  it('agrees with every cell of the ampacity table', () => {
    for (const r of rowsOf('installation/ampacity_310_16.json')) {
      for (const [ours, theirs] of [['copper', 'copper'], ['aluminum', 'aluminium']] as const) {
        const cells = r[theirs] as { c60: number; c75: number; c90: number } | null;
        const own = bySize('ampacity', { material: ours, size: r.size });
        expect(own && own['60'] !== null ? [own['60'], own['75'], own['90']] : null).toEqual(cells ? [cells.c60, cells.c75, cells.c90] : null);
      }
    }
  });

  it('agrees with every switch horsepower row', () => {
    const rows = rowsOf('motors/switch_horsepower.json');
    expect(table('switch-horsepower').rows.map((r) => [r.duty, r.class, r.construction, r.amperes, r.voltage, r.phases, r.standard ?? null, r.conservative ?? null]))
      .toEqual(rows.map((r) => [r.duty, r.switch_voltage_class_volts, r.construction, r.switch_ampere_rating, r.circuit_voltage_volts, r.phases, r.standard_hp_fast_acting_fuses ?? null, r.conservative_hp ?? null]));
  });
});
