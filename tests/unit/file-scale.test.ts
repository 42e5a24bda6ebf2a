import { beforeEach, describe, expect, it, vi } from 'vitest';
import { holdsWhole, inViews, partOf, scaleOfFile } from '../../renderer/panels/file-scale';
import { addSheets } from '../../renderer/panels/plan-intake';
import type { PlanInfo, PlanPage } from '../../renderer/panels/plan-intake';
import { store } from '../../renderer/state/store';
import { contradiction, emptyDocument, joinScale, readDocument, scaleFromPicks } from '../../shared-core/document/index';
import type { PlanRef, Scale } from '../../shared-core/document/index';
import { feet, sheetUnits } from '../../shared-core/units/index';

vi.mock('../../renderer/host-client', () => ({ host: { call: () => Promise.resolve({ ok: false, problem: { code: 'none', what: '', todo: '' } }), onProgress: () => () => undefined } }));

/** A drawing in metres, 1000 sheet units to the metre; a foot is 0.3048 m exactly (NIST Special Publication 811). */
const FEET = 1 / 0.3048 / 1000;
const METRE = { name: 'Declared in the file: metre', feetPerUnit: FEET, box: [0, 0, 6000, 4000] as [number, number, number, number] };
const page = (change: Partial<PlanPage>): PlanPage => ({
  page: 0, width: 6000, height: 4000, unitsPerPaperInch: null, label: 'Model', stored: { width: 6000, height: 4000, turned: 0, mirrored: false, unitsPerInch: null },
  scales: [METRE], lengths: [], drawing: null, warnings: [], layers: [], ...change });
const scaleTaken = (change: Partial<PlanPage>) => {
  const info: PlanInfo = { blob: 'a'.repeat(64), name: 'hall.dxf', media: 'image/vnd.dxf', pages: [page(change)] };
  addSheets(info, info.pages);
  return store.getState().document.sheets[0]?.scale ?? null;
};

beforeEach(() => { store.getState().load(emptyDocument(), null); });

describe('the scale that a file states', () => {
  it('is taken for a drawing in a unit that nothing contradicts, as drawn full size, and the project holds it', () => {
    const scale = scaleTaken({});
    expect(scale?.feetPerUnit).toBeCloseTo(FEET, 12);
    expect(scale?.from).toMatchObject({ kind: 'stated', typed: 'Declared in the file: metre', ratio: 1 });
    expect(readDocument(JSON.parse(JSON.stringify(store.getState().document)))).toMatchObject({ ok: true });
    // Lengths that say twice as much contradict it; lengths that agree do not.
    const held = (length: number) => { const picked = scaleFromPicks([{ from: { x: sheetUnits(0), y: sheetUnits(0) }, to: { x: sheetUnits(3000), y: sheetUnits(0) }, length: feet(length), typed: '' }], sheetUnits(1.5)); return picked.ok ? contradiction(joinScale(scale, picked.scale)) : NaN; };
    expect(held(3000 * FEET)).toBeNull();
    expect(held(6000 * FEET)).toBeCloseTo(1, 9);
  });

  it('is taken where dimension texts and header agree, and left to a person where they do not, or where its unit is in doubt', () => {
    expect(scaleTaken({ scales: [{ ...METRE, name: 'Dimension texts: one drawing unit is one metre', feetPerUnit: FEET * 1.01 }, METRE] })?.from).toMatchObject({ typed: expect.stringMatching(/^Dimension texts/) });
    // Of two that differ by 1 % nobody knows the right one: every distance carries the difference.
    store.getState().load(emptyDocument(), null);
    expect(scaleTaken({ scales: [METRE, { ...METRE, feetPerUnit: FEET * 1.01 }] })?.relativeUncertainty).toBeCloseTo(0.01, 9);
    for (const change of [{ scales: [METRE, { ...METRE, feetPerUnit: FEET / 12 }] }, { scales: [{ ...METRE, feetPerUnit: null }] }, { scales: [{ ...METRE, box: [0, 0, 3000, 4000] as [number, number, number, number] }] },
      ...['unit-contradicted', 'unit-implausible', 'map-coordinates'].map((code) => ({ warnings: [{ code, what: '', todo: '' }] }))]) {
      store.getState().load(emptyDocument(), null);
      expect(scaleTaken(change), JSON.stringify(change)).toBeNull();
    }
  });

  it('follows a plan that lies larger on its sheet, and is none of a picture made flat', () => {
    const plan: PlanRef = { blob: 'a'.repeat(64), name: 'p.pdf', media: 'application/pdf', page: 0, width: sheetUnits(1224), height: sheetUnits(792), unitsPerPaperInch: 72, lay: { scale: 2, turn: 0, x: 0, y: 0 } };
    // 1/8" = 1'-0" is 9 points a foot; laid twice as large, 18 sheet units.
    const whole = { name: '1/8 in = 1 ft', feetPerUnit: 1 / 9, box: [0, 0, 1224, 792] as [number, number, number, number] };
    const scale = scaleOfFile(plan, whole, [whole]);
    expect(scale?.feetPerUnit).toBeCloseTo(1 / 18, 12);
    expect(scale?.from).toMatchObject({ kind: 'stated', ratio: 96 });
    expect(scale?.areas).toBeUndefined();
    expect(scaleOfFile(plan, { ...whole, name: 'no unit', feetPerUnit: null }, [])).toBeNull();
  });

  it('of one view on a page holds in the views drawn alike, and so does a length picked there', () => {
    const plan: PlanRef = { blob: 'a'.repeat(64), name: 'p.pdf', media: 'application/pdf', page: 0, width: sheetUnits(1200), height: sheetUnits(800), unitsPerPaperInch: 72 };
    const view = (name: string, feetPerUnit: number | null, x: number) => ({ name, feetPerUnit, box: [x, 0, 300, 800] as [number, number, number, number] });
    const [a, b, c, d] = [view('Plan', 1 / 9, 0), view('Plan of the loft', 1 / 9, 300), view('Detail', 1 / 54, 600), view('', null, 900)];
    const all = [a, b, c, d]; const lefts = (scale: Scale | null) => scale?.areas?.map((area) => area[0]?.x);
    expect([lefts(scaleOfFile(plan, a, all)), lefts(scaleOfFile(plan, c, all)), lefts(scaleOfFile(plan, a, [a, { ...b, box: [0, 0, 1200, 800] }]))]).toEqual([[0, 300], [600], undefined]);
    const picked = (from: number, to: number): Scale => { const found = scaleFromPicks([{ from: { x: sheetUnits(from), y: sheetUnits(9) }, to: { x: sheetUnits(to), y: sheetUnits(9) }, length: feet(10), typed: '' }], sheetUnits(0.5)); if (!found.ok) throw new Error(found.reason); return found.scale; };
    expect([lefts(inViews(plan, picked(310, 500), all)), lefts(inViews(plan, picked(910, 1100), all)), lefts(inViews(plan, picked(10, 700), all)), lefts(inViews(plan, picked(10, 200), [a, b]))]).toEqual([[0, 300], [900], undefined, undefined]);
  });

  it('says in which part of the sheet it holds', () => {
    const sheet = { width: 900, height: 600 };
    expect(([[0, 0, 900, 600], [0, 0, 400, 300], [600, 0, 300, 600], [600, 400, 200, 150], [300, 200, 300, 200]] as [number, number, number, number][]).map((box) => [holdsWhole({ box }, sheet), partOf({ box }, sheet)]))
      .toEqual([[true, 'middle'], [false, 'upper left'], [false, 'right'], [false, 'lower right'], [false, 'middle']]);
  });
});
