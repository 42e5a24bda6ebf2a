import type { Result } from '../code-data/index';
import type { Disconnect, Document, Load } from '../document/index';
import { feet, showLength } from '../units/index';
import { chooseRules, citationOf } from './choose-rules';
import { distanceToSegment } from './distance';
import { finding, servedLoads, step } from './finding';

/** How near the unit's face a handle must be to hang on it, feet. */
const ON_THE_FACE = 1;

interface Face { readonly edge: number; readonly along: number; readonly feetPerUnit: number }

/** A switch on the unit itself: not on a panel made for access, not over the nameplate. */
export function checkOnUnit(document: Document, disconnect: Disconnect): Result[] {
  if (disconnect.mount) return [];
  return servedLoads(document, disconnect).flatMap((load) => {
    const rule = chooseRules(load.data, document.facts.edition).find((r) => r.demands.includes('on-unit-placement'));
    const face = faceUnder(document, disconnect, load);
    if (!rule || !face) return [];
    const citations = [citationOf(rule, document.facts.edition, document.facts.jurisdiction)];
    const common = { check: 'reach.on-unit', citations, load };
    const size = disconnect.data.size;
    if (!load.reserved) {
      return [finding(disconnect, { ...common, verdict: 'judgement', title: `${disconnect.tag} hangs on ${load.tag}: its access panels and nameplate are not marked`, remedies: [`Mark the access panels and the nameplate on ${load.tag}.`] })];
    }
    if (!size) return [finding(disconnect, { ...common, verdict: 'incomplete', title: `${disconnect.tag} hangs on ${load.tag}: its size is not given`, missing: [`enclosure size of ${disconnect.tag}`] })];
    return [judgeFace(document, disconnect, load, face, size, common)];
  });
}

function judgeFace(document: Document, disconnect: Disconnect, load: Load, face: Face, size: NonNullable<Disconnect['data']['size']>, common: Pick<Parameters<typeof finding>[1], 'check' | 'citations' | 'load'>): Result {
  const centre = face.along * face.feetPerUnit; const height = disconnect.standing + disconnect.handleHeight;
  const overlaps = (load.reserved ?? []).filter((r) => r.edge === face.edge).map((r) => ({
    use: r.use,
    across: Math.min(centre + size.width / 2, r.to * face.feetPerUnit) - Math.max(centre - size.width / 2, r.from * face.feetPerUnit),
    up: Math.min(height + size.height / 2, r.top) - Math.max(height - size.height / 2, r.bottom),
  })).filter((o) => o.across > 0 && o.up > 0);
  const worst = overlaps.sort((a, b) => b.across - a.across)[0];
  if (!worst) return finding(disconnect, { ...common, verdict: 'pass', title: `${disconnect.tag} hangs on ${load.tag} clear of panels and nameplate; see the unit's instructions before drilling` });
  const what = worst.use === 'nameplate' ? 'the nameplate' : 'an access panel';
  return finding(disconnect, { ...common, verdict: 'fail', title: `${disconnect.tag} covers ${showLength(feet(worst.across), document.facts.units)} of ${what} of ${load.tag}`, remedies: [`Hang ${disconnect.tag} on a fixed part of ${load.tag}, or beside it.`],
    steps: [step('overlap', 'along the face and in height', worst.across, 'ft', [{ name: 'in height', value: worst.up, unit: 'ft', from: 'computed' }], 'own-reading')] });
}

/** The edge of the unit's outline that the handle hangs at, and how far along it. */
function faceUnder(document: Document, disconnect: Disconnect, load: Load): Face | null {
  const scale = document.sheets.find((s) => s.id === disconnect.sheet)?.scale;
  if (!scale || !load.outline || load.sheet !== disconnect.sheet) return null;
  let best: Face | null = null; let nearest = ON_THE_FACE / scale.feetPerUnit;
  load.outline.forEach((a, edge) => {
    const b = load.outline?.[(edge + 1) % load.outline.length] ?? a;
    const distance = distanceToSegment(disconnect.at, a, b);
    if (distance >= nearest) return;
    const length = Math.hypot(b.x - a.x, b.y - a.y) || 1;
    nearest = distance;
    best = { edge, along: ((disconnect.at.x - a.x) * (b.x - a.x) + (disconnect.at.y - a.y) * (b.y - a.y)) / length, feetPerUnit: scale.feetPerUnit };
  });
  return best;
}
