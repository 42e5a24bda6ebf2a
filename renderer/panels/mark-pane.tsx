import { entitiesOf, putEntities } from '../../shared-core/document/index';
import type { Area, Controller, Entity, Machine, Obstruction, Opening, Route, Supply, Wall } from '../../shared-core/document/index';
import type { UnitSystem } from '../../shared-core/units/index';
import { feet, sheetUnits, showLength } from '../../shared-core/units/index';
import { store } from '../state/store';
import { environmentChoices, fieldWords, words } from '../text/index';
import { changeEntity, deleteEntities, entityName, withoutUnset } from './edit-entity';
import { ChoiceField, FlagField, LengthField, TextField } from './fields';
import { KnownWithin, PlaceFields } from './place-fields';
import { Section } from './section';
import { suggestDisconnectsFor } from './suggest-actions';
import { useApp } from './use-app';

const choices = <K extends string>(labels: Readonly<Record<K, string>>) => (Object.keys(labels) as K[]).map((value) => ({ value, label: labels[value] }));
type Heighted = Wall | Obstruction;

function Heights({ entity, system }: { entity: Heighted; system: UnitSystem }) {
  const change = (what: string, next: { bottom?: Heighted['bottom']; top?: Heighted['top'] }): void => {
    const bottom = next.bottom ?? entity.bottom;
    const top = next.top ?? entity.top;
    // A top below its bottom is no body: the two are swapped rather than refused, since the pair is what was meant.
    changeEntity(entity as Wall, what, top < bottom ? { bottom: top, top: bottom } : next);
  };
  return (
    <>
      <KnownWithin entity={entity} />
      <LengthField label={words.mark.bottom} value={entity.bottom} system={system} negative onCommit={(bottom) => { change('bottom', { bottom }); }} />
      <LengthField label={words.mark.top} value={entity.top} system={system} negative onCommit={(top) => { change('top', { top }); }} />
      <ChoiceField label={words.mark.material} value={entity.material} choices={choices(fieldWords.material)} onCommit={(material) => { if (material) changeEntity(entity as Wall, 'material', { material }); }} />
    </>
  );
}

/** A field set to undefined is taken out. */
type OpeningChange = { readonly [K in keyof Opening]?: Opening[K] | undefined };

const YES_NO = [{ value: 'yes' as const, label: words.field.yes }, { value: 'no' as const, label: words.field.no }];
const hasLeaf = ({ leaf }: Opening): boolean => leaf !== 'none' && leaf !== 'glazed';

/** What a door's leaf does and carries: large equipment near by turns on it. Hardware that nobody has said stays not given. */
function DoorFields({ opening, change }: { opening: Opening; change: (what: string, next: OpeningChange) => void }) {
  const { swing, panicHardware } = opening;
  return (
    <>
      <ChoiceField label={words.mark.panicHardware} value={panicHardware === undefined ? undefined : panicHardware ? 'yes' : 'no'} choices={YES_NO} unset={words.field.notGiven} hint={words.mark.panicHint}
        onCommit={(next) => { change('panic hardware', { panicHardware: next === undefined ? undefined : next === 'yes' }); }} />
      <div className="actions">
        {swing && <button type="button" className="chip" onClick={() => { change('swing', { swing: { ...swing, side: swing.side === 'left' ? 'right' : 'left' } }); }}>{words.mark.swingSide}</button>}
        {swing && <button type="button" className="chip" onClick={() => { change('hinge', { swing: { ...swing, hinge: swing.hinge === 'from' ? 'to' : 'from' } }); }}>{words.mark.hingeEnd}</button>}
        <button type="button" className="chip" onClick={() => { change('swing', { swing: swing ? undefined : { hinge: 'from', side: 'left' } }); }}>{swing ? words.mark.noSwing : words.mark.swings}</button>
      </div>
    </>
  );
}

function OpeningForm({ wall, opening, system }: { wall: Wall; opening: Opening; system: UnitSystem }) {
  const scale = useApp((s) => s.document.sheets.find((one) => one.id === wall.sheet)?.scale ?? null);
  const change = (what: string, next: OpeningChange): void => { changeEntity(wall, what, { openings: wall.openings.map((o) => (o.id === opening.id ? withoutUnset({ ...o, ...next }) : o)) }); };
  const leaf = fieldWords.leaf[opening.leaf];
  const width = scale ? feet((opening.to - opening.from) * scale.feetPerUnit) : null;
  return (
    <Section title={width === null ? leaf : `${leaf}, ${showLength(width, system)}`}>
      <div className="form">
        <ChoiceField label={words.mark.leaf} value={opening.leaf} choices={choices(fieldWords.leaf)} onCommit={(next) => { if (next) change('door', { leaf: next }); }} />
        {scale && width !== null && <LengthField label={words.mark.width} value={width} system={system} zero={false} onCommit={(next) => { change('opening width', { to: sheetUnits(opening.from + next / scale.feetPerUnit) }); }} />}
        <LengthField label={words.mark.sill} value={opening.sill} system={system} onCommit={(sill) => { if (sill < opening.head) change('sill', { sill }); }} />
        <LengthField label={words.mark.head} value={opening.head} system={system} zero={false} onCommit={(head) => { if (head > opening.sill) change('head', { head }); }} />
        <FlagField label={words.mark.locked} value={opening.locked === true} onCommit={(locked) => { change('lock', { locked }); }} />
        {hasLeaf(opening) && <DoorFields opening={opening} change={change} />}
        <button type="button" className="chip" onClick={() => { changeEntity(wall, 'openings', { openings: wall.openings.filter((o) => o.id !== opening.id) }); }}>{words.mark.closeOpening}</button>
      </div>
    </Section>
  );
}

function WallFields({ entity, system }: { entity: Wall; system: UnitSystem }) {
  return (
    <>
      <div className="form">
        <LengthField label={words.mark.thickness} value={entity.thickness} system={system} onCommit={(thickness) => { changeEntity(entity, 'thickness', { thickness }); }} />
        <Heights entity={entity} system={system} />
        <ChoiceField label={words.mark.face} value={entity.face} choices={choices(fieldWords.face)} unset={words.field.notGiven} onCommit={(face) => { changeEntity(entity, 'face', { face }); }} />
      </div>
      {entity.openings.map((opening) => <OpeningForm key={opening.id} wall={entity} opening={opening} system={system} />)}
    </>
  );
}

function ObstructionFields({ entity, system }: { entity: Obstruction; system: UnitSystem }) {
  return (
    <div className="form">
      <TextField label={words.mark.label} value={entity.label} onCommit={(label) => { changeEntity(entity, 'label', { label }); }} />
      <Heights entity={entity} system={system} />
      <FlagField label={words.mark.walkable} value={entity.walkable === true} onCommit={(walkable) => { changeEntity(entity, 'use', { walkable: walkable || undefined }); }} />
      {entity.walkable === true && <FlagField label={words.mark.stairs} value={entity.stairs === true} onCommit={(stairs) => { changeEntity(entity, 'stairs', { stairs: stairs || undefined }); }} />}
    </div>
  );
}

function AreaFields({ entity }: { entity: Area }) {
  const known = environmentChoices.map((c) => c.value);
  const all = [...environmentChoices, ...entity.environments.filter((e) => !known.includes(e)).map((value) => ({ value, label: value.replaceAll('-', ' ') }))];
  return (
    <>
      <div className="form"><TextField label={words.mark.label} value={entity.label} onCommit={(label) => { changeEntity(entity, 'label', { label }); }} /></div>
      <div className="flags" role="group" aria-label={words.mark.environment}>
        {all.map(({ value, label }) => (
          <FlagField key={value} label={label} value={entity.environments.includes(value)}
            onCommit={(on) => { changeEntity(entity, 'environment', { environments: on ? [...entity.environments, value] : entity.environments.filter((e) => e !== value) }); }} />
        ))}
      </div>
    </>
  );
}

function EquipmentFields({ entity, system }: { entity: Machine | Controller | Supply; system: UnitSystem }) {
  const systems = useApp((s) => s.document.facts.systems).map((s) => ({ value: s.id, label: s.name }));
  return (
    <div className="form">
      <TextField label={words.chosen.tag} value={entity.tag} required max={40} onCommit={(tag) => { changeEntity(entity as Machine, 'tag', { tag }); }} />
      <TextField label={words.chosen.name} value={entity.name} onCommit={(name) => { changeEntity(entity as Machine, 'name', { name }); }} />
      {entity.kind !== 'supply' && <LengthField label={words.chosen.shaftHeight} value={entity.height} system={system} onCommit={(height) => { changeEntity(entity as Machine, 'height', { height }); }} />}
      {entity.kind !== 'supply' && <LengthField label={words.chosen.standing} value={entity.standing} system={system} negative onCommit={(standing) => { changeEntity(entity as Machine, 'standing height', { standing }); }} />}
      {entity.kind === 'controller' && <FlagField label={words.mark.lockable} value={entity.lockable === true} onCommit={(lockable) => { changeEntity(entity, 'lock', { lockable: lockable || undefined }); }} />}
      {entity.kind === 'supply' && <ChoiceField label={words.mark.role} value={entity.role} choices={choices(fieldWords.role)} onCommit={(role) => { if (role) changeEntity(entity, 'role', { role }); }} />}
      {entity.kind === 'supply' && <ChoiceField label={words.chosen.system} value={entity.system} choices={systems} onCommit={(system) => { if (system !== undefined) changeEntity(entity, 'system', { system }); }} />}
      <PlaceFields entity={entity} />
    </div>
  );
}

function RouteFields({ entity, system }: { entity: Route; system: UnitSystem }) {
  return <div className="form"><LengthField label={words.mark.drops} value={entity.drops} system={system} onCommit={(drops) => { changeEntity(entity, 'drops', { drops }); }} /></div>;
}

/** Any mark that is neither load nor device: its own few fields. */
export function MarkPane({ entity }: { entity: Exclude<Entity, { kind: 'load' | 'disconnect' }> }) {
  const system = useApp((s) => s.document.facts.units);
  return (
    <div className="chosen-pane">
      <header className="chosen-head">
        <h2>{entityName(entity)}</h2><span className="chosen-name">{words.kinds[entity.kind]}</span>
        <button type="button" className="chip" onClick={() => { store.getState().revealIds([entity.id]); }}>{words.chosen.showPlace}</button>
      </header>
      {entity.kind === 'wall' && <WallFields entity={entity} system={system} />}
      {entity.kind === 'obstruction' && <ObstructionFields entity={entity} system={system} />}
      {entity.kind === 'area' && <AreaFields entity={entity} />}
      {(entity.kind === 'machine' || entity.kind === 'controller' || entity.kind === 'supply') && <EquipmentFields entity={entity} system={system} />}
      {entity.kind === 'route' && <RouteFields entity={entity} system={system} />}
      <div className="actions end"><button type="button" className="chip is-careful" onClick={() => { deleteEntities([entity.id]); }}>{words.chosen.delete} {entityName(entity)}</button></div>
    </div>
  );
}

/** Several marks at once: what they share can be set for all in one edit. */
export function SeveralPane({ ids }: { ids: readonly string[] }) {
  const document = useApp((s) => s.document);
  const system = document.facts.units;
  const entities = ids.map((id) => document.entities[id]).filter((e): e is Entity => e !== undefined);
  const heighted = entities.filter((e): e is Heighted => e.kind === 'wall' || e.kind === 'obstruction');
  const devices = entities.filter((e) => e.kind === 'disconnect');
  const setAll = (what: string, next: readonly Entity[]): void => { store.getState().commit(putEntities(document, words.edits.setAll(what, next.length), next)); };
  const served = new Set(entitiesOf(document, 'disconnect').flatMap((d) => d.serves));
  const unserved = entities.filter((e) => e.kind === 'load' && e.at !== null && !served.has(e.id));
  const shared = <T,>(values: readonly T[]): T | undefined => (values.every((v) => v === values[0]) ? values[0] : undefined);
  return (
    <div className="chosen-pane">
      <header className="chosen-head"><h2>{words.chosen.several(entities.length)}</h2></header>
      <p className="step-note">{words.some(entities.map(entityName), 12)}</p>
      {unserved.length > 0 && <div className="actions"><button type="button" className="chip" onClick={() => { suggestDisconnectsFor(unserved.map((e) => e.id)); }}>{words.suggest.forChosen(unserved.length)}</button></div>}
      <div className="form">
        {heighted.length > 0 && heighted.length === entities.length && (
          <>
            <LengthField label={words.mark.top} value={shared(heighted.map((e) => e.top))} system={system} onCommit={(top) => { setAll('top', heighted.filter((e) => top >= e.bottom).map((e) => ({ ...e, top }))); }} />
            <ChoiceField label={words.mark.material} value={shared(heighted.map((e) => e.material))} choices={choices(fieldWords.material)} onCommit={(material) => { if (material) setAll('material', heighted.map((e) => ({ ...e, material }))); }} />
          </>
        )}
        {devices.length > 0 && devices.length === entities.length && (
          <LengthField label={words.chosen.handleHeight} value={shared(devices.map((e) => e.handleHeight))} system={system} onCommit={(handleHeight) => { setAll('handle height', devices.map((e) => ({ ...e, handleHeight }))); }} />
        )}
      </div>
      <div className="actions end"><button type="button" className="chip is-careful" onClick={() => { deleteEntities(ids); }}>{words.chosen.delete} {words.chosen.several(entities.length)}</button></div>
    </div>
  );
}
