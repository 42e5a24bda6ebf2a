import { createChecker, LiveScenes } from '../../shared-core/checks/index';
import type { Checker } from '../../shared-core/checks/index';
import { applyEdit, changedIds, entityIds, knownChanges, previewEdit } from '../../shared-core/document/index';
import type { Document, Entity, Id, Patch } from '../../shared-core/document/index';

/** Part of what a thread lacks of a document; with the last one it has all of it. */
export interface Portion {
  /** Nothing of what was sent before counts any more. */
  readonly isNew: boolean;
  /** In the order in which they came into the document: what is gone and back again is named twice. */
  readonly entities: readonly (readonly [Id, Entity | null])[];
  /** What else the document holds, where it is not what was sent before. */
  readonly rest?: Omit<Document, 'entities'>;
  readonly isLast: boolean;
}

/** Entities handed over in one go: some milliseconds' copying. */
const PORTION = 2000;

/** The window's end: hands a thread what changed, in portions, so that neither an edit nor a large project holds up a frame. */
export class Feed {
  private document: Document | null = null;
  private sent: Document | null = null;
  private unsent = new Set<Id>();
  /** Of these, what the thread may still have in another place among all. */
  private readonly moved = new Set<Id>();
  private isNew = true;
  private isComplete = false;

  constructor(private readonly post: (portion: Portion) => void, private readonly size = PORTION) {}

  /** The document that the thread is to have. */
  follow(document: Document): void {
    if (document === this.document) return;
    const changed = this.document && knownChanges(this.document, document);
    if (!changed) { this.isNew = true; this.unsent = new Set(entityIds(document.entities)); this.moved.clear(); this.sent = null; }
    for (const id of changed ?? []) {
      if (Object.hasOwn(document.entities, id) && this.document && !Object.hasOwn(this.document.entities, id)) { this.unsent.delete(id); this.moved.add(id); }
      this.unsent.add(id);
    }
    this.document = document; this.isComplete = false;
  }

  /** Hands over one portion of what is lacking. @returns whether the thread has the document that was followed last */
  send(): boolean {
    const { document, unsent, sent } = this;
    if (!document) return false;
    if (this.isComplete) return true;
    const entities: (readonly [Id, Entity | null])[] = [];
    for (const id of unsent) {
      if (entities.length >= this.size) break;
      unsent.delete(id);
      if (this.moved.delete(id)) entities.push([id, null]);
      entities.push([id, Object.hasOwn(document.entities, id) ? document.entities[id] ?? null : null]);
    }
    const isLast = unsent.size === 0;
    const { entities: _, ...rest } = document;
    const hasRest = isLast && (!sent || sent.facts !== document.facts || sent.sheets !== document.sheets);
    this.post({ isNew: this.isNew, entities, isLast, ...(hasRest ? { rest } : {}) });
    this.isNew = false; this.isComplete = isLast;
    if (isLast) this.sent = document;
    return isLast;
  }

  /** The thread has to be given everything anew. */
  restart(): void { const { document } = this; this.document = null; if (document) this.follow(document); }
}

/** The thread's end: the document as it was handed over, with scenes that follow it. */
export class Mirror {
  private whole: Document | null = null;
  private scenes: LiveScenes | null = null;
  /** The document that the scenes stand for, and its checker. */
  private standing: { readonly document: Document; readonly checker: Checker } | null = null;
  private coming: (readonly [Id, Entity | null])[] = [];

  take({ isNew, entities, rest, isLast }: Portion): void {
    if (isNew) { this.whole = null; this.scenes = null; this.standing = null; this.coming = []; }
    for (const entry of entities) this.coming.push(entry);
    if (!isLast) return;
    const { whole, coming } = this;
    this.coming = [];
    if (!whole) {
      if (!rest) throw new RangeError('the first document came without its sheets');
      const all: Record<Id, Entity> = {};
      for (const [id, entity] of coming) if (entity) all[id] = entity; else delete all[id];
      this.whole = { ...rest, entities: all };
      return;
    }
    const patches: Patch[] = []; const now = new Map<Id, Entity | null>();
    for (const [id, after] of coming) {
      const before = now.get(id) ?? (!now.has(id) && Object.hasOwn(whole.entities, id) ? whole.entities[id] ?? null : null);
      now.set(id, after);
      if (before || after) patches.push({ at: 'entity', id, before, after });
    }
    const next = applyEdit(whole, { name: 'handed over', patches });
    // A sheet that came again as it was stays the same object: its scene goes on.
    const sheets = rest?.sheets.map((sheet) => whole.sheets.find((s) => s.id === sheet.id && JSON.stringify(s) === JSON.stringify(sheet)) ?? sheet) ?? whole.sheets;
    this.whole = { ...next, ...rest, sheets };
  }

  /** The document handed over last. @throws RangeError before there is one */
  get document(): Document { if (!this.whole) throw new RangeError('no document has come yet'); return this.whole; }

  /** The same with some marks otherwise, as a hand holds them. */
  trial(entities: Portion['entities']): Document {
    const { document } = this;
    const patches = entities.map(([id, after]): Patch => ({ at: 'entity', id, before: Object.hasOwn(document.entities, id) ? document.entities[id] ?? null : null, after }));
    return patches.length === 0 ? document : previewEdit(document, { name: 'trial', patches });
  }

  /** A checker for this document or a trial of it; it counts until one is asked for another document, whose scenes are the same ones taken on. */
  checkerOf(document: Document): Checker {
    const { standing } = this;
    if (standing?.document === document) return standing.checker;
    if (this.scenes && standing) this.scenes.follow(document, changedIds(standing.document, document)); else this.scenes = new LiveScenes(document);
    const checker = createChecker(document, undefined, this.scenes);
    this.standing = { document, checker };
    return checker;
  }
}
