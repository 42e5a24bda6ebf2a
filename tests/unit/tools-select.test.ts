import { describe, expect, it } from 'vitest';
import type { Disconnect, Document } from '../../shared-core/document/index';
import { sheetUnits } from '../../shared-core/units/index';
import { at, documentWith, loadOf, sheet, switchOf, tankOf, wallOf, Workbench } from './tools-workbench';

const plan = (): Document => documentWith(wallOf('wall-1', [100, 100], [300, 100]), tankOf('obstruction-1', 400, 400, 500, 500),
  loadOf('load-1', 'M-1', 200, 300), switchOf('disconnect-1', 'DS-07', 250, 300, ['load-1']));

describe('choosing', () => {
  it('a click chooses, Shift adds and takes away, a click on paper lets go', () => {
    const bench = new Workbench(plan()).click(200, 300);
    expect(bench.selection).toEqual(['load-1']);
    bench.click(250, 300, { shift: true });
    expect(bench.selection).toEqual(['load-1', 'disconnect-1']);
    bench.click(200, 300, { shift: true });
    expect(bench.selection).toEqual(['disconnect-1']);
    bench.click(700, 700);
    expect(bench.selection).toEqual([]);
    expect(bench.done).toEqual([]);
  });

  it('a box chooses what lies in it', () => {
    const bench = new Workbench(plan()).drag(150, 250, 300, 350);
    expect([...bench.selection].sort()).toEqual(['disconnect-1', 'load-1']);
  });

  it('a double click and Enter ask for the fields', () => {
    const bench = new Workbench(plan()).click(200, 300).click(200, 300, {}, 2);
    expect(bench.inspected).toBe('load-1');
    bench.inspected = null;
    bench.key('Enter');
    expect(bench.inspected).toBe('load-1');
  });

  it('Ctrl+A takes everything on the sheet, Escape lets go', () => {
    const bench = new Workbench(plan());
    bench.key('a', { control: true });
    expect(bench.selection).toHaveLength(4);
    bench.key('Escape');
    expect(bench.selection).toEqual([]);
  });
});

describe('moving', () => {
  it('a drag shows the document as it would be and is one step of undo', () => {
    const before = plan();
    const bench = new Workbench(before).press(200, 300).move(220, 310).move(240, 350);
    expect(bench.document).toBe(before);
    expect(bench.preview?.entities['load-1']).toMatchObject({ at: at(240, 350) });
    bench.release(260, 360);
    expect(bench.the('load').at).toEqual(at(260, 360));
    expect(bench.lastEdit()).toBe('moved M-1');
    expect(bench.done).toHaveLength(1);
    bench.key('z', { control: true });
    expect(bench.document).toEqual(before);
  });

  it('Escape in a drag leaves no trace', () => {
    const before = plan();
    const bench = new Workbench(before).press(200, 300).move(240, 350);
    bench.key('Escape');
    expect(bench.preview).toBeNull();
    bench.release(240, 350);
    expect(bench.document).toBe(before);
  });

  it('a hand that trembles on a click moves nothing', () => {
    const bench = new Workbench(plan()).press(200, 300).move(202, 301).release(202, 301);
    expect(bench.done).toEqual([]);
  });

  it('a disconnect brought near a wall hangs on its face; taken away it lets go', () => {
    const bench = new Workbench(plan()).drag(250, 300, 250, 112);
    expect(bench.the('disconnect')).toMatchObject({ at: at(250, 105), mount: { wall: 'wall-1', segment: 0 }, facing: 90 });
    bench.drag(250, 105, 250, 90);
    expect(bench.the('disconnect')).toMatchObject({ at: at(250, 95), facing: 270 });
    bench.drag(250, 95, 260, 300);
    expect(bench.the('disconnect').mount).toBeNull();
  });

  it('what hangs on a wall moves with the wall', () => {
    const bench = new Workbench(plan()).drag(250, 300, 250, 112).drag(120, 100, 120, 160);
    expect(bench.the('wall').points[0]!.y).toBeCloseTo(160);
    expect(bench.the('disconnect')).toMatchObject({ at: at(250, 165), mount: { wall: 'wall-1', segment: 0 } });
  });

  it('a corner dragged takes what hangs on that piece of wall along', () => {
    const bench = new Workbench(plan()).drag(200, 300, 600, 600).drag(250, 300, 200, 112).click(120, 100).drag(300, 100, 300, 200);
    const { at: place, mount } = bench.the('disconnect');
    expect(mount).not.toBeNull();
    expect(place.x - place.y).toBeCloseTo(200 - 150 - 5 * Math.SQRT2 * 1, -1);
    expect(bench.lastEdit()).toBe('changed a wall');
  });

  it('a shortened wall cuts its openings and drops what has no room', () => {
    const wall = { ...wallOf('wall-1', [100, 100], [300, 100]), openings: [
      { id: 'opening-1', segment: 0, from: sheetUnits(20), to: sheetUnits(60), sill: 0 as never, head: 7 as never, leaf: 'closed' as const },
      { id: 'opening-2', segment: 0, from: sheetUnits(120), to: sheetUnits(160), sill: 0 as never, head: 7 as never, leaf: 'closed' as const }] };
    const bench = new Workbench(documentWith(wall)).click(280, 100).drag(300, 100, 140, 100);
    expect(bench.the('wall').openings.map((o) => [o.id, o.from, o.to])).toEqual([['opening-1', 20, 40]]);
  });

  it('arrow keys nudge by an inch, with Shift by a foot; metric by 25 mm and a quarter metre', () => {
    const bench = new Workbench(plan()).click(200, 300);
    bench.key('ArrowRight');
    expect(bench.the('load').at!.x).toBeCloseTo(200 + 10 / 12);
    bench.key('ArrowUp', { shift: true });
    expect(bench.the('load').at!.y).toBeCloseTo(290);
    bench.document = { ...bench.document, facts: { ...bench.document.facts, units: 'metric' } };
    bench.key('ArrowDown', { shift: true });
    expect(bench.the('load').at!.y).toBeCloseTo(290 + 10 * (0.25 / 0.3048));
  });

  it('a nudge along the wall keeps a disconnect hung, a nudge off it lets go, J hangs it again', () => {
    const bench = new Workbench(plan()).drag(250, 300, 250, 112).click(250, 105);
    bench.key('ArrowRight', { shift: true });
    expect(bench.the('disconnect').mount).not.toBeNull();
    bench.key('ArrowDown', { shift: true });
    expect(bench.the('disconnect')).toMatchObject({ mount: null, at: at(260, 115) });
    bench.key('j');
    expect(bench.the('disconnect')).toMatchObject({ mount: { wall: 'wall-1' }, at: at(260, 105) });
  });

  it('a typed offset moves the selection exactly', () => {
    const bench = new Workbench(plan()).click(200, 300);
    expect(bench.runner.startsTyping('5')).toBe(true);
    bench.type("5', -2'");
    expect(bench.the('load').at).toEqual(at(250, 320));
  });

  it('a drag makes a place as exact as the zoom; arrow keys and a typed way leave it as it was; several keep the worst', () => {
    const bench = new Workbench(documentWith(loadOf('load-1', 'M-1', 300, 300), loadOf('load-2', 'M-2', 500, 300)));
    const known = (): (number | undefined)[] => bench.all('load').map((load) => load.within);
    bench.precision = 4;
    bench.drag(300, 300, 360, 300);
    expect(known()).toEqual([4, undefined]);
    bench.key('ArrowLeft');
    bench.type("2', 0'");
    expect(known()).toEqual([4, undefined]);
    bench.precision = 1;
    bench.selection = ['load-1', 'load-2'];
    bench.drag(500, 300, 500, 340);
    expect(known()).toEqual([4, 1]);
    bench.selection = []; bench.precision = 0.3;
    bench.drag(500, 340, 500, 380);
    expect(known()).toEqual([4, undefined]);
  });

  it('Shift keeps a move straight', () => {
    const bench = new Workbench(plan()).press(200, 300).move(260, 320, { shift: true }).release(260, 320, { shift: true });
    expect(bench.the('load').at).toEqual(at(260, 300));
  });
});

describe('turning, deleting, copying', () => {
  it('keys turn by 15 and 90 degrees about the middle', () => {
    const bench = new Workbench(plan()).click(450, 450);
    bench.key('}');
    expect(bench.the('obstruction').outline.map((p) => [Math.round(p.x), Math.round(p.y)])).toEqual([[500, 400], [500, 500], [400, 500], [400, 400]]);
    bench.click(250, 300); bench.key(']');
    expect(bench.the('disconnect')).toMatchObject({ facing: 105, at: at(250, 300) });
  });

  it('the handle of a disconnect turns its face', () => {
    const bench = new Workbench(plan()).click(250, 300).drag(250, 344, 300, 300);
    expect(bench.the('disconnect').facing).toBe(0);
    expect(bench.lastEdit()).toBe('turned DS-07');
  });

  it('Delete takes a load off every disconnect and undo brings both back', () => {
    const before = plan();
    const bench = new Workbench(before).click(200, 300);
    bench.key('Delete');
    expect(bench.all('load')).toEqual([]);
    expect(bench.the('disconnect').serves).toEqual([]);
    bench.key('z', { control: true });
    expect(bench.document).toEqual(before);
    bench.key('y', { control: true });
    expect(bench.all('load')).toEqual([]);
  });

  it('a copy has its own id and tag; links hold between copies and are not claimed for the original load', () => {
    const bench = new Workbench(plan());
    bench.selection = ['disconnect-1'];
    bench.key('d', { control: true });
    const copy = bench.all('disconnect').at(-1) as Disconnect;
    expect(copy).toMatchObject({ tag: 'DS-08', serves: [] });
    bench.selection = ['disconnect-1', 'load-1'];
    bench.key('c', { control: true }); bench.key('v', { control: true });
    const both = bench.all('disconnect').at(-1) as Disconnect;
    expect(both.serves).toEqual([bench.all('load').at(-1)!.id]);
    expect(both.serves[0]).not.toBe('load-1');
    expect(bench.selection).toHaveLength(2);
  });

  it('a second paste does not lie on the first', () => {
    const bench = new Workbench(plan()).click(200, 300);
    bench.key('c', { control: true }); bench.key('v', { control: true }); bench.key('v', { control: true });
    const places = bench.all('load').map((l) => `${l.at!.x},${l.at!.y}`);
    expect(new Set(places).size).toBe(3);
  });

  it('letters choose tools, and digits do not', () => {
    const bench = new Workbench(plan());
    bench.key('w');
    expect(bench.tool).toBe('wall');
    bench.key('m');
    expect(bench.tool).toBe('load');
    expect(bench.key('5')).toBe(false);
    expect(sheet.scale).not.toBeNull();
  });
});
