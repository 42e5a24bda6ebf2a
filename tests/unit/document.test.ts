import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import { applyEdit, defaultFacts, emptyDocument, invertEdit, newId, planDistance, putEntities, readDocument, removeEntities, scaleFromDrawing, scaleFromPicks, setFacts, setSheets, toFeet } from '../../shared-core/document/index';
import type { Disconnect, Document, Edit, Load, Sheet, Wall } from '../../shared-core/document/index';
import { feet, sheetUnits } from '../../shared-core/units/index';

const at = (x: number, y: number) => ({ x: sheetUnits(x), y: sheetUnits(y) });
const sheet: Sheet = { id: 'sheet-1', name: 'Press hall', plan: null, width: sheetUnits(1000), height: sheetUnits(800), scale: null, level: { name: 'Ground', floor: feet(0) }, fade: 0 };
const wall: Wall = { kind: 'wall', id: 'wall-1', sheet: 'sheet-1', points: [at(0, 0), at(100, 0)], thickness: feet(0.5), bottom: feet(0), top: feet(10), material: 'opaque',
  openings: [{ id: 'opening-1', segment: 0, from: sheetUnits(10), to: sheetUnits(40), sill: feet(0), head: feet(7), leaf: 'closed' }] };
const load: Load = { kind: 'load', id: 'load-1', sheet: 'sheet-1', tag: 'M-1', name: 'pump', at: at(50, 50), height: feet(2), standing: feet(0), data: { kind: 'motor' } };
const disconnect: Disconnect = { kind: 'disconnect', id: 'disconnect-1', sheet: 'sheet-1', tag: 'DS-1', at: at(20, 1), handleHeight: feet(5), standing: feet(0), facing: 90, mount: { wall: 'wall-1', segment: 0 }, serves: ['load-1'], data: {} };

function project(): Document {
  let document = applyEdit(emptyDocument(), setSheets(emptyDocument(), 'added sheet', [sheet]));
  document = applyEdit(document, putEntities(document, 'placed', [wall, load, disconnect]));
  return document;
}
const broken = (change: (d: { entities: Record<string, Record<string, unknown>>; [key: string]: unknown }) => void): readonly string[] => {
  const copy = structuredClone(project()) as unknown as { entities: Record<string, Record<string, unknown>> };
  change(copy);
  const read = readDocument(copy);
  return read.ok ? [] : read.faults;
};

describe('a project file', () => {
  it('reads back what was written', () => { expect(readDocument(JSON.parse(JSON.stringify(project())))).toEqual({ ok: true, document: project() }); });
  it('words of an earlier issue are read as those of today, and written so', () => {
    const old = JSON.parse(JSON.stringify(project())) as { facts: { overrides: unknown[] }; entities: Record<string, { data: Record<string, unknown> }> };
    const amendment = { id: 'override-1', key: 'service.distance', value: 10, unit: '', reason: 'ordinance', authority: 'town' };
    old.facts.overrides = [amendment, { ...amendment, id: 'override-2', unit: 'ft' }, { ...amendment, id: 'override-3', key: 'handle-height', unit: 'm' }];
    old.entities['disconnect-1']!.data = { options: ['line-side-barrier', 'viewing-window', 'barriered-line-side'] };
    old.entities['load-1']!.data = { kind: 'pool', conditions: ['permanent-barrier', 'one-room'] };
    const untouched = JSON.stringify(old);
    const read = readDocument(old);
    expect(read).toMatchObject({ ok: true, document: { facts: { overrides: [{ key: 'service.inside-length', unit: 'ft' }, { key: 'service.inside-length', unit: 'ft' }, { key: 'handle-height', unit: 'm' }] } } });
    expect(read.ok && (read.document.entities['disconnect-1'] as Disconnect).data.options).toEqual(['barriered-line-side', 'viewing-window']);
    expect(read.ok && (read.document.entities['load-1'] as Load).data.conditions).toEqual(['one-room']);
    expect(JSON.stringify(old)).toBe(untouched);
  });
  it.each<[string, (d: { entities: Record<string, Record<string, unknown>>; [key: string]: unknown }) => void, RegExp]>([
    ['a disconnect that serves a wall', (d) => { d.entities['disconnect-1']!.serves = ['wall-1']; }, /serves: wall-1 is no load/],
    ['a mount on a wall that is gone', (d) => { delete d.entities['wall-1']; }, /mount: wall-1/],
    ['an id that names a built-in property', (d) => { d.entities['__proto__x'] = { ...d.entities['load-1'], id: '__proto__x' }; }, /not an id|Invalid key/],
    ['a key that is not the id', (d) => { d.entities['load-2'] = d.entities['load-1']!; }, /carries the id load-1/],
    ['a wall upside down', (d) => { d.entities['wall-1']!.top = -1; }, /below its bottom/],
    ['an opening beyond the last segment', (d) => { (d.entities['wall-1']!.openings as { segment: number }[])[0]!.segment = 3; }, /no segment 3/],
    ['an unknown field', (d) => { d.entities['load-1']!.run = 'me'; }, /[Uu]nrecognized/],
    ['a number that is none', (d) => { d.entities['load-1']!.height = Number.NaN; }, /height/],
    ['negative horsepower', (d) => { d.entities['load-1']!.data = { kind: 'motor', horsepower: -5 }; }, /greater than zero/],
    ['another format version', (d) => { d.formatVersion = 99; }, /formatVersion/],
    ['an entity on no sheet', (d) => { d.entities['load-1']!.sheet = 'sheet-9'; }, /no sheet of this project/],
  ])('%s is named and refused', (_, change, words) => { expect(broken(change).join('\n')).toMatch(words); });

  it('no value of any type in any field makes the reader throw', () => {
    const paths = Object.keys(project().entities);
    fc.assert(fc.property(fc.constantFrom(...paths), fc.string(), fc.jsonValue(), (id, field, value) => {
      expect(typeof broken((d) => { d.entities[id] = { ...d.entities[id], [field]: value }; }).length).toBe('number');
    }));
  });
});

describe('edits', () => {
  it('any sequence of edits is taken back by undoing it in reverse', () => {
    const someEdit = fc.constantFrom<(d: Document) => Edit>(
      (d) => putEntities(d, 'added', [{ ...load, id: newId('load'), tag: 'M-2' }]),
      (d) => putEntities(d, 'moved', Object.values(d.entities).filter((e): e is Load => e.kind === 'load').map((e) => ({ ...e, at: at(1, 2) }))),
      (d) => removeEntities(d, 'deleted', Object.keys(d.entities).slice(0, 1)),
      (d) => setFacts(d, 'changed facts', { ...defaultFacts(), name: `${d.facts.name}+` }),
      (d) => setSheets(d, 'renamed', d.sheets.map((s) => ({ ...s, name: `${s.name}+` }))),
      (d) => putEntities(d, 'replaced', Object.values(d.entities).map((e) => ({ ...e }))),
    );
    fc.assert(fc.property(fc.array(someEdit, { maxLength: 12 }), (makers) => {
      let document = project();
      const states: Document[] = []; const edits: Edit[] = [];
      for (const make of makers) {
        const edit = make(document);
        states.push(document); edits.push(JSON.parse(JSON.stringify(edit)) as Edit);
        document = applyEdit(document, edit);
        expect(readDocument(JSON.parse(JSON.stringify(document))).ok).toBe(true);
      }
      while (edits.length > 0) { document = applyEdit(document, invertEdit(edits.pop()!)); expect(document).toEqual(states.pop()); }
    }));
  });

  it('an edit built on another revision is a programmer error', () => {
    expect(() => applyEdit(emptyDocument(), { name: 'x', patches: [{ at: 'entity', id: 'load-1', before: load, after: null }] })).toThrow(RangeError);
  });
});

// 1/8" = 1'-0" is 1:96, so one inch of paper is 8 ft; a PDF point is 1/72 in (ISO 32000-1, 8.3.2.3).
describe('scale', () => {
  const pick = (x1: number, x2: number, length: number) => ({ from: at(x1, 0), to: at(x2, 0), length: feet(length), typed: `${length} ft` });
  it('a drawing scale of 1/8" = 1\'-0" on a PDF page makes 72 points 8 ft', () => {
    const read = scaleFromDrawing('1/8" = 1\'-0"', 96, 72, 0.005, sheetUnits(0.5));
    expect(read.ok && toFeet(read.scale, sheetUnits(72))).toBeCloseTo(8, 12);
  });
  it('two picks a known length apart', () => {
    const read = scaleFromPicks([pick(0, 400, 50)], sheetUnits(1));
    if (!read.ok) throw new Error(read.reason);
    expect(toFeet(read.scale, planDistance(at(0, 0), at(300, 400)))).toBeCloseTo(62.5, 12);
    expect(read.scale.relativeUncertainty).toBeCloseTo(Math.SQRT2 / 400, 12);
  });
  it('lengths that disagree widen the uncertainty to cover both', () => {
    const read = scaleFromPicks([pick(0, 400, 50), pick(0, 400, 51)], sheetUnits(0.01));
    expect(read.ok && read.scale.relativeUncertainty).toBeGreaterThan(0.0098);
  });
  it.each([['a zero length', [pick(0, 400, 0)]], ['one point picked twice', [pick(5, 5, 10)]], ['no pick', []], ['a negative length', [pick(0, 400, -3)]], ['no number', [pick(0, 400, Number.NaN)]]])('%s is refused with words', (_, picks) => {
    const read = scaleFromPicks(picks, sheetUnits(1));
    expect(read.ok ? '' : read.reason).not.toBe('');
  });
  it('setting the scale again moves no mark', () => {
    const before = project();
    const read = scaleFromPicks([pick(0, 100, 12)], sheetUnits(1));
    const after = applyEdit(before, setSheets(before, 'set the scale', before.sheets.map((s) => ({ ...s, scale: read.ok ? read.scale : null }))));
    expect(after.entities).toBe(before.entities);
  });
});
