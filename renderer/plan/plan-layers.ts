import { createStore } from 'zustand/vanilla';
import type { HostOutput } from '../../shared-core/host-api';
import type { PlanRef } from '../../shared-core/document/index';

export type PlanLayer = HostOutput<'openPlan'>['layers'][number];

/** What each page that was opened in this window can be switched by; a page says so only when it is opened. */
export const planLayers = createStore<{ readonly known: ReadonlyMap<string, readonly PlanLayer[]> }>()(() => ({ known: new Map() }));

const keyOf = (plan: Pick<PlanRef, 'blob' | 'page'>): string => `${plan.blob} ${plan.page}`;

export function rememberLayers(plan: Pick<PlanRef, 'blob' | 'page'>, layers: readonly PlanLayer[]): void {
  if (planLayers.getState().known.has(keyOf(plan))) return;
  planLayers.setState(({ known }) => ({ known: new Map([...known, [keyOf(plan), layers]]) }));
}

/** Layers of a page with whether each shows on this sheet; null until the page was opened. */
export function layersOfPlan(known: ReadonlyMap<string, readonly PlanLayer[]>, plan: PlanRef): readonly PlanLayer[] | null {
  const layers = known.get(keyOf(plan));
  if (!layers) return null;
  const off = plan.layersOff && new Set(plan.layersOff);
  return off ? layers.map(({ name }) => ({ name, visible: !off.has(name) })) : layers;
}
