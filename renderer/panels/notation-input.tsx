import { useRef } from 'react';
import type { ReactNode } from 'react';
import type { LoadText } from '../../shared-core/sizing/index';

/** The pieces of a line that were not understood, as words for a message. */
export const unreadOf = (reading: LoadText): string[] => reading.notUnderstood.map((piece) => piece.text.trim()).filter((piece) => piece !== '');

/** The typed text once more behind the field, with what was not understood underlined. */
function Underlined({ text, reading }: { text: string; reading: LoadText }) {
  const parts: ReactNode[] = [];
  let at = 0;
  for (const piece of reading.notUnderstood) {
    parts.push(text.slice(at, piece.from), <u key={piece.from}>{text.slice(piece.from, piece.to)}</u>);
    at = piece.to;
  }
  return <div className="quick-under" aria-hidden="true">{parts}{text.slice(at)}</div>;
}

/**
 * A line in trade notation, with what was not understood underlined while it is typed.
 * @param onDrop Escape: back to what it was; absent while there is nothing to go back from
 * @param onTake Enter, or leaving the field; absent where a form around it takes the line
 */
export function NotationInput({ id, label, text, reading, describedBy, placeholder, invalid = false, onType, onDrop, onTake }: {
  id: string; label?: string; text: string; reading: LoadText; describedBy?: string | undefined; placeholder?: string; invalid?: boolean;
  onType: (text: string) => void; onDrop?: (() => void) | undefined; onTake?: (by: 'enter' | 'leaving') => void;
}) {
  const under = useRef<HTMLDivElement>(null);
  return (
    <span className="notation">
      <div className="quick-clip" ref={under}><Underlined text={text} reading={reading} /></div>
      <input id={id} type="text" autoComplete="off" spellCheck={false} maxLength={300} placeholder={placeholder} value={text} aria-label={label} aria-describedby={describedBy} aria-invalid={invalid}
        onScroll={(event) => { if (under.current) under.current.scrollLeft = event.currentTarget.scrollLeft; }} onChange={(event) => { onType(event.target.value); }} onBlur={() => { onTake?.('leaving'); }}
        onKeyDown={(event) => {
          if (event.key === 'Escape' && onDrop) { event.preventDefault(); event.stopPropagation(); onDrop(); }
          else if (event.key === 'Enter' && onTake) { event.preventDefault(); onTake('enter'); }
        }} />
    </span>
  );
}
