import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { PDFDocument } from '@cantoo/pdf-lib';
import type { Page } from '@playwright/test';
import { packProject, unpackProject } from '../../main/files/plan-file';
import { manyWalls } from '../bench/canvas-plan';
import { expect, projectMenu, stepButton, test } from './demo-copy';
import { holdCalls, startProgram, stopProgram } from './fixtures';

const nameIn = async (path: string): Promise<string> => {
  const read = unpackProject(new Uint8Array(await readFile(path)), 'works.lockstead');
  return read.ok ? read.value.document.sheets[0]?.name ?? '' : read.problem.what;
};
const leave = (page: Page) => page.getByRole('dialog', { name: 'Unsaved work' });

async function rename(page: Page, name: string): Promise<void> {
  await stepButton(page, 'Plan').click();
  await page.getByLabel('Sheet name').fill(name);
  await page.getByLabel('Sheet name').press('Enter');
  await expect(page.getByRole('button', { name: /^Project: .*not saved/ })).toBeVisible();
}

test.describe('before unsaved work is left', () => {
  test('staying, Escape included, changes nothing; going on without saving leaves the file as it was', async ({ demo, project }) => {
    await rename(demo, 'Cellar');
    for (const stay of [() => leave(demo).getByRole('button', { name: 'Stay' }).click(), () => demo.keyboard.press('Escape')]) {
      await projectMenu(demo, 'New project');
      await expect(leave(demo)).toContainText('has changes that are not saved');
      await stay();
      await expect(leave(demo)).toHaveCount(0);
      await expect(demo.getByLabel('Sheet name')).toHaveValue('Cellar');
    }
    await projectMenu(demo, 'New project');
    await leave(demo).getByRole('button', { name: 'Go on without saving' }).click();
    await expect(stepButton(demo, 'Plan')).toContainText('no plan yet');
    expect(await nameIn(project)).toBe('Ground floor');
  });

  test('saving first writes the file and goes on', async ({ demo, project }) => {
    await rename(demo, 'Cellar');
    await projectMenu(demo, 'New project');
    await leave(demo).getByRole('button', { name: 'Save first' }).click();
    await expect(stepButton(demo, 'Plan')).toContainText('no plan yet');
    expect(await nameIn(project)).toBe('Cellar');
  });

  test('nothing is asked when nothing changed; a large project whose opening is called off leaves nothing behind, and opens, is edited and saved when it is waited for', async ({ demo }) => {
    // A large project is opened twice, edited and saved.
    test.slow();
    await projectMenu(demo, 'New project');
    await expect(stepButton(demo, 'Plan')).toContainText('no plan yet');
    await expect(leave(demo)).toHaveCount(0);
    const packed = packProject(manyWalls(2100), new Map());
    if (!packed.ok) throw new Error(packed.problem.what);
    const buffer = Buffer.from(packed.value);
    const open = async (): Promise<void> => {
      const choosing = demo.waitForEvent('filechooser');
      await projectMenu(demo, 'Open…');
      await (await choosing).setFiles({ name: 'many.lockstead', mimeType: 'application/x-lockstead', buffer });
    };
    const opening = await holdCalls(demo, 'openProject');
    await open();
    await opening.arrived;
    await demo.getByRole('contentinfo').getByRole('button', { name: 'Cancel' }).click();
    await expect(demo.getByRole('contentinfo').getByText('Opening many.lockstead')).toHaveCount(0);
    const late = demo.waitForResponse((answer) => answer.url().endsWith('/call/openProject'));
    opening.release();
    await (await late).finished();
    await expect(stepButton(demo, 'Plan')).toContainText('no plan yet');
    await open();
    await expect(stepButton(demo, 'Space')).toContainText('2100 walls');
    await demo.locator('.plan-canvas').press('Tab');
    await demo.locator('.plan-canvas').press('ArrowRight');
    await expect(demo.getByRole('button', { name: 'Undo moved M-100' })).toBeVisible();
    const saving = demo.waitForEvent('download');
    await demo.keyboard.press('Control+s');
    const saved = await readFile(await (await saving).path());
    const [before = {}, after = {}] = [buffer, saved].map((bytes) => { const read = unpackProject(new Uint8Array(bytes), 'many.lockstead'); return read.ok ? read.value.document.entities : {}; });
    expect([Object.keys(after).length, Object.keys(after)]).toEqual([2220, Object.keys(before)]);
    expect(Object.keys(before).filter((id) => JSON.stringify(after[id]) !== JSON.stringify(before[id]))).toEqual(['load-0']);
  });
});

test('work brought back after a crash says so, and is dropped only after asking', async ({ demo, program, context, folder, project }) => {
  // Two programs and four openings of the project.
  test.slow();
  const kept = demo.waitForResponse((answer) => answer.url().endsWith('/call/keepRecovery'));
  await rename(demo, 'Cellar');
  expect((await kept).status()).toBe(200);
  await stopProgram(program);
  await demo.close();
  const again = await startProgram([project], join(folder, 'state'));
  try {
    const second = await context.newPage();
    await second.goto(again.address);
    const notice = second.getByRole('status').filter({ hasText: 'was brought back' });
    await expect(notice).toContainText('Look it over and save it, or drop it in the project menu.');
    await expect(second.getByLabel('Sheet name')).toHaveValue('Cellar');
    await expect(second.getByRole('button', { name: /^Project: .*not saved/ })).toBeVisible();
    await notice.getByRole('button', { name: /^Dismiss/ }).click();
    await expect(notice).toHaveCount(0);
    await projectMenu(second, 'Drop the work brought back');
    await leave(second).getByRole('button', { name: 'Stay' }).click();
    await expect(second.getByLabel('Sheet name')).toHaveValue('Cellar');
    await projectMenu(second, 'Drop the work brought back');
    await leave(second).getByRole('button', { name: 'Go on without saving' }).click();
    await expect(second.getByLabel('Sheet name')).toHaveValue('Ground floor');
    await expect(second.getByRole('button', { name: /^Project: .*, saved/ })).toBeVisible();
    await second.getByRole('button', { name: /^Project: / }).click();
    await expect(second.getByRole('menuitem', { name: 'Drop the work brought back' })).toHaveCount(0);
  } finally { await stopProgram(again); }
});

/** A set of sheets: letter, ledger and letter, each 72 units to the inch. */
async function drawingSet(password?: string): Promise<Buffer> {
  const pdf = await PDFDocument.create();
  for (const [width, height] of [[612, 792], [792, 1224], [612, 792]] as const) { const page = pdf.addPage([width, height]); page.drawRectangle({ x: 72, y: 72, width: width - 144, height: height - 144, borderWidth: 2 }); }
  if (password !== undefined) pdf.encrypt({ userPassword: password, ownerPassword: 'owner' });
  return Buffer.from(await pdf.save({ useObjectStreams: false }));
}

async function offer(page: Page, name: string, buffer: Buffer): Promise<void> {
  await projectMenu(page, 'Add a plan…');
  const choosing = page.waitForEvent('filechooser');
  await page.getByRole('dialog', { name: 'Add a plan' }).getByRole('button', { name: 'Choose a file' }).click();
  await (await choosing).setFiles({ name, mimeType: 'application/pdf', buffer });
}

test('of a set of sheets the chosen pages become sheets, in one edit', async ({ demo }) => {
  await offer(demo, 'set.pdf', await drawingSet());
  const dialog = demo.getByRole('dialog', { name: 'Add a plan' });
  await expect(dialog).toContainText('set.pdf has 3 pages');
  const pages = dialog.getByRole('list', { name: 'Pages' }).getByRole('listitem');
  await expect(pages).toHaveCount(3);
  await expect(pages.nth(1)).toContainText('11 x 17 in');
  await expect(pages.first().locator('img')).toBeVisible();
  await pages.first().getByRole('checkbox').click();
  await expect(dialog.getByRole('button', { name: /^Add/ })).toBeDisabled();
  await pages.nth(1).getByRole('checkbox').click();
  await pages.nth(2).getByRole('checkbox').click();
  await dialog.getByRole('button', { name: 'Add 2 sheets' }).click();
  await expect(demo.getByRole('tab')).toHaveCount(3);
  await expect(demo.getByRole('tab', { selected: true })).toContainText('set, page 2');
  await demo.getByRole('button', { name: 'Undo added 2 sheets' }).click();
  await expect(demo.getByRole('tab')).toHaveCount(1);
});

test('a locked plan asks for its password, again when it is wrong, and opens with it', async ({ demo }) => {
  await offer(demo, 'locked.pdf', await drawingSet('press'));
  const dialog = demo.getByRole('dialog', { name: 'Add a plan' });
  await expect(dialog).toContainText('locked.pdf is locked with a password.');
  const password = dialog.getByLabel('Password');
  await expect(password).toBeFocused();
  await expect(password).toHaveAttribute('type', 'password');
  await password.fill('pres');
  await password.press('Enter');
  await expect(dialog).toContainText('That password does not open locked.pdf.');
  await dialog.getByLabel('Password').fill('press');
  await dialog.getByRole('button', { name: 'Open', exact: true }).click();
  await expect(dialog.getByRole('list', { name: 'Pages' }).getByRole('listitem')).toHaveCount(3);
  await demo.keyboard.press('Escape');
  await expect(dialog).toHaveCount(0);
  await expect(demo.getByRole('tab')).toHaveCount(1);
  await expect(demo.getByRole('button', { name: 'Nothing to undo' })).toBeDisabled();
});
