import type { PlanRef, Sheet } from './types';

/** Every plan of a sheet: the one under its marks, then those that lay there before, the latest first. */
export const plansOf = (sheet: Sheet): PlanRef[] => [...(sheet.plan ? [sheet.plan] : []), ...(sheet.earlier ?? [])];

/** Every file a sheet needs, by its digest and name: its plans', and the photographs that flat ones were made from. */
export const filesOf = (sheet: Sheet): Pick<PlanRef, 'blob' | 'name'>[] => plansOf(sheet).flatMap((plan) => (plan.squared ? [plan, plan.squared.original] : [plan]));

/** What a plan is called: the issue a person named, else its file and page. */
export const planTitle = (plan: PlanRef): string => plan.issue?.name ?? (plan.page > 0 ? `${plan.name}, page ${plan.page + 1}` : plan.name);
