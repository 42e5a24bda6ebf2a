import { auditDocument } from '../../shared-core/audit/index';
import type { AuditAnswer, AuditRequest } from './index';

/** Audits off the window's thread: one document in, its audit out, both stamped with the revision. */
self.onmessage = (event: MessageEvent<AuditRequest>): void => {
  const { revision, document } = event.data;
  let answer: AuditAnswer;
  try {
    answer = { revision, ok: true, audit: auditDocument(document) };
  } catch (fault) {
    answer = { revision, ok: false, reason: fault instanceof Error ? fault.message : String(fault) };
  }
  self.postMessage(answer);
};
