import { useEffect, useId, useRef } from 'react';
import type { KeyboardEvent, ReactNode } from 'react';

export interface PickItem { readonly id: string; readonly label: string; readonly body: ReactNode; readonly group?: string | undefined }

/**
 * One keyboard list for all lists of the side panel: arrows, Home and End choose, Enter goes to the thing, Space ticks it where it can be ticked, Delete removes it.
 * The list keeps the focus and names the chosen row to a screen reader (aria-activedescendant), so rows stay plain text.
 */
export function PickList({ label, items, chosen, onChoose, onGo, onDelete, onToggle, onHover, empty }: {
  label: string; items: readonly PickItem[]; chosen: string | null;
  onChoose: (id: string) => void; onGo?: (id: string) => void; onDelete?: (id: string) => void; onToggle?: (id: string) => void; onHover?: (id: string | null) => void; empty: ReactNode;
}) {
  const prefix = useId();
  const box = useRef<HTMLDivElement>(null);
  const at = items.findIndex((item) => item.id === chosen);
  useEffect(() => {
    if (at >= 0) box.current?.querySelector(`[data-row="${at}"]`)?.scrollIntoView({ block: 'nearest' });
  }, [at]);
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
  return (
    <div ref={box} className="pick-list" role="listbox" tabIndex={0} aria-label={label} aria-activedescendant={at >= 0 ? `${prefix}-${at}` : undefined} onKeyDown={onKeyDown}>
      {items.map((item, index) => (
        <div key={item.id} id={`${prefix}-${index}`} data-row={index} role="option" aria-selected={index === at} aria-label={item.label} className="row"
          data-first-of-group={item.group !== undefined && item.group !== items[index - 1]?.group ? item.group : undefined}
          onMouseEnter={onHover ? () => { onHover(item.id); } : undefined} onMouseLeave={onHover ? () => { onHover(null); } : undefined}
          onClick={() => { onChoose(item.id); }} onDoubleClick={() => { onGo?.(item.id); }}>
          {item.body}
        </div>
      ))}
    </div>
  );
}
