import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { LiveCheck } from '../../renderer/canvas/live-check';
import { auditDocument } from '../../shared-core/audit/index';
import type { Audit } from '../../shared-core/audit/index';
import { createChecker, LiveScenes, sceneOf } from '../../shared-core/checks/index';
import { applyEdit } from '../../shared-core/document/index';
import type { Disconnect, Document, Entity, Id } from '../../shared-core/document/index';
import { feet, sheetUnits } from '../../shared-core/units/index';
import { Feed, Mirror } from '../../renderer/worker/mirror';
import { block, disconnect, exactScale, load, machine, opening, plan, rect, wall } from '../unit/checks-plan';

// Whatever is edited, the scene that follows equals the one built anew, and the live verdicts equal a fresh audit of the same document.
const near = fc.integer({ min: 0, max: 20 }).map((n) => n * 2);
const leaf = fc.constantFrom('none' as const, 'closed' as const, 'normally-open' as const, 'glazed' as const);
/** Corners fall on each other often: the grid is coarse. */
const aWall = fc.record({ id: fc.integer({ min: 0, max: 7 }), points: fc.array(fc.tuple(near, near), { minLength: 2, maxLength: 4 }), thick: fc.constantFrom(0, 0.5, 1), top: fc.integer({ min: 2, max: 10 }), material: fc.constantFrom('opaque' as const, 'glazed' as const, 'mesh' as const), door: fc.option(leaf) })
  .map((w): Entity => wall(`W${w.id}`, w.points, { thickness: feet(w.thick), top: feet(w.top), material: w.material, openings: w.door === null ? [] : [opening(0.5, 2.5, w.door)] }));
const aBlock = fc.record({ id: fc.integer({ min: 0, max: 3 }), x: near, y: near, w: fc.integer({ min: 1, max: 9 }), top: fc.integer({ min: 1, max: 9 }), material: fc.constantFrom('opaque' as const, 'glazed' as const) })
  .map((b): Entity => block(`B${b.id}`, rect(b.x, b.y, b.x + b.w, b.y + b.w), 0, b.top, { material: b.material }));
const aLoad = fc.record({ id: fc.integer({ min: 0, max: 2 }), x: near, y: near, body: fc.constantFrom('none', 'outline', 'top'), machine: fc.boolean() })
  .map(({ id, x, y, body, machine: driven }): Entity => load(`M${id}`, [x, y, 2], { kind: 'motor' }, { ...(body === 'none' ? {} : { outline: rect(x - 1, y - 1, x + 1, y + 1) }), ...(body === 'top' ? { bodyTop: feet(3) } : {}), ...(driven ? { machine: 'machine-X' } : {}) }));
const aMachine = fc.record({ x: near, y: near, outlined: fc.boolean() }).map(({ x, y, outlined }): Entity => machine('X', [x, y, 2], outlined ? { outline: rect(x - 2, y - 2, x + 2, y + 2) } : {}));
const aDevice = fc.record({ id: fc.integer({ min: 0, max: 2 }), x: near, y: near, hung: fc.option(fc.integer({ min: 0, max: 7 })) })
  .map(({ id, x, y, hung }): Entity => disconnect(`D${id}`, [x, y, 5], ['M0', 'M1', 'M2'].slice(id), { mount: hung === null ? null : { wall: `wall-W${hung}`, segment: 0 } }));
const mark = fc.oneof({ weight: 5, arbitrary: aWall }, { weight: 2, arbitrary: aBlock }, aLoad, aMachine, aDevice);
type Edit = (document: Document) => Document;
const put = (...entities: Entity[]): Edit => (document) => ({ ...document, entities: { ...document.entities, ...Object.fromEntries(entities.map((e) => [e.id, e])) } });
const drop = (pick: number): Edit => (document) => {
  const ids = Object.keys(document.entities); const gone = ids[pick % Math.max(1, ids.length)];
  return { ...document, entities: Object.fromEntries(Object.entries(document.entities).filter(([id]) => id !== gone)) };
};
const edit: fc.Arbitrary<Edit> = fc.oneof({ weight: 4, arbitrary: fc.array(mark, { minLength: 1, maxLength: 3 }).map((m) => put(...m)) }, { weight: 1, arbitrary: fc.nat().map(drop) },
  { weight: 1, arbitrary: fc.constantFrom(0, 0.5).map((pick): Edit => (d) => ({ ...d, sheets: d.sheets.map((s) => ({ ...s, scale: { ...exactScale, pickUncertainty: sheetUnits(pick) } })) })) });
const history = fc.record({ start: fc.array(mark, { maxLength: 12 }), pick: fc.constantFrom(0, 0.25), edits: fc.array(edit, { minLength: 1, maxLength: 10 }) })
  .map(({ start, pick, edits }) => {
    const first = plan([...new Map(start.map((e) => [e.id, e])).values()], {}, { ...exactScale, pickUncertainty: sheetUnits(pick) });
    const documents = [first];
    for (const change of edits) documents.push(change(documents.at(-1) ?? first));
    return documents;
  });
const idsOf = (...documents: Document[]): Id[] => [...new Set(documents.flatMap((d) => Object.keys(d.entities)))];
/** Results of one rank may come in the order in which marks were drawn. */
const inOrder = ({ results, pairs, ...rest }: Audit): unknown => ({ ...rest, results: [...results].sort(byId), pairs: [...pairs].sort((a, b) => byId(a.result, b.result)) });
const byId = (a: { id: string }, b: { id: string }): number => (a.id < b.id ? -1 : 1);

describe('scenes that follow edits', () => {
  it('hold the same obstacles, owners and doors as scenes built anew', () => {
    fc.assert(fc.property(history, (documents) => {
      const live = new LiveScenes(documents[0]!);
      live.sheetOf('sheet-1');
      documents.forEach((document, i) => {
        // Told what changed, or left to find out.
        if (i % 2 === 0) live.follow(document, idsOf(documents[Math.max(0, i - 1)]!, document)); else live.follow(document);
        const fresh = sceneOf(document, 'sheet-1'); const { scene, index } = live.sheetOf('sheet-1');
        expect([...scene.scene.obstacles].sort(byId)).toEqual([...fresh.scene.obstacles].sort(byId));
        expect(index?.size).toBe(fresh.scene.obstacles.length);
        for (const obstacle of fresh.scene.obstacles) expect(index?.get(obstacle.id)).toEqual(obstacle);
        expect(new Map(scene.owners)).toEqual(new Map(fresh.owners));
        expect(Object.fromEntries([...scene.obstaclesOf].filter(([, ids]) => ids.length > 0).map(([key, ids]) => [key, [...ids].sort()]))).toEqual(Object.fromEntries([...fresh.obstaclesOf].map(([key, ids]) => [key, [...ids].sort()])));
        expect([...scene.doors].sort((a, b) => (a.obstacle < b.obstacle ? -1 : 1))).toEqual([...fresh.doors].sort((a, b) => (a.obstacle < b.obstacle ? -1 : 1)));
      });
    }), { numRuns: 150 });
  }, 60_000);

  it('hold the same when the edits come while they are being prepared', () => {
    fc.assert(fc.property(history, fc.integer({ min: 0, max: 12 }), (documents, pause) => {
      const first = documents[0]!; const live = new LiveScenes(first);
      let isReady = false;
      for (const document of documents.slice(1)) {
        for (let i = 0; i < pause && !isReady; i += 1) isReady = live.prepareSome('sheet-1');
        live.follow(document);
        isReady = live.readyOf('sheet-1') !== null;
      }
      const fresh = sceneOf(documents.at(-1)!, 'sheet-1'); const { scene, index } = live.sheetOf('sheet-1');
      expect([...scene.scene.obstacles].sort(byId)).toEqual([...fresh.scene.obstacles].sort(byId));
      for (const obstacle of fresh.scene.obstacles) expect(index?.get(obstacle.id)).toEqual(obstacle);
      expect(index?.size).toBe(fresh.scene.obstacles.length);
    }), { numRuns: 100 });
  }, 60_000);

  it('give the live check the verdicts of a fresh audit, after any edit', () => {
    fc.assert(fc.property(history, (documents) => {
      const live = new LiveCheck((document, sheet, scenes) => createChecker(document, sheet, scenes), () => 0);
      let before = createChecker(documents[0]!).checkAll();
      documents.forEach((document, i) => {
        const { disconnects, pairs, concerned } = live.check(documents[Math.max(0, i - 1)]!, document, 'sheet-1', new Set());
        // The audit's pairs are these, made without anything kept.
        const fresh = i === documents.length - 1 ? auditDocument(document).pairs : createChecker(document).checkAll();
        expect(disconnects).toEqual(concerned);
        expect(pairs).toEqual(disconnects.flatMap((id) => fresh.filter((p) => p.disconnect === id)));
        // What the check does not name as concerned stands as it stood.
        for (const pair of fresh) if (!concerned.includes(pair.disconnect)) expect(before.find((p) => p.result.id === pair.result.id)?.verdict).toBe(pair.verdict);
        before = [...fresh];
      });
    }), { numRuns: 60 });
  }, 60_000);

  it('give the audit off the thread what a fresh one finds, however the document was handed over and whatever was on trial between', () => {
    fc.assert(fc.property(history, fc.integer({ min: 1, max: 5 }), fc.array(fc.boolean(), { minLength: 11, maxLength: 11 }), (documents, size, whole) => {
      const mirror = new Mirror();
      const feed = new Feed((portion) => { mirror.take(structuredClone(portion)); }, size);
      let now = documents[0]!;
      documents.forEach((wanted, i) => {
        // As an edit makes it, or a document of which nobody knows how it came about.
        const ids = idsOf(now, wanted).filter((id) => now.entities[id] !== wanted.entities[id]);
        const patches = ids.map((id) => ({ at: 'entity' as const, id, before: now.entities[id] ?? null, after: wanted.entities[id] ?? null }));
        now = whole[i] ? wanted : { ...applyEdit(now, { name: 'edit', patches }), sheets: wanted.sheets };
        feed.follow(now);
        if (i % 3 === 1) { feed.send(); return; }
        while (!feed.send()) continue;
        const trial = mirror.trial([['wall-W0', wall('W0', [[1, 1], [9, 9]], { thickness: feet(0.5) })]]);
        mirror.checkerOf(trial).checkAll();
        expect(mirror.document).toEqual(now);
        expect(Object.keys(mirror.document.entities)).toEqual(Object.keys(now.entities));
        const fresh = auditDocument(now); const kept = auditDocument(mirror.document, mirror.checkerOf(mirror.document));
        expect(inOrder(kept)).toEqual(inOrder(fresh));
      });
    }), { numRuns: 40, endOnFailure: true });
  }, 120_000);

  it('stay right over a long drag: what every read looks through is folded in', () => {
    const still = Array.from({ length: 40 }, (_, i) => wall(`S${i}`, [[i * 10, 0], [i * 10, 30], [i * 10 + 5, 30]], { thickness: feet(0.5) }));
    let document = plan([...still, wall('W', [[0, 60], [40, 60]], { thickness: feet(0.5) }), load('M', [20, 80, 2]), disconnect('D', [20, 50, 5], ['M'])]);
    const live = new LiveScenes(document);
    live.sheetOf('sheet-1');
    for (let step = 0; step < 900; step += 1) {
      const next = put(wall(`S${step % 40}`, [[(step % 40) * 10, 0], [(step % 40) * 10 + (step % 7), 30], [90, 30 + (step % 5)]], { thickness: feet(0.5) }), wall('W', [[step % 3, 60], [10 + (step % 20), 60]], { thickness: feet(0.5) }))(document);
      live.follow(next, idsOf(document, next));
      document = next;
    }
    const { index } = live.sheetOf('sheet-1');
    expect(index?.unsettled).toBeLessThanOrEqual(512);
    expect(createChecker(document, 'sheet-1', live).pairsOf(document.entities['disconnect-D'] as Disconnect)).toEqual(createChecker(document).pairsOf(document.entities['disconnect-D'] as Disconnect));
  });
});
