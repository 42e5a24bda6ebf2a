import { basename } from 'node:path';
import type { HostInput, HostServices, Outcome, Progress } from '../shared-core/host-api';
import { readWhole, SIZE_LIMIT } from './files/guard';
import { done, failed } from './files/problems';
import { openRecovery } from './files/recovery';
import { saveAtomic } from './files/save-atomic';
import { makeList, makePdf, makeTable } from './hand-over';
import { planCalls } from './plan-calls';
import { newToken, Projects } from './projects';
import type { Source } from './projects';

export interface Dialogs {
  /** @returns a path, or null when the person waved the dialog away */
  openFile(purpose: HostInput<'pickFile'>['purpose']): Promise<string | null>;
  saveFile(suggested: string): Promise<string | null>;
}

export interface ServiceOptions {
  readonly runsIn: 'window' | 'browser';
  readonly version: string;
  /** Folder for recovery journals. */
  readonly stateFolder: string;
  /** Project to open first; null starts empty. */
  readonly startPath: string | null;
  /** True for the demo: it is opened as a copy and never overwritten. */
  readonly startIsTemplate: boolean;
  /** The system's dialogs; null in the browser host. */
  readonly dialogs: Dialogs | null;
}

export interface Services {
  readonly calls: HostServices;
  readonly onProgress: (listener: (progress: Progress) => void) => () => void;
  hasUnsavedWork(): boolean;
}

/** Offered files are let go oldest first: by then the window has opened them or never will. */
const FILES_KEPT = 16;

/** Wires the services together; the shell, the browser host and the tests differ only in the options. */
export function createServices(options: ServiceOptions): Services {
  const files = new Map<string, Source>();
  const plans = new Map<string, Uint8Array>();
  const jobs = new Map<string, AbortController>();
  const listeners = new Set<(progress: Progress) => void>();
  const { dialogs } = options;
  const projects = new Projects({
    recovery: openRecovery(options.stateFolder), plans, askSavePath: dialogs ? (suggested) => dialogs.saveFile(suggested) : null,
  });
  let started = false;

  const addFile = (source: Source): string => {
    const token = newToken();
    files.set(token, source);
    for (const oldest of files.keys()) { if (files.size <= FILES_KEPT) break; files.delete(oldest); }
    return token;
  };
  const withFile = async <T>(token: string, work: (source: Source) => Promise<Outcome<T>>): Promise<Outcome<T>> => {
    const source = files.get(token);
    return source ? work(source) : failed('no-file', 'The chosen file is not at hand any more.', 'Choose it again.');
  };
  const withJob = async <T>(job: string | undefined, work: (options: { signal?: AbortSignal; onProgress?: (done: number, note: string) => void }) => Promise<Outcome<T>>): Promise<Outcome<T>> => {
    if (job === undefined) return work({});
    const stop = new AbortController();
    jobs.set(job, stop);
    try {
      return await work({ signal: stop.signal, onProgress: (share, note) => { for (const listener of listeners) listener({ job, done: share, note }); } });
    } finally {
      jobs.delete(job);
    }
  };
  const { drawable, ...onPlans } = planCalls({ plans, withFile, withJob });
  const notHere = () => failed('not-here', 'A browser page has no system dialogs.', 'Choose or drop the file in the page.');

  const calls: HostServices = {
    start: async () => {
      const again = projects.latest();
      const reply = (opened: NonNullable<typeof again>) => done({ runsIn: options.runsIn, version: options.version, opened });
      if (again) return reply(again);
      const first = options.startPath === null || started
        ? await projects.openUntitled()
        : await projects.open({ name: basename(options.startPath), bytes: null, path: options.startPath }, options.startIsTemplate);
      // A start file that cannot be opened is told once; the next call starts empty.
      started = true;
      return first.ok ? reply(first.value) : first;
    },
    pickFile: async ({ purpose }) => {
      if (!dialogs) return notHere();
      const path = await dialogs.openFile(purpose);
      if (path === null) return done(null);
      const read = await readWhole(path, SIZE_LIMIT[purpose]);
      if (!read.ok) return read;
      const name = basename(path);
      return done({ file: addFile({ name, bytes: purpose === 'project' ? null : read.value, path }), name, size: read.value.length });
    },
    offerFile: async ({ name, bytes }) => {
      const plain = basename(name.replaceAll('\\', '/')) || 'file';
      return done({ file: addFile({ name: plain, bytes, path: null }), name: plain, size: bytes.length });
    },
    openProject: ({ file, job }) => withFile(file, (source) => withJob(job, (running) => projects.open(source, false, running))),
    newProject: async () => projects.create(),
    leaveProject: async ({ project }) => { projects.leave(project); return done({}); },
    discardRecovery: ({ project }) => projects.discard(project),
    saveProject: ({ project, document, as, job }) => withJob(job, (running) => projects.save(project, document, as, running)),
    keepRecovery: ({ project, document }) => projects.keep(project, document),
    ...onPlans,
    exportPdf: ({ document, sheets, sections, job }) => withJob(job, (running) => makePdf(document, { ...running, isApart: true, sheets, sections, drawable: (blob) => drawable(blob, running.signal ? { signal: running.signal } : {}) })),
    exportList: async ({ document, format }) => makeList(document, format),
    exportTable: ({ document, format, job }) => withJob(job, (running) => makeTable(document, format, { ...running, isApart: true })),
    saveFile: async ({ name, bytes }) => {
      if (!dialogs) return notHere();
      const path = await dialogs.saveFile(name);
      if (path === null) return done(null);
      const saved = await saveAtomic(path, bytes);
      return saved.ok ? done({ name: basename(path) }) : saved;
    },
    cancel: async ({ job }) => {
      jobs.get(job)?.abort();
      return done({});
    },
  };
  return {
    calls,
    onProgress: (listener) => { listeners.add(listener); return () => { listeners.delete(listener); }; },
    hasUnsavedWork: () => projects.hasUnsavedWork(),
  };
}
