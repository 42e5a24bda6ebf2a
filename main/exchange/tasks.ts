import { planMedia } from '../../shared-core/exchange/index';
import type { PlanMedia } from '../../shared-core/exchange/index';
import type { WallCandidate } from '../../shared-core/offer/index';
import type { Outcome } from '../../shared-core/host-api';
import type { Announce } from './announce';
import { examinePlan } from './examine-plan';
import type { PlanExam } from './examine-plan';
import { findWalls } from './find-walls';
import { flatPicture } from './flat-picture';
import type { FlatPicture, FlatView } from './flat-picture';
import type { WallLimits } from './find-walls';
import { outcomeOf, PlanRefused } from './problems';
import type { Pyramid } from './pyramid';
import { buildDxf, dxfAsPdf, inspectDxf } from './read-dxf';
import { buildPdf, inspectPdf, pdfThumbnails } from './read-pdf';
import { buildRaster, inspectRaster, rasterThumbnail } from './read-raster';
import type { PlanPage } from './read-raster';
import { buildSvg, inspectSvg } from './read-svg';
import { readTable } from './read-table';
import type { TableCells } from './read-table';
import { performHandOver } from './write-hand-over';
import type { HandOver, HandOverFile } from './write-hand-over';

export interface PlanFacts { readonly media: PlanMedia; readonly pages: readonly PlanPage[] }

/** What a job process can be asked to do; each carries the whole file. */
export type Task =
  | { readonly kind: 'inspect'; readonly bytes: Uint8Array; readonly name: string; readonly password?: string }
  | { readonly kind: 'open'; readonly bytes: Uint8Array; readonly name: string; readonly password?: string; readonly page: number; readonly layersOff?: readonly string[] }
  | { readonly kind: 'examine'; readonly bytes: Uint8Array; readonly name: string; readonly password?: string; readonly page: number }
  | { readonly kind: 'drawable'; readonly bytes: Uint8Array; readonly name: string }
  | { readonly kind: 'thumbnails'; readonly bytes: Uint8Array; readonly name: string; readonly password?: string; readonly pages: readonly number[] }
  | { readonly kind: 'flatten'; readonly bytes: Uint8Array; readonly name: string; readonly password?: string; readonly page: number; readonly layersOff?: readonly string[]; readonly view: FlatView }
  | { readonly kind: 'table'; readonly bytes: Uint8Array; readonly name: string }
  | { readonly kind: 'hand-over'; readonly bytes: Uint8Array; readonly name: string; readonly work: HandOver }
  | ({ readonly kind: 'walls'; readonly bytes: Uint8Array; readonly name: string; readonly password?: string; readonly page: number; readonly layersOff?: readonly string[] } & WallLimits);


function mediaOf(bytes: Uint8Array): PlanMedia {
  if (bytes.length === 0) throw new PlanRefused('empty-file');
  const media = planMedia(bytes);
  if (media === null) throw new PlanRefused('not-a-plan');
  return media;
}

async function inspect(task: Extract<Task, { kind: 'inspect' }>): Promise<PlanFacts> {
  const media = mediaOf(task.bytes);
  switch (media) {
    case 'application/pdf': return { media, pages: await inspectPdf(task.bytes, task.password) };
    case 'image/vnd.dxf': return { media, pages: await inspectDxf(task.bytes) };
    case 'image/svg+xml': return { media, pages: await inspectSvg(task.bytes) };
    default: return { media, pages: await inspectRaster(task.bytes, media) };
  }
}

async function open(task: Extract<Task, { kind: 'open' }>, announce: Announce): Promise<Pyramid> {
  const media = mediaOf(task.bytes);
  switch (media) {
    case 'application/pdf':
      announce({ note: 'Drawing the page', from: 0, to: 0.95, seconds: 4 + task.bytes.length / 200e3 });
      return buildPdf(task.bytes, task.page, task);
    case 'image/vnd.dxf':
      announce({ note: 'Drawing the sheet', from: 0, to: 0.95, seconds: 3 + task.bytes.length / 500e3 });
      return buildDxf(task.bytes, task.page, task.layersOff);
    case 'image/svg+xml':
      announce({ note: 'Drawing the sheet', from: 0, to: 0.95, seconds: 3 + task.bytes.length / 500e3 });
      return buildSvg(task.bytes);
    default: {
      announce({ note: 'Building the picture', from: 0, to: 0.95, seconds: 0.5 + task.bytes.length / 5e6 });
      return buildRaster(task.bytes, media, task.page);
    }
  }
}

/** Long side of a small picture of a page: two device pixels for each of the size it is shown at. */
const THUMBNAIL = 420;

/** Small pictures of pages for choosing among them; null where a page cannot be drawn. */
async function thumbnails({ bytes, pages, password }: Extract<Task, { kind: 'thumbnails' }>): Promise<(Uint8Array | null)[]> {
  const media = mediaOf(bytes);
  if (media === 'application/pdf') return pdfThumbnails(bytes, pages, THUMBNAIL, password);
  if (media === 'image/vnd.dxf') return pdfThumbnails(await dxfAsPdf(bytes), pages, THUMBNAIL);
  const pictures: (Uint8Array | null)[] = [];
  for (const page of pages) pictures.push(media === 'image/svg+xml' ? null : await rasterThumbnail(bytes, media, page, THUMBNAIL).catch(() => null));
  return pictures;
}

/** What a task answers. */
export type Answer = (Uint8Array | null)[] | FlatPicture | PlanFacts | PlanExam | Pyramid | Uint8Array | TableCells | WallCandidate[] | HandOverFile;

export function perform(task: Task, announce: Announce): Promise<Outcome<Answer>> {
  if (task.kind === 'hand-over') return performHandOver(task.work, announce);
  return outcomeOf<Answer>(task.name, () => {
    switch (task.kind) {
      case 'inspect': return inspect(task);
      case 'open': return open(task, announce);
      case 'examine':
        announce({ note: 'Looking how the plan lies', from: 0, to: 0.95, seconds: 5 });
        return examinePlan(task.bytes, mediaOf(task.bytes), task.page, task.password);
      case 'drawable': return dxfAsPdf(task.bytes);
      case 'thumbnails': return thumbnails(task);
      case 'flatten': return flatPicture(task.bytes, mediaOf(task.bytes), task.page, task.view, task, announce);
      case 'table':
        announce({ note: 'Reading the list', from: 0, to: 0.95, seconds: 0.3 + task.bytes.length / 100e3 });
        return readTable(task.bytes);
      case 'walls':
        announce({ note: 'Looking for walls', from: 0, to: 0.95, seconds: 8 });
        return findWalls(task.bytes, mediaOf(task.bytes), task.page, task, task);
    }
  });
}
