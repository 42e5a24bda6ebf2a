import { entitiesOf, newId, setFacts } from '../../shared-core/document/index';
import type { ProjectFacts, SupplySystem } from '../../shared-core/document/index';
import { amperes, volts } from '../../shared-core/units/index';
import { store } from '../state/store';
import { words } from '../text/index';
import { AmendmentsForm } from './amendments-form';
import { withoutUnset } from './edit-entity';
import { ChoiceField, LengthField, NumberField, TextField } from './fields';
import { Modal } from './modal';
import { useApp } from './use-app';

function change(what: string, next: Partial<ProjectFacts>): void {
  const { document, commit } = store.getState();
  commit(setFacts(document, words.edits.fact(what), { ...document.facts, ...next }));
}

function ProjectFields({ facts }: { facts: ProjectFacts }) {
  return (
    <div className="form">
      <TextField label={words.facts.name} value={facts.name} required wide="two" onCommit={(name) => { change('project name', { name }); }} />
      <TextField label={words.facts.site} value={facts.site} wide="two" onCommit={(site) => { change('site', { site }); }} />
      <TextField label={words.facts.revision} value={facts.revision} max={20} onCommit={(revision) => { change('revision', { revision }); }} />
      <ChoiceField label={words.facts.edition} value={facts.edition} choices={(['2017', '2020', '2023', '2026'] as const).map((value) => ({ value, label: `NFPA 70, ${value}` }))} onCommit={(edition) => { if (edition) change('edition', { edition }); }} />
      <ChoiceField label={words.facts.jurisdiction} value={facts.jurisdiction} choices={[{ value: 'US' as const, label: words.facts.us }, { value: 'CA' as const, label: words.facts.canada }]} onCommit={(jurisdiction) => { if (jurisdiction) change('jurisdiction', { jurisdiction }); }} />
      <ChoiceField label={words.facts.units} value={facts.units} choices={[{ value: 'US' as const, label: words.facts.feet }, { value: 'metric' as const, label: words.facts.metres }]} onCommit={(units) => { if (units) change('units', { units }); }} />
    </div>
  );
}

function DefaultFields({ facts }: { facts: ProjectFacts }) {
  const set = (what: string, next: Partial<ProjectFacts['defaults']>): void => { change(what, { defaults: { ...facts.defaults, ...next } }); };
  const { defaults, units } = facts;
  return (
    <div className="form">
      <LengthField label={words.chosen.handleHeight} value={defaults.handleHeight} system={units} zero={false} onCommit={(handleHeight) => { set('default handle height', { handleHeight }); }} />
      <LengthField label={words.facts.eyeHeight} value={defaults.eyeHeight} system={units} zero={false} hint={words.facts.eyeHint} onCommit={(eyeHeight) => { set('eye height', { eyeHeight }); }} />
      <LengthField label={words.facts.wallHeight} value={defaults.wallHeight} system={units} zero={false} onCommit={(wallHeight) => { set('default wall height', { wallHeight }); }} />
      <LengthField label={words.facts.wallThickness} value={defaults.wallThickness} system={units} onCommit={(wallThickness) => { set('default wall thickness', { wallThickness }); }} />
      <NumberField label={words.facts.ambient} value={defaults.ambientCelsius} unit="°C" system={units} optional={false} min={-50} max={90} onCommit={(ambientCelsius) => { if (ambientCelsius !== undefined) set('ambient temperature', { ambientCelsius }); }} />
    </div>
  );
}

const SYSTEM_CHOICES = [{ value: 3 as const, label: 'three-phase' }, { value: 1 as const, label: 'single-phase' }, { value: 'dc' as const, label: 'direct current' }];

function SystemFields({ system, facts, used }: { system: SupplySystem; facts: ProjectFacts; used: boolean }) {
  const set = (what: string, next: Partial<SupplySystem>): void => { change(`${what} of ${system.name}`, { systems: facts.systems.map((s) => (s.id === system.id ? { ...s, ...next } : s)) }); };
  const source = system.source ?? {};
  const setSource = (what: string, next: Partial<NonNullable<SupplySystem['source']>>): void => {
    const merged = withoutUnset({ ...source, ...next });
    set(what, Object.keys(merged).length > 0 ? { source: merged } : { source: {} });
  };
  return (
    <fieldset className="system">
      <legend>{system.name}</legend>
      <div className="form">
        <TextField label={words.facts.systemName} value={system.name} required wide="two" onCommit={(name) => { set('name', { name }); }} />
        <NumberField label={words.facts.voltage} value={system.voltage} unit="V" system={facts.units} positive optional={false} onCommit={(v) => { if (v !== undefined) set('voltage', { voltage: volts(v) }); }} />
        <ChoiceField label={words.facts.phases} value={system.phases} choices={SYSTEM_CHOICES} onCommit={(phases) => { if (phases) set('phases', { phases }); }} />
        <NumberField label={words.facts.wires} value={system.wires} unit="" system={facts.units} whole min={2} max={5} optional={false} onCommit={(wires) => { if (wires !== undefined) set('wires', { wires }); }} />
        <NumberField label={words.facts.toGround} value={system.voltsToGround} unit="V" system={facts.units} positive optional={false} hint={words.facts.toGroundHint} onCommit={(v) => { if (v !== undefined) set('volts to ground', { voltsToGround: volts(v) }); }} />
        <NumberField label={words.facts.faultCurrent} value={source.availableFaultCurrent} unit="A" system={facts.units} positive hint={words.facts.faultHint} onCommit={(v) => { setSource('fault current', { availableFaultCurrent: v === undefined ? undefined : amperes(v) }); }} />
        <NumberField label={words.facts.kva} value={source.transformerKva} unit="kVA" system={facts.units} positive onCommit={(v) => { setSource('transformer', { transformerKva: v }); }} />
        <NumberField label={words.facts.impedance} value={source.impedancePercent} unit="%" system={facts.units} positive max={100} onCommit={(v) => { setSource('impedance', { impedancePercent: v }); }} />
        <NumberField label={words.facts.xOverR} value={source.xOverR} unit="" system={facts.units} positive onCommit={(v) => { setSource('X/R', { xOverR: v }); }} />
        <div className="actions"><button type="button" className="chip is-careful" disabled={used} title={used ? words.facts.systemUsed : undefined} onClick={() => { change('systems', { systems: facts.systems.filter((s) => s.id !== system.id) }); }}>{words.facts.removeSystem}</button></div>
      </div>
    </fieldset>
  );
}

function addSystem(facts: ProjectFacts): void {
  const system: SupplySystem = { id: newId('system'), name: words.facts.newSystem, voltage: volts(208), phases: 3, wires: 4, voltsToGround: volts(120) };
  change('systems', { systems: [...facts.systems, system] });
}

/** Facts of the whole project. Every field commits by itself and can be undone; closing the dialog saves nothing extra. */
export function FactsDialog({ open, onClose }: { open: boolean; onClose: () => void }) {
  const facts = useApp((s) => s.document.facts);
  const document = useApp((s) => s.document);
  const used = new Set([...entitiesOf(document, 'load').flatMap((e) => e.data.system ?? []), ...entitiesOf(document, 'supply').map((e) => e.system)]);
  return (
    <Modal open={open} title={words.facts.title} wide onClose={onClose}>
      <ProjectFields facts={facts} />
      <h3 className="pane-title">{words.facts.systems}</h3>
      {facts.systems.map((system) => <SystemFields key={system.id} system={system} facts={facts} used={used.has(system.id)} />)}
      <button type="button" className="chip" onClick={() => { addSystem(facts); }}>{words.facts.addSystem}</button>
      <h3 className="pane-title">{words.facts.defaults}</h3>
      <DefaultFields facts={facts} />
      <h3 className="pane-title">{words.facts.overrides}</h3>
      <p className="step-note">{words.facts.overridesNote}</p>
      <AmendmentsForm facts={facts} />
    </Modal>
  );
}
