import { createStore } from 'zustand/vanilla';
import { useStore } from 'zustand';
import { laidOnSheet, newOffer, restored, acceptEdit, choosing, openCandidates, rejecting } from '../../shared-core/offer/index';
import type { WallOffer } from '../../shared-core/offer/index';
import { layOf } from '../../shared-core/document/index';
import type { Sheet } from '../../shared-core/document/index';
import { host } from '../host-client';
import { store } from '../state/store';
import { words } from '../text/index';
import { newJob, showProblem } from './project-actions';

/** Sizes of the walls to look for; feet on a sheet with a scale, sheet units otherwise. */
export interface OfferSizes { readonly thinnest: number; readonly thickest: number; readonly shortest: number; readonly within: number }

interface OfferDesk {
  readonly isOpen: boolean;
  /** What the person set; null: the usual sizes. */
  readonly feet: OfferSizes | null;
  readonly units: OfferSizes | null;
  readonly looking: { readonly job: string; readonly sheet: string; readonly done: number; readonly note: string } | null;
}

export const offerDesk = createStore<OfferDesk>()(() => ({ isOpen: false, feet: null, units: null, looking: null }));
export const useOfferDesk = <T>(select: (desk: OfferDesk) => T): T => useStore(offerDesk, select);

/** From a stud partition or one of 100 mm to a thick masonry wall; common practice, no source. */
const USUAL: OfferSizes = { thinnest: 3.75 / 12, thickest: 20 / 12, shortest: 14 / 12, within: 0.6 / 12 };
/** Without a scale: what these come to on a sheet that shows some 150 ft. */
const SHOWN_FEET = 150;

/** The sizes that count for a sheet now. */
export function sizesOf(sheet: Sheet, desk: Pick<OfferDesk, 'feet' | 'units'>): OfferSizes {
  if (sheet.scale) return desk.feet ?? USUAL;
  if (desk.units) return desk.units;
  const perFoot = Math.max(sheet.width, sheet.height) / SHOWN_FEET;
  const round = (length: number): number => Number((length * perFoot).toPrecision(2));
  return { thinnest: round(USUAL.thinnest), thickest: round(USUAL.thickest), shortest: round(USUAL.shortest), within: round(USUAL.within) };
}

export function setSize(sheet: Sheet, size: keyof OfferSizes, value: number): void {
  const sizes = { ...sizesOf(sheet, offerDesk.getState()), [size]: value };
  offerDesk.setState(sheet.scale ? { feet: sizes } : { units: sizes });
}

/** Looks for walls on the sheet's plan. The document does not change; an answer for a sheet left or changed meanwhile is dropped. */
export async function lookForWalls(sheet: Sheet): Promise<void> {
  const { plan } = sheet;
  if (!plan || offerDesk.getState().looking) return;
  const sizes = sizesOf(sheet, offerDesk.getState());
  // Looked for in the plan's own picture, whatever way it lies on the sheet.
  const perUnit = (sheet.scale?.feetPerUnit ?? 1) * layOf(plan).scale;
  const job = newJob();
  offerDesk.setState({ looking: { job, sheet: sheet.id, done: 0, note: '' } });
  const stop = host.onProgress((p) => { const { looking } = offerDesk.getState(); if (looking && p.job === job && looking.job === job) offerDesk.setState({ looking: { ...looking, done: p.done, note: p.note } }); });
  const found = await host.call('offerWalls', { blob: plan.blob, page: plan.page, thickness: [sizes.thinnest / perUnit, sizes.thickest / perUnit], shortest: sizes.shortest / perUnit, slack: sizes.within / perUnit, ...(plan.layersOff ? { layersOff: [...plan.layersOff] } : {}), job });
  stop();
  if (offerDesk.getState().looking?.job !== job) return;
  offerDesk.setState({ looking: null });
  if (!found.ok) { if (found.problem.code !== 'cancelled') showProblem(found.problem); return; }
  const { document, sheet: shown, setOffer, setTool } = store.getState();
  const now = document.sheets.find((s) => s.id === sheet.id);
  if (now?.plan !== plan || shown !== sheet.id) return;
  setOffer(newOffer(now, laidOnSheet(found.value.walls, plan), document));
  if (found.value.walls.length > 0) setTool('review');
}

export function stopLooking(): void {
  const { looking } = offerDesk.getState();
  if (!looking) return;
  void host.call('cancel', { job: looking.job });
  offerDesk.setState({ looking: null });
}

/** Opens the offer of a sheet, or puts it away with everything that was not accepted. */
export function openOffer(): void { offerDesk.setState({ isOpen: true }); }
export function closeOffer(): void {
  stopLooking();
  offerDesk.setState({ isOpen: false });
  store.getState().setOffer(null);
  if (store.getState().tool === 'review') store.getState().setTool('select');
}

const change = (next: (offer: WallOffer) => WallOffer): void => { const { offer, setOffer } = store.getState(); if (offer) setOffer(next(offer)); };

/** Walls of these candidates, in one edit. */
export function accept(which: readonly number[]): void {
  const { offer, document, commit, setOffer } = store.getState();
  if (!offer || which.length === 0) return;
  commit(acceptEdit(offer, which, document));
  setOffer(choosing(offer, which, false));
  store.getState().setHint(words.offer.made(which.length));
}
export const reject = (which: readonly number[]): void => { change((offer) => rejecting(offer, which)); };
export const restoreRejected = (): void => { change(restored); };
export const toggle = (which: number): void => { change((offer) => ({ ...choosing(offer, [which], !offer.chosen.has(which)), at: which })); };
export const goTo = (which: number): void => { change((offer) => ({ ...offer, at: which })); };
export const choose = (which: readonly number[]): void => { change((offer) => choosing(offer, which, true)); };
export const chooseNone = (): void => { change((offer) => ({ ...offer, chosen: new Set() })); };
export const showLayer = (layer: string, on: boolean): void => {
  change((offer) => { const layersOff = new Set(offer.layersOff); if (on) layersOff.delete(layer); else layersOff.add(layer); return { ...offer, layersOff }; });
};
/** The candidates to decide and those chosen among them. */
export function decided(offer: WallOffer): { readonly open: readonly number[]; readonly chosen: readonly number[] } {
  const open = openCandidates(offer, store.getState().document);
  return { open, chosen: open.filter((i) => offer.chosen.has(i)) };
}
