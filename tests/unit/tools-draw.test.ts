import { describe, expect, it } from 'vitest';
import type { Document } from '../../shared-core/document/index';
import { at, documentWith, loadOf, sheet, switchOf, Workbench, wallOf } from './tools-workbench';
import { sheetUnits } from '../../shared-core/units/index';

describe('the wall tool', () => {
  it('draws a chain by clicks and ends it with Enter, as one step of undo', () => {
    const bench = new Workbench(documentWith()).take('wall').click(100, 100).click(300, 100).click(300, 250);
    expect(bench.all('wall')).toEqual([]);
    bench.key('Enter');
    expect(bench.the('wall').points).toEqual([at(100, 100), at(300, 100), at(300, 250)]);
    expect(bench.the('wall')).toMatchObject({ thickness: 0.5, top: 10, material: 'opaque' });
    expect(bench.done).toHaveLength(1);
    expect(bench.selection).toEqual([bench.the('wall').id]);
  });

  it('closes on its first corner', () => {
    const bench = new Workbench(documentWith()).take('wall').click(100, 100).click(300, 100).click(300, 250).click(103, 102);
    expect(bench.the('wall').points.at(-1)).toEqual(at(100, 100));
    expect(bench.the('wall').points).toHaveLength(4);
  });

  it('ends with a double click and leaves no second corner there', () => {
    const bench = new Workbench(documentWith()).take('wall').click(100, 100).click(300, 100).click(300, 100, {}, 2);
    expect(bench.the('wall').points).toHaveLength(2);
  });

  it('Backspace takes back a corner, also Ctrl+Z, and undo of what is done waits', () => {
    const bench = new Workbench(documentWith()).take('wall').click(100, 100).click(300, 100).click(300, 250);
    bench.key('Backspace');
    bench.key('z', { control: true });
    bench.click(100, 300); bench.key('Enter');
    expect(bench.the('wall').points).toEqual([at(100, 100), at(100, 300)]);
  });

  it('Escape drops the chain, and a second Escape puts the tool away', () => {
    const bench = new Workbench(documentWith()).take('wall').click(100, 100).click(300, 100);
    bench.key('Escape');
    expect(bench.runner.view()).toMatchObject({ isBusy: false, tool: 'wall' });
    bench.key('Escape');
    expect(bench.tool).toBe('select');
    expect(bench.done).toEqual([]);
  });

  it('takes typed lengths for the next corner', () => {
    const bench = new Workbench(documentWith()).take('wall').click(100, 100).move(250, 101);
    expect(bench.type("12'-6\"")).toEqual({ ok: true });
    expect(bench.type("10' < 270")).toEqual({ ok: true });
    bench.key('Enter');
    expect(bench.the('wall').points.map((p) => [p.x, Math.round(p.y * 1e6) / 1e6])).toEqual([[100, 100], [expect.closeTo(224.997, 2), expect.closeTo(100.83, 2)], [expect.closeTo(224.997, 2), expect.closeTo(200.83, 2)]]);
  });

  it('refuses a bare number with the choices, and draws nothing', () => {
    const bench = new Workbench(documentWith()).take('wall').click(100, 100).move(250, 100);
    expect(bench.type('12')).toMatchObject({ ok: false, choices: [{ text: '12 ft' }, { text: '12 in' }] });
    bench.key('Enter');
    expect(bench.all('wall')).toEqual([]);
  });

  it('is drawn by the keyboard alone with the cross-hair', () => {
    const bench = new Workbench(documentWith()).take('wall');
    bench.key('ArrowRight'); bench.key('Enter');
    for (let i = 0; i < 10; i += 1) bench.key('ArrowRight', { shift: true });
    bench.key('Enter');
    for (let i = 0; i < 5; i += 1) bench.key('ArrowDown', { shift: true });
    bench.key('Enter'); bench.key('Enter');
    const points = bench.the('wall').points;
    expect(points).toHaveLength(3);
    expect(points[1]!.x - points[0]!.x).toBeCloseTo(100); // ten feet
    expect(points[2]!.y - points[1]!.y).toBeCloseTo(50);
  });
});

describe('outlines', () => {
  it('a drag draws a rectangle as high as a wall', () => {
    const bench = new Workbench(documentWith()).take('obstruction').drag(100, 100, 200, 150);
    expect(bench.the('obstruction')).toMatchObject({ outline: [at(100, 100), at(200, 100), at(200, 150), at(100, 150)], bottom: 0, top: 10, material: 'opaque' });
  });

  it('clicks draw a polygon that the first corner closes', () => {
    const bench = new Workbench(documentWith()).take('area').click(100, 100).click(200, 120).click(150, 300).click(101, 101);
    expect(bench.the('area').outline).toHaveLength(3);
  });

  it('two corners are no outline', () => {
    const bench = new Workbench(documentWith()).take('area').click(100, 100).click(200, 120);
    bench.key('Enter');
    expect(bench.all('area')).toEqual([]);
  });

  it('a typed size makes the rectangle', () => {
    const bench = new Workbench(documentWith()).take('obstruction').click(100, 100);
    expect(bench.type("6' x 3'")).toEqual({ ok: true });
    expect(bench.the('obstruction').outline).toEqual([at(100, 100), at(160, 100), at(160, 130), at(100, 130)]);
  });
});

describe('placing marks', () => {
  it('shows the mark before it is placed, places it on letting go, and numbers it', () => {
    const bench = new Workbench(documentWith(loadOf('load-1', 'M-7', 50, 50))).take('load').move(400, 300);
    expect(Object.keys(bench.preview?.entities ?? {})).toHaveLength(2);
    expect(bench.all('load')).toHaveLength(1);
    bench.click(400, 300);
    expect(bench.preview).toBeNull();
    expect(bench.all('load').at(-1)).toMatchObject({ tag: 'M-8', at: at(400, 300) });
  });

  it('places a load that waits in the list instead of making another', () => {
    const waiting = { ...loadOf('load-1', 'P-301', 0, 0), at: null };
    const bench = new Workbench(documentWith(waiting));
    bench.placing = 'load-1';
    bench.take('load').click(400, 300);
    expect(bench.the('load')).toMatchObject({ id: 'load-1', tag: 'P-301', at: at(400, 300) });
    expect(bench.placing).toBeNull();
  });

  it('a disconnect near a wall hangs on it; loads chosen before are the ones it serves, others are not', () => {
    const bench = new Workbench(documentWith(wallOf('wall-1', [100, 100], [300, 100]), loadOf('load-1', 'M-1', 200, 300), loadOf('load-2', 'M-2', 220, 300)));
    bench.selection = ['load-1'];
    bench.take('disconnect').click(150, 112);
    expect(bench.the('disconnect')).toMatchObject({ tag: 'DS-01', at: at(150, 105), facing: 90, mount: { wall: 'wall-1', segment: 0 }, handleHeight: 5, serves: ['load-1'] });
    expect(bench.hint).toMatch(/Hung on the wall/);
  });

  it('says so where the zoom is too far out to place a mark exactly, and not where the place was typed', () => {
    const bench = new Workbench(documentWith()).take('load');
    bench.click(400, 300);
    expect(bench.hint).not.toMatch(/At this zoom/);
    const feetPerUnit = sheet.scale?.feetPerUnit ?? 0;
    // A pixel that is 3 ft of the plan.
    bench.precision = 3 / feetPerUnit;
    bench.click(500, 300);
    expect(bench.hint).toMatch(/At this zoom a place is good to about 3'-0", and every distance from it: zoom in or type it to be exact\.$/);
    bench.type("10', 10'");
    expect(bench.hint).not.toMatch(/At this zoom/);
  });

  it('a mark knows how exactly it was pointed at: to a pixel, on a wall as well; at a corner or typed it is exact', () => {
    const bench = new Workbench(documentWith(wallOf('wall-1', [100, 100], [700, 100])));
    const placed = (): number | undefined => bench.all('load').at(-1)?.within;
    // The plan's own points are off by half a sheet unit.
    bench.precision = 0.4;
    bench.take('load').click(400, 300);
    expect(placed()).toBeUndefined();
    bench.precision = 3;
    bench.click(500, 300);
    expect(placed()).toBe(3);
    bench.click(702, 101);
    expect(bench.all('load').at(-1)).toMatchObject({ at: at(700, 100) });
    expect(placed()).toBeUndefined();
    bench.type("10', 10'");
    expect(placed()).toBeUndefined();
    bench.selection = [];
    bench.take('disconnect').click(250, 107);
    expect(bench.the('disconnect')).toMatchObject({ mount: { wall: 'wall-1' }, within: 3 });
  });

  it('so does what is drawn by corners: the roughest decides, and one snapped to a corner or typed adds nothing', () => {
    const bench = new Workbench(documentWith(wallOf('wall-0', [100, 100], [700, 100])));
    const drawn = (): number | undefined => bench.all('wall').at(-1)?.within;
    bench.precision = 0.4;
    bench.take('wall').click(200, 300).click(400, 420).key('Enter');
    expect(drawn()).toBeUndefined();
    bench.precision = 3;
    bench.click(230, 500);
    bench.precision = 0.4;
    bench.click(431, 560).key('Enter');
    expect(drawn()).toBe(3);
    bench.precision = 3;
    bench.click(701, 101);
    bench.type("= 60', 20'");
    bench.key('Enter');
    expect(bench.all('wall').at(-1)?.points[0]).toEqual(at(700, 100));
    expect(drawn()).toBeUndefined();
    bench.take('obstruction').drag(500, 600, 620, 700);
    expect(bench.the('obstruction').within).toBe(3);
  });

  it('a waiting load placed near by is exact again', () => {
    const bench = new Workbench(documentWith({ ...loadOf('load-1', 'P-301', 0, 0), at: null, within: sheetUnits(5) }));
    bench.precision = 0.4; bench.placing = 'load-1';
    bench.take('load').click(400, 300);
    expect(bench.the('load').within).toBeUndefined();
  });

  it('a disconnect away from walls stands free', () => {
    const bench = new Workbench(documentWith(wallOf('wall-1', [100, 100], [300, 100]))).take('disconnect').click(150, 200);
    expect(bench.the('disconnect')).toMatchObject({ at: at(150, 200), mount: null, serves: [] });
  });

  it('is placed by typing where it stands', () => {
    const bench = new Workbench(documentWith()).take('machine');
    expect(bench.runner.startsTyping('1')).toBe(true);
    expect(bench.type("10', 20'")).toEqual({ ok: true });
    expect(bench.the('machine').at).toEqual(at(100, 600));
  });

  it('leaving the tool takes the unplaced mark away', () => {
    const bench = new Workbench(documentWith()).take('supply').move(300, 300);
    expect(bench.preview).not.toBeNull();
    bench.take('select');
    expect(bench.preview).toBeNull();
    expect(bench.done).toEqual([]);
  });
});

describe('openings', () => {
  const start = (): Document => documentWith(wallOf('wall-1', [100, 100], [300, 100]));

  it('cuts a closed solid door between two picked edges', () => {
    const bench = new Workbench(start()).take('opening').click(150, 102).click(190, 101);
    expect(bench.the('wall').openings).toMatchObject([{ segment: 0, from: 50, to: 90, sill: 0, head: 7, leaf: 'closed' }]);
    expect(bench.lastEdit()).toBe('put in a door');
  });

  it('Enter after one edge makes a door 3 ft wide, slid back from the end of its wall', () => {
    const bench = new Workbench(start()).take('opening').click(290, 100);
    bench.key('Enter');
    expect(bench.the('wall').openings).toMatchObject([{ from: 170, to: 200 }]);
  });

  it('takes a typed width', () => {
    const bench = new Workbench(start()).take('opening').click(150, 100).move(180, 100);
    bench.type("4'");
    expect(bench.the('wall').openings).toMatchObject([{ from: 50, to: 90 }]);
  });

  it('does not run into another opening', () => {
    const bench = new Workbench(start()).take('opening').click(150, 100).click(190, 100).click(170, 100).click(220, 100);
    expect(bench.the('wall').openings).toHaveLength(1);
    expect(bench.hint).toMatch(/no room/);
  });

  it('needs a wall', () => {
    const bench = new Workbench(start()).take('opening').click(150, 300);
    expect(bench.hint).toMatch(/Point at a wall/);
  });
});

describe('the scale tool', () => {
  it('two picks and a typed length set the scale and move no mark', () => {
    const bench = new Workbench({ ...documentWith(loadOf('load-1', 'M-1', 50, 50)), sheets: [{ ...sheet, scale: null }] }).take('scale').click(100, 500).click(500, 500);
    expect(bench.scalePick).toEqual({ from: at(100, 500), to: at(500, 500), within: 1 });
    expect(bench.type("50'")).toEqual({ ok: true });
    expect(bench.document.sheets[0]?.scale?.feetPerUnit).toBeCloseTo(0.125);
    expect(bench.the('load').at).toEqual(at(50, 50));
    expect(bench.scalePick).toBeNull();
    expect(bench.done).toHaveLength(1);
  });

  it('a second length is joined with the first, and their disagreement becomes the uncertainty', () => {
    const bench = new Workbench(documentWith()).take('scale').click(100, 500).click(500, 500);
    bench.type("50'");
    bench.click(100, 100).click(100, 500); bench.type("51'");
    const scale = bench.document.sheets[0]?.scale;
    expect(scale?.from).toMatchObject({ kind: 'picks', picks: { length: 2 } });
    expect(scale?.relativeUncertainty).toBeGreaterThan(0.009);
  });

  it('a length of zero changes nothing and says why', () => {
    const bench = new Workbench(documentWith()).take('scale').click(100, 500).click(500, 500);
    bench.type('0 ft');
    expect(bench.done).toEqual([]);
    expect(bench.hint).toMatch(/greater than zero/);
  });

  it('counts a length by the zoom its coarser end was pointed at, however near the sheet is when the length is typed', () => {
    const bench = new Workbench(documentWith()).take('scale');
    bench.precision = 12;
    bench.click(100, 500);
    bench.precision = 0.5;
    bench.click(500, 500);
    expect(bench.scalePick?.within).toBe(12);
    bench.type("50'");
    const scale = bench.document.sheets[0]?.scale;
    expect(scale?.from).toMatchObject({ picks: [{ within: 12 }] });
    // Both ends may be 12 of 400 units off.
    expect(scale?.relativeUncertainty).toBeCloseTo((Math.SQRT2 * 12) / 400, 9);
  });

  it('Escape takes the question for the length back', () => {
    const bench = new Workbench(documentWith()).take('scale').click(100, 500).click(500, 500);
    bench.key('Escape');
    expect(bench.scalePick).toBeNull();
  });
});

describe('links, routes and measures', () => {
  const start = (): Document => documentWith(switchOf('disconnect-1', 'DS-01', 100, 100), loadOf('load-1', 'M-1', 300, 100), loadOf('load-2', 'M-2', 300, 200));

  it('links a disconnect to each load clicked, and unlinks on a second click', () => {
    const bench = new Workbench(start()).take('link').click(100, 100).click(300, 100).click(300, 200);
    expect(bench.the('disconnect').serves).toEqual(['load-1', 'load-2']);
    bench.click(300, 100);
    expect(bench.the('disconnect').serves).toEqual(['load-2']);
    expect(bench.lastEdit()).toBe('unlinked DS-01 from M-1');
  });

  it('links by dragging from load to disconnect as well', () => {
    const bench = new Workbench(start()).take('link').drag(300, 100, 100, 100);
    expect(bench.the('disconnect').serves).toEqual(['load-1']);
  });

  it('routes from a supply over corners to a load', () => {
    const supply = { kind: 'supply', id: 'supply-1', sheet: sheet.id, tag: 'P-1', name: '', at: at(50, 400), system: 'system-main', role: 'panel' } as const;
    const bench = new Workbench(documentWith(supply, loadOf('load-1', 'M-1', 300, 100))).take('route').click(50, 400).click(50, 100).click(300, 100);
    expect(bench.the('route')).toMatchObject({ from: 'supply-1', to: 'load-1', points: [at(50, 400), at(50, 100), at(300, 100)] });
  });

  it('measures with the uncertainty of the scale and leaves no mark', () => {
    const bench = new Workbench(start()).take('measure').click(400, 400).move(600, 400);
    expect(bench.hint).toMatch(/^20'-0", give or take 0'-1/);
    bench.key('Enter');
    expect(bench.done).toEqual([]);
  });
});
