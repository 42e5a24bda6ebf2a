import { readFileSync } from 'node:fs';
import { createChecker } from '../../shared-core/checks/index';
import type { PairReport } from '../../shared-core/checks/index';
import type { Verdict } from '../../shared-core/code-data/index';
import { sceneDocument } from './case-scene';
import type { CaseScene, Place } from './case-scene';

interface Expectation { subject: string; check: string; verdict: 'pass' | 'fail' | 'warn' | 'info'; variant?: string; values?: Values }
interface Values {
  loadAt?: Place; handleAt?: Place; standing_z?: number; planDistance_ft?: number; slopeDistance_ft?: number; eyeLine?: string; bodyLine?: string; met?: string[];
  distance_ft?: number; limit_m?: number; low_ft?: number; high_ft?: number;
}
interface Case { id: string; title: string; jurisdiction: { edition: number }; scene?: CaseScene; variants?: { id: string; patch?: Record<string, unknown> }[]; expected: Expectation[] }

const ALLOWED: Record<Expectation['verdict'], readonly Verdict[]> = { pass: ['pass'], fail: ['fail'], warn: ['marginal', 'judgement', 'incomplete'], info: [] };
const HUNDREDTH = 0.011;

/** Practitioners' cases: each sight and distance expectation that carries points or a distance, through the product's own checks. */
export async function run(paths: string[]): Promise<{ passed: number; failed: number }> {
  const total = { passed: 0, failed: 0 };
  for (const path of paths) {
    const { cases } = JSON.parse(readFileSync(path, 'utf8')) as { cases: Case[] };
    for (const one of cases) {
      for (const expectation of one.expected) {
        if (!isChecked(expectation)) continue;
        const faults = checkOne(one, expectation);
        if (faults.length === 0) { total.passed += 1; continue; }
        total.failed += 1;
        for (const fault of faults) console.log(`${one.id} ${one.title} / ${expectation.check} '${expectation.subject}': ${fault}`);
      }
    }
  }
  return total;
}

const isChecked = ({ check, values }: Expectation): boolean => (check === 'sight' || check === 'distance') && (values?.loadAt !== undefined || values?.distance_ft !== undefined);

function checkOne(one: Case, expectation: Expectation): string[] {
  const scene = patched(one, expectation.variant);
  const values = expectation.values ?? {};
  const points = pointsOf(one, scene, expectation);
  if (typeof points === 'string') return [points];
  const pair = report(one, scene, expectation, points);
  if (!pair) return ['the product made no pair of it'];
  const faults: string[] = [];
  const verdict = expectation.check === 'sight' ? pair.viewVerdict : pair.distanceVerdict;
  if (!ALLOWED[expectation.verdict].includes(verdict)) faults.push(`should be ${expectation.verdict}, is ${verdict}: ${pair.result.title}`);
  const same = (what: string, expected: number | undefined, actual: number | null): void => {
    if (expected !== undefined && !(actual !== null && Math.abs(expected - actual) <= HUNDREDTH)) faults.push(`${what} should be ${expected} ft, is ${String(actual)}`);
  };
  const plan = pair.result.steps[0]?.inputs.find((input) => input.name === 'plan distance')?.value;
  same('plan distance', values.planDistance_ft, typeof plan === 'number' ? plan : null);
  same('distance in space', values.slopeDistance_ft, pair.distance);
  if (values.low_ft !== undefined && values.distance_ft !== undefined) same('uncertainty', values.distance_ft - values.low_ft, Number(pair.uncertainty));
  if (values.eyeLine !== undefined && values.eyeLine !== pair.eyeLine?.state) faults.push(`eye line should be ${values.eyeLine}, is ${String(pair.eyeLine?.state)}`);
  if (values.bodyLine !== undefined && values.bodyLine !== pair.bodyLine?.state) faults.push(`body line should be ${values.bodyLine}, is ${String(pair.bodyLine?.state)}`);
  return faults;
}

interface Points { load: Place; handle: Place; standing: number; outline?: Place[] }

/** The two points of an expectation: as written, or of the things its subject names, or of the same subject's sight check. */
function pointsOf(one: Case, scene: CaseScene, expectation: Expectation): Points | string {
  const { values = {}, subject } = expectation;
  const written = values.loadAt ? values : one.expected.find((e) => e.subject === subject && e.values?.loadAt)?.values;
  if (written?.loadAt && written.handleAt) return { load: written.loadAt, handle: written.handleAt, standing: written.standing_z ?? 0 };
  const handle = scene.disconnects?.find((d) => subject.includes(d.id) && d.at)?.at;
  if (!handle) return 'no disconnect of the scene is named';
  const loads = [...(scene.motors ?? []), ...(scene.loads ?? [])];
  const load = loads.find((m) => subject.includes(m.id)) ?? (loads.length === 1 ? loads[0] : undefined);
  const machine = scene.machines?.find((m) => m.outlineRect);
  if (/machine|far end|edge/.test(subject) && machine?.outlineRect) return machinePoints(machine.outlineRect, handle, values.distance_ft ?? 0);
  if (!load) return 'no load of the scene is named';
  return { load: load.at, handle, standing: load.standing_z ?? 0 };
}

/** A machine that is asked about by its nearest point is that point; by its far end, the whole machine. */
function machinePoints([x1, y1, x2, y2]: [number, number, number, number], handle: Place, distance: number): Points {
  const nearest: Place = [Math.min(x2, Math.max(x1, handle[0])), Math.min(y2, Math.max(y1, handle[1])), handle[2]];
  const isNearest = Math.abs(Math.hypot(nearest[0] - handle[0], nearest[1] - handle[1]) - distance) <= HUNDREDTH;
  const centre: Place = [(x1 + x2) / 2, (y1 + y2) / 2, handle[2]];
  return isNearest ? { load: nearest, handle, standing: 0 } : { load: centre, handle, standing: 0, outline: [[x1, y1, 0], [x2, y1, 0], [x2, y2, 0], [x1, y2, 0]] };
}

function report(one: Case, scene: CaseScene, { values = {} }: Expectation, points: Points): PairReport | undefined {
  const share = values.low_ft === undefined || values.distance_ft === undefined ? 0 : (scene.planScaleTolerance_percent ?? 0) / 100;
  const document = sceneDocument(scene, { ...points, edition: String(one.jurisdiction.edition), jurisdiction: values.limit_m === undefined ? 'US' : 'CA', relativeUncertainty: share });
  const pairs = createChecker(document).checkAll();
  return pairs.find((pair) => (points.outline ? pair.target === 'machine' : pair.target !== 'machine'));
}

function patched(one: Case, variant: string | undefined): CaseScene {
  const scene = structuredClone(one.scene ?? {});
  const patch = one.variants?.find((v) => v.id === variant)?.patch ?? {};
  for (const [path, value] of Object.entries(patch)) applyPatch(scene, path.split('.'), value);
  return scene;
}

/** A path names a list, an item by id or index, and so on down to a field; null takes the field away. */
function applyPatch(root: unknown, path: readonly string[], value: unknown): void {
  let here = root as Record<string, unknown>;
  for (const step of path.slice(0, -1)) {
    const next = Array.isArray(here) && !/^\d+$/.test(step) ? (here as unknown as { id: string }[]).find((item) => item.id === step) : here[step];
    if (typeof next !== 'object' || next === null) throw new Error(`a patch leads nowhere: ${path.join('.')}`);
    here = next as Record<string, unknown>;
  }
  const field = path.at(-1) ?? '';
  if (value === null) delete here[field]; else here[field] = value;
}
