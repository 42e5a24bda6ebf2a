import { memo, useMemo } from 'react';
import { VERDICT_ORDER } from '../../shared-core/code-data/index';
import type { Confidence, Verdict } from '../../shared-core/code-data/index';
import type { PairReport } from '../../shared-core/checks/index';
import { compareTags, entitiesOf } from '../../shared-core/document/index';
import type { Disconnect, Document } from '../../shared-core/document/index';
import type { DeviceSizing, DeviceSummary } from '../../shared-core/sizing/index';
import { showDistanceAgainst } from '../../shared-core/units/index';
import type { UnitSystem } from '../../shared-core/units/index';
import type { Audit } from '../../shared-core/audit/index';
import { store } from '../state/store';
import { words } from '../text/index';
import { showQuantity } from './number-text';
import { PickList } from './pick-list';
import { doubtOfLine } from './result-text';
import { SightBar, sightWords } from './sight-bar';
import { StatusMark } from './status-mark';
import { SuggestForOpen } from './suggest-for-open';
import { uiStore, useUi } from './ui-store';
import { useApp } from './use-app';

export interface DeviceLine {
  readonly device: Disconnect;
  readonly verdict: Verdict;
  readonly serves: string;
  readonly rating: string;
  /** What the rating rests on that is not confirmed. */
  readonly doubt: Confidence | null;
  /** The pair nearest to failing: the worst verdict, then the least room to its limit. */
  readonly pair: PairReport | null;
}

/** @param type how the enclosure type is said; bare in the list, where it stands in a column of its own kind */
export function ratingWords(summary: DeviceSummary | undefined, type = (bare: string): string => bare): string {
  if (!summary) return words.devices.noRating;
  const amps = summary.switchAmperes === null ? words.devices.noRating : showQuantity(summary.switchAmperes, 'A');
  const fuse = summary.fuse ? `${summary.fuse.fuseClass} ${showQuantity(summary.fuse.amperes, 'A')}` : summary.fusible === false ? words.devices.notFused : '';
  return [amps, fuse, summary.enclosure === null ? '' : type(summary.enclosure)].filter((part) => part !== '').join('  ');
}

export function worstPair(pairs: readonly PairReport[]): PairReport | null {
  const room = (p: PairReport): number => (p.distance === null ? Number.POSITIVE_INFINITY : p.limit - p.distance);
  return [...pairs].sort((a, b) => VERDICT_ORDER.indexOf(a.verdict) - VERDICT_ORDER.indexOf(b.verdict) || room(a) - room(b))[0] ?? null;
}

const saidRatings = new WeakMap<DeviceSizing, Pick<DeviceLine, 'rating' | 'doubt'>>();

/** Said once for each device of an audit: the list is made anew with every edit. */
function saidRating(sizing: DeviceSizing | undefined): Pick<DeviceLine, 'rating' | 'doubt'> {
  if (!sizing) return { rating: ratingWords(undefined), doubt: null };
  const known = saidRatings.get(sizing);
  if (known) return known;
  const said = { rating: ratingWords(sizing.summary), doubt: doubtOfLine(sizing.results) };
  saidRatings.set(sizing, said);
  return said;
}

/** What the list shows, from the audit alone. A device the audit does not know yet counts as incomplete, never as pass. */
export function deviceLines(document: Document, audit: Audit | null, order: 'sheet' | 'worst'): DeviceLine[] {
  const sheetOrder = new Map(document.sheets.map((s, i) => [s.id, i]));
  const lines = entitiesOf(document, 'disconnect').map((device): DeviceLine => ({
    device, verdict: audit?.deviceVerdicts[device.id] ?? 'incomplete',
    serves: device.serves.map((id) => { const load = document.entities[id]; return load?.kind === 'load' ? load.tag : ''; }).filter((t) => t !== '').join(' '),
    ...saidRating(audit?.sizing[device.id]), pair: worstPair(audit?.pairs.filter((p) => p.disconnect === device.id) ?? []),
  }));
  const byTag = (a: DeviceLine, b: DeviceLine): number =>
    (sheetOrder.get(a.device.sheet) ?? 0) - (sheetOrder.get(b.device.sheet) ?? 0) || compareTags(a.device.tag, b.device.tag);
  return lines.sort((a, b) => (order === 'worst' ? VERDICT_ORDER.indexOf(a.verdict) - VERDICT_ORDER.indexOf(b.verdict) : 0) || byTag(a, b));
}

/** A sign that a rating rests on something not confirmed, where there is no room for the word; the row's name says it. */
export const DoubtSign = ({ doubt }: { doubt: Confidence | null }) => (doubt === null ? null : <sup className="doubt-sign" title={words.why.confidence[doubt]}><span aria-hidden="true">{words.why.doubtSign}</span><span className="off-screen">{words.why.confidence[doubt]}</span></sup>);

const DeviceRow = memo(function DeviceRow({ line, system }: { line: DeviceLine; system: UnitSystem }) {
  const { device, verdict, pair } = line;
  return (
    <div className="device-row">
      <StatusMark verdict={verdict} size={17} />
      <span className="device-tag">{device.tag}</span>
      <span className="device-serves">{line.serves || words.devices.servesNothing}</span>
      <span className="device-rating">{line.rating}<DoubtSign doubt={line.doubt} /></span>
      <span className="device-bar">{pair ? <SightBar pair={pair} /> : null}</span>
      <span className="device-distance">{pair && pair.distance !== null ? showDistanceAgainst(pair.distance, pair.limit, system) : ''}</span>
      <span className={`device-word is-${verdict}`}>{words.verdict[verdict]}</span>
    </div>
  );
});

export function DeviceList() {
  const document = useApp((s) => s.document);
  const audit = useApp((s) => s.audit?.audit ?? null);
  const selection = useApp((s) => s.selection);
  const order = useUi((s) => s.deviceOrder);
  const system = document.facts.units;
  const lines = useMemo(() => deviceLines(document, audit, order), [document, audit, order]);
  const several = document.sheets.length > 1;
  const items = lines.map((line) => ({
    id: line.device.id, body: <DeviceRow line={line} system={system} />,
    group: several && order === 'sheet' ? document.sheets.find((s) => s.id === line.device.sheet)?.name : undefined,
    label: [line.device.tag, words.verdict[line.verdict], `${words.devices.serves} ${line.serves || words.devices.servesNothing}`, line.rating, line.doubt ? words.why.confidence[line.doubt] : '', line.pair ? sightWords(line.pair, system) : ''].filter((t) => t !== '').join(', '),
  }));
  const show = (id: string): void => {
    const device = document.entities[id];
    if (device && device.sheet !== store.getState().sheet) store.getState().showSheet(device.sheet);
    store.getState().select([id]);
    // The plan goes along, so that what the list says is before the eyes.
    store.getState().revealIds([id, ...(device?.kind === 'disconnect' ? device.serves : [])]);
  };
  return (
    <section className="list-pane" aria-label={words.devices.title}>
      <header className="pane-head">
        <h2>{words.devices.title}</h2>
        <span className="pane-count">{words.devices.total(lines.length)}</span>
        <SuggestForOpen />
        <button type="button" className="quiet" aria-label={`${words.devices.order}: ${words.devices.orders[order]}`} onClick={() => { uiStore.getState().setDeviceOrder(order === 'sheet' ? 'worst' : 'sheet'); }}>{words.devices.orders[order]}</button>
      </header>
      <PickList label={words.devices.title} items={items} chosen={selection[0] ?? null} empty={words.devices.empty} onChoose={show} onGo={show} />
      {lines.some((line) => line.doubt !== null) && <p className="step-note list-note" aria-hidden="true">{words.why.doubtSign} {words.devices.doubtLegend}</p>}
    </section>
  );
}
