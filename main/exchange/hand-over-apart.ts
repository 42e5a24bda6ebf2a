import type { Outcome } from '../../shared-core/host-api';
import { runTask } from './job';
import type { JobOptions } from './job';
import { failed, refuse } from './write-hand-over';
import type { HandOver, HandOverFile } from './write-hand-over';

/** Writing a set of scans as large as a project may hold takes more than reading one of them. */
const MEGABYTES = 6000;
const SECONDS = 900;

/**
 * Writes an output in a process of its own, so that neither the window nor its services wait for it, and a cancel takes effect at once.
 * @returns the file; 'cancelled', 'export-failed' or the problems of writing otherwise
 */
export async function writeHandOverApart(work: HandOver, options: JobOptions): Promise<Outcome<HandOverFile>> {
  const written = await runTask<HandOverFile>({ kind: 'hand-over', name: 'The export', bytes: new Uint8Array(0), work }, SECONDS, { ...options, megabytes: MEGABYTES });
  if (written.ok) return written;
  switch (written.problem.code) {
    case 'cancelled': return refuse('cancelled', 'The export was cancelled.', 'Export again when you want it.');
    case 'took-too-long': case 'needs-too-much-memory': case 'reader-stopped': return failed();
    default: return written;
  }
}
