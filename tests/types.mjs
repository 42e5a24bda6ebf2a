// Type-checks each layer against its own library set (shared-core sees no DOM and no Node).
import { spawnSync } from 'node:child_process';
let failed = 0;
for (const layer of ['shared-core', 'main', 'renderer', 'tests']) {
  const run = spawnSync(process.execPath, ['node_modules/typescript/bin/tsc', '-p', layer, '--noEmit'], { stdio: 'inherit' });
  if (run.status !== 0) { failed += 1; console.error(`types: ${layer} failed`); }
}
process.exit(failed ? 1 : 0);
