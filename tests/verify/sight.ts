import { readFileSync, readdirSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { prepareScene, sightState, traceSight } from '../../shared-core/sight/index';
import type { Handle, Obstacle, SightIndex, Target } from '../../shared-core/sight/index';
import { feet } from '../../shared-core/units/index';
import { checkClosedForms } from './sight-closed-forms';

/** A `sight-oracle-1` record: exact scenes in feet, each number to be read as the double it parses to. */
interface OracleScene {
  format: string;
  obstacles: { id: string; kind: 'wall' | 'door' | 'polygon'; x1: number; y1: number; x2: number; y2: number; t: number; pts: [number, number][]; z0: number; z1: number; opaque: boolean }[];
  motors: { id: string; x: number; y: number; z: number; body?: string }[];
  disconnects: { id: string; x: number; y: number; z: number; mount?: string }[];
  pairs: { d: string; m: string; cmp50_2d: number; cmp50_3d: number; visible2d: boolean; visible3d: boolean; pass: boolean; blockers2d: string[]; blockers3d: string[]; through3d?: string[]; degenerate: boolean }[];
}
const LIMIT = feet(50);

export async function run(paths: string[]): Promise<{ passed: number; failed: number }> {
  const total = { passed: 0, failed: 0 };
  for (const file of paths.flatMap(jsonFiles)) {
    const content = JSON.parse(readFileSync(file, 'utf8')) as { format?: string; cases?: unknown[] };
    const before = total.passed + total.failed;
    const started = performance.now();
    if (content.format === 'sight-oracle-1') checkScene(file, content as unknown as OracleScene, total);
    else if (content.format?.includes('closed-forms') || content.cases) checkClosedForms(file, content.cases ?? [], total);
    else { console.log(`${file}: not a sight scene, left out`); continue; }
    console.log(`${file}: ${total.passed + total.failed - before} checked in ${(performance.now() - started).toFixed(0)} ms`);
  }
  return total;
}

function jsonFiles(path: string): string[] {
  if (!statSync(path).isDirectory()) return [path];
  return readdirSync(path).filter((name) => name.endsWith('.json') && name !== 'index.json' && name !== 'package.json').sort().map((name) => join(path, name));
}

function checkScene(file: string, scene: OracleScene, total: { passed: number; failed: number }): void {
  const inSpace = prepareScene({ feetPerUnit: 1, obstacles: scene.obstacles.map((o) => obstacle(o, o.z0, o.z1)) });
  // 'Heights ignored' is the same scene with every obstacle through the one height of the line.
  const inPlan = prepareScene({ feetPerUnit: 1, obstacles: scene.obstacles.map((o) => obstacle(o, -1, 1)) });
  const motors = new Map(scene.motors.map((m) => [m.id, m])); const disconnects = new Map(scene.disconnects.map((d) => [d.id, d]));
  for (const pair of scene.pairs) {
    const d = disconnects.get(pair.d)!; const m = motors.get(pair.m)!;
    const handle: Handle = { x: d.x, y: d.y, z: feet(d.z), ...(d.mount === undefined ? {} : { mount: [d.mount] }) };
    const target: Target = { x: m.x, y: m.y, z: feet(m.z), ...(m.body === undefined ? {} : { body: m.body }) };
    const flat = { handle: { ...handle, z: feet(0) }, target: { ...target, z: feet(0) } };
    const space = answer(inSpace, handle, target); const plan = answer(inPlan, flat.handle, flat.target);
    const expected: [string, unknown, unknown][] = [
      ['visible3d', pair.visible3d, space.visible], ['blockers3d', sorted(pair.blockers3d), space.blockers], ['through3d', sorted(pair.through3d ?? []), space.through],
      ['visible2d', pair.visible2d, plan.visible], ['blockers2d', sorted(pair.blockers2d), plan.blockers],
      ['cmp50_3d', pair.cmp50_3d, space.compares], ['cmp50_2d', pair.cmp50_2d, plan.compares],
      ['pass', pair.pass, space.visible && space.compares <= 0],
      ['the quick state', space.state, sightState(inSpace, handle, target)], ['the quick state in plan', plan.state, sightState(inPlan, flat.handle, flat.target)],
    ];
    const wrong = expected.filter(([, should, is]) => String(should) !== String(is));
    if (wrong.length === 0) { total.passed += 1; continue; }
    total.failed += 1;
    for (const [what, should, is] of wrong) console.log(`${file} ${pair.d}-${pair.m}${pair.degenerate ? ' (degenerate)' : ''}: ${what} should be ${String(should)}, is ${String(is)}`);
  }
}

const sorted = (ids: string[]): string[] => [...ids].sort();

function answer(index: SightIndex, handle: Handle, target: Target) {
  const line = traceSight(index, handle, target);
  const ids = (opaque: boolean): string[] => sorted(line.meetings.filter((met) => (met.transmission === 'opaque') === opaque).map((met) => met.obstacle));
  return { state: line.state, visible: line.clearOfOpaque, blockers: ids(true), through: ids(false), compares: line.comparesToLimit(LIMIT) };
}

function obstacle(o: OracleScene['obstacles'][number], bottom: number, top: number): Obstacle {
  return {
    id: o.id, bottom: feet(bottom), top: feet(top), transmission: o.opaque ? 'opaque' : 'glazed',
    shape: o.kind === 'polygon' ? { type: 'polygon', points: o.pts } : { type: 'wall', x1: o.x1, y1: o.y1, x2: o.x2, y2: o.y2, thickness: o.t },
  };
}
