import type { Audit } from '../../shared-core/audit/index';
import type { SaidMargin } from '../../shared-core/checks/index';
import { changedIds } from '../../shared-core/document/index';
import type { Document, Id } from '../../shared-core/document/index';
import { Feed } from './mirror';
import type { Portion } from './mirror';
import { roomDesk } from './room-desk';
import type { RoomQuestion } from './room-desk';
import type { RoomAnswer, RoomRequest, RoomStop } from './room-work';

export { roomDesk } from './room-desk';
export type { AskRoom, RoomFound } from './room-desk';

/** Asks for the audit of the document handed over last. */
export interface AuditRequest { readonly revision: number; readonly audit: true }
export type AuditAnswer =
  | { readonly revision: number; readonly ok: true; readonly audit: Audit }
  | { readonly revision: number; readonly ok: false; readonly reason: string };

/** A question about one device of the document audited last: how far its handle may move, and what it sees. */
export interface MarginRequest { readonly revision: number; readonly margins: Id }
export interface MarginAnswer { readonly revision: number; readonly margins: Id; readonly said: readonly SaidMargin[] }
export type ThreadRequest = { readonly portion: Portion } | AuditRequest | MarginRequest | RoomRequest | RoomStop;
export type ThreadAnswer = AuditAnswer | MarginAnswer | RoomAnswer;

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

/** Reading a large answer and acting on it are two turns of the window, so that neither holds it for longer than need be. */
function startThread(): AuditThread {
  const worker = new Worker(new URL('./check-worker.ts', import.meta.url), { type: 'module' });
  let isOver = false;
  const thread: AuditThread = { postMessage: (request) => { worker.postMessage(request); }, onmessage: null, onerror: null, terminate: () => { isOver = true; worker.terminate(); } };
  worker.onmessage = ({ data }: MessageEvent<ThreadAnswer>) => { setTimeout(() => { if (!isOver) thread.onmessage?.({ data }); }, 0); };
  worker.onerror = (event) => { if (!isOver) thread.onerror?.(event); };
  return thread;
}

/**
 * Audits the document after each change, off the thread, one audit at a time. The thread keeps the document and is handed what
 * changed. A result for an earlier revision than the present one is dropped: nothing stale is ever handed to the store. The
 * margins of the chosen device are asked for once its document is audited; where a device has room, whenever the canvas asks.
 * @returns how to stop
 */
export function startAuditing(store: AuditedStore, thread: AuditThread = startThread(), desk = roomDesk): () => void {
  let asked = -1; let answered = -1; let isBusy = false; let hasFailed = false;
  let askedMargins = '';
  let timer: ReturnType<typeof setTimeout> | undefined; let nextPortion: ReturnType<typeof setTimeout> | undefined;
  let isDue = false; let room: RoomRequest | null = null;
  const feed = new Feed((portion) => { thread.postMessage({ portion }); });
  /** Hands over what is lacking, a portion a turn, and then what is asked about it. */
  const send = (): void => {
    const { document, revision } = store.getState();
    clearTimeout(nextPortion); nextPortion = undefined;
    feed.follow(document);
    if (!feed.send()) { nextPortion = setTimeout(send, 0); return; }
    if (isDue && !isBusy && revision !== answered) { isDue = false; isBusy = true; asked = revision; thread.postMessage({ revision, audit: true }); }
    if (room?.revision === revision) thread.postMessage(room);
    room = null;
  };
  const ask = (): void => {
    if (isBusy || store.getState().revision === answered) return;
    isDue = true;
    send();
  };
  desk.connect((id, question: RoomQuestion | null) => {
    room = null;
    if (!question) { thread.postMessage({ room: null }); return; }
    const { document, revision } = store.getState();
    room = { room: id, revision, device: question.device.id, trial: changedIds(document, question.document).map((e) => [e, Object.hasOwn(question.document.entities, e) ? question.document.entities[e] ?? null : null] as const) };
    send();
  });
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
    feed.restart();
    if (hasFailed) return;
    hasFailed = true;
    store.getState().notify('problem', `The checks of this revision could not be finished (${reason}): their verdicts are not shown.`, 'Change or undo the last edit; if it stays, save and start the program again.');
  };
  thread.onmessage = ({ data }) => {
    if ('room' in data) { desk.answered(data); return; }
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
  return () => { clearTimeout(timer); clearTimeout(nextPortion); stop(); desk.connect(null); thread.terminate(); };
}
