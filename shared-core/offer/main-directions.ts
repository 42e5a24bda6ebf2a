/** Black and white: 1 is ink. Row after row. pens: of a picture in colour, the colours met in each element, a bit for each. */
export interface Bitmap { readonly width: number; readonly height: number; readonly ink: Uint8Array; readonly pens?: Uint16Array }

const RADIANS = Math.PI / 180;
const COARSE_SIDE = 900;
const FINE_SIDE = 1800;
const MOST_DIRECTIONS = 6;
const SHARE_OF_BEST = 0.05;
/** A direction is looked for in steps of so many degrees about its coarse value. */
const FINE_STEP = 0.05;
const FINE_REACH = 1.2;
/** Main directions are farther apart than this; nearer ones are one. */
const APART = 1.5;

/** Every second (or nth) element in both directions, ink winning: thin lines stay. */
export function shrunk(bitmap: Bitmap, factor: number): Bitmap {
  if (factor <= 1) return bitmap;
  const [width, height] = [Math.floor(bitmap.width / factor), Math.floor(bitmap.height / factor)];
  const ink = new Uint8Array(width * height);
  for (let y = 0; y < height * factor; y++) {
    const [from, to] = [y * bitmap.width, Math.floor(y / factor) * width];
    for (let x = 0; x < width * factor; x++) if (bitmap.ink[from + x] === 1) ink[to + Math.floor(x / factor)] = 1;
  }
  return { width, height, ink };
}

/** The angle between two directions, degrees. */
const apart = (a: number, b: number): number => { const d = ((a - b) % 180 + 180) % 180; return Math.min(d, 180 - d); };

/** Elements at the rim of ink, as x and y from the middle: what is solid counts by its outline. */
function rims({ width, height, ink }: Bitmap): { readonly xs: Float32Array; readonly ys: Float32Array } {
  const at: number[] = [];
  for (let y = 1; y < height - 1; y++) {
    for (let x = 1, i = y * width + 1; x < width - 1; x++, i++) {
      if (ink[i] === 1 && (ink[i - 1] === 0 || ink[i + 1] === 0 || ink[i - width] === 0 || ink[i + width] === 0)) at.push(i);
    }
  }
  const xs = new Float32Array(at.length); const ys = new Float32Array(at.length);
  // Shaken by up to half an element, always the same way: the square grid itself lines up at 45 degrees.
  let seed = 1;
  const shake = (): number => { seed = (Math.imul(seed, 1103515245) + 12345) & 0x7fffffff; return seed / 0x7fffffff - 0.5; };
  at.forEach((i, k) => { xs[k] = (i % width) - width / 2 + shake(); ys[k] = Math.floor(i / width) - height / 2 + shake(); });
  return { xs, ys };
}

/**
 * How much ink stands in long lines along a direction: the picture is summed along it, and what rises out of its
 * neighbourhood by the length of a line counts.
 */
function inLine({ xs, ys }: ReturnType<typeof rims>, degrees: number, long: number, side: number, bins: Int32Array): number {
  const [sin, cos] = [Math.sin(degrees * RADIANS), Math.cos(degrees * RADIANS)];
  bins.fill(0);
  for (let i = 0; i < xs.length; i++) bins[Math.round(ys[i]! * cos - xs[i]! * sin + side)]!++;
  const around = 6;
  let sum = 0; let score = 0;
  for (let i = 0; i < 2 * around; i++) sum += bins[i]!;
  for (let i = around; i + around < bins.length; i++) {
    sum += bins[i + around]!;
    const rise = bins[i]! - sum / (2 * around + 1);
    if (rise > long) score += rise * rise;
    sum -= bins[i - around]!;
  }
  return Math.sqrt(score);
}

/**
 * Directions that many long lines run in, strongest first: degrees 0 to 180 (y down), and what each weighs beside the
 * strongest, 0 to 1; isSquared: another one stands at right angles to it.
 * @param shortest  a line shorter than this is text or clutter, picture elements
 */
export function mainDirections(bitmap: Bitmap, shortest: number): { readonly degrees: number; readonly weight: number; readonly isSquared: boolean }[] {
  const score = (side: number): { readonly of: (degrees: number) => number } => {
    const factor = Math.max(1, Math.round(Math.max(bitmap.width, bitmap.height) / side));
    const small = shrunk(bitmap, factor);
    const ink = rims(small);
    const reach = Math.ceil(Math.hypot(small.width, small.height) / 2) + 8;
    const bins = new Int32Array(2 * reach + 1);
    const long = Math.max(10, shortest / factor);
    return { of: (degrees) => inLine(ink, degrees, long, reach, bins) };
  };
  const coarse = score(COARSE_SIDE);
  const scores = Array.from({ length: 180 }, (_, degrees) => coarse.of(degrees));
  const best = Math.max(...scores);
  if (!(best > 0)) return [];
  const peaks = scores.map((value, degrees) => ({ value, degrees }))
    .filter(({ value, degrees }) => value >= best * SHARE_OF_BEST && [-2, -1, 1, 2].every((step) => scores[(degrees + step + 180) % 180]! <= value))
    .sort((a, b) => b.value - a.value).slice(0, MOST_DIRECTIONS);
  const fine = score(FINE_SIDE);
  const found: { degrees: number; weight: number }[] = [];
  for (const { degrees, value: weight } of peaks) {
    const steps = Math.round(FINE_REACH / FINE_STEP);
    const tried = Array.from({ length: 2 * steps + 1 }, (_, i) => degrees + (i - steps) * FINE_STEP).map((angle) => ({ angle, value: fine.of(angle) }));
    const most = Math.max(...tried.map(({ value }) => value));
    // Short lines stay level over a range of angles: the middle of the range is meant.
    const alike = tried.filter(({ value }) => value >= most * 0.985);
    const angle = alike.reduce((sum, one) => sum + one.angle, 0) / alike.length;
    if (found.every((other) => apart(other.degrees, angle) > APART)) found.push({ degrees: angle, weight: weight / best });
  }
  return found.map((one) => ({ ...one, isSquared: found.some((other) => apart(other.degrees, one.degrees + 90) <= APART) }));
}
