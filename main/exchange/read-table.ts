import ExcelJS from 'exceljs';
import Papa from 'papaparse';
import { unguardCell } from '../../shared-core/exchange/index';
import { PlanRefused } from './problems';

/** A table as text cells, row by row; rows may differ in length. */
export type TableCells = string[][];

/** 20,000 rows of equipment, with titles and heads above them and totals below. */
export const TABLE_LIMITS = { rows: 20_100, columns: 100, unpackedBytes: 60e6, cell: 2000 } as const;

const isZip = (bytes: Uint8Array): boolean => bytes[0] === 0x50 && bytes[1] === 0x4b && bytes[2] === 0x03;

const tooManyRows = (rows: number): string => `It has ${rows.toLocaleString('en-US')} rows; at most ${TABLE_LIMITS.rows.toLocaleString('en-US')} are read, titles and heads counted.`;

function limited(rows: TableCells): TableCells {
  let last = rows.length;
  while (last > 0 && rows[last - 1]?.every((text) => text === '')) last--;
  if (last > TABLE_LIMITS.rows) throw new PlanRefused('list-too-large', tooManyRows(last));
  return rows.slice(0, last).map((row) => row.slice(0, TABLE_LIMITS.columns).map((text) => text.slice(0, TABLE_LIMITS.cell)));
}

const BEST_PACKED = 1032;
const ZIP = { end: 0x06054b50, entry: 0x02014b50, endLength: 22, entryLength: 46, longestComment: 65_535, unsaid: 0xffffffff } as const;

/**
 * What a zip says it unpacks to in all, bytes; null where its list of contents is missing or broken, whose figures mean nothing.
 * @source PKWARE APPNOTE 6.3, 4.3.12 and 4.3.16
 */
function statedSize(bytes: Uint8Array): number | null {
  const data = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const first = Math.max(0, bytes.length - ZIP.endLength - ZIP.longestComment);
  let end = bytes.length - ZIP.endLength;
  while (end >= first && data.getUint32(end, true) !== ZIP.end) end--;
  if (end < first) return null;
  let at = data.getUint32(end + 16, true);
  // A zip of more than 4 GB keeps these figures elsewhere; no list is so large.
  if (at === ZIP.unsaid) return ZIP.unsaid;
  let total = 0;
  for (let left = data.getUint16(end + 10, true); left > 0; left--) {
    if (at + ZIP.entryLength > end || data.getUint32(at, true) !== ZIP.entry) return null;
    total += data.getUint32(at + 24, true);
    at += ZIP.entryLength + data.getUint16(at + 28, true) + data.getUint16(at + 30, true) + data.getUint16(at + 32, true);
  }
  return total;
}

/** A spreadsheet is a zip; what it unpacks to is added up before anything is unpacked. */
function refuseBomb(bytes: Uint8Array): void {
  const total = statedSize(bytes);
  if (total === null) throw new PlanRefused('damaged', 'Its list of contents is missing or broken, as in a file that was not copied to its end.');
  // A byte of a packed file gives at most 1032 (RFC 1951): a figure beyond that was not written by whoever packed it.
  if (total > bytes.length * BEST_PACKED) throw new PlanRefused('damaged', 'Its list of contents states sizes that cannot be.');
  if (total > TABLE_LIMITS.unpackedBytes) throw new PlanRefused('list-too-large', `It unpacks to ${Math.round(total / 1e6)} MB; at most ${TABLE_LIMITS.unpackedBytes / 1e6} MB are read.`);
}

/** What a cell shows; formulas give their stored result and are never computed. A formula that failed or was never computed is no blank. */
function shown(value: ExcelJS.CellValue): string {
  if (value === null || value === undefined) return '';
  if (value instanceof Date) return value.toISOString().slice(0, 10);
  if (typeof value !== 'object') return String(value);
  if ('richText' in value) return value.richText.map((part) => part.text).join('');
  if ('error' in value) return value.error;
  if ('formula' in value || 'sharedFormula' in value) return value.result === undefined ? '#N/A' : shown(value.result);
  if ('text' in value) return shown(value.text);
  return '';
}

async function readWorkbook(bytes: Uint8Array): Promise<TableCells> {
  const workbook = new ExcelJS.Workbook();
  try {
    refuseBomb(bytes);
    await workbook.xlsx.load(bytes.slice().buffer);
  } catch (fault) {
    throw fault instanceof PlanRefused ? fault : new PlanRefused('not-a-list', 'It looks like a spreadsheet but cannot be read as XLSX; it may be damaged.');
  }
  const sheet = workbook.worksheets.find((each) => each.actualRowCount > 0);
  if (!sheet) throw new PlanRefused('not-a-list', 'It holds no sheet with cells.');
  if (sheet.rowCount > TABLE_LIMITS.rows) throw new PlanRefused('list-too-large', tooManyRows(sheet.rowCount));
  const rows: TableCells = [];
  for (let r = 1; r <= sheet.rowCount; r++) {
    const row = sheet.getRow(r);
    rows.push(Array.from({ length: Math.min(sheet.columnCount, TABLE_LIMITS.columns) }, (_, c) => unguardCell(shown(row.getCell(c + 1).value)).trim()));
  }
  return rows;
}

/** Reads pasted cells or the text of a CSV or TSV file; the separator (comma, semicolon, tab, bar) is found. Empty rows stay, so that rows keep their numbers. */
export function readTableText(text: string): TableCells {
  const plain = text.replace(/^\ufeff/, '');
  // The separator is found among rows that hold something; then all rows are read with it.
  const { delimiter } = Papa.parse(plain, { skipEmptyLines: 'greedy', delimitersToGuess: [',', '\t', ';', '|'], preview: 50 }).meta;
  const { data } = Papa.parse<string[]>(plain, { delimiter });
  return limited(data.map((row) => row.map((cell) => unguardCell(cell).trim())));
}

/**
 * Reads a list from XLSX, CSV or TSV; what the bytes are decides.
 * @throws PlanRefused  empty-file, damaged, not-a-list, list-too-large
 */
export async function readTable(bytes: Uint8Array): Promise<TableCells> {
  if (bytes.length === 0) throw new PlanRefused('empty-file');
  if (isZip(bytes)) return limited(await readWorkbook(bytes));
  if (bytes.subarray(0, 4000).includes(0) && !(bytes[0] === 0xff && bytes[1] === 0xfe)) throw new PlanRefused('not-a-list');
  const encoding = bytes[0] === 0xff && bytes[1] === 0xfe ? 'utf-16le' : 'utf-8';
  let text: string;
  try { text = new TextDecoder(encoding, { fatal: true }).decode(bytes); } catch { text = new TextDecoder('windows-1252').decode(bytes); }
  const cells = readTableText(text);
  if (cells.length === 0) throw new PlanRefused('not-a-list', 'It has no rows.');
  return cells;
}
