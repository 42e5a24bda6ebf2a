import { execFile } from 'node:child_process';
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { PDFDocument, rgb } from '@cantoo/pdf-lib';
import sharp from 'sharp';
import { sha256, packProject } from '../../main/files/plan-file';
import { defaultFacts, toSheetPoint } from '../../shared-core/document/index';
import type { Document, PlanRef, Sheet } from '../../shared-core/document/index';
import type { Similarity } from '../../shared-core/geometry/index';
import { feet, sheetUnits } from '../../shared-core/units/index';
import { expect, ROOT, startProgram, stopProgram, test } from './fixtures';
import { PlanHand } from './plan-hand';

const run = promisify(execFile);

/** The plan's own mark: a disc of pure magenta, picture units, y down. */
const DISC = { x: 640, y: 180, radius: 40 };
const SIZE = { width: 900, height: 600 };

async function scan(): Promise<Uint8Array> {
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="900" height="600"><rect width="900" height="600" fill="#fff"/><path d="M60 60H840V540H60Z" fill="none" stroke="#000" stroke-width="6"/><circle cx="${DISC.x}" cy="${DISC.y}" r="${DISC.radius}" fill="#f0f"/></svg>`;
  return new Uint8Array(await sharp(Buffer.from(svg)).png().toBuffer());
}

async function drawn(): Promise<Uint8Array> {
  const pdf = await PDFDocument.create({ updateMetadata: false });
  const page = pdf.addPage([SIZE.width, SIZE.height]);
  page.drawRectangle({ x: 60, y: 60, width: 780, height: 480, borderColor: rgb(0, 0, 0), borderWidth: 6 });
  page.drawCircle({ x: DISC.x, y: SIZE.height - DISC.y, size: DISC.radius, color: rgb(1, 0, 1) });
  return pdf.save({ useObjectStreams: false });
}

/** Middle of everything magenta in a picture, as a share of its own pixels; null when there is none. */
async function middleOfDisc(picture: Buffer): Promise<{ x: number; y: number; width: number; height: number } | null> {
  const { data, info } = await sharp(picture).removeAlpha().raw().toBuffer({ resolveWithObject: true });
  let [n, x, y] = [0, 0, 0];
  for (let i = 0; i < data.length; i += 3) {
    if (data[i]! > 200 && data[i + 1]! < 90 && data[i + 2]! > 200) { n += 1; x += ((i / 3) % info.width) + 0.5; y += Math.floor(i / 3 / info.width) + 0.5; }
  }
  return n === 0 ? null : { x: x / n, y: y / n, width: info.width, height: info.height };
}

const LAYS: readonly (readonly [string, Similarity | undefined])[] = [
  ['as it is', undefined], ['turned by a skew', { scale: 1, turn: -7.3, x: 10, y: 90 }], ['a quarter turned, larger and moved', { scale: 1.25, turn: 90, x: 800, y: -400 }],
];

test('a plan that lies turned, scaled and moved: its mark stands on the same sheet point on screen and in the exported PDF', async ({ page }, info) => {
  test.setTimeout(480_000);
  const files = { scan: await scan(), drawing: await drawn() };
  const sheets = (['scan', 'drawing'] as const).flatMap((kind) => LAYS.map(([how, lay], i): Sheet => {
    const bytes = files[kind];
    const plan: PlanRef = { blob: sha256(bytes), name: 'plan', media: kind === 'scan' ? 'image/png' : 'application/pdf', page: 0, width: sheetUnits(SIZE.width), height: sheetUnits(SIZE.height), unitsPerPaperInch: 72, ...(lay ? { lay } : {}) };
    return { id: `sheet-${kind}${i}`, name: `${kind} ${how}`, plan, width: plan.width, height: plan.height, scale: null, level: { name: '', floor: feet(0) }, fade: 0 };
  }));
  const document: Document = { formatVersion: 1, facts: { ...defaultFacts(), name: 'Laid' }, entities: {}, sheets };
  const folder = await mkdtemp(join(tmpdir(), 'lockstead-lay-'));
  const packed = packProject(document, new Map(Object.values(files).map((bytes) => [sha256(bytes), bytes])));
  if (!packed.ok) throw new Error(packed.problem.what);
  await writeFile(join(folder, 'laid.lockstead'), packed.value);
  await run(process.execPath, ['--import', 'tsx', join(ROOT, 'main/cli/run.ts'), 'export', join(folder, 'laid.lockstead'), '--pdf', join(folder, 'laid.pdf'), '--sections', 'plan'], { cwd: ROOT });
  const program = await startProgram([join(folder, 'laid.lockstead')], folder);
  try {
    await page.goto(program.address);
    const hand = new PlanHand(page, document);
    await hand.ready();
    for (const [i, sheet] of sheets.entries()) {
      if (!sheet.plan) throw new Error('no plan');
      const wanted = toSheetPoint(sheet.plan, DISC);
      await page.getByRole('tab', { name: sheet.name }).click();
      await page.mouse.move(5, 5);
      const box = await hand.canvas.boundingBox();
      const expected = await hand.at(wanted);
      const off = async (): Promise<number> => {
        const seen = await middleOfDisc(await hand.canvas.screenshot());
        return seen && box ? Math.hypot(seen.x + box.x - expected.x, seen.y + box.y - expected.y) : Infinity;
      };
      // Rounding to whole pixels may cost half a pixel each way.
      await expect.poll(off, { message: sheet.name, timeout: 90_000 }).toBeLessThan(0.75);
      await hand.canvas.screenshot({ path: info.outputPath(`screen-${i}.png`) });

      const { stdout } = await run('pdftoppm', ['-r', '144', '-f', String(i + 1), '-l', String(i + 1), '-png', join(folder, 'laid.pdf')], { encoding: 'buffer', maxBuffer: 1 << 28 });
      await writeFile(info.outputPath(`paper-${i}.png`), stdout);
      const printed = await middleOfDisc(stdout);
      // 144 picture elements an inch are two a point. The sheet starts at the page's upper left corner.
      const perUnit = 2 / (sheet.plan.lay?.scale ?? 1);
      expect((printed?.x ?? 0) / perUnit, sheet.name).toBeCloseTo(wanted.x, 0);
      expect((printed?.y ?? 0) / perUnit, sheet.name).toBeCloseTo(wanted.y, 0);
    }
    // The drawings stay lines: the file's only picture is the scan.
    const { stdout: images } = await run('pdfimages', ['-list', join(folder, 'laid.pdf')]);
    const onPages = images.trim().split('\n').slice(2).map((line) => line.trim().split(/\s+/)[0]);
    expect(new Set(onPages)).toEqual(new Set(['1', '2', '3']));
  } finally {
    await stopProgram(program);
    await rm(folder, { recursive: true, force: true });
  }
});

/** Patches of known grey on the plan, in a row; picture units. */
const GREYS = [0, 96, 160, 232, 255];
const patchAt = (i: number): { x: number; y: number } => ({ x: 150 + 140 * i, y: 300 });

test('contrast, fade and exchanged light and dark look the same on screen and in the exported PDF, scan or drawing', async ({ page }, info) => {
  test.setTimeout(480_000);
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="900" height="600"><rect width="900" height="600" fill="#fff"/>${GREYS.map((g, i) => `<rect x="${patchAt(i).x - 50}" y="250" width="100" height="100" fill="rgb(${g},${g},${g})"/>`).join('')}</svg>`;
  const pdf = await PDFDocument.create({ updateMetadata: false });
  const leaf = pdf.addPage([SIZE.width, SIZE.height]);
  // The white patch is left out: unpainted paper must come out like painted.
  GREYS.slice(0, -1).forEach((g, i) => { leaf.drawRectangle({ x: patchAt(i).x - 50, y: 250, width: 100, height: 100, color: rgb(g / 255, g / 255, g / 255) }); });
  const files = { scan: new Uint8Array(await sharp(Buffer.from(svg)).png().toBuffer()), drawing: await pdf.save({ useObjectStreams: false }) };
  const looks: readonly (readonly [string, PlanRef['look'], number])[] = [['inverted', { inverted: true }, 0], ['strong', { contrast: 1 }, 0], ['all', { inverted: true, contrast: 0.5 }, 0.4], ['faint', undefined, 0.5]];
  const sheets = (['scan', 'drawing'] as const).flatMap((kind) => looks.map(([name, look, fade]): Sheet => ({
    id: `sheet-${kind}-${name}`, name: `${kind} ${name}`, width: sheetUnits(SIZE.width), height: sheetUnits(SIZE.height), scale: null, level: { name: '', floor: feet(0) }, fade,
    plan: { blob: sha256(files[kind]), name: 'plan', media: kind === 'scan' ? 'image/png' : 'application/pdf', page: 0, width: sheetUnits(SIZE.width), height: sheetUnits(SIZE.height), unitsPerPaperInch: 72, ...(look ? { look } : {}) },
  })));
  const document: Document = { formatVersion: 1, facts: { ...defaultFacts(), name: 'Looks' }, entities: {}, sheets };
  const folder = await mkdtemp(join(tmpdir(), 'lockstead-look-'));
  const packed = packProject(document, new Map(Object.values(files).map((bytes) => [sha256(bytes), bytes])));
  if (!packed.ok) throw new Error(packed.problem.what);
  await writeFile(join(folder, 'looks.lockstead'), packed.value);
  await run(process.execPath, ['--import', 'tsx', join(ROOT, 'main/cli/run.ts'), 'export', join(folder, 'looks.lockstead'), '--pdf', join(folder, 'looks.pdf'), '--sections', 'plan'], { cwd: ROOT });
  // ISO 32000-1, 11.3.5.2: difference |b - s|, dodge min(1, b / (1 - s)), burn 1 - min(1, (1 - b) / s); then paper over it.
  const expected = (grey: number, look: PlanRef['look'], fade: number): number => {
    const contrast = look?.contrast ?? 0;
    let b = grey / 255;
    if (look?.inverted) b = 1 - b;
    if (contrast > 0) { b = Math.min(1, b / (1 - 0.12 * contrast)); b = 1 - Math.min(1, (1 - b) / (1 - 0.6 * contrast)); }
    return 255 * (b * (1 - fade) + fade);
  };
  const greyAt = async (picture: Buffer, x: number, y: number): Promise<number> => {
    const { data } = await sharp(picture).removeAlpha().greyscale().extract({ left: Math.round(x) - 2, top: Math.round(y) - 2, width: 4, height: 4 }).raw().toBuffer({ resolveWithObject: true });
    return data.reduce((sum, value) => sum + value, 0) / data.length;
  };
  const program = await startProgram([join(folder, 'looks.lockstead')], folder);
  try {
    await page.goto(program.address);
    const hand = new PlanHand(page, document);
    await hand.ready();
    for (const [i, sheet] of sheets.entries()) {
      const [, look, fade] = looks[i % looks.length]!;
      await page.getByRole('tab', { name: sheet.name }).click();
      await page.mouse.move(5, 5);
      const box = await hand.canvas.boundingBox();
      const worstOnScreen = async (): Promise<number> => {
        const shot = await hand.canvas.screenshot();
        const off = await Promise.all(GREYS.map(async (grey, n) => { const at = await hand.at(patchAt(n)); return Math.abs(await greyAt(shot, at.x - (box?.x ?? 0), at.y - (box?.y ?? 0)) - expected(grey, look, fade)); }));
        return Math.max(...off);
      };
      await expect.poll(worstOnScreen, { message: sheet.name, timeout: 90_000 }).toBeLessThan(4);
      await hand.canvas.screenshot({ path: info.outputPath(`look-screen-${i}.png`) });
      const { stdout } = await run('pdftoppm', ['-r', '72', '-f', String(i + 1), '-l', String(i + 1), '-png', join(folder, 'looks.pdf')], { encoding: 'buffer', maxBuffer: 1 << 28 });
      await writeFile(info.outputPath(`look-${i}.png`), stdout);
      for (const [n, grey] of GREYS.entries()) expect(Math.abs(await greyAt(stdout, patchAt(n).x, patchAt(n).y) - expected(grey, look, fade)), `${sheet.name}, grey ${grey} on paper`).toBeLessThan(4);
    }
  } finally {
    await stopProgram(program);
    await rm(folder, { recursive: true, force: true });
  }
});
