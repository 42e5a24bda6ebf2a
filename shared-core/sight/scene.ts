import type { Feet } from '../units/index';

/**
 * What light does at an obstacle. 'opaque' blocks; 'glazed' (glass, a vision panel) and 'leaf' (a door that is only
 * normally open) make a line doubtful; 'mesh' is clear but said.
 */
export type Transmission = 'opaque' | 'glazed' | 'leaf' | 'mesh';

/** Plan shape in plan units. A wall is its closed centre-line rectangle with butt ends; thickness 0 is the bare line. */
export type PlanShape =
  | { readonly type: 'wall'; readonly x1: number; readonly y1: number; readonly x2: number; readonly y2: number; readonly thickness: number }
  | { readonly type: 'polygon'; readonly points: readonly (readonly [number, number])[] };

/** An upright prism: the plan shape from bottom to top, both included (closed set: touching blocks). */
export interface Obstacle {
  readonly id: string;
  readonly shape: PlanShape;
  readonly bottom: Feet;
  readonly top: Feet;
  readonly transmission: Transmission;
}

/**
 * Plan coordinates stay in the sheet's own units, because multiplying them into feet would round away exact contacts
 * (a T-junction could open by 1e-13 ft: a false pass). Only distances are converted, by feetPerUnit. Heights are feet.
 */
export interface Scene {
  readonly feetPerUnit: number;
  readonly obstacles: readonly Obstacle[];
}

/** A point in space: plan units, and height in feet above the level's datum. */
export interface SpacePoint { readonly x: number; readonly y: number; readonly z: Feet }

export interface Handle extends SpacePoint {
  /** Obstacle ids of the wall it hangs on (several when openings split one wall): contact at the very start of the line does not block. */
  readonly mount?: readonly string[];
}
export interface Target extends SpacePoint {
  /** The target's own outline, ignored for this target; several where it is built into something. */
  readonly body?: string | readonly string[];
}

const NO_BODY: readonly string[] = [];
/** The obstacles that are the target itself. */
export const bodiesOf = ({ body }: Pick<Target, 'body'>): readonly string[] => (body === undefined ? NO_BODY : typeof body === 'string' ? [body] : body);
