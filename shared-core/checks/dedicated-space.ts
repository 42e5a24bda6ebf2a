import { workingSpaceFigures } from '../code-data/index';
import type { Result } from '../code-data/index';
import { entitiesOf } from '../document/index';
import type { Disconnect, Document, Obstruction, Supply } from '../document/index';
import { cite } from './finding';
import { distanceToSegment } from './distance';
import { listWords } from './names';
import { contains } from './pair-targets';

/** Half the footprint that equipment drawn as a point is taken to have, and its height; feet, our own reading. */
const HALF_FOOTPRINT = 0.5; const USUAL_HEIGHT = 6.5;

/**
 * What is drawn in the space kept for panels and service equipment: their footprint from the floor to six feet above them.
 * A stand-alone motor disconnect is not in that list. Whether a thing is foreign or structure the plan does not say: judgement.
 */
export function checkDedicatedSpace(document: Document): Result[] {
  const owners: readonly (Supply | Disconnect)[] = [...entitiesOf(document, 'supply').filter((s) => s.role !== 'transformer'), ...entitiesOf(document, 'disconnect').filter((d) => d.data.serviceEquipment === true)];
  return owners.flatMap((owner): Result[] => {
    const scale = document.sheets.find((s) => s.id === owner.sheet)?.scale;
    if (!scale) return [];
    const standing = owner.kind === 'disconnect' ? owner.standing : 0;
    const top = standing + USUAL_HEIGHT + workingSpaceFigures.dedicatedAbove.value;
    const near = HALF_FOOTPRINT / scale.feetPerUnit;
    const inside = entitiesOf(document, 'obstruction', owner.sheet).filter((o) => o.bottom < top && o.top > standing && isOver(o, owner, near));
    const names = listWords(inside.map((o) => o.label));
    return [{
      id: `space.dedicated/${owner.id}`, check: 'space.dedicated', verdict: inside.length === 0 ? 'pass' : 'judgement',
      subject: { sheet: owner.sheet, ...(owner.kind === 'disconnect' ? { disconnect: owner.id, others: inside.map((o) => o.id) } : { others: [owner.id, ...inside.map((o) => o.id)] }) },
      title: inside.length === 0 ? `${owner.tag}: nothing drawn in the space kept above it` : `${owner.tag}: ${names} in the space kept for it, from the floor to 6 ft above`,
      remedies: inside.length === 0 ? [] : [`Keep pipes, ducts and foreign equipment out of the footprint of ${owner.tag}, or confirm that ${names} belongs to the structure.`],
      missing: [], steps: [], citations: [{ ...cite(document.facts, 'GEN-SPACE'), text: 'NFPA 70 110.26(E)' }],
    }];
  });
}

function isOver(o: Obstruction, owner: Supply | Disconnect, near: number): boolean {
  return contains(o.outline, owner.at) || o.outline.some((a, i) => distanceToSegment(owner.at, a, o.outline[(i + 1) % o.outline.length] ?? a) < near);
}
