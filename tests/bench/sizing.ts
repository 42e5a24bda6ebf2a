import { readDocument } from '../../shared-core/document/index';
import type { Disconnect, Document, Load } from '../../shared-core/document/index';
import { sizeDevice } from '../../shared-core/sizing/index';
import { feet, horsepower, sheetUnits, volts } from '../../shared-core/units/index';
import { projectWith } from '../support/sizing-project';
import { atMost, fastest } from './bench-row';
import type { BenchRow } from './bench-row';

const COUNT = 1000;
const POWERS = [1, 2, 3, 5, 7.5, 10, 15, 20, 25, 30, 40, 50, 60, 75, 100];

/** 1,000 three-phase motors of 15 sizes, each with its own disconnect, on one sheet with one environment area. */
function plant(): Document {
  const base = projectWith({ kind: 'motor', horsepower: 10, voltage: 460, phases: 3 });
  const load = base.entities['load-1'] as Load;
  const device = base.entities['disconnect-1'] as Disconnect;
  const entities: Record<string, Document['entities'][string]> = { 'supply-1': base.entities['supply-1'] as Load, 'area-1': base.entities['area-1'] as Load };
  for (let i = 0; i < COUNT; i += 1) {
    const at = { x: sheetUnits(20 + (i % 40) * 10), y: sheetUnits(20 + Math.floor(i / 40) * 10) };
    entities[`load-x${i}`] = { ...load, id: `load-x${i}`, tag: `M-${i}`, at, data: { ...load.data, horsepower: horsepower(POWERS[i % POWERS.length] ?? 1), voltage: volts(460) } };
    entities[`disconnect-x${i}`] = { ...device, id: `disconnect-x${i}`, tag: `DS-${i}`, at: { x: sheetUnits(at.x + 5), y: at.y }, serves: [`load-x${i}`], handleHeight: feet(5) };
  }
  return { ...base, entities };
}

/** Sizing a project of 1,000 loads, beside reading and checking the same project from its text. */
export async function* rows(): AsyncGenerator<BenchRow> {
  const project = plant();
  const text = JSON.stringify(project);
  let results = 0;
  const size = (): void => {
    // A new document each round: what is kept for the life of a document must not make the second round free.
    const fresh: Document = { ...project, entities: { ...project.entities } };
    results = 0;
    for (let i = 0; i < COUNT; i += 1) results += sizeDevice(fresh, `disconnect-x${i}`).results.length;
  };
  let whole = false;
  const best = fastest([{ name: 'size', run: size }, { name: 'read', run: () => { whole = readDocument(JSON.parse(text)).ok; } }], 6000);
  if (!whole || results < 15 * COUNT) throw new Error(`the bench project is not whole: read ${whole}, ${results} results`);
  const sizing = best.get('size') ?? Infinity;
  const reading = best.get('read') ?? Infinity;
  yield { ...atMost('sizing 1,000 loads', 'ms', sizing, 1000), peer: reading, peerName: 'reading the same project', ratio: reading / sizing };
}
