import { describe, expect, it } from 'vitest';
import { Gap, Trace, answer, atLeast, atMost, given, isOpenQuestion, once, round } from '../../shared-core/code-data/index';
import type { Figure } from '../../shared-core/code-data/index';
import { evaluate } from '../../shared-core/code-data/formula';
import { citeTable, row, table } from '../../shared-core/code-data/table';

const trace = (edition: '2017' | '2020' | '2023' | '2026' = '2023'): Trace => new Trace({ edition });
const A = (name: string, value: number, more: Partial<Figure> = {}): Figure => ({ ...given(name, value, 'A', 'typed'), ...more });

describe('formulas', () => {
  it.each<[string, number]>([
    ['y = a + b x c', 14], ['y = (a + b) x c', 20], ['y = a - b - c', -5], ['y = a - (b - c)', 3], ['y = b / a / c', 0.375], ['y = b / (a / c)', 6], ['y = a ^ c', 16], ['y = b x a ^ c', 48], ['y = sqrt(c x c)', 4],
    ['y = max(a, b, c)', 4], ['y = min(a, b, c)', 2], ['y = sqrt(3) x a', 2 * Math.sqrt(3)], ['y = 0.5 x c', 2], ['y = .25', 0.25], ['y = max(a + 1, min(b, c))', 3],
  ])('%s', (formula, value) => { expect(evaluate(formula, { a: 2, b: 3, c: 4 })).toBeCloseTo(value, 12); });
  it.each<[string, boolean]>([['ok = a >= b', false], ['ok = a <= b', true], ['ok = a > b', false], ['ok = a < b', true], ['ok = a >= 2', true], ['ok = a <= 2', true], ['ok = a > 2', false], ['ok = a < 2', false]])('%s', (formula, value) => { expect(evaluate(formula, { a: 2, b: 3 })).toBe(value); });
  it.each(['y = ', 'y = a +', 'y = (a', 'y = a b', 'y = a ? b', 'y = max a', 'y = sqrt(a', 'y = a >= b >= a', 'y = nothing'])("'%s' is no formula over these symbols", (formula) => { expect(() => evaluate(formula, { a: 2, b: 3 })).toThrow(RangeError); });
});

describe('comparisons ignore the last bits only', () => {
  // 1.15 x 40 is 46 on paper and 45.999 999 999 999 99 in binary: the rating of 46 A holds, 46.001 A needs more.
  it('115 percent of 40 A is held by 46 A', () => { expect([atMost(1.15 * 40, 46), atLeast(46, 1.15 * 40), atMost(46.001, 46), atLeast(46, 46.001)]).toEqual([true, true, false, false]); });
  it('the slack is a billionth part, whatever the size and sign', () => {
    expect([atLeast(1e6 - 5e-4, 1e6), atLeast(1e6 - 2e-3, 1e6), atMost(1e6 + 5e-4, 1e6), atMost(1e6 + 2e-3, 1e6)]).toEqual([true, false, true, false]);
    expect([atLeast(-1.0000000005, -1), atLeast(-1.000001, -1), atMost(-0.9999999995, -1), atMost(-0.999999, -1)]).toEqual([true, false, true, false]);
  });
  it.each([[0.12345, 0.1235], [0.99999, 1], [1.23456, 1.23], [45.998, 46], [10, 10]])('%s is shown as %s', (value, shown) => { expect(round(value)).toBe(shown); });
});

describe('a derivation', () => {
  it('shows where each input came from', () => {
    expect(given('I', 5, 'A', 'nameplate', 'M-1')).toEqual({ name: 'I', value: 5, unit: 'A', from: 'nameplate', source: 'M-1' });
    expect(given('I', 5, 'A', 'typed')).toEqual({ name: 'I', value: 5, unit: 'A', from: 'typed' });
    const t = trace();
    t.compute('Sum', 'I_s = I_1 + I_2', [A('I_1', 2, { source: 'plate', confidence: 'typical' }), A('I_2', 3, { confidence: 'confirmed' })], 'A');
    expect(t.steps).toEqual([{ quantity: 'Sum', formula: 'I_s = I_1 + I_2', value: 5, unit: 'A', how: 'computed', confidence: 'typical', inputs: [
      { name: 'I_1', value: 2, unit: 'A', from: 'typed', source: 'plate', confidence: 'typical' }, { name: 'I_2', value: 3, unit: 'A', from: 'typed', confidence: 'confirmed' }] }]);
  });
  it('names its result by the symbol and trusts it no more than the least of its inputs', () => {
    const t = trace();
    const order = ['confirmed', 'own-reading', 'typical', 'memory', 'disputed'] as const;
    order.forEach((least, i) => {
      const made = t.compute('x', 'I_x = I_1 x I_2', [A('I_1', 2, { confidence: order[Math.max(0, i - 1)] ?? 'confirmed' }), A('I_2', 3, { confidence: least })], 'A');
      expect(made).toMatchObject({ name: 'I_x', value: 6, unit: 'A', from: 'computed', confidence: least });
    });
  });
  it('cites the rule that enters a formula, not what an earlier formula cited', () => {
    const t = trace();
    const rule = t.rule('motor.disconnect.percent', 'p');
    const earlier = t.compute('first', 'I_a = p / 100 x I', [t.rule('motor.conductor.percent', 'p'), A('I', 40)], 'A');
    expect(earlier.citation?.text).toBe('NFPA 70 430.22');
    expect(t.compute('second', 'I_b = p / 100 x I_a', [earlier, rule], 'A').citation?.text).toBe('NFPA 70 430.110(A)');
    expect(t.compute('third', 'I_c = 2 x I_a', [earlier], 'A').citation).toBeUndefined();
    expect(t.compute('fourth', 'I_d = 2 x I_a', [earlier], 'A', rule.citation).citation?.text).toBe('NFPA 70 430.110(A)');
  });
  it('has no value where arithmetic has none', () => {
    const t = trace();
    expect(() => t.compute('quotient', 'I = a / b', [A('a', 1), A('b', 0)], 'A')).toThrow(Gap);
    expect(() => t.compute('root', 'I = sqrt(a)', [A('a', -1)], 'A')).toThrow(Gap);
    expect(() => t.compute('truth', 'I = a >= b', [A('a', 1), A('b', 0)], 'A')).toThrow(Gap);
    expect(t.steps).toEqual([]);
  });
  it('tests with the slack, cites what was compared, and tests nothing unknown', () => {
    const t = trace();
    expect(t.test('Enough', 'ok = I_r >= I', [A('I_r', 46), A('I', 1.15 * 40)])).toBe(true);
    expect(t.test('Enough', 'ok = I_r >= I', [A('I_r', 46), A('I', 46.001)])).toBe(false);
    expect(t.test('Not too large', 'ok = I_r <= p', [A('I_r', 115.001), t.rule('motor.disconnect.percent', 'p')])).toBe(false);
    expect(t.steps.map((s) => [s.value, s.unit, s.citation?.text])).toEqual([[true, '', undefined], [false, '', undefined], [false, '', 'NFPA 70 430.110(A)']]);
    expect(() => t.test('Unknown', 'ok = I_r >= I', [A('I_r', 46)])).toThrow(Gap);
    expect(() => t.test('Unknown', 'ok = I_r >= I', [A('I_r', Number.NaN), A('I', 1)])).toThrow(Gap);
    expect(() => t.test('No test', 'ok = I_r > I', [A('I_r', 2), A('I', 1)])).toThrow(RangeError);
  });
  it('chooses up and down a list, and says where the list ends', () => {
    const list = { name: 'standard rating', id: 'standard-rating', column: 'fuse', values: [30, 60, 100] } as const;
    const t = trace();
    const pick = (way: 'up' | 'down', need: number): number => t.choose('Size', 'I_d', list, way, A('I', need)).value;
    expect([pick('up', 29), pick('up', 30), pick('up', 30.001), pick('down', 30), pick('down', 59.999), pick('down', 60), pick('down', 500)]).toEqual([30, 30, 60, 30, 30, 60, 100]);
    expect(t.steps[0]).toMatchObject({ formula: 'I_d = smallest standard rating not less than I', rounding: 'up', how: 'chosen', table: { id: 'standard-rating', column: 'fuse' } });
    expect(t.steps[3]).toMatchObject({ formula: 'I_d = largest standard rating not more than I', rounding: 'down' });
    expect(() => pick('up', 101)).toThrow(/no standard rating is large enough for 101 A/);
    expect(() => pick('down', 29)).toThrow(/no standard rating is small enough for 29 A/);
  });
  it('reads a table by its keys, in words that a person can follow', () => {
    const t = trace();
    // Table 430.248: 5 hp at 230 V single-phase is 28 A.
    const read = t.lookUp('Full-load current', 'I_FLC', 'full-load-single-phase', { horsepower: 5 }, '230');
    expect(read).toMatchObject({ name: 'I_FLC', value: 28, unit: 'A', from: 'table', source: 'NFPA 70 Table 430.248, horsepower 5', confidence: 'confirmed' });
    expect(t.steps[0]).toMatchObject({ how: 'look-up', value: 28, table: { id: 'full-load-single-phase', column: '230', keys: { horsepower: 5 } }, inputs: [{ name: 'horsepower', value: 5, unit: 'hp', from: 'nameplate' }, { name: 'column', value: '230', from: 'table' }] });
    expect(() => t.lookUp('x', 'x', 'full-load-single-phase', { horsepower: 5 }, '460')).toThrow(/nothing is printed for horsepower 5 in column 460/);
    expect(() => t.word('x', 'equipment-ground', { amperes: 60 }, 'silver')).toThrow(/nothing is printed for amperes 60 in column silver/);
    expect(t.word('Ground', 'equipment-ground', { amperes: 60 }, 'copper')).toBe('10');
    expect(() => t.lookUp('x', 'x', 'full-load-single-phase', { horsepower: 6 }, '230')).toThrow(/not covered for horsepower 6/);
  });
  it('marks a disputed cell with its note, and only that cell', () => {
    const t = trace();
    const read = (column: string): Figure => t.lookUp('Locked rotor', 'I', 'locked-rotor-single-phase', { horsepower: 10 }, column);
    expect([read('115').confidence, read('230').confidence]).toEqual(['disputed', 'confirmed']);
    expect(t.steps[0]?.citation?.note).toContain('600 A');
    expect(t.steps[1]?.citation?.note).toBeUndefined();
  });
  it('picks the first row that reaches a figure: Table 430.250 at 460 V', () => {
    const t = trace();
    const hp = (need: number): number => t.pickRow('hp', 'P', 'full-load-three-phase', '460', 'horsepower', A('I', need), 'hp', (r) => r.motor === 'induction').value;
    expect([hp(21), hp(21.1), hp(27), hp(52)]).toEqual([15, 20, 20, 40]);
    expect(t.steps[0]).toMatchObject({ formula: 'P = horsepower of the first row whose figure is not less than I', how: 'chosen', rounding: 'up', table: { id: 'full-load-three-phase', column: '460' } });
    expect(t.steps.every((s) => s.confidence === 'confirmed' && s.citation?.note === undefined)).toBe(true);
    expect(() => hp(5000)).toThrow(/no row reaches 5000 A in column 460/);
  });
  it('marks a pick by the disputed column as disputed, and no other column of that row', () => {
    const pick = (column: string, need: number) => trace().pickRow('hp', 'P', 'locked-rotor-single-phase', column, 'horsepower', A('I', need), 'hp');
    expect([pick('115 lower', 590).confidence, pick('230', 290).confidence]).toEqual(['disputed', 'confirmed']);
  });
  it('writes down what was given or decided once, however often it is asked', () => {
    const t = trace();
    let worked = 0;
    const shared = once((own) => { worked += 1; own.state('Duty', 'heavy', '', 'as entered', 'typed'); return 7; });
    expect([shared(t), shared(t), shared(trace())]).toEqual([7, 7, 7]);
    expect(worked).toBe(1);
    expect(t.steps).toHaveLength(1);
    expect(t.steps[0]).toMatchObject({ quantity: 'Duty', value: 'heavy', formula: 'as entered', how: 'stated', confidence: 'confirmed' });
    const gap = once(() => { throw new Gap('nothing known', ['something']); });
    expect(() => gap(t)).toThrow('nothing known');
    expect(() => gap(t)).toThrow('nothing known');
  });
  it('raises a shared answer\'s steps into each derivation that uses it', () => {
    const inner = once((own) => own.compute('A', 'I_a = I_1', [A('I_1', 4)], 'A'));
    const outer = once((own) => own.compute('B', 'I_b = 2 x I_a', [inner(own)], 'A'));
    const t = trace();
    expect(outer(t).value).toBe(8);
    inner(t);
    expect(t.steps.map((s) => s.quantity)).toEqual(['A', 'B']);
  });
});

describe('an answer', () => {
  const ask = (work: Parameters<typeof answer>[5]) => answer('id', 'sizing.x', { disconnect: 'd' }, { edition: '2023' }, 'DS-1 test', work);
  it('that lacks data is incomplete and asks for it; one that a person must decide is a judgement', () => {
    expect(ask(() => { throw new Gap('no horsepower', ['horsepower']); })).toMatchObject({ verdict: 'incomplete', title: 'DS-1 test: no horsepower', missing: ['horsepower'], remedies: ['Enter the horsepower.'] });
    expect(ask(() => { throw new Gap('open', [], 'judgement', ['Ask.']); })).toMatchObject({ verdict: 'judgement', missing: [], remedies: ['Ask.'] });
  });
  it('that breaks is incomplete, never a pass', () => {
    const r = ask((t) => { t.state('x', 1, '', 'y'); throw new RangeError('broken'); });
    expect(r).toMatchObject({ verdict: 'incomplete', missing: [] });
    expect(r.value).toBeUndefined();
    expect(r.steps).toHaveLength(1);
  });
  it('cites each source once, its own first', () => {
    const own = { text: 'NFPA 70 430.109(A)', edition: '2023', confidence: 'confirmed' } as const;
    const r = ask((t) => { const p = t.rule('motor.disconnect.percent', 'p'); t.compute('a', 'I_a = p x I', [p, A('I', 1)], 'A'); t.compute('b', 'I_b = p x I', [p, A('I', 2)], 'A'); return { verdict: 'pass', title: 'ok', citations: [own], value: { value: 1, unit: 'A' }, margin: { value: 2, unit: 'A' } }; });
    expect(r.citations.map((c) => c.text)).toEqual(['NFPA 70 430.109(A)', 'NFPA 70 430.110(A)']);
    expect(r).toMatchObject({ value: { value: 1, unit: 'A' }, margin: { value: 2, unit: 'A' }, missing: [], remedies: [] });
  });
  it('takes two citations for one where text and edition are the same', () => {
    const cited = (text: string, edition: string) => ask((t) => { t.compute('a', 'I_a = p x I', [t.rule('motor.disconnect.percent', 'p'), A('I', 1)], 'A'); return { verdict: 'pass', title: 'ok', citations: [{ text, edition, confidence: 'confirmed' }] }; }).citations.map((c) => `${c.text} ${c.edition}`);
    expect(cited('NFPA 70 430.110(A)', '2023')).toEqual(['NFPA 70 430.110(A) 2023']);
    expect(cited('NFPA 70 430.110(A)', '2020')).toEqual(['NFPA 70 430.110(A) 2020', 'NFPA 70 430.110(A) 2023']);
  });
  it('may be gone around only where a person has something to enter or decide', () => {
    expect([new Gap('a', ['b']), new Gap('a', [], 'judgement'), new Gap('a'), new Error('a')].map(isOpenQuestion)).toEqual([true, true, false, false]);
  });
});

describe('tables', () => {
  it('a typed third of a horsepower is the row of one third, however it was rounded', () => {
    for (const typed of [1 / 3, 0.33, 0.333]) expect(row('full-load-single-phase', { horsepower: typed })).toMatchObject({ ok: true, row: { label: '1/3' } });
    expect(row('full-load-single-phase', { horsepower: 0.35 })).toMatchObject({ ok: false });
    // Nothing but a horsepower is taken nearly.
    expect(row('synchronous-power-factor', { percent: 100 })).toMatchObject({ ok: true });
    expect(row('synchronous-power-factor', { percent: 99.5 })).toMatchObject({ ok: false });
  });
  it('a band holds up to its bound: Table 310.15(C)(1), 100 percent to 3 conductors, 80 to 6, 70 to 9, 50 to 20, 45 to 30, 40 to 40, 35 beyond', () => {
    const percent = (conductors: number): unknown => { const found = row('bundling', { conductors }); return found.ok ? found.row.percent : null; };
    expect([1, 3, 4, 6, 7, 9, 10, 20, 21, 30, 31, 40, 41].map(percent)).toEqual([100, 100, 80, 80, 70, 70, 50, 50, 45, 45, 40, 40, 35]);
    expect(percent(Number.NaN)).toBeNull();
  });
  it('asking with other keys than the table has is a fault of the program', () => { expect(() => row('bundling', { number: 3 })).toThrow(RangeError); expect(() => row('bundling', {})).toThrow(RangeError); });
  it('a printing that was not read is marked in every citation of its edition', () => {
    const t = table('full-load-three-phase');
    expect(citeTable(t, '2023', 'confirmed')).toEqual({ text: 'NFPA 70 Table 430.250', edition: '2023', confidence: 'confirmed' });
    expect(citeTable(t, '2026', 'confirmed')).toMatchObject({ confidence: 'memory', note: 'the 2026 printing was not read; taken as in 2023' });
    expect(citeTable(t, '2026', 'typical')).toMatchObject({ confidence: 'typical', note: 'typical catalogue value; verify on the nameplate; the 2026 printing was not read; taken as in 2023' });
    expect(citeTable(table('switch-horsepower'), '2023', 'typical', 'see row')).toMatchObject({ edition: '', note: 'see row; typical catalogue value; verify on the nameplate' });
  });
});
