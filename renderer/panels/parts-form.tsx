import { useId, useMemo, useRef, useState } from 'react';
import { entitiesOf, putEntities } from '../../shared-core/document/index';
import type { Load, LoadData, LoadKind } from '../../shared-core/document/index';
import { amendLoad, partFaults, partName, readLoadText, writeLoadText } from '../../shared-core/sizing/index';
import type { LoadText } from '../../shared-core/sizing/index';
import { store } from '../state/store';
import { loadKindNames, words } from '../text/index';
import { loadFields } from './data-fields';
import { DataForm } from './data-form';
import { withoutUnset } from './edit-entity';
import { ChoiceField, TextField } from './fields';
import { NotationInput, unreadOf } from './notation-input';
import { Section } from './section';
import { useApp } from './use-app';

const NAME = 'name';

const KINDS = (Object.keys(loadKindNames) as LoadKind[]).filter((kind) => kind !== 'service' && kind !== 'feeder').map((value) => ({ value, label: loadKindNames[value] }));
const lineOf = (part: LoadData): string => writeLoadText(part, partName(part));
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

/** One part with a field changed; what was typed for it stays as a hint beside the field. */
function changed<K extends keyof LoadData>(part: LoadData, field: K, value: LoadData[K] | undefined, typed?: string): LoadData {
  const { [field]: _, ...kept } = part.typed ?? {};
  const hints = value === undefined || typed === undefined || typed === '' ? kept : { ...kept, [field]: typed.slice(0, 200) };
  return withoutUnset({ ...part, [field]: value, typed: Object.keys(hints).length > 0 ? hints : undefined });
}

/** The fields of one part, as of a load of its own: what a line in notation has no words for can be entered here. */
function PartFields({ part, label, onChange }: { part: LoadData; label: string; onChange: (what: string, next: LoadData) => void }) {
  const system = useApp((s) => s.document.facts.units);
  const systems = useApp((s) => s.document.facts.systems).map((s) => ({ value: s.id, label: s.name }));
  const rename = (name: string): void => {
    const { [NAME]: _, ...hints } = part.typed ?? {};
    const typed = name === '' ? hints : { ...hints, [NAME]: name };
    onChange(words.chosen.name, withoutUnset({ ...part, typed: Object.keys(typed).length > 0 ? typed : undefined }));
  };
  return (
    <div className="part-fields" role="group" aria-label={label}>
      <div className="form">
        <TextField label={words.chosen.name} value={partName(part)} max={200} onCommit={rename} />
        <ChoiceField label={words.chosen.kind} value={part.kind} choices={KINDS} onCommit={(kind) => { if (kind) onChange(words.chosen.kind, { ...part, kind }); }} />
        <ChoiceField label={words.chosen.system} value={part.system} choices={systems} unset={words.parts.asMachine} onCommit={(value) => { onChange(words.chosen.system, changed(part, 'system', value)); }} />
      </div>
      <DataForm fields={loadFields(part).filter((field) => field.key !== 'startTogether')} data={part} system={system} typed={part.typed} unset={words.field.notGiven}
        onChange={(field, what, value, typed) => { onChange(what, changed(part, field, value as never, typed)); }} />
    </div>
  );
}

/** The parts of a machine on one disconnect: a line each in trade notation with its fields behind it, to add, change, move and remove; what a part lacks stands at the part. */
export function PartsForm({ load, open }: { load: Load; open: boolean }) {
  const document = useApp((s) => s.document);
  const list = useRef<HTMLOListElement>(null);
  /** The part whose fields are shown. */
  const [shown, setShown] = useState<number | null>(null);
  const parts = load.data.parts ?? [];
  const device = useMemo(() => entitiesOf(document, 'disconnect').find((d) => d.serves.includes(load.id)), [document, load.id]);
  const faults = useMemo(() => (load.data.parts ? partFaults(document, load, device) : []), [document, load, device]);
  const commit = (name: string, next: readonly LoadData[]): void => {
    const { parts: _, ...rest } = load.data;
    store.getState().commit(putEntities(store.getState().document, name, [{ ...load, data: next.length > 0 ? { ...rest, parts: next } : rest }]));
  };
  const put = (name: string, at: number, next: LoadData): void => { commit(name, parts.map((p, i) => (i === at ? next : p))); };
  const remove = (at: number): void => {
    setShown((now) => (now === null || now === at ? null : now > at ? now - 1 : now));
    commit(words.parts.removed(at + 1, load.tag), parts.filter((_, i) => i !== at));
    list.current?.querySelector<HTMLInputElement>('li:last-child input')?.focus();
  };
  const move = (at: number, way: 'up' | 'down'): void => {
    const to = way === 'up' ? at - 1 : at + 1;
    const part = parts[at];
    const other = parts[to];
    if (!part || !other) return;
    setShown((now) => (now === at ? to : now === to ? at : now));
    commit(words.parts.moved(at + 1, to + 1, load.tag), parts.map((p, i) => (i === at ? other : i === to ? part : p)));
    // The hand stays on the part that moved, so that it can be moved on.
    list.current?.children[to]?.querySelector<HTMLButtonElement>(`[data-move=${way}]`)?.focus();
  };
  return (
    <Section title={words.parts.title(parts.length)} open={open}>
      <ol className="parts" ref={list} aria-label={words.parts.listOf(load.tag)}>
        {parts.map((part, i) => {
          const fault = faults[i] ?? null;
          const mover = (way: 'up' | 'down', end: boolean, label: string, sign: string) => (
            <button type="button" className="drop" data-move={way} aria-label={label} title={label} aria-disabled={end} onClick={() => { move(i, way); }}>{sign}</button>
          );
          return (
            <li key={i} data-fault={fault === null ? undefined : ''}>
              <span className="part-number" aria-hidden="true">{i + 1}</span>
              <NotationLine label={words.parts.part(i + 1)} shown={lineOf(part)} fault={fault === null ? null : words.parts.fault(fault)}
                onTake={(line) => { put(words.parts.changed(i + 1, load.tag), i, named(amendLoad(part, line, partName(part)), line)); }} />
              <span className="part-acts">
                <button type="button" className="drop" aria-expanded={shown === i} aria-label={words.parts.fields(i + 1)} title={words.parts.fields(i + 1)} onClick={() => { setShown(shown === i ? null : i); }}>⋯</button>
                {mover('up', i === 0, words.parts.up(i + 1), '↑')}
                {mover('down', i === parts.length - 1, words.parts.down(i + 1), '↓')}
                <button type="button" className="drop" aria-label={words.parts.remove(i + 1)} title={words.parts.remove(i + 1)} onClick={() => { remove(i); }}>×</button>
              </span>
              {shown === i && <PartFields part={part} label={words.parts.fields(i + 1)} onChange={(what, next) => { put(words.parts.set(what, i + 1, load.tag), i, next); }} />}
            </li>
          );
        })}
        <li key="add">
          <span className="part-number" aria-hidden="true">+</span>
          <NotationLine label={words.parts.add} shown="" placeholder={words.parts.placeholder} onTake={(line) => { commit(words.parts.added(parts.length + 1, load.tag), [...parts, named(line.data, line)]); }} />
        </li>
      </ol>
      <p className="step-note">{words.parts.note}</p>
    </Section>
  );
}
