import type { Verdict } from '../../shared-core/code-data/index';
import { disconnectSymbolName, frontBar, loadLetter, loadSymbolName, placeSymbol, statusMark, supplySymbolName, symbolOf, withHalo } from '../../shared-core/report/index';
import type { Primitive, SymbolName } from '../../shared-core/report/index';
import type { Entity, Id } from '../../shared-core/document/index';
import { grown } from '../tools/plan-geometry';
import { NAME_SIZE, TAG_SIZE, tagWords } from './label-layout';
import type { LabelLayout } from './label-layout';
import { inkOf, paintHaloText, paintPrimitives, textWidth } from './paint-primitives';
import type { Context } from './paint-primitives';
import { LEGIBLE_SYMBOL, statusPlace, symbolCentre } from './symbol-place';
import { toScreen, visibleBox } from './view';
import type { View } from './view';
import type { PlanIndex } from '../tools/plan-index';

export const visibleMarks = (index: PlanIndex, view: View, symbol: number): Entity[] =>
  index.marksIn(grown(visibleBox(view), (2 * symbol) / view.zoom));

interface Sprite { readonly canvas: HTMLCanvasElement; readonly half: number }
const sprites = new Map<string, Sprite>();

/** A symbol drawn once at its size on this screen; a plan shows the same few symbols hundreds of times. */
function spriteOf(key: string, size: number, ratio: number, draw: () => readonly Primitive[]): Sprite {
  const name = `${key} ${size} ${ratio}`;
  const known = sprites.get(name);
  if (known) return known;
  if (sprites.size > 2000) sprites.clear();
  const half = Math.ceil(size * 0.85 + 3);
  const canvas = document.createElement('canvas');
  canvas.width = canvas.height = Math.ceil(2 * half * ratio);
  const context = canvas.getContext('2d');
  if (context) {
    context.scale(ratio, ratio);
    paintPrimitives(context, placeSymbol(withHalo(draw(), 1.8 / size), { x: half, y: half, size }));
  }
  const sprite = { canvas, half };
  sprites.set(name, sprite);
  return sprite;
}

export const forgetSprites = (): void => { sprites.clear(); };

function symbolFor(entity: Entity): { name: SymbolName; letter: string } | null {
  switch (entity.kind) {
    case 'load': return { name: loadSymbolName(entity.data), letter: loadLetter(entity.data) };
    case 'machine': return { name: 'machine', letter: '' };
    case 'controller': return { name: 'controller', letter: '' };
    case 'supply': return { name: supplySymbolName(entity.role), letter: '' };
    case 'disconnect': return { name: disconnectSymbolName(entity.data), letter: '' };
    default: return null;
  }
}

export function paintSymbol(context: Context, entity: Entity, view: View, symbol: number, ratio: number): void {
  const centre = symbolCentre(entity, symbol / view.zoom); const kind = symbolFor(entity);
  if (!centre || !kind) return;
  const facing = entity.kind === 'disconnect' ? Math.round(entity.facing) : null;
  const sprite = spriteOf(`${kind.name} ${kind.letter} ${facing ?? ''}`, symbol, ratio, () => [...symbolOf(kind.name, kind.letter), ...(facing === null ? [] : frontBar(facing))]);
  const at = toScreen(view, centre);
  const x = Math.round((at.x - sprite.half) * ratio) / ratio; const y = Math.round((at.y - sprite.half) * ratio) / ratio;
  context.drawImage(sprite.canvas, x, y, 2 * sprite.half, 2 * sprite.half);
}

/** The verdict's mark beside a disconnect. Without a verdict that holds, nothing: an absent mark claims nothing. */
export function paintStatus(context: Context, entity: Entity, verdict: Verdict | undefined, view: View, symbol: number, ratio: number): void {
  const centre = symbolCentre(entity, symbol / view.zoom);
  if (entity.kind !== 'disconnect' || !centre || !verdict || symbol < LEGIBLE_SYMBOL) return;
  const size = Math.max(11, Math.round(symbol * 0.62));
  const sprite = spriteOf(`status ${verdict}`, size, ratio, () => statusMark(verdict));
  const at = statusPlace(entity, toScreen(view, centre), symbol);
  context.drawImage(sprite.canvas, at.x - sprite.half, at.y - sprite.half, 2 * sprite.half, 2 * sprite.half);
}

/** A tag and name where the layout put them, with their leader when they had to move away. */
export function paintTag(context: Context, entity: Entity, labels: LabelLayout, view: View, symbol: number): void {
  const centre = symbolCentre(entity, symbol / view.zoom);
  const place = labels.tags.get(entity.id);
  if (!centre || !place) return;
  const at = toScreen(view, centre);
  if (place.leader) {
    const [from, to] = place.leader;
    context.beginPath(); context.moveTo(at.x + from[0], at.y + from[1]); context.lineTo(at.x + to[0], at.y + to[1]);
    context.strokeStyle = inkOf('halo'); context.lineWidth = 3; context.stroke();
    context.strokeStyle = inkOf('ink'); context.lineWidth = 0.8; context.stroke();
  }
  const { tag, name } = tagWords(entity);
  const tagWide = textWidth(tag, TAG_SIZE, true); const wide = tagWide + (name ? textWidth(name, NAME_SIZE, false) + 5 : 0);
  const left = at.x + place.dx - wide / 2; const y = at.y + place.dy;
  paintHaloText(context, left, y, tag, TAG_SIZE, true, 'ink');
  if (name) paintHaloText(context, left + tagWide + 5, y, name, NAME_SIZE, false, 'ink');
}

export interface MarksScene { readonly view: View; readonly ratio: number; readonly symbol: number; readonly labels: LabelLayout; readonly verdicts: ReadonlyMap<Id, Verdict> }

export function paintMarks(context: Context, marks: readonly Entity[], { view, ratio, symbol, labels, verdicts }: MarksScene): void {
  for (const mark of marks) paintSymbol(context, mark, view, symbol, ratio);
  for (const mark of marks) paintStatus(context, mark, verdicts.get(mark.id), view, symbol, ratio);
  if (symbol < LEGIBLE_SYMBOL) return;
  for (const mark of marks) paintTag(context, mark, labels, view, symbol);
}
