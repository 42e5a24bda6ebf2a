export type { Audit } from './audit';
export { auditDocument } from './audit-document';
