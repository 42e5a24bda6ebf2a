import { describe, expect, it } from 'vitest';
import { entryPoint, readEntry } from '../../renderer/tools/typed-entry';
import type { EntryRead } from '../../renderer/tools/typed-entry';
import type { Point } from '../../shared-core/document/index';
import { at, sheet } from './tools-workbench';

const place = (text: string, from: Point | null, towards: Point = at(0, 0)): Point | string => {
  const read = readEntry(text, 'US');
  if (!read.ok) return read.reason;
  const point = entryPoint(read.entry, sheet, from, towards);
  return point.ok ? { x: +point.at.x.toFixed(6), y: +point.at.y.toFixed(6) } as Point : point.reason;
};
const kindOf = (read: EntryRead): string => (read.ok ? read.entry.kind : 'refused');

describe('exact entry', () => {
  it('a length goes towards the pointer', () => {
    expect(place("12'-6\"", at(100, 100), at(400, 100))).toEqual(at(225, 100));
    expect(place("10'", at(100, 100), at(100, 0))).toEqual(at(100, 0));
  });

  it('an angle turns anticlockwise from the right, as on a drawn graph', () => {
    expect(place("10' < 90", at(100, 300))).toEqual(at(100, 200));
    expect(place("10'<180", at(300, 300))).toEqual(at(200, 300));
    expect(place("10' < -90°", at(100, 300))).toEqual(at(100, 400));
  });

  it('two lengths go right and up from the last point, and from the lower left corner when there is none', () => {
    expect(place("3', 2'", at(100, 300))).toEqual(at(130, 280));
    expect(place("-3', -2'", at(100, 300))).toEqual(at(70, 320));
    expect(place("3', 2'", null)).toEqual(at(30, 780));
    expect(place("= 3', 2'", at(100, 300))).toEqual(at(30, 780));
  });

  it('a decimal comma is no separator where the unit stands after it', () => {
    expect(kindOf(readEntry('3,2 m', 'metric'))).toBe('length');
    expect(kindOf(readEntry('3 m, 2 m', 'metric'))).toBe('offset');
    expect(kindOf(readEntry('3,5 m; 2,5 m', 'metric'))).toBe('offset');
  });

  it("reads a size as 4' x 2'", () => {
    expect(readEntry("4' x 2'", 'US')).toMatchObject({ ok: true, entry: { kind: 'size', width: 4, height: 2 } });
  });

  it('asks back what has no unit, and each answer can be read', () => {
    for (const text of ['12', '12 < 30', "3', 2", '-4, 2 ft']) {
      const read = readEntry(text, 'US');
      expect(read.ok).toBe(false);
      if (read.ok) continue;
      expect(read.choices.length).toBeGreaterThan(0);
      for (const choice of read.choices) expect(readEntry(choice.text, 'US')).toMatchObject({ ok: true });
    }
    expect(readEntry('-4, 2 ft', 'US')).toMatchObject({ choices: [{ text: '-4 ft,  2 ft' }, { text: '-4 in,  2 ft' }] });
  });

  it('says what is wrong with an angle, an empty entry and a sheet without scale', () => {
    expect(place("10' < north", at(0, 0))).toMatch(/not an angle/);
    expect(place('', at(0, 0))).toMatch(/Write a length/);
    expect(place("10'", null)).toMatch(/a point to start from/);
    const read = readEntry("10'", 'US');
    expect(read.ok && entryPoint(read.entry, { ...sheet, scale: null }, at(0, 0), at(1, 0))).toMatchObject({ ok: false, reason: expect.stringMatching(/no scale/) as string });
  });
});
