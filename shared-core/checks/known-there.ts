import { holdsAt } from '../document/index';
import type { Disconnect, Document } from '../document/index';
import type { ReadySheet } from './pair-view';

/** What is asked for where a sheet's scale does not reach. */
export const scaleWhere = (tag: string): string => `scale where ${tag} stands`;

/**
 * Document and sheet as they count where a disconnect stands: without a scale where the sheet's own is not known, so that each
 * check says what it says without one.
 */
export function knownThere(document: Document, sheet: ReadySheet, disconnect: Disconnect): { readonly document: Document; readonly sheet: ReadySheet } {
  const own = sheet.scene.sheet;
  if (!own.scale || own.id !== disconnect.sheet || holdsAt(own.scale, [disconnect.at])) return { document, sheet };
  const without = { ...own, scale: null, name: `${own.name} where ${disconnect.tag} stands` };
  return { document: { ...document, sheets: document.sheets.map((s) => (s.id === own.id ? without : s)) }, sheet: { scene: { ...sheet.scene, sheet: without }, index: null } };
}
