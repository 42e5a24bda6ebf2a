import type { Verdict } from '../code-data/index';
import { STATUS_INK, frontBar, statusMark, symbolOf } from './symbols';
import { boundsOf, close, line, move, path, placeSymbol, rectangle, withHalo, words } from './ink';
import type { Box, Ink, Primitive } from './ink';
import { placeLabels } from './labels';
import type { LabelRequest, PlacedLabel } from './labels';
import { sightLineMarks } from './lines';
import type { At } from './lines';
import type { ReportLine, ReportSheet, ReportSymbol } from './report';

/** Width of a text at a size; the one metric that laying out needs. */
export type Measure = (text: string, size: number, bold: boolean) => number;

export interface SheetDrawing {
  readonly marks: readonly Primitive[];
  /** Where each mark's label came to stand, points, y down; tests and read-back use it. */
  readonly labels: readonly PlacedLabel[];
  /** Words of labels that found no free place: they are listed beside the drawing. */
  readonly omitted: readonly string[];
  /** Size factor of marks and letters on this sheet. */
  readonly unit: number;
}

/** Marks grow a little with the sheet, so that they stay legible on a large print without hiding a small one. */
export const markUnit = (sheet: ReportSheet): number => Math.min(1.7, Math.max(0.72, Math.sqrt(sheet.width * sheet.height) * sheet.pointsPerUnit / 965));

interface Line { readonly text: string; readonly size: number; readonly bold: boolean; readonly ink: Ink }
/** A label before it has a place: its lines of text, and the status mark that leads it. */
interface Draft { readonly request: LabelRequest; readonly lines: readonly Line[]; readonly status?: Verdict; readonly frame?: Ink; readonly plain: string }

/**
 * Everything that is drawn over one sheet, in paper points, y down from the sheet's top left corner: positions are the
 * document's own, so the drawing stays true to scale; only letters and symbols have a size of their own.
 * @param crowding how full a box of the plan is already, 0 to 1, in the same points: labels keep off the plan's own words
 */
export function drawSheet(sheet: ReportSheet, measure: Measure, crowding?: (box: Box) => number): SheetDrawing {
  const k = sheet.pointsPerUnit; const u = markUnit(sheet);
  const on = ([x, y]: At): At => [x * k, y * k];
  const size = 13 * u; const rim = 1.3 * u;
  const bounds: Box = { x: 3 * u, y: 3 * u, width: sheet.width * k - 6 * u, height: sheet.height * k - 6 * u };
  const marks: Primitive[] = [];
  if (!sheet.plan) marks.push(...bareSpace(sheet, on, k, u));
  for (const area of sheet.areas) marks.push(outline(area.outline.map(on), { stroke: 'muted', width: 0.5 * u, dash: [0.6 * u, 3 * u] }));
  for (const space of sheet.spaces) marks.push(outline(space.map(on), { stroke: 'ink', width: 0.6 * u, dash: [3 * u, 1.6 * u] }));
  const under: Primitive[] = sheet.blockers.map((o) => outline(o.map(on), { stroke: 'act', width: 1.5 * u }));
  for (const l of sheet.lines) under.push(...sightLineMarks({ ...l, from: on(l.from), to: on(l.to), ...(l.blockedAt ? { blockedAt: on(l.blockedAt) } : {}) }, { width: 0.95 * u, fromClear: size * 0.62, toClear: size * 0.6 }));
  marks.push(...withHalo(under, 0.9 * u));
  const symbols = sheet.symbols.map((s) => ({ symbol: s, marks: symbolMarks(s, on(s.at), size) }));
  // All rims first: no symbol may cut into its neighbour.
  marks.push(...symbols.flatMap((s) => withHalo(s.marks, rim).slice(0, -s.marks.length)), ...symbols.flatMap((s) => s.marks));
  const boxes = symbols.map((s) => boundsOf(s.marks, measure));
  const drafts = [...sheet.symbols.map((s, i) => symbolLabel(s, boxes[i] as Box, u, measure)), ...lineLabels(sheet.lines, on, u, measure), ...areaLabels(sheet, on, u, measure)];
  const bars = sheet.lines.filter((l) => l.blockedAt).map((l): Box => { const [x, y] = on(l.blockedAt as At); return { x: x - 4 * u, y: y - 4 * u, width: 8 * u, height: 8 * u }; });
  const plan = placeLabels(drafts.map((d) => d.request), {
    bounds, keepClear: [...boxes, ...bars], gap: 1.6 * u, ...(crowding ? { crowding } : {}),
    // Sight lines count double: a line must not seem to start at a label.
    rather: [...[...sheet.lines, ...sheet.lines].map((l) => [on(l.from), on(l.to)] as const), ...sheet.walls.flatMap((w) => w.points.slice(1).map((p, i) => [on(w.points[i] as At), on(p)] as const)),
      ...[...sheet.bodies.map((b) => b.outline), ...sheet.spaces].flatMap((o) => o.map((p, i) => [on(p), on(o[(i + 1) % o.length] as At)] as const))],
  });
  const byId = new Map(drafts.map((d) => [d.request.id, d]));
  const leaders = plan.placed.flatMap((p) => (p.leader ? [path([move(...p.leader[0]), line(...p.leader[1])], { width: 0.5 * u })] : []));
  marks.push(...withHalo(leaders, 0.8 * u), ...plan.placed.flatMap((p) => labelMarks(byId.get(p.id) as Draft, p.box, u)));
  const omitted = plan.omitted.flatMap((id) => { const d = byId.get(id); return d && !id.startsWith('area:') ? [d.plain] : []; });
  return { marks, labels: plan.placed, omitted, unit: u };
}

const outline = (points: readonly At[], style: Parameters<typeof path>[1]): Primitive =>
  path([...points.map((p, i) => (i === 0 ? move(...p) : line(...p))), close], style);

function symbolMarks(s: ReportSymbol, [x, y]: At, size: number): Primitive[] {
  const own = s.facing === undefined ? symbolOf(s.symbol, s.letter) : [...symbolOf(s.symbol), ...frontBar(s.facing)];
  return placeSymbol(own, { x, y, size: s.symbol === 'controller' || s.symbol === 'machine' ? size * 0.86 : size });
}

const PAD = 1.5;

function draft(id: string, beside: LabelRequest['beside'], lines: readonly Line[], u: number, measure: Measure, more: { rank: number; status?: Verdict; frame?: Ink; plain: string }): Draft {
  const shown = lines.filter((l) => l.text !== '');
  const text = Math.max(...shown.map((l) => measure(l.text, l.size, l.bold)));
  const lead = more.status === undefined ? 0 : 10 * u;
  const height = shown.reduce((sum, l) => sum + l.size * 1.12, 0);
  return { request: { id, beside, width: text + lead + 2 * PAD * u, height: height + 2 * PAD * u * 0.7, rank: more.rank }, lines: shown, plain: more.plain, ...(more.status ? { status: more.status } : {}), ...(more.frame ? { frame: more.frame } : {}) };
}

function symbolLabel(s: ReportSymbol, box: Box, u: number, measure: Measure): Draft {
  const middle: At = [box.x + box.width / 2, box.y + box.height / 2];
  const isDevice = s.verdict !== undefined;
  // A device is read from its front: its label stays in the room it faces.
  const front = s.facing === undefined ? undefined : (s.facing * Math.PI) / 180;
  return draft(`symbol:${s.id}`, { at: middle, clear: Math.max(box.width, box.height) / 2, ...(front === undefined ? {} : { towards: [Math.cos(front), Math.sin(front)] as const }) }, [
    { text: s.tag, size: (isDevice ? 8 : 7) * u, bold: true, ink: 'ink' }, { text: s.words, size: 5.4 * u, bold: false, ink: 'ink' },
  ], u, measure, { rank: isDevice ? 3 : 2, plain: `${s.tag} ${s.words}`.trim(), ...(s.verdict ? { status: s.verdict } : {}) });
}

function lineLabels(lines: readonly ReportLine[], on: (p: At) => At, u: number, measure: Measure): Draft[] {
  return lines.map((l) => {
    const from = on(l.from);
    // A blocked line is labelled where it can be seen: between the handle and the bar.
    const to = on(l.blockedAt ?? l.to);
    const [length, ...rest] = l.label.split(', ');
    const ink = STATUS_INK[l.verdict] === 'muted' ? 'ink' : STATUS_INK[l.verdict];
    return draft(`line:${l.id}`, { from, to }, [{ text: length ?? '', size: 6.6 * u, bold: true, ink }, { text: rest.join(', '), size: 5.6 * u, bold: false, ink }], u, measure,
      { rank: rest.length > 0 ? 1.5 : 1, frame: ink, plain: l.label });
  });
}

function areaLabels(sheet: ReportSheet, on: (p: At) => At, u: number, measure: Measure): Draft[] {
  return sheet.areas.filter((a) => a.words !== '').map((a) => {
    const points = a.outline.map(on);
    const x1 = Math.min(...points.map((p) => p[0])); const x2 = Math.max(...points.map((p) => p[0])); const y2 = Math.max(...points.map((p) => p[1]));
    return draft(`area:${a.id}`, { from: [x1, y2 - 8 * u], to: [x2, y2 - 8 * u] }, [{ text: a.words, size: 5.4 * u, bold: false, ink: 'muted' }], u, measure, { rank: 0, plain: a.words });
  });
}

function labelMarks(d: Draft, box: Box, u: number): Primitive[] {
  const marks: Primitive[] = [rectangle(box.x, box.y, box.width, box.height, { fill: 'paper', stroke: d.frame ?? null, width: d.frame ? 0.6 * u : 0 })];
  const lead = d.status === undefined ? 0 : 10 * u;
  let y = box.y + PAD * u * 0.7;
  for (const l of d.lines) {
    const height = l.size * 1.12;
    const middle = d.frame !== undefined;
    marks.push(words(middle ? box.x + box.width / 2 : box.x + PAD * u + lead, y + height / 2, l.text, l.size, { ink: l.ink, weight: l.bold ? 'bold' : 'regular', align: middle ? 'middle' : 'left' }));
    y += height;
  }
  if (d.status) marks.push(...placeSymbol(statusMark(d.status), { x: box.x + PAD * u + 4.2 * u, y: box.y + PAD * u * 0.7 + (d.lines[0]?.size ?? 8) * 0.56, size: 8.4 * u }));
  return marks;
}

/** Without a plan the marked walls and bodies are the drawing. */
function bareSpace(sheet: ReportSheet, on: (p: At) => At, k: number, u: number): Primitive[] {
  const marks: Primitive[] = [rectangle(0, 0, sheet.width * k, sheet.height * k, { fill: 'paper', stroke: 'muted', width: 0.5 * u })];
  for (const wall of sheet.walls) marks.push(path(wall.points.map((p, i) => (i === 0 ? move(...on(p)) : line(...on(p)))), { stroke: 'muted', width: Math.max(wall.thickness * k, 0.8 * u) }));
  for (const body of sheet.bodies) marks.push(outline(body.outline.map(on), { fill: 'paper', width: 0.7 * u }));
  return marks;
}

