import { useMemo, useState } from 'react';
import { everyEntity, fittingSystem, newId, putEntities } from '../../shared-core/document/index';
import type { Document, Load } from '../../shared-core/document/index';
import { readLoadText } from '../../shared-core/sizing/index';
import { feet } from '../../shared-core/units/index';
import { store } from '../state/store';
import { nextTag } from '../tools/naming';
import { words } from '../text/index';
import { loadLine } from './load-line';
import { NotationInput, unreadOf } from './notation-input';
import { useApp } from './use-app';

type Reading = ReturnType<typeof readLoadText>;

/** A motor's shaft stands about this high above the floor unless somebody says otherwise; shown, and to be changed. */
const SHAFT_HEIGHT = feet(2);
/** The unplaced load that a typed line or a row of a list stands for. */
export function waitingLoad(reading: Pick<Reading, 'tag' | 'name' | 'data'>, document: Document, sheet: string): Load {
  const system = reading.data.system ?? fittingSystem(reading.data, document);
  return { id: newId('load'), kind: 'load', sheet, tag: reading.tag ?? nextTag(document, 'load'), name: reading.name ?? '', at: null, height: SHAFT_HEIGHT, standing: feet(0),
    data: { ...reading.data, ...(system === undefined ? {} : { system }) } };
}

/** One line in trade notation makes an unplaced load. What was not understood is underlined and asked for, never dropped in silence. */
export function QuickEntry() {
  const [text, setText] = useState('');
  const [asked, setAsked] = useState(false);
  const sheet = useApp((s) => s.sheet);
  const document = useApp((s) => s.document);
  const reading = useMemo(() => readLoadText(text), [text]);
  const blank = text.trim() === '';
  const unread = unreadOf(reading);
  const taken = reading.tag !== undefined && everyEntity(document).some((e) => 'tag' in e && e.tag === reading.tag);
  const add = (): void => {
    if (blank || sheet === null || taken) return;
    if (unread.length > 0 && !asked) { setAsked(true); return; }
    const load = waitingLoad(reading, document, sheet);
    const { commit, select } = store.getState();
    commit(putEntities(document, words.edits.addedLoad(load.tag), [load]));
    select([load.id]);
    setText('');
    setAsked(false);
  };
  const said = blank ? words.loads.quickHint : sheet === null ? words.loads.needsSheet : taken ? words.loads.tagTaken(reading.tag ?? '')
    : unread.length > 0 ? (asked ? words.loads.addWithout(unread.join(', ')) : words.loads.notUnderstood(unread.join(', ')))
      : words.loads.reads(reading.tag ?? nextTag(document, 'load'), loadLine(waitingLoad(reading, document, sheet), document));
  return (
    <form className="quick" onSubmit={(event) => { event.preventDefault(); add(); }}>
      <label htmlFor="quick-load">{words.loads.quick}</label>
      <div className="quick-box" data-open={unread.length > 0 || taken ? '' : undefined}>
        <NotationInput id="quick-load" placeholder={words.loads.quickPlaceholder} text={text} reading={reading} describedBy="quick-said" onType={(next) => { setText(next); setAsked(false); }} onDrop={text === '' ? undefined : () => { setText(''); }} />
        <button type="submit" className="chip" disabled={blank || sheet === null || taken}>{words.loads.add}</button>
      </div>
      <p id="quick-said" className={unread.length > 0 || taken ? 'asks' : 'step-note'} aria-live="polite">{said}</p>
    </form>
  );
}
