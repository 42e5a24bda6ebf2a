import type { Colour } from './colour';

/** What a drawing comes down to once blocks are laid out and curves are chords; drawing coordinates, y up. */
interface MarkBase { readonly layer: string; readonly colour: Colour }
export interface LineMark extends MarkBase { readonly kind: 'line'; readonly points: readonly (readonly [number, number])[]; readonly source: string }
/** 'cover' hides what lies below it. */
export interface FillMark extends MarkBase { readonly kind: 'fill'; readonly loops: readonly (readonly (readonly [number, number])[])[]; readonly cover: boolean }
/** `along` and `up` are one letter height long (capital letters), so that mirrored and stretched text stays so. */
export interface TextMark extends MarkBase {
  readonly kind: 'text'; readonly text: string; readonly at: readonly [number, number];
  readonly along: readonly [number, number]; readonly up: readonly [number, number];
  readonly align: 'left' | 'centre' | 'right';
}
export type DrawingMark = LineMark | FillMark | TextMark;

/** A dimension of the drawing: the two points it measures between, its own measurement, and what is printed. */
export interface DimensionMark { readonly from: readonly [number, number]; readonly to: readonly [number, number]; readonly measured: number; readonly text: string }
