import { PlanCanvas } from '../canvas/index';
import { CompareBar, PickDesk } from '../revision/index';
import { useRevision } from '../state/revision';
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
  const sheet = useApp((s) => s.sheet);
  const work = useRevision((s) => (s.work !== null && s.work.sheet === sheet ? s.work : null));
  return (
    <main className="sheet-area">
      <div className="sheet">
        {work?.kind === 'picking' ? <PickDesk key={work.plan.blob} work={work} /> : sheet !== null ? <PlanCanvas /> : <NoSheet />}
        {work?.kind === 'comparing' && <CompareBar work={work} />}
        <PinnedCards />
      </div>
      {!work && <FirstNotes />}
      {!work && <ElevationStrip />}
      <SheetTabs />
    </main>
  );
}
