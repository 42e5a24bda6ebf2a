import { defaultFacts, FORMAT_VERSION } from '../../shared-core/document/index';
import type { Disconnect, Document, Entity, Load, Point, Wall } from '../../shared-core/document/index';
import { feet, horsepower, sheetUnits, volts } from '../../shared-core/units/index';

const at = (x: number, y: number): Point => ({ x: sheetUnits(x), y: sheetUnits(y) });

/** The same numbers in every run. */
function random(seed: number): () => number {
  let state = seed;
  return () => { state = (Math.imul(state, 1664525) + 1013904223) >>> 0; return state / 2 ** 32; };
}

/**
 * An invented building of many rooms: walls of 10 to 20 ft on a grid with gaps, 60 loads with a disconnect each, at
 * 10 sheet units a foot. Enough rooms for the wanted number of walls, on one sheet.
 */
export function manyWalls(count: number): Document {
  const next = random(7);
  const columns = Math.ceil(Math.sqrt(count / 2)); const room = 150;
  const entities: Record<string, Entity> = {};
  const put = (entity: Entity): void => { entities[entity.id] = entity; };
  for (let i = 0; i < count; i += 1) {
    const cell = Math.floor(i / 2); const x = (cell % columns) * room; const y = Math.floor(cell / columns) * room;
    const far = 100 + Math.floor(next() * 50);
    const points = i % 2 === 0 ? [at(x, y), at(x + far, y)] : [at(x, y), at(x, y + far)];
    put({ kind: 'wall', id: `wall-${i}`, sheet: 'sheet-1', points, thickness: feet(0.5), bottom: feet(0), top: feet(10), material: 'opaque', openings: [] } satisfies Wall);
  }
  const width = columns * room; const middle = Math.floor(columns / 2) * room;
  for (let i = 0; i < 60; i += 1) {
    const x = middle + (i % 10) * room - 5 * room + 75; const y = middle + Math.floor(i / 10) * room - 3 * room + 75;
    put({ kind: 'load', id: `load-${i}`, sheet: 'sheet-1', tag: `M-${100 + i}`, name: 'pump', at: at(x, y), height: feet(2), standing: feet(0), data: { kind: 'motor', horsepower: horsepower(5), voltage: volts(460), phases: 3 } } satisfies Load);
    put({ kind: 'disconnect', id: `disconnect-${i}`, sheet: 'sheet-1', tag: `DS-${100 + i}`, at: at(x + 30, y + 40), handleHeight: feet(5), standing: feet(0), facing: 270, mount: null,
      serves: [`load-${i}`, `load-${(i + 1) % 60}`, `load-${(i + 10) % 60}`], data: {} } satisfies Disconnect);
  }
  return {
    formatVersion: FORMAT_VERSION, facts: { ...defaultFacts(), name: `${count} walls` }, entities,
    sheets: [{ id: 'sheet-1', name: 'Level 1', plan: null, width: sheetUnits(width), height: sheetUnits(width), level: { name: 'Level 1', floor: feet(0) }, fade: 0,
      scale: { feetPerUnit: 0.1, relativeUncertainty: 0.002, pickUncertainty: sheetUnits(0.5), from: { kind: 'stated', typed: '1:100', ratio: 100, unitsPerPaperInch: 10 } } }],
  };
}
