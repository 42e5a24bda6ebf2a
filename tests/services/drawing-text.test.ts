import { describe, expect, it } from 'vitest';
import { withPdf } from '../../main/exchange/pdf-document';
import { dxfAsPdf, inspectDxf } from '../../main/exchange/read-dxf';

const group = (pairs: readonly (readonly [number, string | number])[]): string => pairs.map(([code, value]) => `${code}\n${value}\n`).join('');
const HEAD = (page: string | null): string => (page === null ? '' : group([[0, 'SECTION'], [2, 'HEADER'], [9, '$DWGCODEPAGE'], [3, page], [0, 'ENDSEC']]));
/** A drawing of one line of text, its bytes as they stand in the file. */
const drawing = (text: Uint8Array, page: string | null): Uint8Array => new Uint8Array(Buffer.concat([
  Buffer.from(`${HEAD(page)}${group([[0, 'SECTION'], [2, 'ENTITIES'], [0, 'LINE'], [8, '0'], [10, 0], [20, -5], [11, 100], [21, -5], [0, 'TEXT'], [8, '0'], [10, 0], [20, 0], [40, 5]])}1\n`), text,
  Buffer.from(`\n${group([[0, 'ENDSEC'], [0, 'EOF']])}`),
]));
const shown = async (bytes: Uint8Array): Promise<string> => withPdf(await dxfAsPdf(bytes), undefined, async (pdf) => {
  const { items } = await (await pdf.getPage(1)).getTextContent();
  return items.map((item) => ('str' in item ? item.str : '')).join('');
});

describe('texts of a drawing in other scripts', () => {
  // The bytes are those of the code pages' published tables (Unicode mappings CP1251, CP1250, CP1253).
  it.each([
    ['UTF-8, Cyrillic', Buffer.from('насос 5 кВт'), null, 'насос 5 кВт'],
    ['escapes \\U+XXXX', Buffer.from('PUMP \\U+043D\\U+0430\\U+0441\\U+043E\\U+0441'), 'ANSI_1252', 'PUMP насос'],
    ['code page 1251', Buffer.from([0xed, 0xe0, 0xf1, 0xee, 0xf1]), 'ANSI_1251', 'насос'],
    ['code page 1250', Buffer.from([0xe8, 0x65, 0x72, 0x70, 0x61, 0x64, 0x6c, 0x6f]), 'ANSI_1250', 'čerpadlo'],
    ['code page 1253', Buffer.from([0xf0, 0xe1, 0xed, 0xf4, 0xeb, 0xdf, 0xe1]), 'ANSI_1253', 'παντλία'],
    ['code page 1252, as before', Buffer.from([0x4b, 0xfc, 0x68, 0x6c, 0x65, 0x72]), 'ANSI_1252', 'Kühler'],
  ])('%s', async (_name, text, page, wanted) => {
    expect(await shown(drawing(text, page))).toBe(wanted);
  });
  it('letters that no face at hand has show as ?, and the others stay', async () => {
    expect(await shown(drawing(Buffer.from('P-1 漢字 насос'), null))).toBe('P-1 ?? насос');
  });
  it.each([['East Asian', '漢字', 1], ['Japanese', 'ポンプ', 1], ['Korean', '펌프', 1], ['Hebrew', 'משאבה', 1], ['Arabic', 'مضخة', 1], ['Thai', 'ปั๊ม', 1], ['Latin and Greek', 'Kühler παντλία', 0]])('%s: the sheet says how many texts it cannot write', async (_script, text, count) => {
    const [page] = await inspectDxf(drawing(Buffer.from(text), null));
    expect(page!.warnings.filter(({ code }) => code === 'letters-missing').map(({ what }) => what.startsWith('One text of this sheet has letters'))).toEqual(count === 0 ? [] : [true]);
  });
  it('several are counted, each text once', async () => {
    const one = (text: string, y: number): string => group([[0, 'TEXT'], [8, '0'], [10, 0], [20, y], [40, 5], [1, text]]);
    const [page] = await inspectDxf(new Uint8Array(Buffer.from(`${group([[0, 'SECTION'], [2, 'ENTITIES'], [0, 'LINE'], [8, '0'], [10, 0], [20, -5], [11, 100], [21, -5]])}${one('漢字', 0)}${one('pump', 10)}${one('משאבה 1', 20)}${one('насос', 30)}${group([[0, 'ENDSEC'], [0, 'EOF']])}`)));
    expect(page!.warnings.find(({ code }) => code === 'letters-missing')?.what).toMatch(/^2 texts of this sheet have letters/);
  });
  it('the same drawing gives the same bytes, and one in plain letters carries no second face', async () => {
    const bytes = drawing(Buffer.from('насос'), null);
    expect(Buffer.compare(Buffer.from(await dxfAsPdf(bytes)), Buffer.from(await dxfAsPdf(bytes)))).toBe(0);
    expect((await dxfAsPdf(drawing(Buffer.from('pump'), null))).length).toBeLessThan(3000);
  });
});
