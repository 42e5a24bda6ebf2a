import { PDFArray, PDFDict, PDFDocument, PDFHexString, PDFName, PDFNumber, PDFString } from '@cantoo/pdf-lib';

/** A drawing scale stored in a page, as the file has it: in default user space, before Rotate, CropBox and UserUnit. */
export interface StatedScale {
  readonly name: string;
  /** null where the unit is blank or unknown: never guessed. */
  readonly feetPerDefaultUnit: number | null;
  readonly corners: readonly [readonly [number, number], readonly [number, number]];
}

const FEET_PER: Readonly<Record<string, number>> = {
  ft: 1, feet: 1, foot: 1, "'": 1, in: 1 / 12, inch: 1 / 12, inches: 1 / 12, '"': 1 / 12, yd: 3, mi: 5280,
  m: 1 / 0.3048, cm: 0.01 / 0.3048, mm: 0.001 / 0.3048, km: 1000 / 0.3048,
};

const text = (value: unknown): string => (value instanceof PDFString || value instanceof PDFHexString ? value.decodeText() : '');
const number = (value: unknown): number => (value instanceof PDFNumber ? value.asNumber() : Number.NaN);

function scaleOf(viewport: PDFDict): StatedScale | null {
  const measure = viewport.lookup(PDFName.of('Measure'));
  const box = viewport.lookup(PDFName.of('BBox'));
  if (!(measure instanceof PDFDict) || !(box instanceof PDFArray) || box.size() !== 4) return null;
  const [x1, y1, x2, y2] = [0, 1, 2, 3].map((i) => number(box.lookup(i))) as [number, number, number, number];
  const along = measure.lookup(PDFName.of('X'));
  const first = along instanceof PDFArray ? along.lookup(0) : undefined;
  if (![x1, y1, x2, y2].every(Number.isFinite) || !(first instanceof PDFDict)) return null;
  const factor = number(first.lookup(PDFName.of('C')));
  const unit = text(first.lookup(PDFName.of('U'))).trim().toLowerCase();
  const feet = Object.hasOwn(FEET_PER, unit) ? FEET_PER[unit]! : null;
  const name = [text(viewport.lookup(PDFName.of('Name'))), text(measure.lookup(PDFName.of('R')))].filter(Boolean).join(', ');
  return { name, feetPerDefaultUnit: feet !== null && factor > 0 ? factor * feet : null, corners: [[x1, y1], [x2, y2]] };
}

/**
 * Scales that the pages themselves carry (viewports with rectilinear measure dictionaries), by 0-based page.
 * A file whose structure this reader does not accept has none: a hint is lost, never a plan.
 * @source ISO 32000-2 12.9
 */
export async function statedScales(bytes: Uint8Array, password?: string): Promise<Map<number, StatedScale[]>> {
  const found = new Map<number, StatedScale[]>();
  if (!Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength).includes('Measure') && password === undefined) {
    // Compressed object streams may still hold one; only a file without them can be passed over quickly.
    if (!Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength).includes('ObjStm')) return found;
  }
  try {
    const pdf = await PDFDocument.load(bytes, { updateMetadata: false, throwOnInvalidObject: false, ...(password === undefined ? { ignoreEncryption: true } : { password }) });
    pdf.getPages().forEach((page, index) => {
      const viewports = page.node.lookup(PDFName.of('VP'));
      if (!(viewports instanceof PDFArray)) return;
      const scales: StatedScale[] = [];
      for (let i = 0; i < viewports.size(); i++) {
        const viewport = viewports.lookup(i);
        const scale = viewport instanceof PDFDict ? scaleOf(viewport) : null;
        if (scale) scales.push(scale);
      }
      if (scales.length > 0) found.set(index, scales);
    });
  } catch {
    found.clear();
  }
  return found;
}
