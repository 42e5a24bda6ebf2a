export { inspectPlan, openPlanPage, planTile } from './plan';
export type { OpenOptions, PlanFacts } from './plan';
export { createPlanShelf } from './plan-shelf';
export type { PlanShelf } from './plan-shelf';
export type { Pyramid } from './pyramid';
export { endIdleJobs, useJobLauncher } from './job';
export type { JobLauncher, JobProcess } from './job';
