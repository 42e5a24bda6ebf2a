import { putEntities, removeEntities } from '../../shared-core/document/index';
import type { DeviceData, Entity, Id, LoadData } from '../../shared-core/document/index';
import { store } from '../state/store';
import { words } from '../text/index';

/** What the person calls a mark: its tag, its label, or its kind. */
export function entityName(entity: Entity): string {
  switch (entity.kind) {
    case 'load': case 'machine': case 'controller': case 'disconnect': case 'supply': return entity.tag;
    case 'obstruction': case 'area': return entity.label === '' ? words.kinds[entity.kind] : entity.label;
    default: return words.kinds[entity.kind];
  }
}

/** Leaves out fields that are undefined: in the file an absent field is absent. */
export function withoutUnset<T extends object>(value: T): T {
  return Object.fromEntries(Object.entries(value).filter(([, v]) => v !== undefined)) as T;
}

/** Changes fields of one mark as one named edit; a field set to undefined is removed. */
export function changeEntity<E extends Entity>(entity: E, what: string, change: { readonly [K in keyof E]?: E[K] | undefined }): void {
  const { document, commit } = store.getState();
  const current = document.entities[entity.id];
  if (!current || current.kind !== entity.kind) return;
  commit(putEntities(document, words.edits.set(what, entityName(current)), [withoutUnset({ ...current, ...change })]));
}

type Owner = Extract<Entity, { kind: 'load' | 'disconnect' }>;
type DataOf<E extends Owner> = E extends { kind: 'load' } ? LoadData : DeviceData;

/** Changes one field of a load's or a device's data; what was typed is kept as a hint beside a load's field. */
export function changeData<E extends Owner, K extends keyof DataOf<E> & string>(entity: E, field: K, what: string, value: DataOf<E>[K] | undefined, typed?: string): void {
  const { document, commit } = store.getState();
  const current = document.entities[entity.id];
  if (!current || current.kind !== entity.kind) return;
  if (current.kind === 'load') {
    const { [field]: _, ...kept } = current.data.typed ?? {};
    const hints = value === undefined || typed === undefined || typed === '' ? kept : { ...kept, [field]: typed.slice(0, 200) };
    const data = withoutUnset({ ...current.data, [field]: value, typed: Object.keys(hints).length > 0 ? hints : undefined });
    commit(putEntities(document, words.edits.set(what, current.tag), [{ ...current, data }]));
  } else if (current.kind === 'disconnect') {
    commit(putEntities(document, words.edits.set(what, current.tag), [{ ...current, data: withoutUnset({ ...current.data, [field]: value }) }]));
  }
}

export function deleteEntities(ids: readonly Id[]): void {
  const { document, commit } = store.getState();
  const present = ids.map((id) => document.entities[id]).filter((e): e is Entity => e !== undefined);
  const first = present[0];
  if (!first) return;
  commit(removeEntities(document, present.length === 1 ? words.edits.deleted(entityName(first)) : words.edits.deletedSeveral(present.length), present.map((e) => e.id)));
}

/** Links or unlinks a load and a disconnect. */
export function setServes(disconnect: Id, load: Id, serves: boolean): void {
  const { document, commit } = store.getState();
  const device = document.entities[disconnect];
  const target = document.entities[load];
  if (device?.kind !== 'disconnect' || target?.kind !== 'load') return;
  const rest = device.serves.filter((id) => id !== load);
  commit(putEntities(document, serves ? words.edits.linked(device.tag, target.tag) : words.edits.unlinked(device.tag, target.tag), [{ ...device, serves: serves ? [...rest, load] : rest }]));
}
