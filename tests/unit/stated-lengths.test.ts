import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { checkData } from '../../shared-core/audit/check-data';
import { contradiction, joinScale, scaleFromDrawing, scaleFromPicks, stretchOf } from '../../shared-core/document/index';
import type { Scale, ScalePick } from '../../shared-core/document/index';
import { statedLengths } from '../../shared-core/offer/index';
import type { PlanLine, PlanText } from '../../shared-core/offer/index';
import { feet, sheetUnits } from '../../shared-core/units/index';
import { documentOf, sheetOn } from '../services/export-fixtures';

const text = (words: string, x: number, y: number, angle = 0): PlanText => ({ text: words, x, y, width: 6 * words.length, height: 10, angle });
const line = (x1: number, y1: number, x2: number, y2: number): PlanLine => ({ x1, y1, x2, y2 });

// Worked by hand: at 9 units a foot, 24'-6" is 220.5 units, 7.200 m is 212.598 units (1 m = 3.280840 ft).
describe('lengths a plan states', () => {
  it('are dimension texts above the middle of their line, in feet and inches, metres and millimetres', () => {
    const found = statedLengths([text("24'-6\"", 210.25, 92)], [line(100, 100, 320.5, 100), line(90, 90, 90, 300)]);
    expect(found).toEqual([{ from: [100, 100], to: [320.5, 100], text: "24'-6\"", feet: 24.5 }]);
    for (const [words, wanted] of [['7.200', 23.622047], ['7,20', 23.622047], ['7200', 23.622047], ['7.2 m', 23.622047], ["12'", 12], ["12'-0\"", 12], ["5'-3 1/2\"", 5.2916667]] as const) {
      expect(statedLengths([text(words, 200, 94)], [line(100, 100, 300, 100)])[0]?.feet, words).toBeCloseTo(wanted, 5);
    }
  });

  it('are found where the text breaks its line, and on upright lines', () => {
    expect(statedLengths([text("40'-0\"", 280, 100)], [line(100, 100, 255, 100), line(305, 100, 460, 100)])[0]).toMatchObject({ from: [100, 100], to: [460, 100], feet: 40 });
    const [upright] = statedLengths([text("20'-0\"", 92, 190, -90)], [line(100, 280, 100, 100)]);
    expect(upright?.from[0]).toBeCloseTo(100, 6); expect(upright?.from[1]).toBeCloseTo(280, 6); expect(upright?.to[1]).toBeCloseTo(100, 6);
  });

  it('are not room names, sheet numbers, doors or texts beside the middle', () => {
    const lines = [line(100, 100, 300, 100)];
    for (const words of ['PRESS HALL', 'A-101', '3', '36', '1:100', "1/8\" = 1'-0\""]) expect(statedLengths([text(words, 200, 94)], lines), words).toEqual([]);
    expect(statedLengths([text("24'-6\"", 120, 94)], lines)).toEqual([]);
    expect(statedLengths([text("24'-6\"", 200, 60)], lines)).toEqual([]);
  });

  it('come longest first, without those that disagree with the rest', () => {
    const texts = [text("10'-0\"", 145, 94), text("20'-0\"", 190, 194), text("30'-0\"", 235, 294), text("99'-0\"", 150, 394)];
    const lines = [line(100, 100, 190, 100), line(100, 200, 280, 200), line(100, 300, 370, 300), line(100, 400, 200, 400)];
    expect(statedLengths(texts, lines).map((l) => l.text)).toEqual(["30'-0\"", "20'-0\"", "10'-0\""]);
  });

  it('are the numbered ticks of a scale bar with its unit, and not without one', () => {
    const ticks = [text('0', 100, 50), text('10', 190, 50), text('20', 280, 50)];
    // Labels alone may begin at their ticks as well: '20' is 6 units wider than '0', so each end may be 3 off, and a tenth of a height.
    expect(statedLengths([...ticks, text('FT', 310, 50)], [])).toEqual([{ from: [100, 50], to: [280, 50], text: 'scale bar 0 to 20 ft', feet: 20, within: 4 }]);
    expect(statedLengths(ticks, [])).toEqual([]);
    expect(statedLengths([text('0', 100, 50), text('10', 190, 50), text('20', 250, 50), text('FT', 310, 50)], [])).toEqual([]);
  });

  it('are the drawn ends of a scale bar where its numbers stand by them, the last with its unit beside it', () => {
    const strip = (from: number, to: number): PlanLine[] => [line(from, 60, to, 60), line(to, 60, to, 68), line(to, 68, from, 68), line(from, 68, from, 60)];
    // Labels that begin at their ticks: their middles are 3, 6 and 15 units beside them.
    const labels = [text('0', 103, 50), text('10', 196, 50), text('20 ft', 295, 50)];
    expect(statedLengths(labels, [...strip(100, 190), ...strip(190, 280)])).toEqual([{ from: [100, 50], to: [280, 50], text: 'scale bar 0 to 20 ft', feet: 20 }]);
    // Lines that are no ticks prove nothing: the labels count, with what they may be off.
    expect(statedLengths(labels, [line(100, 60, 184, 60)])[0]).toMatchObject({ feet: 10, within: 4 });
  });
});

const pick = (dx: number, dy: number, length: number): ScalePick => ({ from: { x: sheetUnits(10), y: sheetUnits(10) }, to: { x: sheetUnits(10 + dx), y: sheetUnits(10 + dy) }, length: feet(length), typed: '' });
const made = (outcome: ReturnType<typeof scaleFromPicks>): Scale => { if (!outcome.ok) throw new Error(outcome.reason); return outcome.scale; };

describe('several lengths', () => {
  it('in different directions show how far the print is stretched', () => {
    fc.assert(fc.property(fc.double({ min: -0.03, max: 0.03, noNaN: true }), fc.array(fc.double({ min: 0, max: Math.PI, noNaN: true }), { minLength: 0, maxLength: 5 }), (stretch, more) => {
      // A plan drawn at 9 units a foot whose x runs (1 + stretch) times too long.
      const picks = [0, Math.PI / 2, ...more].map((angle) => pick(9 * 30 * Math.cos(angle) * (1 + stretch), 9 * 30 * Math.sin(angle), 30));
      expect(stretchOf(picks)).toBeCloseTo(stretch, 9);
    }));
  });

  it('in one direction say nothing of it', () => { expect(stretchOf([pick(90, 0, 10), pick(180, 1, 20)])).toBeNull(); });

  it('that contradict the stated scale are a finding; those that agree are none', () => {
    const stated = made(scaleFromDrawing('1/8" = 1\'-0"', 96, 72, 0.005, sheetUnits(0.5)));
    const at = (length: number): Scale => joinScale(stated, made(scaleFromPicks([pick(900, 0, length)], sheetUnits(0.5))));
    // 900 points at 9 points a foot are 100 ft.
    expect(contradiction(at(100))).toBeNull();
    expect(contradiction(at(100.4))).toBeNull();
    expect(contradiction(at(103))).toBeCloseTo(0.03, 6);
    const found = (length: number) => checkData(documentOf([{ ...sheetOn('sheet-one', null), scale: at(length) }], [])).filter((r) => r.id.startsWith('data/scale-stated'));
    expect(found(100)).toEqual([]);
    expect(found(103)[0]).toMatchObject({ verdict: 'incomplete', title: expect.stringContaining('3.0 % longer than the stated scale') });
  });

  it('that were pointed at from far away make the scale less sure, and closer ones more again, in whatever order they come', () => {
    // One element off at each end of 900 is sqrt(2) / 900; ten off are ten times that.
    const sure = (...picks: ScalePick[]): number => made(scaleFromPicks(picks, sheetUnits(1))).relativeUncertainty;
    const far = { ...pick(900, 0, 100), within: sheetUnits(10) };
    expect(sure(pick(900, 0, 100))).toBeCloseTo(Math.SQRT2 / 900, 12);
    expect(sure(far)).toBeCloseTo((10 * Math.SQRT2) / 900, 12);
    expect(sure({ ...far, within: sheetUnits(0.2) })).toBeCloseTo(Math.SQRT2 / 900, 12);
    const both = [sure(far, pick(0, 900, 100)), sure(pick(0, 900, 100), far)];
    expect(both[0]).toBeCloseTo(both[1]!, 12);
    // Two distances of one weight, one off by s and one by 10 s: their mean is off by sqrt(101) / 2 s.
    expect(both[0]).toBeCloseTo((Math.sqrt(101) / 2 * Math.SQRT2) / 900, 12);
    expect(scaleFromPicks([{ ...pick(18, 0, 2), within: sheetUnits(10) }], sheetUnits(1)).ok).toBe(false);
  });

  it('and the stated scale give one scale and one finding in whatever order they come', () => {
    const drawing = made(scaleFromDrawing('1/8" = 1\'-0"', 96, 72, 0.005, sheetUnits(0.5)));
    const all = [pick(900, 0, 103), pick(0, 450, 51.4), pick(300, 300, 48.6)];
    // Each order of giving the drawing scale and three lengths, the drawing scale perhaps more than once.
    const steps = fc.shuffledSubarray([...all, drawing], { minLength: 4, maxLength: 4 });
    fc.assert(fc.property(steps, fc.boolean(), (order, again) => {
      let scale: Scale | null = null;
      for (const step of again ? [...order, drawing] : order) {
        const picks: readonly ScalePick[] = scale?.from.kind === 'picks' ? scale.from.picks : [];
        scale = joinScale(scale, 'feetPerUnit' in step ? step : made(scaleFromPicks([...picks, step], sheetUnits(0.5))));
      }
      const { from, ...rest } = scale!;
      expect(from).toMatchObject({ kind: 'picks', picks: { length: 3 } });
      expect(rest.stated).toEqual({ typed: drawing.from.kind === 'stated' ? drawing.from.typed : '', ratio: 96, unitsPerPaperInch: 72 });
      expect(rest.feetPerUnit).toBeCloseTo(made(scaleFromPicks(all, sheetUnits(0.5))).feetPerUnit, 12);
      expect(contradiction(scale!)).toBeGreaterThan(0.02);
    }));
  });
});
