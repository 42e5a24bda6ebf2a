import { useMemo } from 'react';
import { compareTags, everyEntity } from '../../shared-core/document/index';
import type { Document, Entity, EntityKind, Id } from '../../shared-core/document/index';
import { feet, showLength } from '../../shared-core/units/index';
import { store } from '../state/store';
import { loadKindNames, words } from '../text/index';
import { deleteEntities, entityName } from './edit-entity';
import { PickList } from './pick-list';
import { useApp } from './use-app';

/** Reading order of the kinds: what the work is about first, the building around it after. */
const KIND_ORDER: readonly EntityKind[] = ['disconnect', 'load', 'machine', 'controller', 'supply', 'route', 'exception', 'obstruction', 'area', 'wall'];

const center = (entity: Entity): { x: number; y: number } | null => {
  if ('at' in entity) return entity.at;
  const points = 'outline' in entity && entity.outline ? entity.outline : 'points' in entity ? entity.points : [];
  if (points.length === 0) return null;
  return { x: points.reduce((sum, p) => sum + p.x, 0) / points.length, y: points.reduce((sum, p) => sum + p.y, 0) / points.length };
};

/** One line about a mark, in trade words; what the search looks through. */
export function entityLine(entity: Entity, document: Document): string {
  const system = document.facts.units;
  switch (entity.kind) {
    case 'disconnect': return [words.kinds.disconnect, ...entity.serves.map((id) => { const load = document.entities[id]; return load ? entityName(load) : ''; })].join(' ');
    case 'load': return [loadKindNames[entity.data.kind], entity.name, entity.at === null ? words.devices.notPlaced : ''].filter((t) => t !== '').join(', ');
    case 'machine': case 'controller': case 'supply': return [words.kinds[entity.kind], entity.name].filter((t) => t !== '').join(', ');
    case 'obstruction': return `${words.kinds.obstruction}, ${showLength(entity.bottom, system)} ${words.list.to} ${showLength(entity.top, system)}`;
    case 'area': return `${words.kinds.area}, ${entity.environments.map((e) => e.replaceAll('-', ' ')).join(', ')}`;
    case 'wall': {
      const scale = document.sheets.find((s) => s.id === entity.sheet)?.scale;
      const run = entity.points.slice(1).reduce((sum, p, i) => sum + Math.hypot(p.x - (entity.points[i]?.x ?? p.x), p.y - (entity.points[i]?.y ?? p.y)), 0);
      return [scale ? showLength(feet(run * scale.feetPerUnit), system, { finest: 1 }) : '', entity.openings.length > 0 ? words.count(entity.openings.length, 'opening') : ''].filter((t) => t !== '').join(', ');
    }
    case 'exception': return entity.reason;
    case 'route': return [entity.from, entity.to].map((id) => { const end = document.entities[id]; return end ? entityName(end) : ''; }).join(' – ');
  }
}

export interface PlanLine { readonly entity: Entity; readonly name: string; readonly line: string; readonly sheet: string }

/** Everything on all sheets in reading order: by sheet, by kind, then by tag, or from top left where there is no tag. */
export function planLines(document: Document, kinds: readonly EntityKind[] | undefined, search: string): PlanLine[] {
  const sheetOrder = new Map(document.sheets.map((s, i) => [s.id, { at: i, name: s.name }]));
  const wanted = search.trim().toLowerCase().split(/\s+/).filter((w) => w !== '');
  const lines = everyEntity(document).filter((e) => kinds === undefined || kinds.includes(e.kind))
    .map((entity) => ({ entity, name: entityName(entity), line: entityLine(entity, document), sheet: sheetOrder.get(entity.sheet)?.name ?? '' }))
    .filter((l) => { const text = `${l.name} ${l.line} ${l.sheet}`.toLowerCase(); return wanted.every((word) => text.includes(word)); });
  const place = (e: Entity): number => { const c = center(e); return c ? Math.round(c.y / 50) * 1e6 + c.x : 0; };
  return lines.sort((a, b) => (sheetOrder.get(a.entity.sheet)?.at ?? 0) - (sheetOrder.get(b.entity.sheet)?.at ?? 0)
    || KIND_ORDER.indexOf(a.entity.kind) - KIND_ORDER.indexOf(b.entity.kind)
    || ('tag' in a.entity ? compareTags(a.name, b.name) : place(a.entity) - place(b.entity)));
}

const choose = (document: Document, id: Id): void => {
  const entity = document.entities[id];
  if (!entity) return;
  const { sheet, showSheet, select } = store.getState();
  if (entity.sheet !== sheet) showSheet(entity.sheet);
  select([id]);
};

/**
 * Everything on the sheets as one keyboard list: the way in for the keyboard and the screen reader. Arrows choose, Enter
 * goes there, Delete removes; the pane below edits, moves by typed coordinates and links, as for a mark chosen by pointer.
 */
export function PlanList({ kinds, search = '' }: { kinds?: readonly EntityKind[]; search?: string }) {
  const document = useApp((s) => s.document);
  const selection = useApp((s) => s.selection);
  const lines = useMemo(() => planLines(document, kinds, search), [document, kinds, search]);
  const title = kinds ? words.stepNames.space : words.list.title;
  const several = document.sheets.length > 1;
  return (
    <section className="list-pane" aria-label={title}>
      <header className="pane-head"><h2>{title}</h2><span className="pane-count">{words.list.marks(lines.length)}</span></header>
      <PickList label={title} chosen={selection[0] ?? null} empty={search === '' ? words.list.empty : words.list.notFound(search)}
        items={lines.map((l) => ({
          id: l.entity.id, label: `${l.name}, ${l.line}`, group: several ? l.sheet : undefined,
          body: <div className="plan-row"><b>{l.name}</b><span>{l.line}</span></div>,
        }))}
        onChoose={(id) => { choose(document, id); }} onGo={(id) => { choose(document, id); store.getState().revealIds([id]); }} onDelete={(id) => { deleteEntities([id]); }} />
    </section>
  );
}
