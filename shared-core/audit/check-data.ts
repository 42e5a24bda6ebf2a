import { amendableValues, faultOfAmendment, isLooseOpening } from '../checks/index';
import { contradiction, entitiesOf, holdsAt, planTitle } from '../document/index';
import type { Disconnect, Document, Load, Obstruction, Sheet, Wall } from '../document/index';
import type { Result, Subject } from '../code-data/index';

/** What the document lacks or leaves loose: no rule is needed to see it. */
export function checkData(document: Document): Result[] {
  const loads = entitiesOf(document, 'load');
  const disconnects = entitiesOf(document, 'disconnect');
  const served = new Set(disconnects.flatMap((d) => d.serves));
  return [
    ...amendments(document),
    ...document.sheets.filter((sheet) => !sheet.scale && hasDevices(document, sheet)).map(withoutScale),
    ...document.sheets.flatMap(statedAgainstPicks),
    ...document.sheets.flatMap((sheet) => beyondScale(document, sheet)),
    ...document.sheets.filter((sheet) => isEmptySpace(document, sheet)).map(emptySpace),
    ...[...entitiesOf(document, 'wall'), ...entitiesOf(document, 'obstruction')].filter((body) => body.top === body.bottom).map(withoutHeight),
    ...entitiesOf(document, 'wall').flatMap((wall) => looseOpenings(wall)),
    ...loads.filter((load) => !load.at).map(unplaced),
    ...loads.flatMap((load) => outside(document, load)),
    ...loads.filter((load) => !served.has(load.id)).map(unserved),
    ...disconnects.filter((d) => d.serves.length === 0).map(servesNothing),
    ...document.sheets.flatMap((sheet) => notLookedOver(document, sheet)),
  ];
}

const finding = (id: string, check: string, subject: Subject, verdict: Result['verdict'], title: string, remedy: string, missing: readonly string[] = []): Result =>
  ({ id, check, subject, verdict, title, remedies: [remedy], missing, citations: [], steps: [] });

/** An amendment that replaces nothing is worse than none: whoever wrote it believes that it counts. */
function amendments(document: Document): Result[] {
  const { overrides } = document.facts;
  if (overrides.length === 0) return [];
  const known = new Map(amendableValues(document.facts).map((value) => [value.key, value]));
  return overrides.flatMap((override, at) => {
    const value = known.get(override.key);
    const first = overrides.findIndex((o) => o.key === override.key);
    const fault = first < at ? 'another amendment replaces the same value, and that one counts' : faultOfAmendment(override, value);
    const name = value?.name ?? override.key;
    return fault === null ? [] : [finding(`data/amendment/${override.id}`, 'data.amendment', {}, 'incomplete', `Local amendment '${name}': ${fault}`, 'Mend it in the project facts, or remove it there.', [`a local amendment '${name}' that can be used`])];
  });
}

const hasDevices = (document: Document, sheet: Sheet): boolean => entitiesOf(document, 'disconnect', sheet.id).length + entitiesOf(document, 'load', sheet.id).length > 0;

const withoutScale = (sheet: Sheet): Result => finding(`data/scale/${sheet.id}`, 'data.scale', { sheet: sheet.id }, 'incomplete',
  `Sheet ${sheet.name} has no scale: no distance on it can be checked`, 'Set the scale by two points and a length, or by the drawing scale.', [`scale of sheet ${sheet.name}`]);

/** A drawing scale and lengths that say different things: one of them is read wrongly, and every distance hangs on it. */
function statedAgainstPicks(sheet: Sheet): Result[] {
  const off = sheet.scale ? contradiction(sheet.scale) : null;
  if (off === null || !sheet.scale?.stated) return [];
  return [finding(`data/scale-stated/${sheet.id}`, 'data.scale', { sheet: sheet.id }, 'incomplete',
    `On sheet ${sheet.name} the picked lengths make everything ${(100 * Math.abs(off)).toFixed(1)} % ${off > 0 ? 'longer' : 'shorter'} than the stated scale ${sheet.scale.stated.typed}`,
    'Pick another length, check what was typed, or set the drawing scale again if the lengths were wrong.', [`one scale of sheet ${sheet.name}`])];
}

/** Marks where the sheet's scale does not reach: another view of the page, drawn to another scale. */
function beyondScale(document: Document, sheet: Sheet): Result[] {
  const { scale } = sheet;
  if (!scale?.areas) return [];
  const marks = [...entitiesOf(document, 'disconnect', sheet.id), ...entitiesOf(document, 'load', sheet.id), ...entitiesOf(document, 'machine', sheet.id), ...entitiesOf(document, 'controller', sheet.id), ...entitiesOf(document, 'supply', sheet.id)]
    .filter((mark) => mark.at && !holdsAt(scale, [mark.at]));
  const [first] = marks;
  if (!first) return [];
  const names = marks.length > 3 ? `${first.tag} and ${marks.length - 1} others` : marks.map((mark) => mark.tag).join(', ');
  return [finding(`data/scale-part/${sheet.id}`, 'data.scale', { sheet: sheet.id, others: marks.map((mark) => mark.id) }, 'incomplete',
    `On sheet ${sheet.name} the scale holds in one part only, and ${names} ${marks.length > 1 ? 'stand' : 'stands'} outside it: no distance there can be checked`,
    'Bring that part in as a sheet of its own and set its scale there, or say in the Scale step that it holds on the whole sheet.', [`scale of sheet ${sheet.name} where ${names} ${marks.length > 1 ? 'stand' : 'stands'}`])];
}

/** Lines of sight across a sheet on which nothing was marked are clear for no reason: a person must say that it is so. */
function isEmptySpace(document: Document, sheet: Sheet): boolean {
  return !sheet.openGround && entitiesOf(document, 'disconnect', sheet.id).length > 0
    && entitiesOf(document, 'wall', sheet.id).length + entitiesOf(document, 'obstruction', sheet.id).length === 0;
}

const emptySpace = (sheet: Sheet): Result => finding(`data/space/${sheet.id}`, 'data.space', { sheet: sheet.id }, 'incomplete',
  `Sheet ${sheet.name} has no walls or obstructions: its sight lines cross open floor only`, 'Mark what stands on the sheet, or say in the Plan step that it shows open ground.', [`walls and obstructions of sheet ${sheet.name}`]);

/** A height of nothing hides nothing, which is seldom what was meant. */
function withoutHeight(body: Wall | Obstruction): Result {
  const name = body.kind === 'wall' || body.label === '' ? `A ${body.kind}` : body.label;
  return finding(`data/height/${body.id}`, 'data.height', { sheet: body.sheet, others: [body.id] }, 'incomplete',
    `${name} has no height and hides nothing`, 'Enter its top, or delete it.', [`height of ${body.kind === 'wall' ? 'the wall' : name}`]);
}

/** Openings that reach past their stretch of wall or into each other: the hole that is checked is not one that can be built. */
function looseOpenings(wall: Wall): Result[] {
  return wall.openings.filter((o) => isLooseOpening(wall, o)).map((o) => finding(`data/opening/${wall.id}/${o.id}`, 'data.opening', { sheet: wall.sheet, others: [wall.id] }, 'incomplete',
    'An opening reaches past its wall or into another opening', 'Move it, make it narrower, or delete it.', ['place and width of the opening']));
}

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

/** Marks do not move with a new plan: what it touched is proved again only once a person has looked. */
function notLookedOver(document: Document, sheet: Sheet): Result[] {
  const marks = [...new Set(sheet.toLookOver ?? [])].flatMap((id) => (Object.hasOwn(document.entities, id) ? [document.entities[id]!] : []));
  const since = sheet.plan ? ` since ${planTitle(sheet.plan)} was laid` : '';
  const of = (id: string, subject: Subject, name: string): Result => finding(`data/revision/${id}`, 'data.revision', { ...subject, sheet: sheet.id }, 'incomplete',
    `The plan changed at ${name}: not looked over${since}`, 'Compare the plans, put right what moved, and say in the Plan step that it was looked over.', [`a look at ${name} on the new plan`]);
  // What is not sure of a load is not sure of the disconnects that serve it.
  const ofLoad = (load: Load): Result[] => {
    const serving = entitiesOf(document, 'disconnect').filter((d) => d.serves.includes(load.id));
    return serving.length === 0 ? [of(load.id, { load: load.id }, load.tag)] : serving.map((d) => of(`${load.id}/${d.id}`, { load: load.id, disconnect: d.id }, load.tag));
  };
  const devices = marks.flatMap((e) => (e.kind === 'disconnect' ? [of(e.id, { disconnect: e.id }, e.tag)] : e.kind === 'load' ? ofLoad(e) : []));
  const others = marks.filter((e) => e.kind !== 'disconnect' && e.kind !== 'load');
  return others.length === 0 ? devices : [...devices, of(`${sheet.id}/others`, { others: others.map((e) => e.id) }, `${others.length} ${others.length === 1 ? 'other mark' : 'other marks'} of sheet ${sheet.name}`)];
}
