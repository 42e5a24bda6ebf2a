import { drawablePlan, examinePlanPage, flattenPlan, inspectPlan, offerWalls, openPlanPage, planThumbnails, planTile } from './plan';
import type { OpenOptions, PlanFacts } from './plan';
import type { Outcome } from '../../shared-core/host-api';
import type { Pyramid } from './pyramid';

const MOST_BYTES = 400e6;
const MOST_SMALL = 2000;

/** Keeps what was opened, under the digest of the plan's bytes, so that nothing is built twice. */
export interface PlanShelf {
  inspect(blob: string, bytes: Uint8Array, name: string, options: OpenOptions): Promise<Outcome<PlanFacts>>;
  open(blob: string, bytes: Uint8Array, name: string, page: number, options: OpenOptions): Promise<Outcome<Pyramid>>;
  /** A tile of a page opened before; 'not-open' when it must be opened (again) first. */
  tile(blob: string, page: number, level: number, column: number, row: number, layersOff?: readonly string[]): Outcome<{ media: string; bytes: Uint8Array }>;
  examine(blob: string, bytes: Uint8Array, page: number, options: OpenOptions): ReturnType<typeof examinePlanPage>;
  flatten(blob: string, bytes: Uint8Array, page: number, view: Parameters<typeof flattenPlan>[2], options: OpenOptions & { readonly name?: string }): ReturnType<typeof flattenPlan>;
  walls(blob: string, bytes: Uint8Array, page: number, limits: Parameters<typeof offerWalls>[2], options: OpenOptions): ReturnType<typeof offerWalls>;
  /** Small pictures of pages, each drawn once. */
  thumbnails(blob: string, bytes: Uint8Array, name: string, pages: readonly number[], options: OpenOptions): Promise<Outcome<(Uint8Array | null)[]>>;
  /** What a sheet can be drawn from at any zoom, with the password that opened it in this session. */
  drawable(blob: string, bytes: Uint8Array, options?: OpenOptions): Promise<Outcome<{ media: string; bytes: Uint8Array; password: string | null }>>;
}

/** @param mostBytes  how much packed picture is kept; the longest unused goes first */
export function createPlanShelf(mostBytes = MOST_BYTES): PlanShelf {
  // Sheets may show one page with different layers: each is a picture of its own.
  const keyOf = (blob: string, page: number, layersOff: readonly string[] | undefined): string => `${blob}/${page}/${JSON.stringify(layersOff ?? null)}`;
  const pages = new Map<string, { readonly pyramid: Pyramid; readonly bytes: number }>();
  const drawings = new Map<string, Awaited<ReturnType<typeof drawablePlan>>>();
  const exams = new Map<string, Awaited<ReturnType<typeof examinePlanPage>>>();
  const passwords = new Map<string, string>();
  const small = new Map<string, Uint8Array | null>();
  const keep = (key: string, pyramid: Pyramid): void => {
    pages.delete(key);
    pages.set(key, { pyramid, bytes: [...pyramid.tiles.values()].reduce((sum, tile) => sum + tile.length, 0) });
    let total = [...pages.values()].reduce((sum, entry) => sum + entry.bytes, 0);
    for (const [oldest, entry] of pages) {
      if (total <= mostBytes || oldest === key) break;
      pages.delete(oldest);
      total -= entry.bytes;
    }
  };
  return {
    async inspect(blob, bytes, name, options) {
      const password = options.password ?? passwords.get(blob);
      const facts = await inspectPlan(bytes, name, { ...options, password });
      if (facts.ok && password !== undefined) passwords.set(blob, password);
      return facts;
    },
    async open(blob, bytes, name, page, options) {
      const key = keyOf(blob, page, options.layersOff);
      const kept = pages.get(key);
      if (kept) { keep(key, kept.pyramid); return { ok: true, value: kept.pyramid }; }
      const password = options.password ?? passwords.get(blob);
      const opened = await openPlanPage(bytes, page, { ...options, name, password });
      if (opened.ok) {
        keep(key, opened.value);
        if (password !== undefined) passwords.set(blob, password);
      }
      return opened;
    },
    tile(blob, page, level, column, row, layersOff) {
      const kept = pages.get(keyOf(blob, page, layersOff));
      if (!kept) return { ok: false, problem: { code: 'not-open', what: 'This sheet is not open any more.', todo: 'Open it again.' } };
      return planTile(kept.pyramid, level, column, row);
    },
    async examine(blob, bytes, page, options) {
      const key = `${blob}/${page}`;
      const kept = exams.get(key);
      if (kept) return kept;
      const exam = await examinePlanPage(bytes, page, { ...options, password: passwords.get(blob) });
      if (exam.ok) exams.set(key, exam);
      return exam;
    },
    flatten: (blob, bytes, page, view, options) => flattenPlan(bytes, page, view, { ...options, password: passwords.get(blob) }),
    walls: (blob, bytes, page, limits, options) => offerWalls(bytes, page, limits, { ...options, password: passwords.get(blob) }),
    async thumbnails(blob, bytes, name, wanted, options) {
      const key = (page: number): string => `${blob}/${page}`;
      const missing = wanted.filter((page) => !small.has(key(page)));
      if (missing.length > 0) {
        const made = await planThumbnails(bytes, missing, { ...options, name, password: options.password ?? passwords.get(blob) });
        if (!made.ok) return made;
        missing.forEach((page, i) => { small.set(key(page), made.value[i] ?? null); });
        for (const oldest of small.keys()) { if (small.size <= MOST_SMALL) break; small.delete(oldest); }
      }
      return { ok: true, value: wanted.map((page) => small.get(key(page)) ?? null) };
    },
    async drawable(blob, bytes, options) {
      const made = drawings.get(blob) ?? await drawablePlan(bytes, 'The plan', options);
      if (made.ok && made.value.bytes !== bytes) drawings.set(blob, made);
      return made.ok ? { ok: true, value: { ...made.value, password: passwords.get(blob) ?? null } } : made;
    },
  };
}
