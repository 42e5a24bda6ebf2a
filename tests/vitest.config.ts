import { defineConfig } from 'vitest/config';

export default defineConfig({
  root: new URL('..', import.meta.url).pathname,
  test: {
    include: ['tests/{unit,properties,tables,services,shell,faults,extra}/**/*.test.{ts,tsx}'],
    environment: 'node',
    // Reading processes start slowly on a busy machine; what hangs is ended by its own limit.
    testTimeout: 120_000,
    hookTimeout: 120_000,
    pool: 'forks',
    maxWorkers: 2,
  },
});
