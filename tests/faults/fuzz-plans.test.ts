import { afterAll, describe, expect, it } from 'vitest';
import { endIdleJobs } from '../../main/exchange/index';
import { fuzz, resultLine, soundFiles } from './fuzz-plans';

afterAll(endIdleJobs);
const SEED = 20260406;
const EACH = 25;

// The long run: npm run verify -- fuzz 2000
describe('spoiled plan files neither crash, hang nor go unnamed', () => {
  it.each(['png', 'jpeg', 'webp', 'tiff', 'pdf', 'dxf', 'svg', 'xlsx', 'csv'])('%s', async (form) => {
    const result = await fuzz(form, (await soundFiles(false))[form]!, EACH, SEED);
    console.log(resultLine(result, SEED));
    expect(result.faults).toEqual([]);
    expect(result.opened + [...result.refused.values()].reduce((a, b) => a + b, 0)).toBe(EACH);
  }, 120_000);
});
