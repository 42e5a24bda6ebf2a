import { readFile, rm } from 'node:fs/promises';
import { join } from 'node:path';
import { AxeBuilder } from '@axe-core/playwright';
import type { Locator, Page } from '@playwright/test';
import { unpackProject } from '../../main/files/plan-file';
import type { Document } from '../../shared-core/document/index';
import { PlanHand } from './plan-hand';
import { expect, holdThread, startProgram, stopProgram, test as base } from './fixtures';
import { CORNERS, makeRevision, NEW_SIZE, onNew, PRINTED } from './revision-plans';
import type { RevisionFiles } from './revision-plans';

const PICTURES = process.env['LOCKSTEAD_PICTURES'];
/** Keeps a picture of the window for the eye where a folder is named. */
const picture = async (page: Page, name: string): Promise<void> => { if (PICTURES) await page.screenshot({ path: join(PICTURES, `${name}.png`) }); };

const test = base.extend<{ files: RevisionFiles }>({
  files: async ({}, provide) => {
    const files = await makeRevision();
    await provide(files);
    await rm(files.folder, { recursive: true, force: true });
  },
  program: async ({ files }, provide, info) => {
    const program = await startProgram([files.project], info.outputPath('state'));
    await provide(program);
    await stopProgram(program);
  },
});

/** A view that shows a picture of this size whole, with its margin. */
async function clickOn(page: Page, view: Locator, size: { width: number; height: number }, p: { x: number; y: number }): Promise<void> {
  const box = await view.boundingBox();
  if (!box) throw new Error('the view is not shown');
  const zoom = Math.min((box.width - 48) / size.width, (box.height - 48) / size.height);
  await page.mouse.click(box.x + box.width / 2 + (p.x - size.width / 2) * zoom, box.y + box.height / 2 + (p.y - size.height / 2) * zoom);
}

async function openRevision(page: Page, files: RevisionFiles): Promise<void> {
  // Comes with the first audit.
  await page.getByRole('button', { name: 'Do not show these again' }).click();
  await page.keyboard.press('Alt+1');
  await page.getByRole('button', { name: 'New revision of this plan…' }).click();
  const chosen = page.waitForEvent('filechooser');
  await page.getByRole('button', { name: 'Choose a file' }).click();
  await (await chosen).setFiles(files.revision);
  // The file is read in a process of its own, which takes its time on a busy machine.
  await expect(page.locator('.pick-view')).toHaveCount(2, { timeout: 60_000 });
}

/** Nothing a screen reader or a weak eye would stumble over; the plans themselves are canvases. */
async function isAccessible(page: Page): Promise<void> {
  const { violations } = await new AxeBuilder({ page }).exclude('canvas').analyze();
  expect(violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.target.join(' ')).slice(0, 4).join(' | ')}`)).toEqual([]);
}

const views = (page: Page) => ({ old: page.getByRole('application', { name: /^Old plan/ }), next: page.getByRole('application', { name: /^New plan/ }) });

/** Picks corners on both plans with the mouse; the other view turned to where the point is expected, and is shown whole again first. */
async function pickCorners(page: Page, corners: readonly { x: number; y: number }[]): Promise<void> {
  const { old, next } = views(page);
  for (const corner of corners) {
    await clickOn(page, old, { width: 1000, height: 700 }, corner);
    await next.focus();
    await page.keyboard.press('0');
    await clickOn(page, next, NEW_SIZE, onNew(corner));
  }
}

async function saved(page: Page, files: RevisionFiles): Promise<Document> {
  await page.keyboard.press('Control+s');
  await expect(page.locator('.project')).toContainText(/, saved/);
  const read = unpackProject(new Uint8Array(await readFile(files.project)), 'hall');
  if (!read.ok) throw new Error(read.problem.what);
  return read.value.document;
}

test('a new print, turned and larger, is laid under the marks by picked corners; the change is shown, audited and looked over', async ({ window, files }) => {
  test.slow();
  await openRevision(window, files);
  await expect(window.getByRole('button', { name: 'Compare the plans' })).toBeDisabled();
  await pickCorners(window, CORNERS.slice(0, 2));
  await expect(window.getByText('Two pairs always fit')).toBeVisible();
  await pickCorners(window, CORNERS.slice(2));
  await expect(window.getByText('The pairs agree as well as points can be picked.')).toBeVisible();
  await expect(window.getByText(/Turned [23]\.\d\d° counter-clockwise/)).toBeVisible();
  await window.getByLabel('Name of this revision').fill('Revision B');
  await window.keyboard.press('Enter');
  await picture(window, '1-pairs');
  await isAccessible(window);

  // Cancelled while the comparing thread has not even come up: back to the pairs, all of them, and nothing to undo.
  const comparing = await holdThread(window, 'difference-worker');
  await window.getByRole('button', { name: 'Compare the plans' }).click();
  await comparing.arrived;
  await expect(window.getByRole('progressbar', { name: 'Comparing the plans' })).toBeVisible();
  await expect(window.getByRole('button', { name: 'Lay it under the marks' })).toBeDisabled();
  await window.getByRole('button', { name: 'Cancel' }).click();
  await expect(window.getByText('The pairs agree as well as points can be picked.')).toBeVisible();
  await expect(window.getByRole('progressbar', { name: 'Comparing the plans' })).toHaveCount(0);
  await expect(window.locator('.undo button').first()).toHaveAccessibleName('Nothing to undo');
  comparing.release();
  await window.getByRole('button', { name: 'Compare the plans' }).click();
  const bar = window.getByRole('group', { name: 'Compare the plans' });
  await expect(bar.getByRole('radio', { name: 'Difference' })).toHaveAttribute('aria-checked', 'true');
  await expect(window.getByRole('heading', { name: /places changed/ })).toBeVisible({ timeout: 60_000 });
  const touched = window.getByRole('listbox', { name: 'Marks that the change touches' });
  // The wall that moved stands 15 ft from every device, but their lines cross it; the cellar pillar is far from all.
  await expect(touched.getByRole('option', { name: /^DS-1: .*line to M-1/ })).toBeVisible();
  await expect(touched.getByRole('option', { name: /^DS-2: .*line to M-2/ })).toBeVisible();
  await expect(touched.getByRole('option', { name: /^DS-3/ })).toHaveCount(0);
  await window.waitForTimeout(400);
  await picture(window, '2-difference');
  await isAccessible(window);
  await bar.getByRole('radio', { name: 'Old' }).click();
  await window.waitForTimeout(300);
  await picture(window, '3-old');
  await bar.getByRole('radio', { name: 'New' }).click();
  await window.waitForTimeout(300);
  await picture(window, '4-new');
  await window.keyboard.down('f');
  await expect(bar.getByRole('button', { name: /the other plan/ })).toHaveAttribute('aria-pressed', 'true');
  await window.keyboard.up('f');
  await expect(bar.getByRole('button', { name: /the other plan/ })).toHaveAttribute('aria-pressed', 'false');
  await bar.getByRole('radio', { name: 'Difference' }).click();
  await window.getByRole('group', { name: /places changed/ }).getByRole('button', { name: 'Next' }).click();
  await window.waitForTimeout(700);
  await picture(window, '5-place');

  await window.getByRole('button', { name: 'Lay it under the marks' }).click();
  await expect(window.locator('.undo button').first()).toHaveAccessibleName(/Undo laid Revision B under Press hall/);
  const since = window.getByRole('region', { name: 'Since Revision B was laid' });
  await expect(since.getByText('The plan changed at DS-2', { exact: false })).toBeVisible();
  await expect(window.getByRole('navigation', { name: 'Steps of the work' }).getByRole('button', { name: 'Plan 4 to look over' })).toBeVisible();
  const toLookOver = window.getByRole('region', { name: 'To look over' });
  await toLookOver.getByRole('button', { name: 'Next' }).click();
  await window.waitForTimeout(700);
  await picture(window, '6-laid');
  await isAccessible(window);

  const kept = await saved(window, files);
  const [sheet] = kept.sheets;
  expect(kept.entities).toEqual(files.document.entities);
  expect(sheet?.plan).toMatchObject({ name: 'hall-autumn.png', issue: { name: 'Revision B' } });
  expect(sheet?.earlier).toEqual([files.document.sheets[0]?.plan]);
  expect(sheet?.plan?.lay?.scale).toBeCloseTo(1 / PRINTED.scale, 2);
  expect(sheet?.plan?.lay?.turn).toBeCloseTo(-PRINTED.turn, 0);
  expect(sheet?.toLookOver).toEqual(expect.arrayContaining(['disconnect-1', 'disconnect-2', 'wall-cross']));

  // Undo is exact, and redo lays it again.
  await window.getByRole('heading', { name: 'Plan', exact: true }).click();
  await window.keyboard.press('Control+z');
  expect((await saved(window, files)).sheets).toEqual(files.document.sheets);
  await window.keyboard.press('Control+y');
  expect((await saved(window, files)).sheets[0]?.plan).toEqual(sheet?.plan);
});

/** Brings the cross to a place by arrow keys and picks: 12 pixels a press, 1 with Shift. */
async function keyTo(page: Page, view: Locator, size: { width: number; height: number }, p: { x: number; y: number }): Promise<void> {
  await view.focus();
  await page.keyboard.press('0');
  const box = await view.boundingBox();
  if (!box) throw new Error('the view is not shown');
  const zoom = Math.min((box.width - 48) / size.width, (box.height - 48) / size.height);
  for (const [offset, back, on] of [[(p.x - size.width / 2) * zoom, 'ArrowLeft', 'ArrowRight'], [(p.y - size.height / 2) * zoom, 'ArrowUp', 'ArrowDown']] as const) {
    const key = offset < 0 ? back : on;
    const coarse = Math.floor(Math.abs(offset) / 12);
    for (let i = 0; i < coarse; i += 1) await page.keyboard.press(key);
    for (let i = 0; i < Math.round(Math.abs(offset) - 12 * coarse); i += 1) await page.keyboard.press(`Shift+${key}`);
  }
  await page.keyboard.press('Enter');
}

test('by keys alone: a bad pair is pointed at; a moved wall changes the findings; the earlier plan is gone back to', async ({ window, files }) => {
  test.slow();
  await openRevision(window, files);
  const { old, next } = views(window);
  const places = [...CORNERS, { x: 250, y: 420 }];
  for (const [i, place] of places.entries()) {
    await keyTo(window, old, { width: 1000, height: 700 }, i === 2 ? { x: place.x - 60, y: place.y } : place);
    await keyTo(window, next, NEW_SIZE, onNew(place));
  }
  await expect(window.getByRole('alert')).toHaveText(/Pair 3 is [56]'-\S*( \S+)? off; the others agree/);
  await picture(window, '7-bad-pair');
  await window.getByRole('button', { name: 'Drop pair 3' }).focus();
  await window.keyboard.press('Enter');
  await expect(window.getByText('The pairs agree as well as points can be picked.')).toBeVisible();
  await window.getByRole('button', { name: 'Compare the plans' }).focus();
  await window.keyboard.press('Enter');
  await expect(window.getByRole('heading', { name: /places changed/ })).toBeVisible({ timeout: 60_000 });
  await window.getByRole('button', { name: 'Lay it under the marks' }).focus();
  await window.keyboard.press('Enter');
  const since = window.getByRole('region', { name: /^Since hall-autumn/ });
  await expect(since.getByText('The plan changed at DS-2', { exact: false })).toBeVisible();

  // The wall follows by hand: only then do the checks know of it.
  const hand = new PlanHand(window, await saved(window, files));
  await hand.canvas.focus();
  await window.keyboard.press('0');
  await window.waitForTimeout(600);
  const from = await hand.at({ x: 400, y: 560 }); const to = await hand.at({ x: 520, y: 560 });
  await window.mouse.click(from.x, from.y);
  // Two presses at once would be a double click.
  await window.waitForTimeout(700);
  await picture(window, '8-before-move');
  await window.mouse.move(from.x, from.y); await window.mouse.down(); await window.mouse.move(to.x, to.y, { steps: 8 }); await window.mouse.up();
  const went = since.getByRole('list', { name: 'Went' }); const appeared = since.getByRole('list', { name: 'Appeared' });
  await expect(appeared.getByText(/M-2 is not in sight of DS-2/)).toBeVisible();
  // In sight on the marks now, but nobody has looked them over yet.
  await expect(went.getByText(/M-1 is in sight of DS-1/)).toHaveCount(0);
  await picture(window, '8-wall-moved');

  await window.getByRole('button', { name: /^All \d looked over/ }).click();
  await expect(since.getByText('The plan changed at', { exact: false })).toHaveCount(0);
  await expect(went.getByRole('button', { name: /M-1 is in sight of DS-1 .*was fail, now pass/ })).toBeVisible();
  await picture(window, '9-looked-over');
  await window.getByRole('button', { name: 'Compare with hall-spring.png' }).click();
  await expect(window.getByRole('radio').allTextContents()).resolves.toEqual(['Now', 'Earlier', 'Difference']);
  await window.getByRole('button', { name: 'Go back to this plan' }).click();
  const kept = await saved(window, files);
  expect(kept.sheets[0]?.plan).toEqual(files.document.sheets[0]?.plan);
  expect(kept.sheets[0]?.earlier).toMatchObject([{ name: 'hall-autumn.png', issue: { name: 'hall-autumn.png' } }]);
});
