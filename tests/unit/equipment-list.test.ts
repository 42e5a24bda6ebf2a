import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { compareEquipment, guessColumns, readEquipment, writeEquipment } from '../../shared-core/exchange/equipment-list';
import { readPhases, readPower, readVoltage } from '../../shared-core/exchange/equipment-values';
import type { LoadData } from '../../shared-core/document/index';
import { amperes, horsepower, volts } from '../../shared-core/units/index';

const cells = (text: string): string[][] => text.trim().split('\n').map((line) => line.split('|').map((cell) => cell.trim()));
const read = (text: string) => { const table = cells(text); return readEquipment(table, guessColumns(table)); };

describe('values as the trade writes them', () => {
  it.each([['7 1/2 hp', 7.5], ['7-1/2HP', 7.5], ['7½', 7.5], ['1/3', 1 / 3], ['25', 25], ['0.5 hp', 0.5], ['7,5', 7.5]])('%s', (text, value) => {
    expect(readPower(text, 'hp')).toEqual({ ok: true, value: { horsepower: value } });
  });
  it.each([['5.5 kW', 5.5], ['750 W', 0.75]])('%s is no horsepower', (text, value) => {
    expect(readPower(text, 'hp')).toEqual({ ok: true, value: { kilowatts: value } });
  });
  it.each([['480', { voltage: 480 }], ['460 V', { voltage: 460 }], ['480/277', { voltage: 480 }], ['277/480V', { voltage: 480 }], ['480Y/277', { voltage: 480 }],
    ['460/3/60', { voltage: 460, phases: 3 }], ['208-1-60', { voltage: 208, phases: 1 }], ['480 V 3 ph', { voltage: 480, phases: 3 }], ['4.16 kV', { voltage: 4160 }], ['240 V DC', { voltage: 240, phases: 'dc' }]])('%s volts', (text, value) => {
    expect(readVoltage(text)).toEqual({ ok: true, value });
  });
  it.each([['3', 3], ['3 ph', 3], ['3Ø', 3], ['Three-phase', 3], ['1', 1], ['single phase', 1], ['DC', 'dc']])('%s phases', (text, value) => { expect(readPhases(text)).toEqual({ ok: true, value }); });
  it.each(['-5', '0', 'abc', '1,200', '5/0', ''])('%j is refused with a reason', (text) => {
    expect(readPower(text, 'hp')).toMatchObject({ ok: false, what: expect.stringMatching(/\w/) as string });
  });
});

describe('an equipment list', () => {
  it('columns are found below a title, in any order', () => {
    const table = cells(`Press hall equipment||||
      HP|Volts/Ph|Equip. No.|Description|MCA|MOCP
      7 1/2|480/277|P-1|Must pump||
      |208-3-60|CU-2|Cold room|34.2|50 A`);
    const map = guessColumns(table);
    expect(map).toEqual({ head: 1, columns: ['horsepower', 'voltage', 'tag', 'name', 'mca', 'mocp'] });
    expect(readEquipment(table, map)).toMatchObject([
      { row: 2, tag: 'P-1', name: 'Must pump', data: { kind: 'motor', horsepower: 7.5, voltage: 480, typed: { voltage: '480/277' } }, errors: [] },
      { row: 3, tag: 'CU-2', data: { kind: 'multimotor-cooling', voltage: 208, phases: 3, minimumCircuitAmpacity: 34.2, maximumOvercurrent: 50 }, assumed: ['kind: multimotor-cooling'] },
    ]);
  });
  it('errors are named per cell; the rest of the row is read', () => {
    const [row] = read('Tag|HP|Volts|Phase\nP-1|-5|about 480|3 ph');
    expect(row!.errors.map(({ column, text }) => [column, text])).toEqual([[1, '-5'], [2, 'about 480']]);
    expect(row!.data).toEqual({ kind: 'other', phases: 3 });
  });
  it('a tag that stands twice, or is missing, is an error', () => {
    const rows = read('Tag|HP\nP-1|5\np-1|7.5\n|3');
    expect(rows.map((row) => row.errors.map((error) => error.what))).toEqual([[], ['The tag p-1 stands in row 2 too.'], ['The tag is missing.']]);
  });
  it('columns that contradict each other are an error, not the last one wins', () => {
    expect(read('Tag|Volts|Phase\nP-1|460/3/60|1')[0]!.errors).toHaveLength(1);
  });
  it('blank cells and what means nothing are left out', () => {
    expect(read('Tag|HP|Volts\nP-1|N/A|-')[0]!).toMatchObject({ data: { kind: 'other' }, errors: [] });
    expect(read('Tag|HP\n|\nP-1|5')).toHaveLength(1);
  });
  it('a table without heads maps nothing', () => { expect(guessColumns([['a', 'b'], ['1', '2']]).columns).toEqual([null, null]); });

  const load = fc.record({
    kind: fc.constantFrom<LoadData['kind']>('motor', 'heater', 'multimotor-cooling', 'fire-pump', 'other'),
    horsepower: fc.option(fc.constantFrom(0.25, 0.5, 1, 7.5, 25, 100).map(horsepower), { nil: undefined }), kilowatts: fc.option(fc.double({ min: 0.01, max: 500, noNaN: true }), { nil: undefined }),
    voltage: fc.option(fc.constantFrom(120, 208, 230, 460, 480, 575).map(volts), { nil: undefined }), phases: fc.option(fc.constantFrom<1 | 3 | 'dc'>(1, 3, 'dc'), { nil: undefined }),
    nameplateAmperes: fc.option(fc.integer({ min: 1, max: 999 }).map(amperes), { nil: undefined }),
  }).map((data) => Object.fromEntries(Object.entries(data).filter(([, value]) => value !== undefined)) as unknown as LoadData);

  it('exporting and importing it again changes nothing', () => {
    fc.assert(fc.property(fc.array(load, { maxLength: 8 }), (list) => {
      const loads = list.map((data, i) => ({ id: `l${i}`, tag: `M-${i}`, name: `Load ${i}`, data }));
      const table = writeEquipment(loads).map((row) => row.map((text) => text));
      // Exponents are not how people write numbers; none occur in this range.
      const rows = readEquipment(table, guessColumns(table));
      expect(rows.flatMap((row) => row.errors)).toEqual([]);
      expect(rows.map(({ tag, name, data }) => ({ tag, name, data }))).toEqual(loads.map(({ tag, name, data }) => ({ tag, name, data })));
      expect(compareEquipment(loads, rows).every((change) => change.kind === 'same')).toBe(true);
    }), { seed: 20260711 });
  });
  it('importing a changed list shows what would change, and what is gone', () => {
    const loads = [{ id: 'a', tag: 'P-1', name: 'Pump', data: { kind: 'motor', horsepower: horsepower(5) } as LoadData }, { id: 'b', tag: 'P-2', name: 'Fan', data: { kind: 'motor' } as LoadData }];
    expect(compareEquipment(loads, read('Tag|Name|HP\nP-1|Pump|7.5\nP-3|New|1'))).toMatchObject([
      { kind: 'changed', id: 'a', fields: [{ field: 'horsepower', before: '5', after: '7.5' }] }, { kind: 'new', row: { tag: 'P-3' } }, { kind: 'gone', tag: 'P-2' },
    ]);
  });
});
