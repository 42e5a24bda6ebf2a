import { z } from 'zod';
import { cornerFault } from '../geometry/index';
import type { DeviceData } from './device-data';
import { FORMAT_VERSION } from './format-version';
import type { LoadData } from './load-data';
import { inTodaysWords } from './migrate';
import type { Document, Entity } from './types';

export { FORMAT_VERSION };

const finite = z.number().refine(Number.isFinite, 'must be a finite number');
const positive = finite.refine((n) => n > 0, 'must be greater than zero');
const notNegative = finite.refine((n) => n >= 0, 'must not be negative');
/** Ids are our own: plain, so that no id can name an object's built-in property. */
const id = z.string().regex(/^[a-z][a-z0-9]*-[A-Za-z0-9-]{1,60}$/, 'is not an id of this program');
const text = z.string().max(2000);
const point = z.strictObject({ x: finite, y: finite });
const outline = z.array(point).min(3).max(10_000);

const loadData: z.ZodType<unknown> = z.lazy(() => z.strictObject({
  kind: z.enum(['motor', 'torque-motor', 'dc-motor', 'machine', 'hermetic', 'multimotor-cooling', 'heater', 'appliance', 'continuous', 'noncontinuous', 'transformer',
    'welder', 'drive', 'generator', 'pv', 'ev-supply', 'pool', 'fire-pump', 'crane', 'elevator', 'sign', 'irrigation', 'x-ray', 'induction-heating', 'service', 'feeder', 'other']),
  system: id.optional(), horsepower: positive.optional(), kilowatts: positive.optional(), kva: positive.optional(), voltage: positive.optional(),
  phases: z.union([z.literal(1), z.literal(3), z.literal('dc')]).optional(),
  motorType: z.enum(['squirrel-cage', 'wound-rotor', 'synchronous']).optional(),
  design: z.enum(['A', 'B', 'C', 'D', 'BE', 'CE']).optional(), premiumEfficiency: z.boolean().optional(),
  codeLetter: z.string().max(2).optional(), nameplateAmperes: positive.optional(), lockedRotorAmperes: positive.optional(), serviceFactor: positive.optional(),
  temperatureRiseCelsius: positive.optional(), duty: z.enum(['continuous', 'short-time', 'intermittent', 'periodic', 'varying']).optional(),
  timeRating: z.union([z.literal(5), z.literal(15), z.literal(30), z.literal(60), z.literal('continuous')]).optional(), starting: z.enum(['wye-delta', 'part-winding']).optional(),
  powerFactor: positive.optional(), ratedLoadAmperes: positive.optional(), branchSelectionAmperes: positive.optional(), minimumCircuitAmpacity: positive.optional(),
  maximumOvercurrent: positive.optional(), fusesOnly: z.boolean().optional(), driveInputAmperes: positive.optional(), driveSide: z.enum(['line', 'load']).optional(),
  parts: z.array(loadData).max(200).optional(), startTogether: z.boolean().optional(), count: z.number().int().positive().max(10_000).optional(),
  conditions: z.array(z.string().max(80)).max(50).optional(), typed: z.record(z.string().max(60), z.string().max(200)).optional(),
} satisfies Record<keyof LoadData, z.ZodType>));

const deviceData = z.strictObject({
  type: z.enum(['enclosed-switch', 'circuit-breaker', 'molded-case-switch', 'attachment-plug', 'general-use-switch', 'pullout']).optional(),
  fusible: z.boolean().optional(), duty: z.enum(['general', 'heavy']).optional(), ratedAmperes: positive.optional(), ratedVolts: positive.optional(),
  ratedHorsepower: positive.optional(), poles: z.number().int().min(1).max(6).optional(),
  fuseClass: z.enum(['J', 'RK1', 'RK5', 'T', 'CC', 'L', 'H', 'K5', 'G', 'CF']).optional(), fuseAmperes: positive.optional(), enclosure: z.string().max(10).optional(),
  shortCircuitRating: positive.optional(), serviceEquipment: z.boolean().optional(), neutral: z.boolean().optional(), groundBar: z.boolean().optional(),
  lockable: z.boolean().optional(), fedFrom: id.optional(), upstreamAmperes: positive.optional(), upstreamType: z.enum(['fuse', 'circuit-breaker']).optional(),
  conductor: z.strictObject({
    material: z.enum(['copper', 'aluminum']).optional(), insulationCelsius: z.union([z.literal(60), z.literal(75), z.literal(90)]).optional(),
    terminationCelsius: z.union([z.literal(60), z.literal(75)]).optional(), size: z.string().max(10).optional(), perPhase: z.number().int().min(1).max(20).optional(),
    raceway: z.enum(['EMT', 'IMC', 'RMC', 'PVC-40', 'PVC-80']).optional(), conductorsInRaceway: z.number().int().min(1).max(100).optional(), ambientCelsius: finite.optional(),
  }).optional(),
  routeLength: positive.optional(), energisedWorkLikely: z.boolean().optional(), options: z.array(z.string().max(60)).max(40).optional(),
  size: z.strictObject({ width: positive, height: positive, depth: positive }).optional(),
  limitedAccess: z.strictObject({ place: z.enum(['ceiling', 'crawl-space']), opening: z.tuple([positive, positive]), clearWidth: positive, clearDepth: positive, doorDegrees: notNegative }).optional(),
  verified: z.strictObject({ person: text, date: text, note: text }).optional(),
} satisfies Record<keyof DeviceData, z.ZodType>);

const base = { id, sheet: id, within: positive.optional() };
const heights = { bottom: finite, top: finite };
const material = z.enum(['opaque', 'glazed', 'mesh']);
const tag = z.string().min(1).max(40);

const entity = z.discriminatedUnion('kind', [
  z.strictObject({ ...base, kind: z.literal('wall'), points: z.array(point).min(2).max(10_000), thickness: notNegative, ...heights, material,
    openings: z.array(z.strictObject({ id, segment: z.number().int().min(0), from: notNegative, to: notNegative, sill: finite, head: finite,
      leaf: z.enum(['none', 'closed', 'normally-open', 'vision-panel', 'glazed']),
      swing: z.strictObject({ hinge: z.enum(['from', 'to']), side: z.enum(['left', 'right']) }).optional(), locked: z.boolean().optional(), panicHardware: z.boolean().optional() })).max(500),
    face: z.enum(['grounded', 'insulated', 'unknown']).optional() }),
  z.strictObject({ ...base, kind: z.literal('obstruction'), label: text, outline, ...heights, material, walkable: z.boolean().optional(), stairs: z.boolean().optional() }),
  z.strictObject({ ...base, kind: z.literal('area'), label: text, outline, environments: z.array(z.string().max(60)).max(30) }),
  z.strictObject({ ...base, kind: z.literal('load'), tag, name: text, at: point.nullable(), height: finite, standing: finite, outline: outline.optional(),
    bodyTop: finite.optional(), data: loadData,
    reserved: z.array(z.strictObject({ use: z.enum(['access-panel', 'nameplate']), edge: z.number().int().min(0), from: notNegative, to: notNegative, bottom: finite, top: finite })).max(50).optional(), machine: id.optional(), controller: id.optional() }),
  z.strictObject({ ...base, kind: z.literal('machine'), tag, name: text, at: point, height: finite, standing: finite, outline: outline.optional(), bodyTop: finite.optional() }),
  z.strictObject({ ...base, kind: z.literal('controller'), tag, name: text, at: point, height: finite, standing: finite, lockable: z.boolean().optional() }),
  z.strictObject({ ...base, kind: z.literal('disconnect'), tag, at: point, handleHeight: finite, standing: finite, facing: finite,
    mount: z.strictObject({ wall: id, segment: z.number().int().min(0) }).nullable(), serves: z.array(id).max(1000), data: deviceData }),
  z.strictObject({ ...base, kind: z.literal('supply'), tag, name: text, at: point, system: id, role: z.enum(['panel', 'transformer', 'service-entrance']) }),
  z.strictObject({ ...base, kind: z.literal('exception'), disconnect: id, load: id, condition: text, reason: text, document: text, person: text, date: text }),
  z.strictObject({ ...base, kind: z.literal('route'), from: id, to: id, points: z.array(point).max(10_000), drops: notNegative }),
]);

const scale = z.strictObject({
  feetPerUnit: positive, relativeUncertainty: notNegative, pickUncertainty: notNegative,
  from: z.discriminatedUnion('kind', [
    z.strictObject({ kind: z.literal('picks'), picks: z.array(z.strictObject({ from: point, to: point, length: positive, typed: text, within: positive.optional() })).min(1).max(100) }),
    z.strictObject({ kind: z.literal('stated'), typed: text, ratio: positive, unitsPerPaperInch: positive }),
  ]),
  stated: z.strictObject({ typed: text, ratio: positive, unitsPerPaperInch: positive }).optional(),
  areas: z.array(outline).min(1).max(500).optional(),
});

const plainPlan = z.strictObject({
  blob: z.string().regex(/^[0-9a-f]{64}$/), name: text,
  media: z.enum(['image/png', 'image/jpeg', 'image/webp', 'image/tiff', 'application/pdf', 'image/vnd.dxf', 'image/svg+xml']),
  page: z.number().int().min(0), width: positive, height: positive, unitsPerPaperInch: positive.optional(),
  lay: z.strictObject({ scale: positive, turn: finite, x: finite, y: finite }).optional(),
  layersOff: z.array(text).max(10_000).optional(),
});
const corners = z.tuple([point, point, point, point]).refine((four) => cornerFault(four) === null, 'must be the corners of a four-sided figure');
const plan = plainPlan.extend({
  issue: z.strictObject({ name: text, laid: text }).optional(),
  look: z.strictObject({ inverted: z.boolean().optional(), contrast: finite.refine((n) => n >= 0 && n <= 1).optional() }).optional(),
  squared: z.strictObject({
    original: plainPlan, corners, sides: z.enum(['building', 'paper', 'guessed']), within: positive, uncertainty: notNegative,
    box: z.strictObject({ minX: finite, minY: finite, maxX: finite, maxY: finite }).refine((b) => b.maxX > b.minX && b.maxY > b.minY, 'must have an area'),
  }).optional(),
});

const quantity = z.strictObject({ value: finite, unit: text });
const keptFinding = z.strictObject({
  id: text, check: text, verdict: z.enum(['pass', 'marginal', 'fail', 'judgement', 'incomplete']), title: text, missing: z.array(text).max(1000),
  subject: z.strictObject({ disconnect: id.optional(), load: id.optional(), sheet: id.optional(), others: z.array(id).max(100_000).optional() }),
  margin: quantity.optional(), value: z.union([quantity, text]).optional(),
});
const touched = z.strictObject({
  id, gone: z.boolean(), fresh: z.boolean(),
  why: z.discriminatedUnion('kind', [z.strictObject({ kind: z.literal('near') }), z.strictObject({ kind: z.literal('opening'), opening: id }), z.strictObject({ kind: z.literal('line'), load: id })]),
});

const sheet = z.strictObject({
  id, name: text, plan: plan.nullable(),
  width: positive, height: positive, scale: scale.nullable(), level: z.strictObject({ name: text, floor: finite }), fade: finite.refine((n) => n >= 0 && n <= 1),
  openGround: z.boolean().optional(), earlier: z.array(plan).max(200).optional(), toLookOver: z.array(id).max(100_000).optional(),
  sinceLaid: z.strictObject({ blob: text, page: z.number().int().min(0), findings: z.array(keptFinding).max(100_000).nullable(), touched: z.array(touched).max(200_000) }).optional(),
});

const facts = z.strictObject({
  name: text, site: text, revision: text, edition: z.enum(['2017', '2020', '2023', '2026']), jurisdiction: z.enum(['US', 'CA']), units: z.enum(['US', 'metric']),
  systems: z.array(z.strictObject({
    id, name: text, voltage: positive, phases: z.union([z.literal(1), z.literal(3), z.literal('dc')]), wires: z.number().int().min(2).max(5), voltsToGround: positive,
    source: z.strictObject({ availableFaultCurrent: positive.optional(), transformerKva: positive.optional(), impedancePercent: positive.optional(), xOverR: positive.optional() }).optional(),
  })).max(50),
  overrides: z.array(z.strictObject({ id, key: text, value: z.union([finite, text]), unit: text, reason: text, authority: text })).max(500),
  defaults: z.strictObject({ handleHeight: positive, wallThickness: notNegative, wallHeight: positive, eyeHeight: positive, ambientCelsius: finite }),
});

/** The whole project as it is stored; branded units are plain numbers in JSON. */
export const documentSchema = z.strictObject({
  formatVersion: z.literal(FORMAT_VERSION), facts, sheets: z.array(sheet).max(500), entities: z.record(id, entity),
});

export type ReadDocument = { readonly ok: true; readonly document: Document } | { readonly ok: false; readonly faults: readonly string[] };

/** Entities that are checked in one step. */
const STEP = 1000;

/**
 * Checks parsed JSON of the current format, including what a schema cannot say: keys equal ids, references point at
 * entities of the right kind, openings lie on their wall, tops are above bottoms.
 * @returns the document, or up to 20 faults, each naming the place and what is wrong with it.
 */
export function readDocument(value: unknown): ReadDocument {
  const steps = readDocumentInSteps(value);
  for (;;) { const step = steps.next(); if (step.done === true) return step.value; }
}

/** The same a few thousandths of a second at a time: a large project takes over a second. @yields how much of it is done, 0 to 1 */
export function* readDocumentInSteps(value: unknown): Generator<number, ReadDocument> {
  const project = typeof value === 'object' && value !== null && 'entities' in value ? value : null;
  const entities: unknown = project?.entities;
  const isRecord = typeof entities === 'object' && entities !== null && !Array.isArray(entities);
  const head = documentSchema.safeParse(inTodaysWords(isRecord ? { ...project, entities: {} } : value));
  const issues = head.success ? [] : head.error.issues.map((issue) => ({ path: issue.path, message: issue.message }));
  const read: [string, unknown][] = [];
  const given = isRecord ? Object.entries(entities) : [];
  for (let at = 0; at < given.length; at += STEP) {
    const some = documentSchema.pick({ entities: true }).safeParse(inTodaysWords({ entities: Object.fromEntries(given.slice(at, at + STEP)) }));
    if (some.success) read.push(...Object.entries(some.data.entities)); else issues.push(...some.error.issues);
    yield 0.95 * Math.min(1, (at + STEP) / given.length);
  }
  if (!head.success || issues.length > 0) return { ok: false, faults: issues.slice(0, 20).map((issue) => `${issue.path.join('.') || 'project'}: ${issue.message}`) };
  const document = { ...head.data, entities: Object.fromEntries(read) } as unknown as Document;
  const faults = findReferenceFaults(document);
  return faults.length > 0 ? { ok: false, faults: faults.slice(0, 20) } : { ok: true, document };
}

function findReferenceFaults(document: Document): string[] {
  const faults: string[] = [];
  const sheetIds = new Set<string>();
  for (const s of document.sheets ) {
    if (sheetIds.has(s.id)) faults.push(`sheets: ${s.id} stands twice`);
    sheetIds.add(s.id);
  }
  const expect = (owner: Entity, field: string, target: string, kinds: readonly string[]): void => {
    const found = Object.hasOwn(document.entities, target) ? document.entities[target] : undefined;
    if (!found || !kinds.includes(found.kind)) faults.push(`entities.${owner.id}.${field}: ${target} is no ${kinds.join(' or ')} of this project`);
  };
  for (const [key, e] of Object.entries(document.entities)) {
    if (key !== e.id) faults.push(`entities.${key}: carries the id ${e.id}`);
    if (!sheetIds.has(e.sheet)) faults.push(`entities.${key}.sheet: ${e.sheet} is no sheet of this project`);
    if ((e.kind === 'wall' || e.kind === 'obstruction') && e.top < e.bottom) faults.push(`entities.${key}.top: lies below its bottom`);
    if (e.kind === 'wall') {
      e.openings.forEach((o, i) => {
        if (o.segment > e.points.length - 2) faults.push(`entities.${key}.openings.${i}.segment: the wall has no segment ${o.segment}`);
        if (o.to <= o.from) faults.push(`entities.${key}.openings.${i}.to: must lie beyond from`);
        if (o.head <= o.sill) faults.push(`entities.${key}.openings.${i}.head: must lie above the sill`);
      });
    } else if (e.kind === 'disconnect') {
      e.serves.forEach((target) => { expect(e, 'serves', target, ['load']); });
      if (e.mount) expect(e, 'mount', e.mount.wall, ['wall']);
      if (e.data.fedFrom !== undefined) expect(e, 'data.fedFrom', e.data.fedFrom, ['supply', 'disconnect']);
    } else if (e.kind === 'load') {
      if (e.machine !== undefined) expect(e, 'machine', e.machine, ['machine']);
      if (e.controller !== undefined) expect(e, 'controller', e.controller, ['controller']);
    } else if (e.kind === 'exception') {
      expect(e, 'disconnect', e.disconnect, ['disconnect']);
      expect(e, 'load', e.load, ['load']);
    } else if (e.kind === 'route') {
      expect(e, 'from', e.from, ['supply', 'disconnect']);
      expect(e, 'to', e.to, ['supply', 'disconnect', 'load']);
    }
  }
  return faults;
}
