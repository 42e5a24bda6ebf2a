import { Progress } from '@base-ui/react/progress';
import { useState } from 'react';
import { words } from '../text/index';
import { Modal } from './modal';
import { PageChooser } from './page-chooser';
import { cancelReading, endIntake, givePassword, offerPlan, useIntake, useRevisionOf } from './plan-intake';
import type { Intake } from './plan-intake';

function Choose({ intake }: { intake: Extract<Intake, { kind: 'choose' }> }) {
  const [over, setOver] = useState(false);
  return (
    <>
      {intake.problem && <div className="problem" role="alert"><p className="notice-what">{intake.problem.what}</p><p className="notice-todo">{intake.problem.todo}</p></div>}
      <div className="drop-place" data-over={over ? '' : undefined} onDragEnter={() => { setOver(true); }} onDragLeave={() => { setOver(false); }}>
        <p>{words.intake.drop}</p>
        <button type="button" className="chip is-main" onClick={() => { void offerPlan(); }}>{words.intake.choose}</button>
        <p className="step-note">{words.intake.kinds}</p>
      </div>
    </>
  );
}

function Reading({ intake }: { intake: Extract<Intake, { kind: 'reading' }> }) {
  return (
    <Progress.Root className="reading" value={intake.done > 0 ? Math.round(intake.done * 100) : null} aria-label={words.busy.reading(intake.name)}>
      <p>{words.busy.reading(intake.name)}</p>
      <Progress.Track className="busy-track"><Progress.Indicator className="busy-run" /></Progress.Track>
      <p className="step-note">{intake.note === '' ? words.intake.reading : intake.note}</p>
      <button type="button" className="chip" onClick={() => { cancelReading(intake); }}>{words.busy.cancel}</button>
    </Progress.Root>
  );
}

function Password({ intake }: { intake: Extract<Intake, { kind: 'password' }> }) {
  const [text, setText] = useState('');
  return (
    <form className="form" onSubmit={(event) => { event.preventDefault(); void givePassword(intake, text); }}>
      <p className="is-wide">{intake.wrong ? words.intake.passwordWrong(intake.name) : words.intake.passwordNeeded(intake.name)}</p>
      <div className="field"><label htmlFor="plan-password">{words.intake.password}</label>
        <span className="field-box"><input id="plan-password" type="password" autoComplete="off" autoFocus maxLength={200} value={text} onChange={(event) => { setText(event.target.value); }} /></span></div>
      <button type="submit" className="chip is-main">{words.intake.openIt}</button>
    </form>
  );
}

/** Brings a plan in: choose or drop a file, wait with progress, a password where one is asked for, the pages that matter. */
export function OpenPlanDialog({ open }: { open: boolean }) {
  const intake = useIntake();
  const isRevision = useRevisionOf() !== null;
  return (
    <Modal open={open} title={isRevision ? words.revision.title : words.intake.title} wide={intake.kind === 'pages'} onClose={() => { if (intake.kind === 'reading') cancelReading(intake); endIntake(); }}>
      {intake.kind === 'choose' && <Choose intake={intake} />}
      {intake.kind === 'reading' && <Reading intake={intake} />}
      {intake.kind === 'password' && <Password intake={intake} />}
      {intake.kind === 'pages' && <PageChooser key={intake.info.blob} intake={intake} />}
    </Modal>
  );
}
