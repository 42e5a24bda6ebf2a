import { readFileSync, readdirSync, statSync } from 'node:fs';
import { basename, join } from 'node:path';
import { Trace } from '../../shared-core/code-data/index';
import type { Edition } from '../../shared-core/code-data/index';
import { Inputs } from './worked/inputs';
import type { Answers, Topic } from './worked/inputs';
import { conductorTopics } from './worked/conductors';
import { faultTopics } from './worked/faults';
import { motorTopics } from './worked/motors';
import { placeTopics } from './worked/places';

/** One worked example: inputs, and what a published source or hand calculation gives. */
interface WorkedRecord {
  readonly id: string;
  readonly topic: string;
  readonly edition?: string;
  readonly inputs: Readonly<Record<string, unknown>>;
  readonly expected: Readonly<Record<string, { readonly value: unknown; readonly tolerance: number | 'exact' }>>;
}

const TOPICS: Readonly<Record<string, Topic>> = { ...motorTopics, ...conductorTopics, ...faultTopics, ...placeTopics };

/** The engine's edition that a record's words mean: the latest one not after the years it names. */
export function editionOf(words: string | undefined): Edition {
  const years = (words ?? '').match(/\b(?:19|20)\d\d\b/g)?.map(Number) ?? [];
  const latest = Math.max(...years, 0);
  if (latest === 0) return '2023';
  return (['2026', '2023', '2020', '2017'] as const).find((e) => Number(e) <= latest) ?? '2017';
}

/** Disagreements of one record; an empty list is a pass. */
export function checkRecord(record: WorkedRecord): string[] {
  const topic = TOPICS[record.topic];
  if (!topic) return [`topic '${record.topic}' is not known`];
  const trace = new Trace({ edition: editionOf(record.edition) });
  const faults: string[] = [];
  let answers: Answers;
  try { answers = topic(trace, new Inputs(record.inputs), Object.keys(record.expected)); } catch (error) { return [`could not be set up: ${(error as Error).message}`]; }
  for (const [key, expected] of Object.entries(record.expected)) {
    const ask = answers[key];
    if (!ask) { faults.push(`${key}: no answer for this key`); continue; }
    try {
      const value = ask();
      if (!agrees(value, expected)) faults.push(`${key}: ${JSON.stringify(value)}, expected ${JSON.stringify(expected.value)} (tolerance ${expected.tolerance})`);
    } catch (error) { faults.push(`${key}: ${(error as Error).message}`); }
  }
  return Object.keys(record.expected).length === 0 ? ['nothing is expected'] : faults;
}

function agrees(value: unknown, expected: { readonly value: unknown; readonly tolerance: number | 'exact' }): boolean {
  if (Array.isArray(expected.value)) return Array.isArray(value) && expected.value.every((v) => value.includes(v));
  if (typeof expected.value === 'number' && typeof value === 'number') {
    const allowed = expected.tolerance === 'exact' ? 0 : expected.tolerance;
    return Math.abs(value - expected.value) <= allowed + 1e-9 * Math.max(1, Math.abs(expected.value));
  }
  if (typeof expected.value === 'string' || typeof expected.value === 'number') return String(value) === String(expected.value);
  return value === expected.value;
}

function filesIn(path: string): string[] {
  if (!statSync(path).isDirectory()) return [path];
  return readdirSync(path).sort().flatMap((name) => (statSync(join(path, name)).isDirectory() ? filesIn(join(path, name)) : name.endsWith('.json') ? [join(path, name)] : []));
}

/**
 * Runs worked-example records through the sizing engine.
 * @param paths JSON files (each a list of records) or folders of them
 */
export async function run(paths: string[]): Promise<{ passed: number; failed: number }> {
  let passed = 0;
  let failed = 0;
  for (const file of paths.flatMap(filesIn)) {
    let records: unknown;
    try { records = JSON.parse(readFileSync(file, 'utf8')); } catch (error) { failed += 1; console.log(`${basename(file)}: cannot be read: ${(error as Error).message}`); continue; }
    if (!Array.isArray(records)) { failed += 1; console.log(`${basename(file)}: is no list of records`); continue; }
    for (const record of records as WorkedRecord[]) {
      const faults = checkRecord(record);
      if (faults.length === 0) passed += 1; else failed += 1;
      for (const fault of faults) console.log(`${record.id}: ${fault}`);
    }
  }
  return { passed, failed };
}
