import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { packProject, sha256, unpackProject } from '../../main/files/plan-file';
import { defaultFacts, planDistance } from '../../shared-core/document/index';
import type { Document, Load, PlanRef, Point, Wall } from '../../shared-core/document/index';
import { feet, sheetUnits } from '../../shared-core/units/index';
import { expect, startProgram, stopProgram, test } from './fixtures';
import { PlanHand } from './plan-hand';

/** The sheet that was photographed: 1200 x 800, its frame 60 by 40 ft at 18 units a foot, two discs 40 ft apart. */
const FRAME = [[60, 40], [1140, 40], [1140, 760], [60, 760]] as const;
const DISCS = { magenta: { x: 240, y: 220 }, cyan: { x: 960, y: 220 } };
const FEET_APART = 40;
/** About as many picture elements as the window shows, so that a click is exact to half of one. */
const PHOTO = { width: 1000, height: 720 };

/** The camera, written out on its own: a sheet point as it was photographed. It stood low and to the left. */
const camera = ({ x, y }: { x: number; y: number }): Point => {
  const w = 1 + 0.00019 * x - 0.00032 * y;
  return { x: sheetUnits((165 + 0.8 * x - 0.18 * y) / w), y: sheetUnits((75 + 0.14 * x + 0.38 * y) / w) };
};

async function photograph(): Promise<Uint8Array> {
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="2400" height="1600" viewBox="0 0 1200 800"><rect width="1200" height="800" fill="#f4f2ea"/><g fill="none" stroke="#222" stroke-width="5"><path d="M60 40H1140V760H60Z"/><path d="M600 40V400M600 480V760M60 520H420M500 520H600M860 40V420H1140"/></g><g font-family="sans-serif" font-size="30" fill="#444"><text x="200" y="330">STORE</text><text x="900" y="620">PRESS HALL</text></g><circle cx="240" cy="220" r="16" fill="#f0f"/><circle cx="960" cy="220" r="16" fill="#0ff"/></svg>`;
  const { data, info } = await sharp(Buffer.from(svg)).removeAlpha().raw().toBuffer({ resolveWithObject: true });
  const picture = Buffer.alloc(PHOTO.width * PHOTO.height * 3, 150);
  // The way back by Cramer's rule, for the camera's two equations in x and y.
  for (let v = 0; v < PHOTO.height; v++) {
    for (let u = 0; u < PHOTO.width; u++) {
      const [px, py] = [u + 0.5, v + 0.5];
      const [a, b, e] = [0.8 - 0.00019 * px, -0.18 + 0.00032 * px, px - 165]; const [c, d, f] = [0.14 - 0.00019 * py, 0.38 + 0.00032 * py, py - 75];
      const det = a * d - b * c;
      const [x, y] = [Math.floor((2 * (e * d - b * f)) / det), Math.floor((2 * (a * f - e * c)) / det)];
      if (x < 0 || y < 0 || x >= info.width || y >= info.height) continue;
      data.copy(picture, (v * PHOTO.width + u) * 3, (y * info.width + x) * 3, (y * info.width + x) * 3 + 3);
    }
  }
  return new Uint8Array(await sharp(picture, { raw: { ...PHOTO, channels: 3 } }).jpeg({ quality: 92, chromaSubsampling: '4:4:4' }).toBuffer());
}

/** Middle of everything of one colour in a picture, its own units. */
async function middleOf(picture: Uint8Array, is: (r: number, g: number, b: number) => boolean): Promise<{ x: number; y: number }> {
  const { data, info } = await sharp(picture).removeAlpha().raw().toBuffer({ resolveWithObject: true });
  let [n, x, y] = [0, 0, 0];
  for (let i = 0; i < data.length; i += 3) if (is(data[i]!, data[i + 1]!, data[i + 2]!)) { n += 1; x += ((i / 3) % info.width) + 0.5; y += Math.floor(i / 3 / info.width) + 0.5; }
  return { x: x / n, y: y / n };
}
const magenta = (r: number, g: number, b: number): boolean => r > 190 && g < 100 && b > 190;
const cyan = (r: number, g: number, b: number): boolean => r < 100 && g > 190 && b > 190;

test('a photographed plan is made flat by four corners, its marks with it, kept in the project, and shown as photographed again', async ({ page }, info) => {
  test.setTimeout(180_000);
  const bytes = await photograph();
  const plan: PlanRef = { blob: sha256(bytes), name: 'print on a table.jpg', media: 'image/jpeg', page: 0, width: sheetUnits(PHOTO.width), height: sheetUnits(PHOTO.height) };
  const motor: Load = { id: 'load-m1', sheet: 'sheet-one', kind: 'load', tag: 'M-1', name: '', at: camera(DISCS.magenta), height: feet(2), standing: feet(0), data: { kind: 'motor' } };
  const wall: Wall = { id: 'wall-one', sheet: 'sheet-one', kind: 'wall', points: [camera({ x: 600, y: 40 }), camera({ x: 600, y: 760 })], thickness: feet(0.3), bottom: feet(0), top: feet(10), material: 'opaque',
    openings: [{ id: 'opening-one', segment: 0, from: planDistance(camera({ x: 600, y: 40 }), camera({ x: 600, y: 400 })), to: planDistance(camera({ x: 600, y: 40 }), camera({ x: 600, y: 480 })), sill: feet(0), head: feet(7), leaf: 'none' }] };
  const document: Document = { formatVersion: 1, facts: { ...defaultFacts(), name: 'Photographed' }, entities: { [motor.id]: motor, [wall.id]: wall },
    sheets: [{ id: 'sheet-one', name: 'Ground floor', plan, width: plan.width, height: plan.height, scale: null, level: { name: '', floor: feet(0) }, fade: 0 }] };
  const folder = await mkdtemp(join(tmpdir(), 'lockstead-flat-'));
  const path = join(folder, 'photographed.lockstead');
  const packed = packProject(document, new Map([[plan.blob, bytes]]));
  if (!packed.ok) throw new Error(packed.problem.what);
  await writeFile(path, packed.value);
  const program = await startProgram([path], join(folder, 'state'));
  try {
    await page.goto(program.address);
    const hand = new PlanHand(page, document);
    await hand.ready();
    await page.getByRole('button', { name: /^Plan/ }).first().click();
    const slant = page.getByRole('region', { name: 'Photographed at a slant' });
    await slant.getByRole('button', { name: 'Pick four corners' }).click();
    // In any order; the last one a little off, then dragged to its place.
    for (const i of [2, 0, 3]) await hand.click(camera({ x: FRAME[i]![0], y: FRAME[i]![1] }));
    await hand.click(camera({ x: 1100, y: 90 }));
    await expect(slant.getByText(/read off the slant/)).toBeVisible();
    await hand.moveTo(camera({ x: 1100, y: 90 }));
    await page.mouse.down();
    await hand.moveTo(camera({ x: FRAME[1][0], y: FRAME[1][1] }));
    await page.mouse.up();
    await slant.getByRole('combobox', { name: /Its sides/ }).click();
    await page.getByRole('option', { name: 'known in the building' }).click();
    for (const [name, length] of [['Across', "60'"], ['Down', "40'"]] as const) {
      const field = slant.getByRole('textbox', { name });
      await field.fill(length);
      await field.press('Enter');
    }
    await expect(slant.getByText('Its 2 marks go along with the picture, and everything is checked again.')).toBeVisible();
    await page.screenshot({ path: info.outputPath('asked.png') });
    await slant.getByRole('button', { name: 'Make it flat' }).click();
    await expect(hand.undo).toHaveAccessibleName('Undo made the plan of Ground floor flat', { timeout: 60_000 });
    await expect(slant.getByText(/Made flat by four corners, good to about ±2/)).toBeVisible();

    const saved = page.waitForResponse((answer) => answer.url().endsWith('/call/saveProject'));
    await page.keyboard.press('Control+s');
    await saved;
    const kept = unpackProject(new Uint8Array(await readFile(path)), 'photographed');
    if (!kept.ok) throw new Error(kept.problem.what);
    const [sheet] = kept.value.document.sheets;
    const flat = kept.value.plans.get(sheet?.plan?.blob ?? '');
    expect([...kept.value.plans.keys()].sort()).toEqual([plan.blob, sheet?.plan?.blob].sort());
    const [from, to] = [await middleOf(flat!, magenta), await middleOf(flat!, cyan)];
    const perUnit = sheet?.scale?.feetPerUnit ?? 0;
    // A known length comes out within half a per cent, and level as it is on the sheet.
    expect(Math.abs((perUnit * Math.hypot(to.x - from.x, to.y - from.y)) / FEET_APART - 1)).toBeLessThan(0.005);
    expect(Math.abs(to.y - from.y) / (to.x - from.x)).toBeLessThan(0.004);
    expect(sheet?.scale?.relativeUncertainty).toBeGreaterThan(0.01);
    const [mark, moved] = [kept.value.document.entities['load-m1'], kept.value.document.entities['wall-one']];
    if (mark?.kind !== 'load' || !mark.at || moved?.kind !== 'wall') throw new Error('marks lost');
    expect(Math.hypot(mark.at.x - from.x, mark.at.y - from.y)).toBeLessThan(1.5);
    expect((moved.openings[0]!.to - moved.openings[0]!.from) * perUnit).toBeCloseTo(80 / 18, 1);

    await page.waitForTimeout(1000);
    await page.mouse.move(5, 5);
    await page.screenshot({ path: info.outputPath('flat.png') });
    await slant.getByRole('button', { name: 'Show the photograph' }).click();
    await expect(hand.undo).toHaveAccessibleName('Undo showed the photograph of Ground floor');
    const seen = async (): Promise<number> => { const box = await hand.canvas.boundingBox(); const at = await middleOf(await hand.canvas.screenshot(), cyan); const wanted = await hand.at(camera(DISCS.cyan)); return Math.hypot(at.x + box!.x - wanted.x, at.y + box!.y - wanted.y); };
    await expect.poll(seen, { timeout: 30_000 }).toBeLessThan(2);
    await page.screenshot({ path: info.outputPath('photograph.png') });
  } finally {
    await stopProgram(program);
    await rm(folder, { recursive: true, force: true });
  }
});
