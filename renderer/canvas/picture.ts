import type { Document, Id, Sheet } from '../../shared-core/document/index';
import type { PlanSource } from '../plan/index';
import type { PlanIndex } from '../tools/plan-index';
import type { RunnerView } from '../tools/runner';
import type { LabelLayout } from './label-layout';
import type { ShownSight } from './shown-sight';
import type { View } from './view';

/** Everything one frame is painted from: plain values, no canvas and no React. */
export interface Picture {
  readonly view: View;
  /** Device pixels per CSS pixel. */
  readonly ratio: number;
  readonly document: Document;
  readonly preview: Document | null;
  readonly sheet: Sheet;
  readonly index: PlanIndex;
  readonly plan: PlanSource | null;
  readonly selection: ReadonlySet<Id>;
  /** Marks that the preview changes: they are painted with the hand, not with the rest. */
  readonly moving: ReadonlySet<Id>;
  readonly sight: ShownSight;
  readonly labels: LabelLayout;
  readonly hand: RunnerView;
  readonly hasFocus: boolean;
}
