import type { Audit } from '../../shared-core/audit/index';
import type { SaidMargin } from '../../shared-core/checks/index';
import type { Document, Id } from '../../shared-core/document/index';

export interface AuditRequest { readonly revision: number; readonly document: Document }
export type AuditAnswer =
  | { readonly revision: number; readonly ok: true; readonly audit: Audit }
  | { readonly revision: number; readonly ok: false; readonly reason: string };

/** A question about one device of the document audited last: how far its handle may move, and what it sees. */
export interface MarginRequest { readonly revision: number; readonly margins: Id }
export interface MarginAnswer { readonly revision: number; readonly margins: Id; readonly said: readonly SaidMargin[] }
export type ThreadRequest = AuditRequest | MarginRequest;
export type ThreadAnswer = AuditAnswer | MarginAnswer;

/** The part of the store that auditing reads and writes. */
export interface AuditedStore {
  getState(): {
    readonly document: Document; readonly revision: number; readonly selection: readonly Id[]; readonly pair: { readonly disconnect: Id } | null;
    setAudit(revision: number, audit: Audit): void; setMargins(margins: MarginAnswer): void; notify(kind: 'problem', what: string, todo: string): void;
  };
  subscribe(listener: () => void): () => void;
}

/** What carries requests to the thread and back; the worker, or a test's own. */
export interface AuditThread { postMessage(request: ThreadRequest): void; onmessage: ((event: { readonly data: ThreadAnswer }) => void) | null; onerror: ((event: { readonly message?: string }) => void) | null; terminate(): void }

/** A burst of edits (nudging, typing) is audited once, shortly after its last. */
const PAUSE = 60;

const startThread = (): AuditThread => new Worker(new URL('./check-worker.ts', import.meta.url), { type: 'module' }) as unknown as AuditThread;

/**
 * Audits the document after each change, off the thread, one audit at a time. A result for an earlier revision than the
 * present one is dropped: nothing stale is ever handed to the store. The margins of the chosen device are asked for once
 * its document is audited.
 * @returns how to stop
 */
export function startAuditing(store: AuditedStore, thread: AuditThread = startThread()): () => void {
  let asked = -1; let answered = -1; let isBusy = false; let hasFailed = false;
  let askedMargins = '';
  let timer: ReturnType<typeof setTimeout> | undefined;
  const ask = (): void => {
    const { document, revision } = store.getState();
    if (isBusy || revision === answered) return;
    isBusy = true; asked = revision;
    thread.postMessage({ revision, document });
  };
  const askMargins = (): void => {
    const { document, revision, selection, pair } = store.getState();
    const device = selection.length === 1 && document.entities[selection[0] ?? '']?.kind === 'disconnect' ? selection[0] : pair?.disconnect;
    const key = `${revision} ${device ?? ''}`;
    if (device === undefined || isBusy || revision !== answered || key === askedMargins) return;
    askedMargins = key;
    thread.postMessage({ revision, margins: device });
  };
  const later = (): void => { clearTimeout(timer); timer = setTimeout(ask, PAUSE); };
  const fail = (reason: string): void => {
    isBusy = false; answered = asked;
    if (hasFailed) return;
    hasFailed = true;
    store.getState().notify('problem', `The checks of this revision could not be finished (${reason}): their verdicts are not shown.`, 'Change or undo the last edit; if it stays, save and start the program again.');
  };
  thread.onmessage = ({ data }) => {
    if ('margins' in data) { if (data.revision === store.getState().revision) store.getState().setMargins(data); return; }
    isBusy = false;
    if (!data.ok) { fail(data.reason); return; }
    answered = data.revision; hasFailed = false;
    const state = store.getState();
    if (data.revision === state.revision) state.setAudit(data.revision, data.audit); else ask();
    askMargins();
  };
  thread.onerror = (event) => { fail(event.message ?? 'the checking thread stopped'); };
  let seen = -1;
  const stop = store.subscribe(() => {
    const { revision } = store.getState();
    if (revision !== seen) { seen = revision; later(); }
    askMargins();
  });
  ask();
  return () => { clearTimeout(timer); stop(); thread.terminate(); };
}
