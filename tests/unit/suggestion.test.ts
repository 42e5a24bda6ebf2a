import { beforeEach, describe, expect, it } from 'vitest';
import { auditDocument } from '../../shared-core/audit/index';
import { finish, suggestPlace, usualWeights } from '../../shared-core/advise/index';
import { putEntities } from '../../shared-core/document/index';
import type { Document } from '../../shared-core/document/index';
import { feet } from '../../shared-core/units/index';
import { acceptance, acceptSuggestion, openLoads, servedLoads, suggestDisconnectsFor, suggestPlaceFor } from '../../renderer/panels/suggest-actions';
import { store } from '../../renderer/state/store';
import { ghostsOf, rankedPlaces, suggestionStore } from '../../renderer/state/suggestion';
import { startSuggesting } from '../../renderer/worker/suggest';
import type { SuggestThread } from '../../renderer/worker/suggest';
import { createSuggester } from '../../renderer/worker/suggester';
import type { SuggestAnswer, SuggestRequest } from '../../renderer/worker/suggester';
import { disconnect, load, plan, wall } from './checks-plan';

const room = wall('R', [[0, 0], [30, 0], [30, 20], [0, 20], [0, 0]], { thickness: feet(0.5), face: 'grounded' });
const document = plan([room, load('a', [8, 8, 2]), load('b', [22, 8, 2]), disconnect('DS-01', [15, 10, 5], ['a'])]);

// Frames and focus are the browser's; these tests ask what is stored and edited.
globalThis.requestAnimationFrame = () => 0;
(globalThis as { document?: unknown }).document ??= { activeElement: null };

/** A thread whose slices run when the test says so. */
function handThread(): { thread: SuggestThread; run: (slices?: number) => void; requests: SuggestRequest[] } {
  const waiting: (() => void)[] = []; const requests: SuggestRequest[] = [];
  const thread: SuggestThread = { postMessage: (request) => { requests.push(request); take(structuredClone(request)); }, onmessage: null, onerror: null, terminate: () => { waiting.length = 0; } };
  let now = 0;
  const take = createSuggester((answer: SuggestAnswer) => { thread.onmessage?.({ data: structuredClone(answer) }); }, (run) => { waiting.push(run); }, () => { now += 10; return now; });
  return { thread, requests, run: (slices = Infinity) => { for (let i = 0; i < slices && waiting.length > 0; i += 1) waiting.shift()?.(); } };
}

const shown = (): ReturnType<typeof suggestionStore.getState> => suggestionStore.getState();
let hand: ReturnType<typeof handThread>;
let stop: () => void = () => undefined;
beforeEach(() => {
  stop();
  shown().close(); shown().resetWeights();
  store.getState().load(document, null);
  hand = handThread();
  stop = startSuggesting(store, suggestionStore, () => hand.thread);
});

describe('asking for a place', () => {
  it('works in slices with progress, and finds what the search itself finds', () => {
    suggestPlaceFor('disconnect-DS-01');
    hand.run(2);
    expect([shown().phase, shown().progress?.of]).toEqual(['working', expect.any(Number)]);
    hand.run();
    expect(shown().phase).toBe('found');
    expect(rankedPlaces(shown(), store.getState().document)).toEqual(finish(suggestPlace(document, 'disconnect-DS-01')).places);
  });
  it('stops at once when cancelled: no answer comes after', () => {
    suggestPlaceFor('disconnect-DS-01');
    hand.run(1);
    shown().stop();
    expect(hand.requests.at(-1)?.type).toBe('stop');
    hand.run();
    expect([shown().phase, shown().found]).toEqual(['stopped', null]);
  });
  it('a failure is said, and nothing is shown', () => {
    suggestPlaceFor('disconnect-none');
    hand.run();
    expect([shown().phase, shown().found]).toEqual(['failed', null]);
    expect(shown().reason).toContain('disconnect-none');
  });
  it.each(['while it works', 'after it was found'])('any edit %s puts it out of date: nothing is shown or can be taken', (when) => {
    suggestPlaceFor('disconnect-DS-01');
    hand.run(when === 'while it works' ? 1 : undefined);
    store.getState().commit(putEntities(store.getState().document, 'moved', [load('b', [23, 8, 2])]));
    hand.run();
    expect([shown().phase, shown().found]).toEqual(['outdated', null]);
    expect(ghostsOf(shown(), store.getState().document)).toEqual([]);
    expect(acceptance(store.getState().document)).toBeNull();
    store.getState().undo();
    expect(shown().phase).toBe('outdated');
  });
  it('what was found is neither shown nor taken for another document, even before the window heard of the change', () => {
    suggestPlaceFor('disconnect-DS-01');
    hand.run();
    const other: Document = { ...document };
    expect(ghostsOf(shown(), other)).toEqual([]);
    expect(acceptance(other)).toBeNull();
  });
  it('other weights rank the same places anew; the usual ones bring the first order back', () => {
    suggestPlaceFor('disconnect-DS-01');
    hand.run();
    const first = rankedPlaces(shown(), document);
    for (const term of ['sight-margin', 'route', 'clear-space', 'height'] as const) shown().weigh(term, 0);
    const near = rankedPlaces(shown(), document);
    const { found } = shown();
    const distances = found?.kind === 'place' ? found.suggestion.found.map((p) => p.score.terms[0]?.value ?? 0) : [];
    expect(near[0]?.score.terms[0]?.value).toBe(Math.min(...distances));
    expect(shown().weights).not.toEqual(usualWeights);
    shown().resetWeights();
    expect(rankedPlaces(shown(), document)).toEqual(first);
  });
});

describe('taking it over', () => {
  it('moves the disconnect in one named edit that undo takes back exactly, and the audit passes its pairs', () => {
    suggestPlaceFor('disconnect-DS-01');
    hand.run();
    const [, second] = rankedPlaces(shown(), document);
    shown().choose(1);
    expect(ghostsOf(shown(), document).map((g) => g.isChosen)).toEqual(rankedPlaces(shown(), document).map((_, i) => i === 1));
    acceptSuggestion();
    const after = store.getState().document;
    expect(after.entities['disconnect-DS-01']).toMatchObject({ at: second?.at, mount: second?.mount, facing: second?.facing, tag: 'DS-01', serves: ['load-a'] });
    expect(store.getState().done.map((e) => e.name)).toEqual(['moved DS-01 to a suggested place']);
    expect(auditDocument(after).pairs.map((p) => p.verdict)).toEqual(['pass']);
    expect(shown().ask).toBeNull();
    store.getState().undo();
    expect(store.getState().document.entities).toEqual(document.entities);
  });
  it('adds new disconnects under the next free tags, all in one edit', () => {
    store.getState().load(plan([room, load('a', [8, 8, 2]), load('b', [22, 8, 2]), disconnect('DS-07', [1, 1, 5], [])]), null);
    expect(openLoads(store.getState().document)).toEqual(['load-a', 'load-b']);
    suggestDisconnectsFor(['load-a', 'load-b']);
    hand.run();
    acceptSuggestion();
    const { document: after, done, selection } = store.getState();
    const made = selection.map((id) => after.entities[id]);
    expect(made.map((d) => (d?.kind === 'disconnect' ? [d.tag, d.serves] : null))).toEqual([['DS-08', ['load-a']], ['DS-09', ['load-b']]]);
    expect(done.map((e) => e.name)).toEqual(['added DS-08, DS-09 as suggested']);
    expect(auditDocument(after).pairs.map((p) => p.verdict)).toEqual(['pass', 'pass']);
    expect(openLoads(after)).toEqual([]);
  });
  it('plans loads anew that have a disconnect: theirs go with it in the same edit, one that serves others stays with those, and undo brings all back', () => {
    const shared = plan([room, load('a', [8, 8, 2]), load('b', [22, 8, 2]), load('c', [15, 15, 2]), disconnect('DS-01', [29, 19, 5], ['a']), disconnect('DS-02', [1, 19, 5], ['b', 'c'], { data: { fedFrom: 'disconnect-DS-01' } })]);
    store.getState().load(shared, null);
    expect([openLoads(shared), servedLoads(shared)]).toEqual([[], ['load-a', 'load-b', 'load-c']]);
    suggestDisconnectsFor(['load-a', 'load-b']);
    hand.run();
    expect(acceptance(shared)?.gone.map((d) => d.tag)).toEqual(['DS-01']);
    acceptSuggestion();
    const { document: after, done } = store.getState();
    expect(after.entities['disconnect-DS-01']).toBeUndefined();
    expect(after.entities['disconnect-DS-02']).toMatchObject({ serves: ['load-c'], data: {} });
    expect([...openLoads(after), ...done.map((e) => e.name)]).toEqual(['added DS-03, DS-04 as suggested']);
    expect(auditDocument(after).results.filter((r) => /^(sight|reach|space|place)/.test(r.check) && r.verdict === 'fail' && r.subject.disconnect !== 'disconnect-DS-02')).toEqual([]);
    store.getState().undo();
    expect(store.getState().document.entities).toEqual(shared.entities);
  });
  it('a load for which nothing is found keeps the disconnect it has, and the others are placed with that one standing', () => {
    // b stands in a closet without room: nothing sees it and has room in front.
    const closet = wall('C', [[20, 6], [22, 6], [22, 9], [20, 9], [20, 6]], { top: feet(12) });
    const shut = plan([room, closet, load('a', [8, 8, 2]), load('b', [21, 7.5, 2]), disconnect('DS-01', [15, 10, 5], ['a']), disconnect('DS-02', [18, 8, 5], ['b'])]);
    store.getState().load(shut, null);
    suggestDisconnectsFor(['load-a', 'load-b']);
    hand.run();
    const { found } = shown();
    expect(found?.kind === 'disconnects' ? [found.suggestion.disconnects.map((d) => d.serves), found.suggestion.without.map((w) => w.load)] : []).toEqual([[['load-a']], ['load-b']]);
    acceptSuggestion();
    expect([store.getState().document.entities['disconnect-DS-01'], store.getState().document.entities['disconnect-DS-02']]).toEqual([undefined, shut.entities['disconnect-DS-02']]);
  });
  it('nothing can be taken while it works, when nothing was found, or after it was closed', () => {
    suggestPlaceFor('disconnect-DS-01');
    hand.run(1);
    expect(acceptance(document)).toBeNull();
    hand.run();
    shown().close();
    acceptSuggestion();
    expect(store.getState().done).toEqual([]);
  });
});
