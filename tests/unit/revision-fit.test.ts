import { describe, expect, it } from 'vitest';
import { drawnLarger, fitSimilarity } from '../../shared-core/revision/index';
import type { Fit, PointPair } from '../../shared-core/revision/index';

type Numbers = readonly (readonly [number, number])[];
const pairsOf = (picture: Numbers, sheet: Numbers): PointPair[] => picture.map(([x, y], i) => ({ picture: { x, y }, sheet: { x: sheet[i]![0], y: sheet[i]![1] } }));

function fitOf(picture: Numbers, sheet: Numbers, precision = 1): Fit {
  const outcome = fitSimilarity(pairsOf(picture, sheet), precision);
  if (!outcome.ok) throw new Error(outcome.reason);
  return outcome.fit;
}
const reasonOf = (picture: Numbers, sheet: Numbers): string => { const outcome = fitSimilarity(pairsOf(picture, sheet), 1); return outcome.ok ? 'laid' : outcome.reason; };

describe('a new revision laid under the marks', () => {
  it('agrees with the worked example of the paper the method is from: a mirrored triangle laid without mirroring', () => {
    // IEEE Transactions on Pattern Analysis and Machine Intelligence 13 (4), 1991, p. 379: R = [[0.832, 0.555], [-0.555, 0.832]], c = 0.721, t = (-0.800, 0.400).
    const { lay } = fitOf([[0, 0], [1, 0], [0, 2]], [[0, 0], [-1, 0], [0, 2]], 0.01);
    expect(Math.cos((lay.turn * Math.PI) / 180)).toBeCloseTo(0.832, 3);
    expect(Math.sin((lay.turn * Math.PI) / 180)).toBeCloseTo(-0.555, 3);
    expect(lay.scale).toBeCloseTo(0.721, 3);
    expect(lay.x).toBeCloseTo(-0.8, 9);
    expect(lay.y).toBeCloseTo(0.4, 9);
  });

  it('agrees with a solution by singular values (NumPy 2.4.6, numpy.linalg.svd) to ten digits, also a million units from the origin', () => {
    const near = fitOf([[120, 80], [1530, 95], [1490, 1020], [140, 990], [800, 500]], [[210.5, 131.2], [1611.9, 118.4], [1596.1, 1041.7], [243.3, 1039.9], [912.4, 568.8]], 0.2);
    expect(near.lay.scale).toBeCloseTo(0.9973563898173914, 10);
    expect(near.lay.turn).toBeCloseTo(-1.1587068413832893, 10);
    expect(near.lay.x).toBeCloseTo(90.33316550294523, 8);
    expect(near.lay.y).toBeCloseTo(60.9865601134627, 8);
    [7.223553169172015, 8.810195013375857, 6.356025276487103, 8.556426008938608, 29.105022975307445].forEach((r, i) => { expect(near.residuals[i]).toBeCloseTo(r, 9); });
    const far = fitOf([[1e6 + 12, 2e6 + 7], [1e6 + 612, 2e6 + 9], [1e6 + 600, 2e6 + 410], [1e6 + 15, 2e6 + 399]], [[52, 40], [350, 65], [327, 264], [38, 236]]);
    expect(far.lay.scale).toBeCloseTo(0.498250148444361, 10);
    expect(far.lay.turn).toBeCloseTo(4.584905884394253, 9);
    expect(far.lay.x).toBeCloseTo(-416953.0336683667, 4);
    [0.4737706526966967, 0.42707099999660264, 0.7893221835984795, 0.8222184378663677].forEach((r, i) => { expect(far.residuals[i]).toBeCloseTo(r, 8); });
  });

  it('two pairs always fit, and nothing is claimed from that', () => {
    const fit = fitOf([[0, 0], [100, 0]], [[10, 10], [10, 210]]);
    expect(fit.lay).toMatchObject({ scale: 2, turn: 90 });
    expect(fit.worst).toBeLessThan(1e-12);
    expect(fit.agreement).toEqual({ kind: 'unchecked' });
    // Both ends of each pair a unit off over 200 units: sqrt(2) / sqrt(2 * 100²).
    expect(fit.relativeUncertainty).toBeCloseTo(0.01, 9);
  });

  it('points at the one pair of four that is off, and says how far', () => {
    const corners: Numbers = [[0, 0], [1000, 0], [1000, 700], [0, 700], [500, 350]];
    const fit = fitOf(corners, [[0, 0], [1000, 0], [1000, 740], [0, 700], [500, 350]]);
    expect(fit.agreement).toMatchObject({ kind: 'one-off', pair: 2 });
    expect(fit.agreement.kind === 'one-off' && fit.agreement.off).toBeCloseTo(40, 6);
    expect(fitOf(corners, [[0, 1], [1001, 0], [1000, 699], [1, 700], [500, 351]]).agreement).toEqual({ kind: 'agree' });
  });

  it('of three pairs none can be told from the others, nor can several bad ones', () => {
    expect(fitOf([[0, 0], [1000, 0], [1000, 700]], [[0, 0], [1000, 0], [1000, 740]]).agreement).toEqual({ kind: 'disagree' });
    expect(fitOf([[0, 0], [1000, 0], [1000, 700], [0, 700]], [[40, 0], [1000, 30], [1000, 740], [0, 660]]).agreement).toEqual({ kind: 'disagree' });
  });

  it('a mirrored plan is recognised, not squeezed into place', () => {
    expect(fitOf([[0, 0], [1000, 0], [1000, 200], [0, 200]], [[1000, 0], [0, 0], [0, 200], [1000, 200]]).agreement).toEqual({ kind: 'mirrored' });
    expect(reasonOf([[0, 0], [100, 0], [100, 100], [0, 100]], [[100, 0], [0, 0], [0, 100], [100, 100]])).toMatch(/mirrored/);
  });

  it('refuses with words what cannot be laid', () => {
    expect(reasonOf([], [])).toMatch(/then a second one/);
    expect(reasonOf([[0, 0]], [[5, 5]])).toMatch(/second point/);
    expect(reasonOf([[0, 0], [100, 0]], [[5, 5], [6, 5]])).toMatch(/old plan lie on top/);
    expect(reasonOf([[7, 7], [7, 7]], [[5, 5], [600, 5]])).toMatch(/new plan lie on top/);
    expect(reasonOf([[1e9, 0], [1e9 + 1e-3, 0]], [[5, 5], [600, 5]])).toMatch(/new plan lie on top/);
    expect(reasonOf([[0, 0], [100, 0], [0, 100], [100, 100], [50, 50]], [[0, 0], [100, 100], [100, 0], [3, 90], [80, 20]])).toMatch(/do not belong together/);
    expect(() => fitSimilarity(pairsOf([[NaN, 0], [1, 1]], [[0, 0], [9, 9]]), 1)).toThrow(RangeError);
    expect(() => fitSimilarity(pairsOf([[0, 0], [1, 1]], [[0, 0], [9, 9]]), 0)).toThrow(RangeError);
  });

  it('says how much larger the building is drawn on the new paper, and nothing where a file does not say its size', () => {
    // A 1/8" plan scanned at 200 dpi, now drawn at 1/4" as PDF points: 144 points an old inch of building.
    expect(drawnLarger({ unitsPerPaperInch: 200 }, { unitsPerPaperInch: 72 }, 200 / 144)).toBeCloseTo(2, 12);
    expect(drawnLarger({ unitsPerPaperInch: 150, lay: { scale: 2 } }, { unitsPerPaperInch: 300 }, 1)).toBeCloseTo(1, 12);
    expect(drawnLarger({}, { unitsPerPaperInch: 72 }, 1)).toBeNull();
  });
});
