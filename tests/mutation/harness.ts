import { expect } from 'vitest';

/**
 * As much of the test framework's words as the sizing tests use, for many runs in little time: tests run in order, in one
 * process, and the first that fails ends it. Assertions are the framework's own.
 */
type Body = (...args: never[]) => unknown;
const tests: { readonly name: string; readonly run: () => unknown }[] = [];
const after: (() => unknown)[] = [];

const spread = (row: unknown): never[] => (Array.isArray(row) ? row : [row]) as never[];
const add = (name: string, run: () => unknown): void => { tests.push({ name, run }); };

export const it = Object.assign((name: string, body: Body) => { add(name, body); }, {
  each: (rows: readonly unknown[]) => (name: string, body: Body) => { rows.forEach((row, i) => { add(`${name} ${i}`, () => body(...spread(row))); }); },
});
const group = (_name: string, body: Body): void => { body(); };
const each = (rows: readonly unknown[]) => (_name: string, body: Body): void => { for (const row of rows) body(...spread(row)); };
export const describe = Object.assign(group, { each });
export const afterEach = (hook: () => unknown): void => { after.push(hook); };
export { expect };

/** Runs what was registered; ends the process with 1 at the first failure. */
export async function runAll(): Promise<void> {
  if (tests.length === 0) process.exit(2);
  for (const test of tests) {
    try {
      await test.run();
      for (const hook of after) await hook();
    } catch (error) {
      console.error(test.name, error instanceof Error ? error.message : error);
      process.exit(1);
    }
  }
}
