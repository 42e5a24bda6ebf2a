import { words } from '../text/index';
import { store } from '../state/store';
import { chooseStep } from './job-rail';
import { deviceLines } from './device-list';
import { useApp } from './use-app';
import { uiStore, useUi } from './ui-store';

/** Three short notes on the first start: a pair that fails, the region, the export. Waved away, they stay away. */
export function FirstNotes() {
  const seen = useUi((s) => s.notesSeen);
  const audit = useApp((s) => s.audit?.audit ?? null);
  const document = useApp((s) => s.document);
  const done = useApp((s) => s.done);
  if (seen || !audit) return null;
  const failing = audit.pairs.find((p) => p.verdict === 'fail');
  const device = failing ? document.entities[failing.disconnect] : deviceLines(document, audit, 'worst')[0]?.device;
  if (device?.kind !== 'disconnect') return null;
  // Who placed the device knows the way; a strip that comes up then would only push the plan aside.
  if (done.some((edit) => edit.patches.some((p) => p.at === 'entity' && p.id === device.id && p.before === null))) return null;
  const goTo = (): void => {
    if (device.sheet !== store.getState().sheet) store.getState().showSheet(device.sheet);
    store.getState().select([device.id]);
    store.getState().revealIds([device.id, ...device.serves]);
    if (failing) store.getState().setPair({ disconnect: failing.disconnect, load: failing.load, target: failing.target });
  };
  return (
    <section className="first-notes" aria-label={words.firstNotes.label}>
      <ol>
        {failing && <li><p>{words.firstNotes.failing(device.tag, failing.result.title)}</p><button type="button" className="chip" onClick={() => { chooseStep('disconnects'); goTo(); }}>{words.firstNotes.showPair}</button></li>}
        <li><p>{words.firstNotes.region}</p><button type="button" className="chip" onClick={() => { chooseStep('disconnects'); goTo(); }}>{words.firstNotes.showRegion(device.tag)}</button></li>
        <li><p>{words.firstNotes.exports}</p><button type="button" className="chip" onClick={() => { chooseStep('hand-over'); }}>{words.firstNotes.showExport}</button></li>
      </ol>
      <button type="button" className="chip is-main" onClick={() => { uiStore.getState().waveNotesAway(); }}>{words.firstNotes.away}</button>
    </section>
  );
}
