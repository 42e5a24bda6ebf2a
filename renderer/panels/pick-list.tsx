import { useVirtualizer } from '@tanstack/react-virtual';
import { useEffect, useId, useRef } from 'react';
import type { KeyboardEvent, ReactNode } from 'react';

export interface PickItem { readonly id: string; readonly label: string; readonly body: ReactNode; readonly group?: string | undefined }

/** Of a list longer than this only the rows in view are drawn. */
const MANY = 200;
/** About the height of a row, pixels, before it is drawn; and of the name of a group above it. */
const LINE = 34;
const GROUP = 22;

/**
 * One keyboard list for all lists of the side panel: arrows, Home and End choose, Enter goes to the thing, Space ticks it where it can be ticked, Delete removes it.
 * The list keeps the focus and names the chosen row to a screen reader (aria-activedescendant), so rows stay plain text. Thousands of rows stay quick.
 */
export function PickList({ label, items, chosen, onChoose, onGo, onDelete, onToggle, onHover, empty }: {
  label: string; items: readonly PickItem[]; chosen: string | null;
  onChoose: (id: string) => void; onGo?: (id: string) => void; onDelete?: (id: string) => void; onToggle?: (id: string) => void; onHover?: (id: string | null) => void; empty: ReactNode;
}) {
  const prefix = useId();
  const box = useRef<HTMLDivElement>(null);
  const at = items.findIndex((item) => item.id === chosen);
  const isLong = items.length > MANY;
  const groupAt = (index: number): string | undefined => { const group = items[index]?.group; return group !== undefined && group !== items[index - 1]?.group ? group : undefined; };
  // The library hands out functions that must not be memoised; it is used here and nowhere below.
  // eslint-disable-next-line react-hooks/incompatible-library
  const rows = useVirtualizer({
    count: isLong ? items.length : 0, getScrollElement: () => box.current, overscan: 12, getItemKey: (i) => items[i]?.id ?? i,
    estimateSize: (i) => LINE + (groupAt(i) === undefined ? 0 : GROUP),
  });
  useEffect(() => {
    if (at < 0) return;
    if (isLong) rows.scrollToIndex(at, { align: 'auto' });
    else box.current?.querySelector(`[data-row="${at}"]`)?.scrollIntoView({ block: 'nearest' });
    // eslint-disable-next-line react-hooks/exhaustive-deps -- only another chosen row scrolls the list
  }, [at, isLong]);
  if (items.length === 0) return <p className="empty">{empty}</p>;
  const onKeyDown = (event: KeyboardEvent) => {
    if (event.target !== event.currentTarget) return;
    const move = { ArrowDown: at + 1, ArrowUp: at < 0 ? 0 : at - 1, Home: 0, End: items.length - 1, PageDown: at + 8, PageUp: at - 8 }[event.key];
    const current = items[at];
    if (move !== undefined) {
      const next = items[Math.max(0, Math.min(items.length - 1, move))];
      if (next) onChoose(next.id);
    } else if (event.key === 'Enter' && current && onGo) onGo(current.id);
    else if (event.key === ' ' && current && onToggle) onToggle(current.id);
    else if (event.key === 'Delete' && current && onDelete) onDelete(current.id);
    else return;
    event.preventDefault();
    event.stopPropagation();
  };
  const rowOf = (item: PickItem, index: number): ReactNode => (
    <div key={item.id} id={`${prefix}-${index}`} data-row={index} role="option" aria-selected={index === at} aria-label={item.label} aria-setsize={isLong ? items.length : undefined} aria-posinset={isLong ? index + 1 : undefined} className="row"
      data-first-of-group={groupAt(index)}
      onMouseEnter={onHover ? () => { onHover(item.id); } : undefined} onMouseLeave={onHover ? () => { onHover(null); } : undefined}
      onClick={() => { onChoose(item.id); }} onDoubleClick={() => { onGo?.(item.id); }}>
      {item.body}
    </div>
  );
  return (
    <div ref={box} className="pick-list" role="listbox" tabIndex={0} aria-label={label} aria-activedescendant={at >= 0 ? `${prefix}-${at}` : undefined} onKeyDown={onKeyDown}>
      {!isLong ? items.map(rowOf) : (
        <div role="presentation" className="rows-place" style={{ height: rows.getTotalSize() }}>
          {rows.getVirtualItems().map(({ index, start, key }) => {
            const item = items[index];
            return item && <div key={key} ref={rows.measureElement} data-index={index} role="presentation" className="row-place" style={{ transform: `translateY(${start}px)` }}>{rowOf(item, index)}</div>;
          })}
        </div>
      )}
    </div>
  );
}
