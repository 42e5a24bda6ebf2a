import type { Verdict } from '../code-data/index';
import type { Disconnect, Load } from '../document/index';
import type { SightIndex } from '../sight/index';
import type { DistanceView } from './check-view';
import type { MountedHandle } from './handle-point';
import type { PairTarget } from './pair-targets';
import type { SheetScene } from './scene-of';
import type { PairLines } from './sight-lines';

/** A sheet ready for checks; index is null while the sheet has no scale. */
export interface ReadySheet { readonly scene: SheetScene; readonly index: SightIndex | null }

/** One pair as geometry alone sees it, before exceptions and other disconnects of the same load. */
export interface PairView {
  readonly disconnect: Disconnect;
  readonly load: Load;
  readonly target: PairTarget;
  readonly mounted: MountedHandle | null;
  readonly lines: PairLines | null;
  readonly distance: DistanceView | null;
  readonly verdict: Verdict;
  /** Data without which nothing can be said. */
  readonly missing: readonly string[];
}
