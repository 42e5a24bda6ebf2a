import { describe, expect, it } from 'vitest';
import { drawingSheets, planMedia, plainSvg, readDxf } from '../../shared-core/exchange/index';
import type { DrawingMark, DrawingSheet, DxfPairs } from '../../shared-core/exchange/index';

/** Groups as in the DXF reference: code, value, code, value ... */
type Group = [number, string | number];
const pairs = (groups: Group[]): DxfPairs => ({ codes: groups.map(([code]) => code), values: groups.map(([, value]) => String(value)), complete: true });
const section = (name: string, inside: Group[]): Group[] => [[0, 'SECTION'], [2, name], ...inside, [0, 'ENDSEC']];
const line = (x1: number, y1: number, x2: number, y2: number, rest: Group[] = []): Group[] => [[0, 'LINE'], [8, 'A-WALL'], [10, x1], [20, y1], [30, 0], [11, x2], [21, y2], [31, 0], ...rest];
const block = (name: string, inside: Group[], base: [number, number] = [0, 0]): Group[] => [[0, 'BLOCK'], [8, '0'], [2, name], [10, base[0]], [20, base[1]], ...inside, [0, 'ENDBLK']];
const insert = (name: string, x: number, y: number, rest: Group[] = []): Group[] => [[0, 'INSERT'], [8, 'EQ'], [2, name], [10, x], [20, y], ...rest];
const sheetOf = (entities: Group[], blocks: Group[] = [], header: Group[] = []): DrawingSheet =>
  drawingSheets(readDxf(pairs([...section('HEADER', header), ...section('BLOCKS', blocks), ...section('ENTITIES', entities), [0, 'EOF']])))[0]!;

/** Marks back in drawing coordinates. */
function lines(sheet: DrawingSheet): [number, number][][] {
  const { origin: [ox, oy], unitsPerDrawingUnit: k, height } = sheet;
  return sheet.parts[0]!.marks.flatMap((mark: DrawingMark) => (mark.kind === 'line' ? [mark.points.map(([x, y]): [number, number] => [ox + x / k, oy - (height - y) / k])] : []));
}
const rounded = (points: readonly (readonly [number, number])[] | undefined): number[][] => (points ?? []).map(([x, y]) => [Math.round(x * 1e6) / 1e6 + 0, Math.round(y * 1e6) / 1e6 + 0]);

describe('a drawing file', () => {
  it('a line far from the origin keeps its length to a thousandth of a millimetre', () => {
    const [first] = lines(sheetOf(line(32_456_789.123_456, 5_812_345.654_321, 32_456_793.123_456, 5_812_348.654_321)));
    expect(Math.hypot(first![1]![0] - first![0]![0], first![1]![1] - first![0]![1])).toBeCloseTo(5, 6);
  });

  it('a half circle bulge of 1 runs counter-clockwise over its chord', () => {
    // Bulge = tan(angle / 4): 1 is a half circle (DXF reference, LWPOLYLINE group 42).
    const [first] = lines(sheetOf([[0, 'LWPOLYLINE'], [8, '0'], [90, 2], [70, 0], [10, 0], [20, 0], [42, 1], [10, 10], [20, 0]]));
    const lowest = Math.min(...first!.map(([, y]) => y));
    expect(lowest).toBeCloseTo(-5, 2);
    for (const [x, y] of first!) expect(Math.hypot(x - 5, y)).toBeCloseTo(5, 6);
  });

  it('an arc runs counter-clockwise from its start to its end angle, also through zero', () => {
    const [first] = lines(sheetOf([[0, 'ARC'], [8, '0'], [10, 0], [20, 0], [40, 2], [50, 270], [51, 90]]));
    expect(rounded([first![0]!, first!.at(-1)!])).toEqual([[0, -2], [0, 2]]);
    expect(Math.max(...first!.map(([x]) => x))).toBeCloseTo(2, 6);
  });

  it('a block is moved by its base point, scaled, turned, mirrored and nested', () => {
    const blocks = [...block('INNER', line(1, 0, 2, 0), [1, 0]), ...block('OUTER', insert('INNER', 0, 5))];
    const [first] = lines(sheetOf(insert('OUTER', 100, 200, [[41, -2], [42, 3], [50, 90]]), blocks));
    // Inner line: (0,5)-(1,5). Scaled by -2, 3: (0,15)-(-2,15). Turned by 90: (-15,0)-(-15,-2). Shifted.
    expect(rounded(first)).toEqual([[85, 200], [85, 198]]);
  });

  it('an array of blocks is turned as a whole', () => {
    const found = lines(sheetOf(insert('DOT', 0, 0, [[50, 90], [70, 3], [71, 2], [44, 10], [45, 20]]), block('DOT', line(0, 0, 1, 0))));
    expect(found.map((points) => rounded([points[0]!])[0])).toEqual([[0, 0], [0, 10], [0, 20], [-20, 0], [-20, 10], [-20, 20]]);
  });

  it('an extrusion of 0, 0, -1 mirrors left and right', () => {
    // Arbitrary axis algorithm: the x axis of that plane is -x of the world.
    const [first] = lines(sheetOf([[0, 'LWPOLYLINE'], [8, '0'], [70, 0], [10, 1], [20, 2], [10, 4], [20, 2], [210, 0], [220, 0], [230, -1]]));
    expect(rounded(first)).toEqual([[-1, 2], [-4, 2]]);
  });

  it('a spline of degree 2 with three control points is a parabola', () => {
    const [first] = lines(sheetOf([[0, 'SPLINE'], [8, '0'], [70, 8], [71, 2], ...[0, 0, 0, 1, 1, 1].map((knot): Group => [40, knot]), [10, 0], [20, 0], [10, 5], [20, 10], [10, 10], [20, 0]]));
    for (const [x, y] of first!) expect(y).toBeCloseTo(2 * (x / 10) * (1 - x / 10) * 10, 6);
    expect(rounded([first![0]!, first!.at(-1)!])).toEqual([[0, 0], [10, 0]]);
  });

  const spline = (degree: number, knots: number[], control: readonly (readonly number[])[], { weights = [], fit = [], flags = 8, rest = [] }: { weights?: number[]; fit?: readonly (readonly number[])[]; flags?: number; rest?: Group[] } = {}): Group[] => [[0, 'SPLINE'], [8, '0'], [70, flags], [71, degree],
    ...knots.map((knot): Group => [40, knot]), ...weights.map((weight): Group => [41, weight]), ...control.flatMap(([x, y]): Group[] => [[10, x!], [20, y!], [30, 0]]), ...fit.flatMap(([x, y]): Group[] => [[11, x!], [21, y!], [31, 0]]), ...rest];
  /** How far the chords of a line lie off the points, at most. */
  const off = (line: readonly (readonly [number, number])[], points: readonly (readonly [number, number])[]): number => Math.max(...points.map(([x, y]) => Math.min(...line.slice(1).map(([bx, by], i) => {
    const [ax, ay] = line[i]!; const [dx, dy] = [bx - ax, by - ay];
    const t = Math.max(0, Math.min(1, ((x - ax) * dx + (y - ay) * dy) / (dx * dx + dy * dy || 1)));
    return Math.hypot(x - ax - t * dx, y - ay - t * dy);
  }))));
  const shares = Array.from({ length: 101 }, (_, i) => i / 100);

  it('a rational spline of degree 2 with weights of half the root of 2 is a circle, within a ten-thousandth of its size', () => {
    // Nine control points on the square about it (L. Piegl, W. Tiller, The NURBS Book, 7.5; from memory), checked by the radius itself.
    const square = [[1, 0], [1, 1], [0, 1], [-1, 1], [-1, 0], [-1, -1], [0, -1], [1, -1], [1, 0]].map(([x, y]) => [500 * x!, 500 * y!]);
    const [circle] = lines(sheetOf(spline(2, [0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 4], square, { flags: 12, weights: square.map((_, i) => (i % 2 === 0 ? 1 : Math.SQRT1_2)) })));
    for (const [x, y] of circle!) expect(Math.hypot(x, y)).toBeCloseTo(500, 6);
    expect(off(circle!, shares.map((t) => [500 * Math.cos(2 * Math.PI * t), 500 * Math.sin(2 * Math.PI * t)] as const))).toBeLessThan(0.1);
  });

  it.each([3, 5])('a spline of degree %i without inner knots is a Bernstein polynomial, also where it bends sharply', (degree) => {
    const control = Array.from({ length: degree + 1 }, (_, i): [number, number] => [i * 10, i % 2 === 0 ? 0 : 4000]);
    const [curve] = lines(sheetOf(spline(degree, [...Array<number>(degree + 1).fill(0), ...Array<number>(degree + 1).fill(1)], control)));
    const choose = (n: number, k: number): number => (k === 0 ? 1 : (choose(n, k - 1) * (n - k + 1)) / k);
    const wanted = shares.map((t) => control.reduce<[number, number]>(([x, y], p, i) => { const b = choose(degree, i) * t ** i * (1 - t) ** (degree - i); return [x + b * p[0], y + b * p[1]]; }, [0, 0]));
    expect(off(curve!, wanted)).toBeLessThan(0.25);
    expect(rounded([curve![0]!, curve!.at(-1)!])).toEqual([[0, 0], control.at(-1)]);
  });

  it('a closed spline of even knots starts and ends where its cubic pieces meet', () => {
    // Uniform cubic B-spline: a joint is (before + 4 own + after) / 6, the middle of a piece (1, 23, 23, 1) / 48.
    const corners = [[0, 0], [60, 0], [60, 60], [0, 60]]; const control = [...corners, ...corners.slice(0, 3)];
    const [curve] = lines(sheetOf(spline(3, Array.from({ length: 11 }, (_, i) => i), control, { flags: 11 })));
    expect(rounded([curve![0]!, curve!.at(-1)!])).toEqual([[50, 10], [50, 10]]);
    expect(off(curve!, [[50, 50], [10, 50], [10, 10], [(0 + 23 * 60 + 23 * 60 + 0) / 48, (0 + 0 + 23 * 60 + 60) / 48]])).toBeLessThan(0.01);
  });

  it('a spline without knots has even ones, and is no chain of its control points', () => {
    const control = [[0, 0], [5, 10], [10, 0]];
    expect(rounded(lines(sheetOf(spline(2, [], control)))[0])).toEqual(rounded(lines(sheetOf(spline(2, [0, 0, 0, 1, 1, 1], control)))[0]));
  });

  const onCircle = (count: number, turn: number): [number, number][] => Array.from({ length: count }, (_, i) => [100 * Math.cos((turn * i) / count), 100 * Math.sin((turn * i) / count)]);
  it('a closed spline of fit points only is smooth through them: twelve of a circle give the circle within a thousandth', () => {
    const fit = onCircle(12, 2 * Math.PI);
    const [curve] = lines(sheetOf(spline(3, [], [], { fit, flags: 11 })));
    expect(off(curve!, fit)).toBeLessThan(1e-6);
    for (const [x, y] of curve!) expect(Math.abs(Math.hypot(x, y) - 100)).toBeLessThan(0.1);
    expect(rounded([curve!.at(-1)!])).toEqual(rounded([fit[0]!]));
  });

  it('the directions at the ends of a spline of fit points are kept', () => {
    const fit = onCircle(12, Math.PI);
    const ends = (rest: Group[]): number => Math.max(...lines(sheetOf(spline(3, [], [], { fit, rest })))[0]!.map(([x, y]) => Math.abs(Math.hypot(x, y) - 100)));
    const last = Math.PI * 11 / 12;
    expect(ends([[12, 0], [22, 1], [32, 0], [13, -Math.sin(last)], [23, Math.cos(last)], [33, 0]])).toBeLessThan(0.01);
    expect(ends([])).toBeGreaterThan(0.02);
    expect(rounded(lines(sheetOf(spline(3, [], [], { fit: [[0, 0], [3, 4]] })))[0])).toEqual([[0, 0], [3, 4]]);
  });

  it('arrays of blocks in blocks, mirrored and scaled unevenly, lie where the product of their matrices puts them', () => {
    type Matrix = readonly [number, number, number, number, number, number];
    const times = ([a, b, c, d, e, f]: Matrix, [p, q, r, s, t, u]: Matrix): Matrix => [a * p + c * q, b * p + d * q, a * r + c * s, b * r + d * s, a * t + c * u + e, b * t + d * u + f];
    const turned = (degrees: number): Matrix => { const t = (degrees * Math.PI) / 180; return [Math.cos(t), Math.sin(t), -Math.sin(t), Math.cos(t), 0, 0]; };
    const moved = (x: number, y: number): Matrix => [1, 0, 0, 1, x, y];
    const sized = (x: number, y: number): Matrix => [x, 0, 0, y, 0, 0];
    const blocks = [...block('SEAT', line(1, 2, 4, 3), [1, 1]), ...block('ROW', insert('SEAT', 3, -2, [[41, 2], [42, -0.5], [50, 30], [70, 3], [71, 2], [44, 7], [45, 5]]), [2, 0]), ...block('HALL', insert('ROW', 10, 20, [[41, -1.5], [42, 0.75], [50, -40]]))];
    const drawn = lines(sheetOf(insert('HALL', 100, 50, [[41, 1], [42, -2], [50, 115], [70, 2], [44, -60], [210, 0], [220, 0], [230, -1]]), blocks));
    const wanted: number[][][] = [];
    for (const dx of [0, -60]) for (const row of [0, 1]) for (const column of [0, 1, 2]) {
      const outer = [sized(-1, 1), moved(100, 50), turned(115), moved(dx, 0), sized(1, -2), moved(10, 20), turned(-40), sized(-1.5, 0.75), moved(-2, 0), moved(3, -2), turned(30), moved(7 * column, 5 * row), sized(2, -0.5), moved(-1, -1)].reduce(times);
      wanted.push([[1, 2], [4, 3]].map(([x, y]) => [outer[0] * x! + outer[2] * y! + outer[4], outer[1] * x! + outer[3] * y! + outer[5]]));
    }
    const sorted = (list: readonly number[][][]): string[] => list.map((points) => points.map(([x, y]) => `${(x! + 1e-9).toFixed(4)} ${(y! + 1e-9).toFixed(4)}`).join(' to ')).sort();
    expect(sorted(drawn as number[][][])).toEqual(sorted(wanted));
  });

  it('a block that holds itself ends with a warning', () => {
    const sheet = sheetOf([...line(0, 0, 1, 1), ...insert('SELF', 0, 0)], block('SELF', [...line(0, 0, 1, 0), ...insert('SELF', 1, 1)]));
    expect(sheet.warnings.map((warning) => warning.code)).toContain('cut-short');
  });

  it('what lies on layer 0 of a block takes the layer of its insert', () => {
    const sheet = sheetOf(insert('X', 0, 0), block('X', [[0, 'LINE'], [8, '0'], [10, 0], [20, 0], [11, 1], [21, 0]]));
    expect(sheet.parts[0]!.marks[0]!.layer).toBe('EQ');
  });

  it('a stray end of section is mended with a warning', () => {
    const file = readDxf(pairs([...section('ENTITIES', line(0, 0, 1, 0)), ...line(0, 0, 2, 0), [0, 'ENDSEC'], [0, 'EOF']]));
    expect(file.model).toHaveLength(2);
    expect(drawingSheets(file)[0]!.warnings.map((warning) => warning.code)).toContain('mended');
  });

  it('a drawing without anything to draw has no sheet', () => {
    expect(drawingSheets(readDxf(pairs([...section('ENTITIES', []), [0, 'EOF']])))).toEqual([]);
  });

  it('a hatch pattern is cut to its boundary', () => {
    const square: Group[] = [[91, 1], [92, 2], [72, 0], [73, 1], [93, 4], [10, 0], [20, 0], [10, 10], [20, 0], [10, 10], [20, 10], [10, 0], [20, 10]];
    const found = lines(sheetOf([[0, 'HATCH'], [8, '0'], [70, 0], ...square, [78, 1], [53, 0], [43, 0], [44, 1], [45, 0], [46, 2], [79, 0]]));
    expect(found.map((points) => rounded(points))).toEqual([1, 3, 5, 7, 9].map((y) => [[0, y], [10, y]]).map((points) => expect.arrayContaining(points) as number[][]));
  });
});

describe('the unit of a drawing', () => {
  const dimension = (x1: number, x2: number, text: string): Group[] => [[0, 'DIMENSION'], [8, 'DIM'], [70, 0], [1, text], [13, x1], [23, 0], [14, x2], [24, 40], [50, 0]];
  it('dimension texts that contradict the declared unit win, with a warning', () => {
    // 58'-0" drawn as 696 units and 32'-0" as 384: inches, whatever the header says.
    const sheet = sheetOf([...line(0, 0, 696, 400), ...dimension(0, 696, '58\'-0"'), ...dimension(0, 384, '32\'-0"')], [], [[9, '$INSUNITS'], [70, 4]]);
    expect(sheet.warnings.map((warning) => warning.code)).toEqual(['unit-contradicted']);
    expect(sheet.scales[0]!.feetPerUnit * sheet.unitsPerDrawingUnit).toBeCloseTo(1 / 12, 9);
    expect(sheet.lengths[0]).toMatchObject({ text: '58\'-0"', feet: 58 });
    const { from, to } = sheet.lengths[0]!;
    expect((to[0] - from[0]) / sheet.unitsPerDrawingUnit).toBeCloseTo(696, 6);
  });
  it('a declared unit that makes a plan absurdly small is asked about', () => {
    expect(sheetOf(line(0, 0, 700, 400), [], [[9, '$INSUNITS'], [70, 4]]).warnings.map((warning) => warning.code)).toEqual(['unit-implausible']);
    expect(sheetOf(line(0, 0, 70_000, 40_000), [], [[9, '$INSUNITS'], [70, 4]]).warnings).toEqual([]);
  });
  it('a declared unit in which the quarter circles of doors are gates is asked about', () => {
    const arc = (x: number, y: number, radius: number, from: number, to: number): Group[] => [[0, 'ARC'], [8, 'A-DOOR'], [10, x], [20, y], [40, radius], [50, from], [51, to]];
    const codes = (entities: Group[], unit: number): string[] => sheetOf([...line(0, 0, 4000, 3000), ...entities], [], [[9, '$INSUNITS'], [70, unit]]).warnings.map((warning) => warning.code);
    // Leaves 926 units wide: 0.93 m in millimetres, 24 m in inches.
    const doors = [...arc(100, 100, 926, 0, 90), ...arc(2000, 100, 926, 90, 180)];
    expect(codes(doors, 1)).toEqual(['unit-implausible']);
    expect(codes(doors, 4)).toEqual([]);
    // 36 in leaves in a drawing in inches; half circles and a lone curve say nothing.
    expect(codes([...arc(100, 100, 36, 0, 90), ...arc(2000, 100, 36, 90, 180)], 1)).toEqual([]);
    expect(codes([...arc(100, 100, 926, 0, 180), ...arc(2000, 100, 926, 0, 180)], 1)).toEqual([]);
    expect(codes(arc(100, 100, 926, 0, 90), 1)).toEqual([]);
  });
  it('without a unit none is invented', () => {
    const sheet = sheetOf(line(0, 0, 700, 400));
    expect(sheet.scales).toEqual([]);
    expect(sheet.warnings.map((warning) => warning.code)).toEqual(['no-unit']);
  });
});

describe('an SVG', () => {
  const svg = (inside: string, root = 'width="880mm" height="620mm" viewBox="0 0 88000 62000"'): string => `<svg xmlns="http://www.w3.org/2000/svg" ${root}>${inside}</svg>`;
  it('has its size in CSS pixels of 1/96 in', () => {
    expect(plainSvg(svg('<path d="M0 0"/>'))).toMatchObject({ width: expect.closeTo(3325.984, 3) as number, height: expect.closeTo(2343.307, 3) as number, unitsPerPaperInch: 96 });
    expect(plainSvg(svg('', 'viewBox="0 0 300 200"'))).toMatchObject({ width: 300, height: 200, unitsPerPaperInch: null });
  });
  it('loses everything that runs or fetches', () => {
    const plain = plainSvg(svg(`<script>alert(1)</script><script href="x.js"/><g onclick="go()" onload='go()'><image href="http://x/y.png"/><use xlink:href="file:///etc/passwd#a"/><use href="#wall"/></g>
      <foreignObject><body/></foreignObject><style>@import url(http://x); path { fill: url(http://x/#a); stroke: url(#g) }</style>`));
    const text = typeof plain === 'string' ? plain : plain.sized(100, 70);
    expect(text).not.toMatch(/script|onclick|onload|http:\/\/x|passwd|foreignObject|@import/);
    expect(text).toContain('<use href="#wall"/>');
    expect(text).toContain('url(#g)');
    expect(text).toContain('width="100" height="70"');
  });
  it('cut off, without a size, or with entities of its own is refused', () => {
    expect(plainSvg(svg('<path d="M0 0"/>').slice(0, -10))).toBe('truncated');
    expect(plainSvg(svg('', ''))).toBe('damaged');
    expect(plainSvg(`<!DOCTYPE svg [<!ENTITY a "aaaa">]>${svg('&a;')}`)).toBe('unsupported');
  });
});

describe('what the bytes are', () => {
  const bytes = (text: string): Uint8Array => new TextEncoder().encode(text);
  it.each([
    ['  0\nSECTION\n  2\nHEADER\n', 'image/vnd.dxf'], ['999\nmade by hand\n0\r\nSECTION\r\n', 'image/vnd.dxf'],
    ['<?xml version="1.0"?>\n<!-- plan -->\n<svg xmlns="x">', 'image/svg+xml'], ['junk before\n%PDF-1.7\n', 'application/pdf'],
    ['tag,hp\nP-1,5\n', null], ['', null], ['<html><body>', null],
  ])('%j', (text, media) => { expect(planMedia(bytes(text))).toBe(media); });
});
