import { describe, expect, it } from 'vitest';
import { RULES, SOURCES, row, table } from '../../shared-core/code-data/index';
import type { Key, TableId } from '../../shared-core/code-data/index';
import { TABLES } from '../../shared-core/code-data/tables/index';

// The key space of each table is the product of the key values that occur in it, plus values that lie outside.
const OUTSIDE: Key[] = [-1, 0.01, 4.7, 99_999, 'none'];
const ids = Object.keys(TABLES) as TableId[];

function keySpace(id: TableId): Record<string, Key>[] {
  const t = table(id);
  return Object.keys(t.keys).reduce<Record<string, Key>[]>((sofar, name) => {
    const values = [...new Set([...t.rows.map((r) => r[name]).filter((v): v is Key => typeof v === 'number' || typeof v === 'string'), ...(Object.keys(t.keys).length > 3 ? OUTSIDE.slice(-1) : OUTSIDE)])];
    return sofar.flatMap((keys) => values.map((value) => ({ ...keys, [name]: value })));
  }, [{}]);
}

describe('every table over its whole key space', () => {
  it.each(ids)('%s gives one row or says it does not cover', (id) => {
    const t = table(id);
    let covered = 0;
    for (const keys of keySpace(id)) {
      const found = row(id, keys);
      const exact = t.rows.filter((r) => Object.entries(keys).every(([name, key]) => t.keys[name] === 'exact' ? r[name] === key || (name === 'horsepower' && Math.abs(Number(r[name]) / Number(key) - 1) < 0.012) : true));
      if (!found.ok) { expect(found.reason).toContain('not covered'); continue; }
      covered += 1;
      const upTo = Object.values(t.keys).includes('up-to');
      expect(upTo || exact.length === 1, `${id} ${JSON.stringify(keys)}`).toBe(true);
    }
    expect(covered).toBeGreaterThanOrEqual(t.rows.length);
  });

  it.each(ids)('%s names a known source, a confidence and a number by edition for each row', (id) => {
    const t = table(id);
    expect(t.id).toBe(id);
    for (const edition of ['2017', '2020', '2023', '2026'] as const) expect(t.number[edition].length).toBeGreaterThan(3);
    for (const r of t.rows) {
      expect(r.source.length).toBeGreaterThan(0);
      for (const s of r.source) expect(SOURCES[s], `${id}: ${s}`).toBeDefined();
      expect(['confirmed', 'memory', 'disputed', 'typical', 'own-reading']).toContain(r.confidence);
    }
  });

  it.each(ids)('%s has ascending bounds where keys are bands', (id) => {
    const t = table(id);
    for (const [name, kind] of Object.entries(t.keys)) {
      if (kind !== 'up-to') continue;
      const bounds = t.rows.map((r) => (r[name] === null ? Infinity : Number(r[name])));
      expect([...bounds].sort((a, b) => a - b)).toEqual(bounds);
    }
  });

  it('gives every rule a source and an own note where it is not confirmed', () => {
    for (const [key, rule] of Object.entries(RULES)) {
      for (const s of rule.source) expect(SOURCES[s], key).toBeDefined();
      if (rule.confidence !== 'confirmed') expect('note' in rule && String(rule.note).length > 5, key).toBe(true);
    }
  });
});
