import type { HostInput, Outcome, PdfSection, Problem } from '../../shared-core/host-api';
import { host } from '../host-client';
import { store } from '../state/store';
import { listWords, words } from '../text/index';
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
  if (!started) {
    // A file that cannot be opened was told; the second answer is an empty project, without which nothing could be saved.
    const empty = await host.call('start', {});
    started = empty.ok ? empty.value : null;
  }
  if (!started) return;
  uiStore.setState({ version: started.version });
  takeOpened(started.opened);
}

type Opened = { readonly project: string; readonly name: string; readonly document: Parameters<ReturnType<typeof store.getState>['load']>[0]; readonly recovered: { readonly savedAt: string } | null };

function takeOpened(opened: Opened): void {
  const { load, notify } = store.getState();
  load(opened.document, { handle: opened.project, name: opened.name });
  if (opened.recovered) {
    // Brought-back work is not on disk: it counts as changed until it is saved.
    store.setState({ savedRevision: -1 });
    notify('note', words.project.recovered(opened.name, opened.recovered.savedAt), words.project.recoveredTodo);
    uiStore.setState({ recovered: opened.project });
  } else uiStore.setState({ recovered: null });
}

export async function openProject(file?: File): Promise<void> {
  if (isChanged() && !(await askLeave())) return;
  const picked = file ? await host.offerFile(file) : await host.call('pickFile', { purpose: 'project' });
  if (!picked.ok) { showProblem(picked.problem); return; }
  const token = picked.value;
  if (!token) return;
  const opened = await busyWith(words.busy.opening(token.name), (job) => host.call('openProject', { file: token.file, job }));
  if (opened) takeOpened(opened);
}

export async function newProject(): Promise<void> {
  if (isChanged() && !(await askLeave())) return;
  const opened = await busyWith(words.busy.starting, () => host.call('newProject', {}));
  if (opened) takeOpened(opened);
}

/** Gives up the work brought back after a crash and shows the project as it was last saved. */
export async function discardRecovery(): Promise<void> {
  // What was brought back is nowhere else: dropping it cannot be undone.
  if (uiStore.getState().recovered === null || (isChanged() && !(await askLeave()))) return;
  const project = uiStore.getState().recovered;
  // Saved in the dialog: then there is nothing left to drop.
  if (project === null) return;
  const opened = await busyWith(words.busy.opening(store.getState().project?.name ?? ''), () => host.call('discardRecovery', { project }));
  if (opened) takeOpened(opened);
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
