import { facingVector } from '../checks/index';
import type { Checker, PairReport } from '../checks/index';
import type { Disconnect } from '../document/index';
import { nearestOnEdge } from '../geometry/index';
import type { AllowedRegion } from '../sight/index';
import { feet } from '../units/index';
import type { Feet } from '../units/index';

export type TermName = 'distance' | 'sight-margin' | 'route' | 'clear-space' | 'height';

/** One visible reason for a place: what was measured, how good that is from 0 to 1, and how much it weighs. */
export interface ScoreTerm { readonly name: TermName; readonly value: number; readonly unit: string; readonly good: number; readonly weight: number }

/** How much each term counts; a person may change them, only their proportions matter. */
export type Weights = Readonly<Record<TermName, number>>;
export const usualWeights: Weights = { distance: 3, 'sight-margin': 3, route: 2, 'clear-space': 2, height: 1 };

/** Values at which a term is as good as it gets, or as bad; feet, our own choice. */
const FULL_MARGIN = 5; const FULL_SLACK = 2; const LONG_ROUTE = 150; const HANDY = { from: 3.5, to: 5.5, reach: 3 };

/** Terms with what each counts, and their weighed mean, 0 to 1. */
export interface Score { readonly total: number; readonly terms: readonly ScoreTerm[] }

/** Scores one place that has passed its checks. */
export function scorePlace(checker: Checker, disconnect: Disconnect, pairs: readonly PairReport[], region: AllowedRegion, weights: Weights): Score {
  const feetPerUnit = checker.sheetOf(disconnect.sheet).index?.feetPerUnit ?? 1;
  const share = Math.max(0, ...pairs.map((pair) => (pair.distance ?? pair.limit) / pair.limit));
  const farthest = Math.max(0, ...pairs.map((pair) => pair.distance ?? 0));
  const margin = marginIn(region, disconnect, ALONG_FACE / feetPerUnit) * feetPerUnit;
  const route = routeLength(checker, disconnect);
  const room = checker.roomAt(disconnect);
  const slack = room ? room.slack ?? FULL_SLACK : 0;
  const height = disconnect.handleHeight;
  const away = Math.max(0, HANDY.from - height, height - HANDY.to);
  const term = (name: TermName, value: number, good: number): ScoreTerm => ({ name, value, unit: 'ft', good: Math.max(0, Math.min(1, good)), weight: weights[name] });
  const terms = [term('distance', farthest, 1 - share), term('sight-margin', margin, margin / FULL_MARGIN), term('route', route, 1 - route / LONG_ROUTE),
    term('clear-space', slack, slack / FULL_SLACK), term('height', height, 1 - away / HANDY.reach)];
  return weigh(terms, weights);
}

/** The same measures with other weights. Without any weight all places are worth the same. */
export function weigh(terms: readonly ScoreTerm[], weights: Weights): Score {
  const weighed = terms.map((t) => ({ ...t, weight: Math.max(0, weights[t.name]) }));
  const weight = weighed.reduce((sum, t) => sum + t.weight, 0);
  return { terms: weighed, total: weight > 0 ? weighed.reduce((sum, t) => sum + t.good * t.weight, 0) / weight : 0 };
}

/** Feet off the face within which an edge of the region is the wall's own. */
const ALONG_FACE = 0.25;

/**
 * How far the place is from the edge of the region it lies in, sheet units: how far it may move before something is lost.
 * What hangs on a wall moves along it only, so the face itself is no edge.
 */
function marginIn(region: AllowedRegion, { at, facing, mount }: Disconnect, alongFace: number): number {
  const { x, y } = facingVector(facing);
  const isFace = (ex: number, ey: number): boolean => Math.abs((ex - at.x) * x + (ey - at.y) * y) <= alongFace;
  let nearest = Number.POSITIVE_INFINITY;
  for (const outline of region.outlines) for (const edge of outline) {
    if (mount && isFace(edge.x1, edge.y1) && isFace(edge.x2, edge.y2)) continue;
    nearest = Math.min(nearest, nearestOnEdge(edge, at.x, at.y).distance);
  }
  return Number.isFinite(nearest) ? nearest : 0;
}

/** Along walls and ceilings, so at right angles: from what feeds it, where that is drawn, and on to each load. */
function routeLength(checker: Checker, disconnect: Disconnect): Feet {
  const { document } = checker;
  const feetPerUnit = checker.sheetOf(disconnect.sheet).index?.feetPerUnit ?? 1;
  const fed = disconnect.data.fedFrom === undefined ? undefined : document.entities[disconnect.data.fedFrom];
  const ends = [...(fed && (fed.kind === 'supply' || fed.kind === 'disconnect') && fed.sheet === disconnect.sheet ? [fed.at] : []),
    ...disconnect.serves.flatMap((id) => { const load = document.entities[id]; return load?.kind === 'load' && load.at ? [load.at] : []; })];
  return feet(ends.reduce((sum, end) => sum + (Math.abs(end.x - disconnect.at.x) + Math.abs(end.y - disconnect.at.y)) * feetPerUnit, 0));
}
