import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { sizeDevice } from '../../shared-core/sizing/index';
import { projectWith } from '../support/sizing-project';
import { SIZING_CASES } from '../support/sizing-cases';

// What a change of the engine does to a wide set of disconnects shows here line by line. LOCKSTEAD_RENEW=1 writes the file
// anew; the difference is to be reviewed like code. Whether the figures are right is for the other tests, which name sources.
const file = new URL('../golden/sizing-devices.json', import.meta.url);
const linesOf = ([, load, device, more]: (typeof SIZING_CASES)[number]): string[] => {
  const { results } = sizeDevice(projectWith(load, device ?? {}, more ?? {}), 'disconnect-1');
  return [
    ...results.map((r) => [`${r.check.replace('sizing.', '')} ${r.verdict}: ${r.title}`, ...(r.missing.length > 0 ? [`asks ${r.missing.join(' / ')}`] : []),
      ...(r.value !== undefined ? [`= ${typeof r.value === 'string' ? r.value : `${r.value.value} ${r.value.unit}`}`] : []), ...(r.margin ? [`margin ${r.margin.value} ${r.margin.unit}`] : [])].join(' | ')),
  ];
};

describe('a wide set of disconnects', () => {
  const now = Object.fromEntries(SIZING_CASES.map((c) => [c[0], linesOf(c)]));
  if (process.env.LOCKSTEAD_RENEW === '1' || !existsSync(file)) writeFileSync(file, `${JSON.stringify(now, null, 1)}\n`);
  const before = JSON.parse(readFileSync(file, 'utf8')) as Record<string, string[]>;
  it('has one name each', () => { expect(Object.keys(now).length).toBe(SIZING_CASES.length); expect(Object.keys(before)).toEqual(Object.keys(now)); });
  it.each(SIZING_CASES.map((c) => c[0]))('%s', (name) => { expect(now[name]).toEqual(before[name]); });
});
