import { useEffect, useState } from 'react';
import { useStore } from 'zustand';
import { host } from '../host-client';
import { createPlanSource } from '../plan/index';
import type { PlanSource } from '../plan/index';
import { store } from '../state/store';
import type { CanvasController } from './controller';

export interface PlanWords { readonly text: string; readonly isProblem: boolean }

/** Keeps the plan of the sheet that is shown open, hands it to the controller and says what a person should know about it. */
export function usePlan(controller: CanvasController): PlanWords | null {
  const plan = useStore(store, (s) => s.document.sheets.find((sheet) => sheet.id === s.sheet)?.plan ?? null);
  // Edits make new sheets all the time; only another picture is another plan.
  const key = plan ? `${plan.blob} ${plan.page}` : '';
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

function wordsOf(source: PlanSource): PlanWords | null {
  const state = source.state();
  if (state.kind === 'problem') return { text: `${state.problem.what} ${state.problem.todo}`, isProblem: true };
  if (state.kind === 'opening') return { text: `Opening the plan, ${Math.round(100 * state.done)} %. ${state.note}`.trim(), isProblem: false };
  return null;
}
