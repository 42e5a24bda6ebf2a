/** A straight line of a drawing or scan, sheet units. pen: what it is drawn with, any name for one colour and width; isMeasure: a dimension or extension line. */
export interface PlanLine { readonly x1: number; readonly y1: number; readonly x2: number; readonly y2: number; readonly layer?: string; readonly pen?: string; readonly isMeasure?: boolean }

/** A door seen in a candidate: its edges along the centre line from the first point, and the swing where the drawing shows it. */
export interface OfferedDoor { readonly from: number; readonly to: number; readonly swing?: { readonly hinge: 'from' | 'to'; readonly side: 'left' | 'right' } }

/** What a vector plan draws: a chain of points, sheet units, y down; curves already as chords. */
export interface PlanPath {
  readonly points: readonly (readonly [number, number])[];
  /** Its inside is inked; the last point joins the first. */
  readonly filled: boolean;
  /** Width of the pen, sheet units; 0 or absent: a thin line. */
  readonly width?: number;
  readonly layer?: string;
  /** What its lines are drawn with: any name for one colour and width. */
  readonly pen?: string;
}

/** The pen of lines that are the rim of a fill. */
export const FILL = 'fill';

/**
 * Why a candidate may be no wall from floor to ceiling. pen: neither face is drawn with the pen of the sheet's walls, as parapets,
 * windows and furniture are; edge: open ground lies before it and a glazed front behind, as at a balcony; measure: one face is a
 * dimension or extension line; apart: it stands outside the building in a small group.
 */
export type Doubt = 'pen' | 'edge' | 'measure' | 'apart';

/** A wall that could be there: its centre line and thickness, sheet units. Offered only; nothing becomes a wall unasked. */
export interface WallCandidate {
  readonly x1: number; readonly y1: number; readonly x2: number; readonly y2: number; readonly thickness: number; readonly layer?: string;
  readonly openings?: readonly OfferedDoor[];
  readonly doubt?: Doubt;
}

export interface OfferOptions {
  /** Thinnest and thickest wall, sheet units. */
  readonly thickness: readonly [number, number];
  /** Shorter candidates are left out, sheet units. */
  readonly shortest: number;
  /** Lines and pieces of wall this far apart along or across count as one, sheet units. */
  readonly slack: number;
}

/** A quarter circle, as the way of a door's leaf is drawn. */
export interface DoorArc { readonly x: number; readonly y: number; readonly radius: number; readonly ends: readonly [readonly [number, number], readonly [number, number]] }
