import { existsSync } from 'node:fs';
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium } from '@playwright/test';
import type { Page } from '@playwright/test';
import { packProject } from '../../main/files/plan-file';
import type { Document } from '../../shared-core/document/index';
import { ROOT, startProgram, stopProgram } from '../app/fixtures';
import { atMost, percentile } from './bench-row';
import type { BenchRow } from './bench-row';
import { manyWalls } from './canvas-plan';

/**
 * The built program in Chromium, drawing by software: what one frame takes while a hand pans, zooms and drags a
 * disconnect that serves three loads, its lines checked in each frame. The page itself records its frames. A screen that
 * shows 60 frames a second gives 16.7 ms at best, so a figure near that means no frame was missed.
 */
export async function* rows(): AsyncGenerator<BenchRow> {
  if (!existsSync(join(ROOT, 'dist/main/host.js'))) throw new Error('The canvas is measured in the built program: run npm run build first.');
  for (const count of [1000, 10_000, 100_000]) {
    const document = manyWalls(count);
    const figures = await measure(document);
    const walls = `${count / 1000}k walls`;
    // 50 frames a second up to 10,000 walls. Medians: what else the machine does at the time shows in the tail.
    yield atMost(`canvas: drag a disconnect, ${walls}, median frame`, 'ms', figures.drag, count > 10_000 ? 100 : 20);
    yield atMost(`canvas: pan at reading size, ${walls}, median frame`, 'ms', figures.panNear, count > 10_000 ? 50 : 20);
    yield atMost(`canvas: pan the whole sheet, ${walls}, median frame`, 'ms', figures.panWhole, count > 10_000 ? 100 : 20);
    yield atMost(`canvas: longest hold of the window while the project is opened, ${walls}, processor time`, 'ms', figures.opening, 100);
    yield atMost(`canvas: longest hold of the window through an edit and its undo, audits and all, ${walls}, processor time`, 'ms', figures.editing, count > 10_000 ? 100 : 66);
    yield atMost(`canvas: longest hold of the window while a mark is first chosen, its pane and sight line shown, ${walls}, processor time`, 'ms', figures.choosing, 100);
    yield atMost(`canvas: longest hold of the window through a drag and a rest, ${walls}, processor time`, 'ms', figures.hold, count > 10_000 ? 66 : 33);
    yield atMost(`canvas: zoom from whole sheet to reading size, ${walls}, median frame`, 'ms', figures.zoom, count > 10_000 ? 100 : 20);
  }
}

/** What the window brings a single mark to. */
const PIXELS_A_FOOT = 14;

interface Figures { readonly drag: number; readonly panNear: number; readonly panWhole: number; readonly zoom: number; readonly opening: number; readonly choosing: number; readonly editing: number; readonly hold: number }

async function measure(document: Document): Promise<Figures> {
  const folder = await mkdtemp(join(tmpdir(), 'lockstead-bench-'));
  const packed = packProject(document, new Map());
  if (!packed.ok) throw new Error(packed.problem.what);
  await writeFile(join(folder, 'many.lockstead'), packed.value);
  const program = await startProgram([join(folder, 'many.lockstead')], folder);
  const browser = await chromium.launch({ executablePath: process.env['LOCKSTEAD_CHROMIUM'] ?? '/usr/bin/chromium', args: process.getuid?.() === 0 ? ['--no-sandbox'] : [] });
  try {
    const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
    const openingEnds = await watchTasks(page);
    await page.goto(program.address);
    await page.locator('.plan-canvas').waitFor({ timeout: 120_000 });
    await page.getByRole('button', { name: 'Do not show these again' }).click({ timeout: 3000 }).catch(() => undefined);
    // The first audit has come when the rail counts findings.
    await page.getByText('not checked yet').waitFor({ state: 'detached', timeout: 120_000 });
    // What a project waits for after it is shown belongs to its opening: the scene of its sheet is prepared.
    await page.waitForTimeout(1000 + Object.keys(document.entities).length / 20);
    const opening = await openingEnds();
    return { opening, ...await drive(page, document) };
  } finally {
    await browser.close();
    await stopProgram(program);
    await rm(folder, { recursive: true, force: true });
  }
}

async function drive(page: Page, document: Document): Promise<Omit<Figures, 'opening'>> {
  const canvas = page.locator('.plan-canvas');
  const box = await canvas.boundingBox();
  const load = document.entities['load-0']; const device = document.entities['disconnect-0'];
  if (!box || device?.kind !== 'disconnect' || load?.kind !== 'load' || !load.at) throw new Error('the plan is not shown');
  const x = box.x + box.width / 2; const y = box.y + box.height / 2;
  await page.mouse.move(x, y);
  const panWhole = await frames(page, () => pan(page, x, y));
  const zoom = await frames(page, async () => {
    await page.mouse.move(x, y);
    for (let i = 0; i < 16; i += 1) { await page.mouse.wheel(0, -100); await page.waitForTimeout(17); }
  });
  await canvas.press('0');
  await page.waitForTimeout(2000);
  const choosingEnds = await watchTasks(page);
  // The first mark in reading order is brought to the middle, at the zoom at which marks are read: 14 pixels a foot.
  await canvas.press('Tab');
  await page.waitForTimeout(2000);
  const choosing = await choosingEnds();
  const editingEnds = await watchTasks(page);
  await canvas.press('ArrowRight');
  await page.waitForTimeout(3000);
  await page.keyboard.press('Control+z');
  await page.waitForTimeout(3000);
  const editing = await editingEnds();
  const panNear = await frames(page, () => pan(page, x, y));
  const pixels = PIXELS_A_FOOT * (document.sheets[0]?.scale?.feetPerUnit ?? 1);
  // The notes of a first start may have taken some of the window since: where the plan lies is asked again.
  const now = await canvas.boundingBox() ?? box;
  const startX = now.x + now.width / 2 + (device.at.x - load.at.x) * pixels; const startY = now.y + now.height / 2 + (device.at.y - load.at.y) * pixels;
  await page.mouse.move(startX, startY);
  await page.mouse.down();
  await page.mouse.move(startX + 12, startY + 12);
  await page.waitForTimeout(2000);
  const dragEnds = await watchTasks(page);
  const drag = await frames(page, async () => { for (let i = 0; i < 120; i += 1) await page.mouse.move(startX + 200 * Math.sin(i / 15), startY + 150 * Math.cos(i / 20)); });
  await page.waitForTimeout(1500);
  const hold = await dragEnds();
  const said = await page.getByTestId('plan-said').textContent();
  await page.mouse.up();
  // A drag that missed its mark, or was not checked, would be fast for nothing.
  if (!/^DS-100: M-100 (pass|fail|marginal|judgement)/.test(said ?? '')) throw new Error(`the disconnect was not dragged and checked: '${said ?? ''}'`);
  return { drag: percentile(drag, 0.5), panNear: percentile(panNear, 0.5), panWhole: percentile(panWhole, 0.5), zoom: percentile(zoom, 0.5), choosing, editing, hold };
}

interface Traced { readonly name: string; readonly pid: number; readonly tid: number; readonly tdur?: number; readonly args?: { readonly name?: string } }

/** From now on, how long the window's own thread worked without letting anything else through: the longest, milliseconds of processor time. */
async function watchTasks(page: Page): Promise<() => Promise<number>> {
  const protocol = await page.context().newCDPSession(page); const events: Traced[] = [];
  protocol.on('Tracing.dataCollected', ({ value }) => { events.push(...value as unknown as Traced[]); });
  await protocol.send('Tracing.start', { traceConfig: { includedCategories: ['toplevel', '__metadata'] } });
  return async () => {
    const done = new Promise((resolve) => { protocol.once('Tracing.tracingComplete', resolve); });
    await protocol.send('Tracing.end');
    await done;
    const own = new Set(events.filter((e) => e.name === 'thread_name' && e.args?.name === 'CrRendererMain').map((e) => `${e.pid} ${e.tid}`));
    const tasks = events.filter((e) => own.has(`${e.pid} ${e.tid}`) && e.name.endsWith('RunTask') && e.tdur !== undefined);
    if (tasks.length === 0) throw new Error('the browser told nothing of its tasks');
    return Math.max(...tasks.map((e) => (e.tdur ?? 0) / 1000));
  };
}

/** There and back again, so that the view ends where it began. */
async function pan(page: Page, x: number, y: number): Promise<void> {
  await page.mouse.move(x, y);
  await page.mouse.down({ button: 'middle' });
  for (let i = 1; i <= 80; i += 1) await page.mouse.move(x + 150 * Math.sin((i / 80) * 2 * Math.PI), y + 100 * Math.sin((i / 40) * 2 * Math.PI));
  await page.mouse.move(x, y);
  await page.mouse.up({ button: 'middle' });
}

/** Milliseconds between the frames that the page itself sees while something is done. */
async function frames(page: Page, run: () => Promise<void>): Promise<number[]> {
  await page.evaluate('(() => { const own = globalThis.seenFrames = []; requestAnimationFrame(function tick(time) { if (globalThis.seenFrames !== own) return; own.push(time); requestAnimationFrame(tick); }); })()');
  await run();
  const times = await page.evaluate<number[]>('(() => { const seen = globalThis.seenFrames; globalThis.seenFrames = null; return seen; })()');
  return times.slice(1).map((time, i) => time - (times[i] ?? time));
}
