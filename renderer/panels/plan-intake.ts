import { createStore } from 'zustand/vanilla';
import { useStore } from 'zustand';
import { newId, setSheets } from '../../shared-core/document/index';
import type { Id, PlanRef, Scale, Sheet } from '../../shared-core/document/index';
import { feet, sheetUnits } from '../../shared-core/units/index';
import type { HostOutput, Problem } from '../../shared-core/host-api';
import { host } from '../host-client';
import { beginRevision } from '../revision/actions';
import { store } from '../state/store';
import { words } from '../text/index';
import { holdsWhole, scaleOfFile } from './file-scale';
import { newJob } from './project-actions';
import { uiStore } from './ui-store';

export type PlanInfo = HostOutput<'inspectPlan'>;
export type PlanPage = PlanInfo['pages'][number];

/** Where the intake of one plan file stands. */
export type Intake =
  | { readonly kind: 'choose'; readonly problem: Problem | null }
  | { readonly kind: 'reading'; readonly name: string; readonly done: number; readonly note: string; readonly job: string }
  | { readonly kind: 'password'; readonly file: string; readonly name: string; readonly wrong: boolean }
  | { readonly kind: 'pages'; readonly info: PlanInfo; readonly password: string | undefined };

/** revisionOf is the sheet whose plan the chosen page replaces; null: chosen pages become sheets of their own. */
export const intakeStore = createStore<{ readonly intake: Intake; readonly revisionOf: Id | null }>()(() => ({ intake: { kind: 'choose', problem: null }, revisionOf: null }));
export const useIntake = (): Intake => useStore(intakeStore, (s) => s.intake);
export const useRevisionOf = (): Id | null => useStore(intakeStore, (s) => s.revisionOf);
const set = (intake: Intake): void => { intakeStore.setState({ intake }); };

export const restartIntake = (): void => { set({ kind: 'choose', problem: null }); };

/** Asks for the file of a sheet's new plan. */
export function askRevision(sheet: Id): void {
  intakeStore.setState({ intake: { kind: 'choose', problem: null }, revisionOf: sheet });
  uiStore.getState().openDialog('open-plan');
}

/** The dialog is done with or waved away. */
export function endIntake(): void {
  intakeStore.setState({ intake: { kind: 'choose', problem: null }, revisionOf: null });
  uiStore.getState().openDialog(null);
}

const NEEDS_PASSWORD = ['password-needed', 'password-wrong', 'wrong-password'];

async function inspect(file: string, name: string, password?: string): Promise<void> {
  const job = newJob();
  set({ kind: 'reading', name, done: 0, note: '', job });
  const stop = host.onProgress((p) => { const now = intakeStore.getState().intake; if (p.job === job && now.kind === 'reading') set({ ...now, done: p.done, note: p.note }); });
  const outcome = await host.call('inspectPlan', { file, job, ...(password === undefined ? {} : { password }) });
  stop();
  const now = intakeStore.getState().intake;
  // The person closed the dialog or began anew in the meantime.
  if (now.kind !== 'reading' || now.job !== job) return;
  if (!outcome.ok) {
    if (NEEDS_PASSWORD.includes(outcome.problem.code)) set({ kind: 'password', file, name, wrong: password !== undefined });
    else set({ kind: 'choose', problem: outcome.problem.code === 'cancelled' ? null : outcome.problem });
    return;
  }
  const only = outcome.value.pages.length === 1 ? outcome.value.pages[0] : undefined;
  if (only) takePages(outcome.value, [only]);
  else set({ kind: 'pages', info: outcome.value, password });
}

/** Takes a dropped file, or asks for one, and reads what it holds. The document changes only when a page is chosen. */
export async function offerPlan(file?: File): Promise<void> {
  const picked = file ? await host.offerFile(file) : await host.call('pickFile', { purpose: 'plan' });
  uiStore.getState().openDialog('open-plan');
  if (!picked.ok) { set({ kind: 'choose', problem: picked.problem }); return; }
  if (picked.value) await inspect(picked.value.file, picked.value.name);
}

export const givePassword = (intake: Extract<Intake, { kind: 'password' }>, password: string): Promise<void> => inspect(intake.file, intake.name, password);

export function cancelReading(intake: Extract<Intake, { kind: 'reading' }>): void {
  void host.call('cancel', { job: intake.job });
  restartIntake();
}

/** Two ways in which a file states one scale differ by no more. */
const SAME_SCALE = 0.02;
/** A unit that its file puts in doubt is offered, never taken. */
const UNIT_IN_DOUBT: readonly string[] = ['unit-contradicted', 'unit-implausible', 'no-unit', 'map-coordinates'];

/** The one scale that the page states of itself as a whole, taken to be checked; null where there is none, or any doubt. */
function scaleOf(page: PlanPage, plan: PlanRef): Scale | null {
  const [first, ...others] = page.scales;
  if (!first || first.feetPerUnit === null || !holdsWhole(first, page) || page.warnings.some(({ code }) => UNIT_IN_DOUBT.includes(code))) return null;
  const apart = Math.max(0, ...others.map((other) => (other.feetPerUnit !== null && holdsWhole(other, page) ? Math.abs(other.feetPerUnit / first.feetPerUnit! - 1) : Infinity)));
  const scale = apart <= SAME_SCALE ? scaleOfFile(plan, first, page.scales) : null;
  // Nobody can tell which of them is right: their difference stays in every distance.
  return scale && { ...scale, relativeUncertainty: Math.max(scale.relativeUncertainty, apart) };
}

const planRefOf = (info: PlanInfo, page: PlanPage): PlanRef =>
  ({ blob: info.blob, name: info.name, media: info.media as PlanRef['media'], page: page.page, width: sheetUnits(page.width), height: sheetUnits(page.height), ...(page.unitsPerPaperInch === null ? {} : { unitsPerPaperInch: page.unitsPerPaperInch }) });

const stem = (name: string): string => name.replace(/\.[a-z0-9]{1,8}$/i, '');

/** What the sheet hid stays hidden in its next issue, beside what the new file hides itself. */
function layersKept(sheet: Id, page: PlanPage): Pick<PlanRef, 'layersOff'> {
  const off = store.getState().document.sheets.find((s) => s.id === sheet)?.plan?.layersOff;
  return off && page.layers.length > 0 ? { layersOff: [...new Set([...off, ...page.layers.filter((layer) => !layer.visible).map((layer) => layer.name)])] } : {};
}

/** Adds the chosen pages as sheets, or lays the one chosen anew under the sheet that asked for it. */
export function takePages(info: PlanInfo, pages: readonly PlanPage[]): void {
  const { revisionOf } = intakeStore.getState();
  const [page] = pages;
  if (revisionOf === null) addSheets(info, pages);
  else if (page) {
    endIntake();
    for (const warning of page.warnings) store.getState().notify('note', warning.what, warning.todo);
    beginRevision(revisionOf, { ...planRefOf(info, page), ...layersKept(revisionOf, page) });
  }
}

/** Adds the chosen pages as sheets, in one edit, and shows the first. */
export function addSheets(info: PlanInfo, pages: readonly PlanPage[]): void {
  const { document, commit, showSheet, notify } = store.getState();
  const sheets = pages.map((page): Sheet => {
    const name = page.label ?? (info.pages.length > 1 ? words.intake.pageName(stem(info.name), page.page + 1) : stem(info.name));
    const plan = planRefOf(info, page);
    return { id: newId('sheet'), name: name.slice(0, 200), plan, width: plan.width, height: plan.height, scale: scaleOf(page, plan), level: { name: '', floor: feet(0) }, fade: 0 };
  });
  const [first] = sheets;
  if (!first) return;
  commit(setSheets(document, sheets.length === 1 ? words.edits.addedSheet(first.name) : words.edits.addedSheets(sheets.length), [...document.sheets, ...sheets]));
  showSheet(first.id);
  for (const warning of pages.flatMap((page) => page.warnings)) notify('note', warning.what, warning.todo);
  uiStore.getState().openDialog(null);
  restartIntake();
  if (first.scale?.from.kind === 'stated') notify('note', words.intake.scaleFromFile(first.scale.from.typed), words.intake.scaleFromFileTodo);
  // Also where the file states its scale: a person looks at it once before anything rests on it.
  store.getState().setStep('scale');
}
