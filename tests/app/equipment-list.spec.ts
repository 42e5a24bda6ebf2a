import { readFile } from 'node:fs/promises';
import type { Locator, Page } from '@playwright/test';
import { AxeBuilder } from '@axe-core/playwright';
import { expect, test } from './fixtures';
import { DEMO } from './plan-hand';

test.setTimeout(240_000);
test.use({ programArgs: [DEMO] });

const dialog = (page: Page) => page.getByRole('dialog', { name: 'Equipment list' });
const row = (page: Page, name: RegExp): Locator => dialog(page).getByRole('row', { name });
/** One load of the demo waits already. */
const WAITING = 1;
const tray = (page: Page) => page.getByRole('group', { name: 'Waiting to be placed' });

async function openImport(page: Page): Promise<void> {
  await expect(page.getByRole('button', { name: /^Findings \d+ to mend/ })).toBeVisible({ timeout: 60_000 });
  await page.keyboard.press('Alt+4');
  await page.getByRole('button', { name: 'Import a list…' }).click();
}

async function chooseFile(page: Page, name: string, text: string | Buffer): Promise<void> {
  const choosing = page.waitForEvent('filechooser');
  await dialog(page).getByRole('button', { name: 'Choose a file' }).click();
  await (await choosing).setFiles({ name, mimeType: 'text/csv', buffer: Buffer.from(text) });
}

const LIST = `Press hall, motors
Equip. No.,Description,HP,Volts/Ph,MCA,MOCP,Remark
P-201,Must pump,30,460/3/60,,,was 25
P-501,Rinse pump,7 1/2,480/277,,,
P-502,Lees pump,about 5,460-3-60,,,ask
CU-9,Cold room unit,,208/3,34.2,50,
P-503,Spare pump,5,460,,,
p-503,Spare pump again,3,460,,,

,Nameless fan,1,460,,,
`;

test('a list is read, looked over and taken as one edit; its new loads wait in the tray; undo takes all of it back', async ({ window: page }, info) => {
  await openImport(page);
  await chooseFile(page, 'press-hall.csv', LIST);
  await expect(row(page, /^row 3, P-201, changed/)).toContainText('30 hp');
  // Numbers are those of the file: the empty line 9 counts.
  await expect(row(page, /^row 10, no tag, not possible, tag: The tag is missing/)).toBeVisible();
  await expect(row(page, /^row 4, P-501, new/)).toHaveAttribute('aria-selected', 'true');
  await expect(row(page, /^row 4, P-501, new/)).toContainText('7 1/2 hp');
  await expect(row(page, /^row 5, P-502, new, horsepower: .*about 5.* is not a number/)).toHaveAttribute('aria-selected', 'false');
  await expect(row(page, /^row 7, P-503, new, tag: The tag P-503 stands in row 8 too/)).toHaveAttribute('aria-selected', 'false');
  await page.screenshot({ path: info.outputPath('review.png') });
  const { violations } = await new AxeBuilder({ page }).exclude('canvas').analyze();
  expect(violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.target.join(' ')).slice(0, 4).join(' | ')}`)).toEqual([]);
  // A marked cell is mended in place; the row is whole then.
  const mend = dialog(page).getByRole('textbox', { name: 'Mend horsepower in row 5' });
  await mend.fill('5 1/2 kW');
  await mend.press('Enter');
  await expect(row(page, /^row 5, P-502, new$/)).toHaveAttribute('aria-selected', 'true');
  await expect(row(page, /^row 5, P-502, new$/)).toContainText('5.5 kW');
  // Of two rows with one tag only one can be ticked.
  const grid = dialog(page).getByRole('grid');
  await grid.focus();
  for (const key of ['Home', 'ArrowDown', 'ArrowDown', 'ArrowDown', 'ArrowDown', ' ', 'ArrowDown', ' ']) await page.keyboard.press(key);
  await expect(row(page, /^row 7, P-503/)).toHaveAttribute('aria-selected', 'false');
  await expect(row(page, /^row 8, p-503/)).toHaveAttribute('aria-selected', 'true');
  await dialog(page).getByRole('button', { name: /^Not in the list/ }).click();
  await expect(row(page, /^M-101, not in the list, Tick to remove it/)).toHaveAttribute('aria-selected', 'false');
  await dialog(page).getByRole('button', { name: 'Take 5 rows' }).click();
  await expect(tray(page)).toContainText('P-501');
  await expect(tray(page)).toContainText('CU-9');
  await expect(tray(page).getByRole('listitem')).toHaveCount(WAITING + 4);
  await page.screenshot({ path: info.outputPath('tray.png') });
  const undo = page.getByRole('button', { name: 'Undo imported press-hall.csv: 4 new loads and 1 changed' });
  await undo.click();
  await expect(tray(page).getByRole('listitem')).toHaveCount(WAITING);
  await expect(page.getByRole('button', { name: 'Nothing to undo' })).toBeDisabled();
});

test('a low window still shows the rows and what is taken', async ({ window: page }, info) => {
  await openImport(page);
  await page.setViewportSize({ width: 853, height: 533 });
  await chooseFile(page, 'press-hall.csv', LIST);
  await expect(row(page, /^row 4, P-501, new/)).toBeInViewport();
  await expect(dialog(page).getByRole('button', { name: 'Take 3 rows' })).toBeInViewport();
  await page.screenshot({ path: info.outputPath('low.png') });
});

test('pasted cells without heads: each column is told by hand, the tag first', async ({ window: page }, info) => {
  await openImport(page);
  await page.screenshot({ path: info.outputPath('choose.png') });
  await dialog(page).getByRole('textbox', { name: /paste cells/ }).fill('P-601\t5 hp\nP-602\t3/4 hp');
  await dialog(page).getByRole('button', { name: 'Read these cells' }).click();
  await expect(dialog(page).getByRole('alert')).toContainText('Say which column holds the tag');
  await dialog(page).getByRole('combobox', { name: /^What Column A holds/ }).click();
  await page.getByRole('option', { name: 'tag', exact: true }).click();
  await dialog(page).getByRole('combobox', { name: /^What Column B holds/ }).click();
  await page.getByRole('option', { name: 'horsepower', exact: true }).click();
  await expect(row(page, /^row 2, P-602, new/)).toContainText('3/4 hp');
  await page.screenshot({ path: info.outputPath('pasted.png') });
  await dialog(page).getByRole('button', { name: 'Take 2 rows' }).click();
  await expect(tray(page).getByRole('listitem')).toHaveCount(WAITING + 2);
  // A waiting load is put on the plan with a click.
  await tray(page).getByRole('button', { name: 'Place P-601 on the sheet' }).click();
  await page.locator('.plan-canvas').click({ position: { x: 420, y: 300 } });
  await expect(tray(page).getByRole('listitem')).toHaveCount(WAITING + 1);
});

test('the exported list, imported again, changes nothing; CSV and XLSX', async ({ window: page }) => {
  for (const format of ['CSV', 'XLSX']) {
    await openImport(page);
    await page.keyboard.press('Escape');
    const downloading = page.waitForEvent('download');
    await page.getByRole('button', { name: `List as ${format}` }).click();
    const bytes = await readFile(await (await downloading).path());
    await page.getByRole('button', { name: 'Import a list…' }).click();
    await chooseFile(page, `again.${format.toLowerCase()}`, bytes);
    await expect(dialog(page)).toContainText('The list says what the project has: nothing to take.');
    await expect(dialog(page).getByRole('button', { name: 'Take nothing' })).toBeDisabled();
    await page.keyboard.press('Escape');
  }
  await expect(page.getByRole('button', { name: 'Nothing to undo' })).toBeDisabled();
});

test('five thousand rows are reviewed and taken; only those in view are drawn', async ({ window: page }, info) => {
  const many = ['Tag,Description,HP,Volts', ...Array.from({ length: 5000 }, (_, i) => `M-${10_000 + i},Conveyor ${i},${[1, 5, 7.5, 25][i % 4]},460`)].join('\n');
  await openImport(page);
  await chooseFile(page, 'many.csv', many);
  await expect(dialog(page)).toContainText('5000 rows');
  const grid = dialog(page).getByRole('grid');
  await grid.focus();
  await page.keyboard.press('End');
  await expect(row(page, /^row 5001, M-14999, new/)).toBeVisible();
  expect(await dialog(page).getByRole('row').count()).toBeLessThan(100);
  await page.screenshot({ path: info.outputPath('many.png') });
  await dialog(page).getByRole('button', { name: 'Take 5000 rows' }).click();
  await expect(tray(page)).toContainText('4941 more waiting');
  // So are the findings, which every load without a voltage system adds to, and the search: the last is one key away.
  const last = async (list: Locator): Promise<void> => {
    await list.press('End');
    const row = list.getByRole('option', { selected: true });
    await expect(row).toBeInViewport();
    expect(await row.getAttribute('aria-posinset')).toBe(await row.getAttribute('aria-setsize'));
    expect(await list.getByRole('option').count()).toBeLessThan(100);
  };
  await page.keyboard.press('/');
  await page.keyboard.type('conveyor m-1');
  const found = page.getByRole('listbox', { name: 'Everything on the sheets' });
  await expect(found.getByRole('option').first()).toHaveAttribute('aria-setsize', '5000');
  await last(found);
  await expect(found.getByRole('option', { selected: true })).toContainText('M-14999');
  await page.getByRole('button', { name: 'Back', exact: true }).click();
  await page.keyboard.press('Alt+6');
  await expect(page.getByRole('listbox', { name: 'Findings' }).getByRole('option').first()).toHaveAttribute('aria-setsize', /^\d{4,}$/);
  await last(page.getByRole('listbox', { name: 'Findings' }));
  await page.screenshot({ path: info.outputPath('many-findings.png') });
  await page.keyboard.press('Alt+4');
  await page.getByRole('button', { name: /^Undo imported many.csv/ }).click();
  await expect(tray(page).getByRole('listitem')).toHaveCount(WAITING);
});

test('a table dropped on the window opens as a list; what is no list is refused with what to do', async ({ window: page }) => {
  await openImport(page);
  await chooseFile(page, 'list.xlsx', Buffer.from([0x50, 0x4b, 0x03, 0x04, 1, 2, 3]));
  await expect(dialog(page).getByRole('alert')).toContainText('list.xlsx');
  await page.keyboard.press('Escape');
  const data = await page.evaluateHandle(() => { const transfer = new DataTransfer(); transfer.items.add(new File(['Tag,HP\nP-9,5'], 'dropped.tsv')); return transfer; });
  await page.dispatchEvent('.window', 'drop', { dataTransfer: data });
  await expect(row(page, /^row 2, P-9, new/)).toContainText('5 hp');
});
