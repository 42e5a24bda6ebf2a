import { entitiesOf } from '../document/index';
import type { Disconnect, Document, Load, Sheet } from '../document/index';
import type { Result, Subject } from '../code-data/index';

/** What the document lacks or leaves loose: no rule is needed to see it. */
export function checkData(document: Document): Result[] {
  const loads = entitiesOf(document, 'load');
  const disconnects = entitiesOf(document, 'disconnect');
  const served = new Set(disconnects.flatMap((d) => d.serves));
  return [
    ...document.sheets.filter((sheet) => !sheet.scale && hasDevices(document, sheet)).map(withoutScale),
    ...loads.filter((load) => !load.at).map(unplaced),
    ...loads.flatMap((load) => outside(document, load)),
    ...loads.filter((load) => !served.has(load.id)).map(unserved),
    ...disconnects.filter((d) => d.serves.length === 0).map(servesNothing),
  ];
}

const finding = (id: string, check: string, subject: Subject, verdict: Result['verdict'], title: string, remedy: string, missing: readonly string[] = []): Result =>
  ({ id, check, subject, verdict, title, remedies: [remedy], missing, citations: [], steps: [] });

const hasDevices = (document: Document, sheet: Sheet): boolean => entitiesOf(document, 'disconnect', sheet.id).length + entitiesOf(document, 'load', sheet.id).length > 0;

const withoutScale = (sheet: Sheet): Result => finding(`data/scale/${sheet.id}`, 'data.scale', { sheet: sheet.id }, 'incomplete',
  `Sheet ${sheet.name} has no scale: no distance on it can be checked`, 'Set the scale by two points and a length, or by the drawing scale.', [`scale of sheet ${sheet.name}`]);

const unplaced = (load: Load): Result => finding(`data/place/${load.id}`, 'data.place', { load: load.id, sheet: load.sheet }, 'incomplete',
  `${load.tag} waits to be placed`, `Place ${load.tag} on the plan.`, [`place of ${load.tag} on the plan`]);

function outside(document: Document, load: Load): Result[] {
  const sheet = document.sheets.find((s) => s.id === load.sheet);
  if (!sheet || !load.at || (load.at.x >= 0 && load.at.y >= 0 && load.at.x <= sheet.width && load.at.y <= sheet.height)) return [];
  return [finding(`data/outside/${load.id}`, 'data.outside', { load: load.id, sheet: load.sheet }, 'incomplete', `${load.tag} lies outside sheet ${sheet.name}`,
    `Move ${load.tag} onto the sheet.`, [`place of ${load.tag} on the plan`])];
}

const unserved = (load: Load): Result => finding(`data/no-disconnect/${load.id}`, 'data.no-disconnect', { load: load.id, sheet: load.sheet }, 'fail',
  `No disconnect serves ${load.tag}`, `Place a disconnect for ${load.tag}, or let one that is there serve it.`);

const servesNothing = (disconnect: Disconnect): Result => finding(`data/serves/${disconnect.id}`, 'data.serves', { disconnect: disconnect.id, sheet: disconnect.sheet }, 'incomplete',
  `${disconnect.tag} serves no load`, `Say which loads ${disconnect.tag} isolates.`, [`loads that ${disconnect.tag} isolates`]);
