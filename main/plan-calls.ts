import { createHash } from 'node:crypto';
import type { HostServices, Outcome } from '../shared-core/host-api';
import { createPlanShelf, readListFile, readTableText } from './exchange/index';
import type { OpenOptions } from './exchange/index';
import { done, failed } from './files/problems';

export interface PlanCallsOptions {
  /** Original plan bytes under their digest; inspected plans are put in. */
  readonly plans: Map<string, Uint8Array>;
  /** Runs the work with the bytes of an offered file. */
  readonly withFile: <T>(token: string, work: (file: { readonly name: string; readonly bytes: Uint8Array | null }) => Promise<Outcome<T>>) => Promise<Outcome<T>>;
  /** Runs a job that can be cancelled and tells its progress. */
  readonly withJob: <T>(job: string | undefined, work: (options: OpenOptions) => Promise<Outcome<T>>) => Promise<Outcome<T>>;
}

type PlanCalls = Pick<HostServices, 'inspectPlan' | 'openPlan' | 'planTile' | 'planThumbnails' | 'planBytes' | 'examinePlan' | 'flattenPlan' | 'offerWalls' | 'readList'>;

const PASTED = 'Pasted cells';
/** Longer pasted text (about 2,000 rows) is read in a process of its own, with progress, and can be cancelled. */
const PASTED_AT_ONCE = 100_000;

function readPasted(text: string) {
  try {
    return done({ name: PASTED, cells: readTableText(text) });
  } catch {
    return failed('too-large', 'The pasted cells are too many to read.', 'Paste fewer rows, or open the list as a file.');
  }
}

/** What a sheet is drawn from, within a job that is under way already. */
type DrawableIn = (blob: string, options: Pick<OpenOptions, 'signal'>) => ReturnType<HostServices['planBytes']>;

/** The calls that bring a plan in and show it. */
export function planCalls({ plans, withFile, withJob }: PlanCallsOptions): PlanCalls & { readonly drawable: DrawableIn } {
  const shelf = createPlanShelf();
  const names = new Map<string, string>();
  const noPlan = () => failed('no-plan', 'This plan is not at hand.', 'Open the project again, or bring the plan in again.');
  const drawable = async (blob: string, options: OpenOptions): ReturnType<HostServices['planBytes']> => {
    const bytes = plans.get(blob);
    return bytes ? shelf.drawable(blob, bytes, options) : noPlan();
  };
  return {
    drawable,
    inspectPlan: ({ file, password, job }) => withFile(file, async ({ name, bytes }) => {
      if (bytes === null) return failed('not-a-plan', `“${name}” was opened as a project, not as a plan.`, 'Choose it again as a plan.');
      const blob = createHash('sha256').update(bytes).digest('hex');
      const facts = await withJob(job, (options) => shelf.inspect(blob, bytes, name, { ...options, password }));
      if (!facts.ok) return facts;
      plans.set(blob, bytes);
      names.set(blob, name);
      return done({ blob, name, media: facts.value.media, pages: [...facts.value.pages] });
    }),
    openPlan: async ({ blob, page, layersOff, password, job }) => {
      const bytes = plans.get(blob);
      if (!bytes) return noPlan();
      const opened = await withJob(job, (options) => shelf.open(blob, bytes, names.get(blob) ?? 'The plan', page, { ...options, layersOff, password }));
      return opened.ok ? done({ tile: opened.value.tile, isScan: opened.value.isScan, levels: [...opened.value.levels], layers: [...opened.value.layers], warnings: [...opened.value.warnings] }) : opened;
    },
    planTile: async ({ blob, page, layersOff, level, column, row }) => shelf.tile(blob, page, level, column, row, layersOff),
    examinePlan: async ({ blob, page, job }) => {
      const bytes = plans.get(blob);
      return bytes ? withJob(job, (options) => shelf.examine(blob, bytes, page, options)) : noPlan();
    },
    flattenPlan: async ({ blob, page, map, width, height, layersOff, job }) => {
      const bytes = plans.get(blob);
      if (!bytes) return noPlan();
      const made = await withJob(job, (options) => shelf.flatten(blob, bytes, page, { map, width, height }, { ...options, name: names.get(blob) ?? 'The plan', layersOff }));
      if (!made.ok) return made;
      const flat = createHash('sha256').update(made.value.bytes).digest('hex');
      plans.set(flat, made.value.bytes);
      names.set(flat, names.get(blob) ?? 'The plan');
      return done({ blob: flat, media: made.value.media });
    },
    planThumbnails: async ({ blob, pages, password, job }) => {
      const bytes = plans.get(blob);
      if (!bytes) return noPlan();
      const made = await withJob(job, (options) => shelf.thumbnails(blob, bytes, names.get(blob) ?? 'The plan', pages, { ...options, password }));
      return made.ok ? done({ media: 'image/png', pictures: made.value }) : made;
    },
    offerWalls: async ({ blob, page, thickness, shortest, slack, layersOff, job }) => {
      const bytes = plans.get(blob);
      if (!bytes) return noPlan();
      const found = await withJob(job, (options) => shelf.walls(blob, bytes, page, { thickness, shortest, slack }, { ...options, layersOff }));
      return found.ok ? done({ walls: found.value }) : found;
    },
    readList: async ({ file, text, job }) => {
      if (text !== undefined) {
        if (text.length <= PASTED_AT_ONCE) return readPasted(text);
        // The mark at the start says that it is text, whatever its first cells look like.
        const pasted = await withJob(job, (options) => readListFile(new TextEncoder().encode(`\ufeff${text}`), PASTED, options));
        return pasted.ok ? done({ name: PASTED, cells: pasted.value }) : pasted;
      }
      if (file === undefined) return failed('no-file', 'There is no list to read.', 'Choose a file or paste cells.');
      return withFile(file, async ({ name, bytes }) => {
        const cells = bytes === null ? failed('not-a-list', `“${name}” was opened as a project.`, 'Choose it again as a list.') : await withJob(job, (options) => readListFile(bytes, name, options));
        return cells.ok ? done({ name, cells: cells.value }) : cells;
      });
    },
    planBytes: ({ blob, job }) => withJob(job, (options) => drawable(blob, options)),
  };
}
