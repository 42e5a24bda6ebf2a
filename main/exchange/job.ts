import { fork } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import type { Outcome } from '../../shared-core/host-api';
import { refusal } from './problems';
import type { Task } from './tasks';

/** A process that parses untrusted bytes, however it was started. */
export interface JobProcess {
  send(message: unknown): void;
  /** Replaces who hears the process; signal is 'SIGTERM' when it ended itself for using too much memory. */
  listen(hear: { message(message: unknown): void; exit(signal: string | null): void }): void;
  kill(): void;
  /** Whether this process may still be waited for when everything else is done. */
  hold(busy: boolean): void;
}
export type JobLauncher = (megabytes: number) => JobProcess;

/** Stated limits of one job; the time runs from when its process has started, which on a busy machine can take long itself. */
export const JOB_LIMITS = { inspectSeconds: 30, openSeconds: 180, megabytes: 1500, startSeconds: 120 } as const;

const SOURCE = import.meta.url.endsWith('.ts');
const ENTRY = fileURLToPath(new URL(SOURCE ? './job-entry.ts' : './plan-job.js', import.meta.url));

const forkJob: JobLauncher = (megabytes) => {
  const child = fork(ENTRY, [String(megabytes)], { serialization: 'advanced', stdio: ['ignore', 'ignore', 'ignore', 'ipc'], execArgv: SOURCE ? ['--import', 'tsx'] : [] });
  let current: Parameters<JobProcess['listen']>[0] | null = null;
  child.on('message', (message) => { current?.message(message); });
  child.on('exit', (_code, signal) => { current?.exit(signal); });
  child.on('error', () => { current?.exit(null); });
  return {
    send: (message) => { child.send(message as object, () => undefined); },
    listen: (hear) => { current = hear; },
    kill: () => { child.kill('SIGKILL'); },
    hold: (busy) => {
      if (busy) { child.ref(); child.channel?.ref(); } else { child.unref(); child.channel?.unref(); }
    },
  };
};

let launch: JobLauncher = forkJob;
/** The Electron shell starts its own kind of process here; everything else forks Node. */
export function useJobLauncher(launcher: JobLauncher): void { launch = launcher; }

const MOST_PROCESSES = 2;
/** A process that has grown beyond this is not used again. */
const TIRED_BYTES = 1000e6;
const IDLE_MS = 30_000;

interface Stage { readonly note: string; readonly from: number; readonly to: number; readonly seconds: number }
interface Idle { readonly job: JobProcess; readonly timer: NodeJS.Timeout }

const idle: Idle[] = [];
let running = 0;
const waiting: (() => void)[] = [];

function keptProcess(): JobProcess | null {
  const kept = idle.pop();
  if (!kept) return null;
  clearTimeout(kept.timer);
  return kept.job;
}

function keepProcess(job: JobProcess): void {
  job.hold(false);
  const forget = (): void => { const at = idle.findIndex((entry) => entry.job === job); if (at >= 0) idle.splice(at, 1); };
  const timer = setTimeout(() => { forget(); job.kill(); }, IDLE_MS);
  timer.unref();
  job.listen({ message: () => undefined, exit: forget });
  idle.push({ job, timer });
}

/** Ends all idle processes, e.g. when the program closes. */
export function endIdleJobs(): void {
  for (const { job, timer } of idle.splice(0)) { clearTimeout(timer); job.kill(); }
}

export interface JobOptions {
  readonly signal?: AbortSignal;
  /** 0 to 1, growing; called a few times a second. */
  readonly onProgress?: (done: number, note: string) => void;
  /** Memory of a process that is made for this task alone; without it one of the usual size is used again and again. */
  readonly megabytes?: number;
}

const TICK_MS = 200;

/**
 * Does a task in a process of its own, within time and memory limits.
 * @returns what the task answered; 'cancelled', 'took-too-long', 'needs-too-much-memory' or 'reader-stopped' otherwise
 */
export async function runTask<T>(task: Task, seconds: number, options: JobOptions = {}): Promise<Outcome<T>> {
  if (options.signal?.aborted) return refusal('cancelled', task.name);
  if (running >= MOST_PROCESSES) await new Promise<void>((go) => waiting.push(go));
  running++;
  try {
    if (options.signal?.aborted) return refusal('cancelled', task.name);
    if (options.megabytes !== undefined) return await runIn<T>(launch(options.megabytes), task, seconds, options);
    const kept = keptProcess();
    const outcome = await runIn<T>(kept ?? launch(JOB_LIMITS.megabytes), task, seconds, options);
    // A native library can fall over from what an earlier job left behind, and that counts against the memory of the next
    // one: one more try, in a process without a past.
    const again = !outcome.ok && (outcome.problem.code === 'reader-stopped' || (kept !== null && outcome.problem.code === 'needs-too-much-memory'));
    return again ? await runIn<T>(launch(JOB_LIMITS.megabytes), task, seconds, options) : outcome;
  } finally {
    running--;
    waiting.shift()?.();
  }
}

function runIn<T>(job: JobProcess, task: Task, seconds: number, { signal, onProgress, megabytes }: JobOptions): Promise<Outcome<T>> {
  return new Promise((resolve) => {
    let over = false;
    let stage: Stage & { readonly since: number } = { note: task.kind === 'hand-over' ? 'Getting ready' : 'Reading the file', from: 0, to: 0.1, seconds: 1, since: Date.now() };
    const tick = setInterval(() => {
      const share = 1 - Math.exp(-2 * (Date.now() - stage.since) / 1000 / stage.seconds);
      onProgress?.(stage.from + (stage.to - stage.from) * share, stage.note);
    }, TICK_MS);
    const finish = (outcome: Outcome<T>, keep: boolean): void => {
      if (over) return;
      over = true;
      clearInterval(tick);
      clearTimeout(limit);
      signal?.removeEventListener('abort', cancel);
      if (keep) keepProcess(job); else job.kill();
      if (outcome.ok) onProgress?.(1, stage.note);
      resolve(outcome);
    };
    const cancel = (): void => { finish(refusal('cancelled', task.name), false); };
    const tooLong = (): void => { finish(refusal('took-too-long', task.name, `The limit is ${seconds} seconds.`), false); };
    let limit = setTimeout(tooLong, JOB_LIMITS.startSeconds * 1000);
    signal?.addEventListener('abort', cancel);
    job.hold(true);
    job.listen({
      message: (message) => {
        const heard = message as { began?: true; stage?: Stage; outcome?: Outcome<T>; rss?: number };
        if (heard.began) { clearTimeout(limit); limit = setTimeout(tooLong, seconds * 1000); }
        if (heard.stage) stage = { ...heard.stage, since: Date.now() };
        if (heard.outcome) finish(heard.outcome, megabytes === undefined && (heard.rss ?? 0) < TIRED_BYTES);
      },
      exit: (ended) => {
        finish(ended === 'SIGTERM' ? refusal('needs-too-much-memory', task.name, `The limit is ${JOB_LIMITS.megabytes} MB.`) : refusal('reader-stopped', task.name), false);
      },
    });
    job.send(task);
  });
}
