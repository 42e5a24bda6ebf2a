import type { PairReport } from '../checks/index';
import type { Confidence } from '../code-data/index';
import type { Document, Id, Scale } from '../document/index';
import { METRES_PER_FOOT, feet, showDistanceAgainst, showLength } from '../units/index';
import type { UnitSystem } from '../units/index';
import type { LineState } from './lines';

/** How far a figure can be trusted, in words; a confirmed one needs none. */
export const CONFIDENCE_WORDS: Readonly<Record<Confidence, string>> = {
  confirmed: '', memory: 'from memory, check before use', disputed: 'sources differ', typical: 'typical value', 'own-reading': 'our own reading',
};

/** What a person calls an entity in a table or on the drawing. */
export function nameOfEntity(document: Document, id: Id): string {
  const e = Object.hasOwn(document.entities, id) ? document.entities[id] : undefined;
  if (!e) return 'no longer in the project';
  if (e.kind === 'wall') return e.material === 'mesh' ? 'mesh guard' : e.material === 'glazed' ? 'glazed wall' : 'wall';
  if (e.kind === 'obstruction' || e.kind === 'area') return e.label === '' ? e.kind : e.label;
  return 'tag' in e ? e.tag : e.kind;
}

const list = (words: readonly string[]): string => [...new Set(words)].join(' and ');

/** What stands beside a sight line on the drawing: its length, and what is wrong with it. */
export function labelOfLine(document: Document, pair: PairReport, state: LineState): string {
  const system = document.facts.units;
  if (pair.distance === null) return 'not measured';
  const length = showDistanceAgainst(pair.distance, pair.limit, system);
  const meets = [...(pair.eyeLine?.meets ?? []), ...(pair.bodyLine?.meets ?? [])];
  const words: string[] = [length];
  if (pair.distanceVerdict === 'fail' && pair.distance > pair.limit) words.push(`${showLength(feet(pair.distance - pair.limit), system, { finest: 1 })} too far`);
  else if (pair.distanceVerdict === 'marginal') words.push(`${plusMinus(pair.uncertainty, system)}, limit ${showLength(pair.limit, system, { finest: 1 })}`);
  if (state === 'blocked') {
    const hiding = list(meets.filter((m) => m.transmission === 'opaque').map((m) => leafWords(document, m.entity, m.opening) ?? nameOfEntity(document, m.entity)));
    words.push(hiding === '' ? 'not in sight' : `behind ${hiding}`);
  } else if (state === 'doubtful') {
    const partly = meets.some((m) => m.transmission === 'opaque');
    const through = list(meets.filter((m) => m.transmission === 'glazed' || m.transmission === 'leaf').map((m) => leafWords(document, m.entity, m.opening) ?? (m.transmission === 'glazed' ? 'glass' : nameOfEntity(document, m.entity))));
    words.push(through !== '' ? `through ${through}` : partly ? 'seen in part' : 'doubtful');
  }
  return words.join(', ');
}

function leafWords(document: Document, entity: Id, opening: Id | undefined): string | null {
  const wall = document.entities[entity];
  if (wall?.kind !== 'wall' || opening === undefined) return null;
  switch (wall.openings.find((o) => o.id === opening)?.leaf) {
    case 'closed': return 'a closed door';
    case 'normally-open': return 'a door not always open';
    case 'vision-panel': return "a door's vision panel";
    case 'glazed': return 'glass';
    default: return null;
  }
}

/** '+-2"' in the project's units; what is below a sixteenth of an inch or a millimetre is not shown as zero. */
export function plusMinus(uncertainty: number, system: UnitSystem): string {
  if (system === 'metric') return `±${Math.max(1, Math.round(uncertainty * METRES_PER_FOOT * 1000))} mm`;
  const inches = uncertainty * 12;
  return `±${inches < 1 ? String(Math.max(0.1, Math.round(inches * 10) / 10)) : String(Math.round(inches * 2) / 2)}"`;
}

/** Inches of paper per foot of ground that drawings are made at, with their words. */
const ARCHITECT: readonly (readonly [number, string])[] = [
  [12, '1" = 1\'-0"'], [16, '3/4" = 1\'-0"'], [24, '1/2" = 1\'-0"'], [32, '3/8" = 1\'-0"'], [48, '1/4" = 1\'-0"'], [64, '3/16" = 1\'-0"'], [96, '1/8" = 1\'-0"'], [128, '3/32" = 1\'-0"'],
  [192, '1/16" = 1\'-0"'], [120, '1" = 10\''], [240, '1" = 20\''], [360, '1" = 30\''], [480, '1" = 40\''], [600, '1" = 50\''],
];
const METRIC = [10, 20, 25, 50, 75, 100, 125, 150, 200, 250, 500, 1000];

/** The scale in drawing terms: a common scale where the measured one is that within its uncertainty, else the plain figures. */
export function paperScaleWords(scale: Scale, pointsPerUnit: number, paperKnown: boolean, system: UnitSystem): string {
  if (!paperKnown) return 'not to a paper scale';
  const ratio = (scale.feetPerUnit * 12 * 72) / pointsPerUnit;
  const near = (nominal: number): boolean => Math.abs(ratio / nominal - 1) <= Math.max(scale.relativeUncertainty, 0.002);
  if (system === 'metric') { const found = METRIC.find(near); return `1:${found ?? Number(ratio.toFixed(1))}`; }
  const found = ARCHITECT.find(([nominal]) => near(nominal));
  return found ? found[1] : `1" = ${(ratio / 12).toFixed(2)} ft`;
}
