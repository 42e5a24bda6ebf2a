/**
 * The doubles as whole numbers over one common power of two. Sums and products of the results are exact and carry the
 * signs that the doubles themselves have, so a formula that is homogeneous in its inputs needs no fractions.
 * @throws RangeError for NaN or infinity
 */
export function toIntegers(values: readonly number[]): bigint[] {
  if (values.every(Number.isSafeInteger)) return values.map(BigInt);
  const parts = values.map(split);
  let lowest = Infinity;
  for (const { mantissa, exponent } of parts) if (mantissa !== 0n && exponent < lowest) lowest = exponent;
  return parts.map(({ mantissa, exponent }) => (mantissa === 0n ? 0n : mantissa << BigInt(exponent - lowest)));
}

const bits = new DataView(new ArrayBuffer(8));
/** value = mantissa * 2^exponent, exactly. */
function split(value: number): { mantissa: bigint; exponent: number } {
  if (!Number.isFinite(value)) throw new RangeError(`A coordinate must be a finite number, got ${value}.`);
  if (Number.isSafeInteger(value)) return { mantissa: BigInt(value), exponent: 0 };
  bits.setFloat64(0, value);
  const high = bits.getUint32(0);
  const biased = (high >>> 20) & 0x7ff;
  const fraction = (BigInt(high & 0xfffff) << 32n) | BigInt(bits.getUint32(4));
  const mantissa = biased === 0 ? fraction : fraction | (1n << 52n);
  return { mantissa: value < 0 ? -mantissa : mantissa, exponent: Math.max(biased, 1) - 1075 };
}

export const signOf = (n: bigint): -1 | 0 | 1 => (n > 0n ? 1 : n < 0n ? -1 : 0);

/**
 * A closed stretch of the parameter s of a straight line, as exact fractions with positive denominators.
 * Empty once its low end lies above its high end.
 */
export interface Stretch { readonly low: bigint; readonly lowOver: bigint; readonly high: bigint; readonly highOver: bigint }

export const WHOLE_LINE: Stretch = { low: 0n, lowOver: 1n, high: 1n, highOver: 1n };

/** The part of the stretch where start + s * slope is not negative; null when nothing is left. */
export function keepNotNegative(stretch: Stretch, start: bigint, slope: bigint): Stretch | null {
  if (slope === 0n) return start >= 0n ? stretch : null;
  let { low, lowOver, high, highOver } = stretch;
  if (slope > 0n) { if (-start * lowOver > low * slope) { low = -start; lowOver = slope; } }
  else if (start * highOver < high * -slope) { high = start; highOver = -slope; }
  return low * highOver > high * lowOver ? null : { low, lowOver, high, highOver };
}
