import type { ToolId } from '../state/store';
import { linkTool } from './link-tool';
import { measureTool } from './measure-tool';
import { openingTool } from './opening-tool';
import { areaTool, obstructionTool } from './outline-tool';
import { controllerTool, disconnectTool, loadTool, machineTool, supplyTool } from './place-tool';
import { cornersTool, cropTool, levelTool } from './plan-pick-tool';
import { reviewTool } from './review-tool';
import { routeTool } from './route-tool';
import { scaleTool } from './scale-tool';
import { selectTool } from './select-tool';
import type { Tool } from './tool';
import { wallTool } from './wall-tool';

/** A tool whose state only itself understands. */
export type AnyTool = Tool<unknown>;
const closed = <S>(tool: Tool<S>): AnyTool => tool as unknown as AnyTool;

export const TOOLS: Readonly<Record<ToolId, AnyTool>> = {
  select: closed(selectTool), scale: closed(scaleTool), wall: closed(wallTool), opening: closed(openingTool), obstruction: closed(obstructionTool),
  area: closed(areaTool), load: closed(loadTool), machine: closed(machineTool), controller: closed(controllerTool), disconnect: closed(disconnectTool),
  supply: closed(supplyTool), route: closed(routeTool), link: closed(linkTool), measure: closed(measureTool), review: closed(reviewTool),
  level: closed(levelTool), crop: closed(cropTool), corners: closed(cornersTool),
};

export { TOOL_KEYS, TOOL_NAMES, toolOfKey } from './keys';
export { nameOf, nextTag } from './naming';
