import type { Document, Id } from '../../shared-core/document/index';
import type { LiveCheck } from './live-check';
import { NO_PLACE, PlaceFinder, placeSubject } from './shown-place';
import type { ShownPlace } from './shown-place';

/** What of the places is painted on the layer of the marks, which is not painted anew in each frame. */
const PAINTED_WITH_MARKS = ['region', 'standing', 'isStandingKnown', 'seeing', 'roomy'] as const;

/** What a frame shows, as far as places depend on it. */
export interface PlacesAskedFor {
  readonly document: Document;
  readonly sheet: Id;
  readonly selection: readonly Id[];
  /** The marks that a preview changes; null without a preview. */
  readonly preview: ReadonlySet<Id> | null;
}

/** Keeps the region, wall stretches and working space of the disconnect in question, for exactly the document shown. */
export class PlaceWatch {
  shown: ShownPlace = NO_PLACE;
  private key: { readonly of: Document; readonly id: Id | undefined } | null = null;
  /** The disconnect chosen last: its region stays in sight while walls are chosen and moved. */
  private lastDevice: Id | undefined;
  private readonly finder: PlaceFinder;

  /** @param ask  says which layer needs paint; a frame then follows the places again */
  constructor(private readonly live: LiveCheck, private readonly ask: (layer: 'marks' | 'hand') => void) {
    this.finder = new PlaceFinder(() => { this.again(); });
  }

  stop(): void { this.finder.stop(); }

  /** Something may be known by now that was not when it was asked. */
  again(): void { this.key = null; this.ask('hand'); }

  follow({ document, sheet, selection, preview }: PlacesAskedFor): void {
    const placing = preview?.size === 1 ? [...preview][0] : undefined;
    const id = placeSubject(document, sheet, selection, placing, this.lastDevice);
    if (selection.length === 0 && !preview) this.lastDevice = undefined;
    else if (id !== undefined) this.lastDevice = id;
    if (this.key?.of === document && this.key.id === id) return;
    this.key = { of: document, id };
    const before = this.shown;
    this.shown = this.find(document, sheet, id);
    if (PAINTED_WITH_MARKS.some((part) => this.shown[part] !== before[part])) this.ask('marks');
    this.ask('hand');
  }

  private find(document: Document, sheet: Id, id: Id | undefined): ShownPlace {
    const disconnect = id === undefined ? undefined : document.entities[id];
    if (disconnect?.kind !== 'disconnect' || disconnect.sheet !== sheet) return NO_PLACE;
    // While the scene is being prepared nothing is shown; it is asked again once it is.
    return this.live.ask(document, sheet, (checker) => this.finder.show(checker, disconnect)) ?? NO_PLACE;
  }
}
