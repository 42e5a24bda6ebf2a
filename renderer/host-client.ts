import { entityCount, isOverlaid } from '../shared-core/document/index';
import type { Document } from '../shared-core/document/index';
import { documentBytes } from './document-bytes';
import { FRAME_MEDIA, packFrame, unpackFrame } from '../shared-core/host-frame';
import type { HostCall, HostInput, HostOutput, Outcome, Problem, Progress, WindowCommand } from '../shared-core/host-api';

/**
 * The window's way to its services. The same calls travel over the shell's preload when the window has one, and over
 * the loopback host otherwise; nothing else in the renderer knows which.
 *
 * In a browser page the client stands in for what a page cannot ask main for: 'pickFile' opens the browser's own file
 * chooser (call it from a click or key), 'saveFile' and a save that main could not write to disk become downloads.
 */
export interface Host {
  call<C extends HostCall>(name: C, input: HostInput<C>): Promise<Outcome<HostOutput<C>>>;
  /** Hands over a file that was dropped on the window or chosen in an input. */
  offerFile(file: File): Promise<Outcome<HostOutput<'offerFile'>>>;
  /** Hears every job's progress. @returns a function that stops listening */
  onProgress(listener: (progress: Progress) => void): () => void;
  /** Hears the shell's menu; never called in a browser page. @returns a function that stops listening */
  onCommand(listener: (command: WindowCommand) => void): () => void;
}

/** What the preload puts into the window; see main/host/preload.ts. */
interface Bridge {
  call(name: string, input: unknown): Promise<unknown>;
  onProgress(listener: (progress: Progress) => void): () => void;
  onCommand(listener: (command: WindowCommand) => void): () => void;
}
declare global { interface Window { readonly lockstead?: Bridge } }

const problem = (code: string, what: string, todo: string): { ok: false; problem: Problem } => ({ ok: false, problem: { code, what, todo } });
const noSession = () => problem('no-session', 'This page holds no key to the running program.', 'Open the address that the program printed; press Enter where it runs for a new one.');
const hostGone = () => problem('host-gone', 'The program behind this page does not answer.', 'Start it again with npm start. Work kept for recovery is brought back when the project is opened.');

/** Extensions the file chooser offers for each purpose. */
const ACCEPT: Record<HostInput<'pickFile'>['purpose'], string> = {
  project: '.lockstead', plan: '.png,.jpg,.jpeg,.tif,.tiff,.pdf,.dxf', list: '.csv,.tsv,.txt,.xlsx',
};

const isOutcome = (value: unknown): value is Outcome<never> => typeof value === 'object' && value !== null && 'ok' in value
  && (value.ok === true ? 'value' in value : 'problem' in value);

function throughBridge(bridge: Bridge): Host {
  const call = async <C extends HostCall>(name: C, input: HostInput<C>): Promise<Outcome<HostOutput<C>>> => {
    try {
      const answer = await bridge.call(name, input);
      return isOutcome(answer) ? answer : hostGone();
    } catch { return hostGone(); }
  };
  return { call, offerFile: (file) => offer(call, file), onProgress: (listener) => bridge.onProgress(listener), onCommand: (listener) => bridge.onCommand(listener) };
}

/** The host takes no larger request; told here, since a refused upload ends as a broken connection. */
const FILE_LIMIT = 1024 ** 3 - 1024 ** 2;

async function offer(call: Host['call'], file: File): Promise<Outcome<HostOutput<'offerFile'>>> {
  if (file.size > FILE_LIMIT) return problem('too-big', `The file ${file.name} is larger than ${Math.floor(FILE_LIMIT / 1024 ** 2)} MB.`, 'Use a smaller file, for example a scan of lower resolution.');
  let bytes: Uint8Array;
  try { bytes = new Uint8Array(await file.arrayBuffer()); } catch { return problem('not-readable', `The file ${file.name} could not be read.`, 'Check that it still exists and that you may read it.'); }
  return call('offerFile', { name: file.name.slice(0, 300), bytes });
}

const TOKEN = 'lockstead-token';

/** The token of an earlier load of this page, or a new one for the one-time code in the address. */
async function openSession(): Promise<string | null> {
  const code = /^#([A-Za-z0-9_-]{20,80})$/.exec(location.hash)?.[1];
  if (code !== undefined) {
    // The code leaves the address at once, so that it is neither bookmarked nor seen over a shoulder.
    history.replaceState(null, '', location.pathname);
    const answer = await fetch('/session', { method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify({ code }) });
    if (answer.ok) {
      const { token } = await answer.json() as { token: string };
      sessionStorage.setItem(TOKEN, token);
      return token;
    }
  }
  return sessionStorage.getItem(TOKEN);
}

/** Bytes put into a blob between two turns of the window: some milliseconds' copying. */
const BLOB_PORTION = 2 * 1024 ** 2;

/** Bytes as a blob, so that sending them does not hold the window; many are put into it a portion a turn. */
async function blobOf(bytes: Uint8Array): Promise<Blob> {
  const parts: Blob[] = [];
  for (let from = 0; from < bytes.length; from += BLOB_PORTION) {
    if (from > 0) await new Promise((resolve) => { setTimeout(resolve, 0); });
    parts.push(new Blob([bytes.subarray(from, from + BLOB_PORTION) as Uint8Array<ArrayBuffer>]));
  }
  return new Blob(parts);
}

function throughLoopback(): Host {
  let session: Promise<string | null> | null = null;
  const token = () => (session ??= openSession());

  const send = async <C extends HostCall>(name: C, input: HostInput<C>): Promise<Outcome<HostOutput<C>>> => {
    try {
      const key = await token();
      if (key === null) return noSession();
      const answer = await fetch(`/call/${name}`, { method: 'POST', headers: { 'content-type': FRAME_MEDIA, authorization: `Bearer ${key}` }, body: await blobOf(packFrame(input)) });
      if (answer.status === 401) return noSession();
      const frame = unpackFrame(new Uint8Array(await answer.arrayBuffer()));
      return frame && isOutcome(frame.value) ? frame.value : hostGone();
    } catch { session = null; return hostGone(); }
  };

  const call = async <C extends HostCall>(name: C, input: HostInput<C>): Promise<Outcome<HostOutput<C>>> => {
    if (name === 'pickFile') return choose(call, (input as HostInput<'pickFile'>).purpose) as Promise<Outcome<HostOutput<C>>>;
    if (name === 'saveFile') {
      download(input as HostInput<'saveFile'>);
      return { ok: true, value: { name: (input as HostInput<'saveFile'>).name } as HostOutput<C> };
    }
    const outcome = await send(name, input);
    if (name === 'saveProject' && outcome.ok) {
      const saved = outcome.value as HostOutput<'saveProject'>;
      if (saved?.download) download(saved.download);
    }
    return outcome;
  };
  return { call, offerFile: (file) => offer(call, file), onProgress: (listener) => listen(token, listener), onCommand: () => () => undefined };
}

async function choose(call: Host['call'], purpose: HostInput<'pickFile'>['purpose']): Promise<Outcome<HostOutput<'pickFile'>>> {
  const input = document.createElement('input');
  input.type = 'file';
  input.accept = ACCEPT[purpose];
  const file = await new Promise<File | null>((resolve) => {
    input.addEventListener('change', () => { resolve(input.files?.[0] ?? null); });
    input.addEventListener('cancel', () => { resolve(null); });
    input.click();
  });
  return file ? offer(call, file) : { ok: true, value: null };
}

function download(file: HostInput<'saveFile'>): void {
  const url = URL.createObjectURL(new Blob([file.bytes as Uint8Array<ArrayBuffer>], { type: file.media }));
  const link = document.createElement('a');
  link.href = url;
  link.download = file.name;
  link.click();
  // The browser reads the blob after the click; a minute is ample and the memory is not held for ever.
  setTimeout(() => { URL.revokeObjectURL(url); }, 60_000);
}

/** Reads progress lines from one long answer; opens it again after a break, as long as somebody listens. */
function listen(token: () => Promise<string | null>, listener: (progress: Progress) => void): () => void {
  const stop = new AbortController();
  const read = async (): Promise<void> => {
    const key = await token();
    if (key === null) return;
    const answer = await fetch('/progress', { headers: { authorization: `Bearer ${key}` }, signal: stop.signal });
    if (!answer.ok || !answer.body) return;
    const reader = answer.body.pipeThrough(new TextDecoderStream()).getReader();
    let rest = '';
    for (;;) {
      const { done, value } = await reader.read();
      if (done) return;
      const lines = (rest + value).split('\n');
      rest = lines.pop() ?? '';
      for (const line of lines) if (line !== '') listener(JSON.parse(line) as Progress);
    }
  };
  const loop = async (): Promise<void> => {
    while (!stop.signal.aborted) {
      await read().catch(() => undefined);
      if (!stop.signal.aborted) await new Promise((resolve) => { setTimeout(resolve, 2000); });
    }
  };
  void loop();
  return () => { stop.abort(); };
}

/** @returns a host over the preload's object when the window has one, else over the loopback host. */
export function connectHost(): Host {
  return window.lockstead ? throughBridge(window.lockstead) : throughLoopback();
}

let connected: Host | null = null;
const lazily = (): Host => (connected ??= connectHost());

/** The one host of this window, connected at the first call. */
/** Marks from which a document is written in turns. */
const LARGE = 2000;
let writing: Promise<unknown> = Promise.resolve();

/** What is laid over a record cannot be handed over as it is either. */
const isLarge = ({ entities }: Document): boolean => isOverlaid(entities) || entityCount(entities) >= LARGE;
const holdsLarge = (input: object): input is { readonly document: Document } => 'document' in input && isLarge((input as { readonly document: Document }).document);

/** Large documents are written one after another, so that they are sent in the order they were given. */
function written<I>(input: I & { readonly document: Document }): Promise<I> {
  const next = writing.then(async () => ({ ...input, document: await documentBytes(input.document) }));
  writing = next.catch(() => undefined);
  return next;
}

export const host: Host = {
  call: (name, input) => (holdsLarge(input) ? written(input).then((light) => lazily().call(name, light)) : lazily().call(name, input)),
  offerFile: (file) => lazily().offerFile(file),
  onProgress: (listener) => lazily().onProgress(listener),
  onCommand: (listener) => lazily().onCommand(listener),
};
