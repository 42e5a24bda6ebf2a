import { Select } from '@base-ui/react/select';
import { useVirtualizer } from '@tanstack/react-virtual';
import { useId, useRef, useState } from 'react';
import type { KeyboardEvent } from 'react';
import { LIST_FIELDS } from '../../shared-core/exchange/index';
import type { ListField } from '../../shared-core/exchange/index';
import { listWords, loadKindNames } from '../text/index';
import { setCell, setColumn, tick, tickedOf } from './list-import';
import type { Offer, Review } from './list-import';
import { notesOf, showChange, showField, showRead } from './list-text';
import { useApp } from './use-app';

const letter = (index: number): string => (index < 26 ? String.fromCharCode(65 + index) : `${letter(Math.floor(index / 26) - 1)}${String.fromCharCode(65 + (index % 26))}`);
const CHOICES: readonly { readonly label: string; readonly value: ListField | null }[] = [{ label: listWords.leftOut, value: null }, ...LIST_FIELDS.map((field) => ({ label: listWords.fields[field], value: field }))];

/** The head of one column: what the list calls it, and what it is taken for. */
function Head({ review, column }: { review: Review; column: number }) {
  const field = review.map.columns[column] ?? null;
  const own = (review.cells[review.map.head]?.[column] ?? '').trim();
  const name = own === '' ? listWords.column(letter(column)) : own;
  return (
    <div role="columnheader" className="list-cell list-head-cell">
      <span className="list-head-name" title={name}>{name}</span>
      <Select.Root items={CHOICES} value={field} onValueChange={(next) => { setColumn(review, column, next); }}>
        <Select.Trigger className="choice" aria-label={`${listWords.holds(name)}: ${field === null ? listWords.leftOut : listWords.fields[field]}`} data-unset={field === null ? '' : undefined}>
          <Select.Value />
          <Select.Icon className="choice-icon"><svg width="9" height="6" viewBox="0 0 9 6" aria-hidden="true"><path d="M.8.9 4.5 4.7 8.2.9" /></svg></Select.Icon>
        </Select.Trigger>
        <Select.Portal>
          <Select.Positioner className="floating" sideOffset={2} alignItemWithTrigger={false}>
            <Select.Popup className="choice-popup"><Select.List>
              {CHOICES.map((choice) => <Select.Item key={choice.label} value={choice.value} className="choice-item"><Select.ItemText>{choice.label}</Select.ItemText></Select.Item>)}
            </Select.List></Select.Popup>
          </Select.Positioner>
        </Select.Portal>
      </Select.Root>
    </div>
  );
}

/** A cell that could not be read, to be mended in place: Enter or leaving takes it, Escape puts it back. F2 on the row comes here. */
function Mend({ review, row, column, text, label }: { review: Review; row: number; column: number; text: string; label: string }) {
  const [draft, setDraft] = useState(text);
  const finish = (back: HTMLElement | null): void => { back?.focus(); if (draft.trim() !== text) setCell(review, row, column, draft.trim()); };
  return <input className="list-mend" type="text" autoComplete="off" spellCheck={false} tabIndex={-1} maxLength={200} aria-label={label} value={draft} onChange={(event) => { setDraft(event.target.value); }} onBlur={() => { finish(null); }}
    onKeyDown={(event) => {
      event.stopPropagation();
      const grid = event.currentTarget.closest<HTMLElement>('[role="grid"]');
      if (event.key === 'Enter') finish(grid); else if (event.key === 'Escape') { setDraft(text); grid?.focus(); } else return;
      event.preventDefault();
    }} />;
}

/** One cell of the list: the value as it was read; old and new where it would change; as written and marked where it could not be read. */
function Cell({ offer, column, review }: { offer: Offer; column: number; review: Review }) {
  const document = useApp((s) => s.document);
  const { change } = offer;
  const field = review.map.columns[column] ?? null;
  if (change.kind === 'gone') {
    const load = document.entities[change.id];
    const text = load?.kind !== 'load' ? '' : field === 'tag' ? load.tag : field === 'name' ? load.name : '';
    return <div role="gridcell" className="list-cell">{text}</div>;
  }
  const raw = (review.cells[change.row.row]?.[column] ?? '').trim();
  if (field === null) return <div role="gridcell" className="list-cell is-left-out" title={raw}>{raw}</div>;
  const fault = change.row.errors.find((error) => error.column === column);
  if (fault) return <div role="gridcell" className="list-cell" data-fault="" title={fault.what}><Mend key={raw} review={review} row={change.row.row} column={column} text={raw} label={listWords.mend(listWords.fields[field], change.row.row + 1)} /></div>;
  const altered = change.kind === 'changed' ? change.fields.find((each) => each.field === field) : undefined;
  if (altered) {
    const shown = showChange(altered, document);
    return <div role="gridcell" className="list-cell" title={`${shown.before} → ${shown.after}`}><s>{shown.before}</s> → <b>{shown.after}</b></div>;
  }
  const text = showRead(change.row, field, review.map.columns, document);
  return <div role="gridcell" className="list-cell" title={raw === text || raw === '' ? text : `${text} (${raw})`}>{text}</div>;
}

/** The kind of load where the list has no column for it: assumed for a new load, kept for one that is there. */
function KindCell({ offer }: { offer: Offer }) {
  const document = useApp((s) => s.document);
  const { change } = offer;
  const load = 'id' in change ? document.entities[change.id] : undefined;
  const text = change.kind === 'new' ? listWords.assumed(loadKindNames[change.row.data.kind]) : load?.kind === 'load' ? showField('kind', load.data.kind, document) : '';
  return <div role="gridcell" className="list-cell is-assumed" title={text}>{text}</div>;
}

const LINE = 28;
const NOTE = 20;
const WIDTHS: Readonly<Partial<Record<ListField, string>>> = { tag: '8rem', name: 'minmax(13rem, 1fr)', kind: '11rem' };

/**
 * The rows of a list with what each would change. One tab stop: arrows, Home, End and Page keys go through the rows, Space
 * ticks. Only the rows in view are drawn, so thousands stay quick.
 */
export function ListTable({ review, offers, shown }: { review: Review; offers: readonly Offer[]; shown: readonly Offer[] }) {
  const prefix = useId();
  const document = useApp((s) => s.document);
  const scroller = useRef<HTMLDivElement>(null);
  const [active, setActive] = useState(0);
  const at = Math.min(active, shown.length - 1);
  const ticked = new Set(tickedOf(offers, review.ticks).map((offer) => offer.key));
  const { columns } = review.map;
  const notes = (offer: Offer) => notesOf(offer.change, columns, document);
  // The library hands out functions that must not be memoised; it is used here and nowhere below.
  // eslint-disable-next-line react-hooks/incompatible-library
  const rows = useVirtualizer({
    count: shown.length, getScrollElement: () => scroller.current, overscan: 12, getItemKey: (i) => shown[i]?.key ?? i, scrollPaddingStart: 60,
    estimateSize: (i) => { const change = shown[i]?.change; return LINE + (change === undefined ? 0 : change.kind === 'gone' ? NOTE : change.row.errors.length * NOTE); },
  });
  const hasKind = columns.includes('kind');
  const template = ['3rem', '3.2rem', '8.5rem', ...columns.map((field) => (field === null ? '7rem' : WIDTHS[field] ?? '8.5rem')), ...(hasKind ? [] : ['11rem'])].join(' ');
  const go = (to: number): void => { const next = Math.max(0, Math.min(shown.length - 1, to)); setActive(next); rows.scrollToIndex(next, { align: 'auto' }); };
  const flip = (offer: Offer | undefined): void => { if (offer) tick(review, offers, [offer], !ticked.has(offer.key)); };
  const onKeyDown = (event: KeyboardEvent): void => {
    if (event.target !== event.currentTarget) return;
    const move = { ArrowDown: at + 1, ArrowUp: at - 1, Home: 0, End: shown.length - 1, PageDown: at + 12, PageUp: at - 12 }[event.key];
    if (move !== undefined) go(move);
    else if (event.key === ' ') flip(shown[at]);
    else if (event.key === 'F2') event.currentTarget.querySelector<HTMLElement>('[data-active] .list-mend')?.focus();
    else return;
    event.preventDefault();
    event.stopPropagation();
  };
  const head = { gridTemplateColumns: template };
  return (
    <div ref={scroller} className="list-table" role="grid" tabIndex={0} aria-label={listWords.listGrid} aria-describedby="list-keys" aria-multiselectable aria-rowcount={shown.length + 1} aria-activedescendant={shown.length > 0 ? `${prefix}-${at}` : undefined} onKeyDown={onKeyDown}>
      <div className="list-wide">
        <div role="row" className="list-row list-heads" style={head} aria-rowindex={1}>
          <div role="columnheader" className="list-cell">{listWords.tick}</div><div role="columnheader" className="list-cell">{listWords.row}</div><div role="columnheader" className="list-cell">{listWords.change}</div>
          {columns.map((_, column) => <Head key={column} review={review} column={column} />)}
          {!hasKind && <div role="columnheader" className="list-cell list-head-cell"><span className="list-head-name">{listWords.notListed}</span><span>{listWords.assumedKind}</span></div>}
        </div>
        <div role="rowgroup" className="list-rows" style={{ height: rows.getTotalSize() }}>
          {rows.getVirtualItems().map(({ index, start, key }) => {
            const offer = shown[index];
            if (!offer) return null;
            const { change } = offer;
            const row = change.kind === 'gone' ? null : change.row.row + 1;
            const said = notes(offer);
            const all = [...said.faults, ...said.hints];
            return (
              <div key={key} ref={rows.measureElement} data-index={index} id={`${prefix}-${index}`} role="row" aria-rowindex={index + 2} aria-selected={ticked.has(offer.key)} aria-disabled={offer.mayTake ? undefined : true}
                aria-label={listWords.rowLabel(row, change.kind === 'gone' ? change.tag : change.row.tag, listWords.kinds[change.kind], all)}
                className="list-row" data-active={index === at ? '' : undefined} data-kind={change.kind} style={{ ...head, transform: `translateY(${start}px)` }} onClick={() => { setActive(index); }}>
                <div role="gridcell" className="list-cell" data-tick={offer.mayTake ? '' : undefined} onClick={() => { flip(offer); }}>
                  {offer.mayTake && <span className="flag-box" data-checked={ticked.has(offer.key) ? '' : undefined} aria-hidden="true">{ticked.has(offer.key) && <span className="flag-tick"><svg width="10" height="8" viewBox="0 0 10 8"><path d="M1 4.2 3.6 6.8 9 1" /></svg></span>}</span>}
                </div>
                <div role="gridcell" className="list-cell">{row ?? ''}</div>
                <div role="gridcell" className="list-cell list-kind">{listWords.kinds[change.kind]}</div>
                {columns.map((_, column) => <Cell key={column} offer={offer} column={column} review={review} />)}
                {!hasKind && <KindCell offer={offer} />}
                {all.length > 0 && <div role="gridcell" className="list-notes">{said.faults.map((note) => <p key={note} data-fault="">{note}</p>)}{said.hints.map((note) => <p key={note}>{note}</p>)}</div>}
              </div>
            );
          })}
        </div>
      </div>
      {shown.length === 0 && <p className="empty">{listWords.nothingHere}</p>}
    </div>
  );
}
