// Run as its own process by read-permission.test.ts, so that it can be run by somebody without rights.
import { runCommand } from '../../main/cli/command';

process.exitCode = await runCommand(process.argv.slice(2), { folder: process.cwd(), out: (text) => { process.stdout.write(text); }, error: (text) => { process.stderr.write(text); } });
