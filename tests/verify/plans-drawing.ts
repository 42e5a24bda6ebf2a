import DxfParser from 'dxf-parser';
import { dxfPairs } from '../../main/exchange/dxf-pairs';
import { drawingSheets, isBinaryDxf, readDxf } from '../../shared-core/exchange/index';
import type { DrawingSheet } from '../../shared-core/exchange/index';
import type { HostOutput } from '../../shared-core/host-api';
import type { ManifestEntry } from './plans-types';

const UNITS: Record<number, string> = { 1: 'inch', 2: 'foot', 4: 'millimetre', 5: 'centimetre', 6: 'metre' };
const METRES_PER_FOOT = 0.3048;

/** Compares a DXF sheet with what an independent reader said: unit, entities, layers, extent, longest wall, dimensions. */
export function checkDrawing(plan: HostOutput<'inspectPlan'>, { verified, calibration, what }: ManifestEntry, bytes: Uint8Array): string[] {
  const faults: string[] = [];
  const page = plan.pages[0]!;
  const { drawing } = page;
  if (!drawing) return ['says nothing about the drawing\'s own coordinates'];
  const file = readDxf(dxfPairs(bytes));
  const sheet = drawingSheets(file)[0]!;
  // The tool that read them fills in a unit of its own where the header has none.
  if (!file.header.has('$INSUNITS')) { if (drawing.declaredUnit !== null) faults.push('declares a unit that the file does not have'); }
  else if (verified.insunits !== undefined && (UNITS[verified.insunits ?? 0] ?? null) !== drawing.declaredUnit) faults.push(`declares ${drawing.declaredUnit}, should be unit number ${verified.insunits}`);
  const counts: Record<string, number> = {};
  for (const { groups } of file.model) counts[groups.type] = (counts[groups.type] ?? 0) + 1;
  for (const [type, count] of Object.entries(verified.entities ?? {})) if (counts[type] !== count) faults.push(`${counts[type] ?? 0} ${type}, should be ${count}`);
  const layers = new Set(page.layers.map((layer) => layer.name));
  for (const [layer] of verified.layers_used ?? []) if (!layers.has(layer) && sheet.parts[0]!.marks.some((mark) => mark.layer === layer)) faults.push(`the layer ${layer} cannot be switched`);
  faults.push(...checkCorners(sheet, bytes));
  if (Array.isArray(verified.bbox)) faults.push(...checkExtent(page, drawing, verified.bbox, Object.keys(verified.entities ?? {})));
  const segments = sheet.parts[0]!.marks.flatMap((mark) => (mark.kind === 'line' ? mark.points.slice(1).map((p, i) => Math.hypot(p[0] - mark.points[i]![0], p[1] - mark.points[i]![1])) : []));
  const longest = segments.reduce((a, b) => Math.max(a, b), 0);
  const units = calibration?.longest_wall_drawing_units;
  if (units && Math.abs(longest / drawing.unitsPerDrawingUnit - units) > 0.0011 * Math.max(1, units / 100)) faults.push(`longest wall ${longest / drawing.unitsPerDrawingUnit} drawing units, should be ${units}`);
  const metres = calibration?.longest_wall_metres;
  if (metres && page.scales[0]?.feetPerUnit && Math.abs(longest * page.scales[0].feetPerUnit * METRES_PER_FOOT - metres) > 0.0011) faults.push(`longest wall ${longest * page.scales[0].feetPerUnit * METRES_PER_FOOT} m, should be ${metres}`);
  for (const { label, drawing_units: long } of calibration?.known_dimensions ?? []) {
    const found = page.lengths.find(({ text, from, to }) => text.includes(label) && Math.abs(Math.hypot(from[0] - to[0], from[1] - to[1]) / drawing.unitsPerDrawingUnit - long!) < 0.5);
    if (!found) faults.push(`the dimension ${label} (${long} drawing units) is not offered`);
    else if (Math.abs(found.feet - Number.parseFloat(label)) > 1e-9) faults.push(`${label} was read as ${found.feet} ft`);
  }
  if (calibration?.true_unit === 'inch') {
    if (!page.warnings.some((warning) => warning.code === 'unit-contradicted')) faults.push('the wrong declared unit is not noticed');
    if (Math.abs((page.scales[0]?.feetPerUnit ?? 0) * drawing.unitsPerDrawingUnit * 12 - 1) > 0.01) faults.push('the unit that the dimensions prove is not offered first');
  }
  if (what.includes('web-map') && !page.warnings.some((warning) => warning.code === 'map-coordinates')) faults.push('map coordinates are not noticed');
  return faults;
}

/** Extents of text depend on the font, and those of curves are taken from their control points there; a drawing without them must agree closely. */
function checkExtent(page: HostOutput<'inspectPlan'>['pages'][number], drawing: NonNullable<typeof page.drawing>, [[x1, y1], [x2, y2]]: [[number, number], [number, number]], kinds: string[]): string[] {
  const loose = kinds.some((kind) => ['TEXT', 'MTEXT', 'INSERT', 'DIMENSION', 'SPLINE', 'WIPEOUT', 'HATCH', 'POLYLINE'].includes(kind));
  const long = Math.max(x2 - x1, y2 - y1);
  const edge = 0.02 * long;
  const own = [drawing.origin[0] + edge, drawing.origin[1] - page.height / drawing.unitsPerDrawingUnit + edge, drawing.origin[0] + page.width / drawing.unitsPerDrawingUnit - edge, drawing.origin[1] - edge];
  const within = long * (kinds.some((kind) => kind.endsWith('TEXT')) ? 0.3 : loose ? 0.12 : 0.003);
  return own.every((value, i) => Math.abs(value - [x1, y1, x2, y2][i]!) <= within) ? [] : [`extent ${own.map((v) => v.toFixed(3)).join(' ')}, should be ${[x1, y1, x2, y2].join(' ')}`];
}

const CORNERS_COMPARED = 5000;

/** Corners of all plain lines of model space as another library reads them; null where it cannot read the file. */
function otherCorners(bytes: Uint8Array): (readonly [number, number])[] | null {
  if (isBinaryDxf(bytes)) return null;
  try {
    const read = new DxfParser().parseSync(Buffer.from(bytes).toString('utf8'));
    const entities = (read?.entities ?? []) as { type: string; inPaperSpace?: boolean; vertices?: { x: number; y: number }[]; extrusionDirection?: { z: number }; extrusionDirectionZ?: number }[];
    return entities.filter((e) => ['LINE', 'LWPOLYLINE'].includes(e.type) && !e.inPaperSpace && (e.extrusionDirection?.z ?? e.extrusionDirectionZ ?? 1) > 0).flatMap((e) => (e.vertices ?? []).map(({ x, y }) => [x, y] as const));
  } catch { return null; }
}

/** Each of those corners must lie where the sheet has one, within a ten-thousandth of the long side of the sheet. */
function checkCorners(sheet: DrawingSheet, bytes: Uint8Array): string[] {
  const others = otherCorners(bytes);
  if (!others || others.length === 0) return [];
  const within = Math.max(sheet.width, sheet.height) / 10_000;
  const key = (x: number, y: number): string => `${x} ${y}`;
  const cells = new Set<string>();
  for (const { marks } of sheet.parts) for (const mark of marks) for (const [x, y] of mark.kind === 'line' ? mark.points : []) {
    for (const dx of [-1, 0, 1]) for (const dy of [-1, 0, 1]) cells.add(key(Math.round(x / within) + dx, Math.round(y / within) + dy));
  }
  const step = Math.max(1, Math.floor(others.length / CORNERS_COMPARED));
  const looked = others.filter((_, i) => i % step === 0);
  const lost = looked.filter(([x, y]) => !cells.has(key(Math.round((x - sheet.origin[0]) * sheet.unitsPerDrawingUnit / within), Math.round((sheet.height - (sheet.origin[1] - y) * sheet.unitsPerDrawingUnit) / within))));
  return lost.length > 0 ? [`${lost.length} of ${looked.length} corners that another reader finds are not on the sheet, the first at ${lost[0]!.join(' ')}`] : [];
}
