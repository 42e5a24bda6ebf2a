import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { createPlanSource, layersOfPlan, planLayers } from '../../renderer/plan/index';
import type { PlanSource } from '../../renderer/plan/index';
import { levelFor, tilesIn } from '../../renderer/plan/tile-grid';
import { sheetUnits } from '../../shared-core/units/index';
import type { HostInput, Outcome } from '../../shared-core/host-api';

const plan = { blob: 'a'.repeat(64), name: 'plan.png', media: 'image/png' as const, page: 0, width: sheetUnits(5000), height: sheetUnits(3000) };
const levels = [[5000, 3000, 1], [2500, 1500, 0.5], [1250, 750, 0.25], [625, 375, 0.125]].map(([width, height, scale]) => ({ width: width!, height: height!, scale: scale! }));
const whole = { x: 0, y: 0, width: 5000, height: 3000 };

/** Pictures that remember whether they were closed. */
const made: { width: number; height: number; open: boolean; close(): void }[] = [];
beforeEach(() => {
  made.length = 0;
  vi.stubGlobal('createImageBitmap', async () => {
    const image = { width: 1024, height: 1024, open: true, close() { image.open = false; } };
    made.push(image);
    return image;
  });
});
afterEach(() => { vi.unstubAllGlobals(); });

/** A host that answers at once and remembers what it was asked. */
function fakeHost(open: Outcome<unknown> = { ok: true, value: { tile: 1024, levels, layers: [], warnings: [] } }) {
  const asked: HostInput<'planTile'>[] = [];
  let forgotten = false;
  let opens = 0;
  return {
    asked,
    forget() { forgotten = true; },
    opens: () => opens,
    host: {
      onProgress: () => () => undefined,
      call: async (name: string, input: unknown) => {
        if (name === 'openPlan') { opens++; forgotten = false; return open as never; }
        asked.push(input as HostInput<'planTile'>);
        return (forgotten ? { ok: false, problem: { code: 'not-open', what: '', todo: '' } } : { ok: true, value: { media: 'image/png', bytes: new Uint8Array(1) } }) as never;
      },
    },
  };
}

/** Looks until nothing new comes. */
async function settle(source: PlanSource, view: Parameters<PlanSource['visibleTiles']>[0], pixelsPerUnit: number) {
  for (let i = 0; i < 6; i++) {
    source.visibleTiles(view, pixelsPerUnit);
    await new Promise((resolve) => { setTimeout(resolve, 5); });
  }
  return source.visibleTiles(view, pixelsPerUnit);
}

describe('the plan as tiles', () => {
  it('shows the level that still has a picture element for each device pixel', () => {
    expect([2, 1, 0.6, 0.5, 0.3, 0.1, 0.01].map((zoom) => levelFor(levels, zoom))).toEqual([0, 0, 0, 1, 1, 3, 3]);
  });

  it('the tiles of a level cover the sheet once, to its very edge', () => {
    for (const [index, level] of levels.entries()) {
      const area = tilesIn(level, index, 1024, whole).reduce((sum, { box }) => sum + box.width * box.height, 0);
      expect(area).toBeCloseTo(5000 * 3000, 3);
    }
  });

  it('a whole sheet is one coarse tile, a corner at full size its own few tiles', async () => {
    const { host } = fakeHost();
    const source = createPlanSource(host, plan);
    await settle(source, whole, 0.1);
    expect(source.state()).toEqual({ kind: 'ready' });
    expect((await settle(source, whole, 0.1)).map((tile) => tile.key)).toEqual(['3/0/0']);
    const corner = await settle(source, { x: 4200, y: 2200, width: 800, height: 800 }, 1);
    expect(corner.map((tile) => tile.key).sort()).toEqual(['0/4/2']);
    expect(corner[0]!.box).toEqual({ x: 4096, y: 2048, width: 904, height: 952 });
  });

  it('while a fine tile is on its way, the coarse one stands in below it', async () => {
    const { host } = fakeHost();
    const source = createPlanSource(host, plan);
    await settle(source, whole, 0.1);
    const atOnce = source.visibleTiles({ x: 0, y: 0, width: 500, height: 500 }, 1);
    expect(atOnce.map((tile) => tile.key)).toEqual(['3/0/0']);
    expect(atOnce[0]!.box).toEqual(whole);
  });

  it('keeps within its memory: pictures that left the view are closed, those shown never are', async () => {
    const { host } = fakeHost();
    const source = createPlanSource(host, { ...plan, width: sheetUnits(50_000), height: sheetUnits(30_000) });
    for (let x = 0; x < 5000; x += 1000) for (let y = 0; y < 3000; y += 1000) {
      for (const tile of await settle(source, { x, y, width: 1000, height: 1000 }, 1)) expect((tile.image as unknown as { open: boolean }).open).toBe(true);
      for (const tile of await settle(source, { x, y, width: 1000, height: 1000 }, 0.5)) expect((tile.image as unknown as { open: boolean }).open).toBe(true);
    }
    const open = made.filter((image) => image.open).length;
    expect(open * 1024 * 1024 * 4).toBeLessThanOrEqual(200e6);
    source.close();
    expect(made.every((image) => !image.open)).toBe(true);
  });

  it('a sheet that the host has forgotten is opened again', async () => {
    const fake = fakeHost();
    const source = createPlanSource(fake.host, plan);
    await settle(source, whole, 0.1);
    fake.forget();
    expect((await settle(source, { x: 0, y: 0, width: 900, height: 900 }, 1)).map((tile) => tile.key)).toContain('0/0/0');
    expect(fake.opens()).toBe(2);
  });

  it('a plan that cannot be opened has its problem as state and nothing to draw', async () => {
    const problem = { code: 'truncated', what: 'It breaks off.', todo: 'Fetch it again.' };
    const source = createPlanSource(fakeHost({ ok: false, problem }).host, plan);
    expect(await settle(source, whole, 1)).toEqual([]);
    expect(source.state()).toEqual({ kind: 'problem', problem });
  });

  it('calls back after tiles came, and not after it was closed', async () => {
    const source = createPlanSource(fakeHost().host, plan);
    const heard = vi.fn();
    source.onChange(heard);
    await settle(source, whole, 0.1);
    await new Promise((resolve) => { setTimeout(resolve, 40); });
    expect(heard).toHaveBeenCalled();
    source.close();
    const count = heard.mock.calls.length;
    await new Promise((resolve) => { setTimeout(resolve, 40); });
    expect(heard.mock.calls.length).toBe(count);
  });

  it('a vector sheet at deep zoom is drawn from the page, over the host\'s picture', async () => {
    const { host } = fakeHost();
    const draw = vi.fn(async (box: { width: number; height: number }, scale: number) => ({ width: box.width * scale, height: box.height * scale, close: () => undefined }));
    const source = createPlanSource(host, { ...plan, media: 'application/pdf' }, { openSharp: async () => ({ draw, close: () => undefined }) });
    await settle(source, whole, 0.1);
    const tiles = await settle(source, { x: 20, y: 100, width: 200, height: 100 }, 6);
    expect(tiles.at(-1)!.key).toBe('sharp/3/0/0');
    expect(draw).toHaveBeenCalledWith({ x: 0, y: 0, width: 256, height: 256 }, 8);
    expect((await settle(source, { x: 20, y: 100, width: 200, height: 100 }, 0.9)).every((tile) => !tile.key.startsWith('sharp'))).toBe(true);
  });

  it('a page that is one large scan is only magnified: the page itself is never taken into the window', async () => {
    const { host } = fakeHost({ ok: true, value: { tile: 1024, isScan: true, levels, layers: [], warnings: [] } });
    const openSharp = vi.fn(async () => null);
    const source = createPlanSource(host, { ...plan, media: 'application/pdf' }, { openSharp });
    await settle(source, whole, 0.1);
    expect((await settle(source, { x: 20, y: 100, width: 200, height: 100 }, 6)).map((tile) => tile.key.startsWith('sharp'))).not.toContain(true);
    expect(openSharp).not.toHaveBeenCalled();
  });

  it('a sheet that hides layers asks for the picture without them, and tells what can be switched', async () => {
    const fake = fakeHost({ ok: true, value: { tile: 1024, levels, layers: [{ name: 'Grid', visible: true }, { name: 'Walls', visible: true }], warnings: [] } });
    const hiding = { ...plan, blob: 'b'.repeat(64), media: 'application/pdf' as const, layersOff: ['Grid'] };
    await settle(createPlanSource(fake.host, hiding), whole, 0.1);
    expect(fake.asked.map(({ layersOff }) => layersOff)).toEqual(fake.asked.map(() => ['Grid']));
    expect(fake.asked.length).toBeGreaterThan(0);
    expect(layersOfPlan(planLayers.getState().known, hiding)).toEqual([{ name: 'Grid', visible: false }, { name: 'Walls', visible: true }]);
    expect(layersOfPlan(planLayers.getState().known, { ...hiding, page: 7 })).toBeNull();
  });

  it('a zoom that is no number is a programmer\'s error', () => {
    const source = createPlanSource(fakeHost().host, plan);
    expect(() => source.visibleTiles(whole, Number.NaN)).toThrow(RangeError);
  });

  it('its opening can be stopped by a person, and begun again', async () => {
    const waiting: ((answer: Outcome<unknown>) => void)[] = [];
    const cancelled: unknown[] = []; const jobs: unknown[] = [];
    const host = { onProgress: () => () => undefined, call: (name: string, input: { job?: string }) => {
      if (name === 'cancel') { cancelled.push(input.job); waiting.shift()?.({ ok: false, problem: { code: 'cancelled', what: 'It was not opened.', todo: '' } }); return Promise.resolve({ ok: true, value: {} }); }
      jobs.push(input.job);
      return new Promise<Outcome<unknown>>((answer) => { waiting.push(answer); });
    } };
    const source = createPlanSource(host as never, plan);
    source.stop();
    await vi.waitFor(() => { expect(source.state()).toMatchObject({ kind: 'problem', problem: { code: 'cancelled' } }); });
    source.stop();
    expect(cancelled).toEqual([jobs[0]]);
    source.again();
    expect(source.state().kind).toBe('opening');
    waiting.shift()?.({ ok: true, value: { tile: 1024, levels, layers: [], warnings: [] } });
    await vi.waitFor(() => { expect(source.state().kind).toBe('ready'); });
    source.again();
    expect(jobs).toHaveLength(2);
    source.close();
  });
});
