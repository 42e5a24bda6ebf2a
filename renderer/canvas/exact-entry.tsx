import { useEffect, useRef, useState } from 'react';
import type { Modifiers } from '../tools/tool';
import type { EntryFault } from '../tools/typed-entry';

interface ExactEntryProps {
  /** The character that opened the entry. */
  readonly first: string;
  readonly x: number;
  readonly y: number;
  readonly submit: (text: string, modifiers: Modifiers) => { readonly ok: true } | EntryFault;
  readonly close: () => void;
}

/** The exact entry beside the pointer: begins with the first character typed; what can be meant in two ways is asked back. */
export function ExactEntry({ first, x, y, submit, close }: ExactEntryProps) {
  const [text, setText] = useState(first);
  const [fault, setFault] = useState<EntryFault | null>(null);
  const field = useRef<HTMLInputElement>(null);
  const frame = useRef<HTMLDivElement>(null);
  useEffect(() => { field.current?.focus(); field.current?.setSelectionRange(first.length, first.length); }, [first]);
  // The page's policy refuses style attributes in markup; set from script they are allowed.
  useEffect(() => { if (frame.current) { frame.current.style.left = `${x}px`; frame.current.style.top = `${y}px`; } }, [x, y]);
  const send = (value: string, shift: boolean): void => {
    const outcome = submit(value, { shift, alt: false, control: false });
    if (outcome.ok) close(); else setFault(outcome);
  };
  return (
    <div className="exact-entry" ref={frame}>
      <input ref={field} aria-label="Exact length or position" aria-describedby="exact-entry-help" aria-invalid={fault !== null} value={text} autoComplete="off" spellCheck={false}
        onChange={(e) => { setText(e.target.value); setFault(null); }}
        onBlur={(e) => { if (!(e.relatedTarget instanceof Node && frame.current?.contains(e.relatedTarget))) close(); }}
        onKeyDown={(e) => {
          if (e.key === 'Enter') { e.preventDefault(); send(text, e.shiftKey); }
          else if (e.key === 'Escape') { e.preventDefault(); e.stopPropagation(); close(); }
          else if (e.key === 'ArrowDown' && fault && fault.choices.length > 0) { e.preventDefault(); frame.current?.querySelector('button')?.focus(); }
        }} />
      <p id="exact-entry-help" role={fault ? 'alert' : undefined}>{fault ? fault.reason : 'Enter places it.'}</p>
      {fault?.choices.map((choice) => (
        <button type="button" key={choice.text} onClick={() => { send(choice.text, false); }} onKeyDown={(e) => {
          if (e.key === 'Escape') { e.preventDefault(); e.stopPropagation(); close(); }
          const other = e.key === 'ArrowDown' ? e.currentTarget.nextElementSibling : e.key === 'ArrowUp' ? e.currentTarget.previousElementSibling : null;
          if (other instanceof HTMLButtonElement) { e.preventDefault(); other.focus(); }
        }}>{choice.text}</button>
      ))}
    </div>
  );
}
