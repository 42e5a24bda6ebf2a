import { readLength } from '../units/index';
import type { PlanLine } from './candidate';

/** A text of the plan: its middle, its size along and across its own direction (degrees clockwise, y down); picture units. */
export interface PlanText { readonly text: string; readonly x: number; readonly y: number; readonly width: number; readonly height: number; readonly angle: number }

/**
 * A length that the plan states itself, to be offered as a pick for the scale; picture units. within is how far each end may be off where
 * that is more than a line of the drawing: the middle of a label need not stand over its tick.
 */
export interface StatedLength { readonly from: [number, number]; readonly to: [number, number]; readonly text: string; readonly feet: number; readonly within?: number }

const METRE = 1 / 0.3048;

/** Reads what a dimension line says. Bare numbers count only as builders write them: metres with two or three decimals, whole millimetres. */
function dimensionFeet(text: string): number | null {
  const plain = text.trim().replace(/[\u2018\u2019\u2032]/g, "'").replace(/[\u201c\u201d\u2033]/g, '"').replace(/''/g, '"');
  if (/^\d{1,3}'\s*-?\s*(\d{1,2}(\s+\d+\/\d+)?|\d+\/\d+)?\s*"?$/.test(plain) || /^\d+([.,]\d+)?\s*(mm|cm|m)$/i.test(plain)) {
    const read = readLength(plain.replace(',', '.'), 'US');
    return read.ok && read.length > 0 ? read.length : null;
  }
  if (/^\d{1,3}[.,]\d{2,3}$/.test(plain)) return Number(plain.replace(',', '.')) * METRE;
  if (/^\d{4,5}$/.test(plain)) return (Number(plain) / 1000) * METRE;
  return null;
}

/** A text stands at its line within so many of its heights, and in its middle within this share of the line's length. */
const BESIDE = 1.7;
const CENTRED = 0.08;
const PARALLEL = Math.sin((1.5 * Math.PI) / 180);
/** Where several lengths agree, one that is off by more belongs to something else. */
const AGREE = 0.02;
const MOST = 40;

const lengthOf = ({ from, to }: Pick<StatedLength, 'from' | 'to'>): number => Math.hypot(to[0] - from[0], to[1] - from[1]);

/** The line a dimension text belongs to: whole, or broken by the text itself. */
function lineAt({ x, y, width, height, angle }: PlanText, lines: readonly PlanLine[]): Pick<StatedLength, 'from' | 'to'> | null {
  const [cos, sin] = [Math.cos((angle * Math.PI) / 180), Math.sin((angle * Math.PI) / 180)];
  const reach = BESIDE * height;
  const strips: { from: number; to: number; across: number }[] = [];
  for (const { x1, y1, x2, y2 } of lines) {
    const long = Math.hypot(x2 - x1, y2 - y1);
    if (long < height || Math.abs((x2 - x1) * sin - (y2 - y1) * cos) > PARALLEL * long) continue;
    const across = -((x1 + x2) / 2 - x) * sin + ((y1 + y2) / 2 - y) * cos;
    if (Math.abs(across) > reach) continue;
    const [a, b] = [(x1 - x) * cos + (y1 - y) * sin, (x2 - x) * cos + (y2 - y) * sin];
    strips.push({ from: Math.min(a, b), to: Math.max(a, b), across });
  }
  let best: { from: number; to: number; across: number } | null = null;
  const isCentred = (s: { from: number; to: number }): boolean => s.to - s.from > width && Math.abs(s.from + s.to) / 2 <= CENTRED * (s.to - s.from);
  for (const one of strips) {
    const halves = one.to <= 0 ? strips.filter((other) => other.from >= 0 && Math.abs(other.across - one.across) < 0.15 * height && other.from - one.to < width + 4 * height) : [];
    for (const whole of [one, ...halves.map((other) => ({ from: one.from, to: other.to, across: one.across }))]) {
      if (isCentred(whole) && (!best || Math.abs(whole.across) < Math.abs(best.across))) best = whole;
    }
  }
  if (!best) return null;
  const { across } = best;
  const at = (along: number): [number, number] => [x + along * cos - across * sin, y + along * sin + across * cos];
  return { from: at(best.from), to: at(best.to) };
}

type Tick = PlanText & { readonly value: number; readonly unit: string };
/** Ticks stand so many heights of their labels away at most, and are as evenly spaced as this share of the bar. */
const TICK_BESIDE = 3;
const TICK_EVEN = 0.004;

/** The drawn ends nearest to the labels of a bar, along it, where they are as even as its numbers; null where they are not. */
function drawnTicks(labels: readonly Tick[], zero: Tick, lines: readonly PlanLine[]): { readonly zero: number; readonly last: number } | null {
  const [cos, sin] = [Math.cos((zero.angle * Math.PI) / 180), Math.sin((zero.angle * Math.PI) / 180)];
  const ends = lines.flatMap(({ x1, y1, x2, y2 }) => [[x1, y1], [x2, y2]] as const).flatMap(([x, y]) => {
    const across = -(x - zero.x) * sin + (y - zero.y) * cos;
    return Math.abs(across) < TICK_BESIDE * zero.height ? [(x - zero.x) * cos + (y - zero.y) * sin] : [];
  });
  const ticks = [zero, ...labels].map((label) => {
    const at = (label.x - zero.x) * cos + (label.y - zero.y) * sin;
    const nearest = ends.reduce((best, end) => (Math.abs(end - at) < Math.abs(best - at) ? end : best), Infinity);
    return Math.abs(nearest - at) <= 0.5 * (label.width + label.height) ? nearest : null;
  });
  const [first, last] = [ticks[0], ticks.at(-1)];
  const most = labels.at(-1)?.value ?? 0;
  if (first === undefined || first === null || last === undefined || last === null || !(last > first)) return null;
  const isEven = labels.every(({ value }, i) => { const tick = ticks[i + 1]; return tick !== undefined && tick !== null && Math.abs((tick - first) / (last - first) - value / most) <= TICK_EVEN; });
  return isEven ? { zero: first, last } : null;
}

/** Ticks in a row whose numbers grow evenly from 0: the bar from 0 to the last, where a unit stands with it. */
function scaleBars(texts: readonly PlanText[], lines: readonly PlanLine[]): StatedLength[] {
  const units: readonly (readonly [RegExp, number])[] = [[/^(ft|feet|')\.?$/i, 1], [/^(m|metres?|meters?)\.?$/i, METRE]];
  const ticks = texts.flatMap((t): Tick[] => { const m = /^(\d+(?:[.,]\d+)?)\s*([a-z']*)\.?$/i.exec(t.text.trim()); return m ? [{ ...t, value: Number(m[1]!.replace(',', '.')), unit: m[2]! }] : []; });
  const found: StatedLength[] = [];
  for (const zero of ticks.filter((t) => t.value === 0)) {
    const [cos, sin] = [Math.cos((zero.angle * Math.PI) / 180), Math.sin((zero.angle * Math.PI) / 180)];
    const along = (t: { x: number; y: number }): number => (t.x - zero.x) * cos + (t.y - zero.y) * sin;
    const row = ticks.filter((t) => t.value > 0 && along(t) > 0 && Math.abs(-(t.x - zero.x) * sin + (t.y - zero.y) * cos) < 0.6 * zero.height).sort((a, b) => along(a) - along(b));
    const first = row[0];
    if (!first) continue;
    // The last label carries its unit and is wider, so its middle stands off: two thirds of a height are allowed.
    const even = row.filter((t) => Math.abs(along(t) / t.value - along(first) / first.value) * t.value < 0.7 * zero.height + 0.5 * (t.unit === '' ? 0 : t.width));
    const last = even.at(-1);
    if (!last || even.length < 2) continue;
    const beside = texts.filter((t) => Math.abs(-(t.x - zero.x) * sin + (t.y - zero.y) * cos) < 2.5 * zero.height && along(t) > 0 && along(t) < along(last) + last.width + 6 * zero.height).map((t) => t.text.trim());
    const factor = units.find(([unit]) => even.some((t) => unit.test(t.unit)) || beside.some((text) => unit.test(text)))?.[1];
    if (factor === undefined) continue;
    const at = (where: number): [number, number] => [zero.x + where * cos, zero.y + where * sin];
    const bar = (from: number, to: number, value: number): StatedLength => ({ from: at(from), to: at(to), text: `scale bar 0 to ${value} ${factor === 1 ? 'ft' : 'm'}`, feet: value * factor });
    const drawn = drawnTicks(even, zero, lines);
    const plain = even.filter((t) => t.unit === '').at(-1) ?? last;
    // Whether labels are centred on their ticks or begin at them cannot be seen: half of what one is wider than the other may be off.
    found.push(drawn ? bar(drawn.zero, drawn.last, last.value) : { ...bar(0, along(plain), plain.value), within: 0.1 * zero.height + Math.abs(plain.width - zero.width) / 2 });
  }
  return found;
}

/**
 * Lengths that a drawing states itself: dimension texts centred on a line that runs along them, and scale bars with numbered ticks.
 * Where three or more agree on a scale, those that do not are left out: they dimension a detail, or were matched to a wrong line.
 * @returns longest first, at most 40; offered to a person, never taken unasked
 */
export function statedLengths(texts: readonly PlanText[], lines: readonly PlanLine[]): StatedLength[] {
  const found = texts.flatMap((text): StatedLength[] => {
    const feet = dimensionFeet(text.text);
    const line = feet === null ? null : lineAt(text, lines);
    return feet === null || !line ? [] : [{ ...line, text: text.text.trim(), feet }];
  });
  const all = [...found, ...scaleBars(texts, lines)].filter((length) => lengthOf(length) > 0);
  const near = (a: StatedLength, b: StatedLength): boolean => Math.abs((a.feet / lengthOf(a)) / (b.feet / lengthOf(b)) - 1) <= AGREE;
  const most = Math.max(0, ...all.map((a) => all.filter((b) => near(a, b)).length));
  const centre = most >= 3 ? all.find((a) => all.filter((b) => near(a, b)).length === most) : undefined;
  return all.filter((length) => !centre || near(length, centre)).sort((a, b) => lengthOf(b) - lengthOf(a)).slice(0, MOST);
}
