import type { Host } from '../host-client';
import type { HostOutput, Problem } from '../../shared-core/host-api';
import type { PlanRef } from '../../shared-core/document/index';
import { Bitmaps } from './bitmaps';
import { rememberLayers } from './plan-layers';
import { openSharpPage } from './sharp-page';
import type { SharpPage } from './sharp-page';
import { gridTile, levelFor, tilesIn } from './tile-grid';
import type { GridTile, Level } from './tile-grid';
import type { PlanSource, PlanState, PlanTile, PictureBox } from './types';

/** About 48 tiles of 1024 x 1024. */
const MOST_BYTES = 200e6;
const FETCHES_AT_ONCE = 4;
/** Sharp tiles are larger: each costs a pass over the whole page. */
const SHARP_TILE = 2048;
/** Beyond this many picture elements per picture unit a PDF is only magnified. */
const MOST_SHARP_SCALE = 128;

export interface PlanSourceOptions {
  /** Draws vector sheets sharp at deep zoom; replaced in tests. */
  readonly openSharp?: typeof openSharpPage;
}

const DRAWN_SHARP = ['application/pdf', 'image/vnd.dxf'];

type Pyramid = HostOutput<'openPlan'>;

/**
 * The plan of a sheet as tiles to draw: fetched from the host on demand, decoded off the window's thread, kept within
 * a budget. PDF and DXF sheets are drawn anew from the page where the view is finer than the host's picture.
 */
export function createPlanSource(host: Pick<Host, 'call' | 'onProgress'>, plan: PlanRef, options: PlanSourceOptions = {}): PlanSource {
  const { blob, page } = plan;
  const shown = plan.layersOff ? { layersOff: [...plan.layersOff] } : {};
  const bitmaps = new Bitmaps(MOST_BYTES);
  const listeners = new Set<() => void>();
  const fetching = new Set<string>();
  const failed = new Set<string>();
  let wanted: readonly GridTile[] = [];
  let state: PlanState = { kind: 'opening', done: 0, note: '' };
  let pyramid: Pyramid | null = null;
  let sharp: SharpPage | null = null;
  let sharpBusy = false;
  let sharpAsked = false;
  let wantedSharp: readonly GridTile[] = [];
  let sharpScale = 0;
  let closed = false;
  let pending = false;
  let opening: string | null = null;

  const tell = (): void => {
    if (pending || closed) return;
    pending = true;
    const next = globalThis.requestAnimationFrame ?? ((call: () => void) => setTimeout(call, 16));
    next(() => { pending = false; if (!closed) for (const listener of listeners) listener(); });
  };

  const open = async (): Promise<void> => {
    const job = crypto.randomUUID();
    opening = job;
    const quiet = host.onProgress((progress) => {
      if (progress.job !== job || state.kind !== 'opening') return;
      state = { kind: 'opening', done: progress.done, note: progress.note };
      tell();
    });
    const opened = await host.call('openPlan', { blob, page, job, ...shown });
    quiet();
    if (opening === job) opening = null;
    if (closed) return;
    pyramid = opened.ok ? opened.value : null;
    if (opened.ok) rememberLayers(plan, opened.value.layers);
    state = opened.ok ? { kind: 'ready' } : { kind: 'problem', problem: opened.problem };
    tell();
  };

  const fetchTile = async (tile: GridTile): Promise<void> => {
    const { level, column, row } = tile;
    let answer = await host.call('planTile', { blob, page, ...shown, level, column, row });
    // The host forgets sheets that were not looked at for long.
    if (!answer.ok && answer.problem.code === 'not-open') {
      await open();
      answer = await host.call('planTile', { blob, page, ...shown, level, column, row });
    }
    if (!answer.ok) { failed.add(tile.key); return; }
    const image = await createImageBitmap(new Blob([answer.value.bytes as Uint8Array<ArrayBuffer>], { type: answer.value.media }));
    if (closed) image.close(); else bitmaps.add(tile.key, image);
  };

  const pump = (): void => {
    for (const tile of wanted) {
      if (closed || fetching.size >= FETCHES_AT_ONCE) return;
      if (fetching.has(tile.key) || failed.has(tile.key) || bitmaps.has(tile.key)) continue;
      fetching.add(tile.key);
      void fetchTile(tile).catch(() => { failed.add(tile.key); }).finally(() => { fetching.delete(tile.key); tell(); pump(); });
    }
  };

  /** One sharp tile after the other: they share a worker, and what has left the view is not drawn any more. */
  const pumpSharp = async (): Promise<void> => {
    if (sharpBusy || closed) return;
    sharpBusy = true;
    if (!sharpAsked) {
      sharpAsked = true;
      sharp = await (options.openSharp ?? openSharpPage)(host, plan).catch(() => null);
      if (closed) sharp?.close();
    }
    for (;;) {
      const next = wantedSharp.find((tile) => !bitmaps.has(tile.key) && !failed.has(tile.key));
      if (closed || !sharp || !next) break;
      const image = await sharp.draw(next.box, sharpScale).catch(() => null);
      if (!image) failed.add(next.key); else if (closed) image.close(); else { bitmaps.add(next.key, image); tell(); }
    }
    sharpBusy = false;
  };

  const askSharp = (view: PictureBox, pixelsPerUnit: number, base: Level): GridTile[] => {
    if (!DRAWN_SHARP.includes(plan.media) || pyramid?.isScan === true || pixelsPerUnit <= base.scale * 1.1) { wantedSharp = []; return []; }
    const steps = Math.ceil(Math.log2(Math.min(pixelsPerUnit, MOST_SHARP_SCALE) / base.scale));
    sharpScale = base.scale * 2 ** steps;
    const level = { width: plan.width * sharpScale, height: plan.height * sharpScale, scale: sharpScale };
    wantedSharp = tilesIn(level, steps, SHARP_TILE, view, 'sharp/');
    if (sharp || !sharpAsked) void pumpSharp();
    return [...wantedSharp];
  };

  const drawable = (tile: GridTile): PlanTile[] => {
    const image = bitmaps.use(tile.key);
    return image ? [{ key: tile.key, box: tile.box, image }] : [];
  };

  /** The nearest coarser tile that is there, to stand in for one that is not. */
  const standIn = (found: Pyramid, tile: GridTile): GridTile | null => {
    for (let level = tile.level + 1; level < found.levels.length; level++) {
      const halved = level - tile.level;
      const coarser = gridTile(found.levels[level]!, level, found.tile, tile.column >> halved, tile.row >> halved);
      if (bitmaps.has(coarser.key)) return coarser;
    }
    return null;
  };

  void open();
  return {
    visibleTiles(view, pixelsPerUnit) {
      if (!(pixelsPerUnit > 0) || !Number.isFinite(pixelsPerUnit)) throw new RangeError(`pixelsPerUnit must be finite and above 0, not ${pixelsPerUnit}`);
      if (closed || !pyramid) return [];
      const found = pyramid;
      const level = levelFor(found.levels, pixelsPerUnit);
      const coarsest = found.levels.length - 1;
      const overview = tilesIn(found.levels[coarsest]!, coarsest, found.tile, { x: 0, y: 0, width: plan.width, height: plan.height });
      const fine = tilesIn(found.levels[level]!, level, found.tile, view);
      const sharpTiles = askSharp(view, pixelsPerUnit, found.levels[0]!);
      const coarse = new Map<string, GridTile>();
      for (const tile of fine) {
        const instead = bitmaps.has(tile.key) ? null : standIn(found, tile);
        if (instead) coarse.set(instead.key, instead);
      }
      const order = [...[...coarse.values()].sort((a, b) => b.level - a.level), ...fine, ...sharpTiles];
      bitmaps.show(new Set([...order, ...overview].map((tile) => tile.key)));
      wanted = [...overview, ...fine];
      pump();
      return order.flatMap(drawable);
    },
    onChange(listener) {
      listeners.add(listener);
      return () => { listeners.delete(listener); };
    },
    state: () => state,
    warnings: (): readonly Problem[] => pyramid?.warnings ?? [],
    stop() { if (state.kind === 'opening' && opening !== null) void host.call('cancel', { job: opening }); },
    again() {
      if (closed || state.kind !== 'problem') return;
      state = { kind: 'opening', done: 0, note: '' };
      tell();
      void open();
    },
    close() {
      closed = true;
      listeners.clear();
      bitmaps.clear();
      sharp?.close();
    },
  };
}
