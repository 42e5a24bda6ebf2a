import { useEffect, useRef } from 'react';
import { store } from '../state/store';
import { words } from '../text/index';
import { ExceptionDialog } from './exception-dialog';
import { FactsDialog } from './facts-dialog';
import { HelpDialog } from './help-dialog';
import { ListDialog } from './list-dialog';
import { Modal } from './modal';
import { OpenPlanDialog } from './open-plan-dialog';
import { onAskLeave, saveProject } from './project-actions';
import { uiStore, useUi } from './ui-store';
import { useApp } from './use-app';

/** Before unsaved work is left: save, go on, or stay. Closing the dialog stays. */
function LeaveDialog({ open }: { open: boolean }) {
  const name = useApp((s) => s.project?.name ?? s.document.facts.name);
  const answer = useRef<(go: boolean) => void>(() => undefined);
  useEffect(() => {
    onAskLeave(() => new Promise((resolve) => { answer.current = resolve; uiStore.getState().openDialog('leave'); }));
  }, []);
  const give = (go: boolean): void => { uiStore.getState().openDialog(null); answer.current(go); };
  return (
    <Modal open={open} title={words.project.leaveTitle} onClose={() => { give(false); }}>
      <p>{words.project.leaveText(name)}</p>
      <div className="actions end">
        <button type="button" className="chip" onClick={() => { give(false); }}>{words.project.leaveStay}</button>
        <button type="button" className="chip is-careful" onClick={() => { give(true); }}>{words.project.leaveDrop}</button>
        <button type="button" className="chip is-main" onClick={() => { void saveProject(false).then(give); }}>{words.project.leaveSave}</button>
      </div>
    </Modal>
  );
}

export function Dialogs() {
  const dialog = useUi((s) => s.dialog);
  const exception = useUi((s) => s.exception);
  const close = (): void => { uiStore.getState().openDialog(null); };
  return (
    <>
      <OpenPlanDialog open={dialog === 'open-plan'} />
      <ListDialog open={dialog === 'list'} />
      <FactsDialog open={dialog === 'facts'} onClose={close} />
      <HelpDialog open={dialog === 'help'} onClose={close} />
      <LeaveDialog open={dialog === 'leave'} />
      {exception && <ExceptionDialog key={`${exception.disconnect} ${exception.load}`} draft={exception} onClose={() => { uiStore.getState().askException(null); store.getState().select([exception.disconnect]); }} />}
    </>
  );
}
