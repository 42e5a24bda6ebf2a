import type { Entity, Id } from '../../shared-core/document/index';
import { grown } from '../tools/plan-geometry';
import type { Entry } from '../tools/plan-index';
import type { Context } from './paint-primitives';
import { isSpace, paintSpaceInSteps } from './paint-space';
import type { SpaceScene } from './paint-space';
import type { Picture } from './picture';
import { toPlan, toScreen, visibleBox } from './view';
import type { View } from './view';

/** From this many pieces in sight on, painting the building takes longer than a frame without graphics hardware. */
const MANY = 2500;
/** Painting between two turns of the window, milliseconds. */
const SLICE = 8;
/** Between two slices the hand and the frames get their turn, milliseconds. */
const BREATH = 1;

type Seen = Pick<Picture, 'view' | 'ratio' | 'sheet' | 'index' | 'moving' | 'document'>;
interface Painted { readonly canvas: HTMLCanvasElement; readonly view: View; readonly version: number }
interface Job extends Painted { readonly steps: Generator<undefined, void>; readonly context: Context; timer: ReturnType<typeof setTimeout> | undefined }

/**
 * Paints the building: at once where few pieces are in sight, else in slices between the frames on a picture of its own, which is shown
 * when it is whole. Until then, and while a gesture moves the view, the last picture is moved and scaled instead: the plan keeps up with
 * the hand, and is sharp again at once when it rests.
 */
export class GroundCache {
  private painted: Painted | null = null;
  private job: Job | null = null;
  /** Counts what was seen to change: a picture of an earlier one only stands in. */
  private version = 0;
  private sheet: unknown = null;
  /** Many pieces were in sight when they were looked for last. */
  private isMany = false;
  private isStandIn = false;

  /** @param ready asks for the ground to be painted again: its picture is whole */
  constructor(private readonly ready: () => void) {}

  /** What is on the screen now is a moved or an earlier picture. */
  get isProvisional(): boolean { return this.isStandIn; }

  /** Something else than the view changed: what is in sight is painted anew. */
  forget(): void { this.version += 1; this.stop(); }

  /** Another sheet or project: nothing of the picture stands for it. */
  drop(): void { this.forget(); this.painted = null; }

  stop(): void { clearTimeout(this.job?.timer); this.job = null; }

  paint(context: Context, seen: Seen, isGesture: boolean): void {
    const { view, index } = seen;
    if (this.sheet !== seen.sheet.id) { this.drop(); this.sheet = seen.sheet.id; }
    this.isStandIn = false;
    const { painted } = this;
    const isOwn = painted !== null && painted.version === this.version && isSameView(painted.view, view);
    if (painted && (isOwn || (isGesture && this.isMany && view.zoom / painted.view.zoom <= 6))) { this.isStandIn = !isOwn; drawMoved(context, painted, view); return; }
    const pieces = index.search(grown(visibleBox(view), 40 / view.zoom));
    const scene = { view, sheet: seen.sheet, units: seen.document.facts.units };
    this.isMany = pieces.length >= MANY;
    if (!this.isMany) {
      this.stop();
      const steps = paintPieces(context, pieces, seen.moving, scene);
      while (!steps.next().done);
      return;
    }
    this.isStandIn = true;
    if (painted) drawMoved(context, painted, view);
    if (isGesture ? painted ?? this.job : this.job && this.job.version === this.version && isSameView(this.job.view, view)) return;
    this.stop();
    const canvas = document.createElement('canvas');
    canvas.width = context.canvas.width; canvas.height = context.canvas.height;
    const own = canvas.getContext('2d', { willReadFrequently: true });
    if (!own) return;
    own.scale(seen.ratio, seen.ratio);
    this.job = { canvas, context: own, view, version: this.version, steps: paintPieces(own, pieces, seen.moving, scene), timer: undefined };
    this.go(this.job);
  }

  private go(job: Job): void {
    job.timer = setTimeout(() => {
      const until = performance.now() + SLICE;
      let isDone = false;
      while (!isDone && performance.now() < until) {
        isDone = job.steps.next().done === true;
        // Strokes are only noted until somebody looks: all of them at the end would be the very hold that slices avoid.
        job.context.getImageData(0, 0, 1, 1);
      }
      if (!isDone) { this.go(job); return; }
      this.job = null;
      this.painted = job;
      this.ready();
    }, BREATH);
  }
}

/** Pieces looked through at a step. */
const PORTION = 5000;

function* paintPieces(context: Context, pieces: readonly Entry[], moving: ReadonlySet<Id>, scene: SpaceScene): Generator<undefined, void> {
  const seen = new Set<Entity>();
  for (let from = 0; from < pieces.length; from += PORTION) {
    for (const { entity } of pieces.slice(from, from + PORTION)) if (isSpace(entity) && !moving.has(entity.id)) seen.add(entity);
    yield undefined;
  }
  yield* paintSpaceInSteps(context, [...seen], scene);
}

const isSameView = (a: View, b: View): boolean => a.zoom === b.zoom && a.width === b.width && a.height === b.height && a.centre.x === b.centre.x && a.centre.y === b.centre.y;

function drawMoved(context: Context, { canvas, view: kept }: Painted, view: View): void {
  const scale = view.zoom / kept.zoom;
  const corner = toScreen(view, toPlan(kept, { x: 0, y: 0 }));
  context.drawImage(canvas, corner.x, corner.y, kept.width * scale, kept.height * scale);
}
