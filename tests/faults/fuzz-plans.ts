import { copyFileSync, existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import ExcelJS from 'exceljs';
import { unzipSync, zipSync } from 'fflate';
import { createServices } from '../../main/services';
import type { HostServices, Outcome } from '../../shared-core/host-api';
import { planMedia } from '../../shared-core/exchange/index';
import { planPdf, planPicture } from '../services/plan-files';

/** Numbers that look random and come again with the same seed (a linear congruential generator modulo 2^32). */
export function randomNumbers(seed: number): () => number {
  let state = seed >>> 0;
  return () => { state = (Math.imul(state, 1664525) + 1013904223) >>> 0; return state / 2 ** 32; };
}

const text = (value: string): Uint8Array => new TextEncoder().encode(value);

/** A few sound files of every form, generated. */
async function generated(): Promise<Record<string, Uint8Array[]>> {
  const bytes = async (picture: { toBuffer(): Promise<Buffer> }): Promise<Uint8Array> => new Uint8Array(await picture.toBuffer());
  const group = (pairs: [number, string | number][]): string => pairs.map(([code, value]) => `${code}\n${value}\n`).join('');
  const drawing = group([[0, 'SECTION'], [2, 'BLOCKS'], [0, 'BLOCK'], [2, 'B'], [10, 0], [20, 0], [0, 'CIRCLE'], [8, '0'], [10, 1], [20, 1], [40, 2], [0, 'ENDBLK'], [0, 'ENDSEC'], [0, 'SECTION'], [2, 'ENTITIES'],
    [0, 'LINE'], [8, 'A-WALL'], [10, 0], [20, 0], [11, 10], [21, 5], [0, 'LWPOLYLINE'], [8, '0'], [70, 1], [10, 0], [20, 0], [42, 0.5], [10, 5], [20, 0], [10, 5], [20, 5],
    [0, 'INSERT'], [8, '0'], [2, 'B'], [10, 5], [20, 5], [41, 2], [70, 2], [71, 2], [44, 3], [45, 3], [0, 'MTEXT'], [8, '0'], [10, 1], [20, 1], [40, 0.5], [1, 'PRESS HALL\\P{\\fx;1}'],
    [0, 'SPLINE'], [8, '0'], [71, 2], [40, 0], [40, 0], [40, 0], [40, 1], [40, 1], [40, 1], [10, 0], [20, 0], [10, 5], [20, 9], [10, 9], [20, 0],
    [0, 'HATCH'], [8, '0'], [70, 0], [91, 1], [92, 2], [72, 0], [73, 1], [93, 3], [10, 0], [20, 0], [10, 9], [20, 0], [10, 9], [20, 9], [78, 1], [53, 45], [43, 0], [44, 0], [45, 0], [46, 1], [79, 0], [0, 'ENDSEC'], [0, 'EOF']]);
  return {
    png: [await bytes(planPicture(120, 80).png()), await bytes(planPicture(60, 40).png({ palette: true, progressive: true }))],
    jpeg: [await bytes(planPicture(120, 80).jpeg()), await bytes(planPicture(60, 40).jpeg({ progressive: true }).withMetadata({ orientation: 6 }))],
    webp: [await bytes(planPicture(120, 80).webp()), await bytes(planPicture(60, 40).webp({ lossless: true }))],
    tiff: [await bytes(planPicture(120, 80).tiff({ compression: 'lzw' })), await bytes(planPicture(60, 40).toColourspace('b-w').tiff({ compression: 'ccittfax4', bitdepth: 1 })), await bytes(planPicture(120, 80).tiff({ compression: 'jpeg', tile: true, tileWidth: 64, tileHeight: 64 }))],
    pdf: [await planPdf({ size: [120, 80] }), await planPdf({ size: [80, 60], pages: 2 })],
    dxf: [text(drawing)],
    svg: [text('<svg xmlns="http://www.w3.org/2000/svg" width="120" height="80"><g transform="scale(2)"><path d="M0 0L20 20C3 4 5 6 7 8Z"/><text x="4" y="9">A</text><use href="#a"/></g><rect id="a" width="9" height="9"/></svg>')],
  };
}

const ROWS = [['Tag', 'Description', 'HP', 'Volts', 'Phase', 'MCA/MOCP'], ['P-301', 'pump, "spare"', '7 1/2', '480/277', '3 ph', '22/40'], ['AC-2', 'unit', '', '208', '1', '18.4/30']];

/** One hour of making for every file, so that the same seed spoils the same bytes. */
const MADE = new Date(Date.UTC(2026, 0, 5));

/** Equipment lists: a spreadsheet, and text in the separators people use. */
async function lists(): Promise<Record<string, Uint8Array[]>> {
  const book = new ExcelJS.Workbook();
  Object.assign(book, { created: MADE, modified: MADE });
  const sheet = book.addWorksheet('Loads');
  for (const row of ROWS) sheet.addRow(row);
  sheet.addRow([new Date(Date.UTC(2026, 0, 5)), { formula: 'A2', result: 'P-301' }, 7.5, 480, 3, { richText: [{ text: '22' }, { text: '/40', font: { bold: true } }] }]);
  const quoted = (cell: string): string => `"${cell.replaceAll('"', '""')}"`;
  return {
    xlsx: [zipSync(unzipSync(new Uint8Array(await book.xlsx.writeBuffer())), { mtime: MADE })],
    csv: [text(ROWS.map((row) => row.map(quoted).join(',')).join('\r\n')), text(ROWS.map((row) => row.join('\t')).join('\n')), text(`\ufeff${ROWS.map((row) => row.join(';')).join('\n')}`)],
  };
}

const LISTS = ['xlsx', 'csv'];

/** Brings one spoiled file in as the window would. */
async function bringIn(calls: HostServices, form: string, bytes: Uint8Array): Promise<Outcome<unknown>> {
  const offered = await calls.offerFile({ name: LISTS.includes(form) ? `spoiled.${form}` : 'spoiled', bytes });
  if (!offered.ok || offered.value === null) return offered;
  const { file } = offered.value;
  if (LISTS.includes(form)) return calls.readList({ file });
  const plan = await calls.inspectPlan({ file });
  return plan.ok ? calls.openPlan({ blob: plan.value.blob, page: plan.value.pages[0]!.page }) : plan;
}

const DEMO = fileURLToPath(new URL('../../assets/demo/cider-works.lockstead', import.meta.url));

/** The program with a project open, and what of that project must not change. */
async function openProgram(): Promise<{ readonly calls: HostServices; readonly projectState: () => Promise<string>; close(): void }> {
  const folder = mkdtempSync(join(tmpdir(), 'lockstead-fuzz-'));
  const path = join(folder, 'works.lockstead');
  copyFileSync(DEMO, path);
  const services = createServices({ runsIn: 'browser', version: '0', stateFolder: folder, startPath: path, startIsTemplate: false, dialogs: null });
  return {
    calls: services.calls,
    projectState: async () => {
      const now = await services.calls.start({});
      if (!now.ok) throw new Error('the open project is gone');
      const saved = await services.calls.saveProject({ project: now.value.opened.project, document: now.value.opened.document, as: false });
      return JSON.stringify([now.value.opened.document, services.hasUnsavedWork(), saved.ok, Buffer.from(readFileSync(path)).toString('base64')]);
    },
    close: () => { rmSync(folder, { recursive: true, force: true }); },
  };
}

const FORM: Readonly<Record<string, string>> = { 'image/png': 'png', 'image/jpeg': 'jpeg', 'image/webp': 'webp', 'image/tiff': 'tiff', 'application/pdf': 'pdf', 'image/vnd.dxf': 'dxf', 'image/svg+xml': 'svg' };
const SHARED = process.env['PLANS_FOLDER'] ?? fileURLToPath(new URL('../../../shared/plans/', import.meta.url));
const SMALL = 60_000;

/** Sound files by form: generated ones, and small ones of the shared folder where it is there. */
export async function soundFiles(withShared: boolean): Promise<Record<string, Uint8Array[]>> {
  const files = { ...await generated(), ...await lists() };
  if (!withShared || !existsSync(SHARED)) return files;
  for (const name of (readdirSync(SHARED, { recursive: true }) as string[]).sort()) {
    const path = `${SHARED}${name}`;
    if (!statSync(path).isFile() || statSync(path).size > SMALL || /bomb|hatch-patterns/.test(name)) continue;
    const bytes = new Uint8Array(readFileSync(path));
    const form = FORM[planMedia(bytes) ?? ''];
    if (form) files[form]!.push(bytes);
  }
  return files;
}

/** One of: some bits flipped, cut off, a piece of another file put in, a piece doubled, a piece of zeros. */
export function spoiled(files: readonly Uint8Array[], random: () => number): Uint8Array {
  const pick = <T>(list: readonly T[]): T => list[Math.floor(random() * list.length)]!;
  const source = pick(files);
  const place = (length: number): number => Math.floor(random() * length);
  const [at, size] = [place(source.length), 1 + place(Math.min(64, source.length))];
  const joined = (...parts: Uint8Array[]): Uint8Array => new Uint8Array(Buffer.concat(parts));
  switch (Math.floor(random() * 5)) {
    case 0: {
      const copy = source.slice();
      for (let i = 0; i < 1 + place(16); i++) copy[place(copy.length)]! ^= 1 << place(8);
      return copy;
    }
    case 1: return source.slice(0, at);
    case 2: { const other = pick(files); const from = place(other.length); return joined(source.subarray(0, at), other.subarray(from, from + size * 4), source.subarray(at + (random() < 0.5 ? 0 : size * 4))); }
    case 3: return joined(source.subarray(0, at + size), source.subarray(at));
    default: { const copy = source.slice(); copy.fill(0, at, at + size); return copy; }
  }
}

export interface FuzzResult { readonly form: string; readonly count: number; opened: number; refused: Map<string, number>; faults: string[]; seconds: number; slowest: number }

const LIMITED = ['took-too-long', 'needs-too-much-memory'];

/**
 * Brings spoiled files of one form in while a project is open. A fault is a hang or a flood of memory (the limits ended
 * it), a problem without words, anything thrown, or a change to the open project; a native crash kept inside the reading
 * process is counted under 'reader-stopped'.
 * @param say  hears every fault as it comes and every hundredth case, for a long run
 */
export async function fuzz(form: string, files: readonly Uint8Array[], count: number, seed: number, say: (text: string) => void = () => undefined): Promise<FuzzResult> {
  const result: FuzzResult = { form, count, opened: 0, refused: new Map(), faults: [], seconds: 0, slowest: 0 };
  const random = randomNumbers(seed);
  const program = await openProgram();
  const before = await program.projectState();
  const started = performance.now();
  for (let i = 0; i < count; i++) {
    const bytes = spoiled(files, random);
    const since = performance.now();
    const known = result.faults.length;
    try {
      const outcome = await bringIn(program.calls, form, bytes);
      if (outcome.ok) result.opened++;
      else {
        const { code, what, todo } = outcome.problem;
        result.refused.set(code, (result.refused.get(code) ?? 0) + 1);
        if (LIMITED.includes(code)) result.faults.push(`case ${i}: ${code}`);
        if (!/^[a-z-]+$/.test(code) || what.length < 15 || todo.length < 10) result.faults.push(`case ${i}: ${code} has no words`);
      }
    } catch (fault) {
      result.faults.push(`case ${i}: threw ${String(fault)}`);
    }
    for (const fault of result.faults.slice(known)) say(`${form}: ${fault}`);
    result.slowest = Math.max(result.slowest, (performance.now() - since) / 1000);
    if (i % 100 === 99) say(`${form}: ${i + 1} of ${count}, ${((performance.now() - started) / 1000).toFixed(0)} s, ${result.faults.length} faults`);
  }
  result.seconds = (performance.now() - started) / 1000;
  if (await program.projectState() !== before) result.faults.push('the open project changed');
  program.close();
  return result;
}

export const resultLine = ({ form, count, opened, refused, seconds, slowest, faults }: FuzzResult, seed: number): string =>
  `${form}: ${count} spoiled files, seed ${seed}, ${seconds.toFixed(1)} s, slowest ${slowest.toFixed(1)} s; ${opened} opened, ${[...refused].map(([code, n]) => `${n} ${code}`).join(', ')}; ${faults.length} faults`;
