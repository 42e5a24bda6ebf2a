import type { StepId, ToolId } from '../state/store';

/** The few tools each step brings. */
export const STEP_TOOLS: Readonly<Record<StepId, readonly ToolId[]>> = {
  'plan': ['select', 'level', 'crop', 'corners', 'measure'],
  'scale': ['scale', 'measure', 'select'],
  'space': ['select', 'wall', 'opening', 'obstruction', 'area', 'review', 'measure'],
  'loads': ['select', 'load', 'machine', 'controller', 'supply', 'measure'],
  'disconnects': ['select', 'disconnect', 'link', 'route', 'measure'],
  'findings': ['select', 'link', 'measure'],
  'hand-over': ['select', 'measure'],
};
