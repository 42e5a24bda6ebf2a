import { Checkbox } from '@base-ui/react/checkbox';
import { Progress } from '@base-ui/react/progress';
import { useEffect, useState } from 'react';
import { host } from '../host-client';
import { words } from '../text/index';
import { Modal } from './modal';
import { cancelReading, endIntake, givePassword, offerPlan, restartIntake, takePages, useIntake, useRevisionOf } from './plan-intake';
import type { Intake, PlanInfo, PlanPage } from './plan-intake';

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

/** A small picture of a page: the coarsest level of its tiles. Failing to draw one never stops the choice. */
function Thumbnail({ info, page, password }: { info: PlanInfo; page: PlanPage; password: string | undefined }) {
  const [url, setUrl] = useState<string | null>(null);
  useEffect(() => {
    let made: string | null = null;
    let gone = false;
    void (async () => {
      const pyramid = await host.call('openPlan', { blob: info.blob, page: page.page, ...(password === undefined ? {} : { password }) });
      if (gone || !pyramid.ok) return;
      const level = pyramid.value.levels.length - 1;
      const tile = await host.call('planTile', { blob: info.blob, page: page.page, level, column: 0, row: 0 });
      if (gone || !tile.ok) return;
      made = URL.createObjectURL(new Blob([tile.value.bytes as Uint8Array<ArrayBuffer>], { type: tile.value.media }));
      setUrl(made);
    })();
    return () => { gone = true; if (made !== null) URL.revokeObjectURL(made); };
  }, [info, page, password]);
  return <span className="thumbnail">{url === null ? null : <img src={url} alt="" />}</span>;
}

const THUMBNAILS_AT_ONCE = 12;

function Pages({ intake }: { intake: Extract<Intake, { kind: 'pages' }> }) {
  const { info } = intake;
  const [chosen, setChosen] = useState<ReadonlySet<number>>(new Set(info.pages.slice(0, 1).map((p) => p.page)));
  const [shown, setShown] = useState(THUMBNAILS_AT_ONCE);
  const isRevision = useRevisionOf() !== null;
  const toggle = (page: number, on: boolean): void => { const next = new Set(isRevision ? [] : chosen); if (on) next.add(page); else next.delete(page); setChosen(next); };
  const size = (page: PlanPage): string => (page.unitsPerPaperInch === null ? `${Math.round(page.width)} x ${Math.round(page.height)}` : words.intake.size(page.width / page.unitsPerPaperInch, page.height / page.unitsPerPaperInch));
  return (
    <>
      <p>{isRevision ? words.revision.chooseOne(info.name, info.pages.length) : words.intake.whichPages(info.name, info.pages.length)}</p>
      <ul className="pages" aria-label={words.intake.pages}>
        {info.pages.slice(0, shown).map((page) => (
          <li key={page.page}>
            <label className="page">
              <Thumbnail info={info} page={page} password={intake.password} />
              <span className="page-name">
                <Checkbox.Root className="flag-box" checked={chosen.has(page.page)} onCheckedChange={(on) => { toggle(page.page, on); }}><Checkbox.Indicator className="flag-tick"><svg width="10" height="8" viewBox="0 0 10 8" aria-hidden="true"><path d="M1 4.2 3.6 6.8 9 1" /></svg></Checkbox.Indicator></Checkbox.Root>
                {page.label ?? words.intake.page(page.page + 1)}
              </span>
              <small>{size(page)}{page.scales[0] ? `, ${page.scales[0].name}` : ''}</small>
            </label>
          </li>
        ))}
      </ul>
      {shown < info.pages.length && <button type="button" className="quiet" onClick={() => { setShown(shown + THUMBNAILS_AT_ONCE); }}>{words.intake.morePages(info.pages.length - shown)}</button>}
      <div className="actions end">
        <button type="button" className="chip" onClick={restartIntake}>{words.intake.otherFile}</button>
        <button type="button" className="chip is-main" disabled={chosen.size === 0} onClick={() => { takePages(info, info.pages.filter((p) => chosen.has(p.page))); }}>{isRevision ? words.revision.take : words.intake.add(chosen.size)}</button>
      </div>
    </>
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
      {intake.kind === 'pages' && <Pages intake={intake} />}
    </Modal>
  );
}
