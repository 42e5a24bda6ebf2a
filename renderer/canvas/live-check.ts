import { createChecker } from '../../shared-core/checks/index';
import type { Checker, PairReport } from '../../shared-core/checks/index';
import { entitiesOf } from '../../shared-core/document/index';
import type { Disconnect, Document, Entity, Id } from '../../shared-core/document/index';
import { changedIds, staleBetween } from './still-true';

export interface LiveResult {
  /** The document the pairs hold for, and no other. */
  readonly of: Document;
  readonly disconnects: readonly Id[];
  readonly pairs: readonly PairReport[];
  /** All that may have changed, checked or not. */
  readonly concerned: readonly Id[];
}

/** What the live check needs of the checks; a test can hand in its own. */
export type LiveChecker = Pick<Checker, 'pairsOf' | 'sheetOf' | 'spaceOf'>;
export type MakeChecker = (document: Document, sheet: Id, scenes?: Pick<Checker, 'sheetOf'>) => LiveChecker;

/** A frame has 16 ms, and the painting needs its part. */
const FRAME_BUDGET = 7;
/** A checker that took longer than this to prepare is not prepared in every frame. */
const COSTLY = 14;

/**
 * Checks, within a frame, the disconnects that a drag or an edit concerns. While nothing moves that could stand in a
 * line, the prepared scene is kept and a frame costs only its few lines; when walls move the scene is made anew as often
 * as that is affordable. What could not be checked in time is left out, and so is shown without a verdict.
 */
export class LiveCheck {
  /** The document whose scene is prepared, and the checker that holds the scene. */
  private base: Document | null = null;
  private sheet: Id | null = null;
  private scenes: LiveChecker | null = null;
  private cost = 0;
  private notBefore = 0;

  constructor(private readonly make: MakeChecker = createChecker, private readonly clock: () => number = () => performance.now()) {}

  /** Prepares for a drag that may start soon; call when there is time. */
  warm(document: Document, sheet: Id): void {
    if (!this.fits(document, sheet)) this.prepare(document, sheet);
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
  ask<T>(document: Document, sheet: Id, question: (checker: LiveChecker) => T): T | null {
    const checker = this.checkerFor(document, sheet);
    try { return checker && question(checker); } catch { return null; }
  }

  /** A checker for exactly this document; null when preparing one now would hold up the hand. */
  private checkerFor(document: Document, sheet: Id): LiveChecker | null {
    if (!this.fits(document, sheet)) {
      if (this.cost > COSTLY && this.clock() < this.notBefore) return null;
      this.prepare(document, sheet);
    }
    return this.scenes && (document === this.base ? this.scenes : this.make(document, sheet, this.scenes));
  }

  /** Whether what can stand in a line is in this document as it was when the scene was prepared. */
  private fits(document: Document, sheet: Id): boolean {
    const { base } = this;
    if (!this.scenes || !base || sheet !== this.sheet) return false;
    return base === document || (base.facts === document.facts && base.sheets === document.sheets
      && !changedIds(base, document).some((id) => isObstacle(base.entities[id]) || isObstacle(document.entities[id])));
  }

  private prepare(document: Document, sheet: Id): void {
    const started = this.clock();
    this.scenes = this.make(document, sheet);
    this.base = document; this.sheet = sheet;
    // The scene is built when it is first asked for, so ask now: the cost belongs to the preparation.
    try { this.scenes.sheetOf(sheet); } catch { /* the check itself says so, where it is shown */ }
    const ended = this.clock();
    this.cost = ended - started;
    this.notBefore = ended + 4 * this.cost;
  }
}

const isObstacle = (e: Entity | undefined): boolean =>
  e !== undefined && (e.kind === 'wall' || e.kind === 'obstruction' || ((e.kind === 'load' || e.kind === 'machine') && e.outline !== undefined));
