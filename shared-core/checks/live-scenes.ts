import { entityIds } from '../document/index';
import type { Document, Id, Sheet } from '../document/index';
import { prepareSceneInSteps } from '../sight/index';
import type { Obstacle, SightIndex } from '../sight/index';
import type { ReadySheet } from './pair-view';
import { isStanding, modelInSteps } from './scene-of';
import type { SheetModel } from './scene-of';

interface Kept { readonly model: SheetModel; readonly index: SightIndex | null; ready: ReadySheet }

/** Edits that the index looks through one by one before they are folded in. */
const MOST_UNSETTLED = 512;

/**
 * The scenes of a document that follow its edits: a wall under the hand replaces its own pieces, and no scene is built anew.
 * There is one document at a time: what an earlier `sheetOf` gave follows too, so its answers belong to the latest document.
 */
export class LiveScenes {
  private readonly kept = new Map<Id, Kept>();
  /** Scenes that are being prepared, as of the document they were begun with, and what was edited since. */
  private readonly begun = new Map<Id, { readonly steps: Generator<undefined, Kept>; readonly edited: Set<Id> }>();
  private document: Document;

  constructor(document: Document) { this.document = document; }

  /** The sheet as sight sees it; another object after every edit that touched it. @throws RangeError as sceneOf and prepareScene do */
  sheetOf(id: Id): ReadySheet {
    for (;;) { const ready = this.readyOf(id); if (ready) return ready; this.prepareSome(id); }
  }

  /** The sheet as sight sees it, where it is prepared for exactly this document. */
  readyOf(id: Id): ReadySheet | null { return this.kept.get(id)?.ready ?? null; }

  /**
   * Prepares a sheet for some milliseconds and stops; edits may come between. @returns whether the sheet is ready
   * @throws RangeError as sceneOf and prepareScene do; the next call begins anew
   */
  prepareSome(id: Id): boolean {
    if (this.kept.has(id)) return true;
    let work = this.begun.get(id);
    if (!work) { work = { steps: preparing(this.document, id), edited: new Set() }; this.begun.set(id, work); }
    let step: IteratorResult<undefined, Kept>;
    try { step = work.steps.next(); } catch (fault) { this.begun.delete(id); throw fault; }
    if (!step.done) return false;
    this.begun.delete(id);
    this.kept.set(id, step.value);
    this.bring(id, work.edited);
    return this.kept.has(id);
  }

  /**
   * Goes on to another document.
   * @param changed every id whose entity differs between the document so far and this one, where that is known; more do no harm
   */
  follow(document: Document, changed: Iterable<Id> = idsOfBoth(this.document, document)): void {
    const before = this.document;
    this.document = document;
    if (before.sheets !== document.sheets) this.forgetChanged(before.sheets, document.sheets);
    const touched = new Map<Id, Id[]>();
    for (const id of changed) {
      const was = before.entities[id]; const is = document.entities[id];
      if (was === is) continue;
      for (const entity of new Set([was, is])) if (isStanding(entity)) touched.set(entity.sheet, [...(touched.get(entity.sheet) ?? []), id]);
    }
    for (const [sheet, ids] of touched) {
      const { edited } = this.begun.get(sheet) ?? {};
      if (edited) for (const id of ids) edited.add(id);
      else this.bring(sheet, new Set(ids));
    }
  }

  /** A scene that cannot follow is built anew when it is asked for, and says then what is wrong with it. */
  private bring(sheet: Id, ids: ReadonlySet<Id>): void { try { if (ids.size > 0) this.replace(sheet, ids); } catch { this.kept.delete(sheet); } }

  private replace(sheet: Id, ids: ReadonlySet<Id>): void {
    const kept = this.kept.get(sheet);
    if (!kept) return;
    const { model, index } = kept;
    const gone = new Set<string>(); const fresh = new Map<string, Obstacle>();
    for (const id of ids) for (const obstacle of model.drop(id)) gone.add(obstacle);
    for (const id of ids) {
      const entity = this.document.entities[id];
      if (entity && entity.sheet === sheet && isStanding(entity)) for (const obstacle of model.put(entity)) fresh.set(obstacle.id, obstacle);
    }
    if (index) {
      for (const id of gone) if (!fresh.has(id)) index.removeObstacle(id);
      for (const obstacle of fresh.values()) index.replaceObstacle(obstacle);
      if (index.unsettled > MOST_UNSETTLED) index.settle();
    }
    kept.ready = { scene: model.view(), index };
  }

  /** A sheet that is another object may have another scale: its scene is built anew. */
  private forgetChanged(before: readonly Sheet[], after: readonly Sheet[]): void {
    for (const id of [...this.kept.keys(), ...this.begun.keys()]) if (before.find((s) => s.id === id) !== after.find((s) => s.id === id)) { this.kept.delete(id); this.begun.delete(id); }
  }
}

function* preparing(document: Document, id: Id): Generator<undefined, Kept> {
  const model = yield* modelInSteps(document, id);
  const scene = model.view();
  const index = scene.sheet.scale ? yield* prepareSceneInSteps(scene.scene) : null;
  return { model, index, ready: { scene, index } };
}

function* idsOfBoth(before: Document, after: Document): Generator<Id> {
  if (before.entities === after.entities) return;
  yield* entityIds(after.entities);
  for (const id of entityIds(before.entities)) if (!Object.hasOwn(after.entities, id)) yield id;
}
