import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { checkRecord, editionOf } from '../verify/sizing';

// Figures of published worked examples (exam sets, handbooks, trade questions), restated as inputs and results. Each record
// says how it was obtained: 'seen' in a public copy, 'question seen' without its key, from 'memory', or 'constructed' from
// the sections named. They run through the very functions that size a device.
const records = JSON.parse(readFileSync(new URL('../golden/worked-examples.json', import.meta.url), 'utf8')) as Parameters<typeof checkRecord>[0][];

describe('worked examples', () => {
  it.each(records.map((r) => [r.id, r] as const))('%s', (_id, record) => { expect(checkRecord(record)).toEqual([]); });
  it('are all there', () => { expect(records.length).toBe(119); });
  it('a wrong expectation, an unknown key and an unknown topic are failures', () => {
    const [first] = records;
    if (!first) throw new Error('no record');
    const [key = ''] = Object.keys(first.expected);
    expect(checkRecord({ ...first, expected: { [key]: { value: -1, tolerance: 0 } } })).toHaveLength(1);
    expect(checkRecord({ ...first, expected: { nonsense: { value: 1, tolerance: 0 } } })).toEqual(['nonsense: no answer for this key']);
    expect(checkRecord({ ...first, topic: 'nonsense' })).toHaveLength(1);
    expect(checkRecord({ ...first, expected: {} })).toHaveLength(1);
  });
  it.each([['1999', '2017'], ['2011 to 2020', '2020'], ['2023 table text', '2023'], ['2026 page; rule unchanged', '2026'], ['method, not tied to a Code edition', '2023']])("edition words '%s' mean %s", (words, edition) => { expect(editionOf(words)).toBe(edition); });
});
