import { readFile } from 'node:fs/promises';
import { degrees, PDFDocument, rgb, StandardFonts } from '@cantoo/pdf-lib';
import type { Page } from '@playwright/test';
import { unpackProject } from '../../main/files/plan-file';
import { expect, test } from './fixtures';
import { emptyDocument } from '../../shared-core/document/index';
import type { Document } from '../../shared-core/document/index';
import { sheetUnits } from '../../shared-core/units/index';
import { PlanHand } from './plan-hand';

const SIZE = { width: 1200, height: 800 };
/** At 18 points a foot across, and stretched by 1 % up the sheet. */
const ACROSS = 18;
const UP = 18.18;

/** A plan plotted white on black, 50 by 30 ft, with three dimension lines and a scale bar. */
async function blackPlan(): Promise<Buffer> {
  const pdf = await PDFDocument.create({ updateMetadata: false });
  const font = await pdf.embedFont(StandardFonts.Helvetica);
  const page = pdf.addPage([SIZE.width, SIZE.height]);
  const white = rgb(1, 1, 1);
  const line = (x1: number, y1: number, x2: number, y2: number, thickness = 1): void => { page.drawLine({ start: { x: x1, y: y1 }, end: { x: x2, y: y2 }, thickness, color: white }); };
  page.drawRectangle({ x: 0, y: 0, ...SIZE, color: rgb(0, 0, 0) });
  page.drawRectangle({ x: 150, y: 100, width: 50 * ACROSS, height: 30 * UP, borderColor: white, borderWidth: 5 });
  line(600, 100, 600, 400, 5); line(600, 470, 600, 100 + 30 * UP, 5);
  line(150, 690, 150 + 50 * ACROSS, 690); line(110, 100, 110, 100 + 30 * UP); line(600, 60, 600 + 25 * ACROSS, 60);
  const label = (text: string, x: number, y: number, turned = false): void => { const width = font.widthOfTextAtSize(text, 16); page.drawText(text, { x: turned ? x : x - width / 2, y: turned ? y - width / 2 : y, size: 16, font, color: white, ...(turned ? { rotate: degrees(90) } : {}) }); };
  label("50'-0\"", 150 + 25 * ACROSS, 695); label("30'-0\"", 105, 100 + 15 * UP, true); label("25'-0\"", 600 + 12.5 * ACROSS, 65);
  // A scale bar of four strips of 5 ft, its last number with the unit.
  for (const i of [0, 1, 2, 3]) page.drawRectangle({ x: 150 + 5 * i * ACROSS, y: 30, width: 5 * ACROSS, height: 6, borderColor: white, borderWidth: 1, ...(i % 2 === 0 ? { color: white } : {}) });
  for (const i of [0, 1, 2, 3, 4]) page.drawText(i === 4 ? '20 ft' : String(5 * i), { x: 150 + 5 * i * ACROSS - font.widthOfTextAtSize(String(5 * i), 10) / 2, y: 40, size: 10, font, color: white });
  page.drawText('PRESS HALL', { x: 300, y: 380, size: 22, font, color: white });
  return Buffer.from(await pdf.save());
}

/** The project as it is saved now. */
async function savedCopy(page: Page): Promise<Document> {
  const [copy] = await Promise.all([page.waitForEvent('download'), page.keyboard.press('Control+s')]);
  const read = unpackProject(new Uint8Array(await readFile(await copy.path())), 'copy');
  if (!read.ok) throw new Error(read.problem.what);
  return read.value.document;
}

test('a black plan is offered white, its own lengths are offered as picks that show its stretch, another scale moves no mark and checks anew, and a part of it is kept', async ({ window }, info) => {
  test.setTimeout(240_000);
  const hand = new PlanHand(window, { ...emptyDocument(), sheets: [{ id: 'sheet-one', name: 'plan', plan: null, width: sheetUnits(SIZE.width), height: sheetUnits(SIZE.height), scale: null, level: { name: '', floor: 0 as never }, fade: 0 }] });
  await window.getByRole('button', { name: 'Add a plan…' }).first().click();
  const choosing = window.waitForEvent('filechooser');
  await window.getByRole('button', { name: 'Choose a file' }).click();
  await (await choosing).setFiles({ name: 'plan.pdf', mimeType: 'application/pdf', buffer: await blackPlan() });
  await expect(hand.canvas).toBeVisible({ timeout: 60_000 });
  await window.getByRole('button', { name: 'Do not show these again' }).click({ timeout: 3000 }).catch(() => undefined);
  await window.getByRole('button', { name: /^Plan/ }).first().click();
  const looks = window.getByRole('region', { name: 'How it looks' });
  await expect(looks.getByText('It stands on a black ground')).toBeVisible({ timeout: 60_000 });
  await window.screenshot({ path: info.outputPath('black.png') });
  await looks.getByRole('button', { name: 'Exchange light and dark' }).click();
  await expect(hand.undo).toHaveAccessibleName(/^Undo exchanged light and dark on plan/);
  await expect(looks.getByRole('checkbox', { name: 'Exchange light and dark' })).toBeChecked();
  for (const [name, value] of [['Contrast', '60'], ['Fade the plan', '30']] as const) {
    const field = looks.getByRole('textbox', { name });
    await field.fill(value);
    await field.press('Enter');
  }
  await expect(hand.undo).toHaveAccessibleName('Undo faded the plan of plan');
  await window.waitForTimeout(700);
  await window.screenshot({ path: info.outputPath('white.png') });

  await window.getByRole('button', { name: /^Scale/ }).first().click();
  const offered = window.getByRole('group', { name: 'Lengths the plan states itself' }).getByRole('button');
  await expect(offered).toHaveText(["50'-0\"", "30'-0\"", "25'-0\"", 'scale bar 0 to 20 ft']);
  await window.screenshot({ path: info.outputPath('offered.png') });
  await offered.first().click();
  await expect(window.getByRole('button', { name: /^Scale/ }).first()).toContainText('1 length');
  await offered.first().click();
  await expect(offered).toHaveText(["25'-0\"", 'scale bar 0 to 20 ft']);
  // 18 points a foot across and 18.18 up, as it was drawn.
  await expect(window.getByText('The print is 1.0 % longer up the sheet than across it.')).toBeVisible();
  // A drawing scale that says otherwise stands beside the picks: 1/8" = 1'-0" is 9 points a foot, and this is drawn at 18.
  const stated = window.getByRole('textbox', { name: 'Drawing scale' });
  await stated.fill('1/8" = 1\'-0"');
  await stated.press('Enter');
  await expect(window.getByText(/The picked lengths make everything 50\.\d % shorter than the stated scale/)).toBeVisible();
  await expect(window.getByRole('button', { name: /^Scale/ }).first()).toContainText('2 lengths');
  await offered.last().click();
  // Each length with what it measures now and how far it is off: across and up lie on either side of their fit.
  const lengths = window.getByRole('table').getByRole('row');
  await expect(lengths).toHaveText([/Length/, /^50'-0".*-0\.\d\d %/, /^30'-0".*\+0\.\d\d %/, /^scale bar 0 to 20 ft.*-0\.\d\d %/]);
  await window.screenshot({ path: info.outputPath('scaled.png') });
  // Straight from the field to the findings: what the plan says against itself is one.
  await window.keyboard.press('Alt+6');
  const findings = window.getByRole('listbox', { name: 'Findings' });
  await expect(findings).toContainText(/the picked lengths make everything 50\.\d % shorter than the stated scale/);

  // A disconnect 40 ft from its motor; where the stated scale alone decides, the same two places lie 80 ft apart.
  await hand.canvas.focus();
  await window.keyboard.press('m');
  await hand.click({ x: 300, y: 300 });
  await window.keyboard.press('d');
  await hand.click({ x: 300 + 40 * ACROSS, y: 300 });
  await expect(hand.said).toHaveText(/^DS-01: M-1 \w+, (39|40)'-\d+"/);
  await expect(findings).not.toContainText(/too far|50 ft/);
  const before = await savedCopy(window);
  await window.keyboard.press('Alt+2');
  for (const name of ["50'-0\"", "30'-0\"", 'scale bar 0 to 20 ft']) await window.getByRole('button', { name: `Drop the length ${name}` }).click();
  await expect(window.getByRole('button', { name: /^Scale/ }).first()).toContainText('1/8" = 1\'-0"');
  await window.keyboard.press('Alt+6');
  await expect(hand.said).toHaveText(/^DS-01: M-1 fail, (79|80)'-\d+".*too far/);
  await expect(findings).toContainText(/M-1 is .* from DS-01/);
  await window.screenshot({ path: info.outputPath('scale-changed.png') });
  const after = await savedCopy(window);
  expect(after.entities).toEqual(before.entities);
  expect(after.sheets[0]?.scale).not.toEqual(before.sheets[0]?.scale);

  await window.getByRole('button', { name: /^Plan/ }).first().click();
  const part = window.getByRole('region', { name: 'The part shown' });
  await part.getByRole('button', { name: 'Keep a part' }).click();
  await hand.moveTo({ x: 60, y: 60 });
  await window.mouse.down();
  await hand.moveTo({ x: 620, y: 720 });
  await window.screenshot({ path: info.outputPath('cropping.png') });
  await window.mouse.up();
  await expect(part.getByText(/Shown as it would be/)).toBeVisible();
  await part.getByRole('button', { name: 'Keep this part' }).click();
  await expect(hand.undo).toHaveAccessibleName('Undo cropped plan');
  await window.waitForTimeout(1500);
  await window.mouse.move(5, 5);
  await window.screenshot({ path: info.outputPath('cropped.png') });
  await part.getByRole('button', { name: 'Show the whole plan' }).click();
  await expect(hand.undo).toHaveAccessibleName('Undo showed the whole plan of plan');
  await expect(part.getByRole('button', { name: 'Show the whole plan' })).toHaveCount(0);
});
