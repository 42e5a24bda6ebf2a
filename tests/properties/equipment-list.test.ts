import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { makeList } from '../../main/hand-over';
import { readTable } from '../../main/exchange/read-table';
import { emptyDocument } from '../../shared-core/document/index';
import type { Document, Load, LoadData } from '../../shared-core/document/index';
import { compareEquipment, guessColumns, readEquipment, tagKey } from '../../shared-core/exchange/index';
import { amperes, feet, horsepower, volts } from '../../shared-core/units/index';

/** What a spreadsheet would run or change, beside ordinary words and letters of other scripts. A failed formula (#N/A) is no tag and is refused. */
const word = fc.constantFrom('=1+1', '-5', '+1', '@SUM(A1)', "'quoted", "'=x", '\uff1d1', '007', '1e3', '1/2', '3-4', 'TRUE', 'pump', 'Kühler', 'насос', 'a,b', 'a;b', 'a\tb', 'say "so"', '|');
const words = fc.array(word, { minLength: 1, maxLength: 3 }).map((parts) => parts.join(' '));
const data: fc.Arbitrary<LoadData> = fc.record({
  horsepower: fc.constantFrom(0.5, 7.5, 10, 1 / 3, 1e-3, 250), phases: fc.constantFrom(1, 3), voltage: fc.constantFrom(115, 208, 230, 460, 575), nameplateAmperes: fc.option(fc.constantFrom(4.8, 21, 0.1 + 0.2)),
}).map(({ horsepower: power, phases, voltage, nameplateAmperes }) => ({
  kind: 'motor' as const, horsepower: horsepower(power), phases: phases, voltage: volts(voltage), ...(nameplateAmperes === null ? {} : { nameplateAmperes: amperes(nameplateAmperes) }),
}));
const loads = fc.uniqueArray(fc.record({ tag: words, name: fc.oneof(words, fc.constant('')), data }), { selector: (load) => tagKey(load.tag), minLength: 1, maxLength: 12 })
  .map((all) => all.map(({ tag, name, data: of }, i): Load => ({ kind: 'load', id: `load-${i}`, sheet: 'sheet-1', tag, name, at: null, height: feet(1), standing: feet(0), data: of })));

describe('an equipment list that is exported and imported again', () => {
  it.each(['csv', 'xlsx'] as const)('%s: changes nothing, whatever the cells look like', async (format) => {
    await fc.assert(fc.asyncProperty(loads, async (all) => {
      const document: Document = { ...emptyDocument(), entities: Object.fromEntries(all.map((load) => [load.id, load])) };
      const made = makeList(document, format);
      if (!made.ok) throw new Error(made.problem.what);
      const cells = await readTable(made.value.bytes);
      const changes = compareEquipment(document, readEquipment(cells, guessColumns(cells)));
      expect(changes.map((change) => [change.kind, change.kind === 'changed' ? change.fields : []])).toEqual(all.map(() => ['same', []]));
    }), { numRuns: format === 'csv' ? 200 : 40 });
  }, 120_000);
});
