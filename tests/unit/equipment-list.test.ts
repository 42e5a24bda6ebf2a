import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { columnsBelow, guessColumns, readAhead, readEquipment, writeEquipment } from '../../shared-core/exchange/equipment-list';
import { compareEquipment } from '../../shared-core/exchange/equipment-review';
import { guardCell, unguardCell } from '../../shared-core/exchange/cell-guard';
import { readCodeLetter, readPhases, readPower, readVoltage } from '../../shared-core/exchange/equipment-values';
import { applyEdit, emptyDocument, putEntities } from '../../shared-core/document/index';
import type { Document, Load, LoadData } from '../../shared-core/document/index';
import { amperes, feet, horsepower, volts } from '../../shared-core/units/index';

const cells = (text: string): string[][] => text.trim().split('\n').map((line) => line.split('|').map((cell) => cell.trim()));
const read = (text: string) => { const table = cells(text); return readEquipment(table, guessColumns(table)); };

describe('a list read ahead', () => {
  const texts = fc.constantFrom('', 'M-1', 'm-1', 'P-2', '7 1/2 hp', '5', 'about 5', '460', '480/277', '-', '#N/A');
  it('reads as one that was not, whatever the columns were before, and whatever cell was mended since', () => {
    fc.assert(fc.property(fc.array(fc.tuple(texts, texts, texts), { maxLength: 12 }), fc.nat({ max: 11 }), texts, (rows, at, mended) => {
      const [one, other] = [{ head: -1, columns: ['tag', 'horsepower', 'voltage'] as const }, { head: 0, columns: [null, 'voltage', 'tag'] as const }];
      const fresh = (): string[][] => rows.map((row) => [...row]);
      const table = fresh();
      readAhead(table, one, 0, 6);
      expect(readEquipment(table, one)).toEqual(readEquipment(fresh(), one));
      expect(readEquipment(table, other)).toEqual(readEquipment(fresh(), other));
      readAhead(table, one, 6, 99);
      const changed = (from: string[][]): string[][] => from.map((row, i) => (i === at ? [row[0]!, mended, row[2]!] : row));
      expect(readEquipment(changed(table), one)).toEqual(readEquipment(changed(fresh()), one));
    }));
  });
});

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
  it('a tag that stands twice, or is missing, or is too long, is an error; every row of one tag is named', () => {
    const rows = read(`Tag|HP\nP-1|5\np-1|7.5\n|3\nP-1|2\n${'X'.repeat(41)}|1`);
    expect(rows.map((row) => row.errors.map((error) => error.what))).toEqual([['The tag P-1 stands in rows 3, 5 too.'], ['The tag p-1 stands in rows 2, 5 too.'], ['The tag is missing.'], ['The tag P-1 stands in rows 2, 3 too.'], ['The tag is longer than 40 signs.']]);
  });
  it('an error of the spreadsheet is no blank, also in a text column', () => {
    expect(read('Tag|Name|HP\nP-1|#REF!|#DIV/0!')[0]!.errors.map(({ field }) => field)).toEqual(['name', 'horsepower']);
    expect(read('Tag|HP\n#N/A|5')[0]!.errors.map(({ what }) => what)).toEqual(['The tag is missing.', 'The spreadsheet shows the error #N/A here.']);
  });
  it('columns that contradict each other are an error, not the last one wins', () => {
    expect(read('Tag|Volts|Phase\nP-1|460/3/60|1')[0]!.errors).toHaveLength(1);
  });
  it('blank cells and what means nothing are left out', () => {
    expect(read('Tag|HP|Volts\nP-1|N/A|-')[0]!).toMatchObject({ data: { kind: 'other' }, errors: [] });
    expect(read('Tag|HP\n|\nP-1|5')).toHaveLength(1);
  });
  it('a table without heads maps nothing; every column of the widest row can be mapped', () => {
    expect(guessColumns([['a', 'b'], ['1', '2', '3']])).toEqual({ head: -1, columns: [null, null, null] });
    expect(columnsBelow([['Tag'], ['P-1', '5']], 0)).toEqual({ head: 0, columns: ['tag', null] });
  });
  it('rated-load and locked-rotor amperes, code letter, kVA and service factor have columns of their own', () => {
    expect(read('Tag|RLA|LRA|Code|SF|kVA\nC-1|21.5|130|g|1.15|\nT-1|||||75 kVA')).toMatchObject([
      { data: { kind: 'hermetic', ratedLoadAmperes: 21.5, lockedRotorAmperes: 130, codeLetter: 'G', serviceFactor: 1.15 }, errors: [] }, { data: { kva: 75 }, errors: [] }]);
    // NFPA 70 Table 430.7(B) has no letters I, O and Q.
    expect(['I', 'O', 'Q', 'W', 'AB'].map((letter) => readCodeLetter(letter).ok)).toEqual([false, false, false, false, false]);
  });

  /** Any text a tag or a name can hold: also what a spreadsheet would run, quotes, separators and apostrophes. */
  const wild = fc.oneof(fc.string({ unit: 'grapheme', maxLength: 20 }), fc.tuple(fc.constantFrom('=', '+', '-', '@', "'", "'=", "''-", '＝', '"', ';', 'n/a', '#REF! x'), fc.string({ maxLength: 8 })).map((pair) => pair.join('')));
  const some = <T>(value: fc.Arbitrary<T>): fc.Arbitrary<T | undefined> => fc.option(value, { nil: undefined });
  const size = fc.double({ min: 1e-9, max: 1e24, noNaN: true });
  const data = fc.record({
    kind: fc.constantFrom<LoadData['kind']>('motor', 'heater', 'multimotor-cooling', 'fire-pump', 'x-ray', 'other'),
    horsepower: some(fc.oneof(fc.constantFrom(0.25, 0.5, 1, 7.5, 25, 100), size).map(horsepower)), kilowatts: some(size), kva: some(size),
    voltage: some(fc.oneof(fc.constantFrom(120, 208, 230, 460, 480, 575), fc.double({ min: 1, max: 35_000, noNaN: true })).map(volts)), phases: some(fc.constantFrom<1 | 3 | 'dc'>(1, 3, 'dc')),
    nameplateAmperes: some(size.map(amperes)), ratedLoadAmperes: some(size.map(amperes)), lockedRotorAmperes: some(size.map(amperes)), minimumCircuitAmpacity: some(size.map(amperes)), maximumOvercurrent: some(size.map(amperes)),
    codeLetter: some(fc.constantFrom('A', 'G', 'V')), serviceFactor: some(fc.constantFrom(1, 1.15)),
    // Fields that no list holds, and hints that may no longer fit their value.
    conditions: some(fc.constant(['industrial'])), powerFactor: some(fc.constant(0.8)), typed: some(fc.constantFrom({ voltage: '480/277' }, { voltage: '460/3/60' }, { horsepower: '7 1/2', voltage: 'high' })),
  }).map((fields) => Object.fromEntries(Object.entries(fields).filter(([, value]) => value !== undefined)) as unknown as LoadData);
  const project = (loads: readonly Pick<Load, 'tag' | 'name' | 'data'>[]): Document => applyEdit(emptyDocument(), putEntities(emptyDocument(), '', loads.map((load, i): Load => ({ kind: 'load', id: `load-${i}`, sheet: 'sheet-1', at: null, height: feet(2), standing: feet(0), ...load }))));

  it('exporting and importing it again changes nothing, whatever tags, names and data hold', () => {
    fc.assert(fc.property(fc.array(fc.record({ tag: wild, name: wild, data }), { maxLength: 8 }), (list) => {
      const loads = list.map((each, i) => ({ ...each, tag: `${each.tag}${i}` }));
      const table = writeEquipment(loads);
      expect(table.map((row) => row.map((text) => unguardCell(guardCell(text))))).toEqual(table);
      const rows = readEquipment(table, guessColumns(table));
      expect(rows.flatMap((row) => row.errors)).toEqual([]);
      expect(compareEquipment(project(loads), rows).map(({ kind }) => kind)).toEqual(loads.map(() => 'same'));
    }), { seed: 20260711, numRuns: 300 });
  });
  it('no text of an export begins as a formula does', () => {
    fc.assert(fc.property(wild, (text) => { expect(guardCell(text)).not.toMatch(/^[=+\-@\t\r\n＝＋－＠]/); expect(unguardCell(guardCell(text))).toBe(text); }), { seed: 7 });
    expect(guardCell('P-1')).toBe('P-1');
    expect(unguardCell("'tis a pump")).toBe("'tis a pump");
  });

  const pump: Load['data'] = { kind: 'motor', horsepower: horsepower(5), voltage: volts(460), phases: 3, system: 'system-main', conditions: ['industrial'], typed: { voltage: '460/3/60' } };
  const plant = project([{ tag: 'P-1', name: 'Pump', data: pump }, { tag: 'P-2', name: 'Fan', data: { kind: 'motor' } }]);
  it('importing a changed list shows what would change, and what is gone; what the list does not say is kept', () => {
    const [changed, fresh, gone] = compareEquipment(plant, read('Tag|Name|HP\np-1|Pump|7.5\nP-3|New|1'));
    expect(changed).toMatchObject({ kind: 'changed', id: 'load-0', name: 'Pump', fields: [{ field: 'horsepower', before: 5, after: 7.5 }] });
    expect(changed?.kind === 'changed' ? changed.data : null).toEqual({ ...pump, horsepower: 7.5 });
    expect(fresh).toMatchObject({ kind: 'new', row: { tag: 'P-3' } });
    expect(gone).toEqual({ kind: 'gone', id: 'load-1', tag: 'P-2' });
  });
  it('a cell that cannot be read keeps the field as it is', () => {
    expect(compareEquipment(plant, read('Tag|Name|HP|Volts\nP-1|Pump|about 7|460'))[0]).toMatchObject({ kind: 'same', row: { errors: [{ field: 'horsepower' }] } });
  });
  it('a size stated anew in another unit drops the stale one, and says so', () => {
    const [change] = compareEquipment(plant, read('Tag|HP\nP-1|5.5 kW'));
    expect(change).toMatchObject({ kind: 'changed', fields: [{ field: 'kilowatts', after: 5.5 }, { field: 'horsepower', before: 5, after: undefined }] });
    expect(change?.kind === 'changed' && 'horsepower' in change.data).toBe(false);
  });
  it('other volts bring the supply that alone fits them, and lose the hint of the old ones', () => {
    const twoSupplies = { ...plant, facts: { ...plant.facts, systems: [...plant.facts.systems, { id: 'system-low', name: '208Y/120 V', voltage: volts(208), phases: 3 as const, wires: 4, voltsToGround: volts(120) }] } };
    const [change] = compareEquipment(twoSupplies, read('Tag|Volts\nP-1|208'));
    expect(change).toMatchObject({ kind: 'changed', fields: [{ field: 'voltage', before: 460, after: 208 }, { field: 'system', before: 'system-main', after: 'system-low' }], data: { system: 'system-low' } });
    expect(change?.kind === 'changed' ? change.data.typed : 'none').toBeUndefined();
  });
  it('a row that belongs to no load for certain is stopped', () => {
    const twins = project([{ tag: 'P-1', name: '', data: { kind: 'motor' } }, { tag: 'p-1', name: '', data: { kind: 'motor' } }]);
    const panel = applyEdit(plant, putEntities(plant, '', [{ kind: 'supply', id: 'supply-1', sheet: 'sheet-1', tag: 'MDP-1', name: '', at: { x: 0 as never, y: 0 as never }, system: 'system-main', role: 'panel' }]));
    expect(compareEquipment(twins, read('Tag|HP\nP-1|5'))[0]).toMatchObject({ kind: 'stopped', what: 'The project has 2 loads with the tag P-1: give each its own tag first.' });
    expect(compareEquipment(panel, read('Tag|HP\nMDP-1|5\n|3')).slice(0, 2)).toMatchObject([{ kind: 'stopped', what: 'MDP-1 is the tag of a supply in the project.' }, { kind: 'stopped', what: 'The tag is missing.' }]);
  });
});
