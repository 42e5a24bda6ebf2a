import { Checkbox } from '@base-ui/react/checkbox';
import { Progress } from '@base-ui/react/progress';
import { useEffect, useRef, useState } from 'react';
import { host } from '../host-client';
import { sheetWords, words } from '../text/index';
import { TypedField } from './fields';
import { readPageRange, showPageRange } from './page-range';
import { restartIntake, takePages, useRevisionOf } from './plan-intake';
import type { Intake, PlanInfo, PlanPage } from './plan-intake';
import { newJob } from './project-actions';
import './sheets.css';

/** Pages shown at first and with each further step. */
const SHOWN_AT_ONCE = 12;
/** Pages drawn in one call: few enough that the first show soon, and that stopping is quick. */
const DRAWN_AT_ONCE = 4;

/** undefined: not drawn yet; null: cannot be drawn. */
type Pictures = ReadonlyMap<number, string | null>;

/** Draws small pictures of the first pages, a few at a time, until stopped; what is drawn stays. */
function usePictures(info: PlanInfo, password: string | undefined, upTo: number, isStopped: boolean): Pictures {
  const [pictures, setPictures] = useState<Pictures>(new Map());
  const made = useRef(new Map<number, string | null>());
  useEffect(() => {
    const kept = made.current;
    return () => { for (const url of kept.values()) if (url !== null) URL.revokeObjectURL(url); kept.clear(); };
  }, [info]);
  useEffect(() => {
    if (isStopped) return undefined;
    let gone = false;
    let job = '';
    void (async () => {
      for (;;) {
        const next = info.pages.slice(0, upTo).map((page) => page.page).filter((page) => !made.current.has(page)).slice(0, DRAWN_AT_ONCE);
        if (next.length === 0) return;
        job = newJob();
        const drawn = await host.call('planThumbnails', { blob: info.blob, pages: next, job, ...(password === undefined ? {} : { password }) });
        if (gone) return;
        next.forEach((page, i) => {
          const bytes = drawn.ok ? drawn.value.pictures[i] : null;
          made.current.set(page, bytes ? URL.createObjectURL(new Blob([bytes as Uint8Array<ArrayBuffer>], { type: drawn.ok ? drawn.value.media : '' })) : null);
        });
        setPictures(new Map(made.current));
      }
    })();
    return () => { gone = true; if (job !== '') void host.call('cancel', { job }); };
  }, [info, password, upTo, isStopped]);
  return pictures;
}

const Tick = () => <svg width="10" height="8" viewBox="0 0 10 8" aria-hidden="true"><path d="M1 4.2 3.6 6.8 9 1" /></svg>;

const sizeOf = (page: PlanPage): string => (page.unitsPerPaperInch === null ? `${Math.round(page.width)} x ${Math.round(page.height)}` : words.intake.size(page.width / page.unitsPerPaperInch, page.height / page.unitsPerPaperInch));

/** The pages of one file, with pictures, to take one or several as sheets; where a sheet asked for its next issue, one. */
export function PageChooser({ intake }: { intake: Extract<Intake, { kind: 'pages' }> }) {
  const { info } = intake;
  const isRevision = useRevisionOf() !== null;
  const [chosen, setChosen] = useState<ReadonlySet<number>>(new Set(info.pages.slice(0, 1).map((p) => p.page)));
  const [shown, setShown] = useState(SHOWN_AT_ONCE);
  const [isStopped, setStopped] = useState(false);
  const last = useRef<number | null>(null);
  const pictures = usePictures(info, intake.password, shown, isStopped);
  const wanted = Math.min(shown, info.pages.length);
  const toggle = (at: number, on: boolean, isRange: boolean): void => {
    const from = isRange && last.current !== null ? Math.min(last.current, at) : at;
    const to = isRange && last.current !== null ? Math.max(last.current, at) : at;
    const next = new Set(isRevision ? [] : chosen);
    for (const page of isRevision ? [at] : Array.from({ length: to - from + 1 }, (_, i) => from + i)) { const number = info.pages[page]?.page; if (number !== undefined) { if (on) next.add(number); else next.delete(number); } }
    last.current = at;
    setChosen(next);
  };
  // A page that could not be read has no place among the pages; naming it takes nothing.
  const there = new Set(info.pages.map((p) => p.page));
  const total = Math.max(...there) + 1;
  return (
    <div className="page-chooser">
      <p>{isRevision ? words.revision.chooseOne(info.name, info.pages.length) : words.intake.whichPages(info.name, info.pages.length)}</p>
      {!isRevision && (
        <div className="page-picks">
          <TypedField label={sheetWords.pages} shown={showPageRange(chosen)} placeholder="1-3, 7" hint={sheetWords.pagesHint} read={(text) => readPageRange(text, total)} onClear={() => { setChosen(new Set()); }}
            onCommit={(pages) => { setChosen(new Set(pages.filter((page) => there.has(page)))); }} />
          <button type="button" className="quiet" onClick={() => { setChosen(there); }}>{sheetWords.allPages(info.pages.length)}</button>
          <button type="button" className="quiet" onClick={() => { setChosen(new Set()); }}>{sheetWords.noPages}</button>
        </div>
      )}
      <ul className="pages" aria-label={words.intake.pages}>
        {info.pages.slice(0, shown).map((page, at) => {
          const picture = pictures.get(page.page);
          const name = page.label ?? words.intake.page(page.page + 1);
          return (
            <li key={page.page}>
              <label className="page" data-chosen={chosen.has(page.page) ? '' : undefined}>
                <span className="thumbnail">{picture === null ? <small>{sheetWords.noPicture}</small> : picture === undefined ? <small>{isStopped ? sheetWords.notDrawn : sheetWords.drawing}</small> : <img src={picture} alt="" />}</span>
                <span className="page-name">
                  <Checkbox.Root className="flag-box" checked={chosen.has(page.page)} onCheckedChange={(on, details) => { toggle(at, on, 'shiftKey' in details.event && details.event.shiftKey === true); }}><Checkbox.Indicator className="flag-tick"><Tick /></Checkbox.Indicator></Checkbox.Root>
                  {name}
                </span>
                <small>{page.label === null ? '' : `${words.intake.page(page.page + 1)}, `}{sizeOf(page)}{page.scales[0] ? `, ${page.scales[0].name}` : ''}</small>
              </label>
            </li>
          );
        })}
      </ul>
      {shown < info.pages.length && <button type="button" className="quiet" onClick={() => { setShown(shown + SHOWN_AT_ONCE); }}>{words.intake.morePages(info.pages.length - shown)}</button>}
      <div className="page-foot">
        {pictures.size < wanted && (
          <div className="page-progress">
            <Progress.Root className="reading" value={Math.round((100 * pictures.size) / wanted)} aria-label={sheetWords.picturing}><span>{sheetWords.pictured(pictures.size, wanted)}</span><Progress.Track className="busy-track"><Progress.Indicator className="busy-run" /></Progress.Track></Progress.Root>
            <button type="button" className="chip" onClick={() => { setStopped(!isStopped); }}>{isStopped ? sheetWords.goOn : sheetWords.stop}</button>
          </div>
        )}
        <span className="spring" />
        <button type="button" className="chip" onClick={restartIntake}>{words.intake.otherFile}</button>
        <button type="button" className="chip is-main" disabled={chosen.size === 0} onClick={() => { takePages(info, info.pages.filter((p) => chosen.has(p.page))); }}>{isRevision ? words.revision.take : words.intake.add(chosen.size)}</button>
      </div>
    </div>
  );
}
