import type { Result, Verdict } from '../code-data/index';
import { entitiesOf } from '../document/index';
import type { Controller, Disconnect, Document, Id, Load, Machine, Point, Supply } from '../document/index';
import { feet, showLength } from '../units/index';
import { distanceToSegment } from './distance';
import { cite, finding } from './finding';
import { listWords, nameOf } from './names';
import { contains } from './pair-targets';
import type { ReadySheet } from './pair-view';
import { areaOf, clipToBox, extentOf, extentWithin, toLocal, toPlan } from './space-frame';
import type { Extent, Frame, Local } from './space-frame';
import { ROUNDING, boxOfEnclosure, frameOf, planOf } from './space-surroundings';

/** Marks of equipment drawn as points nearer than this, feet, are one on top of the other whatever their size; our own reading. */
const ON_TOP = 0.25;
/** Enclosures whose size is not given may meet when their marks are nearer than this, feet: as wide as small ones are. */
const MAY_MEET = 1;
/** How far inside a body's face a switch on the unit may be drawn, feet. */
const ON_THE_FACE = 1;

/** What a device is drawn into: said at once, because nothing can be built there and every other check takes its place for real. */
export function checkOverlaps(document: Document, sheet: ReadySheet, disconnect: Disconnect): Result[] {
  const frame = frameOf(document, disconnect, disconnect.data.size?.depth ?? 0);
  if (!frame || !sheet.index) return [];
  const found = [...solidsAround(document, sheet, disconnect, frame), ...devicesAt(document, disconnect, frame)];
  const worst = found.sort((a, b) => ORDER.indexOf(a.verdict) - ORDER.indexOf(b.verdict))[0];
  if (!worst) return [];
  const same = found.filter((f) => f.verdict === worst.verdict); const names = listWords(same.map((f) => nameOf(document, f.entity)));
  const common = { check: 'place.overlap', citations: [cite(document.facts, 'GEN-SPACE')], others: same.map((f) => f.entity), verdict: worst.verdict };
  if (worst.verdict === 'incomplete') return [finding(disconnect, { ...common, title: `${disconnect.tag} may be drawn into ${names}: an enclosure's size is not given`, missing: [`enclosure sizes of ${listWords([disconnect.tag, ...same.map((f) => nameOf(document, f.entity))])}`] })];
  if (worst.verdict === 'judgement') return [finding(disconnect, { ...common, title: `${disconnect.tag} hangs over ${names}, whose top is not given`, remedies: [`Give the top of ${names}, or move ${disconnect.tag}.`] })];
  const deep = Math.max(...same.map((f) => f.deep));
  return [finding(disconnect, { ...common, title: `${disconnect.tag} is drawn into ${names}${deep > 0 ? ` by ${showLength(feet(deep), document.facts.units)}` : ''}`, remedies: [`Move ${disconnect.tag} clear of ${names}.`] })];
}

interface Overlap { readonly entity: Id; readonly verdict: Verdict; /** Feet; 0 where marks are points. */ readonly deep: number }
const ORDER: readonly Verdict[] = ['fail', 'judgement', 'incomplete'];

/** Walls and obstructions that its enclosure cuts into, bodies of equipment that it stands inside of. Its own wall carries it. */
function solidsAround(document: Document, sheet: ReadySheet, disconnect: Disconnect, frame: Frame): Overlap[] {
  const { scene, index } = sheet; const { mount } = disconnect;
  const slack = Math.max(ROUNDING, (scene.sheet.scale?.pickUncertainty ?? 0) * frame.feetPerUnit, HAIR);
  const own = new Set(mount ? scene.obstaclesOf.get(`${mount.wall}/${mount.segment}`) ?? [] : []);
  const box = boxOfEnclosure(disconnect.data.size, slack); const z = disconnect.standing + disconnect.handleHeight;
  const half = Math.max(0, (disconnect.data.size?.height ?? 0) / 2 - slack);
  const reach = (Math.max(Math.abs(box.u1), Math.abs(box.v1)) + slack) / frame.feetPerUnit;
  const { x, y } = frame.origin; const { at } = disconnect;
  return (index?.obstaclesIn(Math.min(x, at.x) - reach, Math.min(y, at.y) - reach, Math.max(x, at.x) + reach, Math.max(y, at.y) + reach) ?? []).flatMap((obstacle): Overlap[] => {
    const owner = scene.owners.get(obstacle.id);
    if (!owner || own.has(obstacle.id) || z + half <= obstacle.bottom || z - half >= obstacle.top) return [];
    const polygon = planOf(obstacle).map(([px, py]) => toLocal(frame, px, py));
    const entity = document.entities[owner.entity];
    if (entity?.kind === 'load' || entity?.kind === 'machine') {
      const deep = depthInside(document, entity, at, frame.feetPerUnit);
      if (deep <= (isServed(document, disconnect, entity) ? ON_THE_FACE : slack) || z <= obstacle.bottom || z >= obstacle.top) return [];
      return [{ entity: owner.entity, verdict: owner.heightAssumed ? 'judgement' : 'fail', deep: owner.heightAssumed ? 0 : deep }];
    }
    // A joint closes the corner of the wall it hangs on and has no width of its own to stand in.
    if (mount && owner.entity === mount.wall && obstacle.shape.type === 'polygon') return [];
    const cut = disconnect.data.size ? extentWithin(polygon, box.u1, box.v1, box.u2, box.v2) : extentOf(clipToBox(polygon, box.u1, box.v1, box.u2, box.v2));
    if (!cut || cut.u2 <= box.u1 || cut.u1 >= box.u2 || cut.v2 <= box.v1 || cut.v1 >= box.v2) return [];
    // A handle of unknown enclosure is inside when all of the little box around it is.
    if (!disconnect.data.size && areaOf(clipToBox(polygon, box.u1, box.v1, box.u2, box.v2)) < (1 - 1e-6) * 4 * slack * slack) return [];
    const whole = boxOfEnclosure(disconnect.data.size, 0);
    return [{ entity: owner.entity, verdict: 'fail', deep: disconnect.data.size ? leastOf(extentWithin(polygon, whole.u1, whole.v1, whole.u2, whole.v2)) : 0 }];
  });
}

/** A sixteenth of an inch, in feet: what is drawn face to face is not drawn into each other. */
const HAIR = 1 / 192;

const isServed = (document: Document, disconnect: Disconnect, body: Load | Machine): boolean => disconnect.serves.some((id) => { const load = document.entities[id]; return id === body.id || (load?.kind === 'load' && load.machine === body.id); });

/** How far inside a body's outline a point lies, feet; negative outside. */
function depthInside(document: Document, { outline }: Load | Machine, at: Point, feetPerUnit: number): number {
  if (!outline) return -1;
  const edge = Math.min(...outline.map((a, i) => distanceToSegment(at, a, outline[(i + 1) % outline.length] ?? a))) * feetPerUnit;
  return contains(outline, at) ? edge : -edge;
}

type Equipment = Disconnect | Supply | Controller;

/** Other equipment drawn as marks: enclosures of known size by their boxes, the rest by their marks. */
function devicesAt(document: Document, disconnect: Disconnect, frame: Frame): Overlap[] {
  return (['disconnect', 'supply', 'controller'] as const).flatMap((kind) => entitiesOf(document, kind, disconnect.sheet)).flatMap((other: Equipment): Overlap[] => {
    if (other.id === disconnect.id) return [];
    const apart = Math.hypot(other.at.x - disconnect.at.x, other.at.y - disconnect.at.y) * frame.feetPerUnit;
    if (other.kind !== 'disconnect') return apart < ON_TOP ? [{ entity: other.id, verdict: 'fail', deep: 0 }] : [];
    const rise = Math.abs(other.standing + other.handleHeight - disconnect.standing - disconnect.handleHeight);
    const { size } = disconnect.data; const theirs = other.data.size;
    if (size && theirs) {
      const deep = rise < (size.height + theirs.height) / 2 - HAIR ? depthOfOverlap(document, disconnect, other, frame) : 0;
      return deep > 0 ? [{ entity: other.id, verdict: 'fail', deep }] : [];
    }
    // On the two sides of one wall they hang back to back, a wall's thickness apart.
    if (disconnect.mount && other.mount?.wall === disconnect.mount.wall && isTurnedAway(disconnect, other)) return [];
    if (apart < ON_TOP && rise < MAY_MEET) return [{ entity: other.id, verdict: 'fail', deep: 0 }];
    return apart < MAY_MEET && rise < MAY_MEET ? [{ entity: other.id, verdict: 'incomplete', deep: 0 }] : [];
  });
}

const isTurnedAway = (a: Disconnect, b: Disconnect): boolean => Math.cos(((a.facing - b.facing) * Math.PI) / 180) < 0;

/** Least width of what two enclosures have in common, seen from the first one's front; 0 when they only touch. */
function depthOfOverlap(document: Document, disconnect: Disconnect, other: Disconnect, frame: Frame): number {
  const front = frameOf(document, other, other.data.size?.depth ?? 0);
  if (!front) return 0;
  const common = (slack: number): Extent | null => {
    const box = boxOfEnclosure(disconnect.data.size, slack); const their = boxOfEnclosure(other.data.size, slack);
    const corners: Local[] = [[their.u1, their.v1], [their.u2, their.v1], [their.u2, their.v2], [their.u1, their.v2]];
    return extentWithin(corners.map((c) => { const p = toPlan(front, c); return toLocal(frame, p.x, p.y); }), box.u1, box.v1, box.u2, box.v2);
  };
  return common(HAIR) ? leastOf(common(0)) : 0;
}

const leastOf = (cut: Extent | null): number => (cut ? Math.min(cut.u2 - cut.u1, cut.v2 - cut.v1) : 0);

/** Panels and controllers drawn one on top of the other, for the whole document: they are no disconnects with checks of their own. */
export function checkPanelOverlaps(document: Document): Result[] {
  return document.sheets.flatMap((sheet): Result[] => {
    if (!sheet.scale) return [];
    const near = ON_TOP / sheet.scale.feetPerUnit;
    const marks: readonly (Supply | Controller)[] = [...entitiesOf(document, 'supply', sheet.id), ...entitiesOf(document, 'controller', sheet.id)];
    return marks.flatMap((a, i) => marks.slice(i + 1).filter((b) => Math.hypot(a.at.x - b.at.x, a.at.y - b.at.y) < near).map((b): Result => ({
      id: `place.overlap/${a.id}/${b.id}`, check: 'place.overlap', verdict: 'fail', subject: { sheet: sheet.id, others: [a.id, b.id] }, title: `${a.tag} and ${b.tag} are drawn one on top of the other`,
      remedies: [`Move ${b.tag} to where it stands.`], missing: [], steps: [], citations: [cite(document.facts, 'GEN-SPACE')],
    })));
  });
}
