import { createHash } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import { packProject, unpackProject } from '../../main/files/plan-file';
import { auditDocument } from '../../shared-core/audit/index';
import { applyEdit, invertEdit, readDocument } from '../../shared-core/document/index';
import type { Document, PlanRef } from '../../shared-core/document/index';
import { compareFindings, layPlan, lookedOver } from '../../shared-core/revision/index';
import type { Fit } from '../../shared-core/revision/index';
import { sheetUnits } from '../../shared-core/units/index';
import { block, disconnect, load, plan, rect, wall } from './checks-plan';

const bytes = (text: string): Uint8Array => new TextEncoder().encode(text);
const digest = (data: Uint8Array): string => createHash('sha256').update(data).digest('hex');
const OLD = bytes('the plan of spring'); const NEW = bytes('the plan of autumn');
const planRef = (data: Uint8Array, name: string): PlanRef => ({ blob: digest(data), name, media: 'image/png', page: 0, width: sheetUnits(900), height: sheetUnits(700) });
const FIT: Fit = { lay: { scale: 1, turn: 0, x: 0, y: 0 }, residuals: [3, 4, 3], worst: 4, pickedWithin: 2, relativeUncertainty: 0.003, agreement: { kind: 'agree' } };

function hall(): Document {
  const bare = plan([load('M-2', [10, 10, 1]), disconnect('DS-2', [30, 10, 5], ['M-2']), block('T-1', rect(18, 35, 22, 40), 0, 9)]);
  return { ...bare, sheets: bare.sheets.map((s) => ({ ...s, plan: planRef(OLD, 'spring.png') })) };
}
const sheetOf = (document: Document) => document.sheets[0]!;
const laid = (document: Document, touched: readonly string[] = []) =>
  layPlan(document, 'laid revision B', { sheet: sheetOf(document).id, plan: { ...planRef(NEW, 'autumn.png'), issue: { name: 'Revision B', laid: '2026-05-04' } }, fit: FIT, touched });

describe('a new plan under the marks, in the document', () => {
  it('is one named edit: no mark moves, the old plan is kept, and undo is exact', () => {
    const before = hall();
    const edit = laid(before, ['disconnect-DS-2']);
    const after = applyEdit(before, edit);
    expect(edit).toMatchObject({ name: 'laid revision B', patches: [{ at: 'sheets' }] });
    expect(after.entities).toBe(before.entities);
    expect(sheetOf(after)).toMatchObject({ plan: { name: 'autumn.png', issue: { name: 'Revision B' } }, earlier: [{ name: 'spring.png' }], toLookOver: ['disconnect-DS-2'] });
    expect(applyEdit(after, invertEdit(edit))).toEqual(before);
    expect(readDocument(JSON.parse(JSON.stringify(after)))).toMatchObject({ ok: true, document: after });
  });

  it('the uncertainty of the fit goes into the scale, and never makes it smaller', () => {
    const before = sheetOf(hall()).scale!; const after = sheetOf(applyEdit(hall(), laid(hall()))).scale!;
    expect(after.relativeUncertainty).toBeCloseTo(Math.hypot(before.relativeUncertainty, 0.003), 12);
    expect(after.pickUncertainty).toBe(Math.max(before.pickUncertainty, 4));
    expect(after.feetPerUnit).toBe(before.feetPerUnit);
    const rough = layPlan(hall(), 'laid', { sheet: sheetOf(hall()).id, plan: planRef(NEW, 'autumn.png'), fit: { ...FIT, residuals: [0, 0], worst: 0, pickedWithin: 9 }, touched: [] });
    expect(sheetOf(applyEdit(hall(), rough)).scale?.pickUncertainty).toBe(9);
  });

  it('going back lays the earlier plan as it lay and keeps the later one; nothing is kept twice', () => {
    const later = applyEdit(hall(), laid(hall()));
    const back = applyEdit(later, layPlan(later, 'went back', { sheet: sheetOf(later).id, plan: sheetOf(later).earlier![0]!, fit: null, touched: [] }));
    expect(sheetOf(back).plan).toEqual(sheetOf(hall()).plan);
    expect(sheetOf(back).earlier).toEqual([sheetOf(later).plan]);
    expect(sheetOf(back).scale).toEqual(sheetOf(later).scale);
  });

  it('what was touched proves nothing until it was looked over: no device stays passed by an old plan', () => {
    const touched = applyEdit(hall(), laid(hall(), ['load-M-2', 'obstruction-T-1']));
    const findings = (d: Document) => auditDocument(d).results.filter((r) => r.check === 'data.revision');
    expect(findings(touched).map((r) => [r.verdict, r.title])).toEqual([['incomplete', 'The plan changed at 1 other mark of sheet Ground floor: not looked over since Revision B was laid'],
      ['incomplete', 'The plan changed at M-2: not looked over since Revision B was laid']]);
    expect(auditDocument(touched).deviceVerdicts['disconnect-DS-2']).not.toBe('pass');
    // Nor may its line of sight be drawn as in order, on the screen or on paper.
    expect(auditDocument(hall()).pairs.map((p) => p.verdict)).toEqual(['pass']);
    expect(auditDocument(touched).pairs.map((p) => [p.verdict, p.viewVerdict, p.result.missing])).toEqual([['incomplete', 'pass', ['look at M-2 on the new plan']]]);
    const one = applyEdit(touched, lookedOver(touched, 'looked over M-2', sheetOf(touched).id, ['load-M-2']));
    expect(findings(one)).toHaveLength(1);
    const all = applyEdit(one, lookedOver(one, 'looked over T-1', sheetOf(one).id, ['obstruction-T-1']));
    expect(findings(all)).toEqual([]);
    expect('toLookOver' in sheetOf(all)).toBe(false);
  });

  it('what fails on the marks still fails while it waits to be looked over', () => {
    const bare = hall();
    const far = { ...bare, entities: { ...bare.entities, 'wall-W-1': { ...wall('W-1', [[20, 2], [20, 18]]) } } };
    expect(auditDocument(far).pairs[0]?.verdict).toBe('fail');
    expect(auditDocument(applyEdit(far, laid(far, ['disconnect-DS-2']))).pairs[0]?.verdict).toBe('fail');
  });

  it('a mark that was deleted is not asked about', () => {
    const touched = applyEdit(hall(), laid(hall(), ['obstruction-T-1', 'wall-that-is-gone']));
    expect(auditDocument(touched).results.filter((r) => r.check === 'data.revision').map((r) => r.subject.others)).toEqual([['obstruction-T-1']]);
  });

  it('what was open before stays with the sheet through saving, so that a project opened again still says what the plan changed', () => {
    const before = hall();
    const audit = auditDocument(before).results;
    const touched = [{ id: 'disconnect-DS-2', why: { kind: 'line', load: 'load-M-2' }, gone: true, fresh: false }, { id: 'obstruction-T-1', why: { kind: 'near' }, gone: false, fresh: true }] as const;
    const after = applyEdit(before, layPlan(before, 'laid revision B', { sheet: sheetOf(before).id, plan: planRef(NEW, 'autumn.png'), fit: FIT, touched: [], before: { findings: audit, touched } }));
    const packed = packProject(after, new Map([[digest(OLD), OLD], [digest(NEW), NEW]]));
    const read = packed.ok ? unpackProject(packed.value, 'hall.lockstead') : packed;
    if (!read.ok) throw new Error(read.problem.what);
    const kept = sheetOf(read.value.document).sinceLaid;
    expect(kept).toMatchObject({ blob: digest(NEW), page: 0, touched });
    // A wall put into the line after reopening: the same change is told as from the whole audit.
    const blocked = auditDocument({ ...read.value.document, entities: { ...read.value.document.entities, 'wall-W-1': wall('W-1', [[20, 2], [20, 18]]) } }).results;
    const titles = (change: ReturnType<typeof compareFindings>) => [change.appeared.map((f) => f.id), change.went.map((w) => w.before.id), change.changed.map((c) => [c.after.id, c.what])];
    expect(titles(compareFindings(kept!.findings!, blocked))).toEqual(titles(compareFindings(audit, blocked)));
    expect(compareFindings(kept!.findings!, blocked).appeared.map((f) => f.check)).toContain('sight.motor');
    expect(kept!.findings!.every((f) => f.verdict !== 'pass' && !('steps' in f))).toBe(true);
  });

  it('what was open before goes when yet another plan is laid without it', () => {
    const before = hall();
    const one = applyEdit(before, layPlan(before, 'B', { sheet: sheetOf(before).id, plan: planRef(NEW, 'autumn.png'), fit: FIT, touched: [], before: { findings: null, touched: [] } }));
    expect(sheetOf(one).sinceLaid).toEqual({ blob: digest(NEW), page: 0, findings: null, touched: [] });
    expect(sheetOf(applyEdit(one, laid(one))).sinceLaid).toBeUndefined();
  });

  it('both plans are kept in the project file, and a file without the earlier one is damaged', () => {
    const after = applyEdit(hall(), laid(hall()));
    const plans = new Map([[digest(OLD), OLD], [digest(NEW), NEW]]);
    const packed = packProject(after, plans);
    if (!packed.ok) throw new Error(packed.problem.what);
    const read = unpackProject(packed.value, 'hall.lockstead');
    expect(read.ok && [...read.value.plans.keys()].sort()).toEqual([...plans.keys()].sort());
    expect(read.ok && read.value.document).toEqual(after);
    expect(packProject(after, new Map([[digest(NEW), NEW]]))).toMatchObject({ ok: false, problem: { code: 'plan-missing', what: expect.stringContaining('spring.png') } });
  });
});
