import { describe, expect, it } from 'vitest';
import { PALETTE, STATUS_INK, SYMBOL_WORDS, arcToCurves, boundsOf, disconnectMark, disconnectSymbolName, horsepowerText, loadLetter, placeSymbol, sightLineMarks, statusMark, symbolOf, withHalo } from '../../shared-core/report/index';
import type { SymbolName } from '../../shared-core/report/index';
import { VERDICT_ORDER } from '../../shared-core/code-data/index';
import { horsepower } from '../../shared-core/units/index';

type Triple = readonly [number, number, number];

/** Written for this test from the formula of G. Sharma, W. Wu, E. N. Dalal, Color Research & Application 30(1), 2005, 21-30. */
function ciede2000([l1, a1, b1]: Triple, [l2, a2, b2]: Triple): number {
  const rad = Math.PI / 180;
  const meanChroma = (Math.hypot(a1, b1) + Math.hypot(a2, b2)) / 2;
  const g = 0.5 * (1 - Math.sqrt(meanChroma ** 7 / (meanChroma ** 7 + 25 ** 7)));
  const polar = (a: number, b: number): [number, number] => {
    const x = a * (1 + g);
    return [Math.hypot(x, b), x === 0 && b === 0 ? 0 : (Math.atan2(b, x) / rad + 360) % 360];
  };
  const [c1, h1] = polar(a1, b1); const [c2, h2] = polar(a2, b2);
  const grey = c1 * c2 === 0;
  let turn = h2 - h1;
  if (turn > 180) turn -= 360; else if (turn < -180) turn += 360;
  const dH = grey ? 0 : 2 * Math.sqrt(c1 * c2) * Math.sin((turn / 2) * rad);
  const l = (l1 + l2) / 2; const c = (c1 + c2) / 2;
  let h = h1 + h2;
  if (!grey) h = Math.abs(h1 - h2) <= 180 ? h / 2 : (h < 360 ? h + 360 : h - 360) / 2;
  const t = 1 - 0.17 * Math.cos((h - 30) * rad) + 0.24 * Math.cos(2 * h * rad) + 0.32 * Math.cos((3 * h + 6) * rad) - 0.2 * Math.cos((4 * h - 63) * rad);
  const rotation = -Math.sin(60 * Math.exp(-(((h - 275) / 25) ** 2)) * rad) * 2 * Math.sqrt(c ** 7 / (c ** 7 + 25 ** 7));
  const sl = 1 + (0.015 * (l - 50) ** 2) / Math.sqrt(20 + (l - 50) ** 2); const sc = 1 + 0.045 * c; const sh = 1 + 0.015 * c * t;
  const dl = (l2 - l1) / sl; const dc = (c2 - c1) / sc; const dh = dH / sh;
  return Math.sqrt(dl * dl + dc * dc + dh * dh + rotation * dc * dh);
}

/** Table 1 of the same paper, all 34 pairs: L, a, b, L, a, b, difference. */
const PUBLISHED: readonly (readonly number[])[] = [
  [50, 2.6772, -79.7751, 50, 0, -82.7485, 2.0425], [50, 3.1571, -77.2803, 50, 0, -82.7485, 2.8615], [50, 2.8361, -74.02, 50, 0, -82.7485, 3.4412],
  [50, -1.3802, -84.2814, 50, 0, -82.7485, 1], [50, -1.1848, -84.8006, 50, 0, -82.7485, 1], [50, -0.9009, -85.5211, 50, 0, -82.7485, 1],
  [50, 0, 0, 50, -1, 2, 2.3669], [50, -1, 2, 50, 0, 0, 2.3669], [50, 2.49, -0.001, 50, -2.49, 0.0009, 7.1792], [50, 2.49, -0.001, 50, -2.49, 0.001, 7.1792],
  [50, 2.49, -0.001, 50, -2.49, 0.0011, 7.2195], [50, 2.49, -0.001, 50, -2.49, 0.0012, 7.2195], [50, -0.001, 2.49, 50, 0.0009, -2.49, 4.8045],
  [50, -0.001, 2.49, 50, 0.001, -2.49, 4.8045], [50, -0.001, 2.49, 50, 0.0011, -2.49, 4.7461], [50, 2.5, 0, 50, 0, -2.5, 4.3065],
  [50, 2.5, 0, 73, 25, -18, 27.1492], [50, 2.5, 0, 61, -5, 29, 22.8977], [50, 2.5, 0, 56, -27, -3, 31.903], [50, 2.5, 0, 58, 24, 15, 19.4535],
  [50, 2.5, 0, 50, 3.1736, 0.5854, 1], [50, 2.5, 0, 50, 3.2972, 0, 1], [50, 2.5, 0, 50, 1.8634, 0.5757, 1], [50, 2.5, 0, 50, 3.2592, 0.335, 1],
  [60.2574, -34.0099, 36.2677, 60.4626, -34.1751, 39.4387, 1.2644], [63.0109, -31.0961, -5.8663, 62.8187, -29.7946, -4.0864, 1.263],
  [61.2901, 3.7196, -5.3901, 61.4292, 2.248, -4.962, 1.8731], [35.0831, -44.1164, 3.7933, 35.0232, -40.0716, 1.5901, 1.8645],
  [22.7233, 20.0904, -46.694, 23.0331, 14.973, -42.5619, 2.0373], [36.4612, 47.858, 18.3852, 36.2715, 50.5065, 21.2231, 1.4146],
  [90.8027, -2.0831, 1.441, 91.1528, -1.6435, 0.0447, 1.4441], [90.9257, -0.5406, -0.9208, 88.6381, -0.8985, -0.7239, 1.5381],
  [6.7747, -0.2908, -2.4247, 5.8714, -0.0985, -2.2286, 0.6377], [2.0776, 0.0795, -1.135, 0.9033, -0.0636, -0.5514, 0.9082],
];

/** G. M. Machado, M. M. Oliveira, L. A. F. Fernandes, IEEE TVCG 15(6), 2009, severity 1.0; on linear sRGB. */
const DEFICIENCIES: Readonly<Record<string, readonly Triple[]>> = {
  none: [[1, 0, 0], [0, 1, 0], [0, 0, 1]],
  protanopia: [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]],
  deuteranopia: [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.01182, 0.04294, 0.968881]],
  tritanopia: [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.3039]],
};

const linearOf = (hex: string): Triple => [1, 3, 5].map((i) => {
  const c = parseInt(hex.slice(i, i + 2), 16) / 255;
  return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
}) as unknown as Triple;
const through = (rows: readonly Triple[], [r, g, b]: Triple): Triple => rows.map((m) => Math.min(1, Math.max(0, m[0] * r + m[1] * g + m[2] * b))) as unknown as Triple;
/** IEC 61966-2-1 primaries to CIELAB under D65. */
function labOf([r, g, b]: Triple): Triple {
  const f = (t: number): number => (t > 216 / 24389 ? Math.cbrt(t) : ((24389 / 27) * t + 16) / 116);
  const x = f((0.4124564 * r + 0.3575761 * g + 0.1804375 * b) / 0.95047); const y = f(0.2126729 * r + 0.7151522 * g + 0.072175 * b); const z = f((0.0193339 * r + 0.119192 * g + 0.9503041 * b) / 1.08883);
  return [116 * y - 16, 500 * (x - y), 200 * (y - z)];
}

describe('the palette', () => {
  it('is measured with a difference formula that reproduces all published pairs', () => {
    for (const [l1, a1, b1, l2, a2, b2, expected] of PUBLISHED as readonly (readonly [number, number, number, number, number, number, number])[]) {
      expect(ciede2000([l1, a1, b1], [l2, a2, b2])).toBeCloseTo(expected, 3);
      expect(ciede2000([l2, a2, b2], [l1, a1, b1])).toBeCloseTo(expected, 3);
    }
    expect(PUBLISHED).toHaveLength(34);
  });

  it.each(Object.keys(DEFICIENCIES))('keeps blue, orange, near-black and the halo at least 31 apart (%s)', (name) => {
    const seen = (['order', 'act', 'ink', 'halo'] as const).map((ink) => labOf(through(DEFICIENCIES[name] ?? [], linearOf(PALETTE[ink]))));
    for (let i = 0; i < seen.length; i += 1) for (let j = i + 1; j < seen.length; j += 1) {
      expect(ciede2000(seen[i] as Triple, seen[j] as Triple)).toBeGreaterThanOrEqual(31);
    }
  });

  it('gives every colour that letters a contrast of 4.5 on white (WCAG 2.2, 1.4.3)', () => {
    for (const ink of ['order', 'act', 'ink', 'muted'] as const) {
      const [r, g, b] = linearOf(PALETTE[ink]);
      expect(1.05 / (0.2126 * r + 0.7152 * g + 0.0722 * b + 0.05)).toBeGreaterThanOrEqual(4.5);
    }
  });
});

const measure = (text: string, size: number): number => text.length * size * 0.6;

describe('the symbols', () => {
  it('fit the circle they promise and carry ink', () => {
    for (const name of Object.keys(SYMBOL_WORDS) as SymbolName[]) {
      const marks = symbolOf(name, name === 'motor' ? '25' : '');
      expect(marks.some((m) => m.kind !== 'text' && (m.stroke === 'ink' || m.fill === 'ink')), name).toBe(true);
      const b = boundsOf(marks, measure);
      expect(Math.max(-b.x, -b.y, b.x + b.width, b.y + b.height), name).toBeLessThanOrEqual(0.75);
    }
  });

  it('differ from each other by form alone', () => {
    const bare = (marks: readonly object[]): string => JSON.stringify(marks, (key, value: unknown) => (key === 'fill' || key === 'stroke' ? value !== null && value !== 'paper' : value));
    const all = (Object.keys(SYMBOL_WORDS) as SymbolName[]).map((n) => bare(symbolOf(n)));
    expect(new Set(all).size).toBe(all.length);
    const status = VERDICT_ORDER.map((v) => bare(statusMark(v)));
    expect(new Set(status).size).toBe(5);
  });

  it('show an unchosen device as a plain contact, never as a switch that was chosen', () => {
    expect(disconnectSymbolName({})).toBe('switch-out-of-kind');
    expect(disconnectSymbolName({ type: 'enclosed-switch', fusible: true })).toBe('fused-switch');
    expect(disconnectSymbolName({ type: 'enclosed-switch', fusible: false })).toBe('switch');
    expect(disconnectSymbolName({ type: 'circuit-breaker' })).toBe('circuit-breaker');
  });

  it('put the horsepower of the nameplate in the ring, or M where it is not known', () => {
    expect(horsepowerText(7.5)).toBe('7½');
    expect(horsepowerText(0.75)).toBe('¾');
    expect(horsepowerText(1.2)).toBe('1.2');
    expect(loadLetter({ kind: 'motor', horsepower: horsepower(25) })).toBe('25');
    expect(loadLetter({ kind: 'motor' })).toBe('M');
    expect(loadLetter({ kind: 'machine', parts: [{ kind: 'motor', horsepower: horsepower(5) }, { kind: 'motor' }] })).toBe('M');
    expect(loadLetter({ kind: 'machine', parts: [{ kind: 'motor', horsepower: horsepower(5), count: 2 }, { kind: 'motor', horsepower: horsepower(2.5) }] })).toBe('12½');
  });

  it('turn the front bar with the facing', () => {
    const centre = (facing: number): [number, number] => { const b = boundsOf(disconnectMark({ data: {}, facing: facing }).slice(-1), measure); return [b.x + b.width / 2, b.y + b.height / 2]; };
    expect(centre(0)[0]).toBeGreaterThan(0.5);
    expect(centre(90)[1]).toBeGreaterThan(0.5);
    expect(centre(180)[0]).toBeLessThan(-0.5);
  });

  it('are placed by size, turn and position, text staying upright', () => {
    const [path, text] = placeSymbol([{ kind: 'path', steps: [{ to: 'move', x: 1, y: 0 }], fill: null, stroke: 'ink', width: 0.1 }, { kind: 'text', x: 0, y: 0, text: 'M', size: 0.5, ink: 'ink', weight: 'bold', align: 'middle' }], { x: 10, y: 20, size: 4, turn: 90 });
    expect(path).toMatchObject({ width: 0.4, steps: [{ to: 'move', x: expect.closeTo(10, 9) as number, y: expect.closeTo(24, 9) as number }] });
    expect(text).toMatchObject({ size: 2, x: 10, y: 20 });
    expect(() => placeSymbol([], { x: 0, y: 0, size: 0 })).toThrow(RangeError);
  });

  it('lie on a halo that is wider than every stroke and drawn first', () => {
    const marks = statusMark('incomplete');
    const haloed = withHalo(marks, 0.1);
    expect(haloed.slice(marks.length)).toEqual(marks);
    expect(haloed.slice(0, marks.length).every((m) => m.kind !== 'text' && m.stroke === 'halo' && m.dash === undefined)).toBe(true);
  });

  it('approximate an arc by curves that stay on the circle', () => {
    for (const [x1, y1, x2, y2, x3, y3] of arcToCurves(0, 0, 1, 0, Math.PI * 2)) {
      expect(Math.hypot(x3, y3)).toBeCloseTo(1, 9);
      expect(Math.hypot(x1, y1) > 1 && Math.hypot(x2, y2) > 1).toBe(true);
    }
    expect(arcToCurves(0, 0, 1, 0, Math.PI * 2)).toHaveLength(4);
  });
});

describe('a sight line', () => {
  const sizes = { width: 1, fromClear: 5, toClear: 5 };
  it('in order is one thin solid stroke between the two rims', () => {
    const marks = sightLineMarks({ from: [0, 0], to: [100, 0], state: 'clear', verdict: 'pass' }, sizes);
    expect(marks).toEqual([{ kind: 'path', steps: [{ to: 'move', x: 5, y: 0 }, { to: 'line', x: 95, y: 0 }], fill: null, stroke: STATUS_INK.pass, width: 1 }]);
  });
  it('that is doubtful is dashed', () => {
    expect(sightLineMarks({ from: [0, 0], to: [100, 0], state: 'doubtful', verdict: 'judgement' }, sizes)[0]?.dash).toEqual([5.5, 3]);
  });
  it('that is blocked ends solid at the blocking point, with a bar across', () => {
    const marks = sightLineMarks({ from: [0, 0], to: [100, 0], state: 'blocked', verdict: 'fail', blockedAt: [40, 0] }, sizes);
    expect(marks[0]).toMatchObject({ steps: [{ x: 5 }, { x: 40 }], stroke: 'act' });
    expect(marks[0]?.dash).toBeUndefined();
    expect(marks[1]?.dash).toBeDefined();
    expect(marks[2]).toMatchObject({ steps: [{ x: 40, y: -5 }, { x: 40, y: 5 }], width: 2.6 });
  });
  it('that is too long goes on in dots beyond the limit', () => {
    const marks = sightLineMarks({ from: [0, 0], to: [100, 0], state: 'clear', verdict: 'fail', limitShare: 0.9 }, sizes);
    expect(marks[0]).toMatchObject({ steps: [{ x: 5 }, { x: 90 }] });
    expect(marks[1]).toMatchObject({ steps: [{ x: 90 }, { x: 95 }] });
    expect(marks[1]?.dash).toBeDefined();
  });
  it('needs two ends', () => {
    expect(() => sightLineMarks({ from: [1, 1], to: [1, 1], state: 'clear', verdict: 'pass' }, sizes)).toThrow(RangeError);
  });
});
