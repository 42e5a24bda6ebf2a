import { utilityProcess } from 'electron';
import type { JobLauncher } from '../exchange/index';

/** Plans are parsed in a utility process: the packaged program cannot run as plain Node (that fuse is off), so it cannot fork. */
export function utilityJobs(entry: string): JobLauncher {
  return (megabytes) => {
    const child = utilityProcess.fork(entry, [String(megabytes)], { serviceName: 'Lockstead plan reader', stdio: 'ignore', allowLoadingUnsignedLibraries: false });
    let current: Parameters<ReturnType<JobLauncher>['listen']>[0] | null = null;
    child.on('message', (message: unknown) => { current?.message(message); });
    // A utility process reports a signal as its number; 15 is SIGTERM.
    child.on('exit', (code) => { current?.exit(code === 15 ? 'SIGTERM' : null); });
    return {
      send: (message) => { child.postMessage(message); },
      listen: (hear) => { current = hear; },
      kill: () => { child.kill(); },
      // The window keeps the program alive; a job never does.
      hold: () => undefined,
    };
  };
}
