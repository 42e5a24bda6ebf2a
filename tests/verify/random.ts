import { compareWithReference } from '../properties/sight-differential';

export const takes = 'counts';

/** `npm run verify -- random 100000 [SEED]`: random and degenerate sight lines against the slow exact reference. */
export async function run([pairs, seed]: string[]): Promise<{ passed: number; failed: number }> {
  const from = seed === undefined ? Math.floor(Math.random() * 2 ** 31) : Number(seed);
  console.log(`seed ${from}`);
  const count = compareWithReference(Number(pairs), from);
  for (const line of count.disagreements.slice(0, 20)) console.log(line);
  console.log(`clear ${count.clear}, doubtful ${count.doubtful}, blocked ${count.blocked}`);
  return { passed: count.checked - count.disagreements.length, failed: count.disagreements.length };
}
