import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { scaled } from '../../main/exchange/find-walls';
import { scanBitmap } from '../../main/exchange/scan-bitmap';
import { dxfPairs } from '../../main/exchange/dxf-pairs';
import { drawingSheets, planMedia, readDxf } from '../../shared-core/exchange/index';
import { wallsFromLines, wallsFromScan } from '../../shared-core/offer/index';
import type { PlanLine, WallCandidate } from '../../shared-core/offer/index';
import { against } from './bench-row';
import type { BenchRow } from './bench-row';

export const PLANS = join(process.env['PLANS_FOLDER'] ?? fileURLToPath(new URL('../../../shared/plans/', import.meta.url)), '/');
/** Metres: a place on a centre line counts as found when a wall of like direction lies this near. */
const TOLERANCE = 0.15;
const STEP = 0.1;
const LIKE_DIRECTION = (6 * Math.PI) / 180;
const THICKNESS = [0.12, 0.5] as const;
const SHORTEST = 0.35;
/** What is offered in doubt becomes no wall unless a person says so: it counts neither as offered nor as found; rows of their own say what it comes to together with it. */
export const isSure = ({ doubt }: WallCandidate): boolean => doubt === undefined;
/** The ground truth marks structural walls only: a wall offered away from them and thinner than this share of the thinnest of them counts as a partition, neither right nor wrong. */
const PARTITION = 0.9;

/**
 * Where the residential drawing shows something built in a wall's thickness that the truth does not mark, told by eye, as
 * x, y, x, y in its picture: balcony parapets, the window band of a front, balcony ends, the glazed screen of a corridor.
 */
const BUILT: readonly (readonly [number, number, number, number])[] = [
  [480, 2050, 8060, 2160], [480, 4590, 8060, 4690], [9210, 2150, 9320, 4600], [9090, 2260, 9290, 2340], [9090, 4400, 9290, 4480], [1040, 3200, 1130, 3540],
];

export interface Truth { readonly pixels_per_metre: number; readonly source: { readonly floor_ids: readonly string[] }; readonly walls: readonly { x1: number; y1: number; x2: number; y2: number; thickness_px: number }[] }

/** Share of the length of `walls` that lies along one of `others`; `count` leaves places out. */
function covered(walls: readonly WallCandidate[], others: readonly WallCandidate[], perMetre: number, count: (wall: WallCandidate, hit: boolean, x: number, y: number) => boolean): number {
  let [hits, all] = [0, 0];
  for (const wall of walls) {
    const length = Math.hypot(wall.x2 - wall.x1, wall.y2 - wall.y1);
    const angle = Math.atan2(wall.y2 - wall.y1, wall.x2 - wall.x1);
    const steps = Math.max(1, Math.round(length / (STEP * perMetre)));
    for (let i = 0; i < steps; i++) {
      // A door is no wall, and the truth leaves it out.
      if (wall.openings?.some(({ from, to }) => (length * (i + 0.5)) / steps > from && (length * (i + 0.5)) / steps < to)) continue;
      const [x, y] = [0, 1].map((k) => (k === 0 ? wall.x1 + ((wall.x2 - wall.x1) * (i + 0.5)) / steps : wall.y1 + ((wall.y2 - wall.y1) * (i + 0.5)) / steps)) as [number, number];
      const hit = others.some((other) => near(x, y, angle, other, TOLERANCE * perMetre));
      if (!count(wall, hit, x, y)) continue;
      all += length / steps;
      if (hit) hits += length / steps;
    }
  }
  return all === 0 ? 0 : hits / all;
}

function near(x: number, y: number, angle: number, { x1, y1, x2, y2 }: WallCandidate, within: number): boolean {
  const [dx, dy] = [x2 - x1, y2 - y1];
  const length = Math.hypot(dx, dy);
  const turn = Math.abs(((angle - Math.atan2(dy, dx) + Math.PI * 1.5) % Math.PI) - Math.PI / 2);
  if (turn > LIKE_DIRECTION) return false;
  const along = ((x - x1) * dx + (y - y1) * dy) / length;
  return along >= -within && along <= length + within && Math.abs((x - x1) * dy - (y - y1) * dx) / length <= within;
}

/** built: places where the truth is known to leave out what is built; precision counts them as false, amongBuilt as neither right nor wrong. */
export function score(offered: readonly WallCandidate[], truth: readonly WallCandidate[], perMetre: number, built: (x: number, y: number) => boolean = () => false): { precision: number; amongBuilt: number; recall: number } {
  const thinnest = Math.min(...truth.map((wall) => wall.thickness));
  const counts = (wall: WallCandidate, hit: boolean): boolean => hit || wall.thickness >= PARTITION * thinnest;
  return {
    precision: covered(offered, truth, perMetre, counts),
    amongBuilt: covered(offered, truth, perMetre, (wall, hit, x, y) => counts(wall, hit) && (hit || !built(x, y))),
    recall: covered(truth, offered, perMetre, () => true),
  };
}

/** The rectangles as they lie in a copy of the drawing that was turned and resized with its truth. */
function builtIn(copy: Truth, drawing: Truth): (x: number, y: number) => boolean {
  const [first, last] = [0, drawing.walls.reduce((far, wall, i) => (Math.hypot(wall.x1 - drawing.walls[0]!.x1, wall.y1 - drawing.walls[0]!.y1) > Math.hypot(drawing.walls[far]!.x1 - drawing.walls[0]!.x1, drawing.walls[far]!.y1 - drawing.walls[0]!.y1) ? i : far), 0)];
  const [a, b, c, d] = [copy.walls[first]!, copy.walls[last]!, drawing.walls[first]!, drawing.walls[last]!];
  // Turned and resized: one complex factor.
  const [px, py, qx, qy] = [b.x1 - a.x1, b.y1 - a.y1, d.x1 - c.x1, d.y1 - c.y1];
  const over = px * px + py * py;
  const [re, im] = [(qx * px + qy * py) / over, (qy * px - qx * py) / over];
  return (x, y) => {
    const [u, v] = [c.x1 + (x - a.x1) * re - (y - a.y1) * im, c.y1 + (x - a.x1) * im + (y - a.y1) * re];
    return BUILT.some(([left, top, right, bottom]) => u >= left && u <= right && v >= top && v <= bottom);
  };
}

/** @param took  is told how long the file took to read into ink and ground, and the walls to find, ms */
export async function offerScan(file: string, perMetre: number, took: (reading: number, finding: number) => void = () => undefined): Promise<WallCandidate[]> {
  return offerPicture(new Uint8Array(readFileSync(`${PLANS}${file}`)), perMetre, took);
}

/** The same from the bytes of a picture. */
export async function offerPicture(bytes: Uint8Array, perMetre: number, took: (reading: number, finding: number) => void = () => undefined): Promise<WallCandidate[]> {
  const start = performance.now();
  const { bitmap, factor } = await scanBitmap(bytes, planMedia(bytes)!, 0, THICKNESS[0] * perMetre);
  const read = performance.now();
  const per = perMetre / factor;
  const found = wallsFromScan(bitmap, { thickness: [THICKNESS[0] * per, THICKNESS[1] * per], shortest: SHORTEST * per, slack: Math.max(2, 0.06 * per) });
  took(read - start, performance.now() - read);
  return scaled(found, factor);
}

/** The walls drawing of the set carries each wall as a closed rectangle: its long axis is the truth. */
function offerDrawing(file: string): { offered: WallCandidate[]; truth: WallCandidate[]; perMetre: number } {
  const sheet = drawingSheets(readDxf(dxfPairs(new Uint8Array(readFileSync(`${PLANS}${file}`)))))[0]!;
  const perMetre = sheet.unitsPerDrawingUnit;
  const lines: PlanLine[] = [];
  const truth: WallCandidate[] = [];
  for (const mark of sheet.parts[0]!.marks) {
    if (mark.kind !== 'line') continue;
    mark.points.slice(1).forEach(([x2, y2], i) => { lines.push({ x1: mark.points[i]![0], y1: mark.points[i]![1], x2, y2, layer: mark.layer }); });
    if (mark.points.length !== 5) continue;
    const [a, b, c, d] = mark.points as unknown as [number, number][] as [[number, number], [number, number], [number, number], [number, number]];
    const [ab, bc] = [Math.hypot(b[0] - a[0], b[1] - a[1]), Math.hypot(c[0] - b[0], c[1] - b[1])];
    const mid = (p: [number, number], q: [number, number]): [number, number] => [(p[0] + q[0]) / 2, (p[1] + q[1]) / 2];
    const [[x1, y1], [x2, y2]] = ab > bc ? [mid(a, d), mid(b, c)] : [mid(a, b), mid(c, d)];
    truth.push({ x1, y1, x2, y2, thickness: Math.min(ab, bc) });
  }
  return { offered: wallsFromLines(lines, { thickness: [THICKNESS[0] * perMetre, THICKNESS[1] * perMetre], shortest: SHORTEST * perMetre, slack: 0.02 * perMetre }), truth, perMetre };
}

/** A share that is to be so high at least. */
export const row = (name: string, product: number, least: number): BenchRow =>
  ({ name, product: Math.round(product * 1000) / 1000, unit: 'relative', peer: null, ratio: null, goal: `at least ${least}`, met: product >= least });

/** Precision and recall of wall length, within 0.15 m of the centre line and 6 degrees; needs the shared plans. */
export async function* rows(): AsyncGenerator<BenchRow> {
  if (!existsSync(PLANS)) return;
  const drawn = offerDrawing('dxf/walls-metres-r2018.dxf');
  const vector = score(drawn.offered.filter(isSure), drawn.truth, drawn.perMetre);
  yield row('walls offered from a drawing, precision', vector.precision, 0.9);
  yield row('walls offered from a drawing, recall', vector.recall, 0.9);
  const truthOf = (file: string): Truth => JSON.parse(readFileSync(`${PLANS}rasters/${file.replace(/\.\w+$/, '')}.walls.json`, 'utf8')) as Truth;
  const times: BenchRow[] = [];
  const residential = truthOf('ml-residential-floor-colour-lines.png');
  for (const [name, file, least] of [['core', 'ml-core-walls-palette.png', 0.9], ['L shape', 'ml-l-shape-skew-wing-walls.png', 0.9], ['residential', 'ml-residential-floor-colour-lines.png', 0.8],
    ['1-bit scan, 300 dpi', 'scan-1bit-300dpi-g4-skew-1p1.tif', 0.8], ['grey scan, 100 dpi', 'scan-grey-100dpi-skew2p3.jpg', 0.8]] as const) {
    const truth = truthOf(file);
    const walls = truth.walls.map(({ thickness_px: thickness, ...rest }) => ({ ...rest, thickness }));
    const isCopy = truth.source.floor_ids.join() === residential.source.floor_ids.join();
    const offered = await offerScan(`rasters/${file}`, truth.pixels_per_metre, (reading, finding) => { times.push(against(`walls offered from a scan, ${name}, time`, 'ms', finding, 'reading the file', reading, 0.2)); });
    const built = isCopy ? builtIn(truth, residential) : undefined;
    const { precision, amongBuilt, recall } = score(offered.filter(isSure), walls, truth.pixels_per_metre, built);
    const all = score(offered, walls, truth.pixels_per_metre, built);
    yield row(`walls offered from a scan, ${name}, precision`, precision, least);
    if (isCopy) yield row(`walls offered from a scan, ${name}, precision without parapets and window bands`, amongBuilt, least);
    yield row(`walls offered from a scan, ${name}, recall`, recall, least);
    if (isCopy) yield row(`walls offered from a scan, ${name}, recall together with what is in doubt`, all.recall, least);
    if (isCopy) yield row(`walls offered from a scan, ${name}, precision together with what is in doubt`, all.precision, 0);
  }
  yield* times;
}
