import { layOf, lookLayers } from '../../shared-core/document/index';
import type { LookLayer, PlanRef, Sheet } from '../../shared-core/document/index';
import { composeMatrix, similarityMatrix } from '../../shared-core/geometry/index';
import type { Matrix } from '../../shared-core/geometry/index';
import type { HostOutput } from '../../shared-core/host-api';
import type { ChangedPatch, CompareOptions, InkDifference } from '../../shared-core/revision/index';
import type { Host } from '../host-client';
import { newJob } from '../panels/project-actions';
import { levelFor, tilesIn } from '../plan/index';
import { areaWith } from '../state/revision';
import type { Difference } from '../state/revision';

export type ToDifference =
  | { readonly kind: 'begin'; readonly width: number; readonly height: number }
  | { readonly kind: 'tile'; readonly which: number; readonly bytes: Uint8Array; readonly media: string; readonly matrix: Matrix; readonly box: { readonly x: number; readonly y: number; readonly width: number; readonly height: number } }
  | { readonly kind: 'look'; readonly which: number; readonly layers: readonly LookLayer[]; readonly matrix: Matrix; readonly width: number; readonly height: number }
  | { readonly kind: 'compare'; readonly options: CompareOptions };
export type FromDifference =
  | { readonly kind: 'took' }
  | { readonly kind: 'progress'; readonly done: number }
  | { readonly kind: 'compared'; readonly patches: readonly ChangedPatch[]; readonly cells: InkDifference['cells']; readonly cell: number; readonly fine: ImageBitmap; readonly coarse: ImageBitmap }
  | { readonly kind: 'failed'; readonly reason: string };

/** Picture elements of one comparison: a 36 x 48 in sheet at about 118 an inch, where a hairline still shows. */
const MOST_ELEMENTS = 24e6;
/** Lines of one drawing come out this many picture elements apart from one rendering or scan to the next. Found by trying. */
const RENDERED_WITHIN = 1.5;
/** Changed ink is gathered over about half a foot. */
const GATHER_FEET = 0.5;

export interface CompareAsked {
  readonly sheet: Sheet;
  readonly old: PlanRef;
  readonly next: PlanRef;
  /** How far the new plan may be laid off, sheet units. */
  readonly slack: number;
}

type Pyramid = HostOutput<'openPlan'>;
/** What a person hid is not compared: it does not show. */
const shownOf = (plan: PlanRef): { layersOff?: string[] } => (plan.layersOff ? { layersOff: [...plan.layersOff] } : {});

export type Compared = { readonly ok: true; readonly difference: Difference } | { readonly ok: false; readonly reason: string };

const STOPPED: Compared = { ok: false, reason: 'stopped' };

/**
 * Compares two plans of one sheet, off the window's thread.
 * @param signal  stops the work, the reading of the plans with it; the answer is then that it was stopped
 * @param onDone  share of the work done, 0 to 1
 */
export async function compareOffThread(host: Pick<Host, 'call'>, asked: CompareAsked, signal: AbortSignal, onDone: (done: number) => void): Promise<Compared> {
  const { sheet, old, next } = asked;
  const plans = [old, next];
  const pyramids: Pyramid[] = [];
  const job = newJob();
  signal.addEventListener('abort', () => { void host.call('cancel', { job }); });
  for (const plan of plans) {
    const opened = await host.call('openPlan', { blob: plan.blob, page: plan.page, ...shownOf(plan), job });
    if (signal.aborted) return STOPPED;
    if (!opened.ok) return { ok: false, reason: `${opened.problem.what} ${opened.problem.todo}` };
    pyramids.push(opened.value);
  }
  const area = areaWith(sheet, next);
  const finest = Math.min(...plans.map((plan, i) => (pyramids[i]?.levels[0]?.scale ?? 1) / layOf(plan).scale));
  const resolution = Math.min(finest, Math.sqrt(MOST_ELEMENTS / (area.width * area.height)));
  const width = Math.max(1, Math.ceil(area.width * resolution)); const height = Math.max(1, Math.ceil(area.height * resolution));
  const tolerance = Math.ceil(RENDERED_WITHIN + asked.slack * resolution);
  const cell = Math.max(4, Math.round(sheet.scale ? (GATHER_FEET / sheet.scale.feetPerUnit) * resolution : 8));
  const worker = new Worker(new URL('./difference-worker.ts', import.meta.url), { type: 'module' });
  const send = (message: ToDifference, transfer: Transferable[] = []): void => { worker.postMessage(message, transfer); };
  try {
    return await new Promise<Compared>((resolve) => {
      signal.addEventListener('abort', () => { resolve(STOPPED); });
      let taken = 0; let all = Infinity;
      worker.onmessage = ({ data }: MessageEvent<FromDifference>) => {
        if (data.kind === 'took') { taken += 1; onDone(0.6 * Math.min(1, taken / all)); }
        else if (data.kind === 'progress') onDone(0.6 + 0.4 * data.done);
        else if (data.kind === 'failed') resolve({ ok: false, reason: data.reason });
        else resolve({ ok: true, difference: onSheet(data, { resolution, tolerance, width, height }) });
      };
      worker.onerror = (event) => { resolve({ ok: false, reason: event.message }); };
      send({ kind: 'begin', width, height });
      void (async () => {
        const wanted = plans.flatMap((plan, which) => {
          const found = pyramids[which]!;
          const level = levelFor(found.levels, resolution * layOf(plan).scale);
          return tilesIn(found.levels[level]!, level, found.tile, { x: 0, y: 0, width: plan.width, height: plan.height }).map((tile) => ({ plan, which, tile }));
        });
        all = wanted.length;
        for (const { plan, which, tile } of wanted) {
          if (signal.aborted) return;
          const { level, column, row, box } = tile;
          const answer = await host.call('planTile', { blob: plan.blob, page: plan.page, ...shownOf(plan), level, column, row });
          if (!answer.ok) { resolve({ ok: false, reason: `${answer.problem.what} ${answer.problem.todo}` }); return; }
          send({ kind: 'tile', which, bytes: answer.value.bytes, media: answer.value.media, matrix: composeMatrix([resolution, 0, 0, resolution, 0, 0], similarityMatrix(layOf(plan))), box });
        }
        plans.forEach((plan, which) => { send({ kind: 'look', which, layers: lookLayers(plan, 0), matrix: composeMatrix([resolution, 0, 0, resolution, 0, 0], similarityMatrix(layOf(plan))), width: plan.width, height: plan.height }); });
        send({ kind: 'compare', options: { tolerance, cell, dirt: Math.max(8, 4 * tolerance) } });
      })().catch((fault: unknown) => { resolve({ ok: false, reason: fault instanceof Error ? fault.message : String(fault) }); });
    });
  } finally { worker.terminate(); }
}

function onSheet(data: Extract<FromDifference, { kind: 'compared' }>, { resolution, tolerance, width, height }: { resolution: number; tolerance: number; width: number; height: number }): Difference {
  return {
    resolution, tolerance: tolerance / resolution, fine: data.fine, coarse: data.coarse, width: width / resolution, height: height / resolution,
    patches: data.patches.map((p) => ({ minX: p.minX / resolution, minY: p.minY / resolution, maxX: p.maxX / resolution, maxY: p.maxY / resolution, gone: p.gone > 0, fresh: p.fresh > 0 })),
    squares: data.cells.map((c) => ({ x: c.x / resolution, y: c.y / resolution, side: data.cell / resolution, gone: c.gone, fresh: c.fresh })),
  };
}
