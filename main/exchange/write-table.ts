import { strToU8, zipSync } from 'fflate';
import { guardCell, unguardCell } from '../../shared-core/exchange/index';
import { planChangeHead, planChangeTail, SCHEDULE_HEADS } from '../../shared-core/report/index';
import type { Report, ScheduleColumn } from '../../shared-core/report/index';

type Cell = string | number;
type Rows = readonly (readonly Cell[])[];
const KEYS = Object.keys(SCHEDULE_HEADS) as ScheduleColumn[];

function scheduleRows(report: Report): Cell[][] {
  return report.schedule.map((row) => KEYS.map((key) => { const text = row[key]; return /^\d{1,12}(\.\d+)?$/.test(text) && NUMERIC.has(key) ? Number(text) : text; }));
}
const NUMERIC: ReadonlySet<ScheduleColumn> = new Set(['needsAmperes', 'amperes', 'volts', 'horsepower', 'poles', 'faultCurrent', 'shortCircuitRating', 'voltageDrop']);

const headOf = (report: Report): string[] => [report.project, `revision ${report.revision}`, `issued ${report.date}`, report.edition];

const quoted = (cell: Cell): string => {
  const text = typeof cell === 'number' ? String(cell) : guardCell(cell);
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
};

/**
 * The schedule as CSV after RFC 4180: every record has as many fields as the head; the cautions stand in the last records.
 * @param byteOrderMark lets spreadsheet programs recognise UTF-8
 */
export function writeScheduleCsv(report: Report, byteOrderMark = true): Uint8Array {
  const wide = (cells: readonly Cell[]): Cell[] => [...cells, ...Array.from({ length: Math.max(0, KEYS.length - cells.length) }, () => '')];
  const rows: Rows = [
    KEYS.map((key) => SCHEDULE_HEADS[key]), ...scheduleRows(report),
    ...report.unplaced.map((words) => wide(['Not placed', '', words])),
    wide(['Issue', ...headOf(report)]), ...report.cautions.map((caution) => wide(['Caution', caution])),
  ];
  return csvOf(rows, byteOrderMark);
}

const csvOf = (rows: Rows, byteOrderMark: boolean): Uint8Array => strToU8(`${byteOrderMark ? '\ufeff' : ''}${rows.map((row) => row.map(quoted).join(',')).join('\r\n')}\r\n`);

const escapeXml = (text: string): string => text
  // XML 1.0 has no place for control signs other than tab and line ends, nor for half a surrogate pair.
   
  .replace(/[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]/g, '').replace(/[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/g, '')
  .replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;').replaceAll('"', '&quot;');

const columnName = (index: number): string => (index < 26 ? String.fromCharCode(65 + index) : `${columnName(Math.floor(index / 26) - 1)}${String.fromCharCode(65 + (index % 26))}`);

interface Table { readonly name: string; readonly rows: Rows; readonly widths: readonly number[]; readonly headRows: number }

/** ECMA-376 part 1, 18.3: inline strings only, so no cell can ever be a formula. Style 1 is bold, 2 wraps, 3 wraps and is quoted (18.8.45, quotePrefix). */
function sheetXml({ rows, widths, headRows }: Table): string {
  const cells = rows.map((row, r) => `<row r="${r + 1}">${row.map((cell, c) => {
    const at = `${columnName(c)}${r + 1}`;
    if (cell === '') return '';
    // A text that looks like a formula is marked as quoted too, so that not even an edit of the cell runs it.
    const style = r < headRows ? 1 : typeof cell === 'string' && guardCell(cell) !== cell ? 3 : 2;
    return typeof cell === 'number' ? `<c r="${at}" s="${style}"><v>${cell}</v></c>` : `<c r="${at}" s="${style}" t="inlineStr"><is><t xml:space="preserve">${escapeXml(cell)}</t></is></c>`;
  }).join('')}</row>`).join('');
  const frozen = `<sheetViews><sheetView workbookViewId="0"><pane ySplit="${headRows}" topLeftCell="A${headRows + 1}" activePane="bottomLeft" state="frozen"/></sheetView></sheetViews>`;
  const columns = `<cols>${widths.map((w, i) => `<col min="${i + 1}" max="${i + 1}" width="${w}" customWidth="1"/>`).join('')}</cols>`;
  return `${XML}<worksheet xmlns="${MAIN}">${frozen}${columns}<sheetData>${cells}</sheetData><pageSetup orientation="landscape" fitToHeight="0"/><headerFooter><oddFooter>&amp;LQualified persons only. The adopted code and the authority having jurisdiction decide.&amp;R&amp;P of &amp;N</oddFooter></headerFooter></worksheet>`;
}

const XML = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n';
const MAIN = 'http://schemas.openxmlformats.org/spreadsheetml/2006/main';
const RELATIONS = 'http://schemas.openxmlformats.org/officeDocument/2006/relationships';
const PACKAGE = 'http://schemas.openxmlformats.org/package/2006';
const STYLES = `${XML}<styleSheet xmlns="${MAIN}"><fonts count="2"><font><sz val="10"/><name val="Arial"/></font><font><b/><sz val="10"/><name val="Arial"/></font></fonts><fills count="2"><fill><patternFill patternType="none"/></fill><fill><patternFill patternType="gray125"/></fill></fills><borders count="1"><border><left/><right/><top/><bottom/><diagonal/></border></borders><cellStyleXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0"/></cellStyleXfs><cellXfs count="4"><xf numFmtId="0" fontId="0" fillId="0" borderId="0" xfId="0"/><xf numFmtId="0" fontId="1" fillId="0" borderId="0" xfId="0" applyFont="1" applyAlignment="1"><alignment vertical="top" wrapText="1"/></xf><xf numFmtId="0" fontId="0" fillId="0" borderId="0" xfId="0" applyAlignment="1"><alignment vertical="top" wrapText="1"/></xf><xf numFmtId="0" fontId="0" fillId="0" borderId="0" xfId="0" quotePrefix="1" applyAlignment="1"><alignment vertical="top" wrapText="1"/></xf></cellXfs></styleSheet>`;

/** Zip dates begin in 1980; one fixed date keeps equal reports equal. */
const FIXED_DATE = new Date(1980, 0, 1, 12);

/** The schedule, the findings, what new plans changed and the cautions as a workbook; equal reports give equal bytes. */
export function writeScheduleXlsx(report: Report): Uint8Array {
  const wide: Partial<Record<ScheduleColumn, number>> = { serves: 28, toVerify: 40, kind: 26, conductor: 24, lugs: 28, equipmentGround: 18, verified: 22 };
  const tables: Table[] = [
    { name: 'Schedule', headRows: 1, rows: [KEYS.map((key) => SCHEDULE_HEADS[key]), ...scheduleRows(report), ...report.unplaced.map((words): Cell[] => ['Not placed', '', words])], widths: KEYS.map((key) => wide[key] ?? 14) },
    { name: 'Findings', headRows: 1, widths: [6, 14, 22, 16, 60, 60, 30, 50], rows: [
      ['No.', 'Verdict', 'Concerns', 'Sheet', 'Finding', 'What would mend it', 'Missing', 'Rule'],
      ...report.findings.map(({ number, about, sheet, result }): Cell[] => [number, result.verdict, about, sheet, result.title, result.remedies.join('\n'), result.missing.join(', '), result.citations.map((c) => `${c.text} (${c.edition}) ${c.confidence === 'confirmed' ? '' : `[${c.confidence}]`}`.trim()).join('\n')]),
    ] },
    ...(report.planChanges.length === 0 ? [] : [{ name: 'Plan changes', headRows: 1, widths: [18, 24, 12, 12, 22, 60, 30], rows: [
      ['Sheet', 'Plan laid', 'Finding', 'Verdict', 'Concerns', 'What it says', 'Before'],
      ...report.planChanges.flatMap((change): Cell[][] => [
        [change.sheet, change.plan, '', '', '', planChangeHead(change), ''],
        ...(change.findings ?? []).map((f): Cell[] => [change.sheet, change.plan, f.change, f.verdict, f.about, f.title, f.note]),
        [change.sheet, change.plan, '', '', '', planChangeTail(change), ''],
      ]),
    ] }]),
    { name: 'Cautions', headRows: 1, widths: [110], rows: [['Cautions'], ...report.cautions.map((caution) => [caution]), [''], ...headOf(report).map((words) => [words])] },
  ];
  return workbookOf(tables);
}

function workbookOf(tables: readonly Table[]): Uint8Array {
  const relation = (id: number, type: string, target: string): string => `<Relationship Id="rId${id}" Type="${RELATIONS}/${type}" Target="${target}"/>`;
  const files: Record<string, string> = {
    '[Content_Types].xml': `${XML}<Types xmlns="${PACKAGE}/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="xml" ContentType="application/xml"/><Override PartName="/xl/workbook.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/><Override PartName="/xl/styles.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.styles+xml"/>${tables.map((_, i) => `<Override PartName="/xl/worksheets/sheet${i + 1}.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"/>`).join('')}</Types>`,
    '_rels/.rels': `${XML}<Relationships xmlns="${PACKAGE}/relationships">${relation(1, 'officeDocument', 'xl/workbook.xml')}</Relationships>`,
    'xl/workbook.xml': `${XML}<workbook xmlns="${MAIN}" xmlns:r="${RELATIONS}"><sheets>${tables.map((t, i) => `<sheet name="${t.name}" sheetId="${i + 1}" r:id="rId${i + 1}"/>`).join('')}</sheets></workbook>`,
    'xl/_rels/workbook.xml.rels': `${XML}<Relationships xmlns="${PACKAGE}/relationships">${tables.map((_, i) => relation(i + 1, 'worksheet', `worksheets/sheet${i + 1}.xml`)).join('')}${relation(tables.length + 1, 'styles', 'styles.xml')}</Relationships>`,
    'xl/styles.xml': STYLES,
    ...Object.fromEntries(tables.map((t, i) => [`xl/worksheets/sheet${i + 1}.xml`, sheetXml(t)])),
  };
  return zipSync(Object.fromEntries(Object.entries(files).map(([path, text]) => [path, strToU8(text)])), { mtime: FIXED_DATE, level: 6 });
}

/** A list of text rows, the first of them the heads, as CSV after RFC 4180 with a byte order mark; equal lists give equal bytes. */
export const writeListCsv = (cells: readonly (readonly string[])[]): Uint8Array => csvOf(cells, true);

/** A list of text rows, the first of them the heads, as a workbook of one sheet. Plain numbers are number cells, so that a spreadsheet can sort and add them; column 1 and 2 (tag, name) stay text. */
export function writeListXlsx(name: string, cells: readonly (readonly string[])[]): Uint8Array {
  const isPlain = (text: string): boolean => /^(0|[1-9]\d{0,14})(\.\d+)?$/.test(text) && String(Number(text)) === text;
  // A text cell of a workbook is never run, but a reader takes a guard off here too: what only looks guarded gets one more.
  const asText = (text: string): string => (unguardCell(text) === text ? text : `'${text}`);
  const rows = cells.map((row, r): Cell[] => row.map((text, c) => (r > 0 && c > 1 && isPlain(text) ? Number(text) : asText(text))));
  return workbookOf([{ name, headRows: 1, rows, widths: (cells[0] ?? []).map((_, c) => (c === 1 ? 32 : 14)) }]);
}
