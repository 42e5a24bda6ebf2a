// Runs in a process of its own: untrusted bytes are parsed here, and a crash, a hang or a flood of memory ends only this process.
import { Worker } from 'node:worker_threads';
import { letGo } from './let-go';
import { perform } from './tasks';
import type { Task } from './tasks';

const megabytes = Number(process.argv[2] ?? 1500);

/** The reader may not come back to its event loop for seconds, so a thread beside it watches the memory. */
const WATCH = `
const { workerData } = require('node:worker_threads');
setInterval(() => { if (process.memoryUsage.rss() > workerData * 1e6) process.kill(process.pid, 'SIGTERM'); }, 25);`;
new Worker(WATCH, { eval: true, workerData: megabytes }).unref();

/** An Electron utility process talks through parentPort, a forked one through process.send. */
interface Port { postMessage(message: unknown): void; on(event: 'message', listener: (event: { data: unknown }) => void): void }
const port = (process as unknown as { parentPort?: Port }).parentPort;
const post = (message: unknown): void => { if (port) port.postMessage(message); else process.send?.(message); };

/** A message this large leaves as much behind again. */
const LARGE_MESSAGE = 50e6;

async function answer(task: Task): Promise<void> {
  post({ began: true });
  if (task.bytes.length > LARGE_MESSAGE) letGo();
  const outcome = await perform(task, (stage) => { post({ stage }); });
  post({ outcome, rss: process.memoryUsage.rss() });
}

const hear = (message: unknown): void => { void answer(message as Task); };
if (port) port.on('message', (event) => { hear(event.data); });
else {
  process.on('message', hear);
  process.on('disconnect', () => { process.exit(0); });
}
