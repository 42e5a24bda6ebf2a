// @vitest-environment jsdom
import { act } from 'react';
import { afterEach, describe, expect, it } from 'vitest';
import { RevisionReview } from '../../renderer/revision/issues-section';
import { store } from '../../renderer/state/store';
import { auditDocument } from '../../shared-core/audit/index';
import { readDocument } from '../../shared-core/document/index';
import type { Document, SinceLaid } from '../../shared-core/document/index';
import { clear, show } from './panels-dom';
import { documentWith, loadOf, sheet, switchOf } from './tools-workbench';

afterEach(clear);
const BLOB = 'b'.repeat(64);

function reopened(sinceLaid: SinceLaid): Document {
  const plain = documentWith(loadOf('load-1', 'M-1', 300, 300), switchOf('disconnect-1', 'DS-1', 400, 300, ['load-1']));
  const plan = { blob: BLOB, name: 'autumn.png', media: 'image/png', page: 0, width: 1000, height: 800, issue: { name: 'Revision B', laid: '2026-05-04' } };
  const read = readDocument(JSON.parse(JSON.stringify({ ...plain, sheets: [{ ...sheet, plan, toLookOver: ['disconnect-1'], sinceLaid }] })));
  if (!read.ok) throw new Error('the document is not read');
  return read.document;
}
async function open(document: Document): Promise<string> {
  await act(async () => { store.getState().load(document, null); store.getState().setAudit(store.getState().revision, auditDocument(document)); });
  return (await show(<RevisionReview sheet={store.getState().document.sheets[0]!} />)).textContent ?? '';
}
const gone = { id: 'sight/disconnect-9/load-1/motor', check: 'sight.motor', subject: {}, verdict: 'fail', title: 'M-1 was not in sight', missing: [] } as const;

describe('a project opened again after a plan was laid', () => {
  it('still lists what appeared and went, and why a mark is to be looked over', async () => {
    const text = await open(reopened({ blob: BLOB, page: 0, findings: [gone], touched: [{ id: 'disconnect-1', why: { kind: 'line', load: 'load-1' }, gone: false, fresh: true }] }));
    expect(text).toContain('Since Revision B was laid');
    expect(text).toMatch(/Appeared \d+/);
    expect(text).toContain('Went 1M-1 was not in sight');
    expect(text).toContain('new lines across its line to M-1');
  });
  it('says nothing of a plan that does not lie there any more', async () => {
    expect(await open(reopened({ blob: 'c'.repeat(64), page: 0, findings: [gone], touched: [] }))).not.toContain('Went');
  });
});
