import { describe, expect, it } from 'vitest';
import { auditJson, auditText } from '../../main/cli/audit-output';
import { auditDocument } from '../../shared-core/audit/index';
import { applyEdit } from '../../shared-core/document/index';
import type { Document, PlanRef } from '../../shared-core/document/index';
import { buildReport, findingPages } from '../../shared-core/report/index';
import { layPlan, lookedOver } from '../../shared-core/revision/index';
import type { Fit } from '../../shared-core/revision/index';
import { sheetUnits } from '../../shared-core/units/index';
import { disconnect, load, plan, wall } from './checks-plan';

const FIT: Fit = { lay: { scale: 1, turn: 0, x: 0, y: 0 }, residuals: [0, 0], worst: 0, pickedWithin: 2, relativeUncertainty: 0.001, agreement: { kind: 'agree' } };
const planRef = (blob: string, name: string): PlanRef => ({ blob: blob.repeat(64), name, media: 'image/png', page: 0, width: sheetUnits(900), height: sheetUnits(700) });
const OLD_WALL = wall('W-1', [[20, 2], [20, 18]]);

/** A hall in which a wall hid the motor; it came down with Revision B, and another one hides a second motor now. */
function changed(before: 'checked' | 'not checked' = 'checked'): Document {
  const bare = plan([load('M-2', [10, 10, 1]), disconnect('DS-2', [30, 10, 5], ['M-2']), load('M-3', [10, 40, 1]), disconnect('DS-3', [30, 40, 5], ['M-3']), OLD_WALL]);
  const old = { ...bare, sheets: bare.sheets.map((s) => ({ ...s, plan: planRef('a', 'spring.png') })) };
  const laid = applyEdit(old, layPlan(old, 'laid revision B', {
    sheet: old.sheets[0]!.id, plan: { ...planRef('b', 'autumn.png'), issue: { name: 'Revision B', laid: '2026-05-04' } }, fit: FIT, touched: ['wall-W-2', 'disconnect-DS-3'],
    before: { findings: before === 'checked' ? auditDocument(old).results : null, touched: [] },
  }));
  const { 'wall-W-1': _, ...rest } = laid.entities;
  return { ...laid, entities: { ...rest, 'wall-W-2': wall('W-2', [[20, 32], [20, 48]]) } };
}
const reportOf = (document: Document) => buildReport(document, auditDocument(document), { date: '2026-05-05' });
const textsOf = (document: Document): string => findingPages(reportOf(document), (text, size) => text.length * size * 0.5).flatMap((page) => page.marks.flatMap((mark) => ('text' in mark ? [mark.text] : []))).join(' ');

describe('what a new plan changed stands in what is handed over', () => {
  it('the report says which findings appeared and went, and what is to be looked over', () => {
    const [change, ...more] = reportOf(changed()).planChanges;
    expect(more).toEqual([]);
    expect(change).toMatchObject({ plan: 'Revision B', laid: '2026-05-04', toLookOver: ['wall', 'DS-3'] });
    const sight = change!.findings!.filter((f) => /M-[23]/.test(f.about) && /sight|hid|behind|wall/i.test(f.title));
    expect(sight).toContainEqual(expect.objectContaining({ change: 'appeared', verdict: 'fail', about: 'DS-3 / M-3', note: '' }));
    expect(sight).toContainEqual(expect.objectContaining({ change: 'went', verdict: 'pass', about: 'DS-2 / M-2', note: 'was fail, now pass' }));
  });

  it('on paper and on the command line', () => {
    const document = changed();
    const [change] = reportOf(document).planChanges;
    const said = (what: string): number => change!.findings!.filter((f) => f.change === what).length;
    const head = `findings: ${said('appeared')} appeared, ${said('changed')} changed, ${said('went')} went`;
    expect(said('appeared') * said('went')).toBeGreaterThan(0);
    for (const text of [textsOf(document), auditText('hall.lockstead', document, auditDocument(document)).replace(/\s+/g, ' ')]) {
      expect(text.replace(/\s+/g, ' ')).toContain('Since Revision B was laid under Ground floor (2026-05-04):');
      expect(text.replace(/\s+/g, ' ')).toContain(head);
      expect(text).toContain('was fail, now pass');
      expect(text.replace(/\s+/g, ' ')).toContain('not looked over yet: wall, DS-3.');
    }
    expect(JSON.parse(auditJson('hall.lockstead', document, auditDocument(document), '0'))).toMatchObject({ planChanges: [{ plan: 'Revision B', findings: change!.findings!.map(({ change: what, title }) => ({ change: what, title })) }] });
  });

  it('once looked over it says so; without checks before, nothing is compared', () => {
    const seen = changed();
    const done = applyEdit(seen, lookedOver(seen, 'looked over', seen.sheets[0]!.id, ['wall-W-2', 'disconnect-DS-3']));
    expect(textsOf(done)).toContain('No mark that the change touched is still to be looked over.');
    expect(reportOf(changed('not checked')).planChanges[0]!.findings).toBeNull();
    expect(textsOf(changed('not checked'))).toContain('nothing can be compared');
  });

  it('a project whose plans were never exchanged has nothing of it', () => {
    const bare = plan([load('M-2', [10, 10, 1]), disconnect('DS-2', [30, 10, 5], ['M-2'])]);
    expect(reportOf(bare).planChanges).toEqual([]);
    expect(textsOf(bare)).not.toContain('new plans');
    expect(auditText('hall.lockstead', bare, auditDocument(bare))).not.toContain('Since');
  });
});
