import { AxeBuilder } from '@axe-core/playwright';
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from '@playwright/test';
import { packProject, unpackProject } from '../../main/files/plan-file';
import { expect, holdThread, startProgram, stopProgram, test } from './fixtures';
import { DEMO, PlanHand, readProject } from './plan-hand';

test.use({ programArgs: [DEMO] });

const chosen = (page: Page) => page.getByRole('region', { name: 'The chosen mark' });
const axe = async (page: Page): Promise<string[]> => (await new AxeBuilder({ page }).exclude('canvas').analyze()).violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.target.join(' ')).join(' | ')}`);
/** Chooses a mark by the search, with the keyboard alone. */
async function choose(page: Page, tag: string): Promise<void> {
  await page.keyboard.press('/');
  await page.keyboard.type(tag);
  const found = page.getByRole('listbox', { name: 'Everything on the sheets' });
  await found.focus();
  await page.keyboard.press('Home');
  await expect(chosen(page).getByRole('heading', { level: 2, name: tag })).toBeVisible();
  await page.getByRole('button', { name: 'Back', exact: true }).click();
}

test('a place is suggested, ranked, weighed anew, taken over in one step and undone, with the keyboard alone', async ({ window }, info) => {
  // Two looks with the accessibility checker, which reads the whole window each time.
  test.slow();
  const hand = new PlanHand(window, await readProject(DEMO));
  await hand.ready();
  await window.keyboard.press('Alt+5');
  await choose(window, 'DS-05');
  await expect(chosen(window)).toContainText('fail');
  await chosen(window).getByRole('button', { name: 'Suggest a place' }).press('Enter');
  const pane = window.getByRole('region', { name: 'Places for DS-05' });
  const places = pane.getByRole('listbox', { name: 'Places for DS-05' });
  await expect(places).toBeFocused();
  await expect(places.getByRole('option')).toHaveCount(5);
  await expect(places.getByRole('option').first()).toContainText('Sees P-203 at');
  for (const term of ['distance', 'margin', 'route', 'room', 'handle']) await expect(places.getByRole('option').first()).toContainText(term);
  await window.keyboard.press('ArrowDown');
  await expect(places.getByRole('option').nth(1)).toHaveAttribute('aria-selected', 'true');
  await window.waitForTimeout(500);
  await window.screenshot({ path: info.outputPath('places.png') });
  expect(await axe(window)).toEqual([]);
  await pane.getByRole('button', { name: 'What counts how much' }).press('Enter');
  const slider = pane.getByRole('slider', { name: 'Well inside the view' });
  await slider.press('Home');
  await expect(pane.getByRole('button', { name: 'What counts how much (changed)' })).toBeVisible();
  await window.screenshot({ path: info.outputPath('weights.png') });
  expect(await axe(window)).toEqual([]);
  await pane.getByRole('button', { name: 'Usual weights' }).press('Enter');
  await pane.getByRole('button', { name: 'Move DS-05 to place 1' }).press('Enter');
  await expect(pane).toHaveCount(0);
  await expect(hand.undo).toHaveAccessibleName('Undo moved DS-05 to a suggested place');
  await expect(hand.said).toHaveText(/^DS-05: P-203 pass, /);
  await window.keyboard.press('Control+z');
  await expect(hand.undo).toHaveAccessibleName('Nothing to undo');
  await expect(hand.said).toHaveText(/^DS-05: P-203 fail, /);
});

test('the fewest disconnects for chosen loads are suggested, added in one step and undone', async ({ window }, info) => {
  test.slow();
  const hand = new PlanHand(window, await readProject(DEMO));
  await hand.ready();
  await window.keyboard.press('Alt+5');
  const devices = window.getByRole('listbox', { name: 'Devices' });
  for (const tag of ['DS-05', 'DS-07', 'DS-08']) {
    await devices.getByRole('option', { name: new RegExp(`^${tag}`) }).click();
    await chosen(window).getByRole('button', { name: `Delete ${tag}` }).click();
  }
  await window.getByRole('button', { name: 'Suggest for 3 loads without' }).press('Enter');
  const pane = window.getByRole('region', { name: 'Suggested disconnects' });
  await expect(pane.getByRole('checkbox')).toHaveCount(3);
  await expect(pane.getByRole('button', { name: 'Suggest for 3 loads' })).toBeFocused();
  await pane.getByRole('checkbox', { name: /^P-304/ }).press('Space');
  await pane.getByRole('button', { name: 'Suggest for 2 loads' }).press('Enter');
  await expect(pane).toContainText('Proved fewest: 2 for 2 loads.');
  await expect(pane.getByRole('option')).toHaveCount(2);
  await window.waitForTimeout(500);
  await window.screenshot({ path: info.outputPath('disconnects.png') });
  expect(await axe(window)).toEqual([]);
  await pane.getByRole('button', { name: 'Add 2 disconnects' }).press('Enter');
  await expect(hand.undo).toHaveAccessibleName('Undo added DS-15, DS-16 as suggested');
  await expect(devices.getByRole('option', { name: /^DS-15, (pass|incomplete|judgement|marginal)/ })).toBeVisible();
  await expect(window.getByRole('button', { name: 'Suggest for 1 load without' })).toBeVisible();
  await window.keyboard.press('Control+z');
  await expect(hand.undo).toHaveAccessibleName('Undo deleted DS-08');
});

test.describe('a long search', () => {
  // The demo without its disconnects: fifteen loads take several seconds, long enough to be stopped at.
  let folder = '';
  test.beforeAll(async () => {
    folder = await mkdtemp(join(tmpdir(), 'lockstead-suggest-'));
    const read = unpackProject(new Uint8Array(await readFile(DEMO)), 'demo');
    if (!read.ok) throw new Error(read.problem.what);
    const { document, plans } = read.value;
    const packed = packProject({ ...document, entities: Object.fromEntries(Object.entries(document.entities).filter(([, e]) => e.kind !== 'disconnect' && e.kind !== 'exception' && e.kind !== 'route')) }, plans);
    if (!packed.ok) throw new Error(packed.problem.what);
    await writeFile(join(folder, 'bare.lockstead'), packed.value);
  });
  test.afterAll(async () => { await rm(folder, { recursive: true, force: true }); });
  test.use({
    program: async ({ programArgs: _ }, provide) => {
      const program = await startProgram([join(folder, 'bare.lockstead')], join(folder, 'state'));
      await provide(program);
      await stopProgram(program);
    },
  });

  test('stops at once when cancelled, and is given up when the project changes under it', async ({ window }) => {
    test.slow();
    const hand = new PlanHand(window, await readProject(join(folder, 'bare.lockstead')));
    await hand.ready();
    await window.keyboard.press('Alt+4');
    await window.getByRole('button', { name: 'Suggest for 15 loads without' }).click();
    const pane = window.getByRole('region', { name: 'Suggested disconnects' });
    const searching = await holdThread(window, 'suggest-worker');
    await pane.getByRole('button', { name: 'Suggest for 15 loads' }).click();
    await searching.arrived;
    await expect(pane.getByRole('progressbar')).toBeVisible();
    await pane.getByRole('button', { name: 'Cancel' }).click();
    await expect(pane).toContainText('Stopped. Nothing was changed.');
    await expect(pane.getByRole('option')).toHaveCount(0);
    await pane.getByRole('button', { name: 'Suggest again' }).click();
    await expect(pane.getByRole('progressbar')).toBeVisible();
    await hand.click(hand.placeOf('P-102'));
    await window.locator('.plan-canvas').press('ArrowUp');
    await expect(hand.undo).toHaveAccessibleName('Undo moved P-102');
    await expect(pane).toContainText('The project has changed since');
    // What the thread answers once it runs is of the project as it was, and is dropped.
    searching.release();
    await expect(pane.getByRole('button', { name: /^Add/ })).toHaveCount(0);
    await pane.getByRole('button', { name: 'Close' }).click();
    await expect(window.getByRole('listbox', { name: 'Loads' })).toBeVisible();
  });
});

test('loads that have a disconnect are planned anew: what goes is said before, and one undo brings it back', async ({ window }, info) => {
  test.slow();
  const hand = new PlanHand(window, await readProject(DEMO));
  await hand.ready();
  await window.keyboard.press('Alt+5');
  await window.getByRole('button', { name: 'Plan disconnects anew' }).click();
  const pane = window.getByRole('region', { name: 'Suggested disconnects' });
  const served = pane.getByRole('group', { name: 'Loads that have a disconnect' });
  await served.getByRole('checkbox', { name: /^P-203/ }).click();
  await pane.getByRole('button', { name: 'Suggest for 1 load' }).click();
  await expect(pane).toContainText('Taking this over takes out DS-05, with what is recorded of it.');
  await expect(pane).toContainText("Handles at 5'-0\".");
  await window.waitForTimeout(500);
  await window.screenshot({ path: info.outputPath('anew.png') });
  await pane.getByRole('button', { name: 'Add 1 disconnect' }).click();
  const devices = window.getByRole('listbox', { name: 'Devices' });
  await expect(devices.getByRole('option', { name: /^DS-05/ })).toHaveCount(0);
  await expect(devices.getByRole('option', { name: /P-203/ })).toHaveCount(1);
  await window.keyboard.press('Control+z');
  await expect(devices.getByRole('option', { name: /^DS-05/ })).toHaveCount(1);
});
