import type { Problem } from '../../shared-core/host-api';

/** A rectangle in the picture's own units (PlanRef.width by height), y down; how the picture lies on its sheet is not known here. */
export interface PictureBox { readonly x: number; readonly y: number; readonly width: number; readonly height: number }

/** A piece of the plan's picture and where in the picture it belongs. The picture belongs to the source: draw it, never keep it. */
export interface PlanTile { readonly key: string; readonly box: PictureBox; readonly image: ImageBitmap }

export type PlanState =
  | { readonly kind: 'opening'; readonly done: number; readonly note: string }
  | { readonly kind: 'ready' }
  | { readonly kind: 'problem'; readonly problem: Problem };

/** The plan of one sheet as tiles. Draw in the order given: coarse tiles come first, sharper ones cover them. */
export interface PlanSource {
  /**
   * The tiles that can be drawn now for a view; what is missing is fetched, and onChange called when it came.
   * @param view           visible part of the picture
   * @param pixelsPerUnit  device pixels per picture unit, finite and above 0
   * @returns coarse tiles first; may be empty while opening
   */
  visibleTiles(view: PictureBox, pixelsPerUnit: number): readonly PlanTile[];
  /** Calls back after new tiles or a new state came, at most once per frame; returns how to stop it. */
  onChange(listener: () => void): () => void;
  state(): PlanState;
  /** What the person should know although the sheet opened, e.g. a picture in a PDF that could not be read. */
  warnings(): readonly Problem[];
  /** Ends the opening under way; the state then says that it was cancelled. */
  stop(): void;
  /** Opens a plan again that was stopped or failed. */
  again(): void;
  /** Frees pictures and worker; the source is dead afterwards. */
  close(): void;
}
