/**
 * What a mark is drawn with. A role, not a colour: the screen, the print and a high-contrast screen each look it up in
 * their own palette. 'halo' is the light rim that keeps a mark readable over any scan.
 */
export type Ink = 'ink' | 'paper' | 'halo' | 'order' | 'act' | 'muted';

/**
 * Blue (in order), orange (act) and near-black stay apart in protanopia, deuteranopia and tritanopia: CIEDE2000 of at
 * least 31 between any two, which a test computes. Blue and orange also reach a contrast of 4.5 on white for text.
 */
export const PALETTE: Readonly<Record<Ink, string>> = {
  ink: '#14171b', paper: '#ffffff', halo: '#ffffff', order: '#1b62c0', act: '#ba5510', muted: '#5f666e',
};

/** A step of a path; arcs are circular, angles in radians from the x axis, clockwise positive because y points down. */
export type PathStep =
  | { readonly to: 'move' | 'line'; readonly x: number; readonly y: number }
  | { readonly to: 'arc'; readonly x: number; readonly y: number; readonly radius: number; readonly start: number; readonly end: number }
  | { readonly to: 'close' };

interface Drawn {
  readonly fill: Ink | null;
  readonly stroke: Ink | null;
  readonly width: number;
  /** On and off lengths, in the same unit as the coordinates. */
  readonly dash?: readonly number[];
}
export interface PathPrimitive extends Drawn { readonly kind: 'path'; readonly steps: readonly PathStep[] }
export interface CirclePrimitive extends Drawn { readonly kind: 'circle'; readonly x: number; readonly y: number; readonly radius: number }
/** Text centred on x; 'y' is the middle of its capitals, so that a drawing side needs no other metric than cap height. */
export interface TextPrimitive {
  readonly kind: 'text'; readonly x: number; readonly y: number; readonly text: string; readonly size: number;
  readonly ink: Ink; readonly weight: 'regular' | 'bold'; readonly align: 'left' | 'middle' | 'right';
}
/** Plain geometry of a mark: what the canvas and the PDF both draw, in order. */
export type Primitive = PathPrimitive | CirclePrimitive | TextPrimitive;

/** Height of the capitals of the face in use over its size: measured from Atkinson Hyperlegible Next's OS/2 table. */
export const CAP_HEIGHT = 0.668;

export const move = (x: number, y: number): PathStep => ({ to: 'move', x, y });
export const line = (x: number, y: number): PathStep => ({ to: 'line', x, y });
export const arc = (x: number, y: number, radius: number, start: number, end: number): PathStep => ({ to: 'arc', x, y, radius, start, end });
export const close: PathStep = { to: 'close' };

type Style = Partial<Drawn>;
/** A path that is only stroked unless the style says otherwise. */
export const path = (steps: readonly PathStep[], style: Style = {}): PathPrimitive =>
  ({ kind: 'path', steps, fill: null, stroke: 'ink', width: 0.06, ...style });
export const circle = (x: number, y: number, radius: number, style: Style = {}): CirclePrimitive =>
  ({ kind: 'circle', x, y, radius, fill: null, stroke: 'ink', width: 0.06, ...style });
export const rectangle = (x: number, y: number, width: number, height: number, style: Style = {}): PathPrimitive =>
  path([move(x, y), line(x + width, y), line(x + width, y + height), line(x, y + height), close], style);
export const words = (x: number, y: number, text: string, size: number, style: Partial<Omit<TextPrimitive, 'kind' | 'x' | 'y' | 'text' | 'size'>> = {}): TextPrimitive =>
  ({ kind: 'text', x, y, text, size, ink: 'ink', weight: 'bold', align: 'middle', ...style });

export interface Placing {
  readonly x: number;
  readonly y: number;
  /** Length that one symbol unit becomes. */
  readonly size: number;
  /** Degrees, clockwise (y down). Text moves with the symbol and stays upright. */
  readonly turn?: number;
}

/**
 * Puts a symbol, drawn about the origin in symbol units, on a sheet or a page with y down.
 * @throws RangeError when the size is not a positive number
 */
export function placeSymbol(symbol: readonly Primitive[], { x, y, size, turn = 0 }: Placing): Primitive[] {
  if (!(size > 0) || !Number.isFinite(size)) throw new RangeError(`symbol size must be positive: ${size}`);
  const angle = (turn * Math.PI) / 180;
  const cos = Math.cos(angle) * size; const sin = Math.sin(angle) * size;
  const px = (a: number, b: number): number => x + a * cos - b * sin;
  const py = (a: number, b: number): number => y + a * sin + b * cos;
  const drawn = <T extends Drawn>(p: T): T => ({ ...p, width: p.width * size, ...(p.dash ? { dash: p.dash.map((d) => d * size) } : {}) });
  return symbol.map((p): Primitive => {
    if (p.kind === 'text') return { ...p, x: px(p.x, p.y), y: py(p.x, p.y), size: p.size * size };
    if (p.kind === 'circle') return { ...drawn(p), x: px(p.x, p.y), y: py(p.x, p.y), radius: p.radius * size };
    return { ...drawn(p), steps: p.steps.map((s): PathStep => {
      if (s.to === 'close') return s;
      const at = { x: px(s.x, s.y), y: py(s.x, s.y) };
      return s.to === 'arc' ? { ...s, ...at, radius: s.radius * size, start: s.start + angle, end: s.end + angle } : { ...s, ...at };
    }) };
  });
}

/** The same marks with a light rim under all of them, so that none cuts into another's rim. @param rim in the marks' own unit */
export function withHalo(marks: readonly Primitive[], rim: number): Primitive[] {
  const halo = marks.flatMap((p): Primitive[] => {
    if (p.kind === 'text') return [];
    const { dash: _, ...solid } = p;
    return [{ ...solid, stroke: 'halo', width: (p.stroke ? p.width : 0) + 2 * rim, fill: p.fill ? 'halo' : null }];
  });
  return [...halo, ...marks];
}

/** Cubic Bezier pieces of an arc, each at most a quarter turn: [x1, y1, x2, y2, x3, y3]; the error stays below 0.03 % of the radius. */
export function arcToCurves(x: number, y: number, radius: number, start: number, end: number): [number, number, number, number, number, number][] {
  const pieces = Math.max(1, Math.ceil(Math.abs(end - start) / (Math.PI / 2) - 1e-9));
  const step = (end - start) / pieces;
  const k = (4 / 3) * Math.tan(step / 4) * radius;
  return Array.from({ length: pieces }, (_, i) => {
    const a = start + i * step; const b = a + step;
    const ax = x + radius * Math.cos(a); const ay = y + radius * Math.sin(a);
    const bx = x + radius * Math.cos(b); const by = y + radius * Math.sin(b);
    return [ax - k * Math.sin(a), ay + k * Math.cos(a), bx + k * Math.sin(b), by - k * Math.cos(b), bx, by];
  });
}

export interface Box { readonly x: number; readonly y: number; readonly width: number; readonly height: number }

/** The box that holds marks, strokes included; text is measured by the given function (size and text to width). */
export function boundsOf(marks: readonly Primitive[], textWidth: (text: string, size: number, bold: boolean) => number): Box {
  let x1 = Infinity; let y1 = Infinity; let x2 = -Infinity; let y2 = -Infinity;
  const take = (x: number, y: number, rim: number): void => {
    x1 = Math.min(x1, x - rim); y1 = Math.min(y1, y - rim); x2 = Math.max(x2, x + rim); y2 = Math.max(y2, y + rim);
  };
  for (const p of marks) {
    if (p.kind === 'text') {
      const width = textWidth(p.text, p.size, p.weight === 'bold');
      const left = p.align === 'left' ? p.x : p.align === 'middle' ? p.x - width / 2 : p.x - width;
      take(left, p.y - p.size / 2, 0); take(left + width, p.y + p.size / 2, 0);
      continue;
    }
    const rim = p.stroke ? p.width / 2 : 0;
    if (p.kind === 'circle') take(p.x, p.y, p.radius + rim);
    else for (const s of p.steps) if (s.to !== 'close') take(s.x, s.y, rim + (s.to === 'arc' ? s.radius : 0));
  }
  return { x: x1, y: y1, width: x2 - x1, height: y2 - y1 };
}
