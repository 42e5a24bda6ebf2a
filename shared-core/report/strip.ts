import { VERDICT_ORDER } from '../code-data/index';
import { METRES_PER_FOOT } from '../units/index';
import { line, move, path, placeSymbol, rectangle, words } from './ink';
import type { Primitive } from './ink';
import { sightLineMarks } from './lines';
import type { LineState } from './lines';
import type { Report, ReportSheet } from './report';
import { plusMinus } from './report-words';
import { wrap } from './flow';
import type { Measure, SheetDrawing } from './sheet-drawing';
import { SYMBOL_WORDS, statusMark, symbolOf } from './symbols';
import type { SymbolName } from './symbols';

/** The strip under a drawn sheet: it lengthens the page, so that nothing ever lies over the drawing. */
export interface Strip { readonly height: number; readonly marks: readonly Primitive[] }

interface Block { readonly width: number; readonly height: number; readonly draw: (x: number, y: number) => Primitive[] }

/** Title, scale bar, status and symbol legend and cautions, in blocks that wrap to the sheet's width. Marks start at y = 0. */
export function stripOf(report: Report, sheet: ReportSheet, drawing: SheetDrawing, measure: Measure): Strip {
  const u = drawing.unit; const pad = 12 * u; const gap = 16 * u;
  const width = sheet.width * sheet.pointsPerUnit;
  const inner = width - 2 * pad;
  const blocks = [titleBlock(report, sheet, u, measure, inner), scaleBlock(report, sheet, u, measure, inner), statusBlock(sheet, u, measure), legendBlock(sheet, u, measure, inner), lineBlock(sheet, u, measure)].filter((b) => b !== null);
  const rows: Block[][] = [];
  let used = Infinity;
  for (const b of blocks) {
    if (used + gap + b.width > inner) { rows.push([]); used = -gap; }
    rows.at(-1)?.push(b); used += gap + b.width;
  }
  // The cautions take what is left of the last row, or a row of their own.
  const left = inner - used - gap;
  if (left >= 240 * u) rows.at(-1)?.push(cautionBlock(report, drawing, u, measure, Math.min(left, 420 * u)));
  else rows.push([cautionBlock(report, drawing, u, measure, inner)]);
  const marks: Primitive[] = [];
  let y = pad;
  for (const row of rows) {
    const height = Math.max(...row.map((b) => b.height));
    // Blocks of a row spread over the width, so that the strip reads as one ruled band.
    const free = inner - row.reduce((sum, b) => sum + b.width, 0); const step = row.length > 1 ? Math.min(free / (row.length - 1), 46 * u) : 0;
    let x = pad;
    row.forEach((b, i) => {
      marks.push(...b.draw(x, y));
      x += b.width;
      if (i < row.length - 1) marks.push(path([move(x + step / 2, y), line(x + step / 2, y + height)], { stroke: 'muted', width: 0.5 * u }));
      x += step;
    });
    y += height + pad;
  }
  return { height: y, marks: [rectangle(0, 0, width, y, { fill: 'paper', stroke: null }), path([move(0, 0), line(width, 0)], { width: 1 * u }), ...marks] };
}

const text = (x: number, y: number, content: string, size: number, bold = false, ink: 'ink' | 'muted' = 'ink'): Primitive => words(x, y, content, size, { align: 'left', weight: bold ? 'bold' : 'regular', ink });

function linesBlock(lines: readonly { text: string; size: number; bold?: boolean; ink?: 'ink' | 'muted' }[], u: number, measure: Measure): Block {
  const shown = lines.filter((l) => l.text !== '');
  return {
    width: Math.max(...shown.map((l) => measure(l.text, l.size * u, l.bold ?? false))), height: shown.reduce((sum, l) => sum + l.size * 1.35 * u, 0),
    draw: (x, y) => { let at = y; return shown.map((l) => { at += l.size * 1.35 * u; return text(x, at - l.size * 0.675 * u, l.text, l.size * u, l.bold ?? false, l.ink ?? 'ink'); }); },
  };
}

function titleBlock(report: Report, sheet: ReportSheet, u: number, measure: Measure, inner: number): Block {
  const most = Math.min(inner, 300 * u);
  return linesBlock([
    { text: report.project, size: 13, bold: true }, { text: report.site, size: 7 },
    { text: sheet.level === sheet.name || sheet.level === '' ? sheet.name : `${sheet.name}, level ${sheet.level}`, size: 10, bold: true },
    { text: 'Disconnecting means: placement and sight lines', size: 7.5 },
    { text: `Revision ${report.revision}, issued ${report.date}`, size: 7.5, bold: true }, { text: report.edition, size: 7 },
    { text: sheet.plan ? `On plan ${sheet.plan.name}${sheet.plan.page > 0 ? `, page ${sheet.plan.page + 1}` : ''}${sheet.plan.issue && sheet.plan.issue.name !== sheet.plan.name ? `, ${sheet.plan.issue.name}` : ''}` : 'No plan under this sheet', size: 7, ink: 'muted' } as const,
  ].flatMap((l) => wrap(l.text, most, l.size * u, 'bold' in l, measure).map((text) => ({ ...l, text }))), u, measure);
}

const NICE = { US: [1, 2, 5, 10, 20, 50, 100, 200, 500], metric: [0.5, 1, 2, 5, 10, 20, 50, 100, 200] } as const;

function scaleBlock(report: Report, sheet: ReportSheet, u: number, measure: Measure, inner: number): Block {
  if (!sheet.scale) return linesBlock([{ text: 'NO SCALE SET', size: 9, bold: true }, { text: 'No distance on this sheet was checked.', size: 7 }], u, measure);
  const { scale } = sheet;
  const perUnit = (report.units === 'metric' ? 1 / METRES_PER_FOOT : 1) / scale.feetPerUnit * sheet.pointsPerUnit;
  const target = Math.min(150 * u, inner * 0.6);
  const step = [...NICE[report.units]].reverse().find((n) => n * perUnit * 2 <= target) ?? NICE[report.units][0];
  const unit = report.units === 'metric' ? 'm' : 'ft';
  const lines = linesBlock([
    { text: `Scale ${scale.words}`, size: 9, bold: true },
    { text: `Scale known to ±${(scale.relativeUncertainty * 100).toFixed(2)} %: ${plusMinus(scale.relativeUncertainty * 50, report.units)} in ${report.units === 'metric' ? '15.2 m' : "50'-0\""}`, size: 7 },
    ...(scale.inPart ? [{ text: 'Scale and bar hold in a part of this sheet only; elsewhere no distance was checked.', size: 7 }] : []),
    { text: sheet.paperKnown ? 'True to scale when printed at 100 %; check against the bar.' : 'Print size of the plan is not known: measure by the bar only.', size: 7 },
  ], u, measure);
  const barTop = lines.height + 16 * u;
  const tick = (x: number, y: number, label: string): Primitive => words(x, y, label, 6.6 * u, { weight: 'regular' });
  return {
    width: Math.max(lines.width, step * 2 * perUnit + 26 * u), height: barTop + 5 * u,
    draw: (x, y) => {
      const left = x + 4 * u; const top = y + barTop;
      const part = (from: number, to: number, fill: 'ink' | 'paper'): Primitive => rectangle(left + from * perUnit, top, (to - from) * perUnit, 4 * u, { fill, width: 0.6 * u });
      return [...lines.draw(x, y), part(0, step / 2, 'ink'), part(step / 2, step, 'paper'), part(step, 2 * step, 'ink'),
        tick(left, top - 5 * u, '0'), tick(left + step * perUnit, top - 5 * u, String(step)), tick(left + 2 * step * perUnit, top - 5 * u, `${2 * step} ${unit}`)];
    },
  };
}

const STATUS_WORDS = { pass: 'pass', marginal: 'marginal: measure on site', fail: 'fail', judgement: 'judgement: the authority decides', incomplete: 'incomplete: data is missing' } as const;

function statusBlock(sheet: ReportSheet, u: number, measure: Measure): Block {
  const row = 12.5 * u;
  return {
    width: 30 * u + Math.max(...Object.values(STATUS_WORDS).map((w) => measure(w, 7 * u, false))), height: 10 * u + row * 5,
    draw: (x, y) => [text(x, y + 4 * u, 'Disconnects on this sheet', 7.5 * u, true), ...[...VERDICT_ORDER].reverse().flatMap((v, i) => {
      const middle = y + 10 * u + row * (i + 0.5);
      return [...placeSymbol(statusMark(v), { x: x + 5 * u, y: middle, size: 9.5 * u }), words(x + 25 * u, middle, String(sheet.counts[v]), 8 * u, { align: 'right', weight: 'bold' }), text(x + 30 * u, middle, STATUS_WORDS[v], 7 * u)];
    })],
  };
}

const LEGEND_HEAD = 'Symbols (after IEC 60617 and IEEE 315)';

function legendBlock(sheet: ReportSheet, u: number, measure: Measure, inner: number): Block | null {
  const used = (Object.keys(SYMBOL_WORDS) as SymbolName[]).filter((n) => sheet.symbols.some((s) => s.symbol === n));
  if (used.length === 0) return null;
  const row = 15.5 * u;
  const wide = Math.max(...used.map((n) => measure(SYMBOL_WORDS[n], 7 * u, false))) + 30 * u;
  const most = Math.max(1, Math.min(3, Math.floor(inner / wide)));
  const perColumn = Math.min(used.length, Math.max(4, Math.ceil(used.length / most)));
  const columns = Math.ceil(used.length / perColumn);
  return {
    width: Math.max(columns * wide, measure(LEGEND_HEAD, 7.5 * u, true)), height: 10 * u + perColumn * row,
    draw: (x, y) => [text(x, y + 4 * u, LEGEND_HEAD, 7.5 * u, true), ...used.flatMap((n, i) => {
      const cx = x + Math.floor(i / perColumn) * wide; const middle = y + 11 * u + row * ((i % perColumn) + 0.5);
      return [...placeSymbol(symbolOf(n, n === 'motor' ? '25' : ''), { x: cx + 8 * u, y: middle, size: n === 'panel' ? 11 * u : 12.5 * u }), text(cx + 21 * u, middle, SYMBOL_WORDS[n], 7 * u)];
    })],
  };
}

function lineBlock(sheet: ReportSheet, u: number, measure: Measure): Block | null {
  const kinds: { readonly words: string; readonly state: LineState; readonly verdict: 'pass' | 'judgement' | 'fail'; readonly far?: boolean; readonly used: boolean }[] = [
    { words: 'in sight', state: 'clear', verdict: 'pass', used: sheet.lines.some((l) => l.state === 'clear') },
    { words: 'doubtful: glass, door or part', state: 'doubtful', verdict: 'judgement', used: sheet.lines.some((l) => l.state === 'doubtful') },
    { words: 'blocked at the bar', state: 'blocked', verdict: 'fail', used: sheet.lines.some((l) => l.state === 'blocked') },
    { words: 'beyond the limit', state: 'clear', verdict: 'fail', far: true, used: sheet.lines.some((l) => l.limitShare !== undefined) },
  ];
  const used = kinds.filter((k) => k.used);
  const rows: { words: string; draw: (x: number, y: number) => Primitive[] }[] = used.map((k) => ({ words: k.words, draw: (x, y) => sightLineMarks(
    { from: [x, y], to: [x + 40 * u, y], state: k.state, verdict: k.verdict, ...(k.state === 'blocked' ? { blockedAt: [x + 25 * u, y] } : {}), ...(k.far ? { limitShare: 0.6 } : {}) }, { width: 0.95 * u, fromClear: 0, toClear: 0 }) }));
  if (sheet.spaces.length > 0) rows.push({ words: 'working space', draw: (x, y) => [rectangle(x + 8 * u, y - 4 * u, 24 * u, 8 * u, { width: 0.6 * u, dash: [3 * u, 1.6 * u] })] });
  if (sheet.areas.length > 0) rows.push({ words: 'edge of an environment', draw: (x, y) => [path([move(x, y), line(x + 40 * u, y)], { stroke: 'muted', width: 0.6 * u, dash: [0.6 * u, 3 * u] })] });
  if (sheet.symbols.some((s) => s.facing !== undefined)) rows.push({ words: 'bar: front of the device', draw: (x, y) => [rectangle(x + 15 * u, y - 5 * u, 10 * u, 8 * u, { width: 0.7 * u }), path([move(x + 17 * u, y + 4.4 * u), line(x + 23 * u, y + 4.4 * u)], { width: 1.2 * u })] });
  if (rows.length === 0) return null;
  const row = 12.5 * u;
  return {
    width: 47 * u + Math.max(...rows.map((r) => measure(r.words, 7 * u, false))), height: 10 * u + row * rows.length,
    draw: (x, y) => [text(x, y + 4 * u, 'Lines, handle to load', 7.5 * u, true), ...rows.flatMap((r, i) => { const middle = y + 10 * u + row * (i + 0.5); return [...r.draw(x, middle), text(x + 47 * u, middle, r.words, 7 * u)]; })],
  };
}

function cautionBlock(report: Report, drawing: SheetDrawing, u: number, measure: Measure, width: number): Block {
  const paragraphs = [...report.cautions, ...(drawing.omitted.length > 0 ? [`No room on the sheet for: ${drawing.omitted.join('; ')}. See the schedule.`] : [])];
  const size = 6.5 * u;
  const columns = Math.max(1, Math.floor(width / (340 * u))); const wide = (width - (columns - 1) * 18 * u) / columns;
  const wrapped = paragraphs.map((p) => wrap(p, wide, size, false, measure));
  // Paragraphs stay whole; a column takes paragraphs until it holds its share of the lines.
  const share = Math.ceil(wrapped.reduce((sum, w) => sum + w.length, 0) / columns);
  const piles: string[][] = [[]];
  for (const w of wrapped) { if ((piles.at(-1)?.length ?? 0) >= share && piles.length < columns) piles.push([]); piles.at(-1)?.push(...w); }
  return {
    width, height: 10 * u + Math.max(...piles.map((p) => p.length)) * size * 1.3,
    draw: (x, y) => [text(x, y + 4 * u, 'Cautions', 7.5 * u, true), ...piles.flatMap((pile, c) => pile.map((l, i) => text(x + c * (wide + 18 * u), y + 10 * u + size * 1.3 * (i + 0.5), l, size)))],
  };
}
