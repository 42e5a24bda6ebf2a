/** One measured goal. */
export interface BenchRow {
  readonly name: string;
  readonly unit: 'us' | 'ms' | 's' | 'B' | 'MB' | 'relative' | 'count';
  readonly product: number;
  /** The peer's figure in the same run and unit; null where the goal is a plain figure. */
  readonly peer: number | null;
  readonly peerName?: string;
  /** peer / product: how many times better. */
  readonly ratio: number | null;
  readonly goal: string;
  readonly met: boolean;
  /** A further aim beyond the goal, and whether it was reached. */
  readonly aim?: string;
  readonly aimMet?: boolean;
}

/** A row whose goal is to be so many times as fast (or small) as a peer of the same run. */
export function against(name: string, unit: BenchRow['unit'], product: number, peerName: string, peer: number, times: number, aim?: number): BenchRow {
  const row = { name, unit, product, peer, peerName, ratio: peer / product, goal: `${times} times ${peerName}`, met: peer / product >= times };
  return aim === undefined ? row : { ...row, aim: `${aim} times ${peerName}`, aimMet: peer / product >= aim };
}
/** A row whose goal is a figure. */
export function atMost(name: string, unit: BenchRow['unit'], product: number, limit: number, aim?: number): BenchRow {
  const row = { name, unit, product, peer: null, ratio: null, goal: `at most ${limit} ${unit}`, met: product <= limit };
  return aim === undefined ? row : { ...row, aim: `at most ${aim} ${unit}`, aimMet: product <= aim };
}

export interface Contender { readonly name: string; readonly run: () => void }

/**
 * Least time of each contender in ms, run in turns so that a busy machine slows all alike; the minimum is what the work
 * itself costs. `budget` in ms for the whole comparison.
 */
export function fastest(contenders: readonly Contender[], budget = 4000, least = 5): Map<string, number> {
  const best = new Map<string, number>();
  for (const { run } of contenders) run();
  const until = performance.now() + budget;
  for (let round = 0; round < least || performance.now() < until; round += 1) for (const { name, run } of contenders) {
    const start = performance.now(); run(); const took = performance.now() - start;
    best.set(name, Math.min(best.get(name) ?? Infinity, took));
    if (round >= least && performance.now() > until) break;
  }
  return best;
}

/** Value below which the given share of the samples lies. */
export function percentile(samples: readonly number[], share: number): number {
  const sorted = [...samples].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * share))] ?? NaN;
}
