import { scaleAt, scaleBetween } from '../document/index';
import type { Disconnect, Document, Id, Point } from '../document/index';
import type { SpacePoint } from '../sight/index';
import { feet } from '../units/index';
import type { Feet } from '../units/index';
import { limitOf } from './check-view';
import { figureOf, inFeet } from './choose-rules';
import { distanceUncertainty } from './distance';
import type { PairTarget } from './pair-targets';
import type { ReadySheet } from './pair-view';
import type { TargetKind } from './types';

/** What a handle must see of one target: the standing eye and the thing itself, within a distance that surely passes. */
export interface SightTarget {
  readonly load: Id;
  readonly kind: TargetKind;
  readonly eye: SpacePoint;
  readonly body: SpacePoint;
  /** From the body point: the limit less what the plan is not sure of. */
  readonly limit: Feet;
  /** Least distance that surely passes, where the rule has one, from the body's height and the nearest of these points. */
  readonly minimum: { readonly distance: Feet; readonly from: readonly Point[] } | null;
  /** Obstacles that are the target itself. */
  readonly own: readonly string[];
  /** Its sides, to say how much of them is in view; null while the plan gives no outline or no top. */
  readonly sides: { readonly outline: readonly Point[]; readonly bottom: Feet; readonly top: Feet } | null;
}

/** The points of one target, or nothing while it is not placed on this sheet or the sheet's scale is not known there. */
export function sightTarget(document: Document, sheet: ReadySheet, disconnect: Disconnect, load: Id, target: PairTarget): SightTarget[] {
  const { body } = target;
  if (!body?.at || body.sheet !== sheet.scene.sheet.id) return [];
  const known = scaleAt(sheet.scene.sheet.scale, [body.at, ...body.outline ?? []]);
  if (!known) return [];
  const scale = scaleBetween(known, [disconnect, body]);
  const printed = limitOf(target.rule, document.facts.jurisdiction);
  const usual = figureOf(document.facts, [`${target.rule.id}.distance`, 'within-sight.distance'], printed.contested?.atMost ?? printed.atMost);
  const limit = Math.min(usual.value, printed.contested ? inFeet(printed.contested.atMost) : usual.value);
  const least = printed.atLeast ? figureOf(document.facts, [`${target.rule.id}.minimum-distance`], printed.atLeast).value : null;
  const { x, y } = body.at;
  return [{
    load, kind: target.kind, eye: { x, y, z: feet(body.standing + document.facts.defaults.eyeHeight) }, body: { x, y, z: body.height },
    limit: feet(limit - distanceUncertainty(scale, limit)), minimum: least === null ? null : { distance: feet(least + distanceUncertainty(scale, least)), from: body.outline && target.kind !== 'motor' && target.kind !== 'controller' ? [...body.outline, body.at] : [body.at] }, own: body.own.flatMap((id) => sheet.scene.obstaclesOf.get(id) ?? []),
    sides: body.outline && body.bodyTop !== undefined ? { outline: body.outline, bottom: feet(Math.min(body.standing, body.height)), top: body.bodyTop } : null,
  }];
}
