import type { Problem } from '../../host-api';
import { expandDrawing } from './expand';
import type { Expanded } from './expand';
import type { DrawingMark } from './marks';
import type { DxfEntity, DxfFile } from './records';
import { declaredUnit, inWords, isPlausible, leafRadius, provenUnit, readDimensions, sameUnit, unitOfDoors } from './units';
import type { Unit } from './units';

type Pair = readonly [number, number];

/** Marks in sheet units, y up from the lower edge; `clip` is x, y, width, height. */
export interface SheetPart { readonly clip: readonly [number, number, number, number] | null; readonly marks: readonly DrawingMark[] }

export interface DrawingSheet {
  readonly label: string;
  readonly width: number;
  readonly height: number;
  readonly parts: readonly SheetPart[];
  /** drawing = origin + [x, -y] / unitsPerDrawingUnit */
  readonly origin: Pair;
  readonly unitsPerDrawingUnit: number;
  readonly declaredUnit: string | null;
  readonly scales: readonly { readonly name: string; readonly feetPerUnit: number }[];
  readonly lengths: readonly { readonly from: Pair; readonly to: Pair; readonly text: string; readonly feet: number }[];
  readonly warnings: readonly Problem[];
}

/** White edge around the drawing, as a share of its long side. */
const MARGIN = 0.02;
const MOST_LENGTHS = 60;
/** About the width of a letter, in letter heights. */
const LETTER = 0.75;

/** Sheets of a drawing: model space first, then the sheets in paper space. Empty ones are left out. */
export function drawingSheets(file: DxfFile): DrawingSheet[] {
  const model = expandDrawing(file, file.model);
  const found: DrawingSheet[] = [];
  const box = extent(model.marks, file);
  if (box) found.push(modelSheet(file, model, box));
  for (const paper of file.papers) {
    const sheet = paperSheet(file, paper, model);
    if (sheet) found.push(sheet);
  }
  return found;
}

interface Box { readonly left: number; readonly bottom: number; readonly right: number; readonly top: number }

function extent(marks: readonly DrawingMark[], file: DxfFile): Box | null {
  const shown = marks.filter((mark) => file.layers.get(mark.layer.toLowerCase())?.visible ?? true);
  const box = { left: Infinity, bottom: Infinity, right: -Infinity, top: -Infinity };
  const take = ([x, y]: Pair): void => {
    box.left = Math.min(box.left, x); box.right = Math.max(box.right, x);
    box.bottom = Math.min(box.bottom, y); box.top = Math.max(box.top, y);
  };
  for (const mark of shown.length > 0 ? shown : marks) {
    if (mark.kind === 'line') mark.points.forEach(take);
    else if (mark.kind === 'fill') mark.loops.forEach((loop) => { loop.forEach(take); });
    else {
      const length = [...mark.text].length * LETTER;
      const from = mark.align === 'left' ? 0 : mark.align === 'centre' ? -length / 2 : -length;
      for (const along of [from, from + length]) for (const up of [0, 1]) take([mark.at[0] + mark.along[0] * along + mark.up[0] * up, mark.at[1] + mark.along[1] * along + mark.up[1] * up]);
    }
  }
  return box.left <= box.right && box.bottom <= box.top ? box : null;
}

/** A power of ten that brings the long side between 1000 and 10 000 sheet units. */
const unitsFor = (long: number): number => 10 ** (3 - Math.floor(Math.log10(long)));

interface Frame { readonly width: number; readonly height: number; readonly origin: Pair; readonly units: number; readonly corner: Pair }

function frameOf(box: Box): Frame {
  const long = Math.max(box.right - box.left, box.top - box.bottom) || 1;
  const edge = long * MARGIN;
  const units = unitsFor(long);
  return {
    units, corner: [box.left - edge, box.bottom - edge], origin: [box.left - edge, box.top + edge],
    width: (box.right - box.left + 2 * edge) * units, height: (box.top - box.bottom + 2 * edge) * units,
  };
}

/** A turn, scale and shift of the plane; `to` moves points, `turn` directions. */
interface Move { to(point: Pair): Pair; turn(direction: Pair): Pair }

const onSheet = ({ corner, units }: Frame): Move => ({
  to: ([x, y]) => [(x - corner[0]) * units, (y - corner[1]) * units],
  turn: ([x, y]) => [x * units, y * units],
});

function moved(mark: DrawingMark, move: Move): DrawingMark {
  if (mark.kind === 'line') return { ...mark, points: mark.points.map((p) => move.to(p)) };
  if (mark.kind === 'fill') return { ...mark, loops: mark.loops.map((loop) => loop.map((p) => move.to(p))) };
  return { ...mark, at: move.to(mark.at), along: move.turn(mark.along), up: move.turn(mark.up) };
}

function modelSheet(file: DxfFile, model: Expanded, box: Box): DrawingSheet {
  const frame = frameOf(box);
  const move = onSheet(frame);
  const dimensions = readDimensions(model.dimensions);
  const declared = declaredUnit(file);
  const proven = provenUnit(dimensions);
  const contradicted = proven !== null && declared !== null && !sameUnit(proven, declared);
  const scales = [
    ...(proven ? [{ name: `Dimension texts: one drawing unit is one ${proven.name}`, feetPerUnit: proven.feet / frame.units }] : []),
    ...(declared ? [{ name: `Declared in the file: ${declared.name}${contradicted ? ', contradicted by the dimension texts' : ''}`, feetPerUnit: declared.feet / frame.units }] : []),
  ];
  const upsideDown = (p: Pair): Pair => { const [x, y] = move.to(p); return [x, frame.height - y]; };
  return {
    label: 'Model', width: frame.width, height: frame.height, origin: frame.origin, unitsPerDrawingUnit: frame.units, declaredUnit: declared?.name ?? null,
    parts: [{ clip: null, marks: model.marks.map((mark) => moved(mark, move)) }], scales,
    lengths: dimensions.slice(0, MOST_LENGTHS).map(({ from, to, text, feet }) => ({ from: upsideDown(from), to: upsideDown(to), text, feet })),
    warnings: [...unitWarnings(box, declared, proven, contradicted, leafRadius(model.marks)), ...readWarnings(file, model)],
  };
}

function unitWarnings(box: Box, declared: Unit | null, proven: Unit | null, contradicted: boolean, leaf: number | null): Problem[] {
  const long = Math.max(box.right - box.left, box.top - box.bottom);
  const check = 'Set the scale with a length you know.';
  const found: Problem[] = [];
  const ofDoors = declared && !proven ? unitOfDoors(leaf, declared) : null;
  if (contradicted && declared && proven) {
    found.push({ code: 'unit-contradicted', what: `The file declares its unit as ${declared.name}, but its dimension texts prove ${proven.name}: it would be ${inWords(long, declared)} long instead of ${inWords(long, proven)}.`, todo: check });
  } else if (declared && !proven && !isPlausible(long, declared)) {
    found.push({ code: 'unit-implausible', what: `With the declared unit (${declared.name}) the drawing would be ${inWords(long, declared)} long.`, todo: check });
  } else if (declared && ofDoors && leaf !== null) {
    found.push({ code: 'unit-implausible', what: `With the declared unit (${declared.name}) the quarter circles, as doors are drawn, would be leaves ${inWords(leaf, declared)} wide; if the unit were the ${ofDoors.name}, ${inWords(leaf, ofDoors)}.`, todo: check });
  } else if (!declared && !proven) {
    found.push({ code: 'no-unit', what: 'The file does not say what its unit is.', todo: check });
  }
  const away = Math.hypot((box.left + box.right) / 2, (box.bottom + box.top) / 2);
  if (away > 1e5 && away > long * 100) {
    found.push({ code: 'map-coordinates', what: 'The drawing lies far from its origin, as on a survey or map; on a map a metre of the drawing may not be a metre on the ground.', todo: check });
  }
  return found;
}

function readWarnings(file: DxfFile, { skipped, cut }: Expanded): Problem[] {
  const found: Problem[] = [];
  const compare = 'Compare the sheet with a print before relying on it.';
  if (file.mended) found.push({ code: 'mended', what: 'The structure of the file was broken and was mended while reading.', todo: compare });
  if (cut) found.push({ code: 'cut-short', what: 'The drawing was too deep or too large; part of it is not shown.', todo: 'Save it without what is not needed (3D parts, nested references).' });
  if (skipped.size > 0) found.push({ code: 'not-drawn', what: `Not drawn: ${[...skipped].map(([kind, count]) => `${count} ${kind}`).join(', ')}.`, todo: compare });
  return found;
}

function paperSheet(file: DxfFile, paper: { readonly name: string; readonly entities: readonly DxfEntity[] }, model: Expanded): DrawingSheet | null {
  const drawn = expandDrawing(file, paper.entities);
  const windows = paper.entities.flatMap(({ groups }) => {
    const [width, height, seen] = [groups.number(40), groups.number(41), groups.number(45)];
    if (groups.type !== 'VIEWPORT' || groups.number(69) <= 1 || !(width > 0 && height > 0 && seen > 0)) return [];
    const middle: Pair = [groups.number(10), groups.number(20)];
    const scale = height / seen;
    const twist = (groups.number(51) * Math.PI) / 180;
    const [cos, sin] = [Math.cos(twist) * scale, Math.sin(twist) * scale];
    const turn = ([x, y]: Pair): Pair => [x * cos - y * sin, x * sin + y * cos];
    const to = ([x, y]: Pair): Pair => {
      const [u, v] = turn([x - groups.number(17), y - groups.number(27)]);
      return [middle[0] + u - groups.number(12) * scale, middle[1] + v - groups.number(22) * scale];
    };
    return [{ left: middle[0] - width / 2, bottom: middle[1] - height / 2, width, height, move: { to, turn } }];
  });
  const box = extent(drawn.marks, file);
  const all = [...(box ? [box] : []), ...windows.map((w) => ({ left: w.left, bottom: w.bottom, right: w.left + w.width, top: w.bottom + w.height }))];
  if (all.length === 0) return null;
  const frame = frameOf({ left: Math.min(...all.map((b) => b.left)), bottom: Math.min(...all.map((b) => b.bottom)), right: Math.max(...all.map((b) => b.right)), top: Math.max(...all.map((b) => b.top)) });
  const move = onSheet(frame);
  const views = windows.map((w): SheetPart => {
    const [x, y] = move.to([w.left, w.bottom]);
    return { clip: [x, y, w.width * frame.units, w.height * frame.units], marks: model.marks.map((mark) => moved(moved(mark, w.move), move)) };
  });
  return {
    label: paper.name, width: frame.width, height: frame.height, origin: frame.origin, unitsPerDrawingUnit: frame.units, declaredUnit: null,
    parts: [...views, { clip: null, marks: drawn.marks.map((mark) => moved(mark, move)) }], scales: [], lengths: [],
    warnings: [{ code: 'paper-space', what: 'This is a sheet in paper space; its lengths are those of the paper.', todo: 'Set the scale with a length you know, or open the model.' }, ...readWarnings(file, drawn)],
  };
}
