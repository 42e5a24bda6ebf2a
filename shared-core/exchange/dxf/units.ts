import { readLength } from '../../units/index';
import type { DimensionMark, DrawingMark } from './marks';
import type { DxfFile } from './records';

const METRE = 1 / 0.3048;

/** Units by the number of the header variable $INSUNITS (DXF reference, HEADER section). */
const INSUNITS: Readonly<Record<number, readonly [string, number]>> = {
  1: ['inch', 1 / 12], 2: ['foot', 1], 3: ['mile', 5280], 4: ['millimetre', METRE / 1000], 5: ['centimetre', METRE / 100], 6: ['metre', METRE],
  7: ['kilometre', METRE * 1000], 8: ['microinch', 1e-6 / 12], 9: ['mil', 0.001 / 12], 10: ['yard', 3], 14: ['decimetre', METRE / 10], 21: ['US survey foot', 1200 / 3937 * METRE],
};

export interface Unit { readonly name: string; readonly feet: number }

/** The unit that the header declares; null when it declares none. */
export function declaredUnit(file: DxfFile): Unit | null {
  const known = INSUNITS[file.header.get('$INSUNITS')?.number(70) ?? 0];
  return known ? { name: known[0], feet: known[1] } : null;
}

export interface ReadDimension extends DimensionMark { readonly feet: number }

/** Dimensions whose printed text is a length with its unit, longest first. */
export function readDimensions(dimensions: readonly DimensionMark[]): ReadDimension[] {
  return dimensions.flatMap((dimension) => {
    // '3.2 m' says its unit; '3200' alone says nothing about it.
    const read = /['"′″]|[a-z]/i.test(dimension.text) ? readLength(dimension.text, 'US') : null;
    return read?.ok && read.length > 0 ? [{ ...dimension, feet: read.length }] : [];
  }).sort((a, b) => b.measured - a.measured);
}

const SAME_WITHIN = 0.02;
const same = (a: number, b: number): boolean => Math.abs(a / b - 1) <= SAME_WITHIN;

/** The unit that the dimension texts prove: at least two, and most of all that can be read, agree. */
export function provenUnit(dimensions: readonly ReadDimension[]): Unit | null {
  const factors = dimensions.map(({ feet, measured }) => feet / measured).sort((a, b) => a - b);
  const middle = factors[Math.floor(factors.length / 2)];
  if (middle === undefined) return null;
  const agreeing = factors.filter((factor) => same(factor, middle)).length;
  if (agreeing < 2 || agreeing < factors.length * 0.6) return null;
  const known = Object.values(INSUNITS).find(([, feet]) => same(middle, feet));
  return known ? { name: known[0], feet: known[1] } : { name: 'unit of its own', feet: middle };
}

/** A building, yard or site is at least this long and at most that long, feet. */
const SHORTEST = 2 * METRE;
const LONGEST = 20_000 * METRE;

export const isPlausible = (long: number, unit: Unit): boolean => long * unit.feet >= SHORTEST && long * unit.feet <= LONGEST;

/** The long side in words, metric and US. */
export const inWords = (long: number, unit: Unit): string => {
  const feet = long * unit.feet;
  const round = (value: number): string => (value >= 100 ? value.toFixed(0) : value.toPrecision(2));
  return `${round(feet)} ft (${round(feet / METRE)} m)`;
};
export const sameUnit = (a: Unit, b: Unit): boolean => same(a.feet, b.feet);

/** Leaves of doors are so wide, feet: from a hatch to the leaf of a gate; common practice, no source. */
const LEAF: Readonly<[number, number]> = [0.4 * METRE, 3 * METRE];
/** Most leaves are so wide. */
const USUAL_LEAF: Readonly<[number, number]> = [0.55 * METRE, 1.4 * METRE];
const QUARTER: Readonly<[number, number]> = [(75 * Math.PI) / 180, (105 * Math.PI) / 180];

/** The middle radius of the quarter circles, as doors are drawn; null for fewer than two. Units of the marks. */
export function leafRadius(marks: readonly DrawingMark[]): number | null {
  const radii = marks.flatMap((mark): number[] => {
    if (mark.kind !== 'line' || mark.source !== 'ARC' || mark.points.length < 3) return [];
    const [a, b, c] = [mark.points[0]!, mark.points[mark.points.length >> 1]!, mark.points.at(-1)!];
    const d = 2 * (a[0] * (b[1] - c[1]) + b[0] * (c[1] - a[1]) + c[0] * (a[1] - b[1]));
    // Chord and sides of the triangle on the circle give its radius and the angle over the chord.
    const [ab, bc, ca] = [Math.hypot(b[0] - a[0], b[1] - a[1]), Math.hypot(c[0] - b[0], c[1] - b[1]), Math.hypot(a[0] - c[0], a[1] - c[1])];
    const radius = d === 0 ? Infinity : (ab * bc * ca) / Math.abs(d);
    const sweep = 2 * Math.asin(Math.min(1, ca / (2 * radius)));
    return sweep >= QUARTER[0] && sweep <= QUARTER[1] ? [radius] : [];
  }).sort((p, q) => p - q);
  return radii.length < 2 ? null : radii[radii.length >> 1]!;
}

/** The unit in which the quarter circles of a drawing would be doors, when they cannot be doors in the declared one. */
export function unitOfDoors(radius: number | null, declared: Unit): Unit | null {
  if (radius === null || (radius * declared.feet >= LEAF[0] && radius * declared.feet <= LEAF[1])) return null;
  const fitting = [4, 5, 6, 1, 2].map((number) => INSUNITS[number]!).find(([, feet]) => radius * feet >= USUAL_LEAF[0] && radius * feet <= USUAL_LEAF[1]);
  return fitting ? { name: fitting[0], feet: fitting[1] } : null;
}
