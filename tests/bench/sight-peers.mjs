// General-purpose libraries doing the same work, each set up once over a plan of bare walls (flat x1, y1, x2, y2).
// Every peer answers blocked(ax, ay, bx, by): does the straight line meet any wall?
import RBush from 'rbush';
import Flatbush from 'flatbush';
import { orient2d } from 'robust-predicates';
import STRtree from 'jsts/org/locationtech/jts/index/strtree/STRtree.js';
import Coordinate from 'jsts/org/locationtech/jts/geom/Coordinate.js';
import Envelope from 'jsts/org/locationtech/jts/geom/Envelope.js';
import RobustLineIntersector from 'jsts/org/locationtech/jts/algorithm/RobustLineIntersector.js';
import 'jsts/org/locationtech/jts/monkey.js';
import { Edge, Vec2, World } from 'planck';
import { BufferAttribute, BufferGeometry, DoubleSide, Ray } from 'three';
import { MeshBVH } from 'three-mesh-bvh';

/** Closed segments by four exact orientations: what anyone would write over robust-predicates. */
function meet(ax, ay, bx, by, cx, cy, dx, dy) {
  const c = orient2d(ax, ay, bx, by, cx, cy); const d = orient2d(ax, ay, bx, by, dx, dy);
  if ((c > 0 && d > 0) || (c < 0 && d < 0)) return false;
  const a = orient2d(cx, cy, dx, dy, ax, ay); const b = orient2d(cx, cy, dx, dy, bx, by);
  if ((a > 0 && b > 0) || (a < 0 && b < 0)) return false;
  return Math.max(Math.min(ax, bx), Math.min(cx, dx)) <= Math.min(Math.max(ax, bx), Math.max(cx, dx))
    && Math.max(Math.min(ay, by), Math.min(cy, dy)) <= Math.min(Math.max(ay, by), Math.max(cy, dy));
}

export const rbushItem = (walls, i) => {
  const k = 4 * i;
  return { minX: Math.min(walls[k], walls[k + 2]), minY: Math.min(walls[k + 1], walls[k + 3]), maxX: Math.max(walls[k], walls[k + 2]), maxY: Math.max(walls[k + 1], walls[k + 3]), i };
};

export function rbushPeer(walls, count) {
  const tree = new RBush();
  tree.load(Array.from({ length: count }, (_, i) => rbushItem(walls, i)));
  const blocked = (ax, ay, bx, by) => {
    for (const { i } of tree.search({ minX: Math.min(ax, bx), minY: Math.min(ay, by), maxX: Math.max(ax, bx), maxY: Math.max(ay, by) }))
      if (meet(ax, ay, bx, by, walls[4 * i], walls[4 * i + 1], walls[4 * i + 2], walls[4 * i + 3])) return true;
    return false;
  };
  return { tree, blocked };
}

export function flatbushPeer(walls, count) {
  const tree = new Flatbush(count);
  for (let i = 0; i < count; i += 1) { const b = rbushItem(walls, i); tree.add(b.minX, b.minY, b.maxX, b.maxY); }
  tree.finish();
  return { tree, blocked: (ax, ay, bx, by) => tree.search(Math.min(ax, bx), Math.min(ay, by), Math.max(ax, bx), Math.max(ay, by))
    .some((i) => meet(ax, ay, bx, by, walls[4 * i], walls[4 * i + 1], walls[4 * i + 2], walls[4 * i + 3])) };
}

export function jstsPeer(walls, count) {
  const tree = new STRtree(); const lines = new RobustLineIntersector();
  for (let i = 0; i < count; i += 1) {
    const a = new Coordinate(walls[4 * i], walls[4 * i + 1]); const b = new Coordinate(walls[4 * i + 2], walls[4 * i + 3]);
    tree.insert(new Envelope(a, b), { a, b });
  }
  tree.query(new Envelope(0, 1, 0, 1));
  return { tree, blocked: (ax, ay, bx, by) => {
    const p = new Coordinate(ax, ay); const q = new Coordinate(bx, by); const near = tree.query(new Envelope(p, q));
    for (let j = 0, n = near.size(); j < n; j += 1) { const { a, b } = near.get(j); lines.computeIntersection(p, q, a, b); if (lines.hasIntersection()) return true; }
    return false;
  } };
}

export function planckPeer(walls, count) {
  const world = new World(); const body = world.createBody();
  for (let i = 0; i < count; i += 1) body.createFixture(new Edge(new Vec2(walls[4 * i], walls[4 * i + 1]), new Vec2(walls[4 * i + 2], walls[4 * i + 3])), 0);
  return { world, blocked: (ax, ay, bx, by) => {
    let hit = false;
    world.rayCast(new Vec2(ax, ay), new Vec2(bx, by), () => { hit = true; return 0; });
    return hit;
  } };
}

/** Upright quads 12 ft high, a line from 4.5 to 3 ft. */
export function meshPeer(walls, count) {
  const position = new Float32Array(12 * count); const corner = new Uint32Array(6 * count);
  for (let i = 0; i < count; i += 1) {
    const [x1, y1, x2, y2] = walls.subarray(4 * i, 4 * i + 4);
    position.set([x1, y1, 0, x2, y2, 0, x2, y2, 12, x1, y1, 12], 12 * i);
    corner.set([4 * i, 4 * i + 1, 4 * i + 2, 4 * i, 4 * i + 2, 4 * i + 3], 6 * i);
  }
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(position, 3)); geometry.setIndex(new BufferAttribute(corner, 1));
  const tree = new MeshBVH(geometry); const ray = new Ray();
  return { tree, blocked: (ax, ay, bx, by) => {
    ray.origin.set(ax, ay, 4.5); ray.direction.set(bx - ax, by - ay, -1.5);
    const length = ray.direction.length(); ray.direction.multiplyScalar(1 / length);
    return tree.raycastFirst(ray, DoubleSide, 0, length) !== null;
  } };
}
