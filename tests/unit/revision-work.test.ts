import { beforeEach, describe, expect, it, vi } from 'vitest';
import { intakeStore, takePages } from '../../renderer/panels/plan-intake';
import type { PlanInfo } from '../../renderer/panels/plan-intake';
import { backToPairs, beginRevision, comparePicked, dropHalf, dropPair, dropRevision, layCompared, nameIssue, pickPoint, touchedNow } from '../../renderer/revision/actions';
import { compareOffThread } from '../../renderer/revision/difference';
import { areaWith, fitPairs, revisionStore, shownNow } from '../../renderer/state/revision';
import { store } from '../../renderer/state/store';
import { setSheets } from '../../shared-core/document/index';
import type { PlanRef } from '../../shared-core/document/index';
import { sheetUnits } from '../../shared-core/units/index';
import { documentWith, loadOf, sheet, switchOf } from './tools-workbench';

const planRef = (digit: string, name: string, media: PlanRef['media'] = 'image/png'): PlanRef => ({ blob: digit.repeat(64), name, media, page: 0, width: sheetUnits(1000), height: sheetUnits(800) });
const OLD = planRef('a', 'spring.png'); const NEW = planRef('b', 'autumn.png');

vi.mock('../../renderer/host-client', () => ({
  host: { call: () => Promise.resolve({ ok: false, problem: { code: 'no-plan', what: 'This plan is not at hand.', todo: 'Bring it in again.' } }), onProgress: () => () => undefined },
}));

const work = () => revisionStore.getState().work;
const picks = (...pairs: readonly (readonly [number, number, number, number])[]): void => { for (const [x, y, u, v] of pairs) { pickPoint('old', { x, y }); pickPoint('new', { x: u, y: v }); } };
const comparing = () => { const now = work(); if (now?.kind !== 'comparing') throw new Error('nothing is compared'); return now; };

beforeEach(() => {
  dropRevision();
  const document = documentWith(loadOf('load-1', 'M-1', 300, 300), switchOf('disconnect-1', 'DS-1', 400, 300, ['load-1']));
  store.getState().load({ ...document, sheets: [{ ...sheet, plan: OLD }] }, null);
});

describe('working on a revision', () => {
  it('halves join across the two plans in either order; a second click on the same plan corrects the first', () => {
    beginRevision(sheet.id, NEW);
    pickPoint('new', { x: 1, y: 2 });
    pickPoint('new', { x: 10, y: 20 });
    pickPoint('old', { x: 30, y: 40 });
    pickPoint('old', { x: 5, y: 5 });
    dropHalf();
    pickPoint('old', { x: 500, y: 50 });
    pickPoint('new', { x: 480, y: 30 });
    expect(work()).toMatchObject({ kind: 'picking', half: null, pairs: [{ picture: { x: 10, y: 20 }, sheet: { x: 30, y: 40 } }, { picture: { x: 480, y: 30 }, sheet: { x: 500, y: 50 } }] });
    dropPair(0);
    expect(work()).toMatchObject({ pairs: [{ sheet: { x: 500, y: 50 } }] });
  });

  it('nothing of it changes the document until the plan is laid', async () => {
    const before = store.getState().document;
    beginRevision(sheet.id, NEW);
    comparePicked();
    expect(work()?.kind).toBe('picking');
    picks([100, 100, 50, 50], [900, 100, 450, 50]);
    comparePicked();
    expect(comparing()).toMatchObject({ plan: { lay: { scale: 2, turn: 0, x: 0, y: 0 } }, shown: 'difference' });
    expect(store.getState().document).toBe(before);
    backToPairs();
    expect(work()).toMatchObject({ kind: 'picking', plan: NEW });
    expect(work()?.plan.lay).toBeUndefined();
    dropRevision();
    expect(store.getState()).toMatchObject({ document: before, done: [] });
    await vi.waitFor(() => { expect(work()).toBeNull(); });
  });

  it('plans that cannot be compared say why, and laid all the same everything must be looked over', async () => {
    beginRevision(sheet.id, NEW);
    picks([100, 100, 50, 50], [900, 100, 450, 50]);
    comparePicked();
    await vi.waitFor(() => { expect(comparing().difference).toMatchObject({ kind: 'failed', reason: expect.stringContaining('not at hand') }); });
    expect(touchedNow(store.getState().document, comparing())?.ids).toEqual(['load-1', 'disconnect-1']);
    nameIssue('Revision B');
    layCompared();
    const [laid] = store.getState().document.sheets;
    expect(laid).toMatchObject({ plan: { name: 'autumn.png', issue: { name: 'Revision B' } }, earlier: [OLD], toLookOver: ['load-1', 'disconnect-1'], width: 2000 });
    expect(store.getState().done.map((e) => e.name)).toEqual(['laid Revision B under Level 1']);
    store.getState().undo();
    expect(store.getState().document.sheets).toEqual([{ ...sheet, plan: OLD }]);
  });

  it('is not laid while it is still being compared, nor over a plan that was changed in the meantime', async () => {
    beginRevision(sheet.id, NEW);
    picks([100, 100, 50, 50], [900, 100, 450, 50]);
    comparePicked();
    layCompared();
    expect(store.getState().done).toEqual([]);
    await vi.waitFor(() => { expect(comparing().difference.kind).toBe('failed'); });
    const other = planRef('c', 'other.png');
    store.getState().commit(setSheets(store.getState().document, 'another plan', [{ ...sheet, plan: other }]));
    layCompared();
    expect(store.getState().document.sheets[0]?.plan).toEqual(other);
    expect(work()).toBeNull();
    expect(store.getState().notices.at(-1)?.what).toMatch(/was changed in the meantime/);
  });

  it('a chosen page of a file goes to the sheet that asked for it and becomes no sheet of its own', () => {
    const page = { page: 1, width: 612, height: 792, unitsPerPaperInch: 72, label: null, stored: { width: 612, height: 792, turned: 0, mirrored: false, unitsPerInch: null }, scales: [], lengths: [], drawing: null, warnings: [], layers: [] };
    const info: PlanInfo = { blob: 'd'.repeat(64), name: 'set.pdf', media: 'application/pdf', pages: [{ ...page, page: 0 }, page] };
    intakeStore.setState({ revisionOf: sheet.id });
    takePages(info, [page]);
    expect(work()).toMatchObject({ kind: 'picking', sheet: sheet.id, old: OLD, plan: { name: 'set.pdf', page: 1, width: 612, unitsPerPaperInch: 72 } });
    expect(store.getState().document.sheets).toHaveLength(1);
    expect(intakeStore.getState().revisionOf).toBeNull();
  });

  it('picking on the coarser plan decides how exact the pairs can be', () => {
    // Common practice, no source: 1.5 elements of a scan, half a point of a PDF page.
    const pairs = (scale: number) => [{ picture: { x: 0, y: 0 }, sheet: { x: 0, y: 0 } }, { picture: { x: 800 / scale, y: 0 }, sheet: { x: 800, y: 0 } }];
    const uncertaintyOf = (old: PlanRef, next: PlanRef, scale: number): number => { const outcome = fitPairs(old, next, pairs(scale)); return outcome.ok ? outcome.fit.relativeUncertainty : NaN; };
    const one = Math.SQRT2 / Math.hypot(400, 400);
    expect(uncertaintyOf(OLD, NEW, 1)).toBeCloseTo(1.5 * one, 9);
    expect(uncertaintyOf(OLD, NEW, 4)).toBeCloseTo(6 * one, 9);
    expect(uncertaintyOf(OLD, { ...NEW, media: 'application/pdf' }, 4)).toBeCloseTo(2 * one, 9);
    // Whoever picked from far away, ten units a pixel, is no surer than that, on either plan.
    const far = (side: 'sheet' | 'picture') => { const outcome = fitPairs(OLD, NEW, pairs(2).map((pair, i) => (i === 0 ? { ...pair, [side]: { ...pair[side], within: 10 } } : pair))); return outcome.ok ? outcome.fit : null; };
    expect(far('sheet')?.relativeUncertainty).toBeCloseTo(10 * one, 9);
    expect(far('picture')).toMatchObject({ worst: 0, pickedWithin: 20 });
  });

  it('the drawing area grows with the new plan, but stays where a person cropped the old one', () => {
    const lay = { scale: 1.5, turn: 0, x: 0, y: 0 };
    expect(areaWith({ ...sheet, plan: OLD }, { ...NEW, lay })).toEqual({ width: 1500, height: 1200 });
    expect(areaWith({ ...sheet, plan: OLD }, { ...NEW, lay: { ...lay, scale: 0.5 } })).toEqual({ width: 1000, height: 800 });
    expect(areaWith({ ...sheet, plan: OLD, width: sheetUnits(600) }, { ...NEW, lay })).toEqual({ width: 600, height: 1200 });
  });

  it('while the key is held the other plan shows', () => {
    beginRevision(sheet.id, NEW);
    picks([100, 100, 50, 50], [900, 100, 450, 50]);
    comparePicked();
    const now = comparing();
    expect((['old', 'new', 'difference'] as const).map((shown) => [shownNow({ ...now, shown }, false), shownNow({ ...now, shown }, true)])).toEqual([['old', 'new'], ['new', 'old'], ['difference', 'old']]);
  });
});

it('a comparison that is cancelled while its plans are read starts no thread, and their reading is cancelled as well', async () => {
  const called: string[] = []; let letGo: (answer: unknown) => void = () => undefined;
  const call = (name: string, input: { job?: string }): Promise<unknown> => {
    called.push(name === 'cancel' ? `cancel ${String(input.job !== undefined)}` : name);
    return name === 'cancel' ? Promise.resolve({ ok: true, value: {} }) : new Promise((resolve) => { letGo = resolve; });
  };
  const stop = new AbortController();
  // Outside a browser there is no Worker: starting one would throw.
  const answer = compareOffThread({ call } as never, { sheet: { ...sheet, plan: OLD }, old: OLD, next: NEW, slack: 0 }, stop.signal, () => undefined);
  stop.abort();
  letGo({ ok: true, value: { levels: [], tile: 1024 } });
  await expect(answer).resolves.toEqual({ ok: false, reason: 'stopped' });
  expect(called).toEqual(['openPlan', 'cancel true']);
});
