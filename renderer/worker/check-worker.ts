import { auditDocument } from '../../shared-core/audit/index';
import { sayMargins } from '../../shared-core/checks/index';
import type { Id } from '../../shared-core/document/index';
import { Mirror } from './mirror';
import { createRoomWork } from './room-work';
import type { MarginAnswer, ThreadAnswer, ThreadRequest } from './index';

/** The document as the window handed it over, and the revision of it that was audited last. */
const mirror = new Mirror();
let audited = -1;
const answer = (value: ThreadAnswer): void => { self.postMessage(value); };
const rooms = createRoomWork(mirror, answer, (run) => { setTimeout(run, 0); });

/** Audits, and what is asked of one device, off the window's thread; every answer is stamped with what it belongs to. */
self.onmessage = ({ data }: MessageEvent<ThreadRequest>): void => {
  if ('portion' in data) { rooms({ room: null }); audited = -1; mirror.take(data.portion); }
  else if ('audit' in data) answer(audit(data.revision));
  else if ('margins' in data) answer(margins(data.revision, data.margins));
  else rooms(data);
};

function audit(revision: number): ThreadAnswer {
  try {
    const { document } = mirror;
    const made = auditDocument(document, mirror.checkerOf(document));
    audited = revision;
    return { revision, ok: true, audit: made };
  } catch (fault) {
    return { revision, ok: false, reason: fault instanceof Error ? fault.message : String(fault) };
  }
}

/** Nothing is said about a document that is not the one audited last, nor when the question cannot be answered. */
function margins(revision: number, disconnect: Id): MarginAnswer {
  const none: MarginAnswer = { revision, margins: disconnect, said: [] };
  if (audited !== revision) return none;
  try {
    const { document } = mirror; const device = document.entities[disconnect];
    return device?.kind === 'disconnect' ? { ...none, said: sayMargins(mirror.checkerOf(document), device) } : none;
  } catch { return none; }
}
