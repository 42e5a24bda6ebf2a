import ExcelJS from 'exceljs';
import Papa from 'papaparse';
import { describe, expect, it, vi } from 'vitest';
import { writeScheduleCsv, writeScheduleXlsx } from '../../main/exchange/index';
import { SCHEDULE_HEADS } from '../../shared-core/report/index';
import type { Report } from '../../shared-core/report/index';
import type { Entity } from '../../shared-core/document/index';
import { documentOf, pairOn, reportOf, sheetOn } from './export-fixtures';

// Whole files are drawn and read back: on a busy machine that takes its time.
vi.setConfig({ testTimeout: 180_000, hookTimeout: 180_000 });

/** Names as people really type them, and as an attacker would. */
const HOSTILE = ['=HYPERLINK("http://x.invalid","y")', '+1+1', '-2+3', '@SUM(A1)', '\tlead', 'plain, with comma', 'says "quote"', 'two\nlines', 'Wörth ≤ 5 Ω', '漢字'];

function report(): Report {
  const entities = HOSTILE.flatMap((name, i): Entity[] => pairOn('one', String(i + 1), [100 + 50 * i, 200], [100 + 50 * i, 300]).map((e) => (e.kind === 'load' ? { ...e, tag: `M-${i + 1}`, name } : e.kind === 'disconnect' ? { ...e, tag: i === 0 ? '=DS' : e.tag } : e)));
  return reportOf(documentOf([sheetOn('one', null)], entities));
}
const text = (bytes: Uint8Array): string => new TextDecoder('utf-8', { ignoreBOM: true }).decode(bytes);

describe('the findings of a report', () => {
  it('place a load that waits in the tray on no sheet', () => {
    const entities = pairOn('one', '1', [100, 200], [100, 300]).map((e): Entity => (e.kind === 'load' ? { ...e, at: null } : e.kind === 'disconnect' ? { ...e, serves: [] } : e));
    const { findings } = reportOf(documentOf([sheetOn('one', null)], entities));
    const waiting = findings.filter((f) => f.about.startsWith('M-1'));
    expect(waiting.map((f) => f.result.check)).toEqual(expect.arrayContaining(['data.place', 'data.no-disconnect']));
    for (const finding of waiting) expect(finding.sheet).toBe('not placed');
  });
});

describe('the schedule as CSV', () => {
  it('reads back record by record in an independent reader, each as wide as the head (RFC 4180)', () => {
    const csv = text(writeScheduleCsv(report(), false));
    const read = Papa.parse<string[]>(csv, { newline: '\r\n' });
    expect(read.errors).toEqual([]);
    const rows = read.data.slice(0, -1);
    expect(rows[0]).toEqual(Object.values(SCHEDULE_HEADS));
    expect(new Set(rows.map((r) => r.length))).toEqual(new Set([rows[0]?.length]));
    const served = rows.slice(1).map((r) => r[2] ?? '');
    for (const name of ['plain, with comma', 'says "quote"', 'two\nlines', 'Wörth ≤ 5 Ω', '漢字']) expect(served.some((s) => s.endsWith(name)), name).toBe(true);
    expect(csv.endsWith('\r\n')).toBe(true);
  });
  it('never starts a cell with what a spreadsheet takes for a formula', () => {
    const rows = Papa.parse<string[]>(text(writeScheduleCsv(report(), false)), { newline: '\r\n' }).data;
    for (const cell of rows.flat()) expect(cell).not.toMatch(/^[=+\-@\t\r]/);
    expect(rows.flat()).toContain("'=DS");
  });
  it('begins with a byte order mark only when asked', () => {
    expect([...writeScheduleCsv(report(), true).slice(0, 3)]).toEqual([0xef, 0xbb, 0xbf]);
    expect(writeScheduleCsv(report(), false)[0]).not.toBe(0xef);
  });
  it('carries the cautions and the issue', () => {
    const csv = text(writeScheduleCsv(report()));
    for (const words of ['verify the absence of voltage', 'authority having jurisdiction', 'licensed engineer', 'issued 2026-01-05']) expect(csv).toContain(words);
  });
});

describe('the schedule as a workbook', () => {
  it('reads back in an independent reader, text as text and ratings as numbers', async () => {
    const given = report();
    const book = new ExcelJS.Workbook();
    await book.xlsx.load(Buffer.from(writeScheduleXlsx(given)) as never);
    expect(book.worksheets.map((w) => w.name)).toEqual(['Schedule', 'Findings', 'Cautions']);
    const sheet = book.getWorksheet('Schedule');
    const heads = Object.keys(SCHEDULE_HEADS);
    given.schedule.forEach((row, i) => {
      const cells = sheet?.getRow(i + 2);
      expect(cells?.getCell(1).value).toBe(row.tag);
      expect(cells?.getCell(heads.indexOf('serves') + 1).value).toBe(row.serves);
    });
    sheet?.eachRow((r) => { r.eachCell((c) => { expect(c.formula).toBeUndefined(); expect(typeof c.value === 'string' || typeof c.value === 'number').toBe(true); }); });
    expect(JSON.stringify(book.getWorksheet('Cautions')?.getColumn(1).values)).toContain('absence of voltage');
  });
  it('has the same bytes each time', () => {
    expect(Buffer.compare(writeScheduleXlsx(report()), writeScheduleXlsx(report()))).toBe(0);
  });
});
