import { cutRegions } from '../geometry/index';
import type { CutShape, Outline } from '../geometry/index';
import { meets } from './contact';
import { bodiesOf } from './scene';
import type { SpacePoint, Target } from './scene';
import { planOutline, throwsShadow } from './shadows';
import type { Blocking } from './shadows';
import type { SightIndex } from './sight-index';

/** An upright rectangle looked at: a plan segment from bottom to top (feet). `body` is what it belongs to, ignored. */
export interface Face {
  readonly x1: number; readonly y1: number; readonly x2: number; readonly y2: number;
  readonly bottom: number; readonly top: number;
  readonly body?: Target['body'];
}

/** A point (share along the face, share up the face) times its depth, and the depth: 0 at the eye, 1 in the face's plane. */
type Projected = readonly [along: number, up: number, depth: number];

/**
 * How much of a face can be seen from a point, 0 to 1 by area: what is left of it outside the shadows of all obstacles.
 * 0 when the eye stands in an obstacle or in the face's own plane.
 * @param mount obstacles that the eye's own device hangs on, ignored
 * @throws RangeError for a face without width or height
 */
export function visibleFraction(
  index: SightIndex, eye: SpacePoint, face: Face, options: { readonly blocking?: Blocking; readonly mount?: readonly string[] } = {},
): number {
  const { bottom, top } = face;
  const bx = face.x2 - face.x1; const by = face.y2 - face.y1;
  if (!(top > bottom) || (bx === 0 && by === 0)) throw new RangeError('A face needs a width and a height.');
  const ax = face.x1 - eye.x; const ay = face.y1 - eye.y;
  const plane = ax * by - ay * bx;
  if (plane === 0) return 0;
  const blocking = options.blocking ?? 'doubtful-too';
  const ignored = new Set([...(options.mount ?? []), ...bodiesOf(face)].map((id) => index.slotOf(id)));
  const height = top - bottom; const eyeUp = (eye.z - bottom) / height;
  const project = (x: number, y: number, z: number): Projected => {
    const px = x - eye.x; const py = y - eye.y;
    const depth = (px * by - py * bx) / plane;
    return [(ax * py - ay * px) / plane, depth * eyeUp + (z - eye.z) / height, depth];
  };
  const lowest = Math.min(eye.z, bottom); const highest = Math.max(eye.z, top);
  const shapes: CutShape[] = [{ role: 'keep', outlines: [loop([[0, 0], [1, 0], [1, 1], [0, 1]])] }];
  const xs = [eye.x, face.x1, face.x2]; const ys = [eye.y, face.y1, face.y2];
  for (const slot of index.inBox(Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys))) {
    if (ignored.has(slot) || !throwsShadow(index.transmission[slot]!, blocking)) continue;
    const prism = index.prism(slot);
    if (prism.top < lowest || prism.bottom > highest) continue;
    if (meets({ ax: eye.x, ay: eye.y, az: eye.z, bx: eye.x, by: eye.y, bz: eye.z }, prism)) return 0;
    // Heights beyond every line are cut off, so that an endless wall stays finite.
    const low = Math.max(prism.bottom, lowest - 1); const high = Math.min(prism.top, highest + 1);
    for (const side of sidesOf(planOutline(index, slot), low, high)) {
      const seen = clip(side.map(([x, y, z]) => project(x, y, z)));
      if (seen.length > 2) shapes.push({ role: 'drop', outlines: [loop(seen.map(([along, up, depth]) => [along / depth, up / depth]))] });
    }
  }
  return Math.min(1, Math.max(0, cutRegions(shapes, { areaOnly: true }).area));
}

const loop = (points: readonly (readonly [number, number])[]): Outline =>
  points.map(([x1, y1], i) => { const [x2, y2] = points[(i + 1) % points.length]!; return { x1, y1, x2, y2 }; });

/** A prism's sides and both lids as corner lists: together they throw the same shadow as the prism. */
function* sidesOf(ring: ArrayLike<number>, low: number, high: number): Generator<(readonly [number, number, number])[]> {
  const n = ring.length;
  for (let i = 0, j = n - 2; i < n; j = i, i += 2) {
    if (n === 4 && i === 2) break;
    const x1 = ring[j]!; const y1 = ring[j + 1]!; const x2 = ring[i]!; const y2 = ring[i + 1]!;
    yield [[x1, y1, low], [x2, y2, low], [x2, y2, high], [x1, y1, high]];
  }
  if (n <= 4) return;
  for (const z of [low, high]) yield Array.from({ length: n / 2 }, (_, k) => [ring[2 * k]!, ring[2 * k + 1]!, z] as const);
}

/** What of a projected side lies in front of the face and within it: cut before dividing by depth, so nothing runs to infinity. */
function clip(points: readonly Projected[]): readonly Projected[] {
  let kept = points;
  for (const inside of [
    ([along]: Projected) => along, ([along, , depth]: Projected) => depth - along,
    ([, up]: Projected) => up, ([, up, depth]: Projected) => depth - up,
    ([, , depth]: Projected) => 1 - depth,
  ]) {
    const next: Projected[] = [];
    kept.forEach((a, i) => {
      const b = kept[(i + 1) % kept.length]!; const da = inside(a); const db = inside(b);
      if (da >= 0) next.push(a);
      if ((da > 0 && db < 0) || (da < 0 && db > 0)) { const s = da / (da - db); next.push([a[0] + s * (b[0] - a[0]), a[1] + s * (b[1] - a[1]), a[2] + s * (b[2] - a[2])]); }
    });
    kept = next;
    if (kept.length === 0) break;
  }
  return kept.every(([, , depth]) => depth > 0) ? kept : [];
}
