import { Progress } from '@base-ui/react/progress';
import { useMemo, useState } from 'react';
import { listWords, words } from '../text/index';
import { ChoiceField } from './fields';
import { cancelList, closeList, offerList, offerPasted, offersOf, restartList, setHeads, takeList, takenOf, tick, tickedOf, useListImport } from './list-import';
import type { ListImport, Offer, Review as ReviewOf } from './list-import';
import { ListTable } from './list-table';
import { Modal } from './modal';
import { useApp } from './use-app';
import './list.css';

function Choose({ list }: { list: Extract<ListImport, { kind: 'choose' }> }) {
  const [over, setOver] = useState(false);
  const [text, setText] = useState('');
  return (
    <>
      {list.problem && <div className="problem" role="alert"><p className="notice-what">{list.problem.what}</p><p className="notice-todo">{list.problem.todo}</p></div>}
      <div className="drop-place" data-over={over ? '' : undefined} onDragEnter={() => { setOver(true); }} onDragLeave={() => { setOver(false); }}>
        <p>{listWords.drop}</p>
        <button type="button" className="chip is-main" onClick={() => { void offerList(); }}>{listWords.choose}</button>
      </div>
      <form className="list-paste" onSubmit={(event) => { event.preventDefault(); void offerPasted(text); }}>
        <label htmlFor="list-paste">{listWords.or}</label>
        <textarea id="list-paste" rows={4} spellCheck={false} value={text} aria-describedby="list-paste-hint" onChange={(event) => { setText(event.target.value); }}
          onPaste={(event) => { const pasted = event.clipboardData.getData('text/plain'); if (text === '' && pasted.trim() !== '') { event.preventDefault(); void offerPasted(pasted); } }} />
        <p id="list-paste-hint" className="step-note">{listWords.pasteHint}</p>
        <button type="submit" className="chip" disabled={text.trim() === ''}>{listWords.readPasted}</button>
      </form>
    </>
  );
}

function Reading({ list }: { list: Extract<ListImport, { kind: 'reading' }> }) {
  return (
    <Progress.Root className="reading" value={list.done > 0 ? Math.round(list.done * 100) : null} aria-label={words.busy.reading(list.name)}>
      <p>{words.busy.reading(list.name)}</p>
      <Progress.Track className="busy-track"><Progress.Indicator className="busy-run" /></Progress.Track>
      <button type="button" className="chip" onClick={() => { cancelList(list); }}>{listWords.cancel}</button>
    </Progress.Root>
  );
}

type Filter = keyof typeof listWords.filters;
const PASSES: Readonly<Record<Filter, (offer: Offer) => boolean>> = {
  all: ({ change }) => change.kind !== 'gone', new: ({ change }) => change.kind === 'new', changed: ({ change }) => change.kind === 'changed', same: ({ change }) => change.kind === 'same',
  faults: ({ change }) => change.kind === 'stopped' || (change.kind !== 'gone' && change.row.errors.length > 0), gone: ({ change }) => change.kind === 'gone',
};
const FILTERS = Object.keys(PASSES) as Filter[];
const HEAD_ROWS = 15;

function Review({ review }: { review: ReviewOf }) {
  const document = useApp((s) => s.document);
  const sheet = useApp((s) => s.sheet);
  const [filter, setFilter] = useState<Filter>('all');
  const { cells, map, name, ticks } = review;
  const offers = useMemo(() => offersOf(document, cells, map), [document, cells, map]);
  const counts = useMemo(() => new Map(FILTERS.map((each) => [each, offers.filter(PASSES[each]).length])), [offers]);
  const kept = (counts.get(filter) ?? 0) > 0 ? filter : 'all';
  const shown = useMemo(() => offers.filter(PASSES[kept]), [offers, kept]);
  const ticked = tickedOf(offers, ticks);
  const taken = takenOf(ticked);
  const leftOut = offers.filter(PASSES.faults).length - ticked.filter(PASSES.faults).length;
  const hasTag = map.columns.includes('tag');
  const rows = offers.filter(({ change }) => change.kind !== 'gone').length;
  const headChoices = [{ value: -1, label: listWords.noHeads }, ...cells.slice(0, HEAD_ROWS).map((row, i) => ({ value: i, label: listWords.headsIn(i + 1, row.filter((text) => text.trim() !== '').slice(0, 3).join(', ').slice(0, 40)) }))];
  const nothing = rows > 0 && offers.every(({ change }) => change.kind === 'same');
  return (
    <div className="list-review">
      <div className="list-intro">
        <div><p>{hasTag ? listWords.intro(name, rows) : `${name}.`} {map.head < 0 ? listWords.unguessed : listWords.guessed}</p>{!hasTag && <p className="asks" role="alert">{listWords.needsTag}</p>}</div>
        <ChoiceField label={listWords.heads} value={map.head} choices={headChoices} onCommit={(head) => { setHeads(review, head ?? -1); }} />
      </div>
      {hasTag
        ? <div className="list-filters" role="group" aria-label={listWords.filterLabel}>
          {FILTERS.filter((each) => each === 'all' || (counts.get(each) ?? 0) > 0).map((each) => <button key={each} type="button" className="chip" aria-pressed={kept === each} onClick={() => { setFilter(each); }}>{listWords.filters[each]} {counts.get(each)}</button>)}
          <span className="list-all"><button type="button" className="quiet" onClick={() => { tick(review, offers, shown.filter((offer) => !ticked.includes(offer)), true); }}>{listWords.tickShown}</button>
            <button type="button" className="quiet" onClick={() => { tick(review, offers, shown, false); }}>{listWords.untickShown}</button></span>
        </div> : null}
      <p id="list-keys" className="off-screen">{listWords.keys}</p>
      <ListTable key={kept} review={review} offers={offers} shown={shown} />
      <div className="list-foot">
        <p aria-live="polite">{sheet === null ? words.loads.needsSheet : nothing ? listWords.nothingChanges : [hasTag ? listWords.takes(taken) : '', taken.added > 0 ? listWords.toTray : '', leftOut > 0 ? listWords.leaves(leftOut) : ''].filter((part) => part !== '').join(' ')}</p>
        <button type="button" className="chip" onClick={restartList}>{listWords.other}</button>
        <button type="button" className="chip is-main" disabled={ticked.length === 0 || sheet === null} onClick={() => { takeList(review, offers); }}>{listWords.take(ticked.length)}</button>
      </div>
    </div>
  );
}

/** Brings an equipment list in: choose, drop or paste; say what the columns hold; look over what would change; take it as one edit. */
export function ListDialog({ open }: { open: boolean }) {
  const list = useListImport();
  return (
    <Modal open={open} title={listWords.title} wide={list.kind === 'review'} onClose={closeList}>
      {list.kind === 'choose' && <Choose list={list} />}
      {list.kind === 'reading' && <Reading list={list} />}
      {list.kind === 'review' && <Review review={list} />}
    </Modal>
  );
}
