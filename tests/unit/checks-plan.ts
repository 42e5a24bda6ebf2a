import { defaultFacts } from '../../shared-core/document/index';
import type { Controller, Disconnect, Document, Entity, ExceptionRecord, Load, LoadData, Machine, Obstruction, Opening, Point, ProjectFacts, Scale, Wall } from '../../shared-core/document/index';
import { feet, sheetUnits } from '../../shared-core/units/index';

// A plan for tests of checks: one sheet, one foot a sheet unit unless a scale says otherwise, x right, y down.
export const point = (x: number, y: number): Point => ({ x: sheetUnits(x), y: sheetUnits(y) });
export const rect = (x1: number, y1: number, x2: number, y2: number): Point[] => [point(x1, y1), point(x2, y1), point(x2, y2), point(x1, y2)];
const on = { sheet: 'sheet-1' };

export const wall = (id: string, points: [number, number][], more: Partial<Wall> = {}): Wall =>
  ({ kind: 'wall', id: `wall-${id}`, ...on, points: points.map(([x, y]) => point(x, y)), thickness: feet(0), bottom: feet(0), top: feet(10), material: 'opaque', openings: [], ...more });
export const opening = (from: number, to: number, leaf: Opening['leaf'], more: Partial<Opening> = {}): Opening =>
  ({ id: `opening-${from}-${to}`, segment: 0, from: sheetUnits(from), to: sheetUnits(to), sill: feet(0), head: feet(7), leaf, ...more });
export const block = (id: string, outline: Point[], bottom: number, top: number, more: Partial<Obstruction> = {}): Obstruction =>
  ({ kind: 'obstruction', id: `obstruction-${id}`, ...on, label: id, outline, bottom: feet(bottom), top: feet(top), material: 'opaque', ...more });
export const load = (tag: string, [x, y, z]: [number, number, number], data: LoadData = { kind: 'motor' }, more: Partial<Load> = {}): Load =>
  ({ kind: 'load', id: `load-${tag}`, ...on, tag, name: '', at: point(x, y), height: feet(z), standing: feet(0), data, ...more });
export const machine = (tag: string, [x, y, z]: [number, number, number], more: Partial<Machine> = {}): Machine =>
  ({ kind: 'machine', id: `machine-${tag}`, ...on, tag, name: '', at: point(x, y), height: feet(z), standing: feet(0), ...more });
export const controller = (tag: string, [x, y, z]: [number, number, number], more: Partial<Controller> = {}): Controller =>
  ({ kind: 'controller', id: `controller-${tag}`, ...on, tag, name: '', at: point(x, y), height: feet(z), standing: feet(0), ...more });
export const disconnect = (tag: string, [x, y, z]: [number, number, number], serves: string[], more: Partial<Disconnect> = {}): Disconnect =>
  ({ kind: 'disconnect', id: `disconnect-${tag}`, ...on, tag, at: point(x, y), handleHeight: feet(z), standing: feet(0), facing: 0, mount: null, serves: serves.map((s) => `load-${s}`), data: {}, ...more });
export const exception = (disconnectTag: string, loadTag: string, condition: string, more: Partial<ExceptionRecord> = {}): ExceptionRecord =>
  ({ kind: 'exception', id: `exception-${disconnectTag}-${loadTag}`, ...on, disconnect: `disconnect-${disconnectTag}`, load: `load-${loadTag}`, condition, reason: 'stated', document: 'LP-12', person: 'plant engineer', date: '2026-01-15', ...more });

export const exactScale: Scale = { feetPerUnit: 1, relativeUncertainty: 0, pickUncertainty: sheetUnits(0), from: { kind: 'stated', typed: '1:12', ratio: 12, unitsPerPaperInch: 1 } };

export function plan(entities: readonly Entity[], facts: Partial<ProjectFacts> = {}, scale: Scale | null = exactScale): Document {
  return {
    formatVersion: 1, facts: { ...defaultFacts(), ...facts },
    sheets: [{ id: 'sheet-1', name: 'Ground floor', plan: null, width: sheetUnits(400), height: sheetUnits(400), scale, level: { name: 'ground', floor: feet(0) }, fade: 0 }],
    entities: Object.fromEntries(entities.map((e) => [e.id, e])),
  };
}
