import { useEffect, useRef } from 'react';
import { useStore } from 'zustand';
import { suggestionStore } from '../state/suggestion';
import { words } from '../text/index';
import { ChosenPane } from './chosen-pane';
import { DeviceList } from './device-list';
import { FindingsList } from './findings-list';
import { HandOverPane } from './hand-over-pane';
import { LoadsPane } from './loads-pane';
import { PlanList } from './plan-list';
import { SpacePane } from './space-pane';
import { PlanPane } from './plan-pane';
import { ScalePane } from './scale-pane';
import { SuggestionPane } from './suggestion-pane';
import { uiStore, useUi } from './ui-store';
import { useApp } from './use-app';

function StepPane() {
  const step = useApp((s) => s.step);
  switch (step) {
    case 'plan': return <PlanPane />;
    case 'scale': return <ScalePane />;
    case 'space': return <SpacePane />;
    case 'loads': return <LoadsPane />;
    case 'disconnects': return <DeviceList />;
    case 'findings': return <FindingsList />;
    case 'hand-over': return <HandOverPane />;
  }
}

function Search() {
  const search = useUi((s) => s.search);
  const box = useRef<HTMLInputElement>(null);
  // Not on focus alone: Tab passes here on its way to the step's own fields, which the list would take away.
  const open = (): void => { if (search === null) uiStore.getState().setSearch(''); };
  return (
    <div className="search">
      <input ref={box} id="plan-search" type="search" placeholder={words.list.search} aria-label={words.list.searchLabel} aria-keyshortcuts="/" value={search ?? ''} autoComplete="off" spellCheck={false}
        onClick={open} onChange={(event) => { uiStore.getState().setSearch(event.target.value); }}
        onKeyDown={(event) => { if (event.key === 'ArrowDown' || event.key === 'Enter') open(); else if (event.key === 'Escape') { event.stopPropagation(); uiStore.getState().setSearch(null); box.current?.blur(); } }} />
      {search !== null && <button type="button" className="quiet" onClick={() => { uiStore.getState().setSearch(null); }}>{words.list.back}</button>}
    </div>
  );
}

/** What the chosen step lists above, the chosen mark below; the search turns the upper part into the plan list. */
export function SidePanel() {
  const search = useUi((s) => s.search);
  const suggests = useStore(suggestionStore, (s) => s.ask !== null);
  const inspect = useApp((s) => s.inspect);
  const nothing = useApp((s) => s.selection.length === 0);
  const chosen = useApp((s) => s.selection.join());
  const lower = useRef<HTMLElement>(null);
  useEffect(() => {
    // Enter or a double click on the plan: the keyboard goes to the first field of the thing.
    if (!inspect) return undefined;
    const frame = requestAnimationFrame(() => { (lower.current?.querySelector<HTMLElement>('input') ?? lower.current)?.focus(); });
    return () => { cancelAnimationFrame(frame); };
  }, [inspect]);
  // Another mark is read from its head on, wherever the one before was left.
  useEffect(() => { if (lower.current) lower.current.scrollTop = 0; }, [chosen]);
  return (
    <aside className="side" aria-label={words.side.label}>
      <Search />
      <div className="side-upper">{search !== null ? <PlanList search={search} /> : suggests ? <SuggestionPane /> : <StepPane />}</div>
      <section ref={lower} className="side-lower" data-empty={nothing ? '' : undefined} aria-label={words.chosen.label} tabIndex={-1} id="chosen"><ChosenPane /></section>
    </aside>
  );
}
