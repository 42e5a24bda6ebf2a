/** Group numbers and values of a DXF in file order. */
export interface DxfPairs { readonly codes: readonly number[]; readonly values: readonly string[]; readonly complete: boolean }

/** The groups of one entity or table record; a group may occur many times, and its place matters in some. */
export class Groups {
  constructor(readonly type: string, readonly codes: readonly number[], readonly values: readonly string[]) {}

  text(code: number, otherwise = ''): string {
    const at = this.codes.indexOf(code);
    return at < 0 ? otherwise : this.values[at]!;
  }
  number(code: number, otherwise = 0): number {
    const at = this.codes.indexOf(code);
    if (at < 0) return otherwise;
    const value = Number(this.values[at]);
    return Number.isFinite(value) ? value : otherwise;
  }
  numbers(code: number): number[] {
    const found: number[] = [];
    this.codes.forEach((each, i) => { if (each === code) found.push(Number(this.values[i])); });
    return found.filter(Number.isFinite);
  }
  has(code: number): boolean { return this.codes.includes(code); }
}

export interface DxfEntity { readonly groups: Groups; readonly vertices: readonly Groups[]; readonly attributes: readonly Groups[] }
export interface DxfLayer { readonly name: string; readonly colour: number; readonly trueColour: number | null; readonly visible: boolean }
export interface DxfBlock { readonly name: string; readonly base: readonly [number, number, number]; readonly entities: readonly DxfEntity[] }

export interface DxfFile {
  readonly header: ReadonlyMap<string, Groups>;
  readonly layers: ReadonlyMap<string, DxfLayer>;
  readonly blocks: ReadonlyMap<string, DxfBlock>;
  readonly model: readonly DxfEntity[];
  /** Sheets in paper space, by name. */
  readonly papers: readonly { readonly name: string; readonly entities: readonly DxfEntity[] }[];
  /** True when the section structure was broken and was mended while reading. */
  readonly mended: boolean;
}

const key = (name: string): string => name.toLowerCase();
/** Characters that old versions write as \U+XXXX. */
export const unescapeText = (text: string): string => text.replace(/\\U\+([0-9a-fA-F]{4})/g, (_all, hex: string) => String.fromCharCode(Number.parseInt(hex, 16)));

const STRUCTURE = new Set(['SECTION', 'ENDSEC', 'EOF', 'TABLE', 'ENDTAB', 'CLASS', 'LAYER', 'LTYPE', 'STYLE', 'VPORT', 'VIEW', 'UCS', 'APPID', 'DIMSTYLE', 'BLOCK_RECORD', 'BLOCK', 'ENDBLK', 'VERTEX', 'SEQEND', 'ATTRIB']);

/** Splits the pairs at each group 0; what stands before the first is dropped. */
function* records(pairs: DxfPairs): Generator<Groups> {
  const { codes, values } = pairs;
  for (let at = codes.indexOf(0); at >= 0 && at < codes.length;) {
    let end = codes.indexOf(0, at + 1);
    if (end < 0) end = codes.length;
    yield new Groups(values[at]!, codes.slice(at + 1, end), values.slice(at + 1, end));
    at = end;
  }
}

function headerOf(section: Groups): Map<string, Groups> {
  const header = new Map<string, Groups>();
  for (let at = section.codes.indexOf(9); at >= 0;) {
    let end = section.codes.indexOf(9, at + 1);
    if (end < 0) end = section.codes.length;
    header.set(section.values[at]!.trim(), new Groups('variable', section.codes.slice(at + 1, end), section.values.slice(at + 1, end)));
    at = end < section.codes.length ? end : -1;
  }
  return header;
}

/** Gathers entities with what belongs to them: vertices of a polyline, attributes of an insert. */
class Gatherer {
  readonly entities: { groups: Groups; vertices: Groups[]; attributes: Groups[] }[] = [];
  add(groups: Groups): void {
    const last = this.entities.at(-1);
    if (groups.type === 'VERTEX') last?.vertices.push(groups);
    else if (groups.type === 'ATTRIB') last?.attributes.push(groups);
    else if (groups.type !== 'SEQEND') this.entities.push({ groups, vertices: [], attributes: [] });
  }
}

const isPaper = (entity: DxfEntity): boolean => entity.groups.number(67) === 1;

/**
 * Reads the records of a DXF: header, layers, blocks, and what lies in model space and on its paper sheets.
 * A broken section structure is mended where entities can still be told apart.
 */
export function readDxf(pairs: DxfPairs): DxfFile {
  let header = new Map<string, Groups>();
  const layers = new Map<string, DxfLayer>();
  const blocks = new Map<string, DxfBlock>();
  const blockNames = new Map<string, string>();
  const layouts: { name: string; handle: string }[] = [];
  const main = new Gatherer();
  let block: { groups: Groups; inside: Gatherer } | null = null;
  let section = '';
  let mended = false;
  const closeBlock = (): void => {
    if (!block) return;
    const { groups, inside } = block;
    const name = unescapeText(groups.text(2));
    blocks.set(key(name), { name, base: [groups.number(10), groups.number(20), groups.number(30)], entities: inside.entities });
    block = null;
  };
  for (const record of records(pairs)) {
    switch (record.type) {
      case 'SECTION':
        if (section !== '') mended = true;
        closeBlock();
        section = record.text(2);
        if (section === 'HEADER') header = headerOf(record);
        continue;
      case 'ENDSEC':
        if (section === '') mended = true;
        closeBlock();
        section = '';
        continue;
      case 'LAYER': {
        const name = unescapeText(record.text(2));
        const colour = record.number(62, 7);
        layers.set(key(name), { name, colour: Math.abs(colour), trueColour: record.has(420) ? record.number(420) : null, visible: colour >= 0 && (record.number(70) & 1) === 0 });
        continue;
      }
      case 'BLOCK_RECORD': blockNames.set(record.text(5), record.text(2)); continue;
      case 'LAYOUT': layouts.push({ name: unescapeText(record.values[record.codes.lastIndexOf(1)] ?? ''), handle: record.values[record.codes.lastIndexOf(330)] ?? '' }); continue;
      case 'BLOCK': closeBlock(); block = { groups: record, inside: new Gatherer() }; continue;
      case 'ENDBLK': closeBlock(); continue;
      case 'EOF': closeBlock(); continue;
      default:
    }
    if (section === 'BLOCKS' && block) block.inside.add(record);
    else if (section === 'ENTITIES') main.add(record);
    else if (section === '' && (!STRUCTURE.has(record.type) || ['VERTEX', 'SEQEND', 'ATTRIB'].includes(record.type))) {
      mended = true;
      main.add(record);
    }
  }
  const entities: readonly DxfEntity[] = main.entities;
  const nameOf = (blockName: string): string => layouts.find(({ handle }) => key(blockNames.get(handle) ?? '') === key(blockName))?.name ?? '';
  const papers: { name: string; entities: readonly DxfEntity[] }[] = [{ name: nameOf('*Paper_Space'), entities: entities.filter(isPaper) }];
  for (const found of blocks.values()) {
    if (!/^\*paper_space/i.test(found.name) || found.entities.length === 0) continue;
    papers.push({ name: nameOf(found.name), entities: found.entities });
  }
  return {
    header, layers, blocks, mended,
    model: entities.filter((entity) => !isPaper(entity)),
    papers: papers.filter((paper) => paper.entities.some(({ groups }) => groups.type !== 'VIEWPORT' || groups.number(69) > 1))
      .map((paper, index) => ({ ...paper, name: paper.name || `Sheet ${index + 1}` })),
  };
}
