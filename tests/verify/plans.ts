import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { endIdleJobs } from '../../main/exchange/index';
import { createServices } from '../../main/services';
import type { Services } from '../../main/services';
import type { HostOutput, Problem } from '../../shared-core/host-api';
import { checkDrawing, compared } from './plans-drawing';
import { comparePicture, likenesses } from './plans-picture';
import type { Identify, ManifestEntry, Opened, Page, Plan } from './plans-types';

/** Limits stated for each file: opening all its pages may take this long; memory is limited to 1.5 GB by the job itself. */
const SECONDS_PER_FILE = 90;
const OWN_MEMORY = 1.5e9;
const MOST_PAGES = 3;

/** Opens every file of a manifest through the product's services and compares it with what independent tools said of it. */
export async function run(paths: string[]): Promise<{ passed: number; failed: number }> {
  const total = { passed: 0, failed: 0 };
  const folder = mkdtempSync(join(tmpdir(), 'lockstead-plans-'));
  const services = createServices({ runsIn: 'browser', version: 'verify', stateFolder: folder, startPath: null, startIsTemplate: false, dialogs: null });
  if (spawnSync('pdftoppm', ['-v']).error) console.log('pdftoppm is not installed: PDF pictures are not compared');
  for (const path of paths) {
    const manifest = JSON.parse(readFileSync(path, 'utf8')) as { files: ManifestEntry[] };
    const started = performance.now();
    let slowest = { file: '', seconds: 0 };
    for (const entry of manifest.files) {
      const since = performance.now();
      const faults = await checkFile(services, dirname(path), entry).catch((fault: unknown) => [`the check itself fell over: ${String(fault)}`]);
      const seconds = (performance.now() - since) / 1000;
      if (seconds > slowest.seconds) slowest = { file: entry.file, seconds };
      if (seconds > SECONDS_PER_FILE) faults.push(`took ${seconds.toFixed(0)} s, the limit is ${SECONDS_PER_FILE} s`);
      if (process.memoryUsage.rss() > OWN_MEMORY) faults.push(`the services hold ${(process.memoryUsage.rss() / 1e6).toFixed(0)} MB`);
      total[faults.length === 0 ? 'passed' : 'failed']++;
      for (const fault of faults) console.log(`${entry.file}: ${fault}`);
    }
    console.log(`${manifest.files.length} files in ${((performance.now() - started) / 1000).toFixed(0)} s; slowest ${slowest.file} ${slowest.seconds.toFixed(1)} s; limits ${SECONDS_PER_FILE} s and 1500 MB a file; services hold ${(process.memoryUsage.rss() / 1e6).toFixed(0)} MB`);
  }
  for (const [form, values] of likenesses) console.log(`${form}: ${values.length} pictures like another renderer's by ${Math.min(...values).toFixed(3)} at least, ${(values.reduce((sum, v) => sum + v, 0) / values.length).toFixed(3)} in the mean`);
  console.log(`drawings: ${[...compared].map(([what, count]) => `${count} ${what}`).join(', ')} compared with another reader`);
  endIdleJobs();
  rmSync(folder, { recursive: true, force: true });
  return total;
}

async function openAll({ calls }: Services, name: string, bytes: Uint8Array, password?: string): Promise<Opened | Problem> {
  const offered = await calls.offerFile({ name, bytes });
  if (!offered.ok || !offered.value) return offered.ok ? { code: 'none', what: '', todo: '' } : offered.problem;
  const plan = await calls.inspectPlan({ file: offered.value.file, ...(password === undefined ? {} : { password }) });
  if (!plan.ok) return plan.problem;
  const pyramids: HostOutput<'openPlan'>[] = [];
  for (const { page } of plan.value.pages.slice(0, MOST_PAGES)) {
    const pyramid = await calls.openPlan({ blob: plan.value.blob, page });
    if (!pyramid.ok) return pyramid.problem;
    pyramids.push(pyramid.value);
  }
  return {
    plan: plan.value, pyramids,
    tile: async (page, level, column, row) => {
      const tile = await calls.planTile({ blob: plan.value.blob, page, level, column, row });
      return tile.ok ? tile.value.bytes : null;
    },
  };
}

const isProblem = (outcome: Opened | Problem): outcome is Problem => 'code' in outcome;

async function checkFile(services: Services, folder: string, entry: ManifestEntry): Promise<string[]> {
  const bytes = new Uint8Array(readFileSync(join(folder, entry.file)));
  const outcome = await openAll(services, entry.file, bytes);
  const faults = checkOutcome(outcome, entry);
  let opened = isProblem(outcome) ? null : outcome;
  if (entry.password) {
    const unlocked = await openAll(services, entry.file, bytes, entry.password);
    if (isProblem(unlocked)) faults.push(`does not open with its password: ${unlocked.code}`); else opened = unlocked;
  }
  if (opened) {
    faults.push(...checkFacts(opened, entry), ...await checkTiles(opened), ...await comparePicture(opened, entry, bytes, join(folder, entry.file)));
    if (opened.plan.media === 'image/vnd.dxf') faults.push(...checkDrawing(opened.plan, entry, bytes));
  }
  return faults;
}

/** 'opens', 'clear error' and what lies between them, in the manifest's words. */
function checkOutcome(outcome: Opened | Problem, { expected_outcome: wish }: ManifestEntry): string[] {
  if (isProblem(outcome)) {
    const faults: string[] = [];
    if (wish.startsWith('asks for the password') ? outcome.code !== 'password-needed' : !wish.includes('clear error')) faults.push(`${outcome.code}, but should be: ${wish}`);
    if (outcome.what.length < 20 || outcome.todo.length < 10) faults.push(`the problem ${outcome.code} is not explained`);
    if (['reader-stopped', 'took-too-long', 'needs-too-much-memory'].includes(outcome.code)) faults.push(`refused only by its limits: ${outcome.code}`);
    return faults;
  }
  if (wish.startsWith('asks for')) return ['opened without its password'];
  const warned = outcome.plan.pages.some((page) => page.warnings.length > 0) || outcome.pyramids.some((pyramid) => pyramid.warnings.length > 0);
  if (wish.includes('warning') && !warned) return [`opened without a warning, but should be: ${wish}`];
  if (wish.startsWith('clear error') && !wish.includes('warning') && !wish.includes(' or ')) return [`opened, but should be: ${wish}`];
  return [];
}

const near = (a: number, b: number, within: number): boolean => Math.abs(a - b) <= within;

function checkFacts({ plan }: Opened, entry: ManifestEntry): string[] {
  const { identify, pdfinfo } = entry.verified;
  const faults: string[] = [];
  if (identify?.size_px && plan.media !== 'application/pdf') faults.push(...checkRaster(plan, entry, identify));
  if (pdfinfo) faults.push(...checkPdf(plan, entry, pdfinfo));
  const shown = /(?:shown size|;)\s*(\d+) x (\d+) (?:px|pt)(?: shown)?/.exec(entry.what);
  const first = plan.pages[0]!;
  if (shown && !(near(first.width, Number(shown[1]), 0.6) && near(first.height, Number(shown[2]), 0.6))) faults.push(`shown size ${first.width} x ${first.height}, should be ${shown[1]} x ${shown[2]}`);
  const { calibration } = entry;
  if (calibration?.dpi && !near(first.unitsPerPaperInch ?? 0, calibration.dpi, 0.5)) faults.push(`${first.unitsPerPaperInch} per inch, should be ${calibration.dpi}`);
  const print = Number(/^1:(\d+)$/.exec(calibration?.print_scale ?? '')?.[1]);
  const perMetre = calibration?.points_per_metre ?? (plan.media === 'application/pdf' ? undefined : calibration?.pixels_per_metre);
  if (print && perMetre && first.unitsPerPaperInch && !near(first.unitsPerPaperInch / 0.0254 / print / perMetre, 1, 0.003)) faults.push(`1:${print} gives ${first.unitsPerPaperInch / 0.0254 / print} units per metre, should be ${perMetre}`);
  return faults;
}

/** Clockwise turn and mirror that make each stored orientation upright. */
const ORIENTATIONS: Record<string, [number, boolean]> = { Undefined: [0, false], TopLeft: [0, false], TopRight: [0, true], BottomRight: [180, false], BottomLeft: [180, true], RightTop: [90, false], LeftBottom: [270, false] };

function checkRaster(plan: Plan, entry: ManifestEntry, identify: Identify): string[] {
  const faults: string[] = [];
  const frames = plan.media === 'image/tiff' ? identify.frames ?? 1 : 1;
  if (plan.pages.length !== frames && !entry.expected_outcome.includes('finite page count')) faults.push(`${plan.pages.length} pages, should be ${frames}`);
  plan.pages.forEach((page, i) => {
    const [width, height] = (plan.media === 'image/tiff' ? identify.frame_sizes_px?.[i] : undefined) ?? identify.size_px!;
    if (page.stored.width !== width || page.stored.height !== height) faults.push(`page ${i} is stored as ${page.stored.width} x ${page.stored.height}, should be ${width} x ${height}`);
  });
  const { stored } = plan.pages[0]!;
  const [turned, mirrored] = ORIENTATIONS[identify.orientation ?? 'Undefined'] ?? [0, false];
  if (stored.turned !== turned || stored.mirrored !== mirrored) faults.push(`turned by ${stored.turned}${stored.mirrored ? ', mirrored' : ''}, should be ${turned}${mirrored ? ', mirrored' : ''}`);
  const factor = identify.resolution_unit === 'PixelsPerInch' ? 1 : identify.resolution_unit === 'PixelsPerCentimeter' ? 2.54 : 0;
  // Tools fill in 72 where a TIFF or a JPEG says nothing; a resolution below 10 is a placeholder.
  const [x, y] = (identify.resolution ?? [0, 0]).map((value) => value * factor) as [number, number];
  if (stored.unitsPerInch) {
    if (factor === 0) faults.push(`states ${stored.unitsPerInch.join(' x ')} per inch, but the file states no unit`);
    else if (!near(stored.unitsPerInch[0] / x, 1, 0.006) || !near(stored.unitsPerInch[1] / y, 1, 0.006)) faults.push(`states ${stored.unitsPerInch.join(' x ')} per inch, should be ${x} x ${y}`);
  } else if (factor > 0 && x >= 10 && !(x === 72 && y === 72)) faults.push(`states no resolution, should be ${x} x ${y}`);
  return faults;
}

function checkPdf(plan: Plan, entry: ManifestEntry, pdfinfo: NonNullable<ManifestEntry['verified']['pdfinfo']>): string[] {
  const faults: string[] = [];
  if (plan.pages.length !== pdfinfo.pages) faults.push(`${plan.pages.length} pages, should be ${pdfinfo.pages}`);
  const unit = entry.verified.userunit ?? 1;
  pdfinfo.page_sizes_pt.forEach(([width, height], i) => {
    const page: Page | undefined = plan.pages[i];
    const rotation = pdfinfo.rotations[i] ?? 0;
    if (!page) return;
    const [w, h] = rotation % 180 === 0 ? [width * unit, height * unit] : [height * unit, width * unit];
    if (!near(page.stored.width, width, 0.01) || !near(page.stored.height, height, 0.01)) faults.push(`page ${i} is stored as ${page.stored.width} x ${page.stored.height} pt, should be ${width} x ${height}`);
    if (page.stored.turned !== rotation) faults.push(`page ${i} is turned by ${page.stored.turned}, should be ${rotation}`);
    if (!near(page.width, w, 0.02 * unit) || !near(page.height, h, 0.02 * unit)) faults.push(`page ${i} is ${page.width} x ${page.height} upright, should be ${w} x ${h}`);
  });
  entry.calibration?.viewports?.forEach(({ bbox_pt: [x1, y1, x2, y2], feet_per_point: feet }, i) => {
    const scale = plan.pages[0]!.scales[i];
    const box = [x1!, plan.pages[0]!.height - y2!, x2! - x1!, y2! - y1!];
    if (!scale?.feetPerUnit || !near(scale.feetPerUnit / feet, 1, 1e-4)) faults.push(`viewport ${i}: ${scale?.feetPerUnit} ft a point, should be ${feet}`);
    else if (!scale.box.every((value, k) => near(value, box[k]!, 0.01))) faults.push(`viewport ${i} holds in ${scale.box.join(' ')}, should be ${box.join(' ')}`);
  });
  if (entry.what.includes('unit strings are blank') && plan.pages[0]!.scales.some((scale) => scale.feetPerUnit !== null)) faults.push('a blank unit was taken for one');
  if (entry.what.includes('one OFF by default') && plan.pages[0]!.layers.map((layer) => layer.visible).join() !== 'true,false,true') faults.push('the layers are not on, off, on');
  return faults;
}

/** Every tile of every level is there; the levels have the size they should. */
async function checkTiles({ plan, pyramids, tile }: Opened): Promise<string[]> {
  const faults: string[] = [];
  for (const [i, pyramid] of pyramids.entries()) {
    const page = plan.pages[i]!;
    const finest = pyramid.levels[0]!;
    if (!near(finest.width / finest.height / (page.width / page.height), 1, 2 / Math.min(finest.width, finest.height))) faults.push(`page ${i}: the picture is ${finest.width} x ${finest.height}, the sheet ${page.width} x ${page.height}`);
    if (['image/png', 'image/jpeg', 'image/webp', 'image/tiff'].includes(plan.media) && (finest.width !== page.width || finest.height !== page.height)) faults.push(`page ${i}: the finest level has not the size of the picture`);
    for (const [number, level] of pyramid.levels.entries()) {
      for (let row = 0; row < Math.ceil(level.height / pyramid.tile); row++) for (let column = 0; column < Math.ceil(level.width / pyramid.tile); column++) {
        if (!await tile(page.page, number, column, row)) faults.push(`page ${i}: tile ${number}/${column}/${row} is missing`);
      }
    }
  }
  return faults;
}
