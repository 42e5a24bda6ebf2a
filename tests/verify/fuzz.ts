import { endIdleJobs } from '../../main/exchange/index';
import { fuzz, resultLine, soundFiles } from '../faults/fuzz-plans';

/** npm run verify -- fuzz COUNT [SEED]   opens COUNT spoiled files of every form */
export const takes = 'counts';

export async function run([count = '2000', seed = '1']: string[]): Promise<{ passed: number; failed: number }> {
  const total = { passed: 0, failed: 0 };
  for (const [form, files] of Object.entries(await soundFiles(true))) {
    const result = await fuzz(form, files, Number(count), Number(seed));
    console.log(resultLine(result, Number(seed)));
    for (const fault of result.faults) console.log(`  ${form}: ${fault}`);
    total.passed += Number(count) - result.faults.length;
    total.failed += result.faults.length;
  }
  endIdleJobs();
  return total;
}
