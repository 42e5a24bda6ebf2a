import { execFile } from 'node:child_process';
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { PDFDocument, PDFName, PDFString } from '@cantoo/pdf-lib';
import sharp from 'sharp';
import { packProject, sha256, unpackProject } from '../../main/files/plan-file';
import { defaultFacts } from '../../shared-core/document/index';
import type { Document, Sheet } from '../../shared-core/document/index';
import { feet, sheetUnits } from '../../shared-core/units/index';
import { expect, startProgram, stopProgram, test } from './fixtures';

const run = promisify(execFile);

/** A page of 900 x 600 points: black walls on one layer, a magenta disc-like square on another, and a third that the file itself hides (cyan). */
async function layered(): Promise<Uint8Array> {
  const pdf = await PDFDocument.create({ updateMetadata: false });
  const page = pdf.addPage([900, 600]);
  const { context } = pdf;
  const [walls, furniture, notes] = ['Walls', 'Furniture', 'Notes'].map((name) => context.register(context.obj({ Type: 'OCG', Name: PDFString.of(name) })));
  pdf.catalog.set(PDFName.of('OCProperties'), context.obj({ OCGs: [walls!, furniture!, notes!], D: { Order: [walls!, furniture!, notes!], OFF: [notes!] } }));
  page.node.set(PDFName.of('Resources'), context.obj({ Properties: { L0: walls!, L1: furniture!, L2: notes! } }));
  page.node.set(PDFName.of('Contents'), context.register(context.flateStream('/OC /L0 BDC 6 w 60 60 780 480 re S EMC /OC /L1 BDC 1 0 1 rg 600 380 80 80 re f EMC /OC /L2 BDC 0 1 1 rg 200 200 80 80 re f EMC')));
  return pdf.save({ useObjectStreams: false });
}

/** Picture elements of pure magenta and pure cyan. */
async function colours(picture: Buffer): Promise<{ magenta: number; cyan: number }> {
  const { data } = await sharp(picture).removeAlpha().raw().toBuffer({ resolveWithObject: true });
  let [magenta, cyan] = [0, 0];
  for (let i = 0; i < data.length; i += 3) {
    if (data[i]! > 200 && data[i + 1]! < 90 && data[i + 2]! > 200) magenta += 1;
    if (data[i]! < 90 && data[i + 1]! > 200 && data[i + 2]! > 200) cyan += 1;
  }
  return { magenta, cyan };
}

test('a layer that is hidden is out of the picture, out of the sharp page and out of the exported PDF, and stays so in the saved project', async ({ page }, info) => {
  const folder = await mkdtemp(join(tmpdir(), 'lockstead-layers-'));
  const bytes = await layered();
  const sheet: Sheet = { id: 'sheet-1', name: 'Ground floor', plan: { blob: sha256(bytes), name: 'plan.pdf', media: 'application/pdf', page: 0, width: sheetUnits(900), height: sheetUnits(600), unitsPerPaperInch: 72 },
    width: sheetUnits(900), height: sheetUnits(600), scale: null, level: { name: '', floor: feet(0) }, fade: 0 };
  const document: Document = { formatVersion: 1, facts: defaultFacts(), sheets: [sheet], entities: {} };
  const path = join(folder, 'layers.lockstead');
  const packed = packProject(document, new Map([[sha256(bytes), bytes]]));
  if (!packed.ok) throw new Error(packed.problem.what);
  await writeFile(path, packed.value);
  const program = await startProgram([path], join(folder, 'state'));
  try {
    await page.goto(program.address);
    const canvas = page.locator('.plan-canvas');
    const seen = async () => colours(await canvas.screenshot());
    await page.getByRole('button', { name: 'Do not show these again' }).click({ timeout: 5000 }).catch(() => undefined);
    await expect.poll(async () => (await seen()).magenta).toBeGreaterThan(500);
    expect((await seen()).cyan).toBe(0);
    await page.keyboard.press('Alt+1');
    const layers = page.getByRole('group', { name: 'Layers of the plan' });
    await expect(layers.getByRole('checkbox', { name: 'Notes' })).not.toBeChecked();
    await page.screenshot({ path: info.outputPath('layers-before.png') });
    await layers.getByRole('checkbox', { name: 'Furniture' }).click();
    await expect(page.getByRole('button', { name: 'Undo hid layer Furniture of Ground floor' })).toBeEnabled();
    await expect.poll(async () => (await seen()).magenta).toBe(0);
    await layers.getByRole('checkbox', { name: 'Notes' }).click();
    await expect.poll(async () => (await seen()).cyan).toBeGreaterThan(500);
    expect((await seen()).magenta).toBe(0);
    await page.screenshot({ path: info.outputPath('layers-after.png') });
    // Far in, the page itself is drawn: the same layers.
    const box = (await canvas.boundingBox())!;
    const zoom = Math.min((box.width - 72) / 900, (box.height - 72) / 600);
    const at = (x: number, y: number) => ({ x: box.x + box.width / 2 + (x - 450) * zoom, y: box.y + box.height / 2 + (y - 300) * zoom });
    const magenta = at(640, 180);
    await page.mouse.move(magenta.x, magenta.y);
    for (let i = 0; i < 12; i += 1) await page.mouse.wheel(0, -240);
    await page.waitForTimeout(1500);
    expect(await seen()).toEqual({ magenta: 0, cyan: 0 });
    const coming = page.waitForEvent('download');
    await page.keyboard.press('Control+e');
    const pdf = info.outputPath('layers.pdf');
    await (await coming).saveAs(pdf);
    const { stdout } = await run('pdftoppm', ['-r', '72', '-f', '1', '-l', '1', '-png', pdf], { encoding: 'buffer', maxBuffer: 1 << 28 });
    await writeFile(info.outputPath('layers-pdf.png'), stdout);
    const printed = await colours(stdout);
    expect(printed.magenta).toBe(0);
    expect(printed.cyan).toBeGreaterThan(5000);
    await page.keyboard.press('Control+s');
    await expect(page.getByRole('button', { name: /^Project: .*, saved$/ })).toBeVisible();
    const saved = unpackProject(new Uint8Array(await readFile(path)), 'project');
    expect(saved.ok && saved.value.document.sheets[0]?.plan?.layersOff).toEqual(['Furniture']);
    await page.getByRole('button', { name: 'As the file says' }).click();
    await expect(layers.getByRole('checkbox', { name: 'Notes' })).not.toBeChecked();
    await expect(layers.getByRole('checkbox', { name: 'Furniture' })).toBeChecked();
  } finally {
    await stopProgram(program);
    await rm(folder, { recursive: true, force: true });
  }
});
