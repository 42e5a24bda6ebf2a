import type { Checker, PairReport } from '../../shared-core/checks/index';
import { elevationProfile } from '../../shared-core/sight/index';
import { bodyOf, joinPieces } from './elevation-model';
import type { Elevation } from './elevation-model';

/** How far behind the point it is seen at a body is still drawn, feet. */
const BEHIND_TARGET = 12;

/** A pair's report for exactly the checker's document, so that a height under the hand shows its own consequence; null when it is no pair of it. */
export function pairOf(checker: Checker, wanted: Pick<PairReport, 'disconnect' | 'load' | 'target'>): PairReport | null {
  const device = checker.document.entities[wanted.disconnect];
  if (device?.kind !== 'disconnect') return null;
  return checker.pairsOf(device).find((p) => p.load === wanted.load && p.target === wanted.target) ?? null;
}

/** The pair's sight line with everything that stands in its upright plane; null while the sheet has no scale or a line was not drawn. */
export function elevationOf(checker: Checker, pair: PairReport): Elevation | null {
  const { document } = checker;
  const device = document.entities[pair.disconnect];
  const line = pair.eyeLine ?? pair.bodyLine;
  if (!device || !line || !document.sheets.some((s) => s.id === device.sheet)) return null;
  const { scene, index } = checker.sheetOf(device.sheet);
  if (!index) return null;
  const profile = elevationProfile(index, line.handle, line.target);
  const { handle, target } = line;
  const beyond = profile.length > 0 ? 1 + BEHIND_TARGET / profile.length : 1;
  // The body that the line ends in is shown whole, not cut in two where the line ends.
  const own = bodyOf(document, pair);
  const whole = elevationProfile(index, handle, { ...target, x: handle.x + (target.x - handle.x) * beyond, y: handle.y + (target.y - handle.y) * beyond });
  const cuts = [...profile.cuts.filter((cut) => scene.owners.get(cut.obstacle)?.entity !== own), ...whole.cuts.filter((cut) => scene.owners.get(cut.obstacle)?.entity === own)];
  const pieces = cuts.flatMap((cut) => {
    const owner = scene.owners.get(cut.obstacle);
    return owner ? [{ entity: owner.entity, ...(owner.opening === undefined ? {} : { opening: owner.opening }), from: cut.from, to: cut.to, bottom: cut.bottom, top: cut.top, transmission: cut.transmission }] : [];
  });
  return { pair, length: profile.length, handle: line.handle.z, eye: pair.eyeLine?.target.z ?? null, body: pair.bodyLine?.target.z ?? null, pieces: joinPieces(pieces) };
}
