import { entitiesOf, fittingSystem, fittingSystems } from '../document/index';
import type { Document, Id, Load, LoadData } from '../document/index';
import { DATA_FIELDS, DATA_KEYS, LONGEST_TAG, plainText, tagKey } from './equipment-list';
import type { ListField, ListRow } from './equipment-list';

/** One field that taking the row would change; undefined stands for 'not given'. A supply system is told by its id. */
export interface FieldChange { readonly field: Exclude<ListField, 'tag'> | 'system'; readonly before: string | number | undefined; readonly after: string | number | undefined }

/** What importing a row of the list, or leaving a load out of it, would mean for the project. */
export type ListChange =
  | { readonly kind: 'new'; readonly row: ListRow; readonly data: LoadData }
  | { readonly kind: 'same'; readonly row: ListRow; readonly id: Id }
  /** name and data are what the load would have afterwards. */
  | { readonly kind: 'changed'; readonly row: ListRow; readonly id: Id; readonly name: string; readonly data: LoadData; readonly fields: readonly FieldChange[] }
  /** The row belongs to no load for certain and can make none; what says why. */
  | { readonly kind: 'stopped'; readonly row: ListRow; readonly what: string }
  /** A load of the project that the list does not hold. */
  | { readonly kind: 'gone'; readonly id: Id; readonly tag: string };

/** Of two ways to state one size, changing the one makes the other stale. */
const SAME_SIZE: Readonly<Partial<Record<ListField, ListField>>> = { horsepower: 'kilowatts', kilowatts: 'horsepower' };

/**
 * What importing a list would change, by tag. A field that the list leaves blank, or whose cell could not be read, is
 * kept as it is. Nothing is decided here: every change is for a person to take or leave.
 * @param document  loads, other tags and supply systems are looked up in it
 * @returns the rows in table order, then the loads that the list does not hold
 */
export function compareEquipment(document: Pick<Document, 'facts' | 'entities'>, rows: readonly ListRow[]): ListChange[] {
  const loads = entitiesOf(document as Document, 'load');
  const byTag = new Map<string, Load[]>();
  for (const load of loads) byTag.set(tagKey(load.tag), [...(byTag.get(tagKey(load.tag)) ?? []), load]);
  const others = new Map(Object.values(document.entities).flatMap((e) => (e.kind !== 'load' && 'tag' in e ? [[tagKey(e.tag), e.kind] as const] : [])));
  const listed = new Set(rows.map((row) => tagKey(row.tag)));
  const changes = rows.map((row): ListChange => {
    const wrongTag = row.errors.find((error) => error.field === 'tag');
    const found = byTag.get(tagKey(row.tag)) ?? [];
    const [load] = found;
    // A tag that stands twice in the list can be settled by taking one of the rows; a tag that is none cannot.
    if (wrongTag && (row.tag === '' || row.tag.length > LONGEST_TAG)) return { kind: 'stopped', row, what: wrongTag.what };
    if (found.length > 1) return { kind: 'stopped', row, what: `The project has ${found.length} loads with the tag ${row.tag}: give each its own tag first.` };
    if (load) return changeOf(load, row, document);
    const other = others.get(tagKey(row.tag));
    if (other !== undefined) return { kind: 'stopped', row, what: `${row.tag} is the tag of a ${other} in the project.` };
    const system = fittingSystem(row.data, document);
    return { kind: 'new', row, data: system === undefined ? row.data : { ...row.data, system } };
  });
  return [...changes, ...loads.filter((load) => !listed.has(tagKey(load.tag))).map(({ id, tag }): ListChange => ({ kind: 'gone', id, tag }))];
}

function changeOf(load: Load, row: ListRow, document: Pick<Document, 'facts'>): ListChange {
  const fields: FieldChange[] = [];
  const data: Record<string, unknown> = { ...load.data };
  const set = (field: Exclude<ListField, 'tag' | 'name'>, after: string | number | undefined): void => {
    const key = DATA_KEYS[field];
    fields.push({ field, before: load.data[key], after });
    if (after === undefined) delete data[key]; else data[key] = after;
  };
  for (const field of DATA_FIELDS) {
    const after = row.data[DATA_KEYS[field]];
    const isGuess = field === 'kind' && row.assumed.length > 0;
    if (after !== undefined && after !== load.data[DATA_KEYS[field]] && !isGuess) set(field, after);
  }
  for (const { field } of [...fields]) {
    const twin = SAME_SIZE[field as ListField] as 'horsepower' | 'kilowatts' | undefined;
    if (twin && row.data[twin] === undefined && load.data[twin] !== undefined && !fields.some((f) => f.field === twin)) set(twin, undefined);
  }
  const touched = new Set<string>(fields.map(({ field }) => DATA_KEYS[field as keyof typeof DATA_KEYS]));
  if (touched.size > 0) data['typed'] = hints(load.data.typed, row.data.typed, touched);
  if (data['typed'] === undefined) delete data['typed'];
  const fits = fittingSystems(data, document);
  const system = fits.length === 1 ? fits[0] : undefined;
  if ((touched.has('voltage') || touched.has('phases')) && system !== undefined && (load.data.system === undefined || !fits.includes(load.data.system))) {
    fields.push({ field: 'system', before: load.data.system, after: system });
    data['system'] = system;
  }
  const renamed = row.name !== '' && row.name !== plainText(load.name);
  if (renamed) fields.unshift({ field: 'name', before: load.name, after: row.name });
  return fields.length === 0 ? { kind: 'same', row, id: load.id }
    : { kind: 'changed', row, id: load.id, fields, name: renamed ? row.name : load.name, data: data as unknown as LoadData };
}

/** What was typed goes with its value: a field that changed takes the list's wording, or none. */
function hints(before: LoadData['typed'], listed: LoadData['typed'], touched: ReadonlySet<string>): LoadData['typed'] {
  const kept = Object.entries({ ...before }).filter(([key]) => !touched.has(key));
  const added = Object.entries({ ...listed }).filter(([key]) => touched.has(key));
  return kept.length + added.length === 0 ? undefined : Object.fromEntries([...kept, ...added]);
}
