import { describe, expect, it } from 'vitest';
import type { Document } from '../../shared-core/document/index';
import { at, documentWith, sheet, Workbench } from './tools-workbench';

const four = [at(100, 100), at(900, 140), at(960, 700), at(60, 620)];
const picked = (bench: Workbench) => bench.planPick?.points ?? [];

describe('the tool for four corners', () => {
  it('takes four clicks, never snapped, and asks only then', () => {
    const bench = new Workbench(documentWith()).take('corners').click(101, 99).click(900, 140);
    bench.click(960, 700);
    expect(bench.planPick).toBeNull();
    bench.click(60, 620);
    expect(bench.planPick).toEqual({ id: 'corners', points: [at(101, 99), ...four.slice(1)], within: 1 });
  });

  it('moves a corner to where the button goes up, though no move was told from there', () => {
    const bench = new Workbench(documentWith()).take('corners');
    for (const p of four) bench.click(p.x, p.y);
    bench.press(900, 140).move(880, 150).release(870, 155);
    expect(picked(bench)).toEqual([four[0], at(870, 155), four[2], four[3]]);
  });

  it('leaves the corners as they are for a click elsewhere, and takes the last one back', () => {
    const bench = new Workbench(documentWith()).take('corners');
    for (const p of four) bench.click(p.x, p.y);
    bench.click(500, 400);
    expect(picked(bench)).toEqual(four);
    bench.key('Backspace');
    expect(bench.planPick).toBeNull();
    bench.click(70, 600);
    expect(picked(bench)[3]).toEqual(at(70, 600));
  });

  it('begins with the corners that a flat plan was made by', () => {
    const flat = { blob: 'a'.repeat(64), name: 'photo', media: 'image/jpeg', page: 0, width: 1000, height: 800 } as const;
    const document = documentWith();
    const squared: Document = { ...document, sheets: [{ ...sheet, plan: { ...flat, squared: { original: flat, corners: four, box: { minX: 50, minY: 60, maxX: 850, maxY: 660 }, sides: 'guessed', within: 2, uncertainty: 0.01 } } as never }] };
    const bench = new Workbench(squared).take('corners').move(500, 400);
    expect(picked(bench)).toEqual([at(50, 60), at(850, 60), at(850, 660), at(50, 660)]);
  });
});
