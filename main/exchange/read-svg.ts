import sharp from 'sharp';
import { plainSvg } from '../../shared-core/exchange/index';
import type { PlainSvg } from '../../shared-core/exchange/index';
import { PlanRefused } from './problems';
import { buildPyramid } from './pyramid';
import type { Pyramid } from './pyramid';
import type { PlanPage } from './read-raster';

const LONG_SIDE = 8000;
const MOST_PICTURE = 48e6;
const LONGEST_SIDE = 1e6;

function read(bytes: Uint8Array): PlainSvg {
  const svg = plainSvg(new TextDecoder('utf-8').decode(bytes));
  if (typeof svg === 'string') throw new PlanRefused(svg);
  if (Math.max(svg.width, svg.height) > LONGEST_SIDE) throw new PlanRefused('too-large', `It says it is ${Math.round(svg.width)} by ${Math.round(svg.height)} pixels.`);
  return svg;
}

export async function inspectSvg(bytes: Uint8Array): Promise<PlanPage[]> {
  const { width, height, unitsPerPaperInch } = read(bytes);
  return [{
    page: 0, label: null, width, height, unitsPerPaperInch, scales: [], lengths: [], layers: [], drawing: null, warnings: [],
    stored: { width, height, turned: 0, mirrored: false, unitsPerInch: null },
  }];
}

export async function buildSvg(bytes: Uint8Array): Promise<Pyramid> {
  const svg = read(bytes);
  const scale = Math.min(LONG_SIDE / Math.max(svg.width, svg.height), Math.sqrt(MOST_PICTURE / (svg.width * svg.height)));
  const [width, height] = [Math.max(1, Math.round(svg.width * scale)), Math.max(1, Math.round(svg.height * scale))];
  try {
    // Lines and text of any size: the library's own limits on them do not fit plans.
    const picture = sharp(Buffer.from(svg.sized(width, height)), { unlimited: true, limitInputPixels: MOST_PICTURE * 2 }).flatten({ background: '#ffffff' });
    return await buildPyramid(picture, svg.width);
  } catch {
    throw new PlanRefused('damaged');
  }
}
