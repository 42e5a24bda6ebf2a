import { doubtsOf } from '../../shared-core/code-data/index';
import type { Result, Verdict } from '../../shared-core/code-data/index';
import { isHandleTooHigh, isLockedAway } from '../../shared-core/checks/index';
import type { PairReport } from '../../shared-core/checks/index';
import { entitiesOf } from '../../shared-core/document/index';
import type { DeviceData, Disconnect, Document, ExceptionRecord, Load, LoadKind } from '../../shared-core/document/index';
import { deviceOptions } from '../../shared-core/sizing/index';
import { showDistanceAgainst, showLength } from '../../shared-core/units/index';
import type { UnitSystem } from '../../shared-core/units/index';
import { store } from '../state/store';
import { checkName, exceptionName, optionName, words } from '../text/index';
import { CONDUCTOR_FIELDS, DEVICE_FACTS, DEVICE_FIELDS } from './data-fields';
import { AddFromList } from './add-from-list';
import { DataForm } from './data-form';
import { changeData, changeEntity, deleteEntities, entityName, setServes } from './edit-entity';
import { SharingFacts } from './facts-form';
import { ChoiceField, FlagField, LengthField, TextField } from './fields';
import { LimitedAccessFields } from './limited-access-fields';
import { meetingWords } from './meeting-words';
import { PairRoom, useSaidMargin } from './pair-room';
import { PlaceFields } from './place-fields';
import { groupAlike, inSpecificationOrder, isByEstimate, isProposed, showMargin, showResultValue, statementOf, withoutTag } from './result-text';
import { Section } from './section';
import { SightBar } from './sight-bar';
import { SizeFields } from './size-fields';
import { Status, StatusMark } from './status-mark';
import { suggestPlaceFor } from './suggest-actions';
import { resultsAbout } from './step-states';
import { uiStore } from './ui-store';
import { useApp } from './use-app';
import { Figure } from './why-card';

const UNMET: readonly Verdict[] = ['fail', 'incomplete', 'judgement', 'marginal'];

/** Whether the missing data is not named by a remedy already. */
const asksSomethingNew = (result: Result): boolean => result.missing.some((name) => !result.remedies.some((remedy) => remedy.toLowerCase().includes(name.toLowerCase())));

/** What is open about a mark, worst first: the finding, what is missing, what would mend it. */
export function OpenFindings({ results, tag = '' }: { results: readonly Result[]; tag?: string }) {
  const open = results.filter((r) => UNMET.includes(r.verdict));
  if (open.length === 0) return null;
  return (
    <ul className="open-findings" aria-label={words.chosen.whatToDo}>
      {groupAlike(open).map((group) => {
        const [first] = group;
        if (!first) return null;
        // A remark of the rule that the title says already is not said twice.
        const remedies = first.remedies.filter((remedy) => !first.title.includes(remedy));
        return (
          <li key={first.id} className={`is-${first.verdict}`}>
            {group.map((result) => <p key={result.id} className="open-title"><StatusMark verdict={result.verdict} named /> <Figure result={result}>{withoutTag(result.title, tag)}</Figure></p>)}
            {asksSomethingNew(first) && <p className="missing">{words.chosen.missing(first.missing)}</p>}
            {remedies.length > 0 && <ul className="remedies">{remedies.map((remedy, i) => <li key={i}>{remedy}</li>)}</ul>}
          </li>
        );
      })}
    </ul>
  );
}

function PairRow({ pair, load, document, system }: { pair: PairReport; load: Load | undefined; document: Document; system: UnitSystem }) {
  const said = useSaidMargin(pair);
  const shown = useApp((s) => s.pair?.disconnect === pair.disconnect && s.pair.load === pair.load && s.pair.target === pair.target);
  const tag = load?.tag ?? '';
  return (
    <li className="pair" data-shown={shown ? '' : undefined}>
      <p className="pair-head">
        <StatusMark verdict={pair.verdict} named /> <b>{tag}</b> <span>{words.sight.target[pair.target]}</span>
        <Figure result={pair.result} what={`${checkName(pair.result.check)} ${tag}`}>
          {pair.distance === null ? words.verdict[pair.verdict] : `${showDistanceAgainst(pair.distance, pair.limit, system)} ${words.sight.of} ${showLength(pair.limit, system, { finest: 1 })}`}
        </Figure>
      </p>
      <div className="pair-ruler"><SightBar pair={pair} /><span>{said?.inView ?? ''}</span></div>
      <p className="pair-note">
        <span>{meetingWords(pair, document)}{pair.uncertainty > 0 ? `, ±${showLength(pair.uncertainty, system)}` : ''}</span>
        <button type="button" className="quiet" aria-pressed={shown} onClick={() => { store.getState().setPair({ disconnect: pair.disconnect, load: pair.load, target: pair.target }); uiStore.getState().setElevationOpen(true); store.getState().revealIds([pair.disconnect, pair.load]); }}>{words.sight.show}</button>
      </p>
      <PairRoom disconnect={pair.disconnect} load={pair.load} target={pair.target} />
    </li>
  );
}

function AddLoad({ device, document }: { device: Disconnect; document: Document }) {
  const free = entitiesOf(document, 'load').filter((load) => !device.serves.includes(load.id)).map((load) => ({ value: load.id, label: load.name === '' ? load.tag : `${load.tag} ${load.name}` }));
  return <AddFromList label={words.chosen.addLoad} items={free} empty={words.chosen.noSuchLoad} onAdd={(load) => { setServes(device.id, load, true); }} />;
}

function ServedLoads({ device, document }: { device: Disconnect; document: Document }) {
  return (
    <div className="served">
      <span className="served-label">{words.chosen.servedLoads}</span>
      {device.serves.map((id) => {
        const load = document.entities[id];
        if (load?.kind !== 'load') return null;
        return (
          <span key={id} className="served-load">
            <button type="button" className="link" onClick={() => { store.getState().select([id]); store.getState().revealIds([id]); }}>{load.tag}</button>
            <button type="button" className="drop" aria-label={words.chosen.dropLoad(load.tag)} onClick={() => { setServes(device.id, id, false); }}>×</button>
          </span>
        );
      })}
      <AddLoad device={device} document={document} />
    </div>
  );
}

/** The gravest thing a result rests on that is not confirmed; the card names all of them. */
function Doubt({ result }: { result: Result }) {
  const doubts = doubtsOf(result);
  const [gravest] = doubts;
  return gravest === undefined ? null : <em className="doubt" title={doubts.map((d) => words.why.confidence[d]).join('; ')}>{words.why.doubt[gravest]}</em>;
}

/** The computed answers, one a line: what, the value as a figure that opens, and its remark. What nobody entered is marked as proposed. */
function ResultTable({ results, device, system }: { results: readonly Result[]; device: Disconnect; system: UnitSystem }) {
  if (results.length === 0) return <p className="empty">{words.chosen.noResults}</p>;
  return (
    <table className="results">
      <tbody>
        {results.map((result) => {
          const value = showResultValue(result, system);
          const plain = value === null && result.verdict === 'pass';
          return (
            <tr key={result.id}>
              <th scope="row">{checkName(result.check)}</th>
              <td colSpan={plain ? 2 : 1} className={plain ? 'statement' : 'value'}><Figure result={result}>{plain ? statementOf(result, device.tag) : value ?? words.verdict[result.verdict]}</Figure></td>
              {!plain && <td className="remark">
                {result.margin ? <span>{showMargin(result.margin, system)}</span> : result.verdict === 'incomplete' ? words.chosen.missing(result.missing) : ''}
                {isProposed(result, device.data) && <em>{words.chosen.proposed}</em>}{isByEstimate(result) && <em>{words.chosen.byEstimate}</em>}<Doubt result={result} />
              </td>}
              <td className="mark"><StatusMark verdict={result.verdict} size={13} named /></td>
            </tr>
          );
        })}
      </tbody>
    </table>
  );
}

function DeviceForm({ device, document, system }: { device: Disconnect; document: Document; system: UnitSystem }) {
  const data = device.data;
  const change = (field: keyof DeviceData, label: string, value: unknown): void => { changeData(device, field, label.toLowerCase(), value as never); };
  const feeders = [...entitiesOf(document, 'supply'), ...entitiesOf(document, 'disconnect').filter((d) => d.id !== device.id)].map((e) => ({ value: e.id, label: e.tag }));
  const fact = (value: 'yes' | 'no' | undefined): boolean | undefined => (value === undefined ? undefined : value === 'yes');
  return (
    <>
      <DataForm fields={DEVICE_FIELDS} data={data} system={system} unset={words.field.computed} onChange={change} />
      <div className="form">
        {DEVICE_FACTS.map(({ key, label }) => (
          <ChoiceField key={key} label={label} value={data[key] === undefined ? undefined : data[key] ? 'yes' : 'no'} choices={[{ value: 'yes' as const, label: words.field.yes }, { value: 'no' as const, label: words.field.no }]}
            unset={words.field.open} onCommit={(value) => { change(key, label, fact(value)); }} />
        ))}
        <ChoiceField label={words.chosen.fedFrom} value={data.fedFrom} choices={feeders} unset={words.field.notGiven} onCommit={(value) => { change('fedFrom', words.chosen.fedFrom, value); }} />
        <LengthField label={words.chosen.routeLength} value={data.routeLength} system={system} zero={false} placeholder={words.chosen.fromPlan} onCommit={(value) => { change('routeLength', words.chosen.routeLength, value); }} onClear={() => { change('routeLength', words.chosen.routeLength, undefined); }} />
      </div>
    </>
  );
}

function ConductorForm({ device, system }: { device: Disconnect; system: UnitSystem }) {
  const conductor = device.data.conductor ?? {};
  return (
    <DataForm fields={CONDUCTOR_FIELDS} data={conductor} system={system} unset={words.field.computed}
      onChange={(field, label, value) => {
        const next = Object.fromEntries(Object.entries({ ...conductor, [field]: value }).filter(([, v]) => v !== undefined));
        changeData(device, 'conductor', `conductor ${label.toLowerCase()}`, Object.keys(next).length > 0 ? next : undefined);
      }} />
  );
}

function OptionForm({ device, asked, proposed }: { device: Disconnect; asked: readonly string[]; proposed: readonly { readonly option: string; readonly reason: string }[] }) {
  const chosen = device.data.options ?? [];
  // What the checks of this device turn on comes first, then what is proposed, then the rest.
  const all = [...new Set([...asked, ...proposed.map((p) => p.option), ...chosen, ...Object.keys(deviceOptions)])];
  return (
    <div className="flags">
      {all.map((option) => (
        <FlagField key={option} label={optionName(option)} hint={proposed.find((p) => p.option === option)?.reason} value={chosen.includes(option)}
          onCommit={(on) => { const next = on ? [...chosen, option] : chosen.filter((o) => o !== option); changeData(device, 'options', 'options', next.length > 0 ? next : undefined); }} />
      ))}
    </div>
  );
}

function SiteCheck({ device }: { device: Disconnect }) {
  const verified = device.data.verified ?? { person: '', date: '', note: '' };
  const change = (field: keyof typeof verified, value: string): void => {
    const next = { ...verified, [field]: value };
    changeData(device, 'verified', 'site check', next.person === '' && next.date === '' && next.note === '' ? undefined : next);
  };
  return (
    <div className="form">
      <TextField label={words.exception.person} value={verified.person} onCommit={(v) => { change('person', v); }} />
      <TextField label={words.exception.date} value={verified.date} placeholder={words.exception.datePlaceholder} onCommit={(v) => { change('date', v); }} />
      <TextField label={words.chosen.note} value={verified.note} wide="wide" onCommit={(v) => { change('note', v); }} />
    </div>
  );
}

/** Out-of-sight pairs of this device: only for these may an exception be recorded. */
const exceptionPairs = (pairs: readonly PairReport[]): PairReport[] => [...new Map(pairs.filter((p) => p.verdict === 'fail').map((p) => [p.load, p])).values()];

function Exceptions({ records, document }: { records: readonly ExceptionRecord[]; document: Document }) {
  if (records.length === 0) return null;
  return (
    <ul className="exceptions" aria-label={words.chosen.exceptions}>
      {records.map((record) => {
        const load = document.entities[record.load];
        return (
          <li key={record.id}>
            <p><b>{load ? entityName(load) : ''}</b> {exceptionName(record.condition)}: {record.reason}</p>
            <p className="step-note">{record.document}; {record.person}, {record.date} <button type="button" className="quiet" onClick={() => { deleteEntities([record.id]); }}>{words.chosen.dropException}</button></p>
          </li>
        );
      })}
    </ul>
  );
}

const MOTORS: readonly LoadKind[] = ['motor', 'torque-motor', 'dc-motor'];
/** Options that checks of place turn on. */
const askedOptions = (loads: readonly Load[]): string[] => [
  ...(loads.some((l) => l.data.kind === 'ev-supply') ? ['emergency-shutoff'] : []), ...(loads.some((l) => l.data.driveSide === 'load') ? ['early-break-contact'] : []),
];

/** One device: what is open and what mends it, its sight to each load, what it must be, and its own data to type. */
export function DevicePane({ device }: { device: Disconnect }) {
  const document = useApp((s) => s.document);
  const audit = useApp((s) => s.audit?.audit ?? null);
  const system = document.facts.units;
  const sizing = audit?.sizing[device.id];
  const pairs = audit?.pairs.filter((p) => p.disconnect === device.id) ?? [];
  const about = audit ? resultsAbout(audit, device.id) : [];
  const sizingIds = new Set(sizing?.results.map((r) => r.id));
  const others = about.filter((r) => !sizingIds.has(r.id) && !r.check.startsWith('sight.') && (r.value !== undefined || r.margin !== undefined));
  const verdict = audit?.deviceVerdicts[device.id] ?? 'incomplete';
  const served = device.serves.map((id) => document.entities[id]).filter((e): e is Load => e?.kind === 'load');
  return (
    <div className="chosen-pane">
      <header className="chosen-head"><h2>{device.tag}</h2><Status verdict={verdict} /><button type="button" className="chip" onClick={() => { store.getState().revealIds([device.id, ...device.serves]); }}>{words.chosen.showPlace}</button></header>
      <OpenFindings results={about} tag={device.tag} />
      <div className="actions">
        {device.serves.length > 0 && <button type="button" className="chip" onClick={() => { suggestPlaceFor(device.id); }}>{words.suggest.place}</button>}
        {about.filter(isLockedAway).map(({ subject: { load = '' } }) => (
          <button key={`keys ${load}`} type="button" className="chip" onClick={() => { uiStore.getState().askException({ disconnect: device.id, load, about: 'keys' }); }}>
            {words.chosen.recordKeysFor(document.entities[load] ? entityName(document.entities[load]) : '')}
          </button>
        ))}
        {exceptionPairs(pairs).map((p) => (
          <button key={p.load} type="button" className="chip" onClick={() => { uiStore.getState().askException({ disconnect: p.disconnect, load: p.load, about: 'sight' }); }}>
            {words.chosen.recordExceptionFor(document.entities[p.load] ? entityName(document.entities[p.load] as Load) : '')}
          </button>
        ))}
      </div>
      {device.serves.length > 0 && <p className="step-note">{isHandleTooHigh(document, device) ? words.suggest.hatchTooHigh : words.suggest.hatchMeans}</p>}
      <Exceptions records={entitiesOf(document, 'exception').filter((e) => e.disconnect === device.id)} document={document} />
      <ServedLoads device={device} document={document} />
      {served.length > 1 && served.every((l) => MOTORS.includes(l.data.kind)) && <SharingFacts loads={served} />}
      {pairs.length > 0 && <ul className="pairs" aria-label={words.chosen.inSight}>{pairs.map((pair) => {
        const load = document.entities[pair.load];
        return <PairRow key={`${pair.load}-${pair.target}`} pair={pair} load={load?.kind === 'load' ? load : undefined} document={document} system={system} />;
      })}</ul>}
      <h3 className="pane-title">{words.chosen.results}</h3>
      <ResultTable results={inSpecificationOrder([...(sizing?.results.filter((r) => r.check !== 'sizing.option') ?? []), ...others])} device={device} system={system} />
      <Section title={words.chosen.data} open>
        <DeviceForm device={device} document={document} system={system} />
      </Section>
      <Section title={words.chosen.conductor}><ConductorForm device={device} system={system} /></Section>
      <Section title={words.chosen.optionsProposed(sizing?.summary.options.length ?? 0)}><OptionForm device={device} asked={askedOptions(served)} proposed={sizing?.summary.options ?? []} /></Section>
      <Section title={words.chosen.placeAndSize}>
        <div className="form">
          <TextField label={words.chosen.tag} value={device.tag} required max={40} onCommit={(tag) => { changeEntity(device, 'tag', { tag }); }} />
          <LengthField label={words.chosen.handleHeight} value={device.handleHeight} system={system} onCommit={(handleHeight) => { changeEntity(device, 'handle height', { handleHeight }); }} />
          <LengthField label={words.chosen.standing} value={device.standing} system={system} negative onCommit={(standing) => { changeEntity(device, 'standing height', { standing }); }} />
          <PlaceFields entity={device} />
          <SizeFields device={device} system={system} />
          <LimitedAccessFields device={device} system={system} />
        </div>
      </Section>
      <Section title={words.chosen.checkOnSite}><SiteCheck device={device} /></Section>
      <div className="actions end"><button type="button" className="chip is-careful" onClick={() => { deleteEntities([device.id]); }}>{words.chosen.delete} {device.tag}</button></div>
    </div>
  );
}
