import { useState } from 'react';
import { KEY_RECORD } from '../../shared-core/checks/index';
import { newId, putEntities } from '../../shared-core/document/index';
import type { ExceptionRecord } from '../../shared-core/document/index';
import { store } from '../state/store';
import { exceptionName, words } from '../text/index';
import { ChoiceField } from './fields';
import { entityName } from './edit-entity';
import { isDate } from './iso-date';
import { Modal } from './modal';
import type { ExceptionDraft } from './ui-store';
import { useApp } from './use-app';
import { exceptionConditions } from './rule-questions';

const LINES = ['reason', 'document', 'person', 'date'] as const;
type Line = (typeof LINES)[number];

const KEYS = [{ id: KEY_RECORD, words: exceptionName(KEY_RECORD) }];

/** Records why a place out of sight is accepted, or who holds the key to a locked one. Nothing is filled in: the program never makes an exception. */
export function ExceptionDialog({ draft, onClose }: { draft: ExceptionDraft; onClose: () => void }) {
  const document = useApp((s) => s.document);
  const device = document.entities[draft.disconnect];
  const load = document.entities[draft.load];
  const [condition, setCondition] = useState<string | undefined>(draft.about === 'keys' ? KEY_RECORD : undefined);
  const [lines, setLines] = useState<Record<Line, string>>({ reason: '', document: '', person: '', date: '' });
  const [fault, setFault] = useState<string | null>(null);
  if (device?.kind !== 'disconnect' || load?.kind !== 'load') return null;
  const keys = draft.about === 'keys';
  const conditions = keys ? KEYS : exceptionConditions(load.data, document.facts.edition);
  const says = keys ? words.keys : words.exception;
  const record = (): void => {
    const filled = LINES.every((line) => lines[line].trim() !== '');
    if (condition === undefined || !filled) { setFault(says.needs); return; }
    if (!isDate(lines.date.trim())) { setFault(words.exception.badDate); return; }
    const entity: ExceptionRecord = { id: newId('exception'), kind: 'exception', sheet: device.sheet, disconnect: device.id, load: load.id, condition,
      reason: lines.reason.trim(), document: lines.document.trim(), person: lines.person.trim(), date: lines.date.trim() };
    store.getState().commit(putEntities(document, (keys ? words.edits.keys : words.edits.exception)(entityName(load), entityName(device)), [entity]));
    onClose();
  };
  return (
    <Modal open title={says.title} onClose={onClose}>
      <p>{says.intro(load.tag, device.tag)}</p>
      {conditions.length === 0 ? <p className="asks" role="alert">{words.exception.noneExists(load.tag)}</p> : (
        <form className="form one-column" onSubmit={(event) => { event.preventDefault(); record(); }}>
          {!keys && <ChoiceField label={words.exception.condition} value={condition} choices={conditions.map((c) => ({ value: c.id, label: c.words }))} unset={words.exception.chooseCondition} onCommit={setCondition} />}
          {LINES.map((line) => (
            <div className="field" key={line}>
              <label htmlFor={`exception-${line}`}>{says[line]}</label>
              <span className="field-box"><input id={`exception-${line}`} type="text" autoComplete="off" maxLength={2000} placeholder={line === 'date' ? words.exception.datePlaceholder : undefined} value={lines[line]} onChange={(event) => { setLines({ ...lines, [line]: event.target.value }); setFault(null); }} /></span>
            </div>
          ))}
          {fault !== null && <p className="field-fault" role="alert">{fault}</p>}
          <div className="actions end">
            <button type="button" className="chip" onClick={onClose}>{words.exception.cancel}</button>
            <button type="submit" className="chip is-main">{words.exception.record}</button>
          </div>
        </form>
      )}
    </Modal>
  );
}
