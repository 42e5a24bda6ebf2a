import { endIdleJobs } from '../../main/exchange/index';
import { fuzz, resultLine, soundFiles } from '../faults/fuzz-plans';

/** npm run verify -- fuzz COUNT [SEED [FORM...]]   brings in COUNT spoiled files of every form, or of those named */
export const takes = 'counts';

export async function run([count = '2000', seed = '1', ...wanted]: string[]): Promise<{ passed: number; failed: number }> {
  const total = { passed: 0, failed: 0 };
  const sound = await soundFiles(true);
  const unknown = wanted.filter((form) => !(form in sound));
  if (unknown.length > 0) throw new RangeError(`no such form: ${unknown.join(', ')}; there are ${Object.keys(sound).join(', ')}`);
  for (const form of wanted.length > 0 ? wanted : Object.keys(sound)) {
    const files = sound[form]!;
    const result = await fuzz(form, files, Number(count), Number(seed), console.log);
    console.log(`${resultLine(result, Number(seed))} (from ${files.length} sound files)`);
    for (const fault of result.faults) console.log(`  ${form}: ${fault}`);
    total.passed += Number(count) - result.faults.length;
    total.failed += result.faults.length;
  }
  endIdleJobs();
  return total;
}
