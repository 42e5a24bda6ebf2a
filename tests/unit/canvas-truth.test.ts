import { describe, expect, it } from 'vitest';
import { announcement } from '../../renderer/canvas/announce';
import { LiveCheck } from '../../renderer/canvas/live-check';
import type { MakeChecker, Scenes } from '../../renderer/canvas/live-check';
import { labelText, movingSight, shownSight } from '../../renderer/canvas/shown-sight';
import { staleBetween } from '../../renderer/canvas/still-true';
import { auditDocument } from '../../shared-core/audit/index';
import { createChecker, LiveScenes } from '../../shared-core/checks/index';
import { applyEdit, changedIds, previewEdit, putEntities, removeEntities, setFacts } from '../../shared-core/document/index';
import type { Disconnect, Document, Entity, Load } from '../../shared-core/document/index';
import { feet } from '../../shared-core/units/index';
import { at, documentWith, loadOf, sheet, switchOf, tankOf, wallOf } from './tools-workbench';

// As high as the handle, so that the line in space is as long as on the plan.
const motor = (id: string, tag: string, x: number, y: number): Load => ({ ...loadOf(id, tag, x, y), height: feet(5) });
// 10 sheet units a foot: M-1 stands 20 ft from DS-01, M-2 25 ft from DS-02, far from each other.
const plan = (): Document => documentWith(motor('load-1', 'M-1', 100, 300), motor('load-2', 'M-2', 600, 300), switchOf('disconnect-1', 'DS-01', 300, 300, ['load-1']), switchOf('disconnect-2', 'DS-02', 850, 300, ['load-2']));
const put = (document: Document, ...entities: readonly Entity[]): Document => applyEdit(document, putEntities(document, 'edit', entities));
const device = (document: Document, id: string): Disconnect => document.entities[id] as Disconnect;
const audited = (document: Document) => ({ audit: auditDocument(document), of: document });

describe('what an edit makes stale', () => {
  const before = plan();
  const staleIds = (after: Document): string[] | 'all' => { const { all, disconnects } = staleBetween(before, after); return all ? 'all' : [...disconnects].sort(); };

  it('a moved disconnect and those that serve its loads, no other', () => {
    expect(staleIds(put(before, { ...device(before, 'disconnect-1'), at: at(310, 300) }))).toEqual(['disconnect-1']);
    expect(staleIds(put(before, { ...device(before, 'disconnect-1'), serves: ['load-1', 'load-2'] }))).toEqual(['disconnect-1', 'disconnect-2']);
  });
  it('a moved load, its servers', () => { expect(staleIds(put(before, motor('load-2', 'M-2', 610, 300)))).toEqual(['disconnect-2']); });
  it('a deleted load, the servers it had', () => { expect(staleIds(applyEdit(before, removeEntities(before, 'gone', ['load-2'])))).toEqual(['disconnect-2']); });
  it('anything that can stand in a line, set an enclosure or feed the rest: everything', () => {
    const area = { kind: 'area', id: 'area-1', sheet: sheet.id, label: '', outline: [at(0, 0), at(9, 0), at(9, 9)], environments: [] } as const;
    const supply = { kind: 'supply', id: 'supply-1', sheet: sheet.id, tag: 'P-1', name: '', at: at(5, 5), system: 'system-main', role: 'panel' } as const;
    for (const entity of [wallOf('wall-1', [0, 0], [9, 9]), tankOf('obstruction-1', 0, 0, 9, 9), area, supply, { ...motor('load-1', 'M-1', 100, 300), outline: [at(0, 0), at(9, 0), at(9, 9)] }]) expect(staleIds(put(before, entity))).toBe('all');
    expect(staleIds(applyEdit(before, setFacts(before, 'edition', { ...before.facts, edition: '2020' })))).toBe('all');
  });
  it('a disconnect fed through a changed one is stale with it', () => {
    const fed = put(before, { ...device(before, 'disconnect-2'), data: { fedFrom: 'disconnect-1' } });
    expect([...staleBetween(fed, put(fed, { ...device(fed, 'disconnect-1'), at: at(305, 300) })).disconnects].sort()).toEqual(['disconnect-1', 'disconnect-2']);
  });
  it('what was remembered of an edit is what a search finds', () => {
    const after = put(before, motor('load-2', 'M-2', 610, 300));
    const found = changedIds(before, after);
    expect(found).toEqual(['load-2']);
    // The same from copies, of which no edit told anything.
    expect(changedIds({ ...before, entities: { ...before.entities } }, { ...after, entities: { ...after.entities } })).toEqual(found);
    const first = previewEdit(before, putEntities(before, 'a', [motor('load-2', 'M-2', 620, 300)])); const second = previewEdit(before, putEntities(before, 'b', [motor('load-1', 'M-1', 90, 300)]));
    expect([...changedIds(first, second)].sort()).toEqual(['load-1', 'load-2']);
    expect([...changedIds(first, after)]).toEqual(['load-2']);
  });
});

describe('what is shown as true', () => {
  it('audited lines hold until an edit concerns them; a concerned link shows no verdict', () => {
    const before = plan();
    const audit = audited(before);
    const shown = shownSight({ document: before, sheet: sheet.id, audit, live: null });
    expect(shown.pairs.map((p) => [p.disconnect, p.verdict, p.text])).toEqual([['disconnect-1', 'pass', "20'-0\""], ['disconnect-2', 'pass', "25'-0\""]]);
    const moved = put(before, { ...device(before, 'disconnect-1'), at: at(310, 300) });
    const after = shownSight({ document: moved, sheet: sheet.id, audit, live: null });
    expect(after.pairs.map((p) => p.disconnect)).toEqual(['disconnect-2']);
    expect(after.unproved.map((u) => u.disconnect)).toEqual(['disconnect-1']);
    expect(after.verdicts.has('disconnect-1')).toBe(false);
    expect(after.verdicts.has('disconnect-2')).toBe(true);
  });

  it('after a wall is drawn no earlier verdict is shown, not one', () => {
    const before = plan();
    const walled = put(before, wallOf('wall-1', [0, 0], [1, 1]));
    const shown = shownSight({ document: walled, sheet: sheet.id, audit: audited(before), live: null });
    expect(shown.pairs).toEqual([]);
    expect(shown.verdicts.size).toBe(0);
    expect(shown.unproved).toHaveLength(2);
  });

  it('live pairs count for exactly the document they were computed from', () => {
    const before = plan();
    const preview = put(before, { ...device(before, 'disconnect-1'), at: at(700, 300) });
    const live = new LiveCheck(undefined, () => 0).check(before, preview, sheet.id, new Set());
    expect(movingSight(preview, sheet.id, live.concerned, live).pairs.map((p) => [p.verdict, p.text])).toEqual([['fail', "60'-0\", 10'-0\" too far"]]);
    const later = put(before, { ...device(before, 'disconnect-1'), at: at(705, 300) });
    const stale = movingSight(later, sheet.id, live.concerned, live);
    expect(stale.pairs).toEqual([]);
    expect(stale.unproved.map((u) => u.disconnect)).toEqual(['disconnect-1']);
  });

  it('a blocked line ends at what stands there and names it; the wall is the blocker', () => {
    const document = put(plan(), tankOf('obstruction-1', 180, 280, 220, 320));
    const { pairs } = shownSight({ document, sheet: sheet.id, audit: audited(document), live: null });
    const pair = pairs.find((p) => p.disconnect === 'disconnect-1');
    expect(pair).toMatchObject({ verdict: 'fail', state: 'blocked', blocker: 'obstruction-1', text: "20'-0\" behind T-1" });
    expect(pair?.blockedAt?.x).toBeCloseTo(220);
  });

  it('a line that would not do by itself says what settles it', () => {
    const document = put(plan(), switchOf('disconnect-3', 'DS-03', 900, 700, ['load-1']));
    const { pairs } = shownSight({ document, sheet: sheet.id, audit: audited(document), live: null });
    const far = pairs.find((p) => p.disconnect === 'disconnect-3');
    expect(far).toMatchObject({ verdict: 'pass', settledBy: 'another disconnect' });
    expect(far && labelText(far)).toMatch(/too far, not needed$/);
  });
});

describe('the live check', () => {
  /** Scenes whose preparation, and a checker whose lines, take as long as the test says. */
  function slow(prepare: number, line: number) {
    let now = 0; const made: Document[] = [];
    const make: MakeChecker = (document, id, scenes) => {
      const real = createChecker(document, id, scenes);
      return { ...real, pairsOf: (d) => { now += line; return real.pairsOf(d); } };
    };
    const makeScenes = (document: Document): Scenes => {
      const real = new LiveScenes(document);
      made.push(document);
      return { readyOf: (id) => real.readyOf(id), follow: (next, changed) => { real.follow(next, changed); }, prepareSome: (id) => { now += prepare / 10; count += 1; return count % 10 === 0 ? settle(real, id) : false; } };
    };
    const settle = (real: LiveScenes, id: string): boolean => { for (;;) if (real.prepareSome(id)) return true; };
    let waiting: (() => void) | null = null; let count = 0;
    const live = new LiveCheck(make, () => now, makeScenes, (run) => { waiting = run; return () => { waiting = null; }; });
    /** Lets so many slices of preparation happen. */
    const slices = (most = Infinity): void => { for (let i = 0; i < most && waiting; i += 1) { const run = waiting; waiting = null; run(); } };
    return { live, made, slices };
  }
  const moved = (document: Document, x: number): Document => put(document, { ...device(document, 'disconnect-1'), at: at(x, 300) });

  it('prepares the scene once for a whole drag of a disconnect', () => {
    const before = plan(); const { live, made, slices } = slow(100, 0.1);
    live.warm(before, sheet.id);
    slices();
    for (const x of [310, 320, 330]) expect(live.check(before, moved(before, x), sheet.id, new Set()).disconnects).toEqual(['disconnect-1']);
    expect(made).toHaveLength(1);
  });

  it('agrees with a check from scratch although the scene is kept', () => {
    const before = put(plan(), wallOf('wall-1', [400, 200], [400, 400])); const live = new LiveCheck(undefined, () => 0);
    live.warm(before, sheet.id);
    for (const x of [310, 390, 410, 640]) {
      const preview = moved(before, x);
      expect(live.check(before, preview, sheet.id, new Set()).pairs).toEqual(createChecker(preview, sheet.id).pairsOf(device(preview, 'disconnect-1')));
    }
  });

  it('prepares the scene once for a whole drag of a wall, and agrees with a check from scratch at every place', () => {
    const before = put(plan(), wallOf('wall-1', [200, 0], [200, 100])); const { live, made, slices } = slow(100, 0.1);
    live.warm(before, sheet.id);
    slices();
    for (const y of [150, 290, 310, 400, 200]) {
      const preview = put(before, wallOf('wall-1', [200, 0], [200, y]));
      const { disconnects, pairs } = live.check(before, preview, sheet.id, new Set());
      expect(disconnects).toHaveLength(2);
      expect(pairs).toEqual(disconnects.flatMap((id) => createChecker(preview, sheet.id).pairsOf(device(preview, id))));
    }
    expect(made).toHaveLength(1);
  });

  it('does not hold up the hand while a scene is prepared: nothing is answered until it stands for exactly what is shown', () => {
    const before = put(plan(), wallOf('wall-1', [200, 0], [200, 100])); const { live, slices } = slow(100, 0.1);
    let told = 0;
    live.whenReady(() => { told += 1; });
    const walled = put(before, wallOf('wall-1', [200, 0], [200, 400]));
    const check = (document: Document): ReturnType<LiveCheck['check']> => live.check(before, document, sheet.id, new Set());
    expect(check(walled)).toMatchObject({ disconnects: [], pairs: [], open: [] });
    expect(check(walled).concerned).toHaveLength(2);
    expect(live.ask(walled, sheet.id, () => 'an answer')).toBeNull();
    slices(2);
    // Edits while it is prepared: the wall goes on, a tank comes.
    const edited = put(put(walled, wallOf('wall-1', [200, 0], [200, 50])), tankOf('obstruction-1', 700, 280, 740, 320));
    expect(check(edited).disconnects).toEqual([]);
    expect(told).toBe(0);
    slices();
    expect(told).toBe(1);
    expect(check(edited).pairs).toEqual(check(edited).disconnects.flatMap((id) => createChecker(edited, sheet.id).pairsOf(device(edited, id))));
    expect(check(edited).pairs.map((p) => [p.disconnect, p.verdict])).toEqual([['disconnect-1', 'pass'], ['disconnect-2', 'fail']]);
    // Another scale needs another scene.
    const scaled: Document = { ...before, sheets: before.sheets.map((s) => (s.scale ? { ...s, scale: { ...s.scale, feetPerUnit: 0.3 } } : s)) };
    expect(check(scaled).disconnects).toEqual([]);
    slices();
    expect(check(scaled).pairs.find((p) => p.disconnect === 'disconnect-1')?.verdict).toBe('fail');
  });

  it('stops within its budget and takes the chosen one first', () => {
    const many = Array.from({ length: 30 }, (_, i) => switchOf(`disconnect-n${i}`, `DS-${20 + i}`, 300, 100 + 10 * i, ['load-1']));
    const before = put(plan(), ...many); const { live } = slow(0, 2);
    const after = put(before, motor('load-1', 'M-1', 105, 300));
    const { disconnects, concerned } = live.check(before, after, sheet.id, new Set(['disconnect-n29']));
    expect(disconnects[0]).toBe('disconnect-n29');
    expect(disconnects.length).toBeLessThan(10);
    expect(concerned).toHaveLength(31);
    // A hand that rests gets the others in the frames after.
    let result = live.check(before, after, sheet.id, new Set(['disconnect-n29']));
    for (let frame = 0; frame < 40 && result.open.length > 0; frame += 1) result = live.check(before, after, sheet.id, new Set(['disconnect-n29']), result);
    expect([...result.disconnects].sort()).toEqual([...concerned].sort());
    expect(result.pairs).toEqual(result.disconnects.flatMap((id) => createChecker(after, sheet.id).pairsOf(device(after, id))));
  });
});

describe('what is said', () => {
  it('names the chosen disconnect with each verdict and distance', () => {
    const document = plan();
    expect(announcement({ document, preview: null, selection: ['disconnect-1'], live: null, audit: audited(document) })).toBe("DS-01: M-1 pass, 20'-0\"");
    expect(announcement({ document, preview: null, selection: ['load-2'], live: null, audit: audited(document) })).toBe("M-2: DS-02 pass, 25'-0\"");
    expect(announcement({ document, preview: null, selection: ['load-1', 'load-2'], live: null, audit: null })).toBe('2 marks chosen');
  });
  it('says no verdict of another document', () => {
    const before = plan();
    const preview = put(before, { ...device(before, 'disconnect-1'), at: at(700, 300) });
    expect(announcement({ document: before, preview, selection: ['disconnect-1'], live: null, audit: audited(before) })).toBe('DS-01');
  });
  it('says that a disconnect serves nothing yet', () => {
    const document = put(plan(), { ...device(plan(), 'disconnect-1'), serves: [] });
    expect(announcement({ document, preview: null, selection: ['disconnect-1'], live: null, audit: audited(document) })).toBe('DS-01: serves nothing yet');
  });
});
