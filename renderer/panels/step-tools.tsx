import { store } from '../state/store';
import { TOOL_KEYS, TOOL_NAMES } from '../tools/keys';
import { words } from '../text/index';
import { stepStates } from './step-states';
import { STEP_TOOLS } from './step-tools-of';
import { useApp } from './use-app';

function UndoButtons() {
  const undo = useApp((s) => s.done.at(-1)?.name);
  const redo = useApp((s) => s.undone.at(-1)?.name);
  return (
    <div className="undo" role="group" aria-label={words.tools.undoShort}>
      <button type="button" className="tool" disabled={undo === undefined} title={undo === undefined ? words.tools.nothingToUndo : `${words.tools.undo(undo)} (Ctrl+Z)`}
        aria-label={undo === undefined ? words.tools.nothingToUndo : words.tools.undo(undo)} onClick={() => { store.getState().undo(); }}>
        <svg width="14" height="12" viewBox="0 0 14 12" aria-hidden="true"><path d="M4.5 1 1.2 4.2l3.3 3.2M1.6 4.2h7a3.6 3.6 0 0 1 0 7.2H5" /></svg>
        <span className="undo-name">{undo ?? words.tools.undoShort}</span>
      </button>
      <button type="button" className="tool" disabled={redo === undefined} title={redo === undefined ? words.tools.nothingToRedo : `${words.tools.redo(redo)} (Ctrl+Y)`}
        aria-label={redo === undefined ? words.tools.nothingToRedo : words.tools.redo(redo)} onClick={() => { store.getState().redo(); }}>
        <svg width="14" height="12" viewBox="0 0 14 12" aria-hidden="true"><path d="m9.5 1 3.3 3.2-3.3 3.2M12.4 4.2h-7a3.6 3.6 0 0 0 0 7.2H9" /></svg>
        {redo !== undefined && <span className="undo-name">{redo}</span>}
      </button>
    </div>
  );
}

/** The chosen step's tools with their keys, what the tool in hand expects, and what the step lacks. */
export function StepTools() {
  const step = useApp((s) => s.step);
  const tool = useApp((s) => s.tool);
  const hint = useApp((s) => s.hint);
  const document = useApp((s) => s.document);
  const audit = useApp((s) => s.audit);
  const sheet = useApp((s) => s.sheet);
  const lacks = stepStates({ document, audit, sheet, revision: 0, savedRevision: 0 }).find((s) => s.id === step)?.lacks ?? [];
  return (
    <section className="tool-bar" aria-label={words.tools.bar}>
      <div className="tools" role="toolbar" aria-label={words.tools.label}>
        {STEP_TOOLS[step].map((id) => (
          <button key={id} type="button" className="tool" aria-pressed={tool === id} aria-keyshortcuts={TOOL_KEYS[id]} title={TOOL_NAMES[id]} disabled={sheet === null} onClick={() => { store.getState().setTool(id); }}>
            <kbd>{TOOL_KEYS[id]}</kbd>{words.tools.names[id]}
          </button>
        ))}
      </div>
      <p className="tool-hint" aria-live="polite" title={hint !== '' ? hint : lacks.join(' ')}>{hint !== '' ? hint : lacks.join(' ')}</p>
      <UndoButtons />
    </section>
  );
}
