import { describe, expect, it } from 'vitest';
import { placesFor, placesInDocument, standingRegion } from '../../shared-core/advise/index';
import { createChecker } from '../../shared-core/checks/index';
import type { Checker } from '../../shared-core/checks/index';
import { changedIds } from '../../shared-core/document/index';
import type { Disconnect, Document, Entity } from '../../shared-core/document/index';
import { feet } from '../../shared-core/units/index';
import type { LiveCheck } from '../../renderer/canvas/live-check';
import { PlaceWatch } from '../../renderer/canvas/place-watch';
import { NO_PLACE, PlaceFinder, placeSubject } from '../../renderer/canvas/shown-place';
import { Feed, Mirror } from '../../renderer/worker/mirror';
import { RoomDesk } from '../../renderer/worker/room-desk';
import { createRoomWork } from '../../renderer/worker/room-work';
import type { RoomAnswer } from '../../renderer/worker/room-work';
import { block, disconnect, load, machine, plan, point, rect, wall } from './checks-plan';

const room = wall('R', [[0, 0], [40, 0], [40, 24], [0, 24], [0, 0]], { thickness: feet(0.5), face: 'grounded' });
const partition = (x: number): Entity => wall('P', [[x, 0], [x, 16]], { thickness: feet(0.5), face: 'grounded' });
const DS = disconnect('DS', [30, 12, 5], ['M']);
const before = plan([room, partition(20), load('M', [10, 8, 2]), DS]);
const put = (document: Document, ...entities: Entity[]): Document => ({ ...document, entities: { ...document.entities, ...Object.fromEntries(entities.map((e) => [e.id, e])) } });

/** A finder whose waiting work, and the thread it asks, run when the test says so; the thread gets copies, as threads do. */
function byHand(): { finder: PlaceFinder; rest: (steps?: number) => void; changes: () => number } {
  const waiting: (() => void)[] = []; let changes = 0; let room = 0;
  const mirror = new Mirror(); const feed = new Feed((portion) => { mirror.take(structuredClone(portion)); });
  let heard: (answer: RoomAnswer) => void = () => undefined;
  const work = createRoomWork(mirror, (answer) => { heard(structuredClone(answer)); }, (run) => { waiting.push(run); }, () => 100 * room);
  const desk = new RoomDesk();
  heard = (answer) => { desk.answered(answer); };
  desk.connect((id, question) => {
    room = id;
    if (!question) { work({ room: null }); return; }
    // The hand's own device is otherwise than in the document the thread has.
    feed.follow(before);
    while (!feed.send()) continue;
    work(structuredClone({ room: id, revision: 1, device: question.device.id, trial: changedIds(before, question.document).map((e) => [e, question.document.entities[e] ?? null] as const) }));
  });
  const later = (run: () => void): (() => void) => { waiting.push(run); return () => { const at = waiting.indexOf(run); if (at >= 0) waiting.splice(at, 1); }; };
  const finder = new PlaceFinder(() => { changes += 1; }, desk.ask, later, () => 0);
  return { finder, changes: () => changes, rest: (steps = Infinity) => { for (let i = 0; i < steps && waiting.length > 0; i += 1) waiting.shift()?.(); } };
}
/** As the canvas does it: the scene is kept while nothing moves that could stand in a line. */
const scenes = new Map<string, Checker>();
const show = (finder: PlaceFinder, document: Document): ReturnType<PlaceFinder['show']> => {
  const key = JSON.stringify([document.sheets, Object.values(document.entities).filter((e) => e.kind === 'wall' || e.kind === 'obstruction')]);
  const scene = scenes.get(key) ?? createChecker(document);
  scenes.set(key, scene);
  return finder.show(createChecker(document, undefined, scene), document.entities['disconnect-DS'] as Disconnect);
};

describe('the region that is shown', () => {
  it.each([14, 20, 26])('belongs to the wall where it is now: at %i ft a place is in it exactly where the pair check passes', (x) => {
    const { finder } = byHand();
    show(finder, before);
    const shown = put(before, partition(x));
    const { region } = show(finder, shown);
    const checker = createChecker(shown);
    for (let px = 1.37; px < 40; px += 2.9) for (let py = 1.13; py < 24; py += 2.3) {
      const pair = checker.pairsOf({ ...DS, at: point(px, py) })[0];
      expect([px, py, region?.contains(px, py)]).toEqual([px, py, pair?.viewVerdict === 'pass' && pair.distanceVerdict === 'pass']);
    }
  });
  it('follows a load that moves, and takes the uncertainty of the scale off the limit', () => {
    const { finder } = byHand();
    const far = plan([load('M', [100, 100, 5]), disconnect('DS', [110, 100, 5], ['M'])], {}, { feetPerUnit: 1, relativeUncertainty: 0.01, pickUncertainty: before.sheets[0]?.scale?.pickUncertainty ?? (0 as never), from: { kind: 'stated', typed: '1:12', ratio: 12, unitsPerPaperInch: 1 } });
    // 50 ft less 1 %: what lies between is marginal, so no place to promise.
    expect([49.4, 49.8].map((d) => show(finder, far).region?.contains(100 + d, 100))).toEqual([true, false]);
    const moved = put(far, load('M', [120, 100, 5]));
    expect(show(finder, moved).region?.contains(69.8, 100)).toBe(false);
    expect(show(finder, moved).region?.contains(168, 100)).toBe(true);
  });
  it('promises room in front only once it is known for exactly what is shown', () => {
    const { finder, rest, changes } = byHand();
    expect(show(finder, before).roomy).toBeNull();
    rest();
    // Standing room first, the walls after.
    expect(changes()).toBe(2);
    expect(show(finder, before).roomy).toEqual(placesInDocument(before, DS.id).stretches);
    // Its own place changes nothing along the walls; a crate, or another device, does.
    expect(show(finder, put(before, { ...DS, at: point(31, 12) })).roomy).not.toBeNull();
    const crated = put(before, block('C', rect(2, 1, 12, 3), 0, 3));
    expect(show(finder, crated).roomy).toBeNull();
    rest();
    const roomy = show(finder, crated).roomy;
    expect(roomy).toEqual(placesInDocument(crated, DS.id).stretches);
    expect(roomy).not.toEqual(placesInDocument(before, DS.id).stretches);
  });
  it('an answer that comes while others are awaited is shown, and nothing is asked twice', () => {
    const { finder, rest, changes } = byHand();
    show(finder, before);
    rest(2);
    expect(changes()).toBe(1);
    const half = show(finder, before);
    expect([half.isStandingKnown, half.roomy]).toEqual([true, null]);
    const checker = createChecker(before);
    expect(half.standing?.outlines).toEqual(standingRegion(checker, DS, placesFor(checker, DS).region)?.outlines);
    rest();
    expect(changes()).toBe(2);
    expect(show(finder, before).roomy).not.toBeNull();
  });
  it('work for what is no longer shown is dropped', () => {
    const { finder, rest } = byHand();
    show(finder, before);
    const shown = put(before, partition(26));
    show(finder, shown);
    rest();
    expect(show(finder, before).roomy).toBeNull();
    expect(show(finder, shown).roomy).toBeNull();
    rest();
    expect(show(finder, shown).roomy).toEqual(placesInDocument(shown, DS.id).stretches);
  });
});

describe('what becomes known later', () => {
  it('is painted when it does, whatever part of it that is', () => {
    const { region } = show(byHand().finder, before);
    const known = { ...NO_PLACE, of: DS, region };
    let shown = known;
    const asked: string[] = [];
    const watch = new PlaceWatch({ ask: () => shown } as unknown as LiveCheck, (layer) => { asked.push(layer); });
    const askedFor = (place: typeof shown): string[] => {
      shown = place; asked.length = 0;
      watch.follow({ document: { ...before }, sheet: DS.sheet, selection: [DS.id], preview: null });
      return [...asked];
    };
    expect(askedFor(known)).toContain('marks');
    expect(askedFor({ ...known })).toEqual(['hand']);
    for (const part of [{ standing: region }, { isStandingKnown: true }, { roomy: [] }, { seeing: [] as const }, { region: null }]) {
      expect(askedFor({ ...known, ...part }), Object.keys(part).join()).toContain('marks');
      askedFor(known);
    }
    watch.stop();
  });
});

describe('whose region is shown', () => {
  const other = disconnect('OT', [3, 3, 5], ['N']);
  const document = put(before, machine('MC', [12, 8, 2]), load('N', [5, 5, 2]), other);
  const ask = (selection: string[], last?: string, placing?: string): string | undefined => placeSubject(document, 'sheet-1', selection, placing, last);
  it('the chosen or placed disconnect, the only one of a chosen load, and the last one while walls and bodies are chosen', () => {
    expect(ask(['disconnect-DS'])).toBe('disconnect-DS');
    expect(ask([], undefined, 'disconnect-OT')).toBe('disconnect-OT');
    expect(ask(['load-M'])).toBe('disconnect-DS');
    expect(ask(['wall-P'], 'disconnect-DS')).toBe('disconnect-DS');
    expect(ask(['wall-P', 'machine-MC'], 'disconnect-OT')).toBe('disconnect-OT');
  });
  it('nobody’s where it is not clear whose', () => {
    expect(ask([])).toBeUndefined();
    expect(ask([], 'disconnect-DS')).toBeUndefined();
    expect(ask(['wall-P'])).toBeUndefined();
    expect(ask(['wall-P'], 'disconnect-gone')).toBeUndefined();
    expect(ask(['disconnect-DS', 'disconnect-OT'])).toBeUndefined();
    const both = put(document, { ...other, serves: ['load-M', 'load-N'] });
    expect(placeSubject(both, 'sheet-1', ['load-M'], undefined, undefined)).toBeUndefined();
  });
});
