import ExcelJS from 'exceljs';
import { unzipSync, zipSync } from 'fflate';
import { mkdtempSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Papa from 'papaparse';
import { afterAll, describe, expect, it } from 'vitest';
import { endIdleJobs, writeListCsv, writeListXlsx } from '../../main/exchange/index';
import { PlanRefused } from '../../main/exchange/problems';
import { unpackProject } from '../../main/files/plan-file';
import { readTable, readTableText } from '../../main/exchange/read-table';
import { createServices } from '../../main/services';
import { entitiesOf } from '../../shared-core/document/index';
import { compareEquipment, guessColumns, readEquipment } from '../../shared-core/exchange/index';
import { planPicture } from './plan-files';

afterAll(endIdleJobs);

const text = (value: string): Uint8Array => new TextEncoder().encode(value);
const refused = async (bytes: Uint8Array): Promise<string> => readTable(bytes).then(() => 'read', (fault: unknown) => (fault instanceof PlanRefused ? fault.code : String(fault)));

describe('an equipment list file', () => {
  it.each([['commas', 'Tag,HP\nP-1,"7 1/2"\n'], ['tabs', 'Tag\tHP\r\nP-1\t7 1/2\r\n'], ['semicolons with a byte order mark', '\ufeffTag;HP\nP-1;7 1/2\n']])('with %s', async (_form, list) => {
    expect(await readTable(text(list))).toEqual([['Tag', 'HP'], ['P-1', '7 1/2']]);
  });
  it('pasted cells, and the guard apostrophe of an export is taken off', () => {
    expect(readTableText('Tag\tName\n\'=P-1\tPump, old')).toEqual([['Tag', 'Name'], ['=P-1', 'Pump, old']]);
  });
  it('UTF-16 as spreadsheets save "Unicode text", and Latin letters', async () => {
    expect(await readTable(new Uint8Array(Buffer.from('\ufeffTag\tName\nP-1\tKühler', 'utf16le')))).toEqual([['Tag', 'Name'], ['P-1', 'Kühler']]);
    expect(await readTable(new Uint8Array(Buffer.from('Tag,Name\nP-1,Kühler', 'latin1')))).toEqual([['Tag', 'Name'], ['P-1', 'Kühler']]);
  });
  it('XLSX: numbers, rich text and stored results of formulas', async () => {
    const book = new ExcelJS.Workbook();
    const sheet = book.addWorksheet('List');
    sheet.addRow(['Tag', 'HP', 'MCA']);
    sheet.addRow(['P-1', 7.5, { formula: '1+1', result: 2 }]);
    sheet.addRow([{ richText: [{ text: 'CU' }, { text: '-2' }] }, null, 34.2]);
    expect(await readTable(new Uint8Array(await book.xlsx.writeBuffer()))).toEqual([['Tag', 'HP', 'MCA'], ['P-1', '7.5', '2'], ['CU-2', '', '34.2']]);
  });
  it('XLSX: a formula that failed or was never computed is no blank', async () => {
    const book = new ExcelJS.Workbook();
    const sheet = book.addWorksheet('List');
    sheet.addRow(['Tag', 'HP', 'MCA']);
    sheet.addRow(['P-1', { error: '#REF!' }, { formula: '1+1' } as ExcelJS.CellFormulaValue]);
    expect(await readTable(new Uint8Array(await book.xlsx.writeBuffer()))).toEqual([['Tag', 'HP', 'MCA'], ['P-1', '#REF!', '#N/A']]);
  });
  it('empty rows stay, so that a row keeps the number it has in the spreadsheet; those at the end go', async () => {
    expect(await readTable(text('Tag,HP\n\n,\nP-1,5\n\n,\n'))).toEqual([['Tag', 'HP'], [''], ['', ''], ['P-1', '5']]);
  });
  it('what is no list is refused by name, and a zip that swells before it is unpacked', async () => {
    expect(await refused(new Uint8Array(0))).toBe('empty-file');
    expect(await refused(new Uint8Array([0x89, 0x50, 0, 0, 1]))).toBe('not-a-list');
    expect(await refused(zipSync({ 'a.txt': text('x') }))).toBe('not-a-list');
    expect(await refused(zipSync({ 'xl/worksheets/sheet1.xml': new Uint8Array(70e6) }))).toBe('list-too-large');
    // 20,000 rows of equipment under their heads are read.
    expect(await refused(text('a\n'.repeat(20_101)))).toBe('list-too-large');
    expect((await readTable(text('a\n'.repeat(20_001)))).length).toBe(20_001);
    expect(await refused(text('a\n'.repeat(20_000)))).toBe('read');
  });
});

describe('a small spoiled XLSX', () => {
  const whole = (): Uint8Array => writeListXlsx('Equipment', [['Tag', 'HP'], ['P-1', '7.5'], ['P-2', '10']]);
  it('cut anywhere is damaged, never too large', async () => {
    const bytes = whole();
    const codes = new Set<string>();
    for (let length = 4; length < bytes.length; length += 7) codes.add(await refused(bytes.slice(0, length)));
    expect([...codes]).toEqual(['damaged']);
  });
  it('with a piece put in, taken out or doubled it is damaged or no list, never too large', async () => {
    const bytes = whole();
    const codes = new Set<string>();
    for (let at = 10; at < bytes.length - 40; at += 23) {
      const piece = bytes.subarray(at, at + 31);
      codes.add(await refused(new Uint8Array(Buffer.concat([bytes.subarray(0, at), piece, bytes.subarray(at)]))));
      codes.add(await refused(new Uint8Array(Buffer.concat([bytes.subarray(0, at), bytes.subarray(at + 31)]))));
      codes.add(await refused(bytes.map((byte, i) => (i >= at && i < at + 31 ? 0xff : byte))));
    }
    for (const code of codes) expect(['damaged', 'not-a-list', 'read']).toContain(code);
  });
  it('says why', async () => {
    const fault: unknown = await readTable(whole().slice(0, 900)).catch((thrown: unknown) => thrown);
    expect(fault).toMatchObject({ code: 'damaged', detail: expect.stringContaining('list of contents is missing') as string });
  });
});

describe('an equipment list written and read again', () => {
  const cells = [['Tag', 'Name', 'Horsepower', 'Voltage'], ['=1+1', '-5', '7.5', '480/277'], ["'=P", '@SUM(A1)', '', '460'], ['+1 "x", y', 'tab\there', '0.1', ''], ['007', '1e3', '1e-7', '']];
  it('CSV: nothing can run, nothing is lost', async () => {
    const bytes = writeListCsv(cells);
    for (const record of Papa.parse<string[]>(new TextDecoder().decode(bytes).replace(/^\ufeff/, '')).data) for (const cell of record) expect(cell).not.toMatch(/^[=+\-@\t\r\n]/);
    expect(await readTable(bytes)).toEqual(cells);
  });
  it('XLSX: no cell is a formula, texts that look like one are marked as quoted, tags stay text, sizes are numbers', async () => {
    const bytes = writeListXlsx('Equipment', cells);
    expect(await readTable(bytes)).toEqual(cells);
    const book = new ExcelJS.Workbook();
    await book.xlsx.load(bytes.slice().buffer);
    const sheet = book.worksheets[0]!;
    sheet.eachRow((row) => { row.eachCell((cell) => { expect(cell.type).not.toBe(ExcelJS.ValueType.Formula); }); });
    expect([sheet.getCell('A2').value, sheet.getCell('C2').value, sheet.getCell('A5').value]).toEqual(['=1+1', 7.5, '007']);
    expect(new TextDecoder().decode(unzipSync(bytes)['xl/worksheets/sheet1.xml'])).toContain('<c r="A2" s="3" t="inlineStr">');
  });
});

describe('through the services', () => {
  const services = createServices({ runsIn: 'browser', version: 'test', stateFolder: mkdtempSync(join(tmpdir(), 'lockstead-list-')), startPath: null, startIsTemplate: false, dialogs: null });
  const { calls } = services;
  const offer = async (name: string, bytes: Uint8Array): Promise<string> => {
    const offered = await calls.offerFile({ name, bytes });
    return offered.ok && offered.value ? offered.value.file : '';
  };
  it('a list is read from a file and from pasted cells', async () => {
    expect(await calls.readList({ file: await offer('list.csv', text('Tag,HP\nP-1,5')) })).toEqual({ ok: true, value: { name: 'list.csv', cells: [['Tag', 'HP'], ['P-1', '5']] } });
    expect(await calls.readList({ text: 'Tag\tHP\nP-1\t5' })).toMatchObject({ ok: true, value: { cells: [['Tag', 'HP'], ['P-1', '5']] } });
    expect(await calls.readList({ file: await offer('list.csv', text('')) })).toMatchObject({ ok: false, problem: { code: 'empty-file' } });
    expect(await calls.readList({})).toMatchObject({ ok: false });
  });
  it('5,000 pasted rows are what the same list is as a file, with progress; cancelled, nothing comes', async () => {
    const pasted = ['Tag\tHP', ...Array.from({ length: 5000 }, (_, i) => `P-${i}, "main" pump of the north hall\t7 1/2`)].join('\n');
    const heard: number[] = [];
    const stop = services.onProgress((progress) => { if (progress.job === 'paste-1') heard.push(progress.done); });
    const read = await calls.readList({ text: pasted, job: 'paste-1' });
    stop();
    expect(read).toEqual({ ok: true, value: { name: 'Pasted cells', cells: readTableText(pasted) } });
    expect(heard.at(-1)).toBe(1);
    const cancelled = calls.readList({ text: pasted, job: 'paste-2' });
    await calls.cancel({ job: 'paste-2' });
    expect(await cancelled).toMatchObject({ ok: false, problem: { code: 'cancelled' } });
  }, 60_000);
  it('all loads leave as a list; read again it says what the project has', async () => {
    const demo = unpackProject(new Uint8Array(await readFile(new URL('../../assets/demo/cider-works.lockstead', import.meta.url))), 'demo');
    if (!demo.ok) throw new Error(demo.problem.what);
    const { document } = demo.value;
    for (const format of ['csv', 'xlsx'] as const) {
      const made = await calls.exportList({ document, format });
      if (!made.ok) throw new Error(made.problem.what);
      expect(made.value.name).toBe(`Northmere Cider Works equipment list.${format}`);
      const read = await calls.readList({ file: await offer(made.value.name, made.value.bytes) });
      if (!read.ok) throw new Error(read.problem.what);
      const changes = compareEquipment(document, readEquipment(read.value.cells, guessColumns(read.value.cells)));
      expect(changes.length).toBe(entitiesOf(document, 'load').length);
      expect(new Set(changes.map(({ kind }) => kind))).toEqual(new Set(['same']));
    }
  });
  it('walls are offered from a scan that was brought in', async () => {
    const plan = await calls.inspectPlan({ file: await offer('plan.png', new Uint8Array(await planPicture(600, 400).png().toBuffer())) });
    if (!plan.ok) throw new Error(plan.problem.what);
    const offered = await calls.offerWalls({ blob: plan.value.blob, page: 0, thickness: [6, 14], shortest: 60 });
    if (!offered.ok) throw new Error(offered.problem.what);
    // The drawn plan has four outer walls and one inner, all 10 thick.
    const longest = offered.value.walls.slice().sort((a, b) => Math.hypot(b.x2 - b.x1, b.y2 - b.y1) - Math.hypot(a.x2 - a.x1, a.y2 - a.y1)).slice(0, 5);
    for (const { thickness } of longest) expect(Math.abs(thickness - 10)).toBeLessThanOrEqual(1);
    // From middle line to middle line where walls meet; the inner one ends free.
    [570, 570, 370, 370, 185].forEach((length, i) => { expect(Math.abs(Math.hypot(longest[i]!.x2 - longest[i]!.x1, longest[i]!.y2 - longest[i]!.y1) - length)).toBeLessThanOrEqual(4); });
  });
});
