import { describe, expect, it } from 'vitest';
import { acceptEdit, candidateAt, candidatesWithin, laidOnSheet, newOffer, offeredLayers, openCandidates, rejecting, restored } from '../../shared-core/offer/index';
import type { WallCandidate, WallOffer } from '../../shared-core/offer/index';
import { applyEdit, invertEdit } from '../../shared-core/document/index';
import type { Document, PlanRef, Wall } from '../../shared-core/document/index';
import { documentWith, sheet, wallOf, Workbench } from './tools-workbench';

// The workbench's sheet has 10 sheet units a foot.
const candidate = (x1: number, y1: number, x2: number, y2: number, thickness = 8, layer?: string): WallCandidate => ({ x1, y1, x2, y2, thickness, ...(layer === undefined ? {} : { layer }) });
const ROOM = [candidate(100, 100, 300, 100, 8, 'A-WALL'), candidate(300, 100, 300, 300, 12, 'A-WALL'), candidate(100, 300, 200, 300, 4, 'A-FURN')];
const offering = (document: Document, walls: readonly WallCandidate[] = ROOM): WallOffer => newOffer(sheet, walls, document);
const wallsOf = (document: Document): Wall[] => Object.values(document.entities).filter((e): e is Wall => e.kind === 'wall');

describe('accepting', () => {
  it('makes walls of measured thickness and the default height in one named edit that undoes exactly', () => {
    const document = documentWith();
    const edit = acceptEdit(offering(document), [0, 1], document);
    expect(edit.name).toBe('accepted 2 offered walls');
    const after = applyEdit(document, edit);
    expect(wallsOf(after).map((w) => [w.thickness, w.bottom, w.top, w.material])).toEqual([[0.8, 0, 10, 'opaque'], [expect.closeTo(1.2, 9), 0, 10, 'opaque']]);
    expect(wallsOf(after)[0]?.points).toEqual([{ x: 100, y: 100 }, { x: 300, y: 100 }]);
    expect(applyEdit(after, invertEdit(edit))).toEqual(document);
  });
  it('takes the default thickness on a sheet without a scale', () => {
    const document: Document = { ...documentWith(), sheets: [{ ...sheet, scale: null }] };
    expect(wallsOf(applyEdit(document, acceptEdit(offering(document), [1], document)))[0]?.thickness).toBe(0.5);
  });
  it('puts an offered door in closed, so that it never opens a view by itself', () => {
    const document = documentWith();
    const withDoor = offering(document, [{ ...candidate(100, 100, 300, 100), openings: [{ from: 50, to: 80, swing: { hinge: 'to', side: 'left' } }] }]);
    expect(wallsOf(applyEdit(document, acceptEdit(withDoor, [0], document)))[0]?.openings).toMatchObject([{ segment: 0, from: 50, to: 80, sill: 0, head: 7, leaf: 'closed', swing: { hinge: 'to', side: 'left' } }]);
  });
});

describe('what is offered', () => {
  it('lies where the plan lies on its sheet: turned, scaled and moved with it', () => {
    const plan: PlanRef = { blob: '0'.repeat(64), name: 'plan.png', media: 'image/png', page: 0, width: sheet.width, height: sheet.height, lay: { scale: 2, turn: 90, x: 50, y: 10 } };
    const [laid] = laidOnSheet([{ ...candidate(0, 0, 100, 0, 8), openings: [{ from: 20, to: 50 }] }], plan);
    // A quarter turn clockwise takes x right to y down.
    expect(laid).toMatchObject({ x1: 50, y1: 10, x2: expect.closeTo(50, 9), y2: 210, thickness: 16, openings: [{ from: 40, to: 100 }] });
  });
  it('leaves out what stands there, and offers only the free part of a candidate that a wall covers in part', () => {
    const document = documentWith(wallOf('wall-a', [295, 101], [95, 101]), wallOf('wall-b', [300, 220], [300, 320]));
    const offer = offering(document);
    expect(offer.walls).toMatchObject([{ x1: 300, y1: 100, x2: 300, y2: 220 }, { y1: 300, x2: 200 }]);
  });
  it('keeps walls that only cross or run beside a candidate out of it', () => {
    const document = documentWith(wallOf('wall-a', [200, 0], [200, 400]), wallOf('wall-b', [100, 130], [300, 130]));
    expect(offering(document).walls).toHaveLength(3);
  });
  it('an accepted candidate leaves the offer and comes back with undo', () => {
    const document = documentWith();
    const offer = offering(document);
    const edit = acceptEdit(offer, [1], document);
    const after = applyEdit(document, edit);
    expect(openCandidates(offer, after)).toEqual([0, 2]);
    expect(openCandidates(offer, applyEdit(after, invertEdit(edit)))).toEqual([0, 1, 2]);
  });
  it('rejected candidates and hidden layers are not offered until they are brought back', () => {
    const document = documentWith();
    const offer = offering(document);
    expect(offeredLayers(offer)).toEqual([{ layer: 'A-FURN', count: 1 }, { layer: 'A-WALL', count: 2 }]);
    expect(openCandidates({ ...rejecting(offer, [0]), layersOff: new Set(['A-FURN']) }, document)).toEqual([1]);
    expect(openCandidates(restored(rejecting(offer, [0])), document)).toEqual([0, 1, 2]);
  });
  it('a place finds the nearest candidate within its body or the reach; a box holds or touches', () => {
    const offer = offering(documentWith());
    expect(candidateAt(offer, [0, 1, 2], { x: 150, y: 103 }, 2)).toBe(0);
    expect(candidateAt(offer, [0, 1, 2], { x: 150, y: 106 }, 2)).toBeNull();
    expect(candidatesWithin(offer, [0, 1, 2], { minX: 90, minY: 90, maxX: 310, maxY: 120 }, false)).toEqual([0]);
    expect(candidatesWithin(offer, [0, 1, 2], { minX: 90, minY: 90, maxX: 310, maxY: 120 }, true)).toEqual([0, 1]);
    expect(candidatesWithin(offer, [0, 1, 2], { minX: 150, minY: 90, maxX: 160, maxY: 310 }, true)).toEqual([0, 2]);
  });
});

describe('the review tool', () => {
  const bench = (): Workbench => { const made = new Workbench(documentWith()); made.offer = offering(made.document); return made.take('review'); };
  const chosen = (b: Workbench): number[] => [...(b.offer?.chosen ?? [])].sort();

  it('a click chooses and takes back; nothing becomes a wall by it', () => {
    const b = bench().click(200, 100);
    expect(chosen(b)).toEqual([0]);
    expect(chosen(b.click(200, 100))).toEqual([]);
    expect(b.done).toEqual([]);
  });
  it('a box chooses what lies wholly in it, with Alt what it touches, with Shift it takes out', () => {
    const b = bench().drag(90, 90, 320, 120);
    expect(chosen(b)).toEqual([0]);
    expect(chosen(b.drag(90, 90, 320, 120, { alt: true }))).toEqual([0, 1]);
    expect(chosen(b.drag(90, 90, 320, 120, { shift: true }))).toEqual([1]);
    expect(b.done).toEqual([]);
  });
  it('A accepts the chosen in one edit, X rejects them, and with nothing chosen both do nothing', () => {
    const b = bench();
    b.key('a'); b.key('x');
    expect(b.done).toEqual([]);
    b.click(200, 100).click(300, 200).key('a');
    expect(b.lastEdit()).toBe('accepted 2 offered walls');
    expect(b.all('wall')).toHaveLength(2);
    b.click(150, 300).key('x');
    expect(b.offer && openCandidates(b.offer, b.document)).toEqual([]);
    expect(b.done).toHaveLength(1);
  });
  it('arrows and Enter choose as the pointer does, and Enter chooses the one the keyboard is on', () => {
    const b = bench();
    if (b.offer) b.offer = { ...b.offer, at: 2 };
    b.key('Enter');
    expect(chosen(b)).toEqual([2]);
    b.move(150, 101);
    b.key('ArrowRight'); b.key('Enter');
    expect(chosen(b)).toEqual([0, 2]);
  });
  it('Escape drops a box under way without a trace', () => {
    const b = bench().press(90, 90).move(320, 320);
    b.key('Escape');
    b.release(320, 320);
    expect(chosen(b)).toEqual([]);
  });
});
