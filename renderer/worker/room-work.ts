import { isRoomKnown, regionOfOutlines, roomyParts, seeingPlaces, standingRegion } from '../../shared-core/advise/index';
import type { HangingStretch } from '../../shared-core/advise/index';
import type { Document, Id } from '../../shared-core/document/index';
import type { AllowedRegion } from '../../shared-core/sight/index';
import type { Mirror, Portion } from './mirror';

/** Where has a device room in front: what is asked about the document that the thread has, with some marks otherwise. */
export interface RoomRequest { readonly room: number; readonly revision: number; readonly device: Id; readonly trial: Portion['entities'] }
/** No more work on what was asked before. */
export interface RoomStop { readonly room: null }

/** A region without what cannot be handed over. */
export type RegionData = Omit<AllowedRegion, 'contains'>;
export type RoomAnswer =
  /** Where it could stand free, null while that cannot be known, and how long finding that took, milliseconds. */
  | { readonly room: number; readonly standing: RegionData | null; readonly took: number }
  /** The wall stretches with room in front; null while that cannot be known. */
  | { readonly room: number; readonly roomy: readonly HangingStretch[] | null };

export const regionFrom = (data: RegionData | null): AllowedRegion | null => data && regionOfOutlines(data);

/**
 * Works on one question at a time, stretch by stretch, so that a stop or another question takes effect soon.
 * @param later runs the next step after waiting messages were taken
 * @returns takes a question
 */
export function createRoomWork(mirror: Mirror, answer: (answer: RoomAnswer) => void, later: (run: () => void) => void, clock: () => number = () => performance.now()): (request: RoomRequest | RoomStop) => void {
  let current: Generator<RoomAnswer | null, RoomAnswer | null> | null = null; let isScheduled = false;
  const schedule = (): void => { if (!isScheduled && current) { isScheduled = true; later(step); } };
  const step = (): void => {
    isScheduled = false;
    const mine = current;
    if (!mine) return;
    // Without an answer the stretches stay thin and nothing is hatched: they claim no room.
    try {
      const { done, value } = mine.next();
      if (value) answer(value);
      if (done) current = null;
    } catch { current = null; }
    schedule();
  };
  return (request) => {
    current = request.room === null ? null : workOf(mirror, mirror.trial(request.trial), request, clock);
    schedule();
  };
}

function* workOf(mirror: Mirror, document: Document, { room, device: id }: RoomRequest, clock: () => number): Generator<RoomAnswer | null, RoomAnswer | null> {
  const device = document.entities[id];
  if (device?.kind !== 'disconnect') return null;
  const seeing = seeingPlaces(mirror.checkerOf(document), device);
  const begun = clock();
  const region = standingRegion(mirror.checkerOf(document), device, seeing.region);
  yield { room, standing: region && dataOf(region), took: clock() - begun };
  if (seeing.stretches.length > 0 && !isRoomKnown(mirror.checkerOf(document), device, seeing.stretches)) return { room, roomy: null };
  const roomy: HangingStretch[] = [];
  for (const stretch of seeing.stretches) {
    roomy.push(...roomyParts(mirror.checkerOf(document), device, stretch));
    yield null;
  }
  return { room, roomy };
}

const dataOf = ({ outlines, area, squareFeet, isEmpty }: AllowedRegion): RegionData => ({ outlines, area, squareFeet, isEmpty });
