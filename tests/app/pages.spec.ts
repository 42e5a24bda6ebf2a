import { PDFDocument, rgb, StandardFonts } from '@cantoo/pdf-lib';
import type { Page } from '@playwright/test';
import sharp from 'sharp';
import { expect, holdCalls, test } from './fixtures';
import { DEMO } from './plan-hand';

test.setTimeout(180_000);
test.use({ programArgs: [DEMO] });

const dialog = (page: Page) => page.getByRole('dialog', { name: 'Add a plan' });

/** A set of so many sheets, each with its number writ large. */
async function drawingSet(count: number): Promise<Buffer> {
  const pdf = await PDFDocument.create();
  const font = await pdf.embedFont(StandardFonts.HelveticaBold);
  for (let i = 1; i <= count; i += 1) {
    const page = pdf.addPage(i % 3 === 0 ? [792, 1224] : [1224, 792]);
    page.drawRectangle({ x: 36, y: 36, width: page.getWidth() - 72, height: page.getHeight() - 72, borderWidth: 4, borderColor: rgb(0, 0, 0), color: rgb(1, 1, 1) });
    page.drawText(String(i), { x: page.getWidth() / 2 - 120, y: page.getHeight() / 2 - 100, size: 300, font });
  }
  return Buffer.from(await pdf.save());
}

async function choose(page: Page, name: string, bytes: Buffer): Promise<void> {
  await expect(page.getByRole('button', { name: /^Findings \d+ to mend/ })).toBeVisible();
  await page.keyboard.press('Alt+1');
  await page.getByRole('button', { name: 'Add a plan…' }).first().click();
  const choosing = page.waitForEvent('filechooser');
  await dialog(page).getByRole('button', { name: 'Choose a file' }).click();
  await (await choosing).setFiles({ name, mimeType: 'application/octet-stream', buffer: bytes });
}

test('several pages of a set are chosen by their pictures or by number, taken in one edit, moved and renamed', async ({ window: page }, info) => {
  await choose(page, 'set.pdf', await drawingSet(14));
  const pages = dialog(page).getByRole('list', { name: 'Pages' });
  await expect(pages.locator('img')).toHaveCount(12, { timeout: 60_000 });
  await page.screenshot({ path: info.outputPath('pages.png') });
  await pages.getByRole('checkbox').nth(3).click({ modifiers: ['Shift'] });
  const field = dialog(page).getByRole('textbox', { name: 'Pages' });
  await expect(field).toHaveValue('1, 4');
  await pages.getByRole('checkbox').nth(6).click({ modifiers: ['Shift'] });
  await expect(field).toHaveValue('1, 4-7');
  await field.fill('2-3, 99');
  await field.press('Enter');
  await expect(dialog(page).getByRole('alert')).toContainText('There is no page 99');
  await field.fill('2-3, 14');
  await field.press('Enter');
  await dialog(page).getByRole('button', { name: 'Add 3 sheets' }).click();
  const tabs = page.getByRole('tab');
  await expect(tabs).toHaveText([/Ground floor/, /set, page 2/, /set, page 3/, /set, page 14/]);
  await tabs.nth(3).dragTo(tabs.nth(1), { targetPosition: { x: 4, y: 8 } });
  await expect(tabs).toHaveText([/Ground floor/, /set, page 14/, /set, page 2/, /set, page 3/]);
  await expect(page.getByRole('button', { name: 'Undo moved sheet set, page 14' })).toBeEnabled();
  await tabs.nth(1).click();
  await tabs.nth(1).press('F2');
  await page.getByLabel('New name of the sheet').fill('Roof');
  await page.keyboard.press('Enter');
  await expect(tabs.nth(1)).toContainText('Roof');
  await page.screenshot({ path: info.outputPath('tabs.png') });
  for (const name of ['renamed sheet Roof', 'moved sheet set, page 14', 'added 3 sheets']) await page.getByRole('button', { name: `Undo ${name}` }).click();
  await expect(tabs).toHaveCount(1);
});

test('the images of a TIFF are chosen among as pages are; drawing the pictures can be stopped', async ({ window: page }, info) => {
  const image = (text: string) => sharp(Buffer.from(`<svg xmlns="http://www.w3.org/2000/svg" width="1600" height="1100"><rect width="1600" height="1100" fill="#fff"/><path d="M60 60H1540V1040H60Z" fill="none" stroke="#000" stroke-width="12"/><text x="600" y="700" font-size="400">${text}</text></svg>`)).png().toBuffer();
  const tiff = await sharp(await Promise.all(['A', 'B', 'C', 'D', 'E', 'F'].map(image)), { join: { animated: true } }).tiff({ compression: 'lzw' }).toBuffer();
  const drawing = await holdCalls(page, 'planThumbnails');
  await choose(page, 'faxed.tif', tiff);
  const pages = dialog(page).getByRole('list', { name: 'Pages' });
  const stop = dialog(page).getByRole('button', { name: 'Stop' });
  await drawing.arrived;
  await stop.click();
  drawing.release();
  const goOn = dialog(page).getByRole('button', { name: 'Go on' });
  await expect(pages).toContainText('not drawn');
  await expect(pages.locator('img')).toHaveCount(0);
  await goOn.click();
  await expect(pages.locator('img')).toHaveCount(6, { timeout: 60_000 });
  await expect(goOn).toHaveCount(0);
  await page.screenshot({ path: info.outputPath('tiff.png') });
  await dialog(page).getByRole('button', { name: 'all 6' }).click();
  await dialog(page).getByRole('button', { name: 'Add 6 sheets' }).click();
  await expect(page.getByRole('tab')).toHaveCount(7);
});
