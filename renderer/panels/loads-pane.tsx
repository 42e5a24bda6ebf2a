import { useMemo, useState } from 'react';
import { compareTags, entitiesOf } from '../../shared-core/document/index';
import type { Document, Load } from '../../shared-core/document/index';
import { store } from '../state/store';
import { listWords, words } from '../text/index';
import { deleteEntities } from './edit-entity';
import { loadLine } from './load-line';
import { PickList } from './pick-list';
import { placeLoad } from './place-load';
import { exportList } from './project-actions';
import { QuickEntry } from './quick-entry';
import { unservedLoads } from './step-states';
import { SuggestForOpen } from './suggest-for-open';
import { uiStore } from './ui-store';
import { useApp } from './use-app';

/** A list may bring thousands; the tray shows those at its head. */
const TRAY_AT_ONCE = 60;

function Waiting({ loads, document }: { loads: readonly Load[]; document: Document }) {
  const placing = useApp((s) => s.placing);
  const [shown, setShown] = useState(TRAY_AT_ONCE);
  if (loads.length === 0) return null;
  return (
    <div className="tray" role="group" aria-label={words.loads.tray}>
      <h3 className="pane-title">{words.loads.tray} <span className="pane-count">{String(loads.length)}</span></h3>
      <ul>
        {loads.slice(0, shown).map((load) => (
          <li key={load.id}>
            <button type="button" className="link" onClick={() => { store.getState().select([load.id]); }}>{load.tag}</button> <span>{loadLine(load, document)}</span>
            <button type="button" className="chip" aria-pressed={placing === load.id} aria-label={words.loads.place(load.tag)} onClick={() => { placeLoad(load.id); }}>{placing === load.id ? words.loads.placing : words.loads.placeShort}</button>
          </li>
        ))}
      </ul>
      {shown < loads.length && <button type="button" className="quiet" onClick={() => { setShown(shown + TRAY_AT_ONCE); }}>{listWords.moreWaiting(loads.length - shown)}</button>}
    </div>
  );
}

/** The loads step: a line to type one, the tray of what waits to be placed, and every load with its data. */
export function LoadsPane() {
  const document = useApp((s) => s.document);
  const selection = useApp((s) => s.selection);
  const loads = useMemo(() => entitiesOf(document, 'load').sort((a, b) => compareTags(a.tag, b.tag)), [document]);
  const unserved = useMemo(() => new Set(unservedLoads(document).map((l) => l.id)), [document]);
  const show = (id: string): void => {
    const load = document.entities[id];
    if (load && load.sheet !== store.getState().sheet) store.getState().showSheet(load.sheet);
    store.getState().select([id]);
  };
  return (
    <section className="list-pane" aria-label={words.stepNames.loads}>
      <header className="pane-head"><h2>{words.stepNames.loads}</h2><span className="pane-count">{String(loads.length)}</span><SuggestForOpen /></header>
      <QuickEntry />
      <div className="actions list-actions" role="group" aria-label={listWords.actions}>
        <button type="button" className="chip" onClick={() => { uiStore.getState().openDialog('list'); }}>{listWords.open}</button>
        {loads.length > 0 && <><button type="button" className="chip" onClick={() => { void exportList('csv'); }}>{listWords.csv}</button><button type="button" className="chip" onClick={() => { void exportList('xlsx'); }}>{listWords.xlsx}</button></>}
      </div>
      <Waiting loads={loads.filter((l) => l.at === null)} document={document} />
      <PickList label={words.stepNames.loads} chosen={selection[0] ?? null} empty={words.loads.empty} onChoose={show} onGo={(id) => { show(id); store.getState().revealIds([id]); }} onDelete={(id) => { deleteEntities([id]); }}
        items={loads.filter((l) => l.at !== null).map((load) => ({
          id: load.id, label: [load.tag, loadLine(load, document), unserved.has(load.id) ? words.loads.unserved : ''].filter((t) => t !== '').join(', '),
          body: <div className="plan-row"><b>{load.tag}</b><span>{loadLine(load, document)}</span>{unserved.has(load.id) && <em className="asks-word">{words.loads.unserved}</em>}</div>,
        }))} />
    </section>
  );
}
