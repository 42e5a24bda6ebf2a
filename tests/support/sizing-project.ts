import { defaultFacts, emptyDocument } from '../../shared-core/document/index';
import type { DeviceData, Document, LoadData, ProjectFacts, SupplySystem } from '../../shared-core/document/index';
import { feet, sheetUnits, volts } from '../../shared-core/units/index';

export const SYSTEM_480: SupplySystem = { id: 'system-480', name: '480Y/277 V', voltage: volts(480), phases: 3, wires: 4, voltsToGround: volts(277), source: { transformerKva: 500, impedancePercent: 5.75 } };
export const SYSTEM_208: SupplySystem = { id: 'system-208', name: '208Y/120 V', voltage: volts(208), phases: 3, wires: 4, voltsToGround: volts(120), source: { transformerKva: 112.5, impedancePercent: 4 } };
export const SYSTEM_240: SupplySystem = { id: 'system-240', name: '120/240 V', voltage: volts(240), phases: 1, wires: 3, voltsToGround: volts(120), source: { transformerKva: 50, impedancePercent: 2 } };

/** Plain numbers in place of branded ones, for short test data. */
export type Plain<T> = { readonly [K in keyof T]?: T[K] extends number | undefined ? number : T[K] extends object | undefined ? T[K] | Plain<NonNullable<T[K]>> : T[K] };

const at = (x: number, y: number) => ({ x: sheetUnits(x), y: sheetUnits(y) });

/** One supply, one disconnect and its load on a sheet of 1 ft a unit, in a dry room; parts may be changed. */
export function projectWith(load: Plain<LoadData>, device: Plain<DeviceData> = {}, more: { readonly system?: SupplySystem; readonly facts?: Partial<ProjectFacts>; readonly environments?: readonly string[]; readonly supplyAt?: readonly [number, number]; readonly entities?: Document['entities']; readonly scaled?: boolean } = {}): Document {
  const system = more.system ?? SYSTEM_480;
  const [sx, sy] = more.supplyAt ?? [0, 0];
  return {
    ...emptyDocument(),
    facts: { ...defaultFacts(), systems: [system], ...more.facts },
    sheets: [{ id: 'sheet-1', name: 'One', plan: null, width: sheetUnits(500), height: sheetUnits(500), level: { name: 'Ground', floor: feet(0) }, fade: 0,
      scale: more.scaled === false ? null : { feetPerUnit: 1, relativeUncertainty: 0, pickUncertainty: sheetUnits(0), from: { kind: 'stated', typed: '1:1', ratio: 1, unitsPerPaperInch: 1 } } }],
    entities: {
      'supply-1': { id: 'supply-1', sheet: 'sheet-1', kind: 'supply', tag: 'PP-1', name: 'Panel', at: at(sx, sy), system: system.id, role: 'panel' },
      'load-1': { id: 'load-1', sheet: 'sheet-1', kind: 'load', tag: 'M-1', name: 'Motor', at: at(60, 40), height: feet(2), standing: feet(0), data: load as LoadData },
      'area-1': { id: 'area-1', sheet: 'sheet-1', kind: 'area', label: 'Room', outline: [at(-10, -10), at(490, -10), at(490, 490), at(-10, 490)], environments: more.environments ?? ['dry'] },
      'disconnect-1': { id: 'disconnect-1', sheet: 'sheet-1', kind: 'disconnect', tag: 'DS-1', at: at(50, 40), handleHeight: feet(5), standing: feet(0), facing: 0, mount: null, serves: ['load-1'],
        data: { fedFrom: 'supply-1', ...device } as DeviceData },
      ...more.entities,
    },
  };
}
