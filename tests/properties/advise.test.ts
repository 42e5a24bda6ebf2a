import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { unpackProject } from '../../main/files/plan-file';
import { finish, replacedBy, suggestDisconnects, suggestPlace } from '../../shared-core/advise/index';
import type { SuggestedPlace } from '../../shared-core/advise/index';
import { auditDocument } from '../../shared-core/audit/index';
import { entitiesOf } from '../../shared-core/document/index';
import type { Disconnect, Document, Entity, Id } from '../../shared-core/document/index';
import { feet } from '../../shared-core/units/index';
import { block, disconnect, load, plan, rect, wall } from '../unit/checks-plan';

const demo = async (): Promise<Document> => {
  const read = unpackProject(new Uint8Array(await readFile(join(import.meta.dirname, '../../assets/demo/cider-works.lockstead'))), 'project');
  if (!read.ok) throw new Error(read.problem.what);
  return read.value.document;
};
const withEntities = (document: Document, entities: readonly Entity[]): Document => ({ ...document, entities: { ...document.entities, ...Object.fromEntries(entities.map((e) => [e.id, e])) } });
const standing = (device: Disconnect, { at, mount, facing }: SuggestedPlace): Disconnect => ({ ...device, at, mount, facing });

/** What the ordinary audit holds against a device's place: pairs that do not pass, checks of place that fail. */
function faultsOf(document: Document, id: Id): string[] {
  const audit = auditDocument(document);
  const pairs = audit.pairs.filter((p) => p.disconnect === id);
  return [...(pairs.length === 0 ? ['no pair'] : []), ...pairs.filter((p) => p.verdict !== 'pass' || p.viewVerdict !== 'pass' || p.distanceVerdict !== 'pass').map((p) => p.result.title),
    ...audit.results.filter((r) => r.subject.disconnect === id && /^(reach|space|place)\./.test(r.check) && r.verdict === 'fail').map((r) => r.title)];
}
/** Devices whose place the audit holds more against than before. */
const worsened = (before: Document, after: Document): string[] => {
  const failing = (d: Document): Set<string> => new Set(auditDocument(d).results.filter((r) => /^(reach|space|place|sight)\./.test(r.check) && r.verdict === 'fail' && Object.hasOwn(before.entities, r.subject.disconnect ?? '')).map((r) => r.id));
  const known = failing(before);
  return [...failing(after)].filter((id) => !known.has(id));
};

describe('what is suggested passes the ordinary audit once it is taken over', () => {
  it.each(['DS-05', 'DS-08', 'DS-12'])('on the demo, every place for %s', async (tag) => {
    const document = await demo();
    const device = entitiesOf(document, 'disconnect').find((d) => d.tag === tag);
    if (!device) throw new Error(tag);
    const { places } = finish(suggestPlace(document, device.id));
    expect(places.length).toBeGreaterThan(0);
    for (const place of places) {
      const after = withEntities(document, [standing(device, place)]);
      expect(faultsOf(after, device.id)).toEqual([]);
      expect(worsened(document, after)).toEqual([]);
    }
  }, 120_000);

  it('on the demo, new disconnects for loads that lost theirs, all together', async () => {
    const whole = await demo();
    const lost = new Set(['DS-05', 'DS-07', 'DS-08']);
    const document: Document = { ...whole, entities: Object.fromEntries(Object.entries(whole.entities).filter(([, e]) => !(e.kind === 'disconnect' && lost.has(e.tag)) && e.kind !== 'exception')) };
    const loads = entitiesOf(whole, 'disconnect').filter((d) => lost.has(d.tag)).flatMap((d) => d.serves);
    const { disconnects, without, proved } = finish(suggestDisconnects(document, loads));
    expect([disconnects.length, without, proved]).toEqual([loads.length, [], true]);
    const made = disconnects.map(({ place, ...d }, i): Disconnect => standing({ kind: 'disconnect', id: `new-${i}`, tag: `N-${i}`, at: place.at, facing: 0, mount: null, data: {}, sheet: d.sheet, handleHeight: d.handleHeight, standing: d.standing, serves: d.serves }, place));
    const after = withEntities(document, made);
    for (const device of made) expect(faultsOf(after, device.id)).toEqual([]);
    expect(worsened(document, after)).toEqual([]);
  }, 120_000);

  // A room with a tank, a partition and a bench in chance places; three motors, two of which may share.
  const rooms = fc.record({
    width: fc.integer({ min: 14, max: 40 }), height: fc.integer({ min: 12, max: 30 }), tank: fc.tuple(fc.double({ min: 0.1, max: 0.7, noNaN: true }), fc.double({ min: 0.1, max: 0.7, noNaN: true }), fc.constantFrom(3, 9)),
    partition: fc.double({ min: 0.2, max: 0.8, noNaN: true }), gap: fc.double({ min: 0, max: 0.6, noNaN: true }), share: fc.boolean(),
    motors: fc.array(fc.tuple(fc.double({ min: 0.05, max: 0.95, noNaN: true }), fc.double({ min: 0.05, max: 0.95, noNaN: true })), { minLength: 3, maxLength: 3 }),
  });
  it('in chance rooms, for one disconnect and for three loads together', () => {
    fc.assert(fc.property(rooms, ({ width, height, tank: [tx, ty, top], partition, gap, share, motors }) => {
      const x = width * partition;
      const bodies: Entity[] = [wall('R', [[0, 0], [width, 0], [width, height], [0, height], [0, 0]], { thickness: feet(0.5), face: 'grounded' }),
        wall('P', [[x, 0], [x, height * (1 - gap)]], { thickness: feet(0.5), face: 'grounded' }), block('T', rect(width * tx, height * ty, width * (tx + 0.2), height * (ty + 0.2)), 0, top)];
      const data = { kind: 'motor' as const, ...(share ? { conditions: ['one-overcurrent-device'] } : {}) };
      const loads = motors.map(([mx, my], i) => load(`m${i}`, [width * mx, height * my, 2], data));
      const one = disconnect('DS', [1, 1, 5], ['m0']);
      const before = plan([...bodies, ...loads, one]);
      for (const place of finish(suggestPlace(before, one.id)).places) {
        const faults = faultsOf(withEntities(before, [standing(one, place)]), one.id);
        if (faults.length > 0) throw new Error(faults.join('; '));
      }
      const bare = plan([...bodies, ...loads]);
      const { disconnects, without, atLeast } = finish(suggestDisconnects(bare, loads.map((l) => l.id)));
      const made = disconnects.map((d, i): Disconnect => standing(disconnect(`N${i}`, [0, 0, 5], [], { serves: d.serves }), d.place));
      const faults = made.flatMap((d) => faultsOf(withEntities(bare, made), d.id));
      if (faults.length > 0) throw new Error(faults.join('; '));
      // The same loads planned anew while one of them has a disconnect: as it would stand once that one is taken out.
      const anew = finish(suggestDisconnects(before, loads.map((l) => l.id)));
      const { gone, kept } = replacedBy(before, anew.disconnects.flatMap((d) => d.serves));
      const again = anew.disconnects.map((d, i): Disconnect => standing(disconnect(`N${i}`, [0, 0, 5], [], { serves: d.serves }), d.place));
      const left: Document = { ...before, entities: Object.fromEntries(Object.entries(before.entities).filter(([id]) => !gone.some((d) => d.id === id))) };
      const more = again.flatMap((d) => faultsOf(withEntities(left, [...kept, ...again]), d.id));
      if (more.length > 0) throw new Error(`planned anew: ${more.join('; ')}`);
      const served = disconnects.flatMap((d) => d.serves);
      return atLeast <= disconnects.length && new Set(served).size === served.length && served.length + without.length === 3;
    }), { numRuns: 15, endOnFailure: true });
  }, 240_000);
});
