import { useId, useMemo, useRef, useState } from 'react';
import { entitiesOf, putEntities } from '../../shared-core/document/index';
import type { Load, LoadData } from '../../shared-core/document/index';
import { amendLoad, partFaults, readLoadText, writeLoadText } from '../../shared-core/sizing/index';
import type { LoadText } from '../../shared-core/sizing/index';
import { store } from '../state/store';
import { words } from '../text/index';
import { NotationInput, unreadOf } from './notation-input';
import { Section } from './section';
import { useApp } from './use-app';

const NAME = 'name';

/** What a person calls a part, kept with what was typed: parts carry no tag of their own. */
const nameOf = (part: LoadData): string => part.typed?.[NAME] ?? '';
const lineOf = (part: LoadData): string => writeLoadText(part, nameOf(part));
const namesOf = (line: LoadText): string => [line.tag, line.name].filter((t) => t !== undefined).join(' ').slice(0, 200);

function named(data: LoadData, line: LoadText): LoadData {
  const name = namesOf(line);
  const typed = { ...line.data.typed, ...(name === '' ? {} : { [NAME]: name }) };
  const { typed: _, ...rest } = data;
  return Object.keys(typed).length > 0 ? { ...rest, typed } : rest;
}

/**
 * One line in trade notation that is taken over on Enter or on leaving it. What was not understood is asked about first:
 * only a second Enter leaves it out.
 */
function NotationLine({ label, shown, onTake, placeholder, fault = null }: { label: string; shown: string; onTake: (line: LoadText) => void; placeholder?: string; fault?: string | null }) {
  const id = useId();
  // A draft belongs to the line it was begun on: after an undo another part may stand here.
  const [draft, setDraft] = useState<{ readonly text: string; readonly of: string } | null>(null);
  const [asked, setAsked] = useState(false);
  const typed = draft?.of === shown ? draft.text : null;
  const text = typed ?? shown;
  const reading = useMemo(() => readLoadText(text), [text]);
  const unread = typed === null ? [] : unreadOf(reading);
  const settle = (): void => { setDraft(null); setAsked(false); };
  const take = (by: 'enter' | 'leaving'): void => {
    if (typed === null) return;
    if (typed.trim() === '' || typed.trim() === shown) { settle(); return; }
    if (unread.length > 0 && !(asked && by === 'enter')) { setAsked(true); return; }
    settle();
    onTake(reading);
  };
  const said = unread.length > 0 ? (asked ? words.parts.takeWithout(unread.join(', ')) : words.loads.notUnderstood(unread.join(', '))) : typed === null ? fault : null;
  return (
    <span className="notation-line">
      <NotationInput id={id} label={label} text={text} reading={reading} invalid={said !== null} describedBy={said === null ? undefined : `${id}-said`} {...(placeholder === undefined ? {} : { placeholder })}
        onType={(next) => { setDraft({ text: next, of: shown }); setAsked(false); }} onDrop={typed === null ? undefined : settle} onTake={take} />
      <span id={`${id}-said`} className="asks" aria-live="polite">{said}</span>
    </span>
  );
}

/** The parts of a machine on one disconnect: a line each in trade notation, to add, change and remove; what a part lacks stands at the part. */
export function PartsForm({ load, open }: { load: Load; open: boolean }) {
  const document = useApp((s) => s.document);
  const list = useRef<HTMLOListElement>(null);
  const parts = load.data.parts ?? [];
  const device = useMemo(() => entitiesOf(document, 'disconnect').find((d) => d.serves.includes(load.id)), [document, load.id]);
  const faults = useMemo(() => (load.data.parts ? partFaults(document, load, device) : []), [document, load, device]);
  const commit = (name: string, next: readonly LoadData[]): void => {
    const { parts: _, ...rest } = load.data;
    store.getState().commit(putEntities(store.getState().document, name, [{ ...load, data: next.length > 0 ? { ...rest, parts: next } : rest }]));
  };
  const together = load.data.startTogether === undefined ? {} : { startTogether: load.data.startTogether };
  const remove = (at: number): void => {
    commit(words.parts.removed(at + 1, load.tag), parts.filter((_, i) => i !== at));
    list.current?.querySelector<HTMLInputElement>('li:last-child input')?.focus();
  };
  return (
    <Section title={words.parts.title(parts.length)} open={open}>
      <ol className="parts" ref={list} aria-label={words.parts.listOf(load.tag)}>
        {parts.map((part, i) => {
          const fault = faults[i] ?? null;
          return (
            <li key={i} data-fault={fault === null ? undefined : ''}>
              <span className="part-number" aria-hidden="true">{i + 1}</span>
              <NotationLine label={words.parts.part(i + 1)} shown={lineOf(part)} fault={fault === null ? null : words.parts.fault(fault, load.tag, i + 1)}
                onTake={(line) => { commit(words.parts.changed(i + 1, load.tag), parts.map((p, at) => (at === i ? named(amendLoad(p, line, nameOf(p)), line) : p))); }} />
              <button type="button" className="drop" aria-label={words.parts.remove(i + 1)} onClick={() => { remove(i); }}>×</button>
            </li>
          );
        })}
        <li key="add">
          <span className="part-number" aria-hidden="true">+</span>
          <NotationLine label={words.parts.add} shown="" placeholder={words.parts.placeholder} onTake={(line) => { commit(words.parts.added(parts.length + 1, load.tag), [...parts, named({ ...line.data, ...together }, line)]); }} />
        </li>
      </ol>
      <p className="step-note">{words.parts.note}</p>
    </Section>
  );
}
