import { spawn } from 'node:child_process';
import type { ChildProcess } from 'node:child_process';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { test as base, expect } from '@playwright/test';
import type { Page } from '@playwright/test';
import type { HostCall } from '../../shared-core/host-api';

export const ROOT = fileURLToPath(new URL('../..', import.meta.url));

export interface Program {
  /** Address with a one-time code; good for one page. */
  readonly address: string;
  readonly origin: string;
  readonly stateFolder: string;
  readonly child: ChildProcess;
}

/**
 * Starts the built browser host as a person would, on a free port, with its own state folder.
 * @param args e.g. a project's path
 */
export async function startProgram(args: readonly string[], stateFolder: string): Promise<Program> {
  const child = spawn(process.execPath, [join(ROOT, 'dist/main/host.js'), '--no-open', ...args], { cwd: ROOT, env: { ...process.env, LOCKSTEAD_STATE: stateFolder }, stdio: ['ignore', 'pipe', 'pipe'] });
  let said = '';
  const address = await new Promise<string>((resolve, reject) => {
    child.stdout.on('data', (part: Buffer) => {
      said += part.toString();
      const found = /http:\/\/127\.0\.0\.1:\d+\/#\S+/.exec(said);
      if (found) resolve(found[0]);
    });
    child.stderr.on('data', (part: Buffer) => { said += part.toString(); });
    child.on('exit', (status) => { reject(new Error(`the host ended with ${status}: ${said}`)); });
  });
  return { address, origin: new URL(address).origin, stateFolder, child };
}

export async function stopProgram(program: Program): Promise<void> {
  if (program.child.exitCode !== null || program.child.signalCode !== null) return;
  const ended = new Promise((resolve) => { program.child.once('exit', resolve); });
  program.child.kill('SIGKILL');
  await ended;
}

interface Fixtures {
  /** Arguments of the host; set with test.use({ programArgs: [path] }). */
  programArgs: readonly string[];
  program: Program;
  /** The window, opened and let in; the test fails when the page logs an error or breaks its content policy. */
  window: Page;
}

export const test = base.extend<Fixtures>({
  programArgs: [[], { option: true }],
  program: async ({ programArgs }, provide) => {
    const stateFolder = await mkdtemp(join(tmpdir(), 'lockstead-test-'));
    const program = await startProgram(programArgs, stateFolder);
    await provide(program);
    await stopProgram(program);
    await rm(stateFolder, { recursive: true, force: true });
  },
  window: async ({ page, program }, provide) => {
    const faults: string[] = [];
    page.on('pageerror', (error) => faults.push(error.message));
    page.on('console', (message) => { if (message.type() === 'error') faults.push(message.text()); });
    await page.goto(program.address);
    await provide(page);
    expect(faults).toEqual([]);
  },
});
export { expect };

interface Held { /** Resolves when the first request has come. */ readonly arrived: Promise<void>; /** Lets all go on, later ones too. */ release(): void }

/**
 * Keeps every call of one name on its way to the program waiting, so that a test can act while work goes on, however
 * fast or slow the machine is. Put it in place before the work starts.
 */
export const holdCalls = (page: Page, name: HostCall): Promise<Held> => hold(page, `**/call/${name}`);

/** The same for a thread of the window that has not been started yet, by the name of its script. */
export const holdThread = (page: Page, name: 'suggest-worker' | 'difference-worker'): Promise<Held> => hold(page, `**/${name}-*.js`);

async function hold(page: Page, address: string): Promise<Held> {
  let arrive: () => void = () => undefined; let letGo: () => void = () => undefined;
  const arrived = new Promise<void>((resolve) => { arrive = resolve; });
  const released = new Promise<void>((resolve) => { letGo = resolve; });
  await page.route(address, async (route) => { arrive(); await released; await route.continue(); });
  return { arrived, release: () => { letGo(); } };
}
