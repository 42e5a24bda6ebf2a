import { useEffect, useState } from 'react';
import { useStore } from 'zustand';
import { host } from '../host-client';
import { createPlanSource } from '../plan/index';
import type { PlanSource } from '../plan/index';
import { revisionStore, shownNow, useRevision } from '../state/revision';
import { store } from '../state/store';
import { planWords as words } from '../text/index';
import type { CanvasController } from './controller';

/** act is what a person can do about it. */
export interface PlanWords { readonly text: string; readonly isProblem: boolean; readonly act: { readonly label: string; readonly run: () => void } }

/** Keeps the plan of the sheet that is shown open, hands it to the controller and says what a person should know about it. */
export function usePlan(controller: CanvasController): PlanWords | null {
  const plan = useStore(store, (s) => s.document.sheets.find((sheet) => sheet.id === s.sheet)?.plan ?? null);
  // Edits make new sheets all the time; only another picture is another plan.
  const key = plan ? `${plan.blob} ${plan.page} ${JSON.stringify(plan.layersOff ?? null)}` : '';
  const [said, setSaid] = useState<{ readonly key: string; readonly words: PlanWords | null }>({ key: '', words: null });
  useEffect(() => {
    if (!plan) return undefined;
    const source = createPlanSource(host, plan);
    const stop = source.onChange(() => { setSaid({ key, words: wordsOf(source) }); controller.planChanged(); });
    controller.setPlan(source);
    return () => { stop(); controller.setPlan(null); source.close(); };
    // eslint-disable-next-line react-hooks/exhaustive-deps -- the key stands for the plan
  }, [controller, key]);
  return said.key === key ? said.words : null;
}

/** While two plans are compared: keeps the other one open beside the sheet's own and tells the controller which of them shows. */
export function useComparison(controller: CanvasController): void {
  const sheet = useStore(store, (s) => s.sheet);
  const work = useRevision((s) => (s.work?.kind === 'comparing' && s.work.sheet === sheet ? s.work : null));
  const plan = work?.plan ?? null;
  const key = plan ? JSON.stringify([plan.blob, plan.page, plan.lay ?? null, plan.layersOff ?? null]) : '';
  useEffect(() => {
    if (!plan) { controller.setComparison(null); return undefined; }
    const source = createPlanSource(host, plan);
    const tell = (): void => {
      const { work: now, held } = revisionStore.getState();
      if (now?.kind !== 'comparing') return;
      controller.setComparison({ plan: now.plan, source, shown: shownNow(now, held), difference: now.difference.kind === 'ready' ? now.difference.difference : null });
    };
    const stops = [source.onChange(() => { controller.planChanged(); }), revisionStore.subscribe(tell)];
    tell();
    return () => { for (const stop of stops) stop(); controller.setComparison(null); source.close(); };
    // eslint-disable-next-line react-hooks/exhaustive-deps -- the key stands for the plan and how it lies
  }, [controller, key]);
}

function wordsOf(source: PlanSource): PlanWords | null {
  const state = source.state();
  if (state.kind === 'problem') return { text: `${state.problem.what} ${state.problem.todo}`, isProblem: true, act: { label: words.openAgain, run: () => { source.again(); } } };
  if (state.kind === 'opening') return { text: `Opening the plan, ${Math.round(100 * state.done)} %. ${state.note}`.trim(), isProblem: false, act: { label: words.stop, run: () => { source.stop(); } } };
  return null;
}
