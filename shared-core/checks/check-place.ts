import type { Result } from '../code-data/index';
import type { Disconnect, Document, Id } from '../document/index';
import { finding } from './finding';
import { checkOnUnit } from './on-unit';
import { checkOverlaps } from './overlaps';
import { knownThere } from './known-there';
import type { ReadySheet } from './pair-view';
import { checkHandleHeight } from './reach-height';
import { checkReadyAccess, readyOther } from './ready-access';
import { checkSharing } from './sharing';
import { checkWorkingSpace } from './space-results';
import { checkSpecialRules } from './special-rules';
import type { PairReport } from './types';
import { checkWater } from './water';

/** Without the sheet itself no scale stands in the way: a check that needs it says so. */
function thereOf(document: Document, sheetOf: (sheet: Id) => ReadySheet, disconnect: Disconnect): { readonly document: Document; readonly sheetOf: (sheet: Id) => ReadySheet } {
  if (!document.sheets.find((s) => s.id === disconnect.sheet)?.scale?.areas) return { document, sheetOf };
  const there = knownThere(document, sheetOf(disconnect.sheet), disconnect);
  return { document: there.document, sheetOf: (id) => (id === disconnect.sheet ? there.sheet : sheetOf(id)) };
}

/** Every check of one disconnect that depends on place and is no sight line. Each stands alone: one that stops is incomplete. */
export function checkPlace(whole: Document, sheetAt: (sheet: Id) => ReadySheet, disconnect: Disconnect, pairsOf: (disconnect: Disconnect) => PairReport[]): Result[] {
  const { document, sheetOf } = thereOf(whole, sheetAt, disconnect);
  const checks: readonly (readonly [string, () => Result[]])[] = [
    ['reach.height', () => checkHandleHeight(document, disconnect, (load) => readyOther(document, sheetOf(disconnect.sheet), disconnect, load) !== undefined)],
    ['reach.access', () => checkReadyAccess(document, sheetOf(disconnect.sheet), disconnect)],
    ['space.depth', () => checkWorkingSpace(document, sheetOf(disconnect.sheet), disconnect)],
    ['reach.on-unit', () => checkOnUnit(document, disconnect)],
    ['place.overlap', () => checkOverlaps(document, sheetOf(disconnect.sheet), disconnect)],
    ['place.water', () => checkWater(document, sheetOf(disconnect.sheet), disconnect)],
    ['place.sharing', () => checkSharing(document, disconnect, disconnect.serves.length > 1 ? pairsOf(disconnect) : [])],
    ['place.rule', () => checkSpecialRules(document, sheetOf, disconnect)],
  ];
  return checks.flatMap(([check, run]) => {
    try {
      return run();
    } catch (fault) {
      const reason = fault instanceof Error ? fault.message : String(fault);
      return [finding(disconnect, { check: `${check}-stopped`, verdict: 'incomplete', title: `${disconnect.tag}: a check stopped (${reason})`, missing: [`a ${check} check of ${disconnect.tag} that can be finished`], citations: [] })];
    }
  });
}
