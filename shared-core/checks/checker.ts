import type { PlacementRule, Result } from '../code-data/index';
import { entitiesOf } from '../document/index';
import type { Disconnect, Document, ExceptionRecord, Id, Load, Point } from '../document/index';
import { prepareScene } from '../sight/index';
import { checkPlace } from './check-place';
import { chooseRules } from './choose-rules';
import { knownThere } from './known-there';
import { marginsOf } from './pair-margin';
import type { PairMargin } from './pair-margin';
import { pairTargets } from './pair-targets';
import type { PairTarget } from './pair-targets';
import { cutOffOnFoot, isOnFoot, readyGround } from './ready-access';
import type { ReadyGround } from './ready-access';
import { sceneOf } from './scene-of';
import { roomInFront, workingSpaceOf as spaceInSheet } from './space-results';
import type { Room } from './space-results';
import { takenGround, tooNearGround } from './taken-ground';
import type { PlanBox, TakenGround } from './taken-ground';
import { sightTarget } from './sight-targets';
import type { SightTarget } from './sight-targets';
import type { PairReport, TargetKind } from './types';
import type { PairView, ReadySheet } from './pair-view';
import { reportPair, viewPair } from './within-sight';
import type { WorkingSpace } from './working-space';

/** Checks of one document, prepared once; cheap per call, so that a drag can ask each frame. */
export interface Checker {
  readonly document: Document;
  /** The pairs of one disconnect where it is now, which may differ from where the document has it. */
  pairsOf(disconnect: Disconnect): PairReport[];
  /** All pairs of the prepared sheets, in sheet and insertion order. */
  checkAll(): PairReport[];
  /** Everything about one disconnect that is no sight line: height, ready access, room, sharing, and what its rules ask besides. */
  placeResultsOf(disconnect: Disconnect): Result[];
  /** The clear space in front of it, for drawing; null while scale or voltage is missing. */
  spaceOf(disconnect: Disconnect): WorkingSpace | null;
  /** Whether a place has room in front for a device of this size, without moving anything; null while voltage or scale is missing. */
  roomAt(disconnect: Disconnect): Room | null;
  /** Where it could not stand free, turned as it is, for want of room; null while scale or voltage is missing. */
  takenGround(disconnect: Disconnect, box: PlanBox): TakenGround | null;
  /** Where it could not be worked, standing free and turned as it is: its handle out of reach, or no way on foot. Says so only of places with room in front. */
  unreadyGround(disconnect: Disconnect, box: PlanBox): readonly (readonly Point[])[] | 'everywhere';
  /** Whether it could surely be worked where it is: the handle in reach, and a way on foot. */
  isReady(disconnect: Disconnect): boolean;
  /** Ground too near the water, or too near what it serves, for a rule with a least distance. */
  tooNearGround(disconnect: Disconnect): TakenGround;
  /** The points that the handle of this disconnect must see, each with its limit. */
  sightTargetsOf(disconnect: Disconnect): SightTarget[];
  /** How far the handle may move before its pairs change, and which way is better; for the chosen device, not for each frame. */
  marginsOf(disconnect: Disconnect): PairMargin[];
  /** The sheet as sight sees it; index is null while it has no scale. */
  sheetOf(sheet: Id): ReadySheet;
}

interface LoadRules { readonly load: Load; readonly rules: readonly PlacementRule[]; readonly targets: readonly PairTarget[] }

/**
 * Prepares the sight checks of a document. Each sheet's scene is built when first asked for; a checker stays right while
 * only the disconnect handed to pairsOf moves, and is made anew when anything else changes.
 * @param sheetId limits checkAll to one sheet
 * @param scenes  an earlier checker whose scenes are used again: the caller answers for it that scale, walls, obstructions
 *                and bodies stand in its document as they do in this one, so that a drag builds them only once
 */
export function createChecker(document: Document, sheetId?: Id, scenes?: Pick<Checker, 'sheetOf'>): Checker {
  const sheets = new Map<Id, ReadySheet>();
  const loads = new Map<Id, LoadRules>();
  const records: readonly ExceptionRecord[] = entitiesOf(document, 'exception');
  const disconnects = entitiesOf(document, 'disconnect');
  const servers = new Map<Id, Disconnect[]>();
  for (const disconnect of disconnects) for (const load of disconnect.serves) servers.set(load, [...(servers.get(load) ?? []), disconnect]);

  const sheetOf = (id: Id): ReadySheet => {
    if (scenes) return scenes.sheetOf(id);
    const known = sheets.get(id);
    if (known) return known;
    const scene = sceneOf(document, id);
    const made: ReadySheet = { scene, index: scene.sheet.scale ? prepareScene(scene.scene) : null };
    sheets.set(id, made);
    return made;
  };
  const rulesOf = (id: Id): LoadRules | null => {
    const known = loads.get(id);
    if (known) return known;
    const load = document.entities[id];
    if (load?.kind !== 'load') return null;
    const rules = chooseRules(load.data, document.facts.edition);
    const made: LoadRules = { load, rules, targets: pairTargets(document, load, rules) };
    loads.set(id, made);
    return made;
  };
  const viewsOf = (disconnect: Disconnect, { load, targets }: LoadRules): PairView[] => targets
    .filter((target) => isAsked(disconnect, target))
    .map((target) => viewPair(document, () => sheetOf(disconnect.sheet), disconnect, load, target));

  const pairsOf = (disconnect: Disconnect): PairReport[] => disconnect.serves.flatMap((id) => {
    const loadRules = rulesOf(id);
    if (!loadRules) return [];
    const views = viewsOf(disconnect, loadRules);
    const open = views.filter((view) => view.verdict !== 'pass');
    const others = open.length === 0 ? [] : (servers.get(id) ?? []).filter((d) => d.id !== disconnect.id).map((d) => viewsOf(d, loadRules));
    return views.map((view) => reportPair(document, view, servingViews(view.target.kind, others), records));
  });
  const checkAll = (): PairReport[] => disconnects.filter((d) => sheetId === undefined || d.sheet === sheetId).flatMap(pairsOf);
  const placeResultsOf = (disconnect: Disconnect): Result[] => checkPlace(document, sheetOf, disconnect, pairsOf);
  const thereOf = (disconnect: Disconnect) => knownThere(document, sheetOf(disconnect.sheet), disconnect);
  const spaceOf = (disconnect: Disconnect): WorkingSpace | null => { const there = thereOf(disconnect); return spaceInSheet(there.document, there.sheet, disconnect); };
  const sightTargetsOf = (disconnect: Disconnect): SightTarget[] => disconnect.serves.flatMap((id) => {
    const loadRules = rulesOf(id);
    const servedElsewhere = (servers.get(id) ?? []).some((d) => d.id !== disconnect.id);
    return (loadRules?.targets ?? []).filter((t) => isAsked(disconnect, t) && !(servedElsewhere && t.kind === 'controller')).flatMap((t) => sightTarget(document, sheetOf(disconnect.sheet), disconnect, id, t));
  });
  const grounds = new Map<string, ReadyGround>();
  const groundOf = (disconnect: Disconnect): ReadyGround => {
    const key = JSON.stringify([disconnect.id, disconnect.sheet, disconnect.serves, disconnect.standing, disconnect.handleHeight]);
    const known = grounds.get(key) ?? readyGround(document, sheetOf(disconnect.sheet), disconnect);
    grounds.set(key, known);
    return known;
  };
  const unreadyGround = (disconnect: Disconnect, box: PlanBox): readonly (readonly Point[])[] | 'everywhere' => {
    const ground = groundOf(disconnect); const { scale } = sheetOf(disconnect.sheet).scene.sheet;
    return ground === 'nowhere' || !scale ? 'everywhere' : cutOffOnFoot(ground, disconnect, scale.feetPerUnit, box);
  };
  const isReady = (disconnect: Disconnect): boolean => { const ground = groundOf(disconnect); return ground !== 'nowhere' && isOnFoot(document, sheetOf(disconnect.sheet), disconnect, ground); };
  const roomAt = (disconnect: Disconnect): Room | null => { const there = thereOf(disconnect); return roomInFront(there.document, there.sheet, disconnect); };
  return { document, pairsOf, checkAll, placeResultsOf, spaceOf, roomAt, unreadyGround, isReady, sightTargetsOf, sheetOf,
    takenGround: (disconnect, box) => takenGround(document, sheetOf(disconnect.sheet), disconnect, box), tooNearGround: (disconnect) => tooNearGround(document, sheetOf(disconnect.sheet), disconnect, sightTargetsOf(disconnect)), marginsOf: (disconnect) => marginsOf(document, sheetOf(disconnect.sheet), disconnect, sightTargetsOf(disconnect)) };
}

/** A vehicle charger's sight rule is for its emergency shutoff alone: other disconnects of it may be anywhere. */
function isAsked(disconnect: Disconnect, target: PairTarget): boolean {
  return target.rule.id !== 'EV-2026' || (disconnect.data.options ?? []).includes('emergency-shutoff');
}

/**
 * Views by other disconnects of the load that would do instead. Motor and driven machine belong together: one device
 * must see both, so a view counts only when its device passes for the whole of them.
 */
function servingViews(kind: TargetKind, others: readonly (readonly PairView[])[]): PairView[] {
  return others.flatMap((views) => {
    const together = kind === 'motor' || kind === 'machine' ? views.filter((v) => v.target.kind === 'motor' || v.target.kind === 'machine') : views.filter((v) => v.target.kind === kind);
    return together.every((v) => v.verdict === 'pass') ? together.filter((v) => v.target.kind === kind) : [];
  });
}

/** The working space of a disconnect of the document; for many, or while one is dragged, keep a checker and ask its spaceOf. */
export function workingSpaceOf(document: Document, disconnectId: Id): WorkingSpace | null {
  const disconnect = document.entities[disconnectId];
  if (disconnect?.kind !== 'disconnect') throw new RangeError(`no disconnect '${disconnectId}'`);
  return createChecker(document, disconnect.sheet).spaceOf(disconnect);
}
