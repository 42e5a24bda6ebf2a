import { describe, expect, it } from 'vitest';
import { auditDocument } from '../../shared-core/audit/index';
import { VERDICT_ORDER } from '../../shared-core/code-data/index';
import { block, disconnect, load, plan, point, rect } from './checks-plan';

describe('audit', () => {
  const document = plan([
    load('M-2', [10, 10, 1]), load('M-10', [10, 20, 1]), load('M-3', [10, 30, 1]), load('M-4', [10, 40, 1], { kind: 'motor' }, { at: null }), load('M-5', [-5, 40, 1]),
    block('T-1', rect(18, 5, 22, 25), 0, 9), disconnect('DS-10', [30, 20, 5], ['M-10']), disconnect('DS-2', [30, 10, 5], ['M-2']), disconnect('DS-9', [5, 5, 5], []),
  ]);
  const audit = auditDocument(document);

  it('names a load that no disconnect serves, one that waits to be placed, one off the sheet, a disconnect that serves nothing', () => {
    const titles = audit.results.map((r) => r.title);
    expect(titles).toEqual(expect.arrayContaining(['No disconnect serves M-3', 'M-4 waits to be placed', 'M-5 lies outside sheet Ground floor', 'DS-9 serves no load']));
  });
  it('puts the worst first, tags in the order people count, the same every time', () => {
    const order = audit.results.map((r) => VERDICT_ORDER.indexOf(r.verdict));
    expect(order).toEqual([...order].sort((a, b) => a - b));
    expect(audit.results.filter((r) => r.check === 'sight.motor').map((r) => r.subject.disconnect)).toEqual(['disconnect-DS-2', 'disconnect-DS-10']);
    expect(auditDocument(document).results.map((r) => r.id)).toEqual(audit.results.map((r) => r.id));
  });
  it('gives each device its worst verdict and counts what it shows', () => {
    expect(audit.deviceVerdicts['disconnect-DS-2']).toBe('fail');
    expect(Object.values(audit.counts).reduce((a, b) => a + b)).toBe(audit.results.length);
  });
  it('result ids are unique', () => { expect(new Set(audit.results.map((r) => r.id)).size).toBe(audit.results.length); });
  it('a sheet without scale is asked for its scale once and every pair is incomplete', () => {
    const without = auditDocument(plan([load('M-2', [10, 10, 1]), disconnect('DS-2', [30, 10, 5], ['M-2'])], {}, null));
    expect(without.results.filter((r) => r.check === 'data.scale')).toHaveLength(1);
    expect(without.pairs[0]?.verdict).toBe('incomplete');
  });
  it('a fault in one check leaves the others standing', () => {
    const broken = auditDocument(plan([block('T', [point(Number.NaN, 0), point(1, 0), point(1, 1)], 0, 3), load('M-2', [10, 10, 1]), disconnect('DS-2', [30, 10, 5], ['M-2']), load('M-3', [1, 1, 1])]));
    expect(broken.pairs[0]?.verdict).toBe('incomplete');
    expect(broken.results.map((r) => r.title)).toContain('No disconnect serves M-3');
  });
});
