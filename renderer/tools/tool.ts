import type { Document, Edit, Entity, EntityKind, Id, Point, ScalePick, Sheet } from '../../shared-core/document/index';
import type { WallOffer } from '../../shared-core/offer/index';
import type { Feet } from '../../shared-core/units/index';
import type { PlanPick, ToolId } from '../state/store';
import type { Box } from './plan-geometry';
import type { PlanIndex } from './plan-index';
import type { Snap, SnapKind, SnapOptions } from './snap';

export interface Modifiers { readonly shift: boolean; readonly alt: boolean; readonly control: boolean }
export const NO_MODIFIERS: Modifiers = { shift: false, alt: false, control: false };

/** What reaches a tool; positions are sheet units as pointed, not yet snapped. */
export type ToolEvent =
  | { readonly type: 'press' | 'move' | 'release'; readonly at: Point; readonly modifiers: Modifiers; readonly clicks: number }
  /** An exact point was typed: as good as a press and a release there, and never snapped. */
  | { readonly type: 'place'; readonly at: Point }
  | { readonly type: 'length'; readonly length: Feet; readonly typed: string; readonly modifiers: Modifiers }
  | { readonly type: 'size'; readonly width: number; readonly height: number }
  | { readonly type: 'key'; readonly key: string; readonly modifiers: Modifiers; readonly at: Point };

/** What a tool may look at. It changes nothing itself: it answers with an edit. */
export interface ToolContext {
  readonly document: Document;
  readonly sheet: Sheet;
  readonly selection: readonly Id[];
  /** The waiting load that the load tool places next. */
  readonly placing: Id | null;
  readonly index: PlanIndex;
  /** Walls offered on this sheet and under review. */
  readonly offer: WallOffer | null;
  /** How near to a thing counts as on it, sheet units (a few pixels at the present zoom). */
  readonly reach: number;
  /** How far off a pointed position may be, sheet units (about one pixel). */
  readonly precision: number;
  /** The foremost thing at a position, optionally of certain kinds only. */
  readonly pick: (at: Point, kinds?: readonly EntityKind[]) => Id | null;
  /** Everything wholly inside a box, or, with touching, everything that meets it. */
  readonly within: (box: Box, touching: boolean) => readonly Id[];
  readonly snap: (raw: Point, options?: Omit<SnapOptions, 'reach'>) => Snap;
  readonly newId: (kind: EntityKind | 'opening') => Id;
}

export type DraftStyle = 'ink' | 'guide' | 'box' | 'limit';

/** What is drawn for an unfinished action, sheet units. */
export interface Draft {
  readonly lines: readonly { readonly points: readonly Point[]; readonly closed?: boolean; readonly style: DraftStyle; readonly width?: number }[];
  readonly snaps: readonly { readonly at: Point; readonly kind: SnapKind }[];
  readonly texts: readonly { readonly at: Point; readonly text: string }[];
}

/** A tool's answer to one event. */
export interface Step<S> {
  readonly state: S;
  readonly draft?: Draft;
  /** The document as it would be if the action ended here: the same edit that will be committed. */
  readonly preview?: Edit;
  readonly edit?: Edit;
  readonly select?: readonly Id[];
  /** Short line for the person: what comes next, or what was done and can be changed. */
  readonly say?: string;
  /** Two points whose length is asked for; null takes the question back. */
  readonly scalePick?: Pick<ScalePick, 'from' | 'to' | 'within'> | null;
  /** Points picked on the plan itself; null takes them back. */
  readonly planPick?: PlanPick | null;
  /** What the review made of the offer. */
  readonly offer?: WallOffer;
  /** Opens the side panel's fields for this thing. */
  readonly inspect?: Id;
  /** The event meant nothing here; the window may use it. */
  readonly unused?: boolean;
}

/** A plain reducer: no canvas, no screen, no clock. */
export interface Tool<S> {
  readonly id: ToolId;
  readonly start: (context: ToolContext) => S;
  readonly step: (state: S, event: ToolEvent, context: ToolContext) => Step<S>;
  /** An action is under way that Escape would drop. */
  readonly isBusy: (state: S) => boolean;
  /** What stays drawn while the pointer is away, because the side panel asks about it. */
  readonly resting?: (state: S) => Draft;
  /** Where typed offsets start from, and whether a bare length is the thing asked for. */
  readonly typing: (state: S, context: ToolContext) => { readonly from: Point | null; readonly asks: 'point' | 'length' };
}

export const NO_DRAFT: Draft = { lines: [], snaps: [], texts: [] };

/** The entity with this id on this sheet's document, or null. */
export const entityOf = (document: Document, id: Id): Entity | null => (Object.hasOwn(document.entities, id) ? document.entities[id] ?? null : null);

export const snapDraft = (snap: Snap): Pick<Draft, 'lines' | 'snaps'> => ({
  lines: snap.guide ? [{ points: snap.guide, style: 'guide' }] : [],
  snaps: snap.kind === 'free' ? [] : [{ at: snap.at, kind: snap.kind }],
});

