import type { PlacementRule } from '../code-data/index';
import type { Controller, Document, Id, Load, Machine, Point } from '../document/index';
import type { Feet, SheetUnits } from '../units/index';
import type { TargetKind } from './types';

/** One thing that must be in sight, and what stands there. */
export interface PairTarget {
  readonly kind: TargetKind;
  readonly rule: PlacementRule;
  /** null when the rule asks for it but the document has none: its name is asked for. */
  readonly body: TargetBody | null;
  readonly missing?: string;
}

export interface TargetBody {
  readonly id: Id;
  readonly sheet: Id;
  readonly tag: string;
  readonly at: Point | null;
  /** How far its place may be off where that is more than the plan's points are, sheet units. */
  readonly within?: SheetUnits;
  readonly height: Feet;
  readonly standing: Feet;
  readonly outline?: readonly Point[];
  /** Top of what the outline bounds, where it is given. */
  readonly bodyTop?: Feet;
  /** Bodies that never hide this target: its own, and the machine it is built into. */
  readonly own: readonly Id[];
}

/** Everything that the rules want in sight of a load's disconnect: motor, driven machine, controller, unit. */
export function pairTargets(document: Document, load: Load, rules: readonly PlacementRule[]): PairTarget[] {
  const targets: PairTarget[] = [];
  const seen = new Set<TargetKind>();
  for (const rule of rules) {
    if (rule.id === 'MOT-GROUP') continue;
    for (const kind of rule.targets) {
      if (seen.has(kind)) continue;
      const target = targetOf(document, load, rule, kind);
      if (!target) continue;
      seen.add(kind);
      targets.push(target);
    }
  }
  return targets;
}

function targetOf(document: Document, load: Load, rule: PlacementRule, kind: TargetKind): PairTarget | null {
  if (kind === 'motor' || kind === 'unit') return { kind, rule, body: bodyOfLoad(document, load) };
  if (kind === 'machine') {
    const machine = partOf(document, load.machine, 'machine');
    if (machine) return { kind, rule, body: bodyOf(machine, machine) };
    // Without a machine of its own the motor stands for both; an elevator's driving machine is the load itself.
    return load.machine === undefined ? null : { kind, rule, body: null, missing: `driven machine of ${load.tag}` };
  }
  const controller = partOf(document, load.controller, 'controller');
  if (controller) return { kind, rule, body: bodyOf(controller) };
  if (load.data.kind === 'drive') return { kind, rule, body: bodyOfLoad(document, load) };
  const asksForOne = rule.targets[0] === 'controller' && rule.id !== 'MOT-CONTROLLER';
  return asksForOne || load.controller !== undefined ? { kind, rule, body: null, missing: `controller or control panel of ${load.tag}` } : null;
}

function partOf<K extends 'machine' | 'controller'>(document: Document, id: Id | undefined, kind: K): (K extends 'machine' ? Machine : Controller) | null {
  const found = id === undefined ? undefined : document.entities[id];
  return found?.kind === kind ? (found as K extends 'machine' ? Machine : Controller) : null;
}

type Shape = Pick<TargetBody, 'outline' | 'bodyTop'>;
const shapeOf = ({ outline, bodyTop }: Shape): Shape => ({ ...(outline ? { outline } : {}), ...(bodyTop === undefined ? {} : { bodyTop }) });
const placeOf = ({ at, within }: Load | Machine | Controller): Pick<TargetBody, 'at' | 'within'> => ({ at, ...(within === undefined ? {} : { within }) });

function bodyOf(part: Machine | Controller, shape: Shape = {}): TargetBody {
  const { id, sheet, tag, height, standing } = part;
  return { id, sheet, tag, ...placeOf(part), height, standing, own: [id], ...shapeOf(shape) };
}

function bodyOfLoad(document: Document, load: Load): TargetBody {
  const { id, sheet, tag, at, height, standing } = load;
  const machine = partOf(document, load.machine, 'machine');
  // A motor drawn inside its machine's outline is part of it: the machine cannot hide it from its own operator.
  const builtIn = machine?.outline && at && contains(machine.outline, at) ? [machine.id] : [];
  return { id, sheet, tag, ...placeOf(load), height, standing, own: [id, ...builtIn], ...shapeOf(load) };
}

/** Whether a point lies inside a simple outline (edges not decided: only used where they do not matter). */
export function contains(outline: readonly Point[], p: Point): boolean {
  let inside = false;
  for (let i = 0, j = outline.length - 1; i < outline.length; j = i, i += 1) {
    const a = outline[i]; const b = outline[j];
    if (a && b && (a.y > p.y) !== (b.y > p.y) && p.x < ((b.x - a.x) * (p.y - a.y)) / (b.y - a.y) + a.x) inside = !inside;
  }
  return inside;
}
