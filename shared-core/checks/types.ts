import type { Result, Verdict } from '../code-data/index';
import type { Id } from '../document/index';
import type { SpacePoint, Transmission } from '../sight/index';
import type { Feet } from '../units/index';

export type TargetKind = 'motor' | 'machine' | 'controller' | 'unit';

/** What one of the two lines meets, nearest to the handle first. */
export interface Meeting {
  /** The document entity (wall, obstruction, machine ...) that stands there. */
  readonly entity: Id;
  /** The opening in that wall, when it is a door leaf or glazing. */
  readonly opening?: Id;
  readonly transmission: Transmission;
  /** First point of the line that lies in it. */
  readonly at: SpacePoint;
}

export interface LineReport {
  readonly state: 'clear' | 'blocked' | 'doubtful';
  /** Eye or body point at the target. */
  readonly target: SpacePoint;
  readonly handle: SpacePoint;
  readonly meets: readonly Meeting[];
}

/** Everything about one disconnect and one target of one of its loads. Plan positions in sheet units, heights in feet. */
export interface PairReport {
  readonly disconnect: Id;
  readonly load: Id;
  readonly target: TargetKind;
  /** null when the sheet has no scale or the load is not placed. */
  readonly distance: Feet | null;
  readonly uncertainty: Feet;
  readonly limit: Feet;
  readonly eyeLine: LineReport | null;
  readonly bodyLine: LineReport | null;
  /** The two halves of the question: what the lines say, and what the distance says. */
  readonly viewVerdict: Verdict;
  readonly distanceVerdict: Verdict;
  /** Nearest and farthest point of a long machine, where the target has an outline. */
  readonly reach: { readonly nearest: Feet; readonly farthest: Feet } | null;
  /** Both halves with exceptions on record and other disconnects of the load: the verdict of the finding. */
  readonly verdict: Verdict;
  readonly result: Result;
}
