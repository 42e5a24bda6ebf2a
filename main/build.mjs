// Builds the program into dist/: the window by Vite, the shell, the host and the preload by esbuild.
// Dependencies of main stay outside the bundles: some are native, and a packaged copy carries them anyway.
import { build } from 'esbuild';
import { build as buildWindow } from 'vite';
import { cp, mkdir, rm, writeFile } from 'node:fs/promises';
import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('..', import.meta.url));
process.chdir(root);
const started = Date.now();
await rm('dist/.built', { force: true });

await buildWindow({ configFile: 'renderer/vite.config.ts', logLevel: 'warn' });
// pdf.js fetches these beside the page: standard fonts, character maps and decoders.
for (const folder of ['standard_fonts', 'cmaps', 'wasm']) await cp(`node_modules/pdfjs-dist/${folder}`, `dist/renderer/pdf/${folder}`, { recursive: true });

await rm('dist/main', { recursive: true, force: true });
await mkdir('dist/main', { recursive: true });
const common = { bundle: true, platform: 'node', target: 'node20', packages: 'external', logLevel: 'warning', sourcemap: true, legalComments: 'none', outdir: 'dist/main', external: ['electron'] };
const entries = { host: 'main/host/run.ts', shell: 'main/shell/app.ts', cli: 'main/cli/run.ts', 'plan-job': 'main/exchange/job-entry.ts' };
const there = Object.fromEntries(Object.entries(entries).filter(([, path]) => existsSync(path)));
await build({ ...common, entryPoints: there, format: 'esm' });
// A sandboxed preload must be one CommonJS file.
await build({ ...common, entryPoints: { preload: 'main/host/preload.ts' }, format: 'cjs', outExtension: { '.js': '.cjs' } });

await writeFile('dist/.built', `${new Date().toISOString()}\n`);
console.log(`built dist/ in ${((Date.now() - started) / 1000).toFixed(1)} s`);
