import { createChecker } from '../../shared-core/checks/index';
import type { PairReport } from '../../shared-core/checks/index';
import type { Disconnect, Document, Id } from '../../shared-core/document/index';
import { changedIds, staleBetween } from './still-true';

export interface LiveResult {
  /** The document the pairs hold for, and no other. */
  readonly of: Document;
  readonly disconnects: readonly Id[];
  readonly pairs: readonly PairReport[];
}

/** What the live check needs of the checks; a test can hand in its own. */
export type MakeChecker = (document: Document, sheet: Id) => { pairsOf(disconnect: Disconnect): PairReport[] };

/** A frame has 16 ms, and the painting needs its part. */
const FRAME_BUDGET = 7;
/** A checker that took longer than this to prepare is not prepared in every frame. */
const COSTLY = 14;

/**
 * Checks, within a frame, the disconnects that a drag or an edit concerns. While one disconnect moves the prepared
 * scene is kept and a frame costs only its few lines; when walls or loads move the scene is made anew as often as that
 * is affordable. What could not be checked in time is left out, and so is shown without a verdict.
 */
export class LiveCheck {
  private base: Document | null = null;
  private sheet: Id | null = null;
  private checker: ReturnType<MakeChecker> | null = null;
  private cost = 0;
  private notBefore = 0;

  constructor(private readonly make: MakeChecker = createChecker, private readonly clock: () => number = () => performance.now()) {}

  /** Prepares for a drag that may start soon; call when there is time. */
  warm(document: Document, sheet: Id): void {
    if (!this.fits(document, sheet, null)) this.prepare(document, sheet);
  }

  /**
   * @param settled  the document before the drag
   * @param shown    the document as it is shown now: a preview, or the settled one after an edit
   * @param near     ids to check first when not all can be checked in time
   */
  check(settled: Document, shown: Document, sheet: Id, near: ReadonlySet<Id>): LiveResult {
    const { all, disconnects } = staleBetween(settled, shown);
    const concerned = Object.values(shown.entities)
      .filter((e): e is Disconnect => e.kind === 'disconnect' && e.sheet === sheet && (all || disconnects.has(e.id)))
      .sort((a, b) => Number(near.has(b.id)) - Number(near.has(a.id)));
    if (concerned.length === 0) return { of: shown, disconnects: [], pairs: [] };
    const started = this.clock();
    if (!this.fits(shown, sheet, concerned.length === 1 ? concerned[0]?.id ?? null : null)) {
      if (this.cost > COSTLY && started < this.notBefore) return { of: shown, disconnects: [], pairs: [] };
      this.prepare(shown, sheet);
    }
    const begun = this.clock();
    const checked: Id[] = []; const pairs: PairReport[] = [];
    for (const disconnect of concerned) {
      // An exception in a check must not stop the hand; without a result the line shows no verdict.
      try { pairs.push(...this.checker?.pairsOf(disconnect) ?? []); checked.push(disconnect.id); } catch { continue; }
      if (this.clock() - begun > FRAME_BUDGET) break;
    }
    return { of: shown, disconnects: checked, pairs };
  }

  /** Whether the prepared checker holds for a document in which at most one disconnect, the one asked about, is elsewhere. */
  private fits(document: Document, sheet: Id, moved: Id | null): boolean {
    if (!this.checker || !this.base || sheet !== this.sheet) return false;
    if (this.base === document) return true;
    if (this.base.facts !== document.facts || this.base.sheets !== document.sheets) return false;
    return changedIds(this.base, document).every((id) => id === moved);
  }

  private prepare(document: Document, sheet: Id): void {
    const started = this.clock();
    this.checker = this.make(document, sheet);
    this.base = document; this.sheet = sheet;
    // The scene is built when it is first asked for, so ask now: the cost belongs to the preparation.
    const any = Object.values(document.entities).find((e): e is Disconnect => e.kind === 'disconnect' && e.sheet === sheet && e.serves.length > 0);
    if (any) { try { this.checker.pairsOf(any); } catch { /* the check itself says so, where it is shown */ } }
    const ended = this.clock();
    this.cost = ended - started;
    this.notBefore = ended + 4 * this.cost;
  }
}
