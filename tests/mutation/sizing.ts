// tsx tests/mutation/sizing.ts [COUNT] [SEED]   changes operators and constants of the sizing code one at a time, runs the
// product's own sizing tests on a copy, and lists the changes that no test noticed. Slow: not part of the usual checks.
import { spawnSync } from 'node:child_process';
import { cpSync, mkdtempSync, readFileSync, readdirSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import ts from 'typescript';

const root = new URL('../..', import.meta.url).pathname;
const TARGETS = [...readdirSync(join(root, 'shared-core/sizing')).filter((f) => f.endsWith('.ts') && !/index|types/.test(f)).map((f) => `shared-core/sizing/${f}`), 'shared-core/code-data/tables/rules.ts', 'shared-core/code-data/formula.ts', 'shared-core/code-data/trace.ts', 'shared-core/code-data/table.ts'];
const TESTS = ['tests/unit/sizing-device.test.ts', 'tests/unit/sizing-rules.test.ts', 'tests/unit/sizing-enclosure.test.ts', 'tests/unit/sizing-examples.test.ts', 'tests/unit/sizing-golden.test.ts', 'tests/unit/sizing-edges.test.ts', 'tests/unit/load-text.test.ts', 'tests/properties/sizing.test.ts', 'tests/tables'];

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

const count = Number(process.argv[2] ?? 100);
const seed = Number(process.argv[3] ?? 1);
const copy = mkdtempSync(join(tmpdir(), 'sizing-mutation-'));
for (const part of ['shared-core', 'tests', 'package.json', 'tsconfig.json']) cpSync(join(root, part), join(copy, part), { recursive: true });
symlinkSync(join(root, 'node_modules'), join(copy, 'node_modules'));
const runTests = (): boolean => spawnSync(join(copy, 'node_modules/.bin/vitest'), ['run', '--config', 'tests/vitest.config.ts', '--bail', '1', '--maxWorkers', '1', '--no-isolate', ...TESTS], { cwd: copy, encoding: 'utf8', timeout: 120_000, env: { ...process.env, LOCKSTEAD_SEED: '7' } }).status === 0;
if (!runTests()) { console.error('The tests fail without any change.'); process.exit(2); }

const all = TARGETS.flatMap(mutantsOf);
const chosen = shuffled(all, seed).slice(0, count);
let noticed = 0;
const survivors: Mutant[] = [];
for (const m of chosen) {
  const text = readFileSync(join(root, m.file), 'utf8');
  writeFileSync(join(copy, m.file), text.slice(0, m.from) + m.after + text.slice(m.to));
  if (runTests()) { survivors.push(m); console.log(`survived ${m.file}:${m.line} ${m.before} -> ${m.after}`); } else noticed += 1;
  writeFileSync(join(copy, m.file), text);
}
console.log(`${noticed} of ${chosen.length} changes noticed (${((100 * noticed) / chosen.length).toFixed(1)} %), ${all.length} possible, seed ${seed}`);
