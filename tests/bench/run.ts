// npm run bench -- [--json] [--strict] [TOPIC...]   measures the product beside its peers in one process.
// Each topic is tests/bench/<topic>.ts with `rows(): AsyncGenerator<BenchRow>`. --json writes one object a line and nothing
// else; --strict makes a missed goal a failure (figures move with what else the machine does, so it is not the usual way).
import { readdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { BenchRow } from './bench-row';

const here = fileURLToPath(new URL('.', import.meta.url));
const topics = readdirSync(here).filter((name) => /^[a-z]+\.ts$/.test(name) && name !== 'run.ts').map((name) => name.slice(0, -3));
const words = process.argv.slice(2);
const json = words.includes('--json'); const strict = words.includes('--strict');
const chosen = words.filter((word) => !word.startsWith('--'));
const unknown = chosen.filter((word) => !topics.includes(word));
if (unknown.length > 0) { console.error(`Not a topic: ${unknown.join(', ')}. Topics: ${topics.join(', ')}`); process.exit(2); }

const figure = (n: number): string => (Number.isInteger(n) ? String(n) : n.toPrecision(3));
let missed = 0; let count = 0;
for (const topic of chosen.length > 0 ? chosen : topics) {
  const { rows } = await import(`./${topic}.ts`) as { rows: () => AsyncGenerator<BenchRow> };
  for await (const row of rows()) {
    count += 1; if (!row.met) missed += 1;
    if (json) { console.log(JSON.stringify(row)); continue; }
    const peer = row.peer === null ? '' : `, ${row.peerName ?? 'peer'} ${figure(row.peer)}, ratio ${figure(row.ratio ?? NaN)}`;
    console.log(`${row.met ? 'met   ' : 'MISSED'} ${row.name}: ${figure(row.product)} ${row.unit}${peer} (goal: ${row.goal}${row.aim === undefined ? '' : `; aim ${row.aim}: ${row.aimMet ? 'reached' : 'not reached'}`})`);
  }
}
if (!json) console.log(`${count - missed} of ${count} goals met`);
process.exit(strict && missed > 0 ? 1 : 0);
