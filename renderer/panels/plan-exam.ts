import { createStore } from 'zustand/vanilla';
import { useStore } from 'zustand';
import { useEffect } from 'react';
import type { PlanRef } from '../../shared-core/document/index';
import type { HostOutput } from '../../shared-core/host-api';
import { host } from '../host-client';
import { newJob } from './project-actions';

export type PlanExam = HostOutput<'examinePlan'>;
/** What is known about a plan's picture: nothing asked yet, being looked at, looked at, or stopped. */
export type ExamState = { readonly kind: 'looking'; readonly job: string } | { readonly kind: 'known'; readonly exam: PlanExam } | { readonly kind: 'unknown' };

const exams = createStore<{ readonly of: ReadonlyMap<string, ExamState> }>()(() => ({ of: new Map() }));
const put = (key: string, state: ExamState): void => { exams.setState({ of: new Map(exams.getState().of).set(key, state) }); };
const keyOf = (plan: PlanRef): string => `${plan.blob}/${plan.page}`;

async function examine(plan: PlanRef): Promise<void> {
  const job = newJob();
  put(keyOf(plan), { kind: 'looking', job });
  const found = await host.call('examinePlan', { blob: plan.blob, page: plan.page, job });
  // What could not be looked at is offered nothing: the person sees the plan and may do it by hand.
  put(keyOf(plan), found.ok ? { kind: 'known', exam: found.value } : { kind: 'unknown' });
}

export function stopLooking(state: ExamState): void { if (state.kind === 'looking') void host.call('cancel', { job: state.job }); }

/** Looks once more at a plan that could not be looked at, or where looking was stopped. */
export function lookAgain(plan: PlanRef): void { void examine(plan); }

/** Looks at a plan once a session, in the reader's process. */
export function usePlanExam(plan: PlanRef | null): ExamState | null {
  const key = plan ? keyOf(plan) : '';
  const state = useStore(exams, (s) => s.of.get(key) ?? null);
  useEffect(() => {
    if (plan && !exams.getState().of.has(key)) void examine(plan);
    // eslint-disable-next-line react-hooks/exhaustive-deps -- the key stands for the plan
  }, [key]);
  return state;
}
