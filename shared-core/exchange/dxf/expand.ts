import { apply, applyDirection, compose, IDENTITY, placement, planeOf } from './affine';
import type { Affine, Vector } from './affine';
import { indexedColour, onPaper, packedColour } from './colour';
import type { Colour } from './colour';
import { arcPoints, bulgedPoints, ellipsePoints, pointsThrough, splinePoints, sweepBetween } from './curves';
import { hatchLines, hatchLoops } from './hatch';
import type { DimensionMark, DrawingMark } from './marks';
import { unescapeText } from './records';
import type { DxfEntity, DxfFile, Groups } from './records';
import { lineOf, linesOf, wrapLines } from './text';

export interface Expanded {
  readonly marks: readonly DrawingMark[];
  readonly dimensions: readonly DimensionMark[];
  /** Kinds of objects that are not drawn, with their count. */
  readonly skipped: ReadonlyMap<string, number>;
  /** True when a limit cut the drawing short. */
  readonly cut: boolean;
}

export const EXPAND_LIMITS = { depth: 24, marks: 600_000, array: 20_000 } as const;
const RADIANS = Math.PI / 180;

interface Context { readonly to: Affine; readonly depth: number; readonly layer: string; readonly colour: Colour; readonly within: readonly string[] }

const NOT_DRAWN = new Set(['VIEWPORT', 'ATTDEF', 'POINT', 'SEQEND', 'ACAD_PROXY_ENTITY', 'OLE2FRAME', 'LIGHT', 'SUN', 'XLINE', 'RAY']);

/** Lays out every entity, blocks within blocks included. */
export function expandDrawing(file: DxfFile, entities: readonly DxfEntity[]): Expanded {
  const expander = new Expander(file);
  const context: Context = { to: IDENTITY, depth: 0, layer: '0', colour: [0, 0, 0], within: [] };
  for (const entity of entities) expander.entity(entity, context);
  return expander;
}

class Expander implements Expanded {
  readonly marks: DrawingMark[] = [];
  readonly dimensions: DimensionMark[] = [];
  readonly skipped = new Map<string, number>();
  cut = false;

  constructor(readonly file: DxfFile) {}

  entity(entity: DxfEntity, context: Context): void {
    const { groups } = entity;
    const own = unescapeText(groups.text(8, '0'));
    // What lies on layer 0 of a block takes the layer of its insert.
    const layer = own === '0' && context.depth > 0 ? context.layer : own;
    if (groups.number(60) === 1) return;
    const inner: Context = { ...context, layer, colour: this.#colour(groups, layer, context) };
    if (this.marks.length >= EXPAND_LIMITS.marks) { this.cut = true; return; }
    this.#draw(entity, inner);
  }

  #colour(groups: Groups, layer: string, context: Context): Colour {
    if (groups.has(420)) return onPaper(packedColour(groups.number(420)));
    const index = groups.number(62, 256);
    if (index === 0) return context.colour;
    if (index !== 256) return onPaper(indexedColour(Math.abs(index)));
    const entry = this.file.layers.get(layer.toLowerCase());
    return onPaper(entry?.trueColour === null || entry?.trueColour === undefined ? indexedColour(entry?.colour ?? 7) : packedColour(entry.trueColour));
  }

  #draw(entity: DxfEntity, context: Context): void {
    const { groups } = entity;
    const point = (code: number): Vector => [groups.number(code), groups.number(code + 10), groups.number(code + 20)];
    const extrusion: Vector = groups.has(210) ? point(210) : [0, 0, 1];
    const flat = compose(context.to, planeOf(extrusion));
    switch (groups.type) {
      case 'LINE': this.#line([point(10), point(11)], context.to, context, 'LINE'); return;
      case 'CIRCLE': this.#line(arcPoints(point(10), groups.number(40), 0, 2 * Math.PI), flat, context, 'CIRCLE'); return;
      case 'ARC': {
        const start = groups.number(50) * RADIANS;
        this.#line(arcPoints(point(10), groups.number(40), start, sweepBetween(start, groups.number(51, 360) * RADIANS)), flat, context, 'ARC');
        return;
      }
      case 'ELLIPSE': this.#ellipse(groups, context); return;
      case 'SPLINE': this.#spline(groups, context); return;
      case 'LWPOLYLINE': this.#lightPolyline(groups, flat, context); return;
      case 'POLYLINE': this.#polyline(entity, flat, context); return;
      case 'LEADER': this.#line(pointsOf(groups, 10), context.to, context, 'LEADER'); return;
      case 'MLINE': this.#line(pointsOf(groups, 11), context.to, context, 'MLINE'); return;
      case 'SOLID': case 'TRACE': this.#fill([[point(10), point(11), groups.has(13) ? point(13) : point(12), point(12)]], flat, context, false); return;
      case '3DFACE': this.#line([point(10), point(11), point(12), groups.has(13) ? point(13) : point(12), point(10)], context.to, context, '3DFACE'); return;
      case 'HATCH': this.#hatch(groups, flat, context); return;
      case 'WIPEOUT': this.#wipeout(groups, context); return;
      case 'TEXT': case 'ATTRIB': this.#text(groups, flat, context); return;
      case 'MTEXT': this.#manyLines(groups, context); return;
      case 'INSERT': this.#insert(entity, flat, context); return;
      case 'DIMENSION': case 'ARC_DIMENSION': this.#dimension(groups, context); return;
      case 'ACAD_TABLE': this.#block(groups.text(2), compose(context.to, placement([1, 1, 1], 0, point(10))), context, groups.type); return;
      default:
        if (!NOT_DRAWN.has(groups.type)) this.#skip(groups.type);
    }
  }

  #skip(type: string): void { this.skipped.set(type, (this.skipped.get(type) ?? 0) + 1); }

  #line(points: readonly Vector[], to: Affine, { layer, colour }: Context, source: string): void {
    const flat = points.map((point) => apply(to, point)).map(([x, y]) => [x, y] as const).filter(([x, y]) => Number.isFinite(x) && Number.isFinite(y));
    if (flat.length > 1) this.marks.push({ kind: 'line', layer, colour, points: flat, source });
  }

  #fill(loops: readonly (readonly Vector[])[], to: Affine, { layer, colour }: Context, cover: boolean): void {
    const flat = loops.map((loop) => loop.map((point) => apply(to, point)).map(([x, y]) => [x, y] as const).filter(([x, y]) => Number.isFinite(x) && Number.isFinite(y)));
    this.marks.push({ kind: 'fill', layer, colour, loops: flat.filter((loop) => loop.length > 2), cover });
  }

  #ellipse(groups: Groups, context: Context): void {
    const centre: Vector = [groups.number(10), groups.number(20), groups.number(30)];
    const major: Vector = [groups.number(11, 1), groups.number(21), groups.number(31)];
    const normal = planeOf(groups.has(210) ? [groups.number(210), groups.number(220), groups.number(230)] : [0, 0, 1]).z;
    const ratio = groups.number(40, 1);
    const minor: Vector = [
      (normal[1] * major[2] - normal[2] * major[1]) * ratio, (normal[2] * major[0] - normal[0] * major[2]) * ratio, (normal[0] * major[1] - normal[1] * major[0]) * ratio,
    ];
    const start = groups.number(41);
    this.#line(ellipsePoints(centre, major, minor, start, sweepBetween(start, groups.number(42, 2 * Math.PI))), context.to, context, 'ELLIPSE');
  }

  #spline(groups: Groups, context: Context): void {
    const points = splinePoints(groups.number(71, 3), groups.numbers(40), pointsOf(groups, 10), groups.numbers(41));
    const through = pointsOf(groups, 11);
    if (points.length > 1) this.#line(points, context.to, context, 'SPLINE');
    else if (through.length > 1) this.#line(pointsThrough(through, (groups.number(70) & 1) === 1, [pointsOf(groups, 12)[0] ?? null, pointsOf(groups, 13)[0] ?? null]), context.to, context, 'SPLINE');
    else if (groups.has(10)) this.#line(pointsOf(groups, 10), context.to, context, 'SPLINE');
  }

  #lightPolyline(groups: Groups, flat: Affine, context: Context): void {
    const points: Vector[] = [];
    const bulges: number[] = [];
    const height = groups.number(38);
    groups.codes.forEach((code, i) => {
      const value = Number(groups.values[i]);
      if (code === 10) { points.push([value, 0, height]); bulges.push(0); }
      else if (code === 20 && points.length > 0) points[points.length - 1] = [points.at(-1)![0], value, height];
      else if (code === 42 && points.length > 0) bulges[bulges.length - 1] = value;
    });
    const closed = (groups.number(70) & 1) === 1;
    const width = groups.number(43);
    const along = bulgedPoints(points, bulges, closed);
    if (width > 0) this.#wide(along, width, flat, context);
    this.#line(along, flat, context, 'LWPOLYLINE');
  }

  #polyline({ groups, vertices }: DxfEntity, flat: Affine, context: Context): void {
    const flags = groups.number(70);
    const isFlat = (flags & (8 | 16 | 64)) === 0;
    const points = vertices.map((v): Vector => [v.number(10), v.number(20), v.number(30)]);
    if ((flags & 16) !== 0) { this.#mesh(points, groups, context); return; }
    if ((flags & 64) !== 0) { this.#faces(vertices, points, context); return; }
    // Frame points of a fitted curve are not on the curve.
    const kept = vertices.map((v, i) => [v, points[i]!] as const).filter(([v]) => (v.number(70) & 16) === 0);
    const closed = (flags & 1) === 1;
    const along = bulgedPoints(kept.map(([, p]) => p), isFlat ? kept.map(([v]) => v.number(42)) : [], closed);
    if (isFlat && groups.number(40) > 0 && groups.number(40) === groups.number(41)) this.#wide(along, groups.number(40), flat, context);
    this.#line(along, isFlat ? flat : context.to, context, 'POLYLINE');
  }

  #mesh(points: readonly Vector[], groups: Groups, context: Context): void {
    const [rows, columns] = [groups.number(71), groups.number(72)];
    if (!(rows > 1 && columns > 1) || rows * columns > points.length) return;
    for (let r = 0; r < rows; r++) this.#line(points.slice(r * columns, (r + 1) * columns), context.to, context, 'MESH');
    for (let c = 0; c < columns; c++) this.#line(Array.from({ length: rows }, (_, r) => points[r * columns + c]!), context.to, context, 'MESH');
  }

  #faces(vertices: readonly Groups[], points: readonly Vector[], context: Context): void {
    for (const face of vertices.filter((v) => (v.number(70) & (64 | 128)) === 128)) {
      const corners = [71, 72, 73, 74].map((code) => Math.abs(face.number(code))).filter((n) => n > 0).map((n) => points[n - 1]).filter((p) => p !== undefined);
      if (corners.length > 1) this.#line([...corners, corners[0]!], context.to, context, 'MESH');
    }
  }

  /** A polyline drawn with a width: a strip per segment. */
  #wide(points: readonly Vector[], width: number, flat: Affine, context: Context): void {
    for (let i = 0; i + 1 < points.length; i++) {
      const [a, b] = [points[i]!, points[i + 1]!];
      const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
      if (length === 0) continue;
      const [nx, ny] = [(-(b[1] - a[1]) / length) * (width / 2), ((b[0] - a[0]) / length) * (width / 2)];
      this.#fill([[[a[0] + nx, a[1] + ny, a[2]], [b[0] + nx, b[1] + ny, b[2]], [b[0] - nx, b[1] - ny, b[2]], [a[0] - nx, a[1] - ny, a[2]]]], flat, context, false);
    }
  }

  #hatch(groups: Groups, flat: Affine, context: Context): void {
    const loops = hatchLoops(groups);
    if (loops.length === 0) return;
    if (groups.number(70) === 1) { this.#fill(loops, flat, context, false); return; }
    const lines = hatchLines(groups, loops);
    if (lines) for (const line of lines) this.#line(line, flat, context, 'HATCH');
    else for (const loop of loops) this.#line([...loop, loop[0]!], flat, context, 'HATCH');
  }

  /** A picture-like frame with the colour of the paper; its outline is given in picture elements of a 1 x 1 picture. */
  #wipeout(groups: Groups, context: Context): void {
    const vector = (code: number): Vector => [groups.number(code), groups.number(code + 10), groups.number(code + 20)];
    const [at, u, v] = [vector(10), vector(11), vector(12)];
    const height = groups.number(23, 1);
    const corners = pointsOf(groups, 14);
    const outline = corners.length === 2
      ? [corners[0]!, [corners[1]![0], corners[0]![1], 0] as const, corners[1]!, [corners[0]![0], corners[1]![1], 0] as const] : corners;
    const world = outline.map(([x, y]): Vector => [0, 1, 2].map((k) => at[k]! + u[k]! * (x + 0.5) + v[k]! * (height - 0.5 - y)) as unknown as Vector);
    if (world.length > 2) this.#fill([world], context.to, context, true);
  }

  #text(groups: Groups, flat: Affine, context: Context): void {
    if (groups.type === 'ATTRIB' && (groups.number(70) & 1) === 1) return;
    const height = groups.number(40, 1);
    const angle = groups.number(50) * RADIANS;
    const [across, up] = [groups.number(72), groups.number(73)];
    const aligned = (across !== 0 || up !== 0) && groups.has(11);
    const at: Vector = aligned && across !== 3 && across !== 5 ? [groups.number(11), groups.number(21), groups.number(31)] : [groups.number(10), groups.number(20), groups.number(30)];
    // Baseline, bottom, middle, top; 'middle' (72 = 4) stands on its middle too.
    const drop = across === 4 || up === 2 ? 0.5 : up === 3 ? 1 : 0;
    const flips = groups.number(71);
    const wide = groups.number(41, 1) * ((flips & 2) !== 0 ? -1 : 1);
    this.#write(lineOf(groups.text(1)), at, angle, height, wide, across === 1 || across === 4 ? 'centre' : across === 2 ? 'right' : 'left', drop, flat, context, (flips & 4) !== 0);
  }

  #manyLines(groups: Groups, context: Context): void {
    const height = groups.number(40, 1);
    const text = groups.codes.map((code, i) => (code === 1 || code === 3 ? groups.values[i]! : '')).join('');
    const angle = groups.has(11) ? Math.atan2(groups.number(21), groups.number(11, 1)) : groups.number(50) * RADIANS;
    const attach = groups.number(71, 1);
    const lines = wrapLines(linesOf(text), Math.floor(groups.number(41) / (height * LETTER_WIDTH)));
    const spacing = height * LINE_SPACING * groups.number(44, 1);
    const down = [0, 0, ((lines.length - 1) * spacing + height) / 2, (lines.length - 1) * spacing][Math.ceil(attach / 3)] ?? 0;
    const drop = attach <= 3 ? height : attach <= 6 ? height : 0;
    const flat = compose(context.to, planeOf(groups.has(210) ? [groups.number(210), groups.number(220), groups.number(230)] : [0, 0, 1]));
    const plane = groups.has(210) && groups.number(230) < 0 ? { ...flat, at: context.to.at } : context.to;
    lines.forEach((line, i) => {
      const below = drop + i * spacing - down;
      const at: Vector = [groups.number(10) + Math.sin(angle) * below, groups.number(20) - Math.cos(angle) * below, 0];
      this.#write(line, at, angle, height, 1, attach % 3 === 2 ? 'centre' : attach % 3 === 0 ? 'right' : 'left', 0, plane, context, false);
    });
  }

  #write(text: string, at: Vector, angle: number, height: number, wide: number, align: 'left' | 'centre' | 'right', drop: number, to: Affine, context: Context, upsideDown: boolean): void {
    if (text.trim() === '' || !(height > 0)) return;
    const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
    const flip = upsideDown ? -1 : 1;
    const along = applyDirection(to, [cos * height * wide, sin * height * wide, 0]);
    const up = applyDirection(to, [-sin * height * flip, cos * height * flip, 0]);
    const [x, y] = apply(to, at);
    this.marks.push({
      kind: 'text', layer: context.layer, colour: context.colour, text, align,
      at: [x - up[0] * drop, y - up[1] * drop], along: [along[0], along[1]], up: [up[0], up[1]],
    });
  }

  #insert({ groups, attributes }: DxfEntity, flat: Affine, context: Context): void {
    const at: Vector = [groups.number(10), groups.number(20), groups.number(30)];
    const scale: Vector = [groups.number(41, 1), groups.number(42, 1), groups.number(43, 1)];
    const angle = groups.number(50) * RADIANS;
    const [columns, rows] = [Math.max(1, groups.number(70, 1)), Math.max(1, groups.number(71, 1))];
    if (columns * rows > EXPAND_LIMITS.array) { this.cut = true; return; }
    const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
    for (let row = 0; row < rows; row++) for (let column = 0; column < columns; column++) {
      const [dx, dy] = [column * groups.number(44), row * groups.number(45)];
      const place: Vector = [at[0] + dx * cos - dy * sin, at[1] + dx * sin + dy * cos, at[2]];
      this.#block(groups.text(2), compose(flat, placement(scale, angle, place)), context, groups.type);
    }
    for (const attribute of attributes) this.entity({ groups: attribute, vertices: [], attributes: [] }, context);
  }

  #block(name: string, to: Affine, context: Context, type: string): void {
    const key = unescapeText(name).toLowerCase();
    const block = this.file.blocks.get(key);
    if (!block) { this.#skip(`${type} without its block`); return; }
    // A block that holds itself would never end.
    if (context.within.includes(key) || context.depth >= EXPAND_LIMITS.depth) { this.cut = true; return; }
    const shifted = compose(to, { ...IDENTITY, at: [-block.base[0], -block.base[1], -block.base[2]] });
    const inner: Context = { ...context, to: shifted, depth: context.depth + 1, within: [...context.within, key] };
    for (const entity of block.entities) {
      if (this.marks.length >= EXPAND_LIMITS.marks) { this.cut = true; return; }
      this.entity(entity, inner);
    }
  }

  /** Dimensions carry their picture as a block; their points and text are offered for the scale. */
  #dimension(groups: Groups, context: Context): void {
    const before = this.marks.length;
    if (groups.has(2)) this.#block(groups.text(2), context.to, context, groups.type);
    for (let i = before; i < this.marks.length; i++) { const mark = this.marks[i]!; if (mark.kind === 'line') this.marks[i] = { ...mark, source: 'DIMENSION' }; }
    if (!groups.has(13) || !groups.has(14) || ![0, 1].includes(groups.number(70) & 7)) return;
    const printed = this.marks.slice(before).flatMap((mark) => (mark.kind === 'text' ? [mark.text] : [])).join(' ');
    const override = lineOf(linesOf(groups.text(1)).join(' ')).replace(/<>/g, '').trim();
    const [a, b] = [apply(context.to, [groups.number(13), groups.number(23), 0]), apply(context.to, [groups.number(14), groups.number(24), 0])];
    // A turned or level dimension measures along its own direction only.
    const angle = groups.number(50) * RADIANS;
    const length = (groups.number(70) & 7) === 1 ? Math.hypot(b[0] - a[0], b[1] - a[1]) : Math.abs((b[0] - a[0]) * Math.cos(angle) + (b[1] - a[1]) * Math.sin(angle));
    const along = (groups.number(70) & 7) === 1 ? null : [Math.cos(angle), Math.sin(angle)] as const;
    const signed = along ? (b[0] - a[0]) * along[0] + (b[1] - a[1]) * along[1] : 0;
    const to = along ? [a[0] + along[0] * signed, a[1] + along[1] * signed] as const : [b[0], b[1]] as const;
    if (length > 0) this.dimensions.push({ from: [a[0], a[1]], to, measured: length, text: override || printed });
  }
}

/** Widths of letters vary; this is about the mean of a plain sans-serif, in letter heights. */
const LETTER_WIDTH = 0.85;
/** Baseline to baseline in letter heights (DXF reference, MTEXT line spacing of 1). */
const LINE_SPACING = 5 / 3;

/** All points of a number, each with the y (and z) that follows it. */
function pointsOf(groups: Groups, code: number): Vector[] {
  const points: [number, number, number][] = [];
  groups.codes.forEach((each, i) => {
    const value = Number(groups.values[i]);
    const last = points.at(-1);
    if (each === code) points.push([value, 0, 0]);
    else if (each === code + 10 && last) last[1] = value;
    else if (each === code + 20 && last) last[2] = value;
  });
  return points.filter((point) => point.every(Number.isFinite));
}
