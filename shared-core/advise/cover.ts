/** A choice of sets that covers everything, and how sure it is that no smaller one does. */
export interface Cover {
  /** Indexes into the given sets. */
  readonly chosen: readonly number[];
  /** No cover by these sets is smaller than this; equal to the number chosen when proved least. */
  readonly atLeast: number;
}

/** Up to so many elements the least cover is found for sure. */
export const EXACT_UP_TO = 16;

/**
 * Fewest sets that cover all elements. Exact up to 16 elements (every subset is worked through), beyond that the largest gain
 * first, with a lower bound from elements that no set has in common.
 * @param sets  elements of each set, 0 .. count-1; earlier sets win ties
 * @returns null when some element is in no set
 */
export function leastCover(count: number, sets: readonly (readonly number[])[]): Cover | null {
  const covered = new Set(sets.flat());
  for (let e = 0; e < count; e += 1) if (!covered.has(e)) return null;
  if (count === 0) return { chosen: [], atLeast: 0 };
  return count <= EXACT_UP_TO ? exactCover(count, sets) : greedyCover(count, sets);
}

function exactCover(count: number, sets: readonly (readonly number[])[]): Cover {
  const bits = sets.map((set) => set.reduce((mask, e) => mask | (1 << e), 0));
  // A set within another never makes a cover smaller; of equals the earlier stays.
  const useful = bits.map((mask, i) => ({ mask, i })).filter(({ mask, i }) => mask !== 0 && !bits.some((other, j) => (mask & other) === mask && (other !== mask || j < i) && j !== i));
  const full = (1 << count) - 1;
  const size = new Int8Array(full + 1).fill(-1); const last = new Int32Array(full + 1).fill(-1); const before = new Int32Array(full + 1);
  size[0] = 0;
  for (let mask = 0; mask < full; mask += 1) {
    const so = size[mask] ?? -1;
    if (so < 0) continue;
    // Whatever covers the first open element must be in every cover: only those sets are tried.
    const open = ~mask & (mask + 1);
    for (const { mask: set, i } of useful) {
      if ((set & open) === 0) continue;
      const next = mask | set; const known = size[next] ?? -1;
      if (known < 0 || known > so + 1) { size[next] = so + 1; last[next] = i; before[next] = mask; }
    }
  }
  const chosen: number[] = [];
  for (let mask = full; mask !== 0;) {
    chosen.push(last[mask] ?? 0);
    mask = before[mask] ?? 0;
  }
  return { chosen: chosen.sort((a, b) => a - b), atLeast: chosen.length };
}

function greedyCover(count: number, sets: readonly (readonly number[])[]): Cover {
  const open = new Set(Array.from({ length: count }, (_, e) => e));
  const chosen: number[] = [];
  while (open.size > 0) {
    let best = 0; let gain = 0;
    sets.forEach((set, i) => { const g = set.filter((e) => open.has(e)).length; if (g > gain) { best = i; gain = g; } });
    chosen.push(best);
    for (const e of sets[best] ?? []) open.delete(e);
  }
  // Elements of which no two share a set each need a set of their own.
  const apart: number[] = [];
  for (let e = 0; e < count; e += 1) if (!apart.some((other) => sets.some((set) => set.includes(e) && set.includes(other)))) apart.push(e);
  return { chosen, atLeast: apart.length };
}
