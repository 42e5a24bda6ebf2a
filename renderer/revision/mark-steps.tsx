import { useState } from 'react';
import { planDistance } from '../../shared-core/document/index';
import type { Document, Entity, Id, Touched } from '../../shared-core/document/index';
import { feet, showLength } from '../../shared-core/units/index';
import { TOUCHED_WITHIN } from '../../shared-core/revision/index';
import { entityName } from '../panels/edit-entity';
import { PickList } from '../panels/pick-list';
import { useApp } from '../panels/use-app';
import type { SheetPatch } from '../state/revision';
import { store } from '../state/store';
import { words } from '../text/index';
import { pointAt } from '../tools/plan-geometry';

/** Chooses a mark and brings the plan along. */
export function goToMark(id: Id): void {
  const { document, select, revealIds } = store.getState();
  if (!Object.hasOwn(document.entities, id)) return;
  select([id]);
  revealIds([id]);
}

/** Walls have no tag: their length tells them apart. */
function markName(document: Document, entity: Entity): string {
  const perUnit = document.sheets.find((s) => s.id === entity.sheet)?.scale?.feetPerUnit;
  if (entity.kind !== 'wall' || perUnit === undefined) return entityName(entity);
  const length = entity.points.reduce((sum, p, i) => sum + (i === 0 ? 0 : planDistance(entity.points[i - 1]!, p)), 0);
  return `${entityName(entity)} ${showLength(feet(length * perUnit), document.facts.units, { finest: 1 })}`;
}

export interface MarkRow { readonly id: Id; readonly why: string }

/** One row a mark, with all the reasons it is listed for, in the order it was met. */
export function rowsOf(document: Document, touched: readonly Touched[]): MarkRow[] {
  const t = words.revision;
  const near = showLength(TOUCHED_WITHIN, document.facts.units);
  const rows = new Map<Id, string[]>();
  for (const one of touched) {
    if (!Object.hasOwn(document.entities, one.id)) continue;
    const ink = t.inkOf(one.gone, one.fresh);
    const load = one.why.kind === 'line' ? document.entities[one.why.load] : undefined;
    const why = one.why.kind === 'near' ? t.near(near, ink) : one.why.kind === 'opening' ? t.openingNear(near, ink) : load ? t.lineCrossed(entityName(load), ink) : ink;
    rows.set(one.id, [...(rows.get(one.id) ?? []), why]);
  }
  return [...rows].map(([id, why]) => ({ id, why: why.join('; ') }));
}

/** Steps through things one after the other; the present one is named by its number. */
export function Steps({ at, count, label, onGo }: { at: number; count: number; label: string; onGo: (to: number) => void }) {
  const t = words.revision;
  return (
    <div className="actions" role="group" aria-label={label}>
      <button type="button" className="chip" disabled={count === 0} onClick={() => { onGo(at <= 0 ? count - 1 : at - 1); }}>{t.previous}</button>
      <button type="button" className="chip" disabled={count === 0} onClick={() => { onGo(at < 0 || at >= count - 1 ? 0 : at + 1); }}>{t.nextOne}</button>
      <span className="step-note" aria-live="polite">{t.placeOf(at + 1, count)}</span>
    </div>
  );
}

/** The marks of a change as a list with next and previous; choosing one brings the plan along. */
export function MarkSteps({ rows, label }: { rows: readonly MarkRow[]; label: string }) {
  const document = useApp((s) => s.document);
  const selection = useApp((s) => s.selection);
  const at = rows.findIndex((row) => selection.length === 1 && row.id === selection[0]);
  const items = rows.flatMap(({ id, why }) => {
    const entity = document.entities[id];
    return entity ? [{ id, label: `${markName(document, entity)}: ${why}`, body: <div className="plan-row"><b>{markName(document, entity)}</b><span>{why}</span></div> }] : [];
  });
  return (
    <>
      <Steps at={at} count={rows.length} label={label} onGo={(to) => { const row = rows[to]; if (row) goToMark(row.id); }} />
      <div className="revision-list"><PickList label={label} items={items} chosen={rows[at]?.id ?? null} onChoose={goToMark} onGo={goToMark} empty={words.revision.touchedNone} /></div>
    </>
  );
}

/** The places that changed, largest first. */
export function PlaceSteps({ patches }: { patches: readonly SheetPatch[] }) {
  const [at, setAt] = useState(-1);
  return <Steps at={at} count={patches.length} label={words.revision.places(patches.length)} onGo={(to) => { setAt(to); const box = patches[to]; if (box) store.getState().revealIds([], [pointAt(box.minX, box.minY), pointAt(box.maxX, box.maxY)]); }} />;
}
