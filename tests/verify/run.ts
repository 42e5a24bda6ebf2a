// npm run verify -- TOPIC PATH...   checks the product against reference files that live outside it.
// Each topic is tests/verify/<topic>.ts with `run(paths): Promise<{ passed, failed }>`; it prints its own disagreements.
// A topic that makes its own cases exports `takes = 'counts'` and gets the words as they are.
import { existsSync, readdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

const here = fileURLToPath(new URL('.', import.meta.url));
const topics = readdirSync(here).filter((name) => /^[a-z]+\.ts$/.test(name) && name !== 'run.ts').map((name) => name.slice(0, -3));
const [topic, ...paths] = process.argv.slice(2);

if (!topic || !topics.includes(topic) || paths.length === 0) {
  console.error(`usage: npm run verify -- TOPIC PATH...   TOPIC is one of: ${topics.join(', ')}`);
  process.exit(2);
}
const { run, takes } = await import(`./${topic}.ts`) as { takes?: 'counts'; run: (args: string[]) => Promise<{ passed: number; failed: number }> };
const missing = takes === 'counts' ? [] : paths.filter((path) => !existsSync(path));
if (missing.length > 0) {
  console.error(`No such file or folder: ${missing.join(', ')}`);
  process.exit(2);
}
const { passed, failed } = await run(paths);
console.log(`${passed} passed, ${failed} failed`);
process.exit(failed > 0 || passed === 0 ? 1 : 0);
