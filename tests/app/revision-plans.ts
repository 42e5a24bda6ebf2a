import { createHash } from 'node:crypto';
import { mkdtempSync } from 'node:fs';
import { writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { packProject } from '../../main/files/plan-file';
import { applySimilarity, similarityMatrix } from '../../shared-core/geometry/index';
import { applyEdit, emptyDocument, putEntities } from '../../shared-core/document/index';
import type { Document, PlanRef } from '../../shared-core/document/index';
import { feet, sheetUnits } from '../../shared-core/units/index';
import { loadOf, sheet, switchOf, wallOf } from '../unit/tools-workbench';

/** An invented hall of 90 ft by 60 ft at 10 units a foot, with a wall across it. */
const rooms = (cross: number, more = ''): string => `
  <g fill="none" stroke="#111" stroke-width="6"><path d="M50 50H950V650H50Z"/><path d="M${cross} 50V600"/><path d="M50 420H250"/></g>
  <g fill="none" stroke="#333" stroke-width="1.6"><path d="M120 90h120v60h-120zM640 520h160v80h-160z"/><path d="M700 120a40 40 0 1 0 80 0a40 40 0 1 0 -80 0"/></g>
  <g font-family="sans-serif" font-size="22" fill="#222"><text x="90" y="400">PRESS HALL</text><text x="700" y="400">CELLAR</text></g>${more}`;

const picture = (width: number, height: number, body: string): Promise<Buffer> =>
  sharp(Buffer.from(`<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}"><rect width="100%" height="100%" fill="#fdfcf7"/>${body}</svg>`)).withMetadata({ density: 100 }).png().toBuffer();

/** The new print: the wall moved from 400 to 520, a pillar added; drawn a quarter larger, turned by 3 degrees, moved on its paper. */
export const PRINTED = { scale: 1.25, turn: 3, x: 90, y: 20 };
export const CORNERS = [{ x: 50, y: 50 }, { x: 950, y: 50 }, { x: 950, y: 650 }, { x: 50, y: 650 }] as const;
/** Where a place of the building lies on the new print. */
export const onNew = (p: { readonly x: number; readonly y: number }): { x: number; y: number } => applySimilarity(PRINTED, p);
export const NEW_SIZE = { width: 1400, height: 1000 };
const OLD_WALL = 400; const NEW_WALL = 520;

export interface RevisionFiles { readonly folder: string; readonly project: string; readonly revision: string; readonly document: Document }

/** Writes a project on the old plan and the picture of the new one into a folder of their own. */
export async function makeRevision(): Promise<RevisionFiles> {
  const folder = mkdtempSync(join(tmpdir(), 'lockstead-revision-'));
  const old = await picture(1000, 700, rooms(OLD_WALL));
  const [a, b, c, d, e, f] = similarityMatrix(PRINTED);
  const next = await picture(NEW_SIZE.width, NEW_SIZE.height, `<g transform="matrix(${a} ${b} ${c} ${d} ${e} ${f})">${rooms(NEW_WALL, '<path d="M836 288h28v28h-28z" fill="#111"/>')}</g>`);
  const blob = createHash('sha256').update(old).digest('hex');
  const plan: PlanRef = { blob, name: 'hall-spring.png', media: 'image/png', page: 0, width: sheetUnits(1000), height: sheetUnits(700), unitsPerPaperInch: 100 };
  const empty: Document = { ...emptyDocument(), sheets: [{ ...sheet, name: 'Press hall', height: sheetUnits(700), plan }] };
  const document = applyEdit(empty, putEntities(empty, 'set up', [
    wallOf('wall-outer', [50, 50], [950, 50], [950, 650], [50, 650], [50, 50]), { ...wallOf('wall-cross', [OLD_WALL, 50], [OLD_WALL, 600]), thickness: feet(0.6) },
    loadOf('load-1', 'M-1', 470, 250), switchOf('disconnect-1', 'DS-1', 320, 250, ['load-1']),
    loadOf('load-2', 'M-2', 450, 500), switchOf('disconnect-2', 'DS-2', 580, 500, ['load-2']),
    loadOf('load-3', 'M-3', 150, 560), switchOf('disconnect-3', 'DS-3', 150, 610, ['load-3']),
  ]));
  const packed = packProject(document, new Map([[blob, new Uint8Array(old)]]));
  if (!packed.ok) throw new Error(packed.problem.what);
  const project = join(folder, 'hall.lockstead'); const revision = join(folder, 'hall-autumn.png');
  await writeFile(project, packed.value);
  await writeFile(revision, next);
  return { folder, project, revision, document };
}
