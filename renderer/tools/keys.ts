import type { ToolId } from '../state/store';

/** One letter per tool, after the first letter of what it makes where that is free. The job rail shows them. */
export const TOOL_KEYS: Readonly<Record<ToolId, string>> = {
  select: 'S', scale: 'K', wall: 'W', opening: 'G', obstruction: 'O', area: 'E', load: 'M', machine: 'H', controller: 'C',
  disconnect: 'D', supply: 'P', route: 'R', link: 'L', measure: 'T', review: 'V', level: 'Y', crop: 'B', corners: 'Q',
};

/** What each tool does, in a few words, for the rail and for assistive technology. */
export const TOOL_NAMES: Readonly<Record<ToolId, string>> = {
  select: 'select and move', scale: 'set the scale', wall: 'wall', opening: 'door or opening', obstruction: 'obstruction', area: 'area and its surroundings',
  load: 'motor or load', machine: 'driven machine', controller: 'controller', disconnect: 'disconnect', supply: 'panel or transformer',
  route: 'wiring route', link: 'link to load', measure: 'measure', review: 'review offered walls', level: 'pick a line that should be level', crop: 'keep a part of the plan', corners: 'four corners of a photographed plan',
};

const BY_KEY = new Map(Object.entries(TOOL_KEYS).map(([tool, key]) => [key.toLowerCase(), tool as ToolId]));

/** The tool a letter stands for, or null. */
export const toolOfKey = (key: string): ToolId | null => BY_KEY.get(key.toLowerCase()) ?? null;
