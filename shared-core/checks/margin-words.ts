import type { Disconnect, Document, Id } from '../document/index';
import { feet, METRES_PER_FOOT, showLength } from '../units/index';
import type { UnitSystem } from '../units/index';
import type { Checker } from './checker';
import { nameOf } from './names';
import type { PairMargin } from './pair-margin';
import type { PairReport } from './types';

/** What a pair's margin and view come to, in sentences without a full stop. Never at odds with the pair's own verdict: where they would be, it is not given. */
export interface MarginWords {
  readonly room: string;
  readonly seen: string;
  /** The room to move alone, rounded down, while the pair passes. */
  readonly mayMove: string | null;
  /** The view alone, in as few words as a drawing has room for; null where the sentence says it is not given. */
  readonly inView: string | null;
}

/** The words for one pair, with the id of the result they stand beside. */
export interface SaidMargin extends MarginWords { readonly load: Id; readonly target: PairReport['target']; readonly result: string; readonly margin: PairMargin }

/** What can be said beside each sight result of a device. For the chosen device and for what is handed over, not for each frame. */
export function sayMargins(checker: Pick<Checker, 'document' | 'pairsOf' | 'marginsOf'>, device: Disconnect): SaidMargin[] {
  const pairs = checker.pairsOf(device);
  return checker.marginsOf(device).flatMap((margin) => {
    const pair = pairs.find((p) => p.load === margin.load && p.target === margin.target);
    return pair ? [{ load: margin.load, target: margin.target, result: pair.result.id, margin, ...marginWords(checker.document, pair, margin) }] : [];
  });
}

/** @param pair the report that the margin belongs to, of the same document */
function marginWords(document: Document, pair: PairReport, margin: PairMargin): MarginWords {
  const passes = pair.viewVerdict === 'pass' && pair.distanceVerdict === 'pass';
  return { room: roomWords(document, passes, margin), ...viewWords(document, pair, margin), mayMove: passes && margin.margin >= 0 ? atMost(margin.margin, document.facts.units) : null };
}

function roomWords(document: Document, passes: boolean, { margin, improves, setBy, entity }: PairMargin): string {
  const { units } = document.facts;
  const better = improves ? `; better ${directionWords(improves)}` : '';
  if (passes && margin >= 0) {
    const then = setBy === 'limit' ? 'it is too far' : `${entity === null ? 'something' : nameOf(document, entity)} is in the way`;
    return `handle may move ${atMost(margin, units)} before ${then}${better}`;
  }
  if (!passes && margin === -Infinity) return 'no place at this handle height is surely in sight of it';
  if (!passes && margin < 0) return `handle must move ${atLeast(Math.abs(margin), units)}${improves ? ` ${directionWords(improves)}` : ''} to be surely in sight of it`;
  // A long machine counts from its nearest point, a rule may have a least distance, and a close call is no more than the plan is sure of.
  return 'how far the handle may move is not given: more than the two lines decides here';
}

function viewWords(document: Document, pair: PairReport, { seen }: PairMargin): Pick<MarginWords, 'seen' | 'inView'> {
  const tag = nameOf(document, bodyOf(document, pair));
  const bothBlocked = pair.eyeLine?.state === 'blocked' && pair.bodyLine?.state === 'blocked';
  // A body line that is clear ends on something in view; a share of nothing would only be what rounding makes of it.
  if (seen === null || (seen <= 0 && !bothBlocked)) return { seen: `how much of ${tag} is in view is not given: that takes its outline and its top`, inView: null };
  if (seen <= 0) return { seen: `nothing of ${tag} is in plain view`, inView: 'nothing in view' };
  if (seen >= 1 - 1e-9) return { seen: `all of the face of ${tag} is in plain view`, inView: 'all in view' };
  const share = `${Math.min(99, Math.max(1, Math.round(seen * 100)))} %`;
  return { seen: `about ${share} of the face of ${tag} is in plain view`, inView: `${share} in view` };
}

/** The mark that the pair's lines end at: the load itself, its machine or its controller. */
function bodyOf(document: Document, { load, target }: Pick<PairReport, 'load' | 'target'>): Id {
  const entity = document.entities[load];
  if (entity?.kind !== 'load') return load;
  return (target === 'machine' ? entity.machine : target === 'controller' ? entity.controller : undefined) ?? load;
}

const EIGHTHS = ['to the right', 'down to the right', 'down', 'down to the left', 'to the left', 'up to the left', 'up', 'up to the right'] as const;

/** A plan direction as it is seen on the sheet: the plan's north is not known. */
export function directionWords({ x, y }: { readonly x: number; readonly y: number }): string {
  const eighth = Math.round(Math.atan2(y, x) / (Math.PI / 4));
  return `${EIGHTHS[(eighth + 8) % 8] ?? ''} on the sheet`;
}

/** Whole inches (centimetres), rounded down: room that is not there is never promised. */
function atMost(length: number, system: UnitSystem): string {
  const step = stepOf(system); const steps = Math.floor(length / step + 1e-9);
  return steps < 1 ? `less than ${system === 'metric' ? '1 cm' : '1 in.'}` : showLength(feet(steps * step), system, { finest: 1 });
}
/** The same rounded up: how far it has to go at least. */
function atLeast(length: number, system: UnitSystem): string {
  const step = stepOf(system);
  return showLength(feet(Math.max(1, Math.ceil(length / step - 1e-9)) * step), system, { finest: 1 });
}
const stepOf = (system: UnitSystem): number => (system === 'metric' ? 0.01 / METRES_PER_FOOT : 1 / 12);
