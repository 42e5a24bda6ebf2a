import { PDFDocument, PDFName, PDFString, rgb } from '@cantoo/pdf-lib';
import { describe, expect, it } from 'vitest';
import { lookedAt } from '../../main/exchange/scan-bitmap';
import { findWalls, scaled } from '../../main/exchange/find-walls';
import { pdfPaths } from '../../main/exchange/pdf-paths';
import { dxfSheets } from '../../main/exchange/read-dxf';

const LIMITS = { thickness: [4, 14] as const, shortest: 20 };
const ink = rgb(0, 0, 0);

/** A page of 400 x 300 with two rooms in double lines 8 apart, drawn by another library than the one that reads it. */
async function roomPdf(prepare?: (pdf: PDFDocument) => void): Promise<Uint8Array> {
  const pdf = await PDFDocument.create();
  const page = pdf.addPage([400, 300]);
  const line = (x1: number, y1: number, x2: number, y2: number): void => { page.drawLine({ start: { x: x1, y: y1 }, end: { x: x2, y: y2 }, thickness: 0.5, color: ink }); };
  for (const [x1, y1, x2, y2] of [[20, 20, 380, 20], [28, 28, 372, 28], [20, 280, 380, 280], [28, 272, 372, 272], [20, 20, 20, 280], [28, 28, 28, 272], [380, 20, 380, 280], [372, 28, 372, 272]] as const) line(x1, y1, x2, y2);
  // An inner wall as a filled strip, and a white one that only covers.
  page.drawRectangle({ x: 196, y: 28, width: 8, height: 244, color: ink });
  page.drawRectangle({ x: 100, y: 60, width: 8, height: 150, color: rgb(1, 1, 1) });
  prepare?.(pdf);
  return pdf.save();
}

const lengths = (walls: readonly { x1: number; y1: number; x2: number; y2: number }[]): number[] => walls.map((w) => Math.round(Math.hypot(w.x2 - w.x1, w.y2 - w.y1))).sort((a, b) => a - b);

describe('walls from the paths of a PDF', () => {
  it('double lines and filled strips are found where they stand, y down; what is white covers and is no wall', async () => {
    const walls = await findWalls(await roomPdf(), 'application/pdf', 0, LIMITS);
    expect(lengths(walls)).toEqual([252, 252, 252, 352, 352]);
    expect(walls.every((wall) => Math.abs(wall.thickness - 8) < 1e-3)).toBe(true);
    expect(walls.some((wall) => Math.abs(wall.x1 - 200) < 1e-3 && Math.abs(wall.x2 - 200) < 1e-3)).toBe(true);
  });
  it('what is drawn with another colour or a thinner line than the walls is offered in doubt', async () => {
    const colours = [[rgb(0, 0, 1), 0.5], [ink, 0.2]] as const;
    for (const [color, thickness] of colours) {
      const walls = await findWalls(await roomPdf((pdf) => {
        for (const y of [100, 108]) pdf.getPage(0).drawLine({ start: { x: 204, y }, end: { x: 372, y }, thickness, color });
      }), 'application/pdf', 0, LIMITS);
      expect(walls.filter(({ doubt }) => doubt !== undefined).map(({ y1, doubt }) => [Math.round(y1), doubt])).toEqual([[196, 'pen']]);
      expect(walls).toHaveLength(6);
    }
  });
  it('a page turned by /Rotate gives its walls upright', async () => {
    const walls = await findWalls(await roomPdf((pdf) => { pdf.getPage(0).node.set(PDFName.of('Rotate'), pdf.context.obj(90)); }), 'application/pdf', 0, LIMITS);
    const [first] = walls.filter((wall) => Math.abs(wall.y1 - wall.y2) < 1e-3 && Math.abs(wall.y1 - 200) < 1e-3);
    // The inner wall stood upright at x = 200 of the unturned page, which is 400 high when turned.
    expect(first && Math.round(Math.abs(first.x2 - first.x1))).toBe(252);
  });
  it('a layer the file hides shows no paths, a shown one gives its name', async () => {
    const bytes = await roomPdf((pdf) => {
      const { context } = pdf;
      const group = (name: string) => context.register(context.obj({ Type: 'OCG', Name: PDFString.of(name) }));
      const [shown, hidden] = [group('A-WALL'), group('A-OLD')];
      pdf.catalog.set(PDFName.of('OCProperties'), context.obj({ OCGs: [shown, hidden], D: { OFF: [hidden] } }));
      const page = pdf.getPage(0);
      page.node.normalizedEntries().Resources.set(PDFName.of('Properties'), context.obj({ Wall: shown, Old: hidden }));
      page.node.addContentStream(context.register(context.stream('/OC /Wall BDC 50 100 m 150 100 l S EMC /OC /Old BDC 50 110 m 150 110 l S EMC')));
    });
    const { paths, hasPictures } = await pdfPaths(bytes, 0);
    expect(hasPictures).toBe(false);
    const at = (y: number) => paths.filter((p) => p.points.length === 2 && p.points.every(([, py]) => Math.abs(py - (300 - y)) < 1e-3) && Math.abs(p.points[0]![0] - 50) < 1e-3);
    expect(at(100)).toHaveLength(1);
    expect(at(110)).toEqual([]);
    expect(at(100)[0]!.layer).toBe('A-WALL');
    // A sheet that hides layers says so by name; all others show, also those the file hides.
    const { paths: others } = await pdfPaths(bytes, 0, { layersOff: ['A-WALL'] });
    expect(others.map(({ layer }) => layer).filter((layer) => layer !== undefined)).toEqual(['A-OLD']);
  });
  it('a page that is not there is refused by name', async () => {
    await expect(pdfPaths(await roomPdf(), 3)).rejects.toMatchObject({ code: 'page-missing' });
  });
});

describe('walls from a DXF drawing', () => {
  const dxf = (entities: readonly string[]): Uint8Array => new TextEncoder().encode(['0', 'SECTION', '2', 'ENTITIES', ...entities, '0', 'ENDSEC', '0', 'EOF', ''].join('\n'));
  const line = (x1: number, y1: number, x2: number, y2: number): string[] => ['0', 'LINE', '8', 'A-WALL', '10', String(x1), '20', String(y1), '11', String(x2), '21', String(y2)];
  const solid = (x1: number, y1: number, x2: number, y2: number): string[] => ['0', 'SOLID', '8', 'A-WALL', '10', String(x1), '20', String(y1), '11', String(x2), '21', String(y1), '12', String(x1), '22', String(y2), '13', String(x2), '23', String(y2)];

  it('an arc in a gap is a door, a SOLID is a wall', async () => {
    const bytes = dxf([...line(0, 0, 100, 0), ...line(0, 8, 100, 8), ...line(140, 0, 300, 0), ...line(140, 8, 300, 8), '0', 'ARC', '8', 'A-DOOR', '10', '100', '20', '8', '40', '40', '50', '0', '51', '90', ...solid(292, 8, 300, 200)].flat());
    // The sheet may be larger than the drawing by a power of ten.
    const per = dxfSheets(bytes).sheets[0]!.unitsPerDrawingUnit;
    const walls = await findWalls(bytes, 'image/vnd.dxf', 0, { thickness: [4 * per, 14 * per], shortest: 20 * per });
    expect(walls).toHaveLength(2);
    expect(walls.flatMap((wall) => wall.openings ?? []).map(({ from, to }) => Math.round((to - from) / per))).toEqual([40]);
    expect(walls.every((wall) => wall.layer === 'A-WALL')).toBe(true);
  });
});

it('a plan is looked at finely enough that the faces of its thinnest wall stay apart, within bounds', () => {
  expect(lookedAt(0)).toBe(3400);
  // A wall of 4 points on a sheet 3456 points long: 7 picture elements of 6048.
  expect(lookedAt(4 / 3456)).toBe(6048);
  expect(lookedAt(1 / 50)).toBe(3400);
  expect(lookedAt(1 / 1e6)).toBe(7200);
});

it('the places of doors go along when walls are carried over to the size of the scan', () => {
  const [wall] = scaled([{ x1: 1, y1: 2, x2: 11, y2: 2, thickness: 0.5, openings: [{ from: 2, to: 5, swing: { hinge: 'from', side: 'left' } }] }], 3);
  expect(wall).toEqual({ x1: 3, y1: 6, x2: 33, y2: 6, thickness: 1.5, openings: [{ from: 6, to: 15, swing: { hinge: 'from', side: 'left' } }] });
});
