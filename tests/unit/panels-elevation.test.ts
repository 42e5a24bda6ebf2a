import { describe, expect, it } from 'vitest';
import { elevationOf, pairOf as currentPair } from '../../renderer/panels/elevation-of';
import { bodyOf, joinPieces, withHeight } from '../../renderer/panels/elevation-model';
import { LiveCheck } from '../../renderer/canvas/live-check';
import { auditDocument } from '../../shared-core/audit/index';
import { createChecker } from '../../shared-core/checks/index';
import type { Checker } from '../../shared-core/checks/index';
import type { Entity } from '../../shared-core/document/index';
import { meetingWords } from '../../renderer/panels/meeting-words';
import { feet, sheetUnits } from '../../shared-core/units/index';
import { exampleDocument } from './panels-example';

const document = exampleDocument();
const pairOf = (of: typeof document, device: string) => {
  const pair = auditDocument(of).pairs.find((p) => p.disconnect === device && p.target === 'motor');
  if (!pair) throw new RangeError(`no pair of ${device}`);
  return pair;
};
const pair = pairOf(document, 'disconnect-ds-07');

describe('the elevation of a sight line', () => {
  it('shows the tank where the plan line crosses it, to its own height', () => {
    const elevation = elevationOf(createChecker(document), pair);
    const tank = elevation?.pieces.find((p) => p.entity === 'obstruction-t2');
    // By hand: from (200, 590) to (340, 120) the tank spans y 280 to 200 and x from 300, so the line is in it from
    // y = 280 (x = 292.3, outside) -> x = 300 at y = 254.29 to y = 200; 0.1 ft a unit.
    const along = (y: number): number => ((590 - y) / 470) * (Math.hypot(140, 470) * 0.1);
    expect(elevation?.length).toBeCloseTo(Math.hypot(140, 470) * 0.1, 9);
    expect(tank?.from).toBeCloseTo(along(590 - ((300 - 200) / 140) * 470), 6);
    expect(tank?.to).toBeCloseTo(along(200), 6);
    expect(tank).toMatchObject({ bottom: 0, top: 11, transmission: 'opaque' });
    expect(elevation).toMatchObject({ handle: 5, eye: 5.5, body: 3 });
  });
  it('shows the body that the line ends in whole, and nothing else behind it', () => {
    // A motor 6 ft deep, looked at square on: its near face is 3 ft before its centre, its far face 3 ft behind.
    const motor = document.entities['load-m-204']; const device = document.entities['disconnect-ds-07'];
    if (motor?.kind !== 'load' || !motor.at || device?.kind !== 'disconnect') throw new RangeError('no motor');
    const { x, y } = motor.at; const at = (dx: number, dy: number) => ({ x: sheetUnits(x + dx), y: sheetUnits(y + dy) });
    const boxed = { ...document, entities: { ...document.entities, [motor.id]: { ...motor, outline: [at(-30, -30), at(30, -30), at(30, 30), at(-30, 30)], bodyTop: feet(4) }, [device.id]: { ...device, at: at(-200, 0), mount: null } } };
    const elevation = elevationOf(createChecker(boxed), pairOf(boxed, device.id));
    const own = elevation?.pieces.filter((p) => p.entity === motor.id);
    expect(own?.map((p) => [p.from, p.to])).toEqual([[expect.closeTo(17, 9), expect.closeTo(23, 9)]]);
    expect(elevation?.pieces.filter((p) => p.entity !== motor.id && p.to > 20 + 1e-9)).toEqual([]);
  });
  it('is empty while the sheet has no scale', () => {
    const bare = { ...document, sheets: document.sheets.map((s) => ({ ...s, scale: null })) };
    expect(elevationOf(createChecker(bare), pair)).toBeNull();
  });
});

describe('changing a height in the strip', () => {
  it('clears the line when the tank is lowered below it, and the verdict follows', () => {
    expect(pair.viewVerdict).toBe('fail');
    const lower = withHeight(document, pair, { kind: 'top', entity: 'obstruction-t2' }, feet(2));
    expect(pairOf(lower, 'disconnect-ds-07').viewVerdict).toBe('pass');
  });
  it('keeps tops above bottoms and heights above the floor by changing nothing', () => {
    expect(withHeight(document, pair, { kind: 'top', entity: 'obstruction-t2' }, feet(-1))).toBe(document);
    expect(withHeight(document, pair, { kind: 'bottom', entity: 'obstruction-t2' }, feet(12))).toBe(document);
    expect(withHeight(document, pair, { kind: 'handle' }, feet(-0.1))).toBe(document);
    expect(withHeight(document, pair, { kind: 'handle' }, feet(Number.NaN))).toBe(document);
  });
  it('counts a handle on a platform from the platform', () => {
    const device = document.entities['disconnect-ds-07'];
    if (device?.kind !== 'disconnect') throw new RangeError('no device');
    const raised = { ...document, entities: { ...document.entities, [device.id]: { ...device, standing: feet(4) } } };
    expect(withHeight(raised, pair, { kind: 'handle' }, feet(9)).entities[device.id]).toMatchObject({ handleHeight: 5, standing: 4 });
  });
  it('sets the height of the mark the line ends at', () => {
    expect(bodyOf(document, pair)).toBe('load-m-204');
    expect(withHeight(document, pair, { kind: 'body' }, feet(4)).entities['load-m-204']).toMatchObject({ height: 4 });
  });
});

describe('pieces of one body', () => {
  const piece = { entity: 'wall-a', bottom: feet(0), top: feet(10), transmission: 'opaque' as const };
  it('join where they touch and stay apart where an opening lies between', () => {
    expect(joinPieces([{ ...piece, from: feet(2), to: feet(3) }, { ...piece, from: feet(0), to: feet(2) }, { ...piece, from: feet(5), to: feet(6) }]).map((p) => [p.from, p.to])).toEqual([[0, 3], [5, 6]]);
  });
  it('do not join across different heights', () => {
    expect(joinPieces([{ ...piece, from: feet(0), to: feet(2) }, { ...piece, from: feet(2), to: feet(3), bottom: feet(7) }])).toHaveLength(2);
  });
});

describe('what a pair is said to meet', () => {
  it('is the first thing on each line, with the height where it is met; mesh is clear but said', () => {
    // The tank of the first test is met where y = 254.29, 0.714 of the way from the handle at 5 ft to the eye at 5.5 ft and the motor at 3 ft.
    expect(meetingWords(pair, document)).toBe(`both lines blocked by T-2 at 5'-4" and 3'-7"`);
    const change = (over: object): typeof document => ({ ...document, entities: { ...document.entities, 'obstruction-t2': { ...document.entities['obstruction-t2'], ...over } as Entity } });
    const fence = change({ material: 'mesh' });
    expect(meetingWords(pairOf(fence, 'disconnect-ds-07'), fence)).toBe('both lines clear, through T-2');
    const bench = change({ top: feet(4) });
    expect(meetingWords(pairOf(bench, 'disconnect-ds-07'), bench)).toMatch(/^body line blocked by T-2 at 3'-7"$/);
    const glass = change({ material: 'glazed', bottom: feet(5) });
    expect(meetingWords(pairOf(glass, 'disconnect-ds-07'), glass)).toBe(`eye line through T-2 at 5'-4"`);
  });
});

describe('the pair that shows', () => {
  it('is checked for exactly the document on the screen, also while a height is dragged', () => {
    const raised = withHeight(document, pair, { kind: 'handle' }, feet(6));
    expect(currentPair(createChecker(raised), pair)?.eyeLine?.handle.z).toBe(6);
    expect(currentPair(createChecker(document), pair)).toEqual(pair);
  });
  it('is the same however the documents follow each other', () => {
    // As the window does it: one live check's scenes follow from one document to the next.
    const live = new LiveCheck(undefined, () => 0);
    const checkerOf = (of: typeof document): Checker => live.ask(of, 'sheet-hall', (c) => c) ?? createChecker(of);
    const lower = withHeight(document, pair, { kind: 'top', entity: 'obstruction-t2' }, feet(2));
    for (const shown of [document, lower, document, lower]) {
      expect(currentPair(checkerOf(shown), pair)).toEqual(pairOf(shown, 'disconnect-ds-07'));
      expect(elevationOf(checkerOf(shown), pairOf(shown, 'disconnect-ds-07'))?.pieces.find((p) => p.entity === 'obstruction-t2')?.top).toBe(shown === lower ? 2 : 11);
    }
  });
  it('is none when its disconnect is gone', () => {
    expect(currentPair(createChecker({ ...document, entities: {} }), pair)).toBeNull();
  });
});
