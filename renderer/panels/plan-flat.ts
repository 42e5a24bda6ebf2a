import { createStore } from 'zustand/vanilla';
import { useStore } from 'zustand';
import { enlargementOf, layOf, mendedShape, photographOf, planSquaring, squarePlan, toPhotograph, unsquarePlan } from '../../shared-core/document/index';
import type { PlanRef, Point, Sheet, SquareEdit, Squaring, SquaringOutcome, StatedSides } from '../../shared-core/document/index';
import type { Corners } from '../../shared-core/geometry/index';
import { host } from '../host-client';
import { store } from '../state/store';
import { planWords } from '../text/index';
import { nameOf } from '../tools/index';
import { newJob, showProblem } from './project-actions';

/** A page of a PDF is drawn at about so many picture elements a point, which is 1/72 in. */
const PAGE_SHARPNESS = 200 / 72;
const PHOTOGRAPHS = ['image/png', 'image/jpeg', 'image/webp', 'image/tiff', 'application/pdf'];

interface Making { readonly job: string; readonly sheet: string; readonly done: number }
const desk = createStore<{ readonly making: Making | null }>()(() => ({ making: null }));
export const useMaking = (): Making | null => useStore(desk, (s) => s.making);

/** Whether a plan can have been photographed: drawings have no slant. */
export const canBeFlat = (plan: PlanRef): boolean => PHOTOGRAPHS.includes(plan.media);

const sharpnessOf = (plan: PlanRef): number => (photographOf(plan).media === 'application/pdf' ? PAGE_SHARPNESS : 1);

/** The mended shape that lengths picked in two directions offer. */
export const mendFor = (sheet: Sheet, plan: PlanRef): ReturnType<typeof mendedShape> => mendedShape(plan, sheet.scale?.from.kind === 'picks' ? sheet.scale.from.picks : [], sharpnessOf(plan));

/** What four corners picked on the sheet would make of the photograph. @param within how far they may be off, sheet units */
export function squaringFor(plan: PlanRef, picked: readonly Point[], within: number, sides: StatedSides): SquaringOutcome {
  const photograph = photographOf(plan);
  return planSquaring(photograph, toPhotograph(plan, picked) as unknown as Corners, sides && { across: sides.across.length, down: sides.down.length }, sharpnessOf(plan), within / (enlargementOf(plan) * layOf(plan).scale));
}

export function stopMaking(): void { const { making } = desk.getState(); if (making) void host.call('cancel', { job: making.job }); }

function take(made: SquareEdit): void {
  if (!made.ok) { store.getState().notify('problem', planWords.flat.unseen(nameOf(made.mark)), planWords.flat.unseenTodo); return; }
  const { setOffer, setTool, commit } = store.getState();
  setOffer(null); setTool('select'); commit(made.edit);
}

/** Makes the flat picture in a process of its own and lays it under the marks; the document changes only when it is there, and only if the plan is still the same. */
export async function makeFlat(sheet: Sheet, plan: PlanRef, squaring: Squaring, sides: StatedSides): Promise<void> {
  if (desk.getState().making) return;
  const photograph = photographOf(plan);
  const job = newJob();
  desk.setState({ making: { job, sheet: sheet.id, done: 0 } });
  const stop = host.onProgress((p) => { const { making } = desk.getState(); if (making && p.job === job) desk.setState({ making: { ...making, done: p.done } }); });
  const made = await host.call('flattenPlan', { blob: photograph.blob, page: photograph.page, map: [...squaring.map], width: squaring.width, height: squaring.height, ...(photograph.layersOff ? { layersOff: [...photograph.layersOff] } : {}), job });
  stop();
  desk.setState({ making: null });
  if (!made.ok) { if (made.problem.code !== 'cancelled') showProblem(made.problem); return; }
  const { document } = store.getState();
  if (document.sheets.find((s) => s.id === sheet.id)?.plan !== plan) return;
  take(squarePlan(document, planWords.edits.flat(sheet.name), sheet.id, squaring, sides, made.value));
}

export function showPhotograph(sheet: Sheet): void { take(unsquarePlan(store.getState().document, planWords.edits.photograph(sheet.name), sheet.id)); }
