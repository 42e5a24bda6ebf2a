import { entitiesOf } from '../document/index';
import type { Document, Load } from '../document/index';
import type { Verdict } from '../code-data/index';
import { showLength } from '../units/index';
import { Flow, wrap } from './flow';
import type { ReportPage } from './flow';
import { line, move, path, placeSymbol, rectangle, words } from './ink';
import type { Primitive } from './ink';
import { cautionText, pageSizeOf } from './pages';
import type { Report } from './report';
import type { ScheduleRow } from './schedule';
import type { Measure } from './sheet-drawing';
import { statusMark } from './symbols';

const GAP = 12; const LABEL_HEIGHT = 118;

/** One label per disconnect to be cut out: what it isolates, from where it is fed, and that opening it proves nothing yet. */
export function labelPages(report: Report, measure: Measure): readonly ReportPage[] {
  if (report.schedule.length === 0) return [];
  const flow = new Flow(pageSizeOf(report), 'Labels for disconnects', measure);
  flow.text('One label for each disconnect, to be cut at the frame. A device that does not pass every check is marked as not released: settle its findings before the label goes up.', { size: 8.5 });
  flow.space(6);
  const columns = 3; const width = (flow.width - (columns - 1) * GAP) / columns;
  for (let i = 0; i < report.schedule.length; i += columns) {
    flow.need(LABEL_HEIGHT);
    report.schedule.slice(i, i + columns).forEach((row, c) => { flow.put(...labelMarks(report, row, flow.left + c * (width + GAP), flow.top, width, measure)); });
    flow.space(LABEL_HEIGHT + GAP);
  }
  flow.need(14 + report.cautions.length * 26); cautionText(flow, report);
  return flow.finish();
}

function labelMarks(report: Report, row: ScheduleRow, x: number, y: number, width: number, measure: Measure): Primitive[] {
  const marks: Primitive[] = [rectangle(x, y, width, LABEL_HEIGHT, { width: 1 }), path([move(x, y + 24), line(x + width, y + 24)], { width: 0.7 })];
  const left = x + 7; const inner = width - 14;
  marks.push(words(left, y + 13, row.tag, 14, { align: 'left' }), words(x + width - 7, y + 13, 'DISCONNECT', 8.5, { align: 'right' }));
  let at = y + 33;
  const say = (text: string, size: number, bold: boolean, most: number): void => {
    const lines = wrap(text, inner, size, bold, measure);
    const shown = lines.length > most ? [...lines.slice(0, most - 1), `${lines[most - 1] ?? ''} and more, see schedule`] : lines;
    for (const l of shown) { marks.push(words(left, at, l, size, { align: 'left', weight: bold ? 'bold' : 'regular' })); at += size * 1.28; }
  };
  say(`Isolates ${row.serves === '' ? 'nothing yet' : row.serves}`, 9.5, true, 2);
  const rating = [row.amperes.includes('computed') || row.amperes === '' ? '' : `${row.amperes} A`, row.volts.includes('computed') || row.volts === '' ? '' : `${row.volts} V`, row.fuse === '' || row.fuse === 'none' || row.fuse.includes('computed') ? row.fuse === 'none' ? 'no fuses' : '' : `fuse ${row.fuse}`, row.enclosure === '' || row.enclosure.includes('computed') ? '' : `type ${row.enclosure}`].filter((w) => w !== '').join(', ');
  say(rating === '' ? 'Rating: not chosen yet' : `Rated ${rating}`, 8, false, 1);
  say(row.fedFrom === '' ? 'Fed from: not on record' : `Fed from ${row.fedFrom}; ${row.sheet}`, 8, false, 1);
  const released = row.verdict === 'pass';
  const foot = y + LABEL_HEIGHT - 24;
  marks.push(path([move(x, foot), line(x + width, foot)], { stroke: 'muted', width: 0.5 }));
  if (!released) marks.push(...placeSymbol(statusMark(row.verdict), { x: left + 4.5, y: foot - 9, size: 9 }), words(left + 13, foot - 9, `Not released: ${row.verdict}, see findings`, 7.5, { align: 'left' }));
  marks.push(words(left, foot + 8, 'Open, lock and tag; then verify absence of voltage.', 7.2, { align: 'left' }), words(left, foot + 17, `Qualified persons only. Revision ${report.revision}, ${report.date}`, 6.6, { align: 'left', weight: 'regular' }));
  return marks;
}

interface Isolation { readonly load: Load; readonly devices: readonly ScheduleRow[]; readonly verdict: Verdict; readonly place: string }

function isolationsOf(report: Report): Isolation[] {
  const { document } = report;
  const rows = new Map(report.schedule.map((r) => [r.tag, r]));
  return entitiesOf(document, 'load').filter((l) => report.sheets.some((s) => s.id === l.sheet)).map((load) => {
    const disconnects = entitiesOf(document, 'disconnect').filter((d) => d.serves.includes(load.id));
    const devices = disconnects.flatMap((d) => rows.get(d.tag) ?? []);
    const verdict = devices.length === 0 ? 'fail' : devices.some((d) => d.verdict !== 'pass') ? devices.find((d) => d.verdict !== 'pass')?.verdict ?? 'incomplete' : 'pass';
    return { load, devices, verdict, place: placeWords(report, document, load) };
  });
}

function placeWords(report: Report, document: Document, load: Load): string {
  const pairs = report.audit.pairs.filter((p) => p.load === load.id && (p.target === 'motor' || p.target === 'unit') && p.distance !== null);
  return pairs.map((p) => {
    const d = document.entities[p.disconnect];
    const seen = p.verdict === 'pass' ? 'within sight' : `sight: ${p.verdict}`;
    return d?.kind === 'disconnect' && p.distance !== null ? `${d.tag}: ${showLength(p.distance, report.units, { finest: 1 })} from ${load.tag}, ${seen}` : '';
  }).filter((w) => w !== '').join('; ');
}

const STEPS = (names: string): readonly string[] => [
  'Tell everyone affected that the equipment will be stopped and locked.',
  'Stop the equipment by its ordinary controls.',
  `Open ${names}; see that every pole is open where the blades can be seen.`,
  'Lock and tag it with your own lock; every person who works puts on one more.',
  'Let go or hold back what is stored: springs, pressure, raised parts, hot or cold liquids, capacitors of drives.',
  'Try to start. Then verify absence of voltage, phase to phase and phase to ground, with a tester proved before and after.',
  'To restore: tools and people clear, guards on, locks off by those who put them on, everyone told, then close.',
];
const BLANKS = ['Other energy of this equipment (air, steam, hydraulic, gravity, heat, second electrical source)', 'Locks and tags to be used, and where they are kept', 'Checked on site by, date', 'Released by, date'];

/** One energy-isolation sheet per load: what to open and lock, in which order, and what a person still has to write in. */
export function isolationPages(report: Report, measure: Measure): readonly ReportPage[] {
  const isolations = isolationsOf(report);
  if (isolations.length === 0) return [];
  const flow = new Flow(pageSizeOf(report), 'Energy-isolation sheets', measure);
  isolations.forEach((isolation, i) => { if (i > 0) flow.newPage(); isolationSheet(flow, report, isolation); });
  return flow.finish();
}

function isolationSheet(flow: Flow, report: Report, { load, devices, verdict, place }: Isolation): void {
  flow.heading(`Energy isolation: ${load.tag} ${load.name}`);
  const names = devices.length === 0 ? 'the disconnect (none is on record)' : devices.map((d) => d.tag).join(' and ');
  if (verdict !== 'pass') { flow.text(devices.length === 0 ? 'Not released: no disconnect on record isolates this load.' : `Not released: ${names} does not pass every check (${verdict}); settle the findings first.`, { size: 9.5, bold: true, status: verdict }); flow.space(4); }
  const system = report.document.facts.systems.find((s) => s.id === load.data.system);
  const supply = load.data.voltage !== undefined ? `${load.data.voltage} V` : system ? system.name : 'voltage not on record';
  flow.table([{ head: 'Electrical energy', width: 150 }, { head: 'Isolated by', width: 90 }, { head: 'Where', width: 230 }, { head: 'Rating and fuse', width: 120 }, { head: 'Fed from', width: 70 }],
    devices.length === 0 ? [[{ text: supply }, { text: 'none on record', bold: true }, { text: '' }, { text: '' }, { text: '' }]]
      : devices.map((d) => [{ text: supply }, { text: d.tag, bold: true }, { text: [d.sheet, place].filter((w) => w !== '').join('; ') }, { text: [d.amperes === '' ? '' : `${d.amperes} A`, d.fuse].filter((w) => w !== '').join(', ') }, { text: d.fedFrom === '' ? 'not on record' : d.fedFrom }]), 8);
  const others = devices.flatMap((d) => d.serves.split('; ')).filter((s) => s !== '' && !s.startsWith(load.tag));
  if (others.length > 0) { flow.text(`The same device also stops ${[...new Set(others)].join(', ')}.`, { size: 9 }); flow.space(4); }
  flow.text('Steps', { size: 10.5, bold: true }); flow.space(2);
  STEPS(names).forEach((s, i) => { flow.text(`${i + 1}. ${s}`, { size: 9 }); flow.space(1.5); });
  flow.text('The order follows 29 CFR 1910.147(d) to (e) in our own words; the site\'s own written procedure goes before it.', { size: 7, ink: 'muted' });
  flow.space(8);
  for (const blank of BLANKS) {
    flow.need(26);
    flow.text(blank, { size: 8.5 });
    flow.space(15); flow.rule('ink', 0.5); flow.space(4);
  }
  flow.space(4);
  report.cautions.slice(0, 4).forEach((c) => { flow.text(c, { size: 7.2 }); });
}
