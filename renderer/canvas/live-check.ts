import { createChecker, LiveScenes } from '../../shared-core/checks/index';
import type { Checker, PairReport } from '../../shared-core/checks/index';
import { changedIds, entitiesOf } from '../../shared-core/document/index';
import type { Disconnect, Document, Id } from '../../shared-core/document/index';
import { staleBetween } from './still-true';

export interface LiveResult {
  /** The document the pairs hold for, and no other. */
  readonly of: Document;
  readonly disconnects: readonly Id[];
  readonly pairs: readonly PairReport[];
  /** All that may have changed, checked or not. */
  readonly concerned: readonly Id[];
}

/** How a checker is made; a test can hand in its own. */
export type MakeChecker = (document: Document, sheet: Id, scenes: Pick<Checker, 'sheetOf'>) => Checker;
export type MakeScenes = (document: Document) => Pick<LiveScenes, 'sheetOf' | 'follow'>;

/** A frame has 16 ms, and the painting needs its part. */
const FRAME_BUDGET = 7;
/** A scene that took longer than this to prepare is not prepared in every frame. */
const COSTLY = 14;

/**
 * Checks, within a frame, the disconnects that a drag or an edit concerns. The prepared scene follows every edit, walls
 * under the hand included, so that a frame costs only what moved and its few lines; a scene is prepared anew when its sheet
 * gets another scale. What could not be checked in time is left out, and so is shown without a verdict.
 */
export class LiveCheck {
  private scenes: ReturnType<MakeScenes> | null = null;
  /** The document that the scenes stand for, the sheet they were prepared for, and the checker of both. */
  private base: Document | null = null;
  private sheet: Id | null = null;
  private checker: Checker | null = null;
  private cost = 0;
  private notBefore = 0;

  constructor(private readonly make: MakeChecker = createChecker, private readonly clock: () => number = () => performance.now(), private readonly prepareScenes: MakeScenes = (document) => new LiveScenes(document)) {}

  /** Prepares for a drag that may start soon; call when there is time. */
  warm(document: Document, sheet: Id): void {
    if (!this.follow(document, sheet)) this.prepare(document, sheet);
  }

  /**
   * @param settled  the document before the drag
   * @param shown    the document as it is shown now: a preview, or the settled one after an edit
   * @param near     ids to check first when not all can be checked in time
   */
  check(settled: Document, shown: Document, sheet: Id, near: ReadonlySet<Id>): LiveResult {
    const { all, disconnects } = staleBetween(settled, shown);
    const concerned = (all ? entitiesOf(shown, 'disconnect', sheet) : [...disconnects].map((id) => shown.entities[id]))
      .filter((e): e is Disconnect => e?.kind === 'disconnect' && e.sheet === sheet)
      .sort((a, b) => Number(near.has(b.id)) - Number(near.has(a.id)));
    const ids = concerned.map((d) => d.id);
    const checker = concerned.length > 0 ? this.checkerFor(shown, sheet) : null;
    const checked: Id[] = []; const pairs: PairReport[] = [];
    const begun = this.clock();
    for (const disconnect of checker ? concerned : []) {
      // An exception in a check must not stop the hand; without a result the line shows no verdict.
      try { pairs.push(...checker?.pairsOf(disconnect) ?? []); checked.push(disconnect.id); } catch { continue; }
      if (this.clock() - begun > FRAME_BUDGET) break;
    }
    return { of: shown, disconnects: checked, pairs, concerned: ids };
  }

  /** Asks something of a checker that holds for exactly this document; null when that would hold up the hand, or fails. */
  ask<T>(document: Document, sheet: Id, question: (checker: Checker) => T): T | null {
    const checker = this.checkerFor(document, sheet);
    try { return checker && question(checker); } catch { return null; }
  }

  /** A checker for exactly this document; null when preparing one now would hold up the hand. */
  private checkerFor(document: Document, sheet: Id): Checker | null {
    if (!this.follow(document, sheet)) {
      if (this.cost > COSTLY && this.clock() < this.notBefore) return null;
      this.prepare(document, sheet);
    }
    if (this.scenes && !this.checker) this.checker = this.make(document, sheet, this.scenes);
    return this.checker;
  }

  /** Takes the scenes on to this document; false when they have to be prepared for it. */
  private follow(document: Document, sheet: Id): boolean {
    const { base, scenes } = this;
    if (!scenes || !base || sheet !== this.sheet || base.sheets.find((s) => s.id === sheet) !== document.sheets.find((s) => s.id === sheet)) return false;
    if (base === document) return true;
    scenes.follow(document, changedIds(base, document));
    this.base = document; this.checker = null;
    return true;
  }

  private prepare(document: Document, sheet: Id): void {
    const started = this.clock();
    this.scenes = this.prepareScenes(document);
    this.base = document; this.sheet = sheet; this.checker = null;
    // The scene is built when it is first asked for, so ask now: the cost belongs to the preparation.
    try { this.scenes.sheetOf(sheet); } catch { /* the check itself says so, where it is shown */ }
    const ended = this.clock();
    this.cost = ended - started;
    this.notBefore = ended + 4 * this.cost;
  }
}
