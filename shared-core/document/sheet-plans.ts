import type { PlanRef, Sheet } from './types';

/** Every plan whose file a sheet needs: the one under its marks, then those that lay there before, the latest first. */
export const plansOf = (sheet: Sheet): PlanRef[] => [...(sheet.plan ? [sheet.plan] : []), ...(sheet.earlier ?? [])];

/** What a plan is called: the issue a person named, else its file and page. */
export const planTitle = (plan: PlanRef): string => plan.issue?.name ?? (plan.page > 0 ? `${plan.name}, page ${plan.page + 1}` : plan.name);
