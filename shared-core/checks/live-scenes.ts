import type { Document, Id, Sheet } from '../document/index';
import { prepareScene } from '../sight/index';
import type { Obstacle, SightIndex } from '../sight/index';
import type { ReadySheet } from './pair-view';
import { isStanding, modelOf } from './scene-of';
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
  private document: Document;

  constructor(document: Document) { this.document = document; }

  /** The sheet as sight sees it; another object after every edit that touched it. @throws RangeError as sceneOf and prepareScene do */
  sheetOf(id: Id): ReadySheet {
    const known = this.kept.get(id);
    if (known) return known.ready;
    const model = modelOf(this.document, id);
    const scene = model.view();
    const index = scene.sheet.scale ? prepareScene(scene.scene) : null;
    const ready: ReadySheet = { scene, index };
    this.kept.set(id, { model, index, ready });
    return ready;
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
      // A scene that cannot follow is built anew when it is asked for, and says then what is wrong with it.
      try { this.replace(sheet, new Set(ids)); } catch { this.kept.delete(sheet); }
    }
  }

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
    for (const id of this.kept.keys()) if (before.find((s) => s.id === id) !== after.find((s) => s.id === id)) this.kept.delete(id);
  }
}

function* idsOfBoth(before: Document, after: Document): Generator<Id> {
  if (before.entities === after.entities) return;
  yield* Object.keys(after.entities);
  for (const id of Object.keys(before.entities)) if (!Object.hasOwn(after.entities, id)) yield id;
}
