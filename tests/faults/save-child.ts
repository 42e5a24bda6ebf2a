// Run as its own process by save-atomic.test.ts: saves once over a disk that kills the process at its nth call.
import { open, readFile, rename, unlink } from 'node:fs/promises';
import { saveAtomic } from '../../main/files/save-atomic';
import type { Disk } from '../../main/files/save-atomic';

const [path = '', source = '', killAt = '-1'] = process.argv.slice(2);
let calls = 0;
const count = (): void => { if (calls === Number(killAt)) process.kill(process.pid, 'SIGKILL'); calls += 1; };

const disk: Disk = {
  open: async (name, flags, mode) => {
    count();
    const file = await open(name, flags, mode);
    return {
      // Small writes, so that a kill also falls between two of them.
      write: (bytes: Uint8Array, at: number, length: number, position: number) => { count(); return file.write(bytes, at, Math.min(length, 60_000), position); },
      stat: () => { count(); return file.stat(); },
      sync: () => { count(); return file.sync(); },
      chmod: (bits: number) => { count(); return file.chmod(bits); },
      close: () => { count(); return file.close(); },
    } as unknown as Awaited<ReturnType<Disk['open']>>;
  },
  rename: (from, to) => { count(); return rename(from, to); },
  unlink: (name) => { count(); return unlink(name); },
};
const outcome = await saveAtomic(path, new Uint8Array(await readFile(source)), killAt === '-1' ? undefined : disk);
console.log(JSON.stringify({ outcome, calls }));
