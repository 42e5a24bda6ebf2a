import type { Sharp } from 'sharp';
import type { PlanMedia } from '../../shared-core/exchange/index';
import type { HostOutput } from '../../shared-core/host-api';
import { skewOfLines, skewOfScan, statedLengths } from '../../shared-core/offer/index';
import type { PlanLine, PlanText, StatedLength } from '../../shared-core/offer/index';
import { pdfLengths } from './pdf-lengths';
import { PlanRefused } from './problems';
import { dxfSheets } from './read-dxf';
import { drawPdfPage, pdfScales } from './read-pdf';
import { uprightPicture } from './read-raster';

/** What a look at the picture finds and offers: nothing of it is done unasked. */
export type PlanExam = HostOutput<'examinePlan'>;

const LOOKED_AT = 3400;
/** Below this brightness, of 255, the commonest value makes a black ground. */
const BLACK = 96;
/** Ink is what differs most from the ground, at most this share of the sheet, and by at least and surely by so much. */
const MOST_INK = 0.08;
const LEAST_CONTRAST = 24;
const SURE_CONTRAST = 110;

/** Skew and ground of a picture that was made small enough to look at as a whole. */
async function look(picture: Sharp): Promise<Pick<PlanExam, 'skew' | 'blackGround'>> {
  const { data, info } = await picture.raw().toBuffer({ resolveWithObject: true });
  const counts = new Uint32Array(256);
  for (let i = 0; i < data.length; i += info.channels) counts[data[i]!]! += 1;
  const ground = counts.indexOf(counts.reduce((a, b) => Math.max(a, b), 0));
  const off = new Uint32Array(256);
  counts.forEach((count, value) => { off[Math.abs(value - ground)]! += count; });
  let least = SURE_CONTRAST; let share = 0;
  for (let step = 255; step > SURE_CONTRAST; step--) share += off[step]!;
  while (least > LEAST_CONTRAST && share + off[least]! <= MOST_INK * info.width * info.height) { share += off[least]!; least -= 1; }
  const ink = new Uint8Array(info.width * info.height);
  for (let i = 0; i < ink.length; i++) ink[i] = Math.abs(data[i * info.channels]! - ground) > least ? 1 : 0;
  return { skew: skewOfScan({ width: info.width, height: info.height, ink }), blackGround: ground < BLACK };
}

/** How a sheet lies, what ground it stands on, and which lengths and scales it states itself; picture units. */
export async function examinePlan(bytes: Uint8Array, media: PlanMedia, page: number, password?: string): Promise<PlanExam> {
  switch (media) {
    case 'image/vnd.dxf': return examineDrawing(bytes, page);
    case 'image/svg+xml': return { skew: null, blackGround: false, lengths: [], scales: [] };
    case 'application/pdf': {
      const drawn = await drawPdfPage(bytes, page, { ...(password === undefined ? {} : { password }), longSide: LOOKED_AT });
      return { ...await look(drawn.picture.greyscale()), lengths: drawn.isScan ? [] : await pdfLengths(bytes, page, password), scales: await pdfScales(bytes, page, password) };
    }
    default: {
      const { picture, facts } = await uprightPicture(bytes, media, page);
      const k = Math.min(1, LOOKED_AT / Math.max(facts.width, facts.height));
      return { ...await look(picture.resize(Math.max(1, Math.round(facts.width * k)), Math.max(1, Math.round(facts.height * k)), { fit: 'fill' }).greyscale()), lengths: [], scales: [] };
    }
  }
}

/** About how wide a letter is beside its height. */
const LETTER = 0.75;

function examineDrawing(bytes: Uint8Array, page: number): PlanExam {
  const sheet = dxfSheets(bytes).sheets[page];
  if (!sheet) throw new PlanRefused('page-missing');
  const lines: PlanLine[] = []; const texts: PlanText[] = [];
  for (const mark of sheet.parts.flatMap((part) => part.marks)) {
    if (mark.kind === 'text') {
      const { at: [x, y], along, up } = mark;
      const [wide, high] = [Math.hypot(...along), Math.hypot(...up)];
      const length = [...mark.text].length * LETTER;
      const middle = mark.align === 'left' ? length / 2 : mark.align === 'right' ? -length / 2 : 0;
      texts.push({ text: mark.text, x: x + along[0] * middle + up[0] / 2, y: sheet.height - (y + along[1] * middle + up[1] / 2), width: wide * length, height: high, angle: (Math.atan2(-along[1], along[0]) * 180) / Math.PI });
    } else if (mark.kind === 'line' && mark.source !== 'HATCH') {
      mark.points.slice(1).forEach(([x2, y2], i) => { const [x1, y1] = mark.points[i]!; lines.push({ x1, y1: sheet.height - y1, x2, y2: sheet.height - y2 }); });
    }
  }
  const whole: [number, number, number, number] = [0, 0, sheet.width, sheet.height];
  return { skew: skewOfLines(lines), blackGround: false, scales: sheet.scales.map((scale) => ({ ...scale, box: whole })), lengths: drawingLengths(sheet.lengths.map(({ from, to, text, feet }) => ({ from: [from[0], from[1]], to: [to[0], to[1]], text, feet })), statedLengths(texts, lines)) };
}

/** Dimensions of the drawing, and what its plain texts and scale bars say beside them; a dimension is drawn as lines and text as well. */
function drawingLengths(dimensions: readonly StatedLength[], written: readonly StatedLength[]): StatedLength[] {
  const long = ({ from, to }: StatedLength): number => Math.hypot(to[0] - from[0], to[1] - from[1]);
  const isSame = (a: StatedLength, b: StatedLength): boolean => Math.abs(a.feet / b.feet - 1) < 0.001 && Math.abs(long(a) / long(b) - 1) < 0.02
    && Math.hypot(a.from[0] + a.to[0] - b.from[0] - b.to[0], a.from[1] + a.to[1] - b.from[1] - b.to[1]) < 1.2 * long(a);
  return [...dimensions, ...written.filter((one) => !dimensions.some((other) => isSame(one, other)))].sort((a, b) => long(b) - long(a));
}
