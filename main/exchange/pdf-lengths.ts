import { OPS } from 'pdfjs-dist/legacy/build/pdf.mjs';
import type { PDFPageProxy } from 'pdfjs-dist';
import { statedLengths } from '../../shared-core/offer/index';
import type { PlanLine, PlanText, StatedLength } from '../../shared-core/offer/index';
import { withPdf } from './pdf-document';

type Six = [number, number, number, number, number, number];
const joined = (m: Six, n: readonly number[]): Six => {
  const [a, b, c, d, e, f] = m; const [p = 1, q = 0, r = 0, s = 1, t = 0, u = 0] = n;
  return [a * p + c * q, b * p + d * q, a * r + c * s, b * r + d * s, a * t + c * u + e, b * t + d * u + f];
};

/** How many numbers follow each path operator of the page reader's packed paths: move, line, curve, quadratic, close. */
const ARGUMENTS = [2, 2, 6, 4, 0] as const;
const MOST_LINES = 40_000;

/** The straight strokes of a page, upright sheet units, y down. */
async function linesOf(page: PDFPageProxy): Promise<PlanLine[]> {
  const { fnArray, argsArray } = await page.getOperatorList();
  const lines: PlanLine[] = [];
  let matrix = page.getViewport({ scale: 1 }).transform as Six;
  const kept: Six[] = [];
  const at = (x: number, y: number): [number, number] => [matrix[0] * x + matrix[2] * y + matrix[4], matrix[1] * x + matrix[3] * y + matrix[5]];
  for (let i = 0; i < fnArray.length && lines.length < MOST_LINES; i++) {
    const args = argsArray[i] as unknown[];
    switch (fnArray[i]) {
      case OPS.save: kept.push(matrix); break;
      case OPS.restore: case OPS.paintFormXObjectEnd: matrix = kept.pop() ?? matrix; break;
      case OPS.transform: matrix = joined(matrix, args as number[]); break;
      case OPS.paintFormXObjectBegin: kept.push(matrix); if (args[0]) matrix = joined(matrix, [...(args[0] as Iterable<number>)]); break;
      case OPS.constructPath: {
        const packed = (args[1] as (ArrayLike<number> | null)[])[0];
        if (!packed) break;
        let from: [number, number] = [0, 0];
        for (let k = 0; k < packed.length;) {
          const op = packed[k]!; const count = ARGUMENTS[op as 0]; k += 1;
          if (count === undefined) break;
          if (count > 0) {
            const to = at(packed[k + count - 2]!, packed[k + count - 1]!);
            if (op === 1) lines.push({ x1: from[0], y1: from[1], x2: to[0], y2: to[1] });
            from = to;
          }
          k += count;
        }
        break;
      }
      default:
    }
  }
  return lines;
}

async function textsOf(page: PDFPageProxy): Promise<PlanText[]> {
  const viewport = page.getViewport({ scale: 1 });
  const [va, vb, vc, vd] = viewport.transform as Six;
  return (await page.getTextContent()).items.flatMap((item): PlanText[] => {
    if (!('str' in item) || item.str.trim() === '') return [];
    const [a = 0, b = 0, c = 0, d = 0, e = 0, f = 0] = item.transform as number[];
    const along = Math.hypot(a, b) || 1; const up = Math.hypot(c, d) || 1;
    const [x = 0, y = 0] = viewport.convertToViewportPoint(e + ((a / along) * item.width) / 2 + (c / up) * item.height / 2, f + ((b / along) * item.width) / 2 + (d / up) * item.height / 2) as number[];
    return [{ text: item.str, x, y, width: item.width * Math.hypot(va, vb), height: item.height * Math.hypot(vc, vd), angle: (Math.atan2(vb * a + vd * b, va * a + vc * b) * 180) / Math.PI }];
  });
}

/** Lengths that a page states itself: dimension texts on their lines, and scale bars; longest first, sheet units. */
export function pdfLengths(bytes: Uint8Array, index: number, password?: string): Promise<StatedLength[]> {
  return withPdf(bytes, password, async (pdf) => {
    const page = await pdf.getPage(index + 1);
    return statedLengths(await textsOf(page), await linesOf(page));
  });
}
