import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { beforeAll, describe, expect, it } from 'vitest';
import { auditDocument } from '../../shared-core/audit/index';
import { applyEdit, invertEdit, layOf, planBounds, readDocument, setDrawingArea, toSheetPoint, turnPlan, turnToLevel } from '../../shared-core/document/index';
import type { Document } from '../../shared-core/document/index';
import { sheetUnits } from '../../shared-core/units/index';
import { unpackProject } from '../../main/files/plan-file';

const demo = (): Document => {
  const read = unpackProject(new Uint8Array(readFileSync(new URL('../../assets/demo/cider-works.lockstead', import.meta.url))), 'demo');
  if (!read.ok) throw new Error(read.problem.what);
  return read.value.document;
};

// A turn keeps every distance and every line of sight, so the audit of the invented works must say the same before and after: an
// outside truth of plane geometry.
describe('a plan turned with its marks', () => {
  let works: Document; let sheet: string;
  beforeAll(() => { works = demo(); sheet = works.sheets[0]?.id ?? ''; });

  it('gives the same verdicts and the same distances', () => {
    const before = auditDocument(works);
    for (const turn of [-0.55, 90, 180, 270, 7.3, -33.3]) {
      const turned = applyEdit(works, turnPlan(works, 'turned', sheet, turn, 'along'));
      const after = auditDocument(turned);
      expect(after.deviceVerdicts, String(turn)).toEqual(before.deviceVerdicts);
      const short = (audit: typeof before) => audit.results.map((r) => `${r.check} ${JSON.stringify(r.subject)} ${r.verdict}`).sort();
      expect(short(after), String(turn)).toEqual(short(before));
      before.pairs.forEach((pair) => {
        const same = after.pairs.find((p) => p.disconnect === pair.disconnect && p.load === pair.load && p.target === pair.target);
        expect(same?.distance, `${pair.disconnect} ${turn}`).toBeCloseTo(pair.distance ?? Number.NaN, 6);
      });
    }
  });

  it('keeps every mark on its place of the picture, and the picture inside the drawing area', () => {
    fc.assert(fc.property(fc.double({ min: -180, max: 180, noNaN: true }), (turn) => {
      const turned = applyEdit(works, turnPlan(works, 'turned', sheet, turn, 'along'));
      const [old, now] = [works.sheets[0], turned.sheets[0]];
      if (!old?.plan || !now?.plan) throw new Error('no plan');
      for (const id of Object.keys(works.entities)) {
        const [a, b] = [works.entities[id], turned.entities[id]];
        if (!a || !b || !('at' in a) || !('at' in b) || !a.at || !b.at) continue;
        // The demo's plan lies as it is, so sheet and picture are one before the turn.
        const there = toSheetPoint(now.plan, a.at);
        expect(Math.hypot(there.x - b.at.x, there.y - b.at.y)).toBeLessThan(1e-8);
      }
      for (const [x, y] of [[0, 0], [old.plan.width, 0], [0, old.plan.height], [old.plan.width, old.plan.height]] as const) {
        const corner = toSheetPoint(now.plan, { x, y });
        expect(corner.x).toBeGreaterThan(-1e-6); expect(corner.y).toBeGreaterThan(-1e-6);
        expect(corner.x).toBeLessThan(now.width + 1e-6); expect(corner.y).toBeLessThan(now.height + 1e-6);
      }
    }), { numRuns: 40 });
  });

  it('is one step that undo takes back exactly, and is kept with the project', () => {
    const edit = turnPlan(works, 'turned', sheet, -0.55, 'along');
    const turned = applyEdit(works, edit);
    expect(applyEdit(turned, invertEdit(edit))).toEqual(works);
    const read = readDocument(JSON.parse(JSON.stringify(turned)));
    expect(read.ok && read.document).toEqual(JSON.parse(JSON.stringify(turned)));
  });

  it('comes back to where it was after four quarters', () => {
    let document = works;
    for (let i = 0; i < 4; i += 1) document = applyEdit(document, turnPlan(document, 'turned', sheet, 90, 'along'));
    const plan = document.sheets[0]?.plan;
    expect(plan && layOf(plan).turn).toBe(0);
    expect([document.sheets[0]?.width, document.sheets[0]?.height]).toEqual([works.sheets[0]?.width, works.sheets[0]?.height]);
    for (const [id, e] of Object.entries(works.entities)) {
      const now = document.entities[id];
      if ('at' in e && e.at && now && 'at' in now && now.at) expect(Math.hypot(now.at.x - e.at.x, now.at.y - e.at.y)).toBeLessThan(1e-9);
    }
  });
});

describe('a sheet cropped to a part', () => {
  it('moves plan and marks together, shows only the part, and shows all of it again where it was', () => {
    const works = demo(); const sheet = works.sheets[0];
    if (!sheet?.plan) throw new Error('no plan');
    const box = { minX: 500.25, minY: 300.5, maxX: 2200, maxY: 1500 };
    const edit = setDrawingArea(works, 'cropped', sheet.id, box);
    const cropped = applyEdit(works, edit);
    const now = cropped.sheets[0];
    if (!now?.plan) throw new Error('no plan');
    expect([now.width, now.height]).toEqual([2200 - 500.25, 1500 - 300.5]);
    expect(toSheetPoint(now.plan, { x: 500.25, y: 300.5 })).toEqual({ x: 0, y: 0 });
    expect(auditDocument(cropped).deviceVerdicts).toEqual(auditDocument(works).deviceVerdicts);
    expect(applyEdit(cropped, invertEdit(edit))).toEqual(works);
    const whole = applyEdit(cropped, setDrawingArea(cropped, 'whole', sheet.id, planBounds(now.plan)));
    expect([whole.sheets[0]?.width, whole.sheets[0]?.height]).toEqual([sheet.width, sheet.height]);
    for (const [id, e] of Object.entries(works.entities)) {
      const back = whole.entities[id];
      if ('at' in e && e.at && back && 'at' in back && back.at) expect(Math.hypot(back.at.x - e.at.x, back.at.y - e.at.y)).toBeLessThan(1e-9);
    }
  });
});

describe('a plan turned alone', () => {
  it('leaves marks, scale and drawing area, and turns about the middle', () => {
    const works = demo(); const sheet = works.sheets[0];
    if (!sheet?.plan) throw new Error('no plan');
    const turned = applyEdit(works, turnPlan(works, 'turned', sheet.id, 3, 'stay'));
    expect(turned.entities).toBe(works.entities);
    const now = turned.sheets[0];
    expect({ ...now, plan: null }).toEqual({ ...sheet, plan: null });
    const middle = { x: sheet.width / 2, y: sheet.height / 2 };
    const there = now?.plan && toSheetPoint(now.plan, middle);
    expect(there?.x).toBeCloseTo(middle.x, 6); expect(there?.y).toBeCloseTo(middle.y, 6);
  });
});

it('a line picked as level is level, or upright, after its turn', () => {
  fc.assert(fc.property(fc.double({ min: -Math.PI, max: Math.PI, noNaN: true }), (angle) => {
    const turn = turnToLevel({ x: sheetUnits(3), y: sheetUnits(4) }, { x: sheetUnits(3 + 100 * Math.cos(angle)), y: sheetUnits(4 + 100 * Math.sin(angle)) });
    expect(Math.abs(turn)).toBeLessThanOrEqual(45 + 1e-9);
    const after = angle + (turn * Math.PI) / 180;
    expect(Math.min(Math.abs(Math.sin(after)), Math.abs(Math.cos(after)))).toBeLessThan(1e-9);
  }));
});
