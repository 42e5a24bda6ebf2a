import { readFile, mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, test } from '@playwright/test';
import { ROOT } from './fixtures';
import { startShellStandIn } from './shell-stand-in';
import type { StandIn } from './shell-stand-in';

interface Bridge { call(name: string, input: unknown): Promise<{ ok: boolean; value?: Record<string, unknown>; problem?: { code: string } }>; onCommand(listener: (command: string) => void): () => void; onProgress(listener: (progress: { job: string; done: number }) => void): () => void }
/** What the preload put into the page. */
declare const lockstead: Bridge;
declare const window: Window & { heardCommands: string[]; heardProgress: number[] };

const DEMO = join(ROOT, 'assets/demo/cider-works.lockstead');
let folder = '';
let shell: StandIn | null = null;
test.beforeEach(async () => { folder = await mkdtemp(join(tmpdir(), 'lockstead-test-')); });
test.afterEach(async () => { shell?.close(); shell = null; await rm(folder, { recursive: true, force: true }); });

test('stand-in: the compiled shell opens the real window on the demo through its preload', async ({ page }) => {
  const faults: string[] = [];
  page.on('pageerror', (error) => faults.push(error.message));
  page.on('console', (message) => { if (message.type() === 'error') faults.push(message.text()); });
  shell = await startShellStandIn(page, folder, ['--template', DEMO]);
  await expect(page.locator('#app')).not.toBeEmpty();
  const started = await page.evaluate(() => lockstead.call('start', {}));
  expect(started).toMatchObject({ ok: true, value: { runsIn: 'window', opened: { name: 'cider-works' } } });
  expect(await page.evaluate(() => Object.isFrozen(lockstead) && crossOriginIsolated)).toBe(true);
  expect(faults).toEqual([]);
  expect(shell.cancelled).toEqual([]);
});

test('stand-in: a call that is unknown or does not fit is refused; a frame inside the page is not heard', async ({ page }) => {
  shell = await startShellStandIn(page, folder);
  const answers = await page.evaluate(async () => [await lockstead.call('shutdown', {}), await lockstead.call('openProject', { file: '../x' })]);
  expect(answers.map((answer) => answer.problem?.code)).toEqual(['unknown-call', 'bad-call']);
  const code = await page.evaluate(async () => {
    const frame = document.createElement('iframe');
    document.body.append(frame);
    const inner = frame.contentWindow as unknown as { invokeMain(channel: string, text: string): Promise<string> };
    return (JSON.parse(await inner.invokeMain('lockstead:call', '["start",{}]')) as { problem: { code: string } }).problem.code;
  });
  expect(code).toBe('not-allowed');
});

test('stand-in: the content policy stops a foreign fetch and an inline script', async ({ page }) => {
  shell = await startShellStandIn(page, folder);
  const violated = await page.evaluate(async () => {
    const directives: string[] = [];
    document.addEventListener('securitypolicyviolation', (event) => directives.push(event.effectiveDirective));
    await fetch('https://example.com/').catch(() => undefined);
    const script = document.createElement('script');
    script.textContent = 'window.ranInline = true';
    document.body.append(script);
    await new Promise((resolve) => { setTimeout(resolve, 50); });
    return { directives, ran: 'ranInline' in window };
  });
  expect(violated).toEqual({ directives: ['connect-src', 'script-src-elem'], ran: false });
});

test('stand-in: bytes go both ways, a plan is read in a process of its own with progress, and saves go where the dialog says', async ({ page }) => {
  shell = await startShellStandIn(page, folder, ['--template', DEMO]);
  shell.dialogs.open.push(join(ROOT, 'assets/demo/cider-works.pdf'));
  const plan = await page.evaluate(async () => {
    window.heardProgress = [];
    lockstead.onProgress((progress) => window.heardProgress.push(progress.done));
    const picked = await lockstead.call('pickFile', { purpose: 'plan' });
    const inspected = await lockstead.call('inspectPlan', { file: picked.value?.['file'], job: 'job-1' });
    const bytes = await lockstead.call('planBytes', { blob: inspected.value?.['blob'] });
    return { inspected, head: String.fromCharCode(...(bytes.value?.['bytes'] as Uint8Array).subarray(0, 5)), progress: window.heardProgress.length };
  });
  expect(plan.inspected).toMatchObject({ ok: true, value: { media: 'application/pdf' } });
  expect(plan.head).toBe('%PDF-');
  expect(plan.progress).toBeGreaterThan(0);

  const target = join(folder, 'copy.lockstead');
  shell.dialogs.save.push(target);
  const save = () => page.evaluate(async () => {
    const { value } = await lockstead.call('start', {});
    const opened = value?.['opened'] as { project: string; document: unknown };
    return lockstead.call('saveProject', { project: opened.project, document: opened.document, as: false });
  });
  expect(await save()).toMatchObject({ ok: true, value: { name: 'copy', download: null } });
  expect((await readFile(target)).subarray(0, 2).toString()).toBe('PK');
  // The second save asks nothing: it goes to the same file.
  expect(await save()).toMatchObject({ ok: true, value: { name: 'copy' } });
});

test('stand-in: the menu reaches the window, which does what its keys do', async ({ page }) => {
  shell = await startShellStandIn(page, folder, ['--template', DEMO]);
  await expect(page).toHaveTitle(/Northmere/);
  await page.evaluate(() => { window.heardCommands = []; lockstead.onCommand((command) => window.heardCommands.push(command)); });
  const target = join(folder, 'by-menu.lockstead');
  shell.dialogs.save.push(target);
  const items = shell.menu().flatMap((menu) => menu.submenu ?? []);
  items.find((item) => item.label === 'Save')?.click?.();
  await expect.poll(() => page.evaluate(() => window.heardCommands)).toEqual(['save']);
  await expect.poll(async () => (await readFile(target).catch(() => Buffer.alloc(0))).subarray(0, 2).toString()).toBe('PK');
});
