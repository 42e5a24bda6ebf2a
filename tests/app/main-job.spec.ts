import { execFile } from 'node:child_process';
import { readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { promisify } from 'node:util';
import type { Page } from '@playwright/test';
import { getDocument, OPS } from 'pdfjs-dist/legacy/build/pdf.mjs';
import sharp from 'sharp';
import type { ScalePick } from '../../shared-core/document/index';
import { expect, ROOT, test } from './fixtures';
import { DEMO, readProject } from './plan-hand';

const SCAN = join(ROOT, 'assets/demo/cider-works-scan.jpg');
const run = promisify(execFile);

/** The job of the brief on an empty project: every step is done as a person does it, and the verdict is read each time. */
class Job {
  constructor(readonly page: Page, readonly scan: { width: number; height: number; known: ScalePick }) {}
  get canvas() { return this.page.locator('.plan-canvas'); }
  get said() { return this.page.getByTestId('plan-said'); }
  get undo() { return this.page.locator('.undo button').first(); }

  /** Where a place on the ground (feet along the known length and square to it, from its start) lies on the screen while the whole sheet is shown. */
  async at(place: readonly [number, number]): Promise<{ x: number; y: number }> {
    const box = await this.canvas.boundingBox();
    if (!box) throw new Error('the plan is not shown');
    const { from, to, length } = this.scan.known;
    const along = { x: (to.x - from.x) / length, y: (to.y - from.y) / length };
    const p = { x: from.x + place[0] * along.x - place[1] * along.y, y: from.y + place[0] * along.y + place[1] * along.x };
    const zoom = Math.min((box.width - 72) / this.scan.width, (box.height - 72) / this.scan.height);
    return { x: box.x + box.width / 2 + (p.x - this.scan.width / 2) * zoom, y: box.y + box.height / 2 + (p.y - this.scan.height / 2) * zoom };
  }
  async click(place: readonly [number, number]): Promise<void> { const { x, y } = await this.at(place); await this.page.mouse.click(x, y); }
  async drag(from: readonly [number, number], to: readonly [number, number]): Promise<void> {
    const [a, b] = [await this.at(from), await this.at(to)];
    await this.page.mouse.move(a.x, a.y);
    await this.page.mouse.down();
    await this.page.mouse.move(b.x, b.y, { steps: 12 });
    await this.page.mouse.up();
  }
}

async function readScan(): Promise<Job['scan']> {
  const { width, height } = await sharp(SCAN).metadata();
  if (!width || !height) throw new Error('the demo scan has no size');
  const { scale } = (await readProject(DEMO)).sheets[0] ?? {};
  const known = scale?.from.kind === 'picks' ? scale.from.picks[0] : undefined;
  if (!known) throw new Error('the demo scan has no known length');
  return { width, height, known };
}

async function exportPdf(page: Page, press: () => Promise<void>, name: string): Promise<{ path: string; bytes: Uint8Array }> {
  const coming = page.waitForEvent('download');
  await press();
  const path = test.info().outputPath(name);
  await (await coming).saveAs(path);
  return { path, bytes: new Uint8Array(await readFile(path)) };
}

/** Reads the hand-over back with another program's eyes: text and vectors by pdf.js, the picture by poppler. */
async function expectHandOver(pdf: { path: string; bytes: Uint8Array }, words: readonly string[]): Promise<void> {
  const read = await getDocument({ data: pdf.bytes.slice(), isEvalSupported: false, verbosity: 0 }).promise;
  const page = await read.getPage(1);
  const text = (await page.getTextContent()).items.map((item) => ('str' in item ? item.str : '')).join(' ');
  for (const word of words) expect(text).toContain(word);
  const operators = (await page.getOperatorList()).fnArray;
  expect(operators.filter((op) => op === OPS.constructPath).length).toBeGreaterThan(20);
  expect(operators.some((op) => op === OPS.paintImageXObject)).toBe(true);
  await read.destroy();
  await run('qpdf', ['--check', pdf.path]);
  const { stdout } = await run('pdftoppm', ['-r', '50', '-f', '1', '-l', '1', '-png', pdf.path], { encoding: 'buffer', maxBuffer: 1 << 28 });
  await writeFile(test.info().outputPath('page-1.png'), stdout);
  const { channels } = await sharp(stdout).stats();
  expect(Math.max(...channels.map((c) => c.stdev))).toBeGreaterThan(20);
}

test('the main job with the mouse: plan, scale, wall, motor, disconnect, drag out of sight and back, PDF', async ({ window }) => {
  const job = new Job(window, await readScan());
  const choosing = window.waitForEvent('filechooser');
  await window.getByRole('button', { name: 'Add a plan…' }).first().click();
  await window.getByRole('button', { name: 'Choose a file' }).click();
  await (await choosing).setFiles(SCAN);
  await expect(job.canvas).toBeVisible({ timeout: 30_000 });

  await window.getByRole('button', { name: /^Scale/ }).first().click();
  await window.locator('.side').getByRole('button', { name: /two points|Pick/ }).first().click();
  await job.click([0, 0]);
  await job.click([96, 0]);
  await window.getByLabel(/Length/).first().fill("96'-0\"");
  await window.keyboard.press('Enter');
  await expect(window.getByRole('button', { name: /^Scale/ }).first()).toContainText('±');
  await window.screenshot({ path: test.info().outputPath('scale.png') });

  await job.canvas.focus();
  await window.keyboard.press('w');
  await job.click([26, 6]);
  await job.click([26, 16]);
  await window.keyboard.press('Enter');
  await expect(job.undo).toHaveAccessibleName('Undo drew a wall');
  await window.keyboard.press('m');
  await job.click([11, 11]);
  await window.keyboard.press('d');
  await job.click([20, 11]);
  await expect(job.said).toHaveText(/pass, \d+'-\d+/);
  await window.screenshot({ path: test.info().outputPath('placed.png') });

  await window.keyboard.press('Escape');
  await window.keyboard.press('s');
  await job.drag([20, 11], [32, 11]);
  await expect(job.said).toHaveText(/fail, .*behind a wall/);
  await job.drag([32, 11], [64, 36]);
  await expect(job.said).toHaveText(/fail, .*too far/);
  await window.screenshot({ path: test.info().outputPath('too-far.png') });
  await job.drag([64, 36], [20, 11]);
  await expect(job.said).toHaveText(/pass, \d+'-\d+/);
  await expect(job.undo).toHaveAccessibleName(/^Undo moved DS-/);

  const pdf = await exportPdf(window, () => window.keyboard.press('Control+e'), 'by-mouse.pdf');
  await expectHandOver(pdf, ['DS-01', 'M-1', `9'-`, 'Cautions', 'Revision A']);
});

/** Presses Tab until the wanted control has the focus. */
async function tabTo(page: Page, name: RegExp, presses = 60): Promise<void> {
  for (let i = 0; i < presses; i += 1) {
    await page.keyboard.press('Tab');
    const at = await page.evaluate(() => {
      const on = document.activeElement;
      if (!on) return '';
      const label = on.id === '' ? null : document.querySelector(`label[for="${CSS.escape(on.id)}"]`);
      return on.getAttribute('aria-label') ?? label?.textContent ?? on.closest('label')?.textContent ?? on.textContent ?? '';
    });
    if (name.test(at)) return;
  }
  throw new Error(`${name.source} was not reached with Tab`);
}

test('the main job with the keyboard alone', async ({ window }) => {
  const job = new Job(window, await readScan());
  const { keyboard } = window;
  const press = async (key: string, times: number): Promise<void> => { for (let i = 0; i < times; i += 1) await keyboard.press(key); };
  await tabTo(window, /^Add a plan/);
  await keyboard.press('Enter');
  const choosing = window.waitForEvent('filechooser');
  await tabTo(window, /^Choose a file/);
  await keyboard.press('Enter');
  await (await choosing).setFiles(SCAN);
  await expect(job.canvas).toBeVisible({ timeout: 30_000 });

  await keyboard.press('Alt+2');
  await tabTo(window, /^Drawing scale/);
  await keyboard.type('1/8" = 1\'-0"');
  await keyboard.press('Enter');
  await expect(window.getByRole('button', { name: /^Scale/ }).first()).toContainText('±');

  for (let i = 0; i < 8 && !(await job.canvas.evaluate((c) => c.contains(document.activeElement))); i += 1) await keyboard.press('F6');
  await expect(job.canvas).toBeFocused();
  const place = async (where: string): Promise<void> => { await keyboard.type(`= ${where}`); await keyboard.press('Enter'); };
  await keyboard.press('w');
  await place("60', 42'");
  await place("60', 46'");
  await keyboard.press('Enter');
  await expect(job.undo).toHaveAccessibleName('Undo drew a wall');
  await keyboard.press('m');
  await place("50', 45'");
  await keyboard.press('d');
  await place("56', 45'");
  await expect(job.said).toHaveText(/^DS-01: M-1 pass, 6'-/);

  await press('Escape', 1);
  await press('Shift+ArrowRight', 8);
  await expect(job.said).toHaveText(/^DS-01: M-1 fail, .*behind a wall/);
  await press('Shift+ArrowUp', 15);
  await press('Shift+ArrowRight', 36);
  await expect(job.said).toHaveText(/^DS-01: M-1 fail, .*too far/);
  await press('Shift+ArrowLeft', 44);
  await press('Shift+ArrowDown', 15);
  await expect(job.said).toHaveText(/^DS-01: M-1 pass, 6'-/);

  const pdf = await exportPdf(window, () => keyboard.press('Control+e'), 'by-keyboard.pdf');
  await expectHandOver(pdf, ['DS-01', 'M-1', "6'-", 'Cautions']);
});
