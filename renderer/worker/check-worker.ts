import { auditDocument } from '../../shared-core/audit/index';
import { createChecker, sayMargins } from '../../shared-core/checks/index';
import type { Checker } from '../../shared-core/checks/index';
import type { Id } from '../../shared-core/document/index';
import type { MarginAnswer, ThreadAnswer, ThreadRequest } from './index';

/** The checker of the document audited last: what is asked about a pair of it needs no second scene. */
let last: { readonly revision: number; readonly checker: Checker } | null = null;

/** Audits, and what is asked of one device afterwards, off the window's thread; every answer is stamped with its revision. */
self.onmessage = (event: MessageEvent<ThreadRequest>): void => {
  const request = event.data;
  self.postMessage('document' in request ? audit(request) : margins(request.revision, request.margins));
};

function audit({ revision, document }: Extract<ThreadRequest, { document: unknown }>): ThreadAnswer {
  try {
    const checker = createChecker(document);
    last = { revision, checker };
    return { revision, ok: true, audit: auditDocument(document, checker) };
  } catch (fault) {
    return { revision, ok: false, reason: fault instanceof Error ? fault.message : String(fault) };
  }
}

/** Nothing is said about a document that is not the one audited last, nor when the question cannot be answered. */
function margins(revision: number, disconnect: Id): MarginAnswer {
  const none: MarginAnswer = { revision, margins: disconnect, said: [] };
  const device = last?.checker.document.entities[disconnect];
  if (last?.revision !== revision || device?.kind !== 'disconnect') return none;
  try {
    return { ...none, said: sayMargins(last.checker, device) };
  } catch { return none; }
}
