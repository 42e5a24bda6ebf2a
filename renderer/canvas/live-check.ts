import { createChecker, LiveScenes } from '../../shared-core/checks/index';
import type { Checker, PairReport } from '../../shared-core/checks/index';
import { changedIds, entitiesOf, entityCount } from '../../shared-core/document/index';
import type { Disconnect, Document, Id } from '../../shared-core/document/index';
import { staleBetween } from './still-true';

export interface LiveResult {
  /** The document the pairs hold for, and no other. */
  readonly of: Document;
  readonly disconnects: readonly Id[];
  readonly pairs: readonly PairReport[];
  /** All that may have changed, checked or not. */
  readonly concerned: readonly Id[];
  /** Those of them that the frame had no time for. */
  readonly open: readonly Id[];
}

/** How a checker is made; a test can hand in its own. */
export type MakeChecker = (document: Document, sheet: Id | undefined, scenes: Pick<Checker, 'sheetOf'>) => Checker;
export type Scenes = Pick<LiveScenes, 'readyOf' | 'prepareSome' | 'follow'>;

/** Runs something after so many milliseconds; returns how to call it off. */
export type Later = (run: () => void, ms: number) => () => void;
export const byTimer: Later = (run, ms) => { const timer = setTimeout(run, ms); return () => { clearTimeout(timer); }; };

/** A frame has 16 ms, and the painting needs its part. */
const FRAME_BUDGET = 7;
/** Between two slices of preparation the hand and the frames get their turn, milliseconds. */
const BREATH = 2;

/** Thrown where a checker asks for a sheet that is not prepared: the answer is not known yet. */
class NotReady extends Error {}

/**
 * Checks, within a frame, the disconnects that a drag or an edit concerns. The prepared scenes follow every edit, walls
 * under the hand included, so that a frame costs only what moved and its few lines. A scene that is not prepared yet (the
 * sheet is new, or has another scale) is prepared in slices between the frames, and belongs to the document shown once it
 * is done: until then, and for what could not be checked in time, nothing is answered, and so no verdict is shown.
 */
export class LiveCheck {
  private scenes: Scenes | null = null;
  /** The document that the scenes stand for. */
  private base: Document | null = null;
  private checker: Checker | null = null;
  /** Sheets that were asked for and are not prepared, the last one first. */
  private wanted: Id[] = [];
  private callOff: (() => void) | null = null;
  /** What a checker missed since this was last set to false. */
  private hasMissed = false;
  private ready = 0;
  private readonly listeners = new Set<() => void>();

  constructor(private readonly make: MakeChecker = createChecker, private readonly clock: () => number = () => performance.now(),
    private readonly makeScenes: (document: Document) => Scenes = (document) => new LiveScenes(document), private readonly later: Later = byTimer) {}

  /** Prepares for a drag that may start soon, in slices. */
  warm(document: Document, sheet: Id): void { if (this.follow(document).readyOf(sheet) === null) this.want(sheet); }

  /** Calls back each time a sheet has become ready, so that what had no answer is asked again. @returns how to stop */
  readonly whenReady = (listener: () => void): (() => void) => { this.listeners.add(listener); return () => { this.listeners.delete(listener); }; };

  /** How many sheets have become ready so far. */
  readonly timesReady = (): number => this.ready;

  /** Ends what is being prepared. */
  stop(): void { this.callOff?.(); this.callOff = null; this.wanted = []; }

  /**
   * @param settled  the document before the drag
   * @param shown    the document as it is shown now: a preview, or the settled one after an edit
   * @param near     ids to check first when not all can be checked in time
   * @param earlier  what an earlier frame found for the same shown document: only what it left open is checked
   */
  check(settled: Document, shown: Document, sheet: Id, near: ReadonlySet<Id>, earlier?: LiveResult): LiveResult {
    const { all, disconnects } = staleBetween(settled, shown);
    const concerned = (all ? entitiesOf(shown, 'disconnect', sheet) : [...disconnects].map((id) => shown.entities[id]))
      .filter((e): e is Disconnect => e?.kind === 'disconnect' && e.sheet === sheet)
      .sort((a, b) => Number(near.has(b.id)) - Number(near.has(a.id)));
    const ids = concerned.map((d) => d.id);
    const isFollowing = earlier?.of === shown;
    const left = isFollowing ? concerned.filter((d) => earlier.open.includes(d.id)) : concerned;
    const checker = left.length > 0 ? this.checkerFor(shown, sheet) : null;
    const checked = isFollowing ? [...earlier.disconnects] : []; const pairs = isFollowing ? [...earlier.pairs] : [];
    const begun = this.clock();
    let tried = checker ? 0 : left.length;
    while (checker && tried < left.length && (tried === 0 || this.clock() - begun <= FRAME_BUDGET)) {
      const disconnect = left[tried];
      const found = disconnect && this.answer(() => checker.pairsOf(disconnect));
      if (found) { pairs.push(...found); checked.push(disconnect.id); }
      tried += 1;
    }
    return { of: shown, disconnects: checked, pairs, concerned: ids, open: left.slice(tried).map((d) => d.id) };
  }

  /** Asks something of a checker that holds for exactly this document; null while its scene is being prepared, or when the question fails. */
  ask<T>(document: Document, sheet: Id, question: (checker: Checker) => T): T | null {
    const checker = this.checkerFor(document, sheet);
    return checker && this.answer(() => question(checker));
  }

  /** An exception in a check must not stop the hand, and what rests on a sheet that is not prepared is no answer. */
  private answer<T>(question: () => T): T | null {
    this.hasMissed = false;
    try { const found = question(); return this.hasMissed ? null : found; } catch { return null; }
  }

  /** A checker for exactly this document; null while its scene is not prepared: a small one is at once, within the frame. */
  private checkerFor(document: Document, sheet: Id): Checker | null {
    const scenes = this.follow(document);
    if (!scenes.readyOf(sheet) && !this.prepare(sheet)) { this.want(sheet); return null; }
    this.checker ??= this.make(document, undefined, { sheetOf: (id) => {
      const ready = scenes.readyOf(id);
      if (ready) return ready;
      this.hasMissed = true;
      this.want(id);
      throw new NotReady(`sheet '${id}' is not prepared yet`);
    } });
    return this.checker;
  }

  /** The scenes, taken on to this document. */
  private follow(document: Document): Scenes {
    const { base, scenes } = this;
    if (scenes && base === document) return scenes;
    const changed = base && scenes ? changedIds(base, document) : [];
    this.base = document; this.checker = null;
    // Another project is not followed to: nothing of the one before stays.
    const isOther = changed.length > 100 && changed.length > entityCount(document.entities) / 2;
    if (scenes && base && !isOther) { scenes.follow(document, changed); return scenes; }
    const made = this.makeScenes(document);
    this.scenes = made;
    return made;
  }

  /** Prepares a sheet for as long as a frame allows. @returns whether it is ready */
  private prepare(sheet: Id): boolean {
    const until = this.clock() + FRAME_BUDGET;
    // A scene that cannot be made is no answer; the check itself says so, where the audit shows it.
    try {
      for (;;) {
        if (this.scenes?.prepareSome(sheet)) return true;
        if (this.clock() >= until) return false;
      }
    } catch { this.wanted = this.wanted.filter((id) => id !== sheet); return false; }
  }

  private want(sheet: Id): void {
    if (this.wanted[0] !== sheet) this.wanted = [sheet, ...this.wanted.filter((id) => id !== sheet)];
    this.callOff ??= this.later(() => { this.slice(); }, BREATH);
  }

  private slice(): void {
    this.callOff = null;
    const [sheet] = this.wanted;
    if (sheet === undefined) return;
    const isReady = this.prepare(sheet);
    if (isReady) { this.ready += 1; this.wanted = this.wanted.filter((id) => id !== sheet); for (const listener of this.listeners) listener(); }
    if (this.wanted.length > 0) this.callOff ??= this.later(() => { this.slice(); }, BREATH);
  }
}

/** The one of the window: canvas and elevation share its scenes. */
export const liveCheck = new LiveCheck();
