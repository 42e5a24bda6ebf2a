import { arc, circle, close, line, move, path, rectangle, words } from '../../shared-core/report/index';
import type { Primitive } from '../../shared-core/report/index';
import { BODIES, LOADS, MACHINES, ROOMS, SUPPLIES, WALLS } from './works';
import type { PlannedWall, Spot } from './works';

/** The sheet: 17 x 11 inches at 1/8" = 1'-0", drawn in points with y down. */
export const SHEET = { width: 1224, height: 792, pointsPerFoot: 9, left: 43.2, top: 66 } as const;

export const toPaper = ([x, y]: Spot): [number, number] => [SHEET.left + x * SHEET.pointsPerFoot, SHEET.top + y * SHEET.pointsPerFoot];

const thin = { width: 0.5 }; const medium = { width: 0.9 }; const light = { width: 0.4, stroke: 'muted' } as const;
const polygon = (spots: readonly Spot[], style: Parameters<typeof path>[1]): Primitive =>
  path([...spots.map((s, i) => (i === 0 ? move(...toPaper(s)) : line(...toPaper(s)))), close], style);
const text = (x: number, y: number, words_: string, size: number, weight: 'regular' | 'bold' = 'regular', align: 'left' | 'middle' | 'right' = 'middle'): Primitive =>
  words(x, y, words_, size, { weight, align });

/** The drawn plan, layer by layer; 'grid' is on a layer of its own that the PDF keeps switched off. */
export function drawPlan(): { readonly plan: Primitive[]; readonly grid: Primitive[] } {
  return { plan: [...frame(), ...axes(), ...[...WALLS].reverse().flatMap(wallMarks), ...equipment(), ...roomNames(), ...notes()], grid: gridMarks() };
}

function gridMarks(): Primitive[] {
  const marks: Primitive[] = [];
  for (let x = 0; x <= 124; x += 4) marks.push(path([move(...toPaper([x, 0])), line(...toPaper([x, 64]))], { stroke: 'muted', width: 0.2 }));
  for (let y = 0; y <= 64; y += 4) marks.push(path([move(...toPaper([0, y])), line(...toPaper([124, y]))], { stroke: 'muted', width: 0.2 }));
  return marks;
}

function wallMarks(wall: PlannedWall): Primitive[] {
  const marks: Primitive[] = [];
  const last = wall.points.length - 2;
  const closed = String(wall.points[0]) === String(wall.points.at(-1));
  for (let i = 0; i <= last; i += 1) {
    const a = wall.points[i] as Spot; const b = wall.points[i + 1] as Spot;
    const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
    const u: Spot = [(b[0] - a[0]) / length, (b[1] - a[1]) / length]; const half = wall.thickness / 2;
    const at = (along: number, side: number): Spot => [a[0] + u[0] * along - u[1] * side, a[1] + u[1] * along + u[0] * side];
    const strip = (from: number, to: number): Spot[] => [at(from, -half), at(to, -half), at(to, half), at(from, half)];
    const openings = wall.openings.filter((o) => o.segment === i).sort((p, q) => p.from - q.from);
    // A wall that goes round a corner runs on by half its thickness, so that the corner closes.
    let cursor = i > 0 || closed ? -half : 0;
    const end = length + (i < last || closed ? half : 0);
    for (const o of openings) { marks.push(...solid(wall, strip(cursor, o.from))); cursor = o.to; }
    marks.push(...solid(wall, strip(cursor, end)));
    for (const o of openings) {
      if (o.leaf === 'glazed' && o.sill > 0) marks.push(polygon(strip(o.from, o.to), thin), path([move(...toPaper(at(o.from, 0))), line(...toPaper(at(o.to, 0)))], thin));
      else if (o.swing) {
        const side = o.swing.side === 'left' ? -1 : 1; const hinge = o.swing.hinge === 'from' ? o.from : o.to; const free = o.swing.hinge === 'from' ? o.to : o.from;
        const width = o.to - o.from; const tip = at(hinge, side * (half + width)); const pivot = at(hinge, side * half); const jamb = at(free, side * half);
        const angle = (p: Spot): number => Math.atan2(p[1] - pivot[1], p[0] - pivot[0]);
        let from = angle(jamb); const to = angle(tip);
        if (to - from > Math.PI) from += 2 * Math.PI; if (from - to > Math.PI) from -= 2 * Math.PI;
        marks.push(path([move(...toPaper(pivot)), line(...toPaper(tip))], medium), path([arc(...toPaper(pivot), width * SHEET.pointsPerFoot, from, to)], light));
      } else if (o.leaf === 'closed') marks.push(polygon([at(o.from, -0.15), at(o.to, -0.15), at(o.to, 0.15), at(o.from, 0.15)], { ...thin, dash: [3, 1.5] }));
      else if (o.leaf === 'normally-open') {
        const middle = (o.from + o.to) / 2;
        for (const [p, q] of [[o.from, middle], [o.to, middle]] as const) marks.push(path([move(...toPaper(at(p, half))), line(...toPaper(at(q - Math.sign(q - p), half + 1.6)))], medium));
      }
    }
  }
  return marks;
}

function solid(wall: PlannedWall, strip: readonly Spot[]): Primitive[] {
  if (wall.material === 'opaque') return [polygon(strip, { fill: 'muted', stroke: 'ink', width: 0.7 })];
  if (wall.material === 'glazed') {
    const [a, b, c, d] = strip as [Spot, Spot, Spot, Spot];
    const mid = (p: Spot, q: Spot): Spot => [(p[0] + q[0]) / 2, (p[1] + q[1]) / 2];
    return [polygon(strip, { width: 0.7 }), path([move(...toPaper(mid(a, d))), line(...toPaper(mid(b, c)))], thin)];
  }
  const [a, b, c, d] = strip as [Spot, Spot, Spot, Spot];
  const from = toPaper([(a[0] + d[0]) / 2, (a[1] + d[1]) / 2]); const to = toPaper([(b[0] + c[0]) / 2, (b[1] + c[1]) / 2]);
  const marks: Primitive[] = [path([move(...from), line(...to)], { width: 0.7 })];
  const length = Math.hypot(to[0] - from[0], to[1] - from[1]);
  for (let t = 9; t < length; t += 18) {
    const x = from[0] + ((to[0] - from[0]) * t) / length; const y = from[1] + ((to[1] - from[1]) * t) / length;
    marks.push(path([move(x - 2.2, y - 2.2), line(x + 2.2, y + 2.2), move(x + 2.2, y - 2.2), line(x - 2.2, y + 2.2)], thin));
  }
  return marks;
}

function equipment(): Primitive[] {
  const marks: Primitive[] = [];
  for (const b of BODIES) {
    if (b.round) {
      const [x, y, r] = b.round; const [cx, cy] = toPaper([x, y]); const pr = r * SHEET.pointsPerFoot;
      marks.push(circle(cx, cy, pr, medium), circle(cx, cy, pr * 0.86, light), path([move(cx - 5, cy), line(cx + 5, cy), move(cx, cy - 5), line(cx, cy + 5)], light), text(cx, cy + pr * 0.45, b.label, 6.5));
    } else {
      const xs = b.outline.map((p) => p[0]); const ys = b.outline.map((p) => p[1]);
      const [cx, cy] = toPaper([(Math.min(...xs) + Math.max(...xs)) / 2, (Math.min(...ys) + Math.max(...ys)) / 2]);
      marks.push(polygon(b.outline, medium));
      if (b.id !== 'obstruction-conveyor') marks.push(text(cx, cy, b.label, 6));
    }
  }
  for (const m of MACHINES) marks.push(polygon(m.outline, medium), ...crossLines(m.outline));
  for (const load of LOADS) if (load.outline) { marks.push(polygon(load.outline, medium)); if ((load.bodyTop ?? 0) > 4.5) marks.push(...crossLines(load.outline)); }
  for (const s of SUPPLIES) { const [x, y] = toPaper(s.at); marks.push(rectangle(x - (s.role === 'panel' ? 4 : 12), y - (s.role === 'panel' ? 12 : 4), s.role === 'panel' ? 8 : 24, s.role === 'panel' ? 24 : 8, medium)); }
  for (let y = 21; y <= 41.5; y += 1) marks.push(path([move(...toPaper([93, y])), line(...toPaper([95, y]))], light));
  marks.push(text(...toPaper([26, 16.4]), 'belt press', 6), text(...toPaper([10.5, 14.2]), 'apple mill', 6), text(...toPaper([15, 19.2]), 'infeed', 6), text(...toPaper([94, 18.7]), 'filler', 6),
    text(...toPaper([85.5, 57.2]), 'pasteuriser', 6), text(...toPaper([52, 55.2]), 'glycol chiller', 6), text(...toPaper([113, 19.2]), 'cooling tower', 6), text(...toPaper([96.8, 31]), 'conveyor', 6));
  return marks;
}

function crossLines(outline: readonly Spot[]): Primitive[] {
  const [a, b, c, d] = outline as [Spot, Spot, Spot, Spot];
  return [path([move(...toPaper(a)), line(...toPaper(c)), move(...toPaper(b)), line(...toPaper(d))], { width: 0.3, stroke: 'muted' })];
}

const roomNames = (): Primitive[] => ROOMS.map(({ name, at }) => text(...toPaper(at), name, 9, 'bold'));

/** Column lines with their bubbles, and the dimensions between them. */
function axes(): Primitive[] {
  const marks: Primitive[] = [];
  const columns: [string, number][] = [['A', 4], ['B', 44], ['C', 76], ['D', 100]]; const rows: [string, number][] = [['1', 4], ['2', 40], ['3', 60]];
  const axis = { width: 0.35, stroke: 'muted', dash: [10, 2, 2, 2] } as const;
  for (const [name, x] of columns) {
    const [px, py] = toPaper([x, 4]);
    marks.push(path([move(px, py - 52), line(px, py - 6)], axis), circle(px, py - 60, 8, medium), text(px, py - 60, name, 8, 'bold'));
  }
  for (const [name, y] of rows) {
    const [px, py] = toPaper([4, y]);
    marks.push(path([move(px - 34, py), line(px - 6, py)], axis), circle(px - 42, py, 8, medium), text(px - 42, py, name, 8, 'bold'));
  }
  const [, dimY] = toPaper([4, 0.6]);
  for (const [i, label] of ["40'-0\"", "32'-0\"", "24'-0\""].entries()) {
    const [x1] = toPaper([columns[i]?.[1] ?? 0, 0]); const [x2] = toPaper([columns[i + 1]?.[1] ?? 0, 0]);
    marks.push(...dimension(x1, dimY, x2, dimY), words((x1 + x2) / 2, dimY - 4.5, label, 7, { weight: 'regular' }));
  }
  const [dimX] = toPaper([1.4, 0]);
  for (const [i, label] of ["36'-0\"", "20'-0\""].entries()) {
    const [, y1] = toPaper([0, rows[i]?.[1] ?? 0]); const [, y2] = toPaper([0, rows[i + 1]?.[1] ?? 0]);
    marks.push(...dimension(dimX, y1, dimX, y2), words(dimX - 3, (y1 + y2) / 2, label, 7, { weight: 'regular', align: 'right' }));
  }
  return marks;
}

function dimension(x1: number, y1: number, x2: number, y2: number): Primitive[] {
  const tick = (x: number, y: number): Primitive => path([move(x - 2.5, y + 2.5), line(x + 2.5, y - 2.5)], { width: 1 });
  return [path([move(x1, y1), line(x2, y2)], light), tick(x1, y1), tick(x2, y2)];
}

function frame(): Primitive[] {
  const { width, height } = SHEET;
  const x = width - 330; const y = height - 148; const right = width - 30; const bottom = height - 30;
  return [
    rectangle(24, 24, width - 48, height - 48, { width: 1.4 }),
    rectangle(x, y, right - x, bottom - y, { width: 1.1 }),
    path([move(x, y + 42), line(right, y + 42), move(x, y + 76), line(right, y + 76), move(x + 150, y + 76), line(x + 150, bottom), move(x + 225, y + 76), line(x + 225, bottom)], { width: 0.7 }),
    text(x + 10, y + 15, 'NORTHMERE CIDER WORKS', 13, 'bold', 'left'), text(x + 10, y + 31, 'an invented works, for demonstration only', 7.5, 'regular', 'left'),
    text(x + 10, y + 53, 'GROUND FLOOR', 10, 'bold', 'left'), text(x + 10, y + 67, 'EQUIPMENT LAYOUT', 8.5, 'regular', 'left'),
    text(x + 10, y + 85, 'SCALE', 5.5, 'regular', 'left'), text(x + 10, y + 101, '1/8" = 1\'-0"', 11, 'bold', 'left'),
    text(x + 160, y + 85, 'REVISION', 5.5, 'regular', 'left'), text(x + 160, y + 101, 'C', 11, 'bold', 'left'),
    text(x + 235, y + 85, 'SHEET', 5.5, 'regular', 'left'), text(x + 235, y + 101, 'A-101', 11, 'bold', 'left'),
  ];
}

function notes(): Primitive[] {
  const y = SHEET.height - 142; const x = 44;
  const lines = [
    'NOTES', '1. Tanks T-1 to T-5 stand 11 ft high; J-1 stands 9 ft high.', '2. Press hall, fermentation and bottling are hosed down daily.',
    '3. The partition between refrigeration and control is glass from floor to 10 ft.', '4. The yard fence is open mesh, 8 ft high.', '5. All dimensions are to wall centre lines; do not scale this print without checking one.',
  ];
  const scaleX = 500; const foot = SHEET.pointsPerFoot;
  return [
    ...lines.map((l, i) => text(x, y + i * 12, l, i === 0 ? 8 : 7, i === 0 ? 'bold' : 'regular', 'left')),
    ...[0, 10, 20].map((f): Primitive => rectangle(scaleX + f * foot, y + 60, (f === 20 ? 20 : 10) * foot, 4, { fill: f === 10 ? 'paper' : 'ink', width: 0.6 })),
    ...[0, 10, 20, 40].map((f) => text(scaleX + f * foot, y + 54, f === 40 ? '40 ft' : String(f), 6.5)),
    path([move(430, y + 60), line(430, y + 16), line(424, y + 28), move(430, y + 16), line(436, y + 28)], { width: 1.1 }), circle(430, y + 44, 15, { width: 0.7 }), text(430, y + 8, 'N', 9, 'bold'),
  ];
}
