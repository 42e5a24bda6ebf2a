import { entityCount } from '../../shared-core/document/index';
import type { Document } from '../../shared-core/document/index';
import type { HostInput, HostOutput, Outcome, PdfSection, Problem } from '../../shared-core/host-api';
import { outOfPortions } from '../../shared-core/host-portions';
import { host } from '../host-client';
import { store } from '../state/store';
import { listWords, words } from '../text/index';
import { preparePlanIndex } from '../tools/plan-index';
import { uiStore } from './ui-store';

/** Shows a problem as what happened and what to do; nothing of the document changed. */
export function showProblem(problem: Problem): void { store.getState().notify('problem', problem.what, problem.todo); }

/** Runs one host call while the foot line says what the program is busy with. @returns its value, or null after showing the problem */
async function busyWith<T>(what: string, run: (job: string) => Promise<Outcome<T>>): Promise<T | null> {
  const job = newJob();
  // Only a call that carries its job can be cancelled.
  const cancel = run.length > 0 ? () => { void host.call('cancel', { job }); } : null;
  const stop = host.onProgress((progress) => { if (progress.job === job) uiStore.getState().setBusy({ what, done: progress.done, cancel }); });
  uiStore.getState().setBusy({ what, done: null, cancel });
  try {
    const outcome = await run(job);
    if (outcome.ok) return outcome.value;
    if (outcome.problem.code !== 'cancelled') showProblem(outcome.problem);
    return null;
  } finally { stop(); uiStore.getState().setBusy(null); }
}

let jobs = 0;
export const newJob = (): string => { jobs += 1; return `panel-${Date.now().toString(36)}-${jobs}`; };

export const isChanged = (): boolean => { const s = store.getState(); return s.revision !== s.savedRevision; };

/** Asks before unsaved work is left; resolves to whether to go on. Replaced by the window's dialog. */
let askLeave: () => Promise<boolean> = () => Promise.resolve(true);
export const onAskLeave = (ask: () => Promise<boolean>): void => { askLeave = ask; };

/** First call of the window: what it runs in, and the project it opens with (the demo on the first start). */
export async function startWindow(): Promise<void> {
  let started = await busyWith(words.busy.starting, () => host.call('start', {}));
  if (started && !(await takeOpened(words.busy.opening(started.opened.name), started.opened))) started = null;
  else if (started) { uiStore.setState({ version: started.version }); return; }
  // A file that cannot be opened was told, or was not waited for; the second answer is an empty project, without which nothing could be saved.
  const empty = await host.call('start', {});
  if (!empty.ok) return;
  uiStore.setState({ version: empty.value.version });
  await takeOpened(words.busy.starting, empty.value.opened);
}

type Opened = HostOutput<'openProject'>;

/** The window's turn between two portions of a large project. */
const aTurn = (): Promise<void> => new Promise((resolve) => { setTimeout(resolve, 0); });
/** Putting together between two turns, milliseconds. */
const SLICE = 8;

/** The document, and the index of the sheet it opens with; yields how much is done. */
function* preparing(document: Document, entities: Uint8Array): Generator<number, Document | null> {
  const parts = outOfPortions(document, entities);
  let part = parts.next();
  while (!part.done) { yield part.value / 2; part = parts.next(); }
  const [sheet] = document.sheets;
  if (!part.value || !sheet) return part.value;
  const count = entityCount(part.value.entities);
  let done = 0;
  for (const _ of preparePlanIndex(part.value, sheet.id)) { done += 1000; yield 0.5 + Math.min(0.5, done / count / 2); }
  return part.value;
}

/** A large project's document, put together between the frames. @returns null when the person called it off, or the bytes are not whole: that is told */
async function whole(what: string, { document, entities }: Opened, mayCancel: boolean): Promise<Document | null> {
  if (!entities) return document;
  let isOff = false;
  const cancel = mayCancel ? (): void => { isOff = true; } : null;
  uiStore.getState().setBusy({ what, done: 0, cancel });
  try {
    const steps = preparing(document, entities);
    let told = 0;
    for (;;) {
      const until = performance.now() + SLICE;
      let step = steps.next();
      while (!step.done && performance.now() < until) step = steps.next();
      if (step.done) { if (!step.value) showProblem(words.project.notWhole); return step.value; }
      if (step.value > told + 0.02) { told = step.value; uiStore.getState().setBusy({ what, done: told, cancel }); }
      await aTurn();
      if (isOff) return null;
    }
  } finally { uiStore.getState().setBusy(null); }
}

/** Shows a project that was opened; until all of it is here, the one before stays as it is. @returns whether it is shown */
async function takeOpened(what: string, opened: Opened): Promise<boolean> {
  const { revision, project } = store.getState();
  const isOther = project?.handle !== opened.project;
  const document = await whole(what, opened, isOther);
  // What was edited meanwhile was not asked about.
  if (!document || (store.getState().revision !== revision && isChanged() && !(await askLeave()))) {
    if (isOther) await host.call('leaveProject', { project: opened.project });
    return false;
  }
  const { load, notify } = store.getState();
  load(document, { handle: opened.project, name: opened.name });
  if (opened.recovered) {
    // Brought-back work is not on disk: it counts as changed until it is saved.
    store.setState({ savedRevision: -1 });
    notify('note', words.project.recovered(opened.name, opened.recovered.savedAt), words.project.recoveredTodo);
    uiStore.setState({ recovered: opened.project });
  } else uiStore.setState({ recovered: null });
  return true;
}

export async function openProject(file?: File): Promise<void> {
  if (isChanged() && !(await askLeave())) return;
  const picked = file ? await host.offerFile(file) : await host.call('pickFile', { purpose: 'project' });
  if (!picked.ok) { showProblem(picked.problem); return; }
  const token = picked.value;
  if (!token) return;
  const what = words.busy.opening(token.name);
  const outcome = await unlessCalledOff(what, (job) => host.call('openProject', { file: token.file, job }));
  if (outcome?.ok) await takeOpened(what, outcome.value);
  else if (outcome && outcome.problem.code !== 'cancelled') showProblem(outcome.problem);
}

/** Waits for a project to be opened unless that is called off, which counts at once: what still comes is left. @returns null when it was */
async function unlessCalledOff(what: string, run: (job: string) => Promise<Outcome<Opened>>): Promise<Outcome<Opened> | null> {
  const job = newJob();
  let callOff: () => void = () => undefined;
  const off = new Promise<null>((resolve) => { callOff = () => { void host.call('cancel', { job }); resolve(null); }; });
  const stop = host.onProgress((progress) => { if (progress.job === job) uiStore.getState().setBusy({ what, done: progress.done, cancel: callOff }); });
  uiStore.getState().setBusy({ what, done: null, cancel: callOff });
  const asked = run(job);
  try {
    const outcome = await Promise.race([asked, off]);
    if (!outcome) void asked.then((late) => (late.ok ? host.call('leaveProject', { project: late.value.project }) : null));
    return outcome;
  } finally { stop(); uiStore.getState().setBusy(null); }
}

export async function newProject(): Promise<void> {
  if (isChanged() && !(await askLeave())) return;
  const opened = await busyWith(words.busy.starting, () => host.call('newProject', {}));
  if (opened) await takeOpened(words.busy.starting, opened);
}

/** Gives up the work brought back after a crash and shows the project as it was last saved. */
export async function discardRecovery(): Promise<void> {
  // What was brought back is nowhere else: dropping it cannot be undone.
  if (uiStore.getState().recovered === null || (isChanged() && !(await askLeave()))) return;
  const project = uiStore.getState().recovered;
  // Saved in the dialog: then there is nothing left to drop.
  if (project === null) return;
  const what = words.busy.opening(store.getState().project?.name ?? '');
  const opened = await busyWith(what, () => host.call('discardRecovery', { project }));
  if (opened) await takeOpened(what, opened);
}

/** @returns whether the work is on disk (or handed to the browser) now */
export async function saveProject(as: boolean): Promise<boolean> {
  const { project, document, revision } = store.getState();
  if (!project) return false;
  const saved = await busyWith(words.busy.saving(project.name), (job) => host.call('saveProject', { project: project.handle, document, as, job }));
  if (!saved) return false;
  store.getState().markSaved(revision, { handle: saved.project, name: saved.name });
  uiStore.setState({ recovered: null });
  store.getState().notify('note', saved.download ? words.project.downloaded(saved.name) : words.project.saved(saved.name), '');
  return true;
}

export type ExportKind = 'pdf' | 'csv' | 'xlsx';

/** Writes a hand-over file of the project as it stands; the file carries the same results as the screen. */
export async function exportAs(kind: ExportKind, only: { readonly sheets?: readonly string[]; readonly sections?: readonly PdfSection[] } = {}): Promise<void> {
  const { document } = store.getState();
  const made = await busyWith(words.busy.exporting(kind.toUpperCase()), (job) => (kind === 'pdf'
    ? host.call('exportPdf', { document, job, ...(only.sheets ? { sheets: [...only.sheets] } : {}), ...(only.sections ? { sections: [...only.sections] } : {}) } satisfies HostInput<'exportPdf'>)
    : host.call('exportTable', { document, format: kind, job })));
  if (made) await keepFile(made);
}

/** All loads as an equipment list that a spreadsheet opens; imported again it changes nothing. */
export async function exportList(format: 'csv' | 'xlsx'): Promise<void> {
  const { document } = store.getState();
  const made = await busyWith(listWords.exporting, () => host.call('exportList', { document, format }));
  if (made) await keepFile(made);
}

async function keepFile(made: HostInput<'saveFile'>): Promise<void> {
  const kept = await host.call('saveFile', made);
  if (!kept.ok) showProblem(kept.problem);
  else if (kept.value) store.getState().notify('note', words.project.written(kept.value.name), '');
}

const RECOVERY_EVERY = 3;
const RECOVERY_AFTER_MS = 4000;

/** Keeps unsaved work safe: after a few edits, or a few seconds after the last one. @returns how to stop */
export function keepRecovery(): () => void {
  let kept = store.getState().revision;
  let timer: ReturnType<typeof setTimeout> | undefined;
  let told = false;
  const keep = async (): Promise<void> => {
    const { project, document, revision, savedRevision } = store.getState();
    if (!project || revision === savedRevision || revision === kept) return;
    kept = revision;
    const outcome = await host.call('keepRecovery', { project: project.handle, document });
    // Said once: a full disk would otherwise fill the window with notices.
    if (!outcome.ok && !told) { told = true; showProblem(outcome.problem); }
  };
  const stop = store.subscribe((state, before) => {
    if (state.revision === before.revision) return;
    clearTimeout(timer);
    if (state.revision - kept >= RECOVERY_EVERY) void keep();
    else timer = setTimeout(() => { void keep(); }, RECOVERY_AFTER_MS);
  });
  return () => { clearTimeout(timer); stop(); };
}
