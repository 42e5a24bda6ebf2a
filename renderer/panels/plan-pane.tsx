import { everyEntity, removeEntities, setSheets } from '../../shared-core/document/index';
import type { Sheet } from '../../shared-core/document/index';
import { IssuesSection, RevisionPane, RevisionReview } from '../revision/index';
import { useRevision } from '../state/revision';
import { store } from '../state/store';
import { words } from '../text/index';
import { FlagField, LengthField, TextField } from './fields';
import { askRevision } from './plan-intake';
import { LayerSwitch } from './layer-switch';
import { PlanFlat } from './plan-flat-pane';
import { PlanLay } from './plan-lay-pane';
import { PlanLook, PlanPart } from './plan-look-pane';
import { changeSheet, moveSheet } from './sheet-tabs';
import { uiStore } from './ui-store';
import { useApp } from './use-app';

/** Takes a sheet out with everything marked on it: one edit, so undo brings all of it back. */
function removeSheet(sheet: Sheet): void {
  const { document, commit } = store.getState();
  const ids = everyEntity(document).filter((e) => e.sheet === sheet.id).map((e) => e.id);
  const sheets = document.sheets.filter((s) => s.id !== sheet.id);
  commit({ name: words.edits.removedSheet(sheet.name), patches: [...removeEntities(document, '', ids).patches, ...setSheets(document, '', sheets).patches] });
  const first = sheets[0];
  if (first) store.getState().showSheet(first.id); else store.setState({ sheet: null, selection: [] });
}

function SheetFields({ sheet }: { sheet: Sheet }) {
  const system = useApp((s) => s.document.facts.units);
  const many = useApp((s) => s.document.sheets.length > 1);
  return (
    <div className="form">
      <TextField label={words.sheets.name} value={sheet.name} required max={200} onCommit={(name) => { changeSheet(sheet.id, words.edits.renamedSheet(name), { name }); }} />
      <TextField label={words.sheets.level} value={sheet.level.name} onCommit={(name) => { changeSheet(sheet.id, words.edits.sheet('level', sheet.name), { level: { ...sheet.level, name } }); }} />
      <LengthField label={words.sheets.floor} value={sheet.level.floor} system={system} negative onCommit={(floor) => { changeSheet(sheet.id, words.edits.sheet('floor height', sheet.name), { level: { ...sheet.level, floor } }); }} />
      <FlagField label={words.sheets.openGround} value={sheet.openGround ?? false} onCommit={(openGround) => { changeSheet(sheet.id, words.edits.sheet('open ground', sheet.name), { openGround }); }} />
      {sheet.plan && <p className="step-note is-wide">{words.sheets.from(sheet.plan.name, sheet.plan.page + 1)}</p>}
      {sheet.plan && <LayerSwitch sheet={sheet} plan={sheet.plan} />}
      <div className="actions is-wide">
        {many && <button type="button" className="chip" onClick={() => { moveSheet(sheet.id, -1); }}>{words.sheets.earlier}</button>}
        {many && <button type="button" className="chip" onClick={() => { moveSheet(sheet.id, 1); }}>{words.sheets.later}</button>}
        <button type="button" className="chip is-careful" onClick={() => { removeSheet(sheet); }}>{words.sheets.remove(sheet.name)}</button>
      </div>
    </div>
  );
}

/** The plan step: the sheets the project has, the shown sheet's own facts, and the way to add one. */
export function PlanPane() {
  const document = useApp((s) => s.document);
  const shown = useApp((s) => s.sheet);
  const sheet = document.sheets.find((s) => s.id === shown);
  const work = useRevision((s) => s.work);
  if (work && work.sheet === shown) return <RevisionPane work={work} />;
  return (
    <section className="list-pane" aria-label={words.stepNames.plan}>
      <header className="pane-head"><h2>{words.stepNames.plan}</h2><span className="pane-count">{words.count(document.sheets.length, 'sheet')}</span></header>
      <div className="pane-body">
        <div className="actions">
          <button type="button" className="chip is-main" onClick={() => { uiStore.getState().openDialog('open-plan'); }}>{words.project.addPlan}</button>
          <button type="button" className="chip" onClick={() => { uiStore.getState().openDialog('facts'); }}>{words.project.facts}</button>
        </div>
        {sheet && <RevisionReview sheet={sheet} />}
        {sheet?.plan && <PlanLay key={`lay ${sheet.id}`} sheet={sheet} />}
        {sheet?.plan && <PlanFlat key={`flat ${sheet.id}`} sheet={sheet} plan={sheet.plan} />}
        {sheet?.plan && <PlanPart key={`part ${sheet.id}`} sheet={sheet} plan={sheet.plan} />}
        {sheet?.plan && <PlanLook key={`look ${sheet.id}`} sheet={sheet} plan={sheet.plan} />}
        {sheet ? <SheetFields key={sheet.id} sheet={sheet} /> : <p className="empty">{words.sheets.none}</p>}
        {sheet && <IssuesSection sheet={sheet} onBegin={() => { askRevision(sheet.id); }} />}
      </div>
    </section>
  );
}
