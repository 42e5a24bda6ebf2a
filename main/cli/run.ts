import { runCommand } from './command';

// npm runs scripts in the project's folder; paths are meant from where the person stood.
const folder = process.env['npm_lifecycle_event'] === 'lockstead' ? process.env['INIT_CWD'] : undefined;

// Output that cannot be written (a full disk behind '> file') must not end as success; a reader that had enough (a
// closed pipe) is no fault.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code === 'EPIPE') return;
  process.stderr.write(`The output could not be written (${error.code ?? 'unknown fault'}). Free some space or write it elsewhere.\n`);
  process.exitCode = 2;
});

// The exit status is set, not forced: what was printed must reach a slow pipe whole.
const status = await runCommand(process.argv.slice(2), {
  folder: folder ?? process.cwd(),
  out: (text) => { process.stdout.write(text); },
  error: (text) => { process.stderr.write(text); },
});
process.exitCode = process.exitCode === 2 ? 2 : status;
