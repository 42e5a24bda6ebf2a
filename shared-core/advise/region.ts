import type { Checker, SightTarget } from '../checks/index';
import type { Disconnect } from '../document/index';
import { areaOfOutlines, cutRegions, outlinesContain } from '../geometry/index';
import type { Outline } from '../geometry/index';
import { allowedRegion, prepareScene } from '../sight/index';
import type { AllowedRegion, Scene, SightIndex, Target } from '../sight/index';
import { feet } from '../units/index';
import type { Feet } from '../units/index';

const nowhere: AllowedRegion = { outlines: [], area: 0, squareFeet: 0, isEmpty: true, contains: () => false };

/** One question to the sight engine: targets that share a limit and the bodies that are left out for them. */
interface Question { readonly limit: Feet; readonly without: readonly string[]; readonly targets: Target[] }

/**
 * Where the handle of a disconnect surely sees all its loads within distance, at its own height: eye line and body line of
 * each target clear, nothing doubtful, the scale's uncertainty taken off the limit, and not inside the loads themselves.
 * Empty while a load is not placed. For showing and searching; the verdict of a place is the pair check's.
 */
export function seeingRegion(checker: Checker, disconnect: Disconnect, indexes: IndexCache): AllowedRegion {
  const targets = checker.sightTargetsOf(disconnect);
  const { scene, index } = checker.sheetOf(disconnect.sheet);
  const served = new Set(targets.map((t) => t.load));
  if (!index || targets.length === 0 || disconnect.serves.some((id) => !served.has(id))) return nowhere;
  const height = feet(disconnect.standing + disconnect.handleHeight);
  const parts = questionsOf(targets, height).map((q) => allowedRegion(indexes.without(scene.scene, index, q.without), q.targets, { handleHeight: height, limit: q.limit }));
  if (parts.some((part) => part.isEmpty)) return nowhere;
  const bodies = targets.flatMap((t) => t.own).flatMap((id) => ownOutline(index, id, height));
  const [first] = parts;
  if (first && parts.length === 1 && bodies.length === 0) return first;
  const { area, outlines } = cutRegions([...parts.map((part) => ({ role: 'keep' as const, outlines: part.outlines })), ...bodies.map((outline) => ({ role: 'drop' as const, outlines: [outline] }))]);
  return { outlines, area: Math.abs(area), squareFeet: Math.abs(areaOfOutlines(outlines)) * index.feetPerUnit ** 2, isEmpty: outlines.length === 0, contains: (x, y) => outlinesContain(outlines, x, y) };
}

function questionsOf(targets: readonly SightTarget[], height: Feet): Question[] {
  const questions = new Map<string, Question>();
  const ask = (point: SightTarget['eye'], limit: number, own: readonly string[]): void => {
    // One body is left out by the engine itself; more than one need a scene without them.
    const [body, ...more] = own;
    const without = more.length === 0 ? [] : own;
    const key = `${limit} ${without.join(' ')}`;
    const question = questions.get(key) ?? { limit: feet(limit), without, targets: [] };
    question.targets.push({ ...point, ...(body !== undefined && more.length === 0 ? { body } : {}) });
    questions.set(key, question);
  };
  for (const { eye, body, limit, own } of targets) {
    const rise = Math.abs(body.z - height); const eyeRise = Math.abs(eye.z - height);
    ask(body, limit, own);
    // The limit belongs to the body line: where the eye is level enough it cannot bind, else it gets just enough more.
    ask(eye, eyeRise <= rise ? limit : Math.hypot(limit, eyeRise), own);
  }
  return [...questions.values()];
}

function ownOutline(index: SightIndex, id: string, height: Feet): Outline[] {
  const obstacle = index.get(id);
  if (obstacle?.shape.type !== 'polygon' || obstacle.bottom > height || obstacle.top < height) return [];
  const { points } = obstacle.shape;
  return [points.map(([x1, y1], i) => { const [x2, y2] = points[(i + 1) % points.length] ?? [x1, y1]; return { x1, y1, x2, y2 }; })];
}

/** Scenes with some bodies taken out, kept while one question is worked on. */
export class IndexCache {
  private readonly made = new Map<string, SightIndex>();

  without(scene: Scene, index: SightIndex, ids: readonly string[]): SightIndex {
    if (ids.length === 0) return index;
    const key = [...ids].sort().join(' ');
    const known = this.made.get(key);
    if (known) return known;
    const out = new Set(ids);
    const made = prepareScene({ ...scene, obstacles: scene.obstacles.filter((o) => !out.has(o.id)) });
    this.made.set(key, made);
    return made;
  }
}
