import { seeingPlaces, standingRegion } from '../../shared-core/advise/index';
import type { HangingStretch, SeeingPlaces } from '../../shared-core/advise/index';
import type { Checker, ReadySheet, WorkingSpace } from '../../shared-core/checks/index';
import { changedIds, entitiesOf } from '../../shared-core/document/index';
import type { Disconnect, Document, Id } from '../../shared-core/document/index';
import type { AllowedRegion } from '../../shared-core/sight/index';
import { roomDesk } from '../worker/index';
import type { AskRoom } from '../worker/index';
import { byTimer } from './live-check';
import type { Later } from './live-check';

/** Where one disconnect could be, and the room in front of it where it is. For showing only: verdicts come from the checks. */
export interface ShownPlace {
  readonly of: Disconnect | null;
  readonly region: AllowedRegion | null;
  /** The part of it where the disconnect could stand free, turned as it is, with room in front; null while that is not known for exactly what is shown. */
  readonly standing: AllowedRegion | null;
  /** False until standing was looked for; known and null where volts to ground are missing. */
  readonly isStandingKnown: boolean;
  /** Wall stretches that see all its loads. */
  readonly seeing: readonly HangingStretch[];
  /** Those with room in front; null while that is not known for exactly what is shown. */
  readonly roomy: readonly HangingStretch[] | null;
  readonly space: WorkingSpace | null;
}
export const NO_PLACE: ShownPlace = { of: null, region: null, standing: null, isStandingKnown: false, seeing: [], roomy: null, space: null };

/** Room along walls takes too long for a frame: the thread is asked for it when the hand has rested this long, milliseconds. */
const REST = 120;

/** Standing room that takes longer than this is found off the window's thread, too, once the hand rests, milliseconds. */
const COSTLY = 5;

interface Kept { readonly ready: ReadySheet; readonly key: string; readonly seeing: SeeingPlaces }
interface Stand { readonly of: Document; readonly device: Disconnect; readonly seeing: SeeingPlaces; readonly region: AllowedRegion | null }
interface Room { readonly of: Document; readonly device: Disconnect; readonly seeing: SeeingPlaces; readonly roomy: readonly HangingStretch[] }

/**
 * The region and the wall stretches depend on what the disconnect must see and on its handle's height, not on where it is,
 * so a drag of it computes them once; when walls or loads move they are computed anew each time they are asked for. The
 * room in front along the stretches follows once the hand rests.
 */
export class PlaceFinder {
  private kept: Kept | null = null;
  private room: Room | null = null;
  private stand: Stand | null = null;
  /** Milliseconds; nothing is tried in a frame before it is known to fit one. */
  private standCost = Infinity;
  private callOff: () => void = () => undefined;
  /** What the thread is, or was last, asked about. */
  private asked: { readonly of: Document; readonly device: Disconnect; readonly seeing: SeeingPlaces } | null = null;

  /**
   * @param changed  called when more is known about what was shown last
   * @param askRoom  has what takes longer than a frame found off the thread
   */
  constructor(private readonly changed: () => void, private readonly askRoom: AskRoom = roomDesk.ask, private readonly later: Later = byTimer, private readonly clock: () => number = () => performance.now()) {}

  stop(): void { this.callOff(); this.asked = null; }

  /** @param checker  one that holds for exactly the document shown */
  show(checker: Checker, disconnect: Disconnect): ShownPlace {
    const ready = checker.sheetOf(disconnect.sheet);
    if (!ready.index) { this.stop(); return NO_PLACE; }
    const space = checker.spaceOf(disconnect);
    const key = JSON.stringify([disconnect.sheet, disconnect.standing, disconnect.handleHeight, disconnect.serves, checker.sightTargetsOf(disconnect)]);
    if (this.kept?.ready !== ready || this.kept.key !== key) {
      this.kept = { ready, key, seeing: seeingPlaces(checker, disconnect) };
    }
    const { seeing } = this.kept;
    const roomy = this.roomNow(checker.document, disconnect, seeing);
    const standing = this.standingNow(checker, disconnect, seeing);
    const isOpen = !seeing.region.isEmpty && (standing === undefined || (roomy === null && seeing.stretches.length > 0));
    if (!isOpen || this.asked?.of !== checker.document || this.asked.device !== disconnect || this.asked.seeing !== seeing) {
      this.stop();
      if (isOpen) this.findRoom(checker.document, disconnect, seeing);
    }
    return { of: disconnect, region: seeing.region, standing: standing ?? null, isStandingKnown: standing !== undefined, seeing: seeing.stretches, roomy, space };
  }

  /** Where it could stand free: found anew only when something other than its own place changed. Undefined: that has to wait for the hand to rest. */
  private standingNow(checker: Checker, device: Disconnect, seeing: SeeingPlaces): AllowedRegion | null | undefined {
    const { stand } = this; const { document } = checker;
    if (stand && stand.seeing === seeing && stand.device.id === device.id && stand.device.facing === device.facing && stand.device.data === device.data && stand.of.facts === document.facts
      && changedIds(stand.of, document).every((id) => id === device.id)) return stand.region;
    if (this.standCost > COSTLY) return undefined;
    const begun = this.clock();
    const region = standingRegion(checker, device, seeing.region);
    this.standCost = this.clock() - begun;
    this.stand = { of: document, device, seeing, region };
    return region;
  }

  /** The room found earlier, where nothing but the disconnect's own place has changed since. */
  private roomNow(document: Document, disconnect: Disconnect, seeing: SeeingPlaces): readonly HangingStretch[] | null {
    const { room } = this;
    if (!room || room.seeing !== seeing || room.device.id !== disconnect.id || room.device.data !== disconnect.data || room.of.facts !== document.facts || room.of.sheets !== document.sheets) return null;
    return changedIds(room.of, document).every((id) => id === disconnect.id) ? room.roomy : null;
  }

  /** Asked once the hand rests; what is found belongs to the document asked about, and is shown for no other. */
  private findRoom(of: Document, device: Disconnect, seeing: SeeingPlaces): void {
    this.asked = { of, device, seeing };
    this.callOff = this.later(() => {
      this.callOff = this.askRoom({ document: of, device, found: (found) => {
        if ('roomy' in found) { if (found.roomy) this.room = { of, device, seeing, roomy: found.roomy }; }
        else { this.standCost = found.took; this.stand = { of, device, seeing, region: found.standing }; }
        this.changed();
      } });
    }, REST);
  }
}

/**
 * Whose places are shown: the disconnect that is placed or chosen; the only one of the chosen load; and while walls,
 * obstructions, machines or controllers are chosen, the one that was chosen before, so that its region can be watched
 * while they move.
 * @param placing the one mark that a preview changes, if it is one
 */
export function placeSubject(shown: Document, sheet: Id, selection: readonly Id[], placing: Id | undefined, last: Id | undefined): Id | undefined {
  const isDevice = (id: Id | undefined): boolean => id !== undefined && shown.entities[id]?.kind === 'disconnect' && shown.entities[id].sheet === sheet;
  if (isDevice(placing)) return placing;
  const [first] = selection;
  if (selection.length === 1 && isDevice(first)) return first;
  const chosen = selection.map((id) => shown.entities[id]);
  if (chosen.length === 1 && chosen[0]?.kind === 'load') {
    const servers = entitiesOf(shown, 'disconnect', sheet).filter((d) => d.serves.includes(first ?? ''));
    return servers.length === 1 ? servers[0]?.id : undefined;
  }
  return chosen.length > 0 && isDevice(last) && chosen.every((e) => e?.kind === 'wall' || e?.kind === 'obstruction' || e?.kind === 'machine' || e?.kind === 'controller') ? last : undefined;
}
