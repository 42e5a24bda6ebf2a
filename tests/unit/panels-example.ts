import { worstVerdict } from '../../shared-core/code-data/index';
import type { Result, Verdict } from '../../shared-core/code-data/index';
import type { PairReport } from '../../shared-core/checks/index';
import { defaultFacts } from '../../shared-core/document/index';
import type { Disconnect, Document, Entity, Load } from '../../shared-core/document/index';
import type { Audit } from '../../shared-core/audit/index';
import type { DeviceSizing, DeviceSummary } from '../../shared-core/sizing/index';
import { amperes, feet, horsepower, sheetUnits, volts } from '../../shared-core/units/index';

const at = (x: number, y: number) => ({ x: sheetUnits(x), y: sheetUnits(y) });

export const load = (tag: string, name: string, hp: number, place: { x: number; y: number } | null): Load => ({
  id: `load-${tag.toLowerCase()}`, kind: 'load', sheet: 'sheet-hall', tag, name, at: place ? at(place.x, place.y) : null, height: feet(3), standing: feet(0),
  data: { kind: 'motor', horsepower: horsepower(hp), system: 'system-main', phases: 3 },
});

export const device = (tag: string, x: number, y: number, serves: readonly string[]): Disconnect => ({
  id: `disconnect-${tag.toLowerCase()}`, kind: 'disconnect', sheet: 'sheet-hall', tag, at: at(x, y), handleHeight: feet(5), standing: feet(0), facing: 90, mount: null,
  serves: serves.map((s) => `load-${s.toLowerCase()}`), data: {},
});

/** An invented hall: five devices, one for each verdict, a tank, a wall and a load that waits to be placed. */
export function exampleDocument(): Document {
  const entities: Entity[] = [
    { id: 'wall-north', kind: 'wall', sheet: 'sheet-hall', points: [at(0, 0), at(900, 0)], thickness: feet(0.5), bottom: feet(0), top: feet(10), material: 'opaque', openings: [] },
    { id: 'obstruction-t2', kind: 'obstruction', sheet: 'sheet-hall', label: 'T-2', outline: [at(300, 200), at(380, 200), at(380, 280), at(300, 280)], bottom: feet(0), top: feet(11), material: 'opaque' },
    { id: 'area-wash', kind: 'area', sheet: 'sheet-hall', label: 'press floor', outline: [at(0, 300), at(500, 300), at(500, 600), at(0, 600)], environments: ['washdown'] },
    load('M-204', 'mill', 15, { x: 340, y: 120 }), load('P-301', 'press pump', 25, { x: 140, y: 420 }), load('P-303', 'transfer', 7.5, { x: 470, y: 440 }),
    load('CV-1', 'conveyor', 5, { x: 700, y: 150 }), load('EF-4', 'exhaust fan', 3, { x: 800, y: 500 }), load('P-9', 'spare pump', 10, null),
    device('DS-04', 560, 160, ['P-303']), device('DS-05', 620, 420, ['P-301']), device('DS-07', 200, 590, ['M-204']), device('DS-09', 860, 240, ['CV-1']), device('DS-11', 800, 420, ['EF-4']),
  ];
  return {
    formatVersion: 1, facts: { ...defaultFacts(), name: 'Northmere Cider Works', revision: 'C' },
    sheets: [{ id: 'sheet-hall', name: 'Press hall', plan: null, width: sheetUnits(1000), height: sheetUnits(700), level: { name: 'ground', floor: feet(0) }, fade: 0,
      scale: { feetPerUnit: 0.1, relativeUncertainty: 0.004, pickUncertainty: sheetUnits(1), from: { kind: 'stated', typed: '1/8" = 1\'-0"', ratio: 96, unitsPerPaperInch: 80 } } }],
    entities: Object.fromEntries(entities.map((e) => [e.id, e])),
  };
}

const sight: Readonly<Record<string, { verdict: Verdict; distance: number; title: string; remedies?: string[]; missing?: string[] }>> = {
  'DS-04': { verdict: 'pass', distance: 24.33, title: 'P-303 is in sight' },
  'DS-05': { verdict: 'marginal', distance: 49.9, title: 'P-301 lies within the uncertainty of the limit', remedies: ['Measure the distance on site.'] },
  'DS-07': { verdict: 'fail', distance: 43.83, title: 'M-204 is not in sight: T-2 stands in both lines', remedies: ["Move DS-07 6'-2\" east along the south wall.", 'Serve M-204 from DS-04.'] },
  'DS-09': { verdict: 'judgement', distance: 17.5, title: 'CV-1 is seen through glass', remedies: ['Ask the authority having jurisdiction.'] },
  'DS-11': { verdict: 'incomplete', distance: 8.1, title: 'EF-4 lacks data', missing: ['voltage of EF-4'] },
};

export function result(id: string, check: string, verdict: Verdict, title: string, rest: Partial<Result> = {}): Result {
  return { id, check, verdict, title, subject: {}, remedies: [], missing: [], steps: [], citations: [{ text: 'NFPA 70 430.102(B)', edition: '2023', confidence: 'confirmed' }], ...rest };
}

function pairOf(document: Document, d: Disconnect): PairReport {
  const seen = sight[d.tag];
  const target = document.entities[d.serves[0] ?? ''];
  if (!seen || target?.kind !== 'load' || !target.at) throw new RangeError(`the example has no pair for ${d.tag}`);
  const [from, to] = [{ ...d.at, z: feet(5) }, { ...target.at, z: feet(5.5) }];
  const blocked = seen.verdict === 'fail';
  const state = blocked ? 'blocked' as const : seen.verdict === 'judgement' ? 'doubtful' as const : 'clear' as const;
  const meets = blocked ? [{ entity: 'obstruction-t2', transmission: 'opaque' as const, at: { x: from.x + (to.x - from.x) * 0.66, y: from.y + (to.y - from.y) * 0.66, z: feet(5.3) } }]
    : state === 'doubtful' ? [{ entity: 'wall-north', transmission: 'glazed' as const, at: { x: from.x, y: from.y, z: feet(5) } }] : [];
  const check = result(`sight/${d.id}/${target.id}/motor`, 'sight.motor', seen.verdict, seen.title, {
    subject: { disconnect: d.id, load: target.id, ...(blocked ? { others: ['obstruction-t2'] } : {}) }, remedies: seen.remedies ?? [], missing: seen.missing ?? [],
    margin: { value: 50 - seen.distance, unit: 'ft' },
    steps: [{ quantity: 'distance', formula: 'd = sqrt(dx² + dy²) × k', value: seen.distance, unit: 'ft', confidence: 'confirmed',
      inputs: [{ name: 'k', value: 0.1, unit: 'ft per unit', from: 'plan', source: 'scale of Press hall' }, { name: 'limit', value: 50, unit: 'ft', from: 'table', source: 'within sight', confidence: 'own-reading' }] }],
  });
  const line = { state, target: to, handle: from, meets };
  return { disconnect: d.id, load: target.id, target: 'motor', distance: feet(seen.distance), uncertainty: feet(0.25), limit: feet(50), eyeLine: line, bodyLine: { ...line, target: { ...to, z: feet(3) } }, viewVerdict: seen.verdict, distanceVerdict: 'pass', reach: null, verdict: seen.verdict, result: check };
}

function sizingOf(d: Disconnect): DeviceSizing {
  const full = result(`sizing/${d.id}/full-load`, 'sizing.full-load-current', 'pass', 'Full-load current from the table', {
    subject: { disconnect: d.id }, value: { value: 34, unit: 'A' }, citations: [{ text: 'NFPA 70 Table 430.250', edition: '2023', confidence: 'memory' }],
    steps: [{ quantity: 'full-load current', formula: 'I_FLC = table(25 hp, 460 V)', value: 34, unit: 'A', confidence: 'memory', inputs: [{ name: 'P', value: 25, unit: 'hp', from: 'nameplate' }, { name: 'V', value: 460, unit: 'V', from: 'nameplate' }] }],
  });
  const rating = result(`sizing/${d.id}/rating`, 'sizing.ampere-rating', 'pass', 'At least 115 % of the full-load current', {
    subject: { disconnect: d.id }, value: { value: 60, unit: 'A' }, margin: { value: 20.9, unit: 'A' },
    steps: [{ quantity: 'ampere rating', formula: 'I_sw = 1.15 × I_FLC', value: 39.1, unit: 'A', rounding: 'up to the next standard switch, 60 A', confidence: 'confirmed', inputs: [{ name: 'I_FLC', value: 34, unit: 'A', from: 'computed' }], citation: { text: 'NFPA 70 430.110(A)', edition: '2023', confidence: 'confirmed' } }],
  });
  const enclosure = result(`sizing/${d.id}/enclosure`, 'sizing.enclosure', 'pass', 'Washdown area', { subject: { disconnect: d.id }, value: '4X' });
  const summary: DeviceSummary = {
    requiredAmperes: amperes(39.1), switchAmperes: amperes(60), switchVolts: volts(600), requiredHorsepower: horsepower(25), fusible: true, fuse: { fuseClass: 'RK1', amperes: amperes(60) }, duty: 'heavy', poles: 3,
    enclosure: '4X', conductor: '8 AWG Cu', equipmentGround: '10 AWG Cu', voltageDropPercent: 1.1, faultCurrent: amperes(17_200), shortCircuitRating: amperes(100_000), lugs: 'fits', raceway: '1 EMT', options: [{ option: 'early-break-contact', reason: 'a drive stands upstream' }],
  };
  return { disconnect: d.id, summary, results: [full, rating, enclosure] };
}

/** A hand-made audit of the example: what the panels show must be these words and numbers and no others. */
export function exampleAudit(document: Document): Audit {
  const devices = Object.values(document.entities).filter((e): e is Disconnect => e.kind === 'disconnect');
  const pairs = devices.filter((d) => sight[d.tag] !== undefined).map((d) => pairOf(document, d));
  const sizing = Object.fromEntries(devices.map((d) => [d.id, sizingOf(d)]));
  const results = [...pairs.map((p) => p.result), ...Object.values(sizing).flatMap((s) => s.results)];
  const counts: Record<Verdict, number> = { pass: 0, marginal: 0, fail: 0, judgement: 0, incomplete: 0 };
  for (const r of results) counts[r.verdict] += 1;
  return { results, pairs, sizing, counts, deviceVerdicts: Object.fromEntries(devices.map((d) => [d.id, worstVerdict(results.filter((r) => r.subject.disconnect === d.id).map((r) => r.verdict))])) };
}
