import { AxeBuilder } from '@axe-core/playwright';
import { copyFile, mkdtemp, readFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from '@playwright/test';
import { ROOT, expect, startProgram, stopProgram, test as base } from './fixtures';

/** Every test works on its own copy of the demo, as a project named on the command line. */
const test = base.extend<{ demo: Page }>({
  program: async ({ programArgs: _ }, provide) => {
    const folder = await mkdtemp(join(tmpdir(), 'lockstead-panels-'));
    const project = join(folder, 'works.lockstead');
    await copyFile(join(ROOT, 'assets/demo/cider-works.lockstead'), project);
    const program = await startProgram([project], join(folder, 'state'));
    await provide(program);
    await stopProgram(program);
  },
  demo: async ({ window }, provide) => {
    await expect(window.getByRole('button', { name: /^Findings \d+ to mend/ })).toBeVisible();
    await provide(window);
  },
});

const step = (page: Page, name: string) => page.getByRole('navigation', { name: 'Steps of the work' }).getByRole('button', { name: new RegExp(`^${name}`) });
const chosen = (page: Page) => page.getByRole('region', { name: 'The chosen mark' });
const list = (page: Page, name: string) => page.getByRole('listbox', { name });

/** Chooses a device in the list with the keyboard alone. */
async function chooseDevice(page: Page, tag: string): Promise<void> {
  await page.keyboard.press('Alt+5');
  const devices = list(page, 'Devices');
  await devices.focus();
  await devices.press('Home');
  for (let i = 0; i < 40; i += 1) {
    if (await chosen(page).getByRole('heading', { level: 2, name: tag }).isVisible()) return;
    await devices.press('ArrowDown');
  }
  throw new Error(`${tag} is not in the list`);
}

test('the first notes point at a failing pair, the region and the export, and stay away once waved away', async ({ demo }) => {
  const notes = demo.getByRole('region', { name: 'First notes' });
  await expect(notes.getByRole('listitem')).toHaveCount(3);
  await notes.getByRole('button', { name: 'Show this pair' }).click();
  await expect(chosen(demo)).toContainText('is not in sight');
  await expect(demo.getByRole('region', { name: 'Sight line from the side' })).toBeVisible();
  await notes.getByRole('button', { name: 'Do not show these again' }).click();
  await demo.reload();
  await expect(step(demo, 'Findings')).toContainText('to mend');
  await expect(demo.getByRole('region', { name: 'First notes' })).toHaveCount(0);
});

test('a chosen device says how far its handle may or must move and what it sees, in the pane and beside the derivation', async ({ demo }) => {
  await chooseDevice(demo, 'DS-05');
  await expect(chosen(demo).getByText(/^handle must move \d+'-\d+" .* on the sheet to be surely in sight of it; /).first()).toBeVisible();
  await chooseDevice(demo, 'DS-01');
  const room = chosen(demo).getByText(/^handle may move \d+'-\d+" before .*; /).first();
  await expect(room).toBeVisible();
  await chosen(demo).locator('.pair').first().locator('.figure').click();
  await expect(demo.getByRole('dialog').getByText((await room.innerText()).trim())).toBeVisible();
});

test('a device chosen by keyboard shows its verdict, and a typed handle height is one named, undoable edit', async ({ demo }) => {
  await chooseDevice(demo, 'DS-05');
  await expect(chosen(demo)).toContainText('fail');
  await chosen(demo).getByRole('button', { name: 'Place and enclosure size' }).press('Enter');
  const height = chosen(demo).getByRole('textbox', { name: 'Handle height' });
  await height.fill('4\'-2 1/2"');
  await height.press('Enter');
  await expect(height).toHaveValue('4\'-2 1/2"');
  await expect(demo.getByRole('button', { name: 'Undo set handle height of DS-05' })).toBeEnabled();
  await expect(demo.getByRole('button', { name: /^Project: Northmere Cider Works.*not saved/ })).toBeVisible();
  await list(demo, 'Devices').focus();
  await demo.keyboard.press('Control+z');
  await expect(height).toHaveValue('5\'-0"');
  await expect(demo.getByRole('button', { name: 'Redo set handle height of DS-05' })).toBeEnabled();
});

test('a finding reveals its pair; lowering the tank in the elevation clears the line, undo brings it back', async ({ demo }) => {
  await demo.keyboard.press('Alt+6');
  await list(demo, 'Findings').focus();
  await list(demo, 'Findings').press('Home');
  const first = list(demo, 'Findings').getByRole('option').first();
  await expect(first).toHaveAttribute('aria-selected', 'true');
  await expect(first).toContainText('is not in sight');
  const strip = demo.getByRole('region', { name: 'Sight line from the side' });
  const top = strip.getByRole('slider', { name: /^Top of/ }).first();
  await expect(top).toHaveAttribute('aria-valuetext', '11\'-0"');
  await strip.getByLabel(/^Top of/).last().fill("1'");
  await strip.getByLabel(/^Top of/).last().press('Enter');
  await expect(strip).not.toContainText('is not in sight');
  await demo.getByRole('button', { name: /^Undo set top of/ }).click();
  await expect(strip).toContainText('is not in sight');
});

test('a height dragged in the elevation is one edit', async ({ demo }) => {
  await demo.getByRole('button', { name: 'Show this pair' }).click();
  const top = demo.getByRole('region', { name: 'Sight line from the side' }).getByRole('slider', { name: /^Top of/ }).first();
  const box = await top.boundingBox();
  if (!box) throw new Error('no handle to drag');
  await demo.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
  await demo.mouse.down();
  for (let i = 1; i <= 10; i += 1) await demo.mouse.move(box.x + box.width / 2, box.y + box.height / 2 + i * 4);
  await demo.mouse.up();
  await expect(demo.getByRole('button', { name: /^Undo set top of/ })).toBeEnabled();
  await expect(top).not.toHaveAttribute('aria-valuetext', '11\'-0"');
  await demo.getByRole('button', { name: /^Undo set top of/ }).click();
  await expect(top).toHaveAttribute('aria-valuetext', '11\'-0"');
  await expect(demo.getByRole('button', { name: 'Nothing to undo' })).toBeDisabled();
});

test('every number opens to its derivation, which can be pinned beside the plan', async ({ demo }) => {
  await chooseDevice(demo, 'DS-01');
  await chosen(demo).getByRole('button', { name: /^switch: .*Why\?$/ }).press('Enter');
  const card = demo.getByRole('dialog', { name: 'switch' });
  await expect(card).toContainText('115 %');
  await expect(card).toContainText('430.110(A)');
  await expect(card).toContainText('edition 2023');
  await card.getByRole('button', { name: 'Pin' }).press('Enter');
  await demo.keyboard.press('Escape');
  await expect(card).toHaveCount(0);
  await expect(demo.getByRole('region', { name: 'Pinned derivations' })).toContainText('430.110(A)');
});

test('load data edited in place changes the rating of its device at once', async ({ demo }) => {
  await chooseDevice(demo, 'DS-04');
  const line = list(demo, 'Devices').getByRole('option', { name: /^DS-04/ });
  await expect(line).toHaveAttribute('aria-label', /^DS-04, pass/);
  await chosen(demo).getByRole('button', { name: 'P-201', exact: true }).click();
  const power = chosen(demo).getByLabel('Horsepower');
  await power.fill('50');
  await power.press('Enter');
  await expect(line).not.toHaveAttribute('aria-label', /^DS-04, pass/);
  await demo.getByRole('button', { name: 'Undo set horsepower of P-201' }).click();
  await expect(line).toHaveAttribute('aria-label', /^DS-04, pass/);
});

test('an exception is recorded with its condition, and counts for nothing without its evidence', async ({ demo }) => {
  await chooseDevice(demo, 'DS-05');
  await chosen(demo).getByRole('button', { name: /^Record exception for/ }).click();
  const dialog = demo.getByRole('dialog', { name: 'Record an exception' });
  await dialog.getByRole('button', { name: 'Record', exact: true }).click();
  await expect(dialog.getByRole('alert')).toContainText('Every line is needed');
  await dialog.getByRole('combobox').click();
  await demo.getByRole('option', { name: /impracticable/ }).click();
  await dialog.getByLabel('Reason').fill('Tank farm leaves no wall in view');
  await dialog.getByLabel('Written procedure or document').fill('LOTO-17');
  await dialog.getByLabel('Person responsible').fill('plant engineer');
  await dialog.getByLabel('Date').fill('2026-02-30');
  await dialog.getByRole('button', { name: 'Record', exact: true }).click();
  await expect(dialog.getByRole('alert')).toContainText('YYYY-MM-DD');
  await dialog.getByLabel('Date').fill('2026-03-02');
  await dialog.getByRole('button', { name: 'Record', exact: true }).click();
  await expect(dialog).toHaveCount(0);
  await expect(chosen(demo).getByRole('list', { name: 'Exceptions on record' })).toContainText('LOTO-17');
  await expect(demo.getByRole('button', { name: /^Undo recorded exception for/ })).toBeEnabled();
});

test('the plan list finds, goes to, moves by typed coordinates and deletes', async ({ demo }) => {
  await demo.keyboard.press('/');
  await demo.getByRole('searchbox').fill('must pump');
  const everything = list(demo, 'Everything on the sheets');
  await expect(everything.getByRole('option')).toHaveCount(1);
  await everything.focus();
  await everything.press('ArrowDown');
  await everything.press('Enter');
  await expect(chosen(demo).getByRole('heading', { name: 'P-201' })).toBeVisible();
  const right = chosen(demo).getByLabel('Right of the corner');
  await right.fill("60'");
  await right.press('Enter');
  await expect(right).toHaveValue('60\'-0"');
  await everything.focus();
  await everything.press('Delete');
  await expect(everything).toHaveCount(0);
  await expect(demo.getByRole('button', { name: 'Undo deleted P-201' })).toBeEnabled();
});

test('project facts: another edition is named in the foot line', async ({ demo }) => {
  await demo.getByRole('button', { name: /^Project: / }).click();
  await demo.getByRole('menuitem', { name: 'Project facts…' }).click();
  const facts = demo.getByRole('dialog', { name: 'Project facts' });
  await facts.getByRole('combobox', { name: /^Edition/ }).click();
  await demo.getByRole('option', { name: 'NFPA 70, 2020' }).click();
  await facts.getByRole('button', { name: 'Close' }).click();
  await expect(demo.getByRole('contentinfo')).toContainText('NFPA 70, 2020');
});

test('a vector PDF comes in as a sheet with the scale its file states, and asks to have it checked', async ({ demo }) => {
  await step(demo, 'Plan').click();
  await demo.getByRole('button', { name: 'Add a plan…' }).first().click();
  const choosing = demo.waitForEvent('filechooser');
  await demo.getByRole('dialog', { name: 'Add a plan' }).getByRole('button', { name: 'Choose a file' }).click();
  await (await choosing).setFiles(join(ROOT, 'assets/demo/cider-works.pdf'));
  await expect(demo.getByRole('tab')).toHaveCount(2);
  await expect(demo.getByRole('tab', { selected: true })).toContainText('cider-works');
  await expect(step(demo, 'Scale')).toHaveAttribute('aria-current', 'step');
  await expect(step(demo, 'Scale')).toContainText('1/8 in = 1 ft');
  await expect(demo.getByText('Check it by picking a length you know.')).toBeVisible();
  const ofFile = demo.getByRole('list', { name: 'Scales the plan states itself' }).getByRole('listitem');
  await expect(ofFile).toHaveText(/1\/8 in = 1 ft.*for the whole sheet/);
  await expect(ofFile.getByRole('button')).toHaveAttribute('aria-pressed', 'true');
  const stated = demo.getByLabel('Drawing scale');
  await stated.fill('1/4" = 1\'-0"');
  await stated.press('Enter');
  await expect(step(demo, 'Scale')).toContainText('1/4" = 1\'-0"');
  await demo.getByRole('button', { name: /^Undo set scale of/ }).click();
  await expect(step(demo, 'Scale')).toContainText('1/8 in = 1 ft');
});

test('what is no plan is refused with what to do, and the project stays as it was', async ({ demo }) => {
  await step(demo, 'Plan').click();
  await demo.getByRole('button', { name: 'Add a plan…' }).first().click();
  const dialog = demo.getByRole('dialog', { name: 'Add a plan' });
  const choosing = demo.waitForEvent('filechooser');
  await dialog.getByRole('button', { name: 'Choose a file' }).click();
  await (await choosing).setFiles({ name: 'plan.png', mimeType: 'image/png', buffer: Buffer.from('no picture at all') });
  await expect(dialog.getByRole('alert')).toContainText('plan.png');
  await demo.keyboard.press('Escape');
  await expect(demo.getByRole('tab')).toHaveCount(1);
  await expect(demo.getByRole('button', { name: 'Nothing to undo' })).toBeDisabled();
});

test('the schedule leaves as CSV with what is on the screen', async ({ demo }) => {
  await step(demo, 'Hand over').click();
  const downloading = demo.waitForEvent('download');
  await demo.getByRole('button', { name: 'Schedule as CSV' }).click();
  const text = await readFile(await (await downloading).path(), 'utf8');
  expect(text).toContain('DS-05');
  expect(text).toContain('fail');
});

/** Text that its own box or the window cuts off without an ellipsis that says so. */
const cutOff = (page: Page): Promise<string[]> => page.evaluate(() => {
  const faults: string[] = [];
  if (document.documentElement.scrollWidth > window.innerWidth) faults.push('the page scrolls sideways');
  for (const element of document.querySelectorAll<HTMLElement>('.rail *, .tool-bar *, .side *, .foot *, .tabs *, .first-notes *, .elevation-head *, .modal *')) {
    const own = [...element.childNodes].filter((n) => n.nodeType === Node.TEXT_NODE).map((n) => n.textContent?.trim() ?? '').join('');
    if (own === '' || element.closest('.off-screen, svg, .quick-under')) continue;
    const style = getComputedStyle(element);
    const box = element.getBoundingClientRect();
    if (box.width === 0 || box.height === 0) continue;
    if (box.right > window.innerWidth + 1) faults.push(`beyond the window: ${own.slice(0, 40)}`);
    if (style.overflowX === 'hidden' && style.textOverflow !== 'ellipsis' && element.scrollWidth > element.clientWidth + 1) faults.push(`cut: ${own.slice(0, 40)}`);
    const frame = element.closest<HTMLElement>('.side-lower, .pick-list, .pane-body, .rail-step, .project, .modal-body');
    if (frame && box.right > frame.getBoundingClientRect().right + 1) faults.push(`beyond its pane: ${own.slice(0, 40)}`);
  }
  return faults;
});

const SIZES = [{ width: 1280, height: 800, note: '1280 x 800' }, { width: 1920, height: 1080, note: '1920 x 1080' }, { width: 853, height: 533, note: '1280 x 800 at 150 %' }] as const;
for (const size of SIZES) {
  test(`nothing is cut off and nothing is inaccessible at ${size.note}`, async ({ demo }, info) => {
    await demo.setViewportSize(size);
    const look = async (name: string): Promise<void> => {
      await demo.screenshot({ path: info.outputPath(`${name}-${size.width}.png`) });
      expect(await cutOff(demo), name).toEqual([]);
      const { violations } = await new AxeBuilder({ page: demo }).exclude('canvas').analyze();
      expect(violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.target.join(' ')).slice(0, 4).join(' | ')}`), name).toEqual([]);
    };
    for (const [i, name] of ['Plan', 'Scale', 'Space', 'Loads', 'Disconnects', 'Findings', 'Hand over'].entries()) {
      await demo.keyboard.press(`Alt+${i + 1}`);
      await expect(step(demo, name)).toHaveAttribute('aria-current', 'step');
      if (name === 'Plan' || name === 'Loads') await look(name.toLowerCase());
    }
    await chooseDevice(demo, 'DS-05');
    await chosen(demo).getByRole('button', { name: /from the side/ }).first().click();
    await look('device');
    await demo.keyboard.press('Alt+6');
    await look('findings');
    await demo.getByRole('button', { name: /^Project: / }).click();
    await demo.getByRole('menuitem', { name: 'Project facts…' }).click();
    await look('facts');
    await demo.keyboard.press('Escape');
    await demo.keyboard.press('?');
    await look('keys');
  });
}
