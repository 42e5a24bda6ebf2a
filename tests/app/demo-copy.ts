import { copyFile, mkdtemp } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from '@playwright/test';
import { ROOT, expect, startProgram, stopProgram, test as base } from './fixtures';

/** The program on a copy of the demo of its own, as a project named on the command line. */
export const test = base.extend<{ folder: string; project: string; demo: Page }>({
  folder: async ({ programArgs: _ }, provide) => { await provide(await mkdtemp(join(tmpdir(), 'lockstead-copy-'))); },
  project: async ({ folder }, provide) => {
    const path = join(folder, 'works.lockstead');
    await copyFile(join(ROOT, 'assets/demo/cider-works.lockstead'), path);
    await provide(path);
  },
  program: async ({ folder, project }, provide) => {
    const program = await startProgram([project], join(folder, 'state'));
    await provide(program);
    await stopProgram(program);
  },
  demo: async ({ window }, provide) => {
    // The first audit of a fresh worker; a busy machine takes its time.
    await expect(window.getByRole('button', { name: /^Findings \d+ to mend/ })).toBeVisible({ timeout: 60_000 });
    await provide(window);
  },
});
export { expect };

export const stepButton = (page: Page, name: string) => page.getByRole('navigation', { name: 'Steps of the work' }).getByRole('button', { name: new RegExp(`^${name}`) });
export const chosenPane = (page: Page) => page.getByRole('region', { name: 'The chosen mark' });
export const listOf = (page: Page, name: string) => page.getByRole('listbox', { name });

/** Chooses a row of the list a step shows. */
export async function chooseRow(page: Page, step: string, list: string, tag: string): Promise<void> {
  await stepButton(page, step).click();
  await listOf(page, list).getByRole('option', { name: new RegExp(`^${tag}\\b`) }).click();
  await expect(chosenPane(page).getByRole('heading', { level: 2, name: tag })).toBeVisible();
}

export async function projectMenu(page: Page, item: string): Promise<void> {
  await page.getByRole('button', { name: /^Project: / }).click();
  await page.getByRole('menuitem', { name: item }).click();
}
