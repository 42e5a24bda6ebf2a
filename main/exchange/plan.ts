import { planMedia } from '../../shared-core/exchange/index';
import type { Outcome } from '../../shared-core/host-api';
import type { WallCandidate } from '../../shared-core/offer/index';
import type { PlanExam } from './examine-plan';
import type { WallLimits } from './find-walls';
import type { FlatPicture, FlatView } from './flat-picture';
import { JOB_LIMITS, runTask } from './job';
import type { JobOptions } from './job';
import type { Pyramid } from './pyramid';
import type { PlanFacts } from './tasks';

export type { PlanFacts } from './tasks';
export interface OpenOptions extends JobOptions {
  /** For a PDF that is locked; '' is tried by itself. */
  readonly password?: string;
  /** Names of the layers to hide, all others are shown; without it the file decides. */
  readonly layersOff?: readonly string[];
}

/**
 * What a plan file holds: its kind, its pages with their upright size, and what it states about its scale.
 * @param bytes  the whole file; what they are decides, not the name
 * @param name   only for the words of a problem
 * @returns named problems: empty-file, not-a-plan, truncated, damaged, too-large, absurd-size, unsupported, password-needed,
 *          password-wrong, no-pages, empty-drawing, took-too-long, needs-too-much-memory, reader-stopped, cancelled
 * @limits 30 s once its process has started, 1.5 GB
 */
export function inspectPlan(bytes: Uint8Array, name: string, options: OpenOptions = {}): Promise<Outcome<PlanFacts>> {
  return runTask<PlanFacts>({ kind: 'inspect', bytes, name, password: options.password }, JOB_LIMITS.inspectSeconds, options);
}

/**
 * The picture of one page as a tile pyramid, upright; sheet units are picture elements of a scan and 1/72 in of a PDF.
 * @param page  0-based
 * @returns the problems of inspectPlan, and page-missing
 * @limits 180 s, 1.5 GB in a process of its own
 */
export function openPlanPage(bytes: Uint8Array, page: number, options: OpenOptions & { readonly name?: string } = {}): Promise<Outcome<Pyramid>> {
  const { name = 'The plan', password, layersOff } = options;
  return runTask<Pyramid>({ kind: 'open', bytes, name, password, page, layersOff }, JOB_LIMITS.openSeconds, options);
}

/**
 * What a sheet is drawn from at any zoom and marked up on: a drawing file becomes a PDF with one page per sheet and one
 * layer per drawing layer; every other plan is its own original.
 */
export async function drawablePlan(bytes: Uint8Array, name: string, options: JobOptions = {}): Promise<Outcome<{ media: string; bytes: Uint8Array }>> {
  const media = planMedia(bytes);
  if (media !== 'image/vnd.dxf') return { ok: true, value: { media: media ?? 'application/octet-stream', bytes } };
  const made = await runTask<Uint8Array>({ kind: 'drawable', bytes, name }, JOB_LIMITS.inspectSeconds, options);
  return made.ok ? { ok: true, value: { media: 'application/pdf', bytes: made.value } } : made;
}

/** How a page lies, its ground, and the lengths it states itself; offered only. @limits 180 s, 1.5 GB in a process of its own */
export function examinePlanPage(bytes: Uint8Array, page: number, options: OpenOptions & { readonly name?: string } = {}): Promise<Outcome<PlanExam>> {
  const { name = 'The plan', password } = options;
  return runTask<PlanExam>({ kind: 'examine', bytes, name, password, page }, JOB_LIMITS.openSeconds, options);
}

/**
 * Walls that a sheet shows, in its sheet units, longest first; offered for review.
 * @param limits  thinnest and thickest wall and shortest piece, sheet units, all above 0
 */
export function offerWalls(bytes: Uint8Array, page: number, limits: WallLimits, options: OpenOptions & { readonly name?: string } = {}): Promise<Outcome<WallCandidate[]>> {
  const { name = 'The plan', password, layersOff } = options;
  return runTask<WallCandidate[]>({ kind: 'walls', bytes, name, password, page, layersOff, thickness: limits.thickness, shortest: limits.shortest, slack: limits.slack }, JOB_LIMITS.openSeconds, options);
}

/** Small PNG pictures of pages, upright, for choosing among them; null where one cannot be drawn. @param pages 0-based */
export function planThumbnails(bytes: Uint8Array, pages: readonly number[], options: OpenOptions & { readonly name?: string } = {}): Promise<Outcome<(Uint8Array | null)[]>> {
  const { name = 'The plan', password } = options;
  return runTask<(Uint8Array | null)[]>({ kind: 'thumbnails', bytes, name, password, pages }, JOB_LIMITS.openSeconds, options);
}

/** A photographed page made flat, as a picture file of its own. @limits 180 s, 1.5 GB in a process of its own */
export function flattenPlan(bytes: Uint8Array, page: number, view: FlatView, options: OpenOptions & { readonly name?: string } = {}): Promise<Outcome<FlatPicture>> {
  const { name = 'The plan', password, layersOff } = options;
  return runTask<FlatPicture>({ kind: 'flatten', bytes, name, password, page, layersOff, view }, JOB_LIMITS.openSeconds, options);
}

/** An equipment list (XLSX, CSV, TSV) as rows of text cells. */
export function readListFile(bytes: Uint8Array, name: string, options: JobOptions = {}): Promise<Outcome<string[][]>> {
  return runTask<string[][]>({ kind: 'table', bytes, name }, JOB_LIMITS.inspectSeconds, options);
}

/** One tile of an opened page. Column and row count from the upper left; level 0 is the finest. */
export function planTile(pyramid: Pyramid, level: number, column: number, row: number): Outcome<{ media: string; bytes: Uint8Array }> {
  const bytes = pyramid.tiles.get(`${level}/${column}/${row}`);
  if (!bytes) return { ok: false, problem: { code: 'tile-missing', what: `The sheet has no tile ${level}/${column}/${row}.`, todo: 'Open the sheet again.' } };
  return { ok: true, value: { media: pyramid.media, bytes } };
}
