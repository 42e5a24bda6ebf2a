import { allowedRegion, clearanceOf, handleMargin, judgeClearance, judgeDistance, prepareScene, visibleFraction } from '../../shared-core/sight/index';
import type { SightIndex } from '../../shared-core/sight/index';
import { feet } from '../../shared-core/units/index';

interface Wall { x1: number; y1: number; x2: number; y2: number; z0?: number; z1?: number }
interface Point { x: number; y: number; z?: number }
interface Case {
  kind: string; name: string; value?: number; walls: Wall[]; motors: Point[]; handle_z?: number; radius: number;
  eye: Point; face: Wall; disconnect: Point; motor: Point; wall_end?: Point;
  s: number; clearance: number; u_disconnect: number; u_motor: number; u_wall: number; worst_case: number; root_sum_square: number; verdict_worst_case: string; verdict_root_sum_square: string;
  distance: number; u_scale_relative: number; u_point: number; U: number; verdict: string;
}
/** [what, should be, is] */
type Check = readonly [string, number | string, number | string];
const LIMIT = feet(50); const ALLOWED = 1e-9;
// A case without heights is a plan case: every wall stands through the one height that its lines have.
const LEVEL = 0.5;

/** Cases whose answers are formulas: areas, fractions and margins to 1e-9, verdicts as words. */
export function checkClosedForms(file: string, cases: readonly unknown[], total: { passed: number; failed: number }): void {
  for (const item of cases as readonly Case[]) {
    const wrong = checksOf(item).filter(([, should, is]) => (typeof should === 'number' && typeof is === 'number' ? !(Math.abs(is - should) <= ALLOWED * Math.max(1, Math.abs(should))) : should !== is));
    if (wrong.length === 0) { total.passed += 1; continue; }
    total.failed += 1;
    for (const [what, should, is] of wrong) console.log(`${file} ${item.kind} '${item.name}': ${what} should be ${should}, is ${is}`);
  }
}

function checksOf(item: Case): Check[] {
  switch (item.kind) {
    case 'region_area': {
      const region = allowedRegion(indexOf(item.walls), item.motors.map(spacePoint), { handleHeight: feet(item.handle_z ?? LEVEL), limit: feet(item.radius) });
      return [['area', item.value!, region.squareFeet]];
    }
    case 'visible_fraction':
      return [['fraction', item.value!, visibleFraction(indexOf(item.walls), spacePoint(item.eye), { ...item.face, bottom: item.face.z0 ?? 0, top: item.face.z1 ?? 1 })]];
    case 'handle_margin':
      return [['margin', item.value!, handleMargin(indexOf(item.walls), spacePoint(item.disconnect), spacePoint(item.motor), LIMIT).margin]];
    case 'uncertainty': return item.wall_end ? clearanceChecks(item, item.wall_end) : distanceChecks(item);
    default: return [['kind', item.kind, 'not known to this check']];
  }
}

function clearanceChecks(item: Case, end: Point): Check[] {
  const clearance = clearanceOf(item.disconnect, item.motor, end);
  const judged = judgeClearance(clearance, { handle: item.u_disconnect, target: item.u_motor, corner: item.u_wall });
  return [
    ['clearance', item.clearance, clearance.clearance], ['share', item.s, clearance.share], ['worst case', item.worst_case, judged.worst], ['root of squares', item.root_sum_square, judged.likely],
    ['worst-case verdict', item.verdict_worst_case.toLowerCase(), judged.worstVerdict], ['root-of-squares verdict', item.verdict_root_sum_square.toLowerCase(), judged.likelyVerdict],
  ];
}

function distanceChecks(item: Case): Check[] {
  const judged = judgeDistance(feet(item.distance), LIMIT, { point: feet(item.u_point), scale: item.u_scale_relative });
  return [['U', item.U, judged.uncertainty], ['verdict', item.verdict.toLowerCase(), judged.verdict]];
}

const spacePoint = (p: Point) => ({ x: p.x, y: p.y, z: feet(p.z ?? LEVEL) });

function indexOf(walls: readonly Wall[]): SightIndex {
  return prepareScene({
    feetPerUnit: 1,
    obstacles: walls.map((w, i) => ({ id: `w${i}`, bottom: feet(w.z0 ?? 0), top: feet(w.z1 ?? 1), transmission: 'opaque', shape: { type: 'wall', x1: w.x1, y1: w.y1, x2: w.x2, y2: w.y2, thickness: 0 } })),
  });
}
