import { workingSpaceFigures } from '../code-data/index';
import type { Result } from '../code-data/index';
import { entitiesOf, scaleAt, scaleBetween } from '../document/index';
import type { Disconnect, Document, Id, Load, Machine, Obstruction, Point, Supply } from '../document/index';
import { cite } from './finding';
import { distanceToSegment, distanceUncertainty } from './distance';
import { listWords } from './names';
import { contains } from './pair-targets';

/** Half the footprint that equipment drawn as a point is taken to have, and its height; feet, our own reading. */
const HALF_FOOTPRINT = 0.5; const USUAL_HEIGHT = 6.5;

/** Anything drawn with a body: a person has said what it is, not whether it is foreign to the installation. */
type Body = Obstruction | Load | Machine;

/**
 * What is drawn in the space kept for panels and service equipment: their footprint from the floor to six feet above them.
 * A stand-alone motor disconnect is not in that list. A floor or platform that people stand on is structure and may be
 * there; whether anything else is foreign the plan does not say: judgement.
 */
export function checkDedicatedSpace(document: Document): Result[] {
  const owners: readonly (Supply | Disconnect)[] = [...entitiesOf(document, 'supply').filter((s) => s.role !== 'transformer'), ...entitiesOf(document, 'disconnect').filter((d) => d.data.serviceEquipment === true)];
  return owners.flatMap((owner): Result[] => {
    const known = scaleAt(document.sheets.find((s) => s.id === owner.sheet)?.scale, [owner.at]);
    if (!known) return [];
    const scale = scaleBetween(known, [owner]);
    const standing = owner.kind === 'disconnect' ? owner.standing : 0;
    const top = standing + USUAL_HEIGHT + workingSpaceFigures.dedicatedAbove.value;
    const half = owner.kind === 'disconnect' && owner.data.size ? Math.max(owner.data.size.width / 2, owner.data.size.depth, HALF_FOOTPRINT) : HALF_FOOTPRINT;
    const near = (half + distanceUncertainty(scale, half)) / scale.feetPerUnit;
    const inside = bodiesOn(document, owner.sheet).filter((b) => bottomOf(b) < top && topOf(b) > standing && isOver(b.outline ?? [], owner, near));
    const structure = inside.filter((b) => b.kind === 'obstruction' && b.walkable); const foreign = inside.filter((b) => !structure.includes(b));
    const over = structure.length > 0 ? `; ${listWords(structure.map(nameOf))} above it is structure` : '';
    const names = listWords(foreign.map(nameOf));
    return [{
      id: `space.dedicated/${owner.id}`, check: 'space.dedicated', verdict: foreign.length === 0 ? 'pass' : 'judgement',
      subject: { sheet: owner.sheet, ...(owner.kind === 'disconnect' ? { disconnect: owner.id, others: inside.map((o) => o.id) } : { others: [owner.id, ...inside.map((o) => o.id)] }) },
      title: foreign.length === 0 ? `${owner.tag}: nothing foreign drawn in the space kept above it${over}` : `${owner.tag}: ${names} in the space kept for it, from the floor to 6 ft above${over}`,
      remedies: foreign.length === 0 ? [] : [`Keep pipes, ducts and foreign equipment out of the footprint of ${owner.tag}, or confirm that ${names} belongs to the structure.`],
      missing: [], steps: [], citations: [{ ...cite(document.facts, 'GEN-SPACE'), text: 'NFPA 70 110.26(E)' }],
    }];
  });
}

const bodiesOn = (document: Document, sheet: Id): Body[] => [...entitiesOf(document, 'obstruction', sheet), ...entitiesOf(document, 'load', sheet), ...entitiesOf(document, 'machine', sheet)].filter((b) => b.outline !== undefined);
const nameOf = (b: Body): string => (b.kind === 'obstruction' ? b.label : b.tag);
const bottomOf = (b: Body): number => (b.kind === 'obstruction' ? b.bottom : Math.min(b.standing, b.height));
/** A body whose top is not given may reach any height. */
const topOf = (b: Body): number => (b.kind === 'obstruction' ? b.top : b.bodyTop ?? Number.POSITIVE_INFINITY);

function isOver(outline: readonly Point[], owner: Supply | Disconnect, near: number): boolean {
  return contains(outline, owner.at) || outline.some((a, i) => distanceToSegment(owner.at, a, outline[(i + 1) % outline.length] ?? a) < near);
}
