import { PlanCanvas } from '../canvas/index';
import { words } from '../text/index';
import { FirstNotes } from './first-notes';
import { ElevationStrip } from './elevation-strip';
import { SheetTabs } from './sheet-tabs';
import { uiStore } from './ui-store';
import { useApp } from './use-app';
import { PinnedCards } from './why-card';

function NoSheet() {
  return (
    <div className="no-sheet">
      <p>{words.sheets.none}</p>
      <button type="button" className="chip is-main" onClick={() => { uiStore.getState().openDialog('open-plan'); }}>{words.project.addPlan}</button>
    </div>
  );
}

/** The sheet with what lies over and under it: pinned cards, sheet tabs, the elevation of the chosen sight line. */
export function SheetArea() {
  const hasSheet = useApp((s) => s.sheet !== null);
  return (
    <main className="sheet-area">
      <div className="sheet">
        {hasSheet ? <PlanCanvas /> : <NoSheet />}
        <PinnedCards />
      </div>
      <FirstNotes />
      <ElevationStrip />
      <SheetTabs />
    </main>
  );
}
