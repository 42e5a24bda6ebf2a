// tsx tests/mutation/sizing.ts [COUNT] [SEED] [FILE]   changes operators and constants of the sizing code one at a time, runs the
// product's own sizing tests over each, and lists the changes that no test noticed. FILE keeps to files whose name holds it.
// Code and tests are bundled anew for each change and run up to the first failure, the slow property tests left out; not part of
// the usual checks. survivors.md says which changes no test can notice.
import { spawnSync } from 'node:child_process';
import { cpSync, mkdtempSync, readFileSync, readdirSync, rmSync, symlinkSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { context } from 'esbuild';
import type { Plugin } from 'esbuild';
import ts from 'typescript';

const root = new URL('../..', import.meta.url).pathname;
const TARGETS = [...readdirSync(join(root, 'shared-core/sizing')).filter((f) => f.endsWith('.ts') && !/index|types/.test(f)).map((f) => `shared-core/sizing/${f}`), 'shared-core/code-data/tables/rules.ts', 'shared-core/code-data/formula.ts', 'shared-core/code-data/trace.ts', 'shared-core/code-data/table.ts'];
// In groups, the quickest and most telling first: the run of a change ends with the first group in which a test fails.
const UNITS = readdirSync(join(root, 'tests/unit')).filter((f) => /^(sizing-|load-text|load-notation|derivation)/.test(f)).map((f) => `unit/${f}`);
const QUICK = ['examples', 'rules', 'device', 'edges', 'golden'].map((name) => `unit/sizing-${name}.test.ts`);
const GROUPS = [QUICK, UNITS.filter((f) => !QUICK.includes(f)), ['tables/rules', 'tables/values', 'tables/coverage'].map((name) => `${name}.test.ts`)];

interface Mutant { readonly file: string; readonly line: number; readonly from: number; readonly to: number; readonly before: string; readonly after: string }

const SWAPS: Readonly<Record<number, string>> = {
  [ts.SyntaxKind.LessThanToken]: '<=', [ts.SyntaxKind.LessThanEqualsToken]: '<', [ts.SyntaxKind.GreaterThanToken]: '>=', [ts.SyntaxKind.GreaterThanEqualsToken]: '>', [ts.SyntaxKind.PlusToken]: '-', [ts.SyntaxKind.MinusToken]: '+',
  [ts.SyntaxKind.AsteriskToken]: '/', [ts.SyntaxKind.SlashToken]: '*', [ts.SyntaxKind.AmpersandAmpersandToken]: '||', [ts.SyntaxKind.BarBarToken]: '&&', [ts.SyntaxKind.EqualsEqualsEqualsToken]: '!==', [ts.SyntaxKind.ExclamationEqualsEqualsToken]: '===',
};
/** Formulas are text: their operators and constants are changed too. */
const IN_FORMULA: readonly [RegExp, string][] = [[/ x /, ' / '], [/ \/ /, ' x '], [/ \+ /, ' - '], [/ - /, ' + '], [/max\(/, 'min('], [/sqrt\(3\)/, '2'], [/ >= /, ' <= '], [/ <= /, ' >= '], [/\b1000\b/, '1001'], [/\b100\b/, '101'], [/= 2 x/, '= 3 x']];

function mutantsOf(file: string): Mutant[] {
  const text = readFileSync(join(root, file), 'utf8');
  const source = ts.createSourceFile(file, text, ts.ScriptTarget.Latest, true);
  const found: Mutant[] = [];
  const add = (from: number, to: number, after: string): void => { found.push({ file, line: source.getLineAndCharacterOfPosition(from).line + 1, from, to, before: text.slice(from, to), after }); };
  const visit = (node: ts.Node): void => {
    if (ts.isImportDeclaration(node) || ts.isTypeNode(node) || ts.isInterfaceDeclaration(node) || ts.isTypeAliasDeclaration(node)) return;
    if (ts.isBinaryExpression(node)) { const after = SWAPS[node.operatorToken.kind]; if (after !== undefined && !(node.operatorToken.kind === ts.SyntaxKind.PlusToken && /['"`]/.test(node.getText()))) add(node.operatorToken.getStart(), node.operatorToken.getEnd(), after); }
    else if (ts.isNumericLiteral(node)) add(node.getStart(), node.getEnd(), String(Number(node.text.replace(/_/g, '')) + 1));
    else if (node.kind === ts.SyntaxKind.TrueKeyword || node.kind === ts.SyntaxKind.FalseKeyword) add(node.getStart(), node.getEnd(), node.kind === ts.SyntaxKind.TrueKeyword ? 'false' : 'true');
    else if (ts.isStringLiteral(node) && (node.text === 'up' || node.text === 'down') && ts.isCallExpression(node.parent)) add(node.getStart(), node.getEnd(), node.text === 'up' ? "'down'" : "'up'");
    else if ((ts.isStringLiteral(node) || ts.isNoSubstitutionTemplateLiteral(node) || ts.isTemplateExpression(node)) && / = /.test(node.getText())) {
      const body = node.getText();
      for (const [pattern, replacement] of IN_FORMULA) { const hit = pattern.exec(body); if (hit) add(node.getStart() + hit.index, node.getStart() + hit.index + hit[0].length, replacement); }
    }
    ts.forEachChild(node, visit);
  };
  visit(source);
  return found;
}

/** A small repeatable shuffle, so that a run can be repeated from its seed. */
function shuffled<T>(list: T[], seed: number): T[] {
  let state = seed;
  const next = (): number => { state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0; return state / 2 ** 32; };
  return list.map((item) => ({ item, at: next() })).sort((a, b) => a.at - b.at).map((x) => x.item);
}

/** A change may loop for ever: its run is ended by the seconds it computes, not by the clock, which a busy machine stretches. */
const MOST_SECONDS = 60;

/** Gives the bundler the changed text of one file, and our few words for the test framework's. */
const changing = (changed: { file: string; text: string }): Plugin => ({ name: 'changing', setup: (build) => {
  build.onResolve({ filter: /^vitest$/ }, ({ importer }) => (importer.endsWith('harness.ts') ? { path: 'vitest', external: true } : { path: join(root, 'tests/mutation/harness.ts') }));
  build.onLoad({ filter: /shared-core.*\.ts$/ }, ({ path }) => (path === join(root, changed.file) ? { contents: changed.text, loader: 'ts' } : undefined));
} });

async function main(count: number, seed: number, only: string): Promise<void> {
  const place = mkdtempSync(join(tmpdir(), 'sizing-mutation-'));
  cpSync(join(root, 'tests/golden'), join(place, 'tests/golden'), { recursive: true });
  symlinkSync(join(root, 'node_modules'), join(place, 'node_modules'));
  const changed = { file: '', text: '' };
  const entry = (files: readonly string[]): string => [...files.map((file) => `import './tests/${file}';`), "import { runAll } from './tests/mutation/harness';", 'await runAll();'].join('\n');
  const groups = await Promise.all(GROUPS.map(async (files, i) => {
    const bundle = join(place, `tests/unit/group-${i}.mjs`);
    const builder = await context({ stdin: { contents: entry(files), resolveDir: root, loader: 'ts' }, bundle: true, platform: 'node', format: 'esm', packages: 'external', outfile: bundle, logLevel: 'silent', plugins: [changing(changed)] });
    return { bundle, builder };
  }));
  const passes = async (): Promise<boolean> => {
    for (const { bundle, builder } of groups) {
      await builder.rebuild();
      const run = spawnSync('sh', ['-c', `ulimit -t ${MOST_SECONDS}; exec "$0" "$1"`, process.execPath, bundle], { stdio: changed.file === '' ? 'inherit' : 'ignore', env: { ...process.env, LOCKSTEAD_SEED: '7' } });
      if (run.status !== 0) return false;
    }
    return true;
  };
  if (!await passes()) throw new Error('The tests fail without any change.');
  const all = TARGETS.filter((file) => file.includes(only)).flatMap(mutantsOf);
  const chosen = shuffled(all, seed).slice(0, count);
  let noticed = 0;
  for (const m of chosen) {
    const text = readFileSync(join(root, m.file), 'utf8');
    Object.assign(changed, { file: m.file, text: text.slice(0, m.from) + m.after + text.slice(m.to) });
    if (await passes()) console.log(`survived ${m.file}:${m.line} ${m.before} -> ${m.after}   ${text.split('\n')[m.line - 1]?.trim().slice(0, 100) ?? ''}`); else noticed += 1;
  }
  for (const { builder } of groups) await builder.dispose();
  rmSync(place, { recursive: true, force: true });
  console.log(`${noticed} of ${chosen.length} changes noticed (${((100 * noticed) / chosen.length).toFixed(1)} %), ${all.length} possible, seed ${seed}`);
}

await main(Number(process.argv[2] ?? 100), Number(process.argv[3] ?? 1), process.argv[4] ?? '');
