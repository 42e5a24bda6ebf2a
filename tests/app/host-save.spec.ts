import { copyFile, mkdtemp, readFile, readdir, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from '@playwright/test';
import { unpackProject } from '../../main/files/plan-file';
import { expect, ROOT, startProgram, stopProgram, test } from './fixtures';

const DEMO = join(ROOT, 'assets/demo/cider-works.lockstead');
const projectOf = (bytes: Buffer) => {
  const read = unpackProject(new Uint8Array(bytes), 'works.lockstead');
  if (!read.ok) throw new Error(read.problem.what);
  return read.value;
};
const opened = (page: Page) => expect(page).toHaveTitle(/Northmere/);

test.describe('with a project named on the command line', () => {
  test('saving writes that file, whole, and nothing else beside it', async ({ page }) => {
    const folder = await mkdtemp(join(tmpdir(), 'lockstead-test-'));
    const path = join(folder, 'works.lockstead');
    await copyFile(DEMO, path);
    const program = await startProgram([path], join(folder, 'state'));
    try {
      await page.goto(program.address);
      await opened(page);
      const saved = page.waitForResponse((answer) => answer.url().endsWith('/call/saveProject'));
      await page.keyboard.press('Control+s');
      expect((await saved).status()).toBe(200);
      expect(projectOf(await readFile(path)).document).toEqual(projectOf(await readFile(DEMO)).document);
      expect((await readdir(folder)).filter((name) => name !== 'state')).toEqual(['works.lockstead']);
    } finally {
      await stopProgram(program);
      await rm(folder, { recursive: true, force: true });
    }
  });

  test('unsaved work outlives a killed program: it comes back marked, and the file is as it was', async ({ page, context }) => {
    const folder = await mkdtemp(join(tmpdir(), 'lockstead-test-'));
    const path = join(folder, 'works.lockstead');
    await copyFile(DEMO, path);
    let program = await startProgram([path], join(folder, 'state'));
    try {
      await page.goto(program.address);
      await opened(page);
      const kept = page.waitForResponse((answer) => answer.url().endsWith('/call/keepRecovery'));
      await page.getByLabel('Sheet name').fill('Cellar floor');
      await page.keyboard.press('Tab');
      expect((await kept).status()).toBe(200);
      await stopProgram(program);
      program = await startProgram([path], join(folder, 'state'));
      const second = await context.newPage();
      await second.goto(program.address);
      await expect(second.getByLabel('Sheet name')).toHaveValue('Cellar floor');
      await expect(second.getByText(/brought back/i).first()).toBeVisible();
      expect((await readFile(path)).equals(await readFile(DEMO))).toBe(true);
    } finally {
      await stopProgram(program);
      await rm(folder, { recursive: true, force: true });
    }
  });

  test('a file that cannot be opened is told where it was named, and nothing starts', async () => {
    await expect(startProgram([join(ROOT, 'package.json')], tmpdir())).rejects.toThrow(/ended with 2: package\.json is no Lockstead project/);
    await expect(startProgram([join(ROOT, 'none.lockstead')], tmpdir())).rejects.toThrow(/ended with 2: The file none\.lockstead could not be read: there is no such file/);
  });
});

test.describe('with the demo', () => {
  test.use({ programArgs: ['--template', DEMO] });
  test('saving hands a copy to the browser and leaves the demo as it was', async ({ window }) => {
    await opened(window);
    const before = await readFile(DEMO);
    const [download] = await Promise.all([window.waitForEvent('download'), window.keyboard.press('Control+s')]);
    expect(download.suggestedFilename()).toBe('cider-works.lockstead');
    expect(projectOf(await readFile(await download.path())).document).toEqual(projectOf(before).document);
    expect(before.equals(await readFile(DEMO))).toBe(true);
  });

  test('the marked-up plan and the schedule come out as downloads', async ({ window }) => {
    await opened(window);
    const [pdf] = await Promise.all([window.waitForEvent('download'), window.keyboard.press('Control+e')]);
    expect(pdf.suggestedFilename()).toMatch(/^Northmere Cider Works revision C\.pdf$/);
    expect((await readFile(await pdf.path())).subarray(0, 5).toString()).toBe('%PDF-');
  });
});
