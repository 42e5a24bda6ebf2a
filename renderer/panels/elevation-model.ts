import type { PairReport } from '../../shared-core/checks/index';
import { previewEdit, putEntities } from '../../shared-core/document/index';
import type { Document, Id } from '../../shared-core/document/index';
import { feet } from '../../shared-core/units/index';
import type { Feet } from '../../shared-core/units/index';
import type { Transmission } from '../../shared-core/sight/index';

/** One body that the plan line crosses, seen from the side: where along the line, and from what height to what height. */
export interface Piece { readonly entity: Id; readonly opening?: Id; readonly from: Feet; readonly to: Feet; readonly bottom: Feet; readonly top: Feet; readonly transmission: Transmission }

/** A sight line seen from the side; lengths along the plan from the handle, heights above the floor. */
export interface Elevation {
  readonly pair: PairReport;
  readonly length: Feet;
  readonly handle: Feet;
  readonly eye: Feet | null;
  readonly body: Feet | null;
  readonly pieces: readonly Piece[];
}

/** What a height belongs to; each can be dragged, stepped and typed. */
export type HeightOf = { readonly kind: 'handle' } | { readonly kind: 'body' } | { readonly kind: 'top' | 'bottom'; readonly entity: Id };

/** Joins the pieces of one body that overlap or touch along the line, so that a wall reads as one block with its openings left open. */
export function joinPieces(pieces: readonly Piece[]): Piece[] {
  const joined: Piece[] = [];
  for (const piece of [...pieces].sort((a, b) => a.from - b.from)) {
    const at = joined.findIndex((j) => j.entity === piece.entity && j.opening === piece.opening && j.bottom === piece.bottom && j.top === piece.top && j.transmission === piece.transmission && piece.from <= j.to + 1e-6);
    const before = joined[at];
    if (before) joined[at] = { ...before, to: feet(Math.max(before.to, piece.to)) };
    else joined.push(piece);
  }
  return joined;
}

/** The document with one height changed, given above the level's floor; the same object when the height cannot be that. Tops stay above bottoms. */
export function withHeight(document: Document, pair: { readonly disconnect: Id; readonly load: Id; readonly target: PairReport['target'] }, of: HeightOf, height: Feet): Document {
  const id = of.kind === 'handle' ? pair.disconnect : of.kind === 'body' ? bodyOf(document, pair) : of.entity;
  const entity = document.entities[id];
  if (!entity || !Number.isFinite(height)) return document;
  const put = (after: typeof entity): Document => previewEdit(document, putEntities(document, '', [after]));
  if (of.kind === 'handle' && entity.kind === 'disconnect') return height >= entity.standing ? put({ ...entity, handleHeight: feet(height - entity.standing) }) : document;
  if (of.kind === 'body' && (entity.kind === 'load' || entity.kind === 'machine' || entity.kind === 'controller')) return height >= 0 ? put({ ...entity, height }) : document;
  if (entity.kind === 'wall' || entity.kind === 'obstruction') {
    if (of.kind === 'top') return height >= entity.bottom ? put({ ...entity, top: height }) : document;
    if (of.kind === 'bottom') return height <= entity.top ? put({ ...entity, bottom: height }) : document;
  }
  if (of.kind === 'top' && (entity.kind === 'load' || entity.kind === 'machine')) return height >= 0 ? put({ ...entity, bodyTop: height }) : document;
  return document;
}

/** Which mark the body line ends at: the load itself, its machine or its controller. */
export function bodyOf(document: Document, pair: { readonly load: Id; readonly target: PairReport['target'] }): Id {
  const load = document.entities[pair.load];
  if (load?.kind !== 'load') return pair.load;
  return (pair.target === 'machine' ? load.machine : pair.target === 'controller' ? load.controller : undefined) ?? load.id;
}
