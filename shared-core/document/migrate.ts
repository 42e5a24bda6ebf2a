import { FORMAT_VERSION } from './format-version';

/** Lifts plain project JSON from one format version to the next: pure, never edits its input. */
export type MigrationStep = (project: unknown) => unknown;

/** Step N leads from version N to N + 1. A step is never changed once a version was published. */
const STEPS: Readonly<Record<number, MigrationStep>> = {};

const OPTIONS: Readonly<Record<string, string>> = { 'line-side-barrier': 'barriered-line-side' };
const AMENDMENTS: Readonly<Record<string, string>> = { 'service.distance': 'service.inside-length' };
/** A barrier between water and disconnect is drawn as a wall; nothing ever read it as a fact. */
const DROPPED_FACTS: readonly unknown[] = ['permanent-barrier'];

type Plain = Readonly<Record<string, unknown>>;
const isPlain = (value: unknown): value is Plain => typeof value === 'object' && value !== null && !Array.isArray(value);
/** A part of a project changed, or left as it is where it has another form than thought. */
const part = (whole: Plain, key: string, change: (value: unknown) => unknown): Plain => (Object.hasOwn(whole, key) ? { ...whole, [key]: change(whole[key]) } : whole);
const each = (change: (item: unknown) => unknown) => (list: unknown): unknown => (Array.isArray(list) ? list.map(change) : list);
const renamed = (names: Plain) => (name: unknown): unknown => (typeof name === 'string' && Object.hasOwn(names, name) ? names[name] : name);

function amendmentInTodaysWords(amendment: unknown): unknown {
  if (!isPlain(amendment)) return amendment;
  // The older key was a plain number of feet.
  const unit = amendment.key === 'service.distance' && amendment.unit === '' ? 'ft' : amendment.unit;
  return { ...part(amendment, 'key', renamed(AMENDMENTS)), ...(unit === undefined ? {} : { unit }) };
}

function entityInTodaysWords(entity: unknown): unknown {
  if (!isPlain(entity)) return entity;
  return part(entity, 'data', (data) => {
    if (!isPlain(data)) return data;
    const options = part(data, 'options', (list) => (Array.isArray(list) ? [...new Set<unknown>(list.map(renamed(OPTIONS)))] : list));
    return part(options, 'conditions', (list) => (Array.isArray(list) ? list.filter((fact) => !DROPPED_FACTS.includes(fact)) : list));
  });
}

/**
 * Puts words that this program once saved under another name into the ones it reads today; the form of the file is the same.
 * @param project plain JSON of the current format, unchecked: what has another form than thought is left for the check
 */
export function inTodaysWords(project: unknown): unknown {
  if (!isPlain(project)) return project;
  const withFacts = part(project, 'facts', (facts) => (isPlain(facts) ? part(facts, 'overrides', each(amendmentInTodaysWords)) : facts));
  return part(withFacts, 'entities', (entities) => (isPlain(entities) ? Object.fromEntries(Object.entries(entities).map(([id, entity]) => [id, entityInTodaysWords(entity)])) : entities));
}

/**
 * Lifts project JSON of an older format to the current one.
 * @param from version the file states; a whole number from 1 to the current one
 * @returns JSON of the current format, still to be checked by readDocument; null when a step is missing or fails on
 * this input, which is then damaged
 * @throws RangeError when from is no version or is newer than this program: ask before
 */
export function migrateProject(project: unknown, from: number, steps: Readonly<Record<number, MigrationStep>> = STEPS, to: number = FORMAT_VERSION): { readonly project: unknown } | null {
  if (!Number.isInteger(from) || from < 1 || from > to) throw new RangeError(`no project version to migrate from: ${from}`);
  let current = project;
  for (let version = from; version < to; version += 1) {
    const step = steps[version];
    if (!step) return null;
    try { current = step(current); } catch { return null; }
  }
  return { project: current };
}
