import { useEffect, useRef, useState } from 'react';
import type { DragEvent } from 'react';
import { setSheets } from '../../shared-core/document/index';
import type { Id, Sheet } from '../../shared-core/document/index';
import { store } from '../state/store';
import { words } from '../text/index';
import { uiStore } from './ui-store';
import { useApp } from './use-app';

export function changeSheet(id: Id, name: string, change: Partial<Sheet>): void {
  const { document, commit } = store.getState();
  commit(setSheets(document, name, document.sheets.map((s) => (s.id === id ? { ...s, ...change } : s))));
}

export function moveSheet(id: Id, by: -1 | 1): void {
  moveSheetTo(id, store.getState().document.sheets.findIndex((s) => s.id === id) + by);
}

/** Puts a sheet at a place in the order, 0 first: one edit; nothing where it stands there already or the place is none. */
export function moveSheetTo(id: Id, to: number): void {
  const { document, commit } = store.getState();
  const at = document.sheets.findIndex((s) => s.id === id);
  const sheet = document.sheets[at];
  if (!sheet || to === at || to < 0 || to >= document.sheets.length) return;
  const rest = document.sheets.filter((s) => s.id !== id);
  commit(setSheets(document, words.edits.movedSheet(sheet.name), [...rest.slice(0, to), sheet, ...rest.slice(to)]));
}

/** A tab that is dragged says so by this kind, so that a dropped file is never taken for one. */
const TAB = 'application/x-lockstead-sheet';

/** Where a dragged tab would go: before or after the tab under the pointer. */
function sideOf(event: DragEvent<HTMLElement>): 'before' | 'after' {
  const { left, width } = event.currentTarget.getBoundingClientRect();
  return event.clientX < left + width / 2 ? 'before' : 'after';
}

function dropTab(event: DragEvent<HTMLElement>, onto: Id): void {
  const moved = event.dataTransfer.getData(TAB);
  if (moved === '') return;
  event.preventDefault();
  event.stopPropagation();
  const { sheets } = store.getState().document;
  const from = sheets.findIndex((s) => s.id === moved);
  const slot = sheets.findIndex((s) => s.id === onto) + (sideOf(event) === 'after' ? 1 : 0);
  moveSheetTo(moved, from < slot ? slot - 1 : slot);
}

function SheetTab({ sheet, shown }: { sheet: Sheet; shown: boolean }) {
  const [name, setName] = useState<string | null>(null);
  const [drop, setDrop] = useState<'before' | 'after' | null>(null);
  const tab = useRef<HTMLButtonElement>(null);
  useEffect(() => { if (shown) tab.current?.scrollIntoView({ block: 'nearest', inline: 'nearest' }); }, [shown]);
  const finish = (): void => {
    const wanted = name?.trim() ?? '';
    setName(null);
    if (wanted !== '' && wanted !== sheet.name) changeSheet(sheet.id, words.edits.renamedSheet(wanted), { name: wanted });
  };
  if (name !== null) {
    return <input className="tab-name" aria-label={words.sheets.rename} value={name} autoFocus onFocus={(event) => { event.target.select(); }} onChange={(event) => { setName(event.target.value); }} onBlur={finish}
      onKeyDown={(event) => { if (event.key === 'Enter') finish(); else if (event.key === 'Escape') { event.stopPropagation(); setName(null); } }} />;
  }
  return (
    <button ref={tab} type="button" className="tab" role="tab" draggable data-drop={drop ?? undefined}
      onDragStart={(event) => { event.dataTransfer.setData(TAB, sheet.id); event.dataTransfer.effectAllowed = 'move'; }} onDragLeave={() => { setDrop(null); }}
      onDragOver={(event) => { if (event.dataTransfer.types.includes(TAB)) { event.preventDefault(); setDrop(sideOf(event)); } }} onDrop={(event) => { setDrop(null); dropTab(event, sheet.id); }}
      aria-selected={shown} tabIndex={shown ? 0 : -1} title={words.sheets.hint} onClick={() => { store.getState().showSheet(sheet.id); }} onDoubleClick={() => { setName(sheet.name); }}
      onKeyDown={(event) => {
        if (event.key === 'F2') setName(sheet.name);
        else if (event.altKey && event.key === 'ArrowLeft') moveSheet(sheet.id, -1);
        else if (event.altKey && event.key === 'ArrowRight') moveSheet(sheet.id, 1);
        else if (event.key === 'ArrowLeft' || event.key === 'ArrowRight') {
          const { document, showSheet } = store.getState();
          const next = document.sheets[document.sheets.findIndex((s) => s.id === sheet.id) + (event.key === 'ArrowRight' ? 1 : -1)];
          if (!next) return;
          showSheet(next.id);
          const tabs = event.currentTarget.parentElement;
          requestAnimationFrame(() => { tabs?.querySelector<HTMLElement>('[aria-selected="true"]')?.focus(); });
        } else return;
        event.preventDefault();
      }}>
      {sheet.name}{sheet.scale === null && <span className="tab-asks"> {words.devices.noScale}</span>}
    </button>
  );
}

/** The project's sheets, in order; F2 or a double click renames, dragging or Alt+arrow moves. */
export function SheetTabs() {
  const sheets = useApp((s) => s.document.sheets);
  const shown = useApp((s) => s.sheet);
  return (
    <div className="tabs">
      <div role="tablist" aria-label={words.sheets.label} className="tab-list">{sheets.map((sheet) => <SheetTab key={sheet.id} sheet={sheet} shown={sheet.id === shown} />)}</div>
      <button type="button" className="tab-add" onClick={() => { uiStore.getState().openDialog('open-plan'); }}>{words.sheets.add}</button>
    </div>
  );
}
