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
const CURVE_POINTS_COMPARED = 400;

type Point = readonly [number, number];
interface OtherEntity {
  readonly type: string; readonly inPaperSpace?: boolean; readonly visible?: boolean; readonly name?: string;
  readonly vertices?: readonly { readonly x: number; readonly y: number; readonly bulge?: number }[]; readonly shape?: boolean;
  readonly center?: { readonly x: number; readonly y: number }; readonly radius?: number; readonly startAngle?: number; readonly endAngle?: number;
  readonly position?: { readonly x: number; readonly y: number }; readonly xScale?: number; readonly yScale?: number; readonly rotation?: number;
  readonly columnCount?: number; readonly rowCount?: number; readonly columnSpacing?: number; readonly rowSpacing?: number;
  readonly extrusionDirection?: { readonly z: number }; readonly extrusionDirectionZ?: number;
  readonly controlPoints?: readonly { readonly x: number; readonly y: number }[]; readonly fitPoints?: readonly { readonly x: number; readonly y: number }[];
  readonly knotValues?: readonly number[]; readonly degreeOfSplineCurve?: number; readonly rational?: boolean;
}
interface OtherBlock { readonly position?: { readonly x: number; readonly y: number }; readonly entities?: readonly OtherEntity[] }

/** What another library reads; null where it cannot read the file. */
function otherReading(bytes: Uint8Array): { readonly entities: readonly OtherEntity[]; readonly blocks: Readonly<Record<string, OtherBlock>> } | null {
  if (isBinaryDxf(bytes)) return null;
  try {
    const read = new DxfParser().parseSync(Buffer.from(bytes).toString('utf8')) as unknown as { readonly entities?: readonly OtherEntity[]; readonly blocks?: Readonly<Record<string, OtherBlock>> } | null;
    return { entities: (read?.entities ?? []).filter((e) => !e.inPaperSpace && e.visible !== false), blocks: read?.blocks ?? {} };
  } catch { return null; }
}

const isPlain = (e: OtherEntity): boolean => (e.extrusionDirection?.z ?? e.extrusionDirectionZ ?? 1) > 0;
const cornersOf = (e: OtherEntity): Point[] => (['LINE', 'LWPOLYLINE'].includes(e.type) && isPlain(e) ? (e.vertices ?? []).map(({ x, y }) => [x, y] as const) : []);

/** Points of the curves of an entity by their closed forms: arcs and circles from centre, radius and angles, a bulge as the tangent of a quarter of its angle. */
function curvePoints(e: OtherEntity): Point[] {
  if (!isPlain(e)) return [];
  if ((e.type === 'ARC' || e.type === 'CIRCLE') && e.center && e.radius) {
    const from = e.type === 'ARC' ? e.startAngle ?? 0 : 0;
    const sweep = e.type === 'ARC' ? (((e.endAngle ?? 0) - from) % (2 * Math.PI) + 2 * Math.PI) % (2 * Math.PI) || 2 * Math.PI : 2 * Math.PI;
    return [0, 0.25, 0.5, 0.75, 1].map((share) => [e.center!.x + e.radius! * Math.cos(from + sweep * share), e.center!.y + e.radius! * Math.sin(from + sweep * share)] as const);
  }
  if (e.type !== 'LWPOLYLINE') return [];
  const vertices = e.vertices ?? [];
  return vertices.flatMap((a, i): Point[] => {
    const b = vertices[i + 1] ?? (e.shape ? vertices[0] : undefined);
    if (!b || !a.bulge) return [];
    // The middle of the arc lies bulge times half the chord to the right of it.
    return [[(a.x + b.x) / 2 + (a.bulge * (b.y - a.y)) / 2, (a.y + b.y) / 2 - (a.bulge * (b.x - a.x)) / 2]];
  });
}

/**
 * Points of a spline by the basis functions of Cox and de Boor, each by its own recursion; of one that has fit points only, these.
 * Weights are not read by the other library: one that has them is left out.
 */
function splineOf(e: OtherEntity): Point[] {
  if (e.type !== 'SPLINE' || e.rational === true) return [];
  const [control, knots, degree] = [e.controlPoints ?? [], e.knotValues ?? [], e.degreeOfSplineCurve ?? 3];
  if (control.length === 0) return (e.fitPoints ?? []).map(({ x, y }) => [x, y] as const);
  if (knots.length !== control.length + degree + 1 || knots.length > 200) return [];
  const basis = (i: number, p: number, t: number): number => {
    if (p === 0) return knots[i]! <= t && t < knots[i + 1]! ? 1 : 0;
    const part = (share: number, of: number): number => (of === 0 ? 0 : share / of);
    return part(t - knots[i]!, knots[i + p]! - knots[i]!) * basis(i, p - 1, t) + part(knots[i + p + 1]! - t, knots[i + p + 1]! - knots[i + 1]!) * basis(i + 1, p - 1, t);
  };
  const [from, to] = [knots[degree]!, knots[control.length]!];
  return Array.from({ length: 60 }, (_, k): Point => {
    const t = from + ((to - from) * k) / 60;
    return control.reduce<Point>(([x, y], p, i) => { const b = basis(i, degree, t); return [x + b * p.x, y + b * p.y]; }, [0, 0]);
  });
}

/** A plane map as the DXF reference gives it for an insert: (a c e; b d f). */
type Plane = readonly [number, number, number, number, number, number];
const product = ([a, b, c, d, e, f]: Plane, [p, q, r, s, t, u]: Plane): Plane => [a * p + c * q, b * p + d * q, a * r + c * s, b * r + d * s, a * t + c * u + e, b * t + d * u + f];
const MOST_CELLS = 4;
const DEEPEST = 6;

/** Points of what a block holds where it is inserted, in blocks within blocks too: the product of mirror, shift, turn, cell, scale and base point of each. */
function insertedPoints(e: OtherEntity, blocks: Readonly<Record<string, OtherBlock>>, outer: Plane = [1, 0, 0, 1, 0, 0], depth = 0): { readonly point: Point; readonly depth: number }[] {
  const block = e.type === 'INSERT' && e.position && depth < DEEPEST ? blocks[e.name ?? ''] : undefined;
  if (!block || !e.position || (e.extrusionDirection && Math.abs(e.extrusionDirection.z) !== 1)) return [];
  const base = block.position ?? { x: 0, y: 0 };
  const angle = ((e.rotation ?? 0) * Math.PI) / 180;
  const inside = (block.entities ?? []).filter((each) => each.visible !== false);
  const points = inside.flatMap((each) => [...cornersOf(each), ...curvePoints(each), ...splineOf(each)]).slice(0, 60);
  const found: { readonly point: Point; readonly depth: number }[] = [];
  for (let column = 0; column < Math.min(MOST_CELLS, e.columnCount || 1); column++) for (let row = 0; row < Math.min(MOST_CELLS, e.rowCount || 1); row++) {
    const steps: Plane[] = [
      outer, [isPlain(e) ? 1 : -1, 0, 0, 1, 0, 0], [1, 0, 0, 1, e.position.x, e.position.y], [Math.cos(angle), Math.sin(angle), -Math.sin(angle), Math.cos(angle), 0, 0],
      [1, 0, 0, 1, column * (e.columnSpacing ?? 0), row * (e.rowSpacing ?? 0)], [e.xScale ?? 1, 0, 0, e.yScale ?? 1, 0, 0], [1, 0, 0, 1, -base.x, -base.y],
    ];
    const to = steps.reduce(product);
    found.push(...points.map(([x, y]) => ({ point: [to[0] * x + to[2] * y + to[4], to[1] * x + to[3] * y + to[5]] as const, depth })), ...inside.flatMap((each) => insertedPoints(each, blocks, to, depth + 1)));
  }
  return found;
}

const some = <T>(list: readonly T[], most: number): T[] => { const step = Math.max(1, Math.floor(list.length / most)); return list.filter((_, i) => i % step === 0); };

/** Each corner that another library finds must lie where the sheet has one, within a ten-thousandth of its long side; each point of a curve or of a block must lie on a line of it, within a two-thousandth. */
function checkCorners(sheet: DrawingSheet, bytes: Uint8Array): string[] {
  const other = otherReading(bytes);
  if (!other) return [];
  const faults: string[] = [];
  const long = Math.max(sheet.width, sheet.height);
  const onSheet = ([x, y]: Point): Point => [(x - sheet.origin[0]) * sheet.unitsPerDrawingUnit, sheet.height - (sheet.origin[1] - y) * sheet.unitsPerDrawingUnit];
  const lines = sheet.parts.flatMap(({ marks }) => marks.flatMap((mark) => (mark.kind === 'line' ? [mark.points] : mark.kind === 'fill' ? mark.loops : [])));
  const within = long / 10_000;
  const key = (x: number, y: number): string => `${x} ${y}`;
  const cells = new Set<string>();
  for (const points of lines) for (const [x, y] of points) for (const dx of [-1, 0, 1]) for (const dy of [-1, 0, 1]) cells.add(key(Math.round(x / within) + dx, Math.round(y / within) + dy));
  const corners = some(other.entities.flatMap(cornersOf), CORNERS_COMPARED);
  const lost = corners.filter((point) => { const [x, y] = onSheet(point); return !cells.has(key(Math.round(x / within), Math.round(y / within))); });
  if (lost.length > 0) faults.push(`${lost.length} of ${corners.length} corners that another reader finds are not on the sheet, the first at ${lost[0]!.join(' ')}`);
  const inserted = other.entities.flatMap((e) => insertedPoints(e, other.blocks));
  for (const [what, found] of [
    ['points of arcs, circles and bulges', other.entities.flatMap(curvePoints)], ['points of splines', other.entities.flatMap(splineOf)],
    ['points of inserted blocks', inserted.filter(({ depth }) => depth === 0).map(({ point }) => point)], ['points of blocks in blocks', inserted.filter(({ depth }) => depth > 0).map(({ point }) => point)],
  ] as const) {
    const looked = some(found, CURVE_POINTS_COMPARED);
    compared.set(what, (compared.get(what) ?? 0) + looked.length);
    const off = looked.filter((point) => awayFrom(onSheet(point), lines) > long / 2000);
    if (off.length > 0) faults.push(`${off.length} of ${looked.length} ${what} that another reader and closed forms give are not on the sheet, the first at ${off[0]!.join(' ')}`);
  }
  compared.set('corners', (compared.get('corners') ?? 0) + corners.length);
  return faults;
}

/** How many points of drawings were compared so far, by kind. */
export const compared = new Map<string, number>();

function awayFrom([x, y]: Point, lines: readonly (readonly Point[])[]): number {
  let best = Infinity;
  for (const points of lines) for (let i = 0; i < points.length; i++) {
    const [ax, ay] = points[Math.max(0, i - 1)]!; const [bx, by] = points[i]!;
    const [dx, dy] = [bx - ax, by - ay];
    const along = Math.max(0, Math.min(1, ((x - ax) * dx + (y - ay) * dy) / (dx * dx + dy * dy || 1)));
    best = Math.min(best, (x - ax - along * dx) ** 2 + (y - ay - along * dy) ** 2);
  }
  return Math.sqrt(best);
}
