import { readFile, readdir } from 'node:fs/promises';
import { describe, expect, it } from 'vitest';
import { factsOf } from '../../renderer/panels/rule-questions';
import { conditionName, environmentChoices, exceptionName, loadKindNames, optionName } from '../../renderer/text/index';
import { placementRules } from '../../shared-core/code-data/index';
import type { LoadKind } from '../../shared-core/document/index';
import { deviceOptions } from '../../shared-core/sizing/index';

const KINDS = Object.keys(loadKindNames) as LoadKind[];

async function sources(): Promise<string> {
  const folders = await Promise.all(['checks', 'sizing'].map(async (f) => { const at = new URL(`../../shared-core/${f}/`, import.meta.url); return (await readdir(at)).filter((n) => n.endsWith('.ts')).map((n) => new URL(n, at)); }));
  return (await Promise.all(folders.flat().map((file) => readFile(file, 'utf8')))).join('\n');
}
const found = (text: string, pattern: RegExp): string[] => [...new Set([...text.matchAll(pattern)].map((m) => m[1] ?? ''))];

describe('what the engine understands is offered', () => {
  it('every fact of a load that a check or the sizing reads, with each kind of load', async () => {
    const text = await sources();
    const read = [...found(text, /conditions(?: \?\? \[\]\))?\??\.includes\('([\w-]+)'\)/g), ...found(text, /\bhas\('([\w-]+)'\)/g), ...found(text, /all\(loads, '([\w-]+)'\)/g)].filter((fact) => fact !== 'dwelling');
    expect(read.length).toBeGreaterThan(6);
    for (const kind of KINDS) {
      const { asked, more } = factsOf({ kind }, false);
      for (const fact of read) expect([...asked, ...more], `${fact} of ${kind}`).toContain(fact);
    }
  });
  it('every fact that a placement rule or its exception turns on stands first with the loads of that rule', () => {
    for (const rule of placementRules) {
      const needs = rule.outOfSight.conditions.flatMap((c) => [...c.needs.filter((n) => n.startsWith('load:')).map((n) => n.slice(5)), ...(c.settledBy === undefined ? [] : [c.settledBy])]);
      for (const kind of rule.loads) for (const fact of [...needs, ...(rule.when?.all ?? []), ...(rule.when?.none ?? [])]) expect(factsOf({ kind: kind as LoadKind }, false).asked, `${fact} of ${kind}`).toContain(fact);
    }
  });
  it('no fact is offered twice, and one on record that no check knows stays in sight', () => {
    const { asked, more } = factsOf({ kind: 'motor', conditions: ['painted-mauve'] }, true);
    expect(new Set([...asked, ...more]).size).toBe(asked.length + more.length);
    expect(asked).toContain('painted-mauve');
  });
  it('every option of a disconnect that the engine reads or proposes', async () => {
    const text = await sources();
    const heavy = /HEAVY_OPTIONS[^[]*\[([^\]]*)\]/.exec(text)?.[1]?.match(/[\w-]+/g) ?? [];
    const read = [...found(text, /options \?\? \[\]\)\.includes\('([\w-]+)'\)/g), ...found(text, /propose\([^,]+, '([\w-]+)'/g), ...heavy];
    expect(read.length).toBeGreaterThan(8);
    for (const option of read) expect(Object.keys(deviceOptions)).toContain(option);
  });
  it('the water that pool equipment keeps away from, among what an area can be', () => { expect(environmentChoices.map((c) => c.value)).toContain('pool-water'); });
  it('in words, never by the stored name', () => {
    for (const kind of KINDS) for (const fact of Object.values(factsOf({ kind }, true)).flat()) expect(conditionName(fact), fact).not.toMatch(/\w-\w+-\w/);
    expect(conditionName('location-labelled')).toBe('equipment labelled with where its disconnect is');
    expect(optionName('early-break-contact')).toBe('early-break auxiliary contact');
    expect(exceptionName('keys-held')).toBe('who holds the key is on record');
  });
});
