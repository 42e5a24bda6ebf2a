import { PDFDocument } from '@cantoo/pdf-lib';
import { spawnSync } from 'node:child_process';
import { mkdir, readFile, readdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { beforeAll, describe, expect, it } from 'vitest';
import { auditDocument } from '../../shared-core/audit/index';
import { VERDICT_ORDER } from '../../shared-core/code-data/index';
import { emptyDocument } from '../../shared-core/document/index';
import type { Disconnect, Document, Load } from '../../shared-core/document/index';
import { CAUTIONS } from '../../shared-core/report/index';
import { runCommand, USAGE } from '../../main/cli/command';
import { packProject, unpackProject } from '../../main/files/plan-file';
import { createServices } from '../../main/services';
import { scratchFolder } from './scratch';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const DEMO = join(ROOT, 'assets/demo/cider-works.lockstead');
let demo: { readonly document: Document; readonly plans: ReadonlyMap<string, Uint8Array> };
beforeAll(async () => {
  const read = unpackProject(new Uint8Array(await readFile(DEMO)), 'demo');
  if (!read.ok) throw new Error(read.problem.what);
  demo = read.value;
});

async function run(argv: readonly string[], folder = ROOT): Promise<{ status: number; out: string; error: string }> {
  const said = { out: '', error: '' };
  const status = await runCommand(argv, { folder, out: (text) => { said.out += text; }, error: (text) => { said.error += text; } });
  return { status, ...said };
}
async function projectFile(folder: string, document: Document): Promise<string> {
  const packed = packProject(document, demo.plans);
  if (!packed.ok) throw new Error(packed.problem.what);
  await writeFile(join(folder, 'works.lockstead'), packed.value);
  return join(folder, 'works.lockstead');
}
/** The demo with one disconnect and what it serves left in. */
function onlyDevice(document: Document, tag: string): Document {
  const all = Object.values(document.entities);
  const device = all.find((e): e is Disconnect => e.kind === 'disconnect' && e.tag === tag);
  if (!device) throw new Error(`the demo has no ${tag}`);
  const loads = all.filter((e): e is Load => e.kind === 'load' && device.serves.includes(e.id));
  const stays = new Set([device.id, ...loads.flatMap((load) => [load.id, load.machine ?? '', load.controller ?? ''])]);
  const fixed = new Set(['wall', 'obstruction', 'area', 'supply']);
  return { ...document, entities: Object.fromEntries(all.filter((e) => fixed.has(e.kind) || stays.has(e.id)).map((e) => [e.id, e])) };
}

describe('audit on the command line', () => {
  it('prints every finding that does not pass, worst first, the counts and the cautions, and ends with 1', async () => {
    const { status, out, error } = await run(['audit', DEMO]);
    const found = auditDocument(demo.document);
    expect([status, error]).toEqual([1, '']);
    for (const result of found.results) expect(out.includes(result.title), result.title).toBe(result.verdict !== 'pass');
    const order = out.split('\n').flatMap((line) => VERDICT_ORDER.filter((verdict) => line.startsWith(verdict.padEnd(11))));
    expect(order).toEqual(found.results.filter((result) => result.verdict !== 'pass').map((result) => result.verdict));
    expect(out).toContain(`${found.results.length} checks: ${VERDICT_ORDER.map((verdict) => `${found.counts[verdict]} ${verdict}`).join(', ')}`);
    for (const caution of CAUTIONS) expect(out).toContain(`! ${caution}`);
  });

  it('as JSON carries the very results of the audit, the verdict words and the cautions', async () => {
    const { status, out } = await run(['audit', DEMO, '--json']);
    const json = JSON.parse(out) as { verdict: string; counts: Record<string, number>; devices: Record<string, string>; findings: { id: string; verdict: string; disconnect?: string }[]; cautions: string[] };
    const found = auditDocument(demo.document);
    expect(status).toBe(1);
    expect(json.findings).toMatchObject(JSON.parse(JSON.stringify(found.results)) as object[]);
    expect(Object.keys(json.counts).sort()).toEqual([...VERDICT_ORDER].sort());
    for (const { verdict } of json.findings) expect(VERDICT_ORDER).toContain(verdict);
    expect(json.verdict).toBe('fail');
    expect(Object.keys(json.devices)).toHaveLength(14);
    expect(json.cautions).toEqual(CAUTIONS);
  });

  it('ends with 0 only when every check passes, and then still prints the cautions', async () => {
    const good = onlyDevice(demo.document, 'DS-01');
    expect([...new Set(auditDocument(good).results.map((result) => result.verdict))]).toEqual(['pass']);
    const { status, out } = await run(['audit', await projectFile(await scratchFolder(), good)]);
    expect(status).toBe(0);
    expect(out).toContain(CAUTIONS[0]);
  });

  it.each(['DS-05', 'DS-08', 'DS-10', 'DS-14'])('ends with 1 when the only device is %s (fail, marginal, judgement, incomplete)', async (tag) => {
    expect((await run(['audit', await projectFile(await scratchFolder(), onlyDevice(demo.document, tag))])).status).toBe(1);
  });

  it('of an empty project ends with 1: nothing was proved', async () => {
    const file = await projectFile(await scratchFolder(), emptyDocument());
    const { status, out } = await run(['audit', file]);
    expect([status, out.includes('incomplete: the project holds nothing')]).toEqual([1, true]);
    expect((JSON.parse((await run(['audit', file, '--json'])).out) as { verdict: string }).verdict).toBe('incomplete');
  });

  it('of a file that is missing, a folder, no project or damaged ends with 2 and says what and what to do', async () => {
    const folder = await scratchFolder();
    await mkdir(join(folder, 'folder.lockstead'));
    await writeFile(join(folder, 'text.lockstead'), 'hello');
    await writeFile(join(folder, 'cut.lockstead'), (await readFile(DEMO)).subarray(0, 5000));
    for (const [name, words] of [['none.lockstead', 'there is no such file'], ['folder.lockstead', 'it is a folder'], ['text.lockstead', 'is no Lockstead project'], ['cut.lockstead', 'cut off or damaged']] as const) {
      const { status, out, error } = await run(['audit', name], folder);
      expect([name, status, out]).toEqual([name, 2, '']);
      expect(error).toContain(name);
      expect(error).toContain(words);
    }
  });
});

describe('export on the command line', () => {
  it('writes the very bytes that the window writes', async () => {
    const folder = await scratchFolder();
    const { status, out } = await run(['export', DEMO, '--pdf', 'a.pdf', '--csv', 'a.csv', '--xlsx', 'a.xlsx'], folder);
    expect(status).toBe(0);
    for (const caution of CAUTIONS) expect(out).toContain(caution);
    const { calls } = createServices({ runsIn: 'browser', version: '0', stateFolder: await scratchFolder(), startPath: DEMO, startIsTemplate: true, dialogs: null });
    await calls.start({});
    const files = { 'a.pdf': await calls.exportPdf({ document: demo.document }), 'a.csv': await calls.exportTable({ document: demo.document, format: 'csv' }), 'a.xlsx': await calls.exportTable({ document: demo.document, format: 'xlsx' }) };
    for (const [name, made] of Object.entries(files)) {
      if (!made.ok) throw new Error(made.problem.what);
      expect(Buffer.from(made.value.bytes).equals(await readFile(join(folder, name))), name).toBe(true);
    }
    expect(files['a.pdf'].ok && files['a.pdf'].value.name).toBe('Northmere Cider Works revision C.pdf');
  });

  it('writes the sections that are named, and refuses one it does not know', async () => {
    const folder = await scratchFolder();
    const sizes: Record<string, number> = {};
    for (const sections of ['plan', 'labels', 'plan,schedule,findings,calculations,labels,isolation']) {
      expect((await run(['export', DEMO, '--pdf', 'part.pdf', '--sections', sections], folder)).status).toBe(0);
      sizes[sections] = (await PDFDocument.load(await readFile(join(folder, 'part.pdf')))).getPageCount();
    }
    expect(sizes['plan']).toBe(1);
    expect(sizes['labels']).toBeGreaterThan(0);
    expect(Object.values(sizes)[2]).toBeGreaterThan(1 + (sizes['labels'] ?? 0));
    for (const args of [['--pdf', 'x.pdf', '--sections', 'poems'], ['--csv', 'x.csv', '--sections', 'plan']]) expect((await run(['export', DEMO, ...args], folder)).status).toBe(2);
  });

  it('prints the date it is given', async () => {
    const folder = await scratchFolder();
    await run(['export', DEMO, '--csv', 'a.csv', '--date', '2024-02-29'], folder);
    expect(await readFile(join(folder, 'a.csv'), 'utf8')).toContain('issued 2024-02-29');
  });

  it('into a folder that is not there ends with 2 and names it; the other output is written', async () => {
    const folder = await scratchFolder();
    const { status, error } = await run(['export', DEMO, '--pdf', 'none/a.pdf', '--csv', 'a.csv'], folder);
    expect(status).toBe(2);
    expect(error).toContain('a.pdf could not be saved');
    expect(await readdir(folder)).toEqual(['a.csv']);
  });

  it('over the project itself, or twice into one file, is refused before anything is written', async () => {
    const folder = await scratchFolder();
    const file = await projectFile(folder, demo.document);
    const before = await readFile(file);
    expect(await run(['export', 'works.lockstead', '--csv', './works.lockstead'], folder)).toMatchObject({ status: 2 });
    expect(await run(['export', 'works.lockstead', '--csv', 'a', '--pdf', './a'], folder)).toMatchObject({ status: 2 });
    expect(before.equals(await readFile(file))).toBe(true);
    expect(await readdir(folder)).toEqual(['works.lockstead']);
  });
});

describe('wrong arguments', () => {
  it.each([
    [[]], [['audit']], [['audit', '']], [['inspect', 'a']], [['audit', 'a', 'b']], [['audit', 'a', '--jsn']], [['audit', 'a', '--pdf', 'b']], [['export', 'a']], [['export', 'a', '--pdf']], [['export', 'a', '--pdf', '']],
    [['export', 'a', '--csv', 'b', '--json']], [['export', 'a', '--csv', 'b', '--date', '2024-02-30']], [['export', 'a', '--csv', 'b', '--date', 'today']],
  ])('%j end with 2 and show the usage', async (argv) => { expect(await run(argv)).toEqual({ status: 2, out: '', error: USAGE }); });
  it('asked for help prints the usage', async () => { expect(await run(['--help'])).toEqual({ status: 0, out: USAGE, error: '' }); });
});

describe('the command as a person types it', () => {
  const type = (line: string) => spawnSync('sh', ['-c', line], { cwd: join(ROOT, 'assets'), encoding: 'utf8' });
  it('takes paths from where the person stands and ends with the right status', () => {
    const { status, stdout } = type('npm run --silent lockstead -- audit demo/cider-works.lockstead');
    expect([status, stdout.includes('checks:')]).toEqual([1, true]);
  });
  it.skipIf(process.platform !== 'linux')('does not end as if all were well when its output cannot be written, nor with a fault when its reader has enough', () => {
    const full = type('npm run --silent lockstead -- export demo/cider-works.lockstead --csv /tmp/lockstead-cli-test.csv > /dev/full; status=$?; rm -f /tmp/lockstead-cli-test.csv; exit $status');
    expect([full.status, full.stderr.includes('could not be written (ENOSPC)')]).toEqual([2, true]);
    const piped = type('npm run --silent lockstead -- audit demo/cider-works.lockstead --json | head -c 10');
    expect(piped.stderr).toBe('');
  });
});
