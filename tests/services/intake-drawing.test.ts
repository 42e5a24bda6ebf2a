import DxfParser from 'dxf-parser';
import { PDFDocument } from '@cantoo/pdf-lib';
import { afterAll, describe, expect, it } from 'vitest';
import { createPlanShelf, drawablePlan, endIdleJobs, inspectPlan, offerWalls, openPlanPage, planTile } from '../../main/exchange/index';
import type { Pyramid } from '../../main/exchange/index';
import type { Outcome } from '../../shared-core/host-api';
import { createServices } from '../../main/services';
import { darkness } from './plan-files';
import { scratchFolder } from './scratch';

afterAll(endIdleJobs);
const value = <T>(outcome: Outcome<T>): T => {
  if (!outcome.ok) throw new Error(`${outcome.problem.code}: ${outcome.problem.what}`);
  return outcome.value;
};
const code = (outcome: Outcome<unknown>): string => (outcome.ok ? 'opened' : outcome.problem.code);
const coarsest = (pyramid: Pyramid): Uint8Array => value(planTile(pyramid, pyramid.levels.length - 1, 0, 0)).bytes;

type Group = [number, string | number];
const text = (groups: Group[]): Uint8Array => new TextEncoder().encode(groups.map(([c, v]) => `${String(c).padStart(3)}\n${v}\n`).join(''));
const BINARY_HEAD = [0x41, 0x75, 0x74, 0x6f, 0x43, 0x41, 0x44, 0x20, 0x42, 0x69, 0x6e, 0x61, 0x72, 0x79, 0x20, 0x44, 0x58, 0x46, 0x0d, 0x0a, 0x1a, 0x00];

/** The same groups in the binary form, with two-byte group numbers (DXF reference, "Binary DXF Files"). */
function binary(groups: Group[]): Uint8Array {
  const out = [...BINARY_HEAD];
  for (const [c, v] of groups) {
    out.push(c & 255, c >> 8);
    const put = (bytes: number, write: (view: DataView) => void): void => { const buffer = new ArrayBuffer(bytes); write(new DataView(buffer)); out.push(...new Uint8Array(buffer)); };
    if (c < 10) out.push(...new TextEncoder().encode(String(v)), 0);
    else if (c < 60) put(8, (view) => { view.setFloat64(0, Number(v), true); });
    else put(2, (view) => { view.setInt16(0, Number(v), true); });
  }
  return new Uint8Array(out);
}

/** A room of 6 x 4 m with a filled block in its upper left corner, and a layer that is off. */
const room: Group[] = [
  [0, 'SECTION'], [2, 'HEADER'], [9, '$INSUNITS'], [70, 6], [0, 'ENDSEC'],
  [0, 'SECTION'], [2, 'TABLES'], [0, 'TABLE'], [2, 'LAYER'], [0, 'LAYER'], [2, 'A-WALL'], [70, 0], [62, 7], [0, 'LAYER'], [2, 'HIDDEN'], [70, 0], [62, -1], [0, 'ENDTAB'], [0, 'ENDSEC'],
  [0, 'SECTION'], [2, 'ENTITIES'],
  ...([[0, 0, 6, 0], [6, 0, 6, 4], [6, 4, 0, 4], [0, 4, 0, 0]] as const).flatMap(([x1, y1, x2, y2]): Group[] => [[0, 'LINE'], [8, 'A-WALL'], [10, x1], [20, y1], [11, x2], [21, y2]]),
  [0, 'SOLID'], [8, 'A-WALL'], [10, 0.3], [20, 2.8], [11, 1.3], [21, 2.8], [12, 0.3], [22, 3.7], [13, 1.3], [23, 3.7],
  [0, 'SOLID'], [8, 'HIDDEN'], [10, 4], [20, 0.5], [11, 5], [21, 0.5], [12, 4], [22, 1.5], [13, 5], [23, 1.5],
  [0, 'ENDSEC'], [0, 'EOF'],
];

describe('a drawing file opens as a vector sheet', () => {
  it('making it drawable can be cancelled, and done afterwards', async () => {
    const { calls } = createServices({ runsIn: 'browser', version: '0', stateFolder: await scratchFolder(), startPath: null, startIsTemplate: false, dialogs: null });
    const file = value(await calls.offerFile({ name: 'room.dxf', bytes: text(room) }));
    const { blob } = value(await calls.inspectPlan({ file: file.file }));
    // Cancelled in the turn in which it begins: no process can have answered by then.
    const making = calls.planBytes({ blob, job: 'drawing' });
    await calls.cancel({ job: 'drawing' });
    expect(code(await making)).toBe('cancelled');
    expect(value(await calls.planBytes({ blob, job: 'drawing' })).media).toBe('application/pdf');
  });

  it.each([['text', text(room)], ['binary', binary(room)]] as const)('%s', async (_form, bytes) => {
    const plan = value(await inspectPlan(bytes, 'room'));
    expect(plan.media).toBe('image/vnd.dxf');
    const page = plan.pages[0]!;
    expect(page.drawing).toMatchObject({ unitsPerDrawingUnit: 1000, declaredUnit: 'metre' });
    expect(page.scales[0]!.feetPerUnit).toBeCloseTo(1 / 0.3048 / 1000, 9);
    expect(value(await createPlanShelf().examine('digest', bytes, 0, {})).scales).toEqual(page.scales);
    expect(page.layers.map(({ name, visible }) => [name, visible])).toEqual([['A-WALL', true], ['HIDDEN', false]]);
    const tile = coarsest(value(await openPlanPage(bytes, 0)));
    expect(await darkness(tile, 0.1, 0.15, 0.18, 0.25)).toBeGreaterThan(0.9);
    expect(await darkness(tile, 0.69, 0.68, 0.78, 0.78)).toBeLessThan(0.05);
    const shown = coarsest(value(await openPlanPage(bytes, 0, { layersOff: [] })));
    expect(await darkness(shown, 0.69, 0.68, 0.78, 0.78)).toBeGreaterThan(0.4);
  });

  it('its scale bar and its plain dimension texts are offered as lengths, longest first, and both say one scale', async () => {
    const line = (x1: number, y1: number, x2: number, y2: number): Group[] => [[0, 'LINE'], [8, '0'], [10, x1], [20, y1], [11, x2], [21, y2]];
    const words = (x: number, y: number, height: number, said: string): Group[] => [[0, 'TEXT'], [8, '0'], [10, x], [20, y], [40, height], [1, said]];
    const strip = [0, 5, 10].flatMap((x) => line(x, -1, x, -1.4));
    const drawn: Group[] = [...line(0, 0, 12, 0), ...line(0, 0, 0, 8), ...line(0, -1, 10, -1), ...strip, ...words(-0.1, -0.8, 0.25, '0'), ...words(4.9, -0.8, 0.25, '5'), ...words(9.7, -0.8, 0.25, '10 m'),
      ...line(0, -3, 12, -3), ...words(5.2, -2.9, 0.25, '12.00 m')];
    const file = text([[0, 'SECTION'], [2, 'ENTITIES'], ...drawn, [0, 'ENDSEC'], [0, 'EOF']]);
    const { lengths } = value(await createPlanShelf().examine('digest', file, 0, {}));
    // A foot is 0.3048 m exactly (NIST Special Publication 811): 12 m are 39.3701 ft.
    expect(lengths.map(({ text: said }) => said)).toEqual(['12.00 m', 'scale bar 0 to 10 m']);
    const [dimension, bar] = lengths;
    expect(dimension?.feet).toBeCloseTo(39.3701, 3);
    expect(bar?.feet).toBeCloseTo(32.8084, 3);
    // Both were drawn at one scale, so both say the same of a sheet unit; no label's width is in it.
    const perUnit = ({ from, to, feet }: { from: [number, number]; to: [number, number]; feet: number }): number => feet / Math.hypot(to[0] - from[0], to[1] - from[1]);
    expect(perUnit(bar!)).toBeCloseTo(perUnit(dimension!), 9);
    expect(bar).not.toHaveProperty('within');
  });

  it('layers are hidden by name, in the picture and in what walls are offered from; each state is a picture of its own', async () => {
    const shelf = createPlanShelf();
    const plan = text(room);
    const corner = async (layersOff?: readonly string[]): Promise<[number, number]> => {
      value(await shelf.open('digest', plan, 'room.dxf', 0, layersOff ? { layersOff } : {}));
      const { levels } = value(await shelf.open('digest', plan, 'room.dxf', 0, layersOff ? { layersOff } : {}));
      const { bytes } = value(shelf.tile('digest', 0, levels.length - 1, 0, 0, layersOff));
      return [await darkness(bytes, 0.1, 0.15, 0.18, 0.25), await darkness(bytes, 0.69, 0.68, 0.78, 0.78)];
    };
    expect((await corner(['A-WALL'])).map((dark) => dark > 0.4)).toEqual([false, true]);
    expect((await corner()).map((dark) => dark > 0.4)).toEqual([true, false]);
    // The first state is still there, unmixed with the second.
    const hidden = value(shelf.tile('digest', 0, 0, 0, 0, ['A-WALL'])).bytes;
    expect(Buffer.from(hidden).equals(Buffer.from(value(shelf.tile('digest', 0, 0, 0, 0)).bytes))).toBe(false);
    expect(code(shelf.tile('digest', 0, 0, 0, 0, ['HIDDEN']))).toBe('not-open');
    // Two faces of a wall, 200 mm apart, on a layer of their own (sheet units are millimetres).
    const face = (y: number): typeof room => [[0, 'LINE'], [8, 'A-PART'], [10, 0.5], [20, y], [11, 4.5], [21, y]];
    const walled = text([...room.slice(0, -2), ...face(1), ...face(1.2), ...room.slice(-2)]);
    const limits = { thickness: [50, 400] as const, shortest: 500 };
    const offered = async (layersOff?: readonly string[]): Promise<(readonly [number, string | undefined])[]> =>
      value(await offerWalls(walled, 0, limits, layersOff ? { layersOff } : {})).map((wall) => [Math.round(wall.thickness), wall.layer] as const);
    expect(await offered()).toContainEqual([200, 'A-PART']);
    // The strips of A-WALL are walls of their own; each layer takes only its own walls away.
    expect(new Set((await offered(['A-PART'])).map(([, layer]) => layer)).has('A-PART')).toBe(false);
    expect(await offered(['A-PART'])).toContainEqual([300, 'A-WALL']);
    expect(await offered(['A-WALL', 'HIDDEN'])).toEqual([[200, 'A-PART']]);
    expect(await offered(['A-WALL', 'HIDDEN', 'A-PART'])).toEqual([]);
  }, 60_000);

  it('as a PDF page with its layers, the same each time', async () => {
    const first = value(await drawablePlan(text(room), 'room.dxf'));
    expect(first.media).toBe('application/pdf');
    const pdf = await PDFDocument.load(first.bytes);
    expect(pdf.getPage(0).getSize().width).toBeCloseTo(6240, 3);
    expect(value(await drawablePlan(text(room), 'room.dxf')).bytes).toEqual(first.bytes);
  });

  it('an independent reader finds the same entities', () => {
    const parsed = new DxfParser().parseSync(new TextDecoder().decode(text(room)));
    expect(parsed!.entities.map((entity) => entity.type)).toEqual(['LINE', 'LINE', 'LINE', 'LINE', 'SOLID', 'SOLID']);
  });

  it('cut off, empty or not made of groups is refused by name', async () => {
    expect(code(await inspectPlan(text(room.slice(0, -8)), 'room.dxf'))).toBe('truncated');
    expect(code(await inspectPlan(text([[0, 'SECTION'], [2, 'ENTITIES'], [0, 'ENDSEC'], [0, 'EOF']]), 'room.dxf'))).toBe('empty-drawing');
    expect(code(await inspectPlan(new TextEncoder().encode('0\nSECTION\n2\nENTITIES\nnot a number\nLINE\n0\nEOF\n'), 'room.dxf'))).toBe('damaged');
  });
});

describe('an SVG', () => {
  const svg = (inside: string): Uint8Array => new TextEncoder().encode(`<svg xmlns="http://www.w3.org/2000/svg" width="300" height="200" viewBox="0 0 300 200">${inside}</svg>`);
  it('opens with the right picture; what would run or fetch does not', async () => {
    const bytes = svg('<rect x="18" y="18" width="40" height="40"/><script>throw 1</script><image href="file:///etc/hostname" width="300" height="200"/>');
    expect(value(await inspectPlan(bytes, 'plan.svg'))).toMatchObject({ media: 'image/svg+xml', pages: [{ width: 300, height: 200 }] });
    const tile = coarsest(value(await openPlanPage(bytes, 0)));
    expect(await darkness(tile, 0.08, 0.12, 0.15, 0.2)).toBeGreaterThan(0.95);
    expect(await darkness(tile, 0.3, 0.4, 1, 1)).toBe(0);
  });
  it('that is broken inside is refused', async () => {
    expect(code(await openPlanPage(svg('<g><rect'), 0))).toBe('damaged');
  });
});
