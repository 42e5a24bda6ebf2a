import type { Document, Load, LoadData, LoadKind } from '../../shared-core/document/index';
import { entitiesOf } from '../../shared-core/document/index';
import { store } from '../state/store';
import { loadKindNames, words } from '../text/index';
import { loadFields, mayHaveParts } from './data-fields';
import { DataForm } from './data-form';
import { DoubtSign, ratingWords } from './device-list';
import { changeData, changeEntity, deleteEntities, withoutUnset } from './edit-entity';
import { LoadFacts } from './facts-form';
import { ChoiceField, LengthField, TextField } from './fields';
import { OpenFindings } from './device-pane';
import { PartsForm } from './parts-form';
import { PlaceFields } from './place-fields';
import { doubtOfLine } from './result-text';
import { Section } from './section';
import { placeLoad } from './place-load';
import { Status } from './status-mark';
import { resultsAbout } from './step-states';
import { suggestDisconnectsFor } from './suggest-actions';
import { useApp } from './use-app';

const KINDS = (Object.keys(loadKindNames) as LoadKind[]).map((value) => ({ value, label: loadKindNames[value] }));

function Related({ load }: { load: Load }) {
  const document = useApp((s) => s.document);
  const machines = entitiesOf(document, 'machine').map((m) => ({ value: m.id, label: m.tag }));
  const controllers = entitiesOf(document, 'controller').map((c) => ({ value: c.id, label: c.tag }));
  return (
    <>
      <ChoiceField label={words.kindsTitle.machine} value={load.machine} choices={machines} unset={words.field.none} onCommit={(machine) => { changeEntity(load, 'driven machine', { machine }); }} />
      <ChoiceField label={words.kindsTitle.controller} value={load.controller} choices={controllers} unset={words.field.none} onCommit={(controller) => { changeEntity(load, 'controller', { controller }); }} />
    </>
  );
}

/** What serves the load and what it comes to with the data as typed: the consequence of every edit beside it. */
function ServedBy({ load, document }: { load: Load; document: Document }) {
  const audit = useApp((s) => s.audit);
  const devices = entitiesOf(document, 'disconnect').filter((d) => d.serves.includes(load.id));
  const current = audit?.of === document ? audit.audit : null;
  return (
    <div className="served">
      <span className="served-label">{words.chosen.servedBy}</span>
      {devices.length === 0 ? <>{words.chosen.notServed} {load.at !== null && <button type="button" className="chip" onClick={() => { suggestDisconnectsFor([load.id]); }}>{words.suggest.one}</button>}</> : (
        <ul className="consequence">
          {devices.map((d) => (
            <li key={d.id}>
              <button type="button" className="link" onClick={() => { store.getState().select([d.id]); store.getState().revealIds([d.id, load.id]); }}>{d.tag}</button>
              <span className="rating">{current ? ratingWords(current.sizing[d.id]?.summary, (type) => words.devices.type(type).replace(' ', '\u00a0')) : words.rail.checking}{current && <DoubtSign doubt={doubtOfLine(current.sizing[d.id]?.results ?? [])} />}</span>
              {current && <Status verdict={current.deviceVerdicts[d.id] ?? 'incomplete'} />}
            </li>
          ))}
        </ul>
      )}
    </div>
  );
}

/** What is said of the machine counts for all its parts: none says anything else of itself. */
function setStartTogether(load: Load, startTogether: boolean | undefined): void {
  const parts = load.data.parts?.map(({ startTogether: _, ...part }): LoadData => part);
  changeEntity(load, 'start of the parts', { data: withoutUnset({ ...load.data, startTogether, ...(parts ? { parts } : {}) }) });
}

/** One load: its nameplate data to type, where it stands, who isolates it and what is open about it. */
export function LoadPane({ load }: { load: Load }) {
  const document = useApp((s) => s.document);
  const audit = useApp((s) => s.audit?.audit ?? null);
  const system = document.facts.units;
  const systems = document.facts.systems.map((s) => ({ value: s.id, label: s.name }));
  const shares = entitiesOf(document, 'disconnect').some((d) => d.serves.length > 1 && d.serves.includes(load.id));
  const change = (field: keyof LoadData, label: string, value: unknown, typed?: string): void => {
    if (field === 'startTogether') setStartTogether(load, value as boolean | undefined);
    else changeData(load, field, label.toLowerCase(), value as never, typed);
  };
  return (
    <div className="chosen-pane">
      <header className="chosen-head">
        <h2>{load.tag}</h2><span className="chosen-name">{load.name}</span>
        {load.at !== null && <button type="button" className="chip" onClick={() => { store.getState().revealIds([load.id]); }}>{words.chosen.showPlace}</button>}
      </header>
      {load.at === null && <p className="asks">{words.chosen.notPlaced} <button type="button" className="chip" onClick={() => { placeLoad(load.id); }}>{words.chosen.placeIt}</button></p>}
      <ServedBy load={load} document={document} />
      <div className="form">
        <TextField label={words.chosen.tag} value={load.tag} required max={40} onCommit={(tag) => { changeEntity(load, 'tag', { tag }); }} />
        <TextField label={words.chosen.name} value={load.name} onCommit={(name) => { changeEntity(load, 'name', { name }); }} />
        <ChoiceField label={words.chosen.kind} value={load.data.kind} choices={KINDS} onCommit={(kind) => { if (kind) change('kind', words.chosen.kind, kind); }} />
        <ChoiceField label={words.chosen.system} value={load.data.system} choices={systems} unset={words.field.notGiven} onCommit={(value) => { change('system', words.chosen.system, value); }} />
      </div>
      <DataForm fields={loadFields(load.data)} data={load.data} system={system} typed={load.data.typed} unset={words.field.notGiven} onChange={change} />
      {mayHaveParts(load.data) && <PartsForm key={load.id} load={load} open={load.data.kind === 'machine' || load.data.parts !== undefined} />}
      {audit && <OpenFindings results={resultsAbout(audit, load.id)} />}
      <LoadFacts load={load} shares={shares} />
      <Section title={words.chosen.place} open>
        <div className="form">
          <LengthField label={words.chosen.shaftHeight} value={load.height} system={system} onCommit={(height) => { changeEntity(load, 'height', { height }); }} />
          <LengthField label={words.chosen.standing} value={load.standing} system={system} negative onCommit={(standing) => { changeEntity(load, 'standing height', { standing }); }} />
          {load.outline && <LengthField label={words.chosen.bodyTop} value={load.bodyTop} system={system} onCommit={(bodyTop) => { changeEntity(load, 'top', { bodyTop }); }} onClear={() => { changeEntity(load, 'top', { bodyTop: undefined }); }} />}
          <Related load={load} />
          <PlaceFields entity={load} />
        </div>
      </Section>
      <div className="actions end"><button type="button" className="chip is-careful" onClick={() => { deleteEntities([load.id]); }}>{words.chosen.delete} {load.tag}</button></div>
    </div>
  );
}
