import type { OfferedDoor, WallCandidate, WallOffer } from '../../shared-core/offer/index';
import { fontOf, inkOf } from './paint-primitives';
import type { Context } from './paint-primitives';
import { toScreen } from './view';
import type { View } from './view';

/** Used for nothing else on the sheet; the round-ended outline and its token say the same without colour. */
const OFFER = '#86257f';
/** Narrower than this on the screen a candidate could not be seen or hit. */
const LEAST_HALF = 3.5;
const TOKEN = 6;
/** A token is drawn where it covers no more than a part of its candidate. */
const ROOM_FOR_TOKEN = 34;

interface Placed { readonly x: number; readonly y: number; readonly angle: number; readonly length: number; readonly half: number; readonly doors: readonly OfferedDoor[]; readonly zoom: number; readonly isDoubted: boolean }

/**
 * Offered walls: round-ended outlines that no wall has, broken while they are only offered, with a ring in the middle;
 * whole, tinted and with a tick once they are chosen; in doubt: dotted, with a question mark. Never drawn like a wall, because none of them is one.
 * @param open  places in the offer that are still to be decided
 */
export function paintOffer(context: Context, offer: WallOffer, open: readonly number[], view: View): void {
  const seen = open.flatMap((i) => { const wall = offer.walls[i]; const placed = wall ? placedOn(wall, view) : null; return placed ? [{ i, placed }] : []; });
  const chosen = seen.filter(({ i }) => offer.chosen.has(i)).map(({ placed }) => placed);
  const undecided = seen.filter(({ i }) => !offer.chosen.has(i)).map(({ placed }) => placed);
  context.save();
  for (const [group, isChosen, dash] of [[undecided.filter((one) => !one.isDoubted), false, [6, 4]], [undecided.filter((one) => one.isDoubted), false, [2, 4]], [chosen, true, []]] as const) {
    context.beginPath();
    for (const placed of group) outline(context, placed);
    context.fillStyle = OFFER; context.globalAlpha = isChosen ? 0.26 : 0.07; context.fill(); context.globalAlpha = 1;
    context.strokeStyle = inkOf('halo'); context.lineWidth = 3.6; context.setLineDash([]); context.stroke();
    context.strokeStyle = OFFER; context.lineWidth = isChosen ? 2 : 1.5; context.setLineDash([...dash]); context.stroke();
    context.setLineDash([]);
    for (const placed of group) { for (const door of placed.doors) paintDoor(context, placed, door); if (placed.length > ROOM_FOR_TOKEN) paintToken(context, placed, isChosen); }
  }
  context.restore();
}

/** The frame round the candidate the keyboard is on. */
export function paintOfferAt(context: Context, offer: WallOffer, view: View): void {
  const wall = offer.at === null ? undefined : offer.walls[offer.at];
  const placed = wall ? placedOn(wall, view) : null;
  if (!placed) return;
  context.beginPath();
  outline(context, { ...placed, half: placed.half + 5 });
  context.strokeStyle = inkOf('halo'); context.lineWidth = 5; context.stroke();
  context.strokeStyle = inkOf('ink'); context.lineWidth = 2; context.stroke();
}

function placedOn(wall: WallCandidate, view: View): Placed | null {
  const a = toScreen(view, { x: wall.x1, y: wall.y1 }); const b = toScreen(view, { x: wall.x2, y: wall.y2 });
  const half = Math.max(LEAST_HALF, (wall.thickness * view.zoom) / 2);
  if (Math.max(a.x, b.x) < -half || Math.max(a.y, b.y) < -half || Math.min(a.x, b.x) > view.width + half || Math.min(a.y, b.y) > view.height + half) return null;
  return { x: a.x, y: a.y, angle: Math.atan2(b.y - a.y, b.x - a.x), length: Math.hypot(b.x - a.x, b.y - a.y), half, doors: wall.openings ?? [], zoom: view.zoom, isDoubted: wall.doubt !== undefined };
}

/** Adds the round-ended outline to the path: half circles at both ends, within the candidate's length. */
function outline(context: Context, { x, y, angle, length, half }: Placed): void {
  const round = Math.min(half, length / 2);
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  const at = (along: number, across: number): [number, number] => [x + along * c - across * s, y + along * s + across * c];
  context.moveTo(...at(round, -half));
  context.lineTo(...at(length - round, -half));
  context.quadraticCurveTo(...at(length, -half), ...at(length, 0)); context.quadraticCurveTo(...at(length, half), ...at(length - round, half));
  context.lineTo(...at(round, half));
  context.quadraticCurveTo(...at(0, half), ...at(0, 0)); context.quadraticCurveTo(...at(0, -half), ...at(round, -half));
  context.closePath();
}

/** A door in the offer: its stretch crossed out, because it will be put in as closed. */
function paintDoor(context: Context, { x, y, angle, half, zoom }: Placed, { from, to }: OfferedDoor): void {
  context.save();
  context.translate(x, y); context.rotate(angle);
  const [a, b] = [from * zoom, to * zoom];
  context.beginPath(); context.rect(a, -half, b - a, 2 * half);
  context.fillStyle = inkOf('paper'); context.fill();
  context.moveTo(a, -half); context.lineTo(b, half); context.moveTo(a, half); context.lineTo(b, -half);
  context.strokeStyle = OFFER; context.lineWidth = 1.2; context.stroke();
  context.restore();
}

function paintToken(context: Context, { x, y, angle, length, doors, zoom, isDoubted }: Placed, isChosen: boolean): void {
  // Beside a door that stands in the middle.
  const middle = length / 2;
  const door = doors.find((d) => d.from * zoom - TOKEN < middle && d.to * zoom + TOKEN > middle);
  const along = door ? Math.max(TOKEN + 2, (door.from * zoom) / 2) : middle;
  const [cx, cy] = [x + along * Math.cos(angle), y + along * Math.sin(angle)];
  context.beginPath(); context.arc(cx, cy, TOKEN, 0, 2 * Math.PI);
  context.fillStyle = isChosen ? OFFER : inkOf('paper'); context.fill();
  context.strokeStyle = OFFER; context.lineWidth = 1.6; context.stroke();
  if (!isChosen) {
    if (isDoubted) { context.fillStyle = OFFER; context.font = fontOf(10, true); context.textAlign = 'center'; context.textBaseline = 'middle'; context.fillText('?', cx, cy + 0.5); }
    return;
  }
  context.beginPath(); context.moveTo(cx - 2.8, cy + 0.2); context.lineTo(cx - 0.7, cy + 2.4); context.lineTo(cx + 3, cy - 2.4);
  context.strokeStyle = inkOf('paper'); context.lineWidth = 1.6; context.stroke();
}
