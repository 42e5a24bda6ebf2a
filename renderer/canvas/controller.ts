import { changedIds, newId } from '../../shared-core/document/index';
import type { Document, Entity, Id, Point, Sheet } from '../../shared-core/document/index';
import { inReadingOrder, openCandidates } from '../../shared-core/offer/index';
import type { WallOffer } from '../../shared-core/offer/index';
import { feet } from '../../shared-core/units/index';
import type { PlanSource } from '../plan/index';
import type { Actions, State } from '../state/store';
import { suggestionStore } from '../state/suggestion';
import { boxOf, grown, halfThickness, joined } from '../tools/plan-geometry';
import type { Box } from '../tools/plan-geometry';
import { isMark, PlanIndex } from '../tools/plan-index';
import { createRunner } from '../tools/runner';
import type { Runner } from '../tools/runner';
import { snapPoint } from '../tools/snap';
import type { Modifiers, ToolContext } from '../tools/tool';
import { GroundCache } from './ground-cache';
import { layOutLabels, NO_LABELS } from './label-layout';
import type { LabelLayout } from './label-layout';
import { liveCheck } from './live-check';
import type { LiveResult } from './live-check';
import { boxOfEntities } from './paint-hand';
import { paintGroundLayer, paintHandLayer, paintMarkLayer } from './paint-layers';
import type { Comparison, Frame } from './paint-layers';
import { visibleMarks } from './paint-marks';
import { forgetWidths, textWidth } from './paint-primitives';
import type { Context } from './paint-primitives';
import { isLongEnough } from './paint-sight';
import { isSpace } from './paint-space';
import { pickAt, pickWithin, readingOrder } from './pick';
import { PlaceWatch } from './place-watch';
import { createScheduler } from './scheduler';
import type { LayerName, Scheduler } from './scheduler';
import { movingSight, NO_SIGHT, shownSight } from './shown-sight';
import type { ShownSight } from './shown-sight';
import { LEGIBLE_SYMBOL, symbolPixels } from './symbol-place';
import { fitted, limitsFor, panned, resized, revealed, toPlan, toScreen, viewBetween, visibleBox, zoomedAt } from './view';
import type { View, ZoomLimits } from './view';

/** A sheet is read in so many lines, each from left to right. */
const LINES_OF_SHEET = 10;

export interface CanvasStore { getState(): State & Actions; subscribe(listener: (now: State, before: State) => void): () => void }

/** Zoom at which a mark asked for by name is shown, unless it is nearer already. */
const NEAR_PIXELS_A_FOOT = 14;

/** Pointing is as exact as this many pixels. */
const REACH = 8;
const MARGIN = 36;
const REVEAL_TIME = 260;
const SETTLE_TIME = 140;

type PointerStep = { readonly type: 'press' | 'move' | 'release'; readonly x: number; readonly y: number; readonly modifiers: Modifiers; readonly clicks: number };

/**
 * The canvas without its screen: holds the view and the caches, turns pointer and keys into tool events once a frame,
 * keeps the live check in step with what is shown, and says which layers need paint.
 */
export class CanvasController {
  readonly runner: Runner;
  private view: View = { centre: { x: 0, y: 0 } as Point, zoom: 1, width: 1, height: 1 };
  private ratio = 1;
  private readonly ground = new GroundCache(() => { this.scheduler.ask('ground'); });
  /** The view is being moved; it rests a moment after its last change. */
  private isGesture = false;
  private readonly index = new PlanIndex();
  private readonly live = liveCheck;
  private readonly scheduler: Scheduler;
  private plan: PlanSource | null = null;
  private comparison: Comparison | null = null;
  private labels: LabelLayout = NO_LABELS;
  private settledSight: ShownSight = NO_SIGHT;
  private liveSight: ShownSight = NO_SIGHT;
  /** Marks that the preview changes, and the disconnects whose verdicts it may change. */
  private moving: ReadonlySet<Id> = new Set();
  private concerned: ReadonlySet<Id> = new Set();
  private checkedPreview: LiveResult | null = null;
  private handLabels: LabelLayout = NO_LABELS;
  private readonly places: PlaceWatch;
  private queue: PointerStep[] = [];
  private pointedAt = { x: 0, y: 0 };
  private flight: { from: View; to: View; start: number } | null = null;
  private fittedSheet: { readonly id: Id; readonly width: number; readonly height: number } | null = null;
  private hasFocus = false;
  private shownDocument: Document | null = null;
  /** What the building was painted by. */
  private built: { readonly scale: Sheet['scale']; readonly units: string; readonly project: string | undefined } | null = null;
  private labelTimer: ReturnType<typeof setTimeout> | undefined;
  private warmTimer: ReturnType<typeof setTimeout> | undefined;
  private paintLayer: (layer: LayerName) => void = () => undefined;

  constructor(private readonly store: CanvasStore) {
    const act = store.getState();
    this.runner = createRunner(act, () => this.context(), () => this.view.centre);
    this.places = new PlaceWatch(this.live, (layer) => { this.scheduler.ask(layer); });
    this.scheduler = createScheduler((time) => { this.work(time); }, (layers) => { for (const layer of layers) this.paintLayer(layer); });
  }

  /** Begins to follow the store. @param paintLayer  asks for one layer to be painted now. @returns how to stop */
  start(paintLayer: (layer: LayerName) => void): () => void {
    this.paintLayer = paintLayer;
    const stop = this.store.subscribe((now, before) => { this.follow(now, before); });
    const stopGhosts = suggestionStore.subscribe(() => { this.scheduler.ask('hand'); });
    const stopReady = this.live.whenReady(() => { this.sceneReady(); });
    this.runner.toolChanged(this.store.getState().tool);
    this.refresh();
    return () => {
      stop(); stopGhosts(); stopReady();
      this.live.stop();
      this.runner.cancel();
      clearTimeout(this.labelTimer); clearTimeout(this.warmTimer);
      this.places.stop();
      this.ground.stop();
      this.scheduler.stop();
    };
  }

  // ---- what is shown -------------------------------------------------------------------------------------------

  private sheet(): Sheet | null { return this.sheetIn(this.laidOut()); }

  private sheetIn(document: Document): Sheet | null {
    const { sheet } = this.store.getState();
    return document.sheets.find((s) => s.id === sheet) ?? null;
  }

  /** The document everything is painted from: the preview, where a sheet itself would change (its plan turns, say), else the document. */
  private laidOut(): Document { return laidOutIn(this.store.getState()); }

  /** A sheet is shown as it would be: what is pointed at then is not where the document has it. */
  private isTrial(): boolean { return this.laidOut() !== this.store.getState().document; }

  private limits(sheet: Sheet): ZoomLimits { return limitsFor(this.view.width, this.view.height, sheet.width, sheet.height); }

  currentView(): View { return this.view; }

  setPlan(plan: PlanSource | null): void { this.plan = plan; this.scheduler.ask('ground'); }
  planChanged(): void { this.scheduler.ask('ground'); }
  /** Another plan is compared with the sheet's own; null when no longer. */
  setComparison(comparison: Comparison | null): void {
    if (comparison === null && this.comparison === null) return;
    this.comparison = comparison;
    this.scheduler.ask('ground');
  }

  setSize(width: number, height: number, ratio: number): void {
    if (width <= 0 || height <= 0) return;
    if (ratio !== this.ratio) this.ground.forget();
    this.ratio = ratio;
    this.view = resized(this.view, width, height);
    this.refresh();
  }

  setFocus(hasFocus: boolean): void { this.hasFocus = hasFocus; this.scheduler.ask('hand'); }

  fontsLoaded(): void { forgetWidths(); this.ground.forget(); this.placeLabels(); this.scheduler.ask('ground', 'marks', 'hand'); }

  private setView(view: View): void {
    if (view === this.view) return;
    const zoomed = view.zoom !== this.view.zoom;
    this.view = view;
    this.isGesture = true;
    this.scheduler.ask('ground', 'marks', 'hand');
    clearTimeout(this.labelTimer);
    this.labelTimer = setTimeout(() => { this.placeLabels(); }, zoomed ? SETTLE_TIME : 2 * SETTLE_TIME);
  }

  panBy(dx: number, dy: number): void { this.flight = null; this.setView(panned(this.view, dx, dy)); }
  zoomBy(factor: number, x = this.view.width / 2, y = this.view.height / 2): void {
    const sheet = this.sheet();
    this.flight = null;
    if (sheet) this.setView(zoomedAt(this.view, factor, { x, y }, this.limits(sheet)));
  }
  fit(smoothly = true): void {
    const sheet = this.sheet();
    if (!sheet) return;
    const to = fitted(this.view, { minX: 0, minY: 0, maxX: sheet.width, maxY: sheet.height }, MARGIN, this.limits(sheet));
    if (smoothly) this.flyTo(to); else this.setView(to);
  }

  private flyTo(to: View): void {
    if (to === this.view) return;
    if (matchMedia('(prefers-reduced-motion: reduce)').matches) { this.setView(to); return; }
    this.flight = { from: this.view, to, start: -1 };
    this.scheduler.wake();
  }

  private reveal({ ids, at = [] }: NonNullable<State['reveal']>): void {
    const { document, sheet: shownSheet } = this.store.getState();
    const entities = ids.map((id) => document.entities[id]).filter((e): e is Entity => e !== undefined);
    const first = entities[0];
    if (first && first.sheet !== shownSheet) { this.store.getState().showSheet(first.sheet); this.store.getState().select(ids.filter((id) => document.entities[id]?.sheet === first.sheet)); }
    const sheet = this.sheet();
    const shown = first ? boxOfEntities(entities.filter((e) => e.sheet === first.sheet)) : null;
    if (!sheet || (!shown && at.length === 0)) return;
    const box = !shown ? boxOf(at) : at.length > 0 ? joined(shown, boxOf(at)) : shown;
    // What a person asked to see is shown near enough to judge: a 2'-6" front takes 35 pixels.
    const legible = sheet.scale ? NEAR_PIXELS_A_FOOT * sheet.scale.feetPerUnit : this.view.zoom;
    this.flyTo(revealed(this.view, box, 80, legible, this.limits(sheet)));
  }

  // ---- following the store -------------------------------------------------------------------------------------

  private follow(now: State, before: State): void {
    if (now.tool !== before.tool) this.runner.toolChanged(now.tool);
    if (now.sheet !== before.sheet) { this.runner.cancel(); this.refresh(); return; }
    if (before.scalePick !== null && now.scalePick === null && now.tool === 'scale' && this.runner.view().isBusy) this.runner.cancel();
    if (now.reveal !== before.reveal && now.reveal) this.reveal(now.reveal);
    if (now.document !== before.document || now.audit !== before.audit || laidOutIn(now) !== laidOutIn(before)) { this.refresh(); return; }
    if (now.offer !== before.offer) this.scheduler.ask('marks', 'hand');
    if (now.offer && now.offer.at !== before.offer?.at && now.offer.walls === before.offer?.walls) this.revealOffered(now.offer);
    if (now.preview !== before.preview || now.live !== before.live) this.scheduler.ask('hand');
    if (now.selection !== before.selection) { this.placeLabels(); this.warmSoon(); }
    if (now.tool !== before.tool || now.hint !== before.hint) { this.scheduler.ask('hand'); }
  }

  /** Rebuilds what is derived from document, audit and sheet. */
  private refresh(): void {
    const { audit } = this.store.getState();
    const document = this.laidOut();
    const isTrial = this.isTrial();
    const sheet = this.sheetIn(document);
    if (!sheet) { this.settledSight = NO_SIGHT; this.scheduler.ask('ground', 'marks', 'hand'); return; }
    const { space } = this.index;
    this.index.update(document, sheet.id);
    // The building is painted anew only if something of it changed, or how thick and in which units it is drawn.
    const built = { scale: sheet.scale, units: document.facts.units, project: this.store.getState().project?.handle };
    if (this.index.space !== space || built.scale !== this.built?.scale || built.units !== this.built.units) this.ground.forget();
    if (built.project !== this.built?.project) this.ground.drop();
    this.built = built;
    if (this.view.width > 1 && !isFittedTo(this.fittedSheet, sheet)) { this.fittedSheet = { id: sheet.id, width: sheet.width, height: sheet.height }; this.fit(false); }
    if (document !== this.shownDocument && !isTrial) this.checkEdit(document, sheet);
    if (!isTrial) this.shownDocument = document;
    this.leaveGround(this.moving);
    this.moving = new Set(); this.concerned = new Set();
    // A sheet on trial shows no verdicts: none was computed for it.
    this.settledSight = isTrial ? NO_SIGHT : shownSight({ document, sheet: sheet.id, audit, live: this.store.getState().live });
    this.placeLabels();
    this.scheduler.ask('ground', 'marks', 'hand');
    this.warmSoon();
  }

  /** Right after an edit its own disconnects are checked at once; the whole audit follows off the thread. */
  private checkEdit(document: Document, sheet: Sheet): void {
    const state = this.store.getState();
    const earlier = state.audit?.of ?? this.shownDocument;
    if (!earlier || !document.sheets.some((s) => s.id === sheet.id)) return;
    const live = this.live.check(earlier, document, sheet.id, new Set(state.selection));
    if (live.disconnects.length > 0) state.setLive(live);
  }

  private warmSoon(): void {
    clearTimeout(this.warmTimer);
    this.warmTimer = setTimeout(() => {
      const { document, preview } = this.store.getState();
      const sheet = this.sheet();
      if (sheet?.scale && !preview) this.live.warm(document, sheet.id);
    }, 80);
  }

  /** A scene has been prepared: what had no answer until now is asked again. */
  private sceneReady(): void {
    const { document, audit } = this.store.getState();
    const sheet = this.sheet();
    this.checkedPreview = null;
    this.places.again();
    if (sheet && !this.isTrial() && document === this.shownDocument && audit?.of !== document) {
      this.checkEdit(document, sheet);
      this.settledSight = shownSight({ document, sheet: sheet.id, audit, live: this.store.getState().live });
    }
    this.scheduler.ask('marks', 'hand');
  }

  private placeLabels(): void {
    clearTimeout(this.labelTimer);
    this.isGesture = false;
    if (this.ground.isProvisional) this.scheduler.ask('ground');
    const sheet = this.sheet();
    if (!sheet) { this.labels = NO_LABELS; return; }
    const symbol = symbolPixels(this.view, sheet);
    if (symbol < LEGIBLE_SYMBOL) this.labels = NO_LABELS;
    else {
      const seen = visibleBox(this.view);
      const box = grown(seen, 0.5 * (seen.maxX - seen.minX));
      const marks = visibleMarks(this.index, { ...this.view, width: this.view.width * 2, height: this.view.height * 2 }, symbol);
      const near = this.settledSight.pairs.filter((p) => isLongEnough(p, this.view));
      this.labels = layOutLabels({ zoom: this.view.zoom, box: joined(box, boxOfEntities(marks) ?? box), seen, marks, spaces: this.index.entitiesIn(box).filter((e) => e.kind === 'area' || e.kind === 'obstruction'), sight: { ...this.settledSight, pairs: near }, symbol, chosen: new Set(this.store.getState().selection), width: textWidth });
    }
    this.scheduler.ask('marks', 'hand');
  }

  // ---- input ---------------------------------------------------------------------------------------------------

  /** Moves are answered once a frame with the latest position; presses and releases keep their order among them. */
  pointer(step: PointerStep): void {
    const last = this.queue.at(-1);
    if (step.type === 'move' && last?.type === 'move') this.queue.pop();
    this.queue.push(step);
    this.pointedAt = { x: step.x, y: step.y };
    this.scheduler.wake();
  }

  lastPointer(): { x: number; y: number } { return this.pointedAt; }

  /** The pointer left without a drag: a mark that was only shown for placing goes. */
  pointerLeft(): void { this.settle(); if (!this.runner.view().isBusy) this.runner.leave(); this.scheduler.ask('hand'); }

  typed(text: string, modifiers: Modifiers): ReturnType<Runner['typed']> {
    if (this.isTrial()) return { ok: false, reason: 'Decide in the side panel about what is shown first.', choices: [] };
    this.settle();
    const outcome = this.runner.typed(text, modifiers);
    this.keepCursorInSight();
    this.scheduler.ask('hand');
    return outcome;
  }

  /** Carries out what is still waiting, for a key that comes between two frames. */
  settle(): void { this.takeQueue(); }

  private takeQueue(): void {
    const steps = this.queue;
    this.queue = [];
    if (this.isTrial()) return;
    for (const { type, x, y, modifiers, clicks } of steps) this.runner.pointer(type, toPlan(this.view, { x, y }), modifiers, clicks);
    if (steps.length > 0) { this.scheduler.ask('hand'); }
  }

  key(key: string, modifiers: Modifiers): boolean {
    this.settle();
    const isUsed = this.viewKey(key, modifiers) || (!this.isTrial() && this.runner.key(key, modifiers));
    if (isUsed) { this.keepCursorInSight(); this.scheduler.ask('hand'); }
    return isUsed;
  }

  private viewKey(key: string, modifiers: Modifiers): boolean {
    if (modifiers.alt || this.runner.startsTyping(key)) return false;
    if (key === '+' || key === '=') this.zoomBy(1.25);
    else if (key === '-') this.zoomBy(0.8);
    else if (key === '0') this.fit();
    else return false;
    return true;
  }

  private keepCursorInSight(): void {
    const { cursor } = this.runner.view();
    if (!cursor) return;
    const at = toScreen(this.view, cursor);
    const dx = at.x < MARGIN ? MARGIN - at.x : at.x > this.view.width - MARGIN ? this.view.width - MARGIN - at.x : 0;
    const dy = at.y < MARGIN ? MARGIN - at.y : at.y > this.view.height - MARGIN ? this.view.height - MARGIN - at.y : 0;
    if (dx !== 0 || dy !== 0) this.setView(panned(this.view, dx, dy));
  }

  private offerShown(): WallOffer | null {
    const { offer, sheet } = this.store.getState();
    return offer !== null && offer.sheet === sheet ? offer : null;
  }

  /** Brings the offered wall the keyboard is on into sight. */
  private revealOffered(offer: WallOffer): void {
    const wall = offer.at === null ? undefined : offer.walls[offer.at];
    const sheet = this.sheet();
    if (!wall || !sheet || offer.sheet !== sheet.id) return;
    const box = { minX: Math.min(wall.x1, wall.x2), minY: Math.min(wall.y1, wall.y2), maxX: Math.max(wall.x1, wall.x2), maxY: Math.max(wall.y1, wall.y2) };
    this.flyTo(revealed(this.view, box, MARGIN, this.view.zoom, this.limits(sheet)));
  }

  /** The offered wall after, or before, the one the keyboard is on. @returns null when there is none further */
  private nextOffered(offer: WallOffer, back: boolean): Id | null {
    const { document } = this.store.getState();
    const next = beside(inReadingOrder(offer, openCandidates(offer, document), 12 * REACH / this.view.zoom), offer.at, back);
    if (next === undefined) return null;
    this.store.getState().setOffer({ ...offer, at: next });
    return String(next);
  }

  /** Chooses the mark after, or before, the chosen one in reading order. @returns null when there is none further: the focus may leave */
  nextMark(back: boolean): Id | null {
    const { selection, tool } = this.store.getState();
    const offer = this.offerShown();
    if (offer && tool === 'review') return this.nextOffered(offer, back);
    const sheet = this.sheet();
    if (!sheet) return null;
    // Lines of the sheet, not of the screen: the walk zooms as it goes, and an order that changed with it would go in circles.
    const id = beside(readingOrder(this.index, sheet.height / LINES_OF_SHEET), selection[0] ?? null, back);
    if (id === undefined) return null;
    this.store.getState().select([id]);
    this.reveal({ ids: [id] });
    return id;
  }

  private context(): ToolContext | null {
    const { document, selection, placing } = this.store.getState();
    const sheet = this.sheet();
    if (!sheet) return null;
    const reach = REACH / this.view.zoom;
    const symbol = symbolPixels(this.view, sheet) / this.view.zoom;
    const options = { reach, symbol: symbol * 0.55, halfThickness: (t: number) => halfThickness(sheet, feet(t)), hangsOff: symbol * 0.56 };
    return {
      document, sheet, selection, placing, index: this.index, offer: this.offerShown(), reach, precision: 1 / this.view.zoom,
      pick: (at, kinds) => pickAt(this.index, at, { ...options, kinds }),
      within: (box: Box, touching) => pickWithin(this.index, box, touching),
      snap: (raw, rest) => snapPoint(this.index, raw, { reach, ...rest }),
      newId,
    };
  }

  // ---- one frame -----------------------------------------------------------------------------------------------

  private work(time: number): void {
    if (this.flight) this.fly(time);
    this.takeQueue();
    this.checkPreview();
  }

  private fly(time: number): void {
    const flight = this.flight;
    if (!flight) return;
    if (flight.start < 0) flight.start = time;
    const t = Math.min(1, (time - flight.start) / REVEAL_TIME);
    const eased = 1 - (1 - t) ** 3;
    this.setView(t >= 1 ? flight.to : viewBetween(flight.from, flight.to, eased));
    if (t >= 1) this.flight = null; else this.scheduler.wake();
  }

  /** Live pairs of exactly the document that is about to be painted. */
  private checkPreview(): void {
    const state = this.store.getState();
    const { document, preview } = state;
    const sheet = this.sheet();
    if (!sheet) return;
    if (this.isTrial()) { this.setMoving([]); return; }
    const changed = preview ? changedIds(document, preview) : [];
    this.setMoving(changed.filter((id) => preview?.entities[id] ?? document.entities[id]));
    this.places.follow({ document: preview ?? document, sheet: sheet.id, selection: state.selection, preview: preview === null ? null : this.moving });
    if (!preview) { this.liveSight = NO_SIGHT; return; }
    const known = this.checkedPreview?.of === preview ? this.checkedPreview : undefined;
    if (!known || known.open.length > 0) {
      this.checkedPreview = this.live.check(document, preview, sheet.id, new Set(state.selection), known);
      state.setLive(this.checkedPreview);
      // What this frame had no time for is checked in the next ones: a hand that rests gets all of its verdicts.
      if (this.checkedPreview.open.length > 0) this.scheduler.ask('hand');
    }
    if (!this.checkedPreview) return;
    const { concerned } = this.checkedPreview;
    this.liveSight = movingSight(preview, sheet.id, concerned, this.checkedPreview);
    this.placeHandLabels(preview, sheet);
    const next = new Set(concerned);
    if (!sameSet(next, this.concerned)) { this.concerned = next; this.scheduler.ask('marks'); }
  }

  /** The few labels that a drag moves are placed anew in each frame, free of each other and of the moved symbols. */
  private placeHandLabels(preview: Document, sheet: Sheet): void {
    const symbol = symbolPixels(this.view, sheet);
    const moved = [...this.moving].map((id) => preview.entities[id]).filter((e): e is Entity => e !== undefined && e.sheet === sheet.id && isMark(e));
    const seen = visibleBox(this.view);
    this.handLabels = moved.length > 40 ? NO_LABELS
      : layOutLabels({ zoom: this.view.zoom, box: seen, seen, marks: moved, spaces: [], sight: this.liveSight, symbol, chosen: this.moving, width: textWidth });
  }

  private setMoving(ids: readonly Id[]): void {
    const next = new Set(ids);
    if (sameSet(next, this.moving)) return;
    this.leaveGround([...this.moving, ...next]);
    this.moving = next;
    if (next.size === 0) this.concerned = new Set();
    this.scheduler.ask('ground', 'marks', 'hand');
  }

  /** Pieces of the building go into the hand, or come back from it. */
  private leaveGround(ids: Iterable<Id>): void {
    const { document } = this.store.getState();
    for (const id of ids) { const entity = document.entities[id]; if (!entity || isSpace(entity)) { this.ground.forget(); return; } }
  }

  private frame(): Frame | null {
    const { preview, selection } = this.store.getState();
    const document = this.laidOut();
    const sheet = this.sheetIn(document);
    if (!sheet) return null;
    return {
      view: this.view, ratio: this.ratio, document, preview: preview === document ? null : preview, sheet, index: this.index, plan: this.plan, selection: new Set(selection), moving: this.moving,
      sight: this.settledSight, labels: this.labels, hand: this.runner.view(), hasFocus: this.hasFocus,
      isTrial: this.isTrial(), comparison: this.comparison, offer: this.offerShown(), place: this.places.shown, concerned: this.concerned, liveSight: this.liveSight, handLabels: this.handLabels,
    };
  }

  /** Paints one layer; the context is cleared and in CSS pixels. */
  paint(layer: LayerName, context: Context): void {
    const frame = this.frame();
    if (!frame) return;
    if (layer === 'marks') paintMarkLayer(context, frame);
    else if (layer === 'hand') paintHandLayer(context, frame);
    else paintGroundLayer(context, frame, () => { this.ground.paint(context, frame, this.isGesture); });
  }
}

const laidOutIn = ({ document, preview }: State): Document => (preview && preview.sheets !== document.sheets ? preview : document);

/** A sheet that grew or shrank a little stays under the eye as it was; another sheet, or one of another shape, is shown whole. */
const isFittedTo = (fitted: { readonly id: Id; readonly width: number; readonly height: number } | null, sheet: Sheet): boolean =>
  fitted?.id === sheet.id && Math.abs(fitted.width / sheet.width - 1) < 0.2 && Math.abs(fitted.height / sheet.height - 1) < 0.2;

/** What comes after, or before, the one a walk is at; the first, or last, when it is at none of them. */
function beside<T>(order: readonly T[], current: T | null, back: boolean): T | undefined {
  const at = current === null ? -1 : order.indexOf(current);
  return order[at < 0 ? (back ? order.length - 1 : 0) : at + (back ? -1 : 1)];
}

function sameSet(a: ReadonlySet<Id>, b: ReadonlySet<Id>): boolean {
  if (a.size !== b.size) return false;
  for (const id of a) if (!b.has(id)) return false;
  return true;
}
