import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { auditDocument } from '../../shared-core/audit/index';
import { emptyDocument } from '../../shared-core/document/index';
import type { DeviceData, Document, Entity, Sheet } from '../../shared-core/document/index';
import { boundsOf, buildReport, calculationPages, compareTags, drawSheet, findingPages, finishPages, isolationPages, labelPages, schedulePages, stripOf } from '../../shared-core/report/index';
import type { Box, Measure, Report } from '../../shared-core/report/index';
import { amperes, feet, sheetUnits, volts } from '../../shared-core/units/index';

/** Widths of a plain face: enough to lay out by. */
const measure: Measure = (text, size, bold) => text.length * size * (bold ? 0.58 : 0.53);
const point = (x: number, y: number) => ({ x: sheetUnits(x), y: sheetUnits(y) });

const sheet: Sheet = { id: 's', name: 'Ground floor', plan: null, width: sheetUnits(1000), height: sheetUnits(700), level: { name: 'Ground', floor: feet(0) }, fade: 0,
  scale: { feetPerUnit: 0.1, relativeUncertainty: 0.002, pickUncertainty: sheetUnits(1), from: { kind: 'stated', typed: '1" = 7.2 ft', ratio: 86.4, unitsPerPaperInch: 72 } } };
const load = (n: number, x: number, y: number): Entity => ({ kind: 'load', id: `l${n}`, sheet: 's', tag: `M-${n}`, name: 'pump', at: point(x, y), height: feet(2), standing: feet(0), data: { kind: 'motor' } });
const device = (n: number, x: number, y: number, serves: readonly string[]): Entity => ({ kind: 'disconnect', id: `d${n}`, sheet: 's', tag: `DS-${n}`, at: point(x, y), handleHeight: feet(5), standing: feet(0), facing: 0, mount: null, serves, data: {} });
const tank = (x: number, y: number): Entity => ({ kind: 'obstruction', id: 'tank', sheet: 's', label: 'T-1', outline: [point(x - 20, y - 40), point(x + 20, y - 40), point(x + 20, y + 40), point(x - 20, y + 40)], bottom: feet(0), top: feet(12), material: 'opaque' });
const wall = (material: 'opaque' | 'glazed', x: number): Entity => ({ kind: 'wall', id: 'w', sheet: 's', points: [point(x, 100), point(x, 600)], thickness: feet(0.5), bottom: feet(0), top: feet(12), material, openings: [] });

function report(entities: readonly Entity[], facts: Partial<Document['facts']> = {}): Report {
  const empty = emptyDocument();
  const document: Document = { ...empty, facts: { ...empty.facts, ...facts }, sheets: [sheet], entities: Object.fromEntries(entities.map((e) => [e.id, e])) };
  return buildReport(document, auditDocument(document), { date: '2026-01-05' });
}
const only = <T>(list: readonly T[]): T => { const [first] = list; if (first === undefined) throw new Error('empty'); return first; };

describe('what a sight line says on the sheet', () => {
  const lineOf = (entities: readonly Entity[], facts: Partial<Document['facts']> = {}) => only(only(report(entities, facts).sheets).lines);
  it('is its length where all is clear', () => {
    expect(lineOf([load(1, 400, 300), device(1, 200, 300, ['l1'])])).toMatchObject({ state: 'clear', label: "20'-3\"" });
  });
  it('is what stands in between where it is blocked, with the bar at the near side', () => {
    const line = lineOf([load(1, 500, 300), device(1, 200, 300, ['l1']), tank(350, 300)]);
    expect(line).toMatchObject({ state: 'blocked', verdict: 'fail' });
    expect(line.label).toContain('behind T-1');
    expect(line.blockedAt?.[0]).toBeCloseTo(330, 6);
  });
  it('is the glass where it is seen through glass, and no bar', () => {
    const line = lineOf([load(1, 500, 300), device(1, 200, 300, ['l1']), wall('glazed', 350)]);
    expect(line).toMatchObject({ state: 'doubtful' });
    expect(line.label).toContain('through glass');
    expect(line.blockedAt).toBeUndefined();
    expect(['pass', 'marginal']).not.toContain(line.verdict);
  });
  it('is how much too far it is, with the limit marked on the line', () => {
    const line = lineOf([load(1, 800, 300), device(1, 200, 300, ['l1'])]);
    expect(line.label).toMatch(/too far/);
    expect(line.limitShare).toBeCloseTo(50 / Math.hypot(60, 3), 3);
  });
  it('speaks metres in a metric project', () => {
    expect(lineOf([load(1, 400, 300), device(1, 200, 300, ['l1'])], { units: 'metric' }).label).toMatch(/^6\.\d\d m$/);
  });
});

const overlap = (a: Box, b: Box): boolean => a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height;

describe('a drawn sheet', () => {
  it('keeps all labels apart and on the sheet, wherever things stand; what finds no room is listed below', () => {
    const spot = fc.tuple(fc.integer({ min: 0, max: 1000 }), fc.integer({ min: 0, max: 700 }));
    fc.assert(fc.property(fc.array(fc.tuple(spot, spot), { minLength: 1, maxLength: 25 }), (places) => {
      const given = report(places.flatMap(([a, b], i) => [load(i, ...a), device(i, ...b, [`l${i}`])]));
      const one = only(given.sheets);
      const drawing = drawSheet(one, measure);
      drawing.labels.forEach((p, i) => {
        expect(p.box.x >= 0 && p.box.y >= 0 && p.box.x + p.box.width <= one.width && p.box.y + p.box.height <= one.height).toBe(true);
        drawing.labels.slice(i + 1).forEach((q) => { expect(overlap(p.box, q.box)).toBe(false); });
      });
      const strip = stripOf(given, one, drawing, measure);
      const words = strip.marks.flatMap((m) => (m.kind === 'text' ? [m.text] : [])).join(' ');
      for (const omitted of drawing.omitted) expect(words).toContain(omitted.split(' ')[0]);
    }), { numRuns: 25 });
  });

  it.each([400, 700, 1000, 3000])('has a strip below that stays inside %i points of width', (width) => {
    const given = report([load(1, 100, 100), device(1, 200, 200, ['l1']), tank(300, 300)]);
    const one = { ...only(given.sheets), width, height: width * 0.7 };
    const strip = stripOf({ ...given, project: 'A very long name of a project that somebody typed '.repeat(4), site: 'x'.repeat(200) }, one, drawSheet(one, measure), measure);
    const box = boundsOf(strip.marks, measure);
    expect(box.x).toBeGreaterThanOrEqual(-1);
    expect(box.x + box.width).toBeLessThanOrEqual(width + 1);
    expect(box.y + box.height).toBeLessThanOrEqual(strip.height + 1);
  });
});

describe('pages after the sheets', () => {
  it('keep every mark inside the page, however long the words', () => {
    const long = 'A name that somebody typed without any thought for columns, with_one_word_that_is_far_too_long_for_any_of_them_and_must_be_broken '.repeat(3).slice(0, 300);
    const given = report([load(1, 100, 100), device(1, 900, 600, ['l1']), ...Array.from({ length: 40 }, (_, i) => device(i + 2, 20 * i, 300, []))].map((e) => (e.kind === 'load' ? { ...e, name: long } : e)), { name: long, site: long });
    for (const make of [schedulePages, findingPages, calculationPages, labelPages, isolationPages]) {
      const pages = finishPages(given, make(given, measure), 1, 99, measure);
      expect(pages.length).toBeGreaterThan(0);
      for (const page of pages) {
        const box = boundsOf(page.marks, measure);
        const head = page.marks.flatMap((m) => (m.kind === 'text' && m.y < 50 ? [boundsOf([m], measure)] : []));
        head.forEach((a, i) => { head.slice(i + 1).forEach((b) => { expect(overlap(a, b)).toBe(false); }); });
        expect(box.x >= 0 && box.y >= 0 && box.x + box.width <= page.width && box.y + box.height <= page.height, `${make.name}: ${JSON.stringify(box)}`).toBe(true);
      }
    }
  });

  it('list every finding that is no pass, worst first, and never the word of a pass among them', () => {
    const given = report([load(1, 500, 300), device(1, 200, 300, ['l1']), tank(350, 300)]);
    const words = findingPages(given, measure).flatMap((p) => p.marks.flatMap((m) => (m.kind === 'text' ? [m.text] : []))).join(' ');
    expect(given.findings.length).toBeGreaterThan(0);
    expect(given.findings.every((f) => f.result.verdict !== 'pass')).toBe(true);
    expect(words.indexOf('Fail: to be mended')).toBeLessThan(words.indexOf('Incomplete: data is missing'));
  });

  it('release no label and no isolation sheet of a device that does not pass', () => {
    const given = report([load(1, 500, 300), device(1, 200, 300, ['l1']), tank(350, 300), load(2, 700, 500)]);
    for (const make of [labelPages, isolationPages]) {
      const words = make(given, measure).flatMap((p) => p.marks.flatMap((m) => (m.kind === 'text' ? [m.text] : []))).join('\n');
      expect(words, make.name).toContain('Not released');
    }
    const isolation = isolationPages(given, measure).flatMap((p) => p.marks.flatMap((m) => (m.kind === 'text' ? [m.text] : []))).join('\n');
    expect(isolation).toContain('no disconnect on record isolates this load');
  });

  it('print a rating nobody chose only as computed', () => {
    const row = only(report([load(1, 500, 300), device(1, 200, 300, ['l1'])]).schedule);
    for (const text of [row.amperes, row.volts, row.horsepower, row.poles, row.enclosure, row.fuse]) expect(text === '' || text === 'none' || text.includes('(computed)'), text).toBe(true);
  });

  it('mark what is computed from typical figures or memory, in the table and on the page; what was entered is not in doubt', () => {
    const heater: Entity = { kind: 'load', id: 'l1', sheet: 's', tag: 'H-1', name: 'heater', at: point(500, 300), height: feet(2), standing: feet(0), data: { kind: 'continuous', nameplateAmperes: amperes(40), voltage: volts(480), phases: 3 } };
    const switchOf = (data: DeviceData): Entity => ({ kind: 'disconnect', id: 'd1', sheet: 's', tag: 'DS-1', at: point(200, 300), handleHeight: feet(5), standing: feet(0), facing: 0, mount: null, serves: ['l1'], data });
    const of = (data: DeviceData) => report([heater, switchOf(data)]);
    const row = only(of({}).schedule);
    // Lugs and the series of switch ratings are makers' figures, not of the code (README of the tables).
    expect(row.doubts).toMatchObject({ amperes: 'typical', lugs: 'typical' });
    expect(row.toVerify).toMatch(/^typical value: .*Rating.*Lugs/);
    expect(only(of({ ratedAmperes: amperes(60) }).schedule).doubts.amperes).toBeUndefined();
    const printed = schedulePages(of({}), measure).flatMap((p) => p.marks.flatMap((m) => (m.kind === 'text' ? [m.text] : []))).join('\n');
    expect(printed.match(/†/g)?.length ?? 0).toBeGreaterThan(2);
    expect(printed.replaceAll('\n', ' ')).toContain('† rests on typical values');
  });

  it('count tags as people do', () => {
    expect(['DS-10', 'DS-2', 'DS-1', 'A-1'].sort(compareTags)).toEqual(['A-1', 'DS-1', 'DS-2', 'DS-10']);
  });
});
