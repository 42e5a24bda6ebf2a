import { useState } from 'react';
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
  const { document, commit } = store.getState();
  const at = document.sheets.findIndex((s) => s.id === id);
  const sheet = document.sheets[at];
  if (!sheet || at + by < 0 || at + by >= document.sheets.length) return;
  const rest = document.sheets.filter((s) => s.id !== id);
  commit(setSheets(document, words.edits.movedSheet(sheet.name), [...rest.slice(0, at + by), sheet, ...rest.slice(at + by)]));
}

function SheetTab({ sheet, shown }: { sheet: Sheet; shown: boolean }) {
  const [name, setName] = useState<string | null>(null);
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
    <button type="button" className="tab" role="tab" aria-selected={shown} tabIndex={shown ? 0 : -1} title={words.sheets.hint} onClick={() => { store.getState().showSheet(sheet.id); }} onDoubleClick={() => { setName(sheet.name); }}
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

/** The project's sheets, in order; F2 or a double click renames, Alt+arrow moves. */
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
