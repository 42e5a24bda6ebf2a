import { FORMAT_VERSION } from './schema';

/** Lifts plain project JSON from one format version to the next: pure, never edits its input. */
export type MigrationStep = (project: unknown) => unknown;

/** Step N leads from version N to N + 1. A step is never changed once a version was published. */
const STEPS: Readonly<Record<number, MigrationStep>> = {};

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
