import { feet, readLength } from '../../shared-core/units/index';
import type { Feet, LengthRead, UnitSystem } from '../../shared-core/units/index';
import type { Point, Sheet } from '../../shared-core/document/index';
import { directionOf, lengthOnSheet, minus, pointAt } from './plan-geometry';

/**
 * Exact entry while placing. Lengths are written as people write them; angles in degrees, 0 to the right and 90 up the
 * sheet, as on any drawn graph; offsets run right and up.
 *   12'-6"          that far towards the pointer
 *   12'-6" < 45     that far in that direction
 *   3', 2'          that far right and up from the last point (from the lower left corner when there is none)
 *   = 3', 2'        from the sheet's lower left corner
 *   4' x 2'         a size
 */
export type Entry =
  | { readonly kind: 'length'; readonly length: Feet }
  | { readonly kind: 'polar'; readonly length: Feet; readonly angle: number }
  | { readonly kind: 'offset'; readonly right: Feet; readonly up: Feet }
  | { readonly kind: 'coordinate'; readonly right: Feet; readonly up: Feet }
  | { readonly kind: 'size'; readonly width: Feet; readonly height: Feet };

export interface EntryFault { readonly ok: false; readonly reason: string; readonly choices: readonly { readonly label: string; readonly text: string }[] }
const fault = (reason: string): EntryFault => ({ ok: false, reason, choices: [] });
export type EntryRead = { readonly ok: true; readonly entry: Entry } | EntryFault;

const HOW = "Write a length (12'-6\"), a length and an angle (12' < 45), or two lengths (3', 2').";

export function readEntry(text: string, system: UnitSystem): EntryRead {
  const trimmed = text.trim();
  if (trimmed === '') return fault(HOW);
  const absolute = trimmed.startsWith('=');
  const body = absolute ? trimmed.slice(1).trim() : trimmed;
  const polar = body.split('<');
  if (polar.length === 2 && !absolute) {
    const length = readOne(polar[0] ?? '', system);
    if (!length.ok) return explain(length, (word) => `${word} < ${polar[1] ?? ''}`);
    const angle = readAngle(polar[1] ?? '');
    return angle === null ? fault(`'${(polar[1] ?? '').trim()}' is not an angle in degrees.`) : { ok: true, entry: { kind: 'polar', length: length.length, angle } };
  }
  // '3,2 m' is one length with a decimal comma, '3 ft, 2 ft' are two; a semicolon always parts.
  const whole = absolute || body.includes(';') ? null : readOne(body, system);
  if (whole && (whole.ok || (whole.choices.length > 0 && !/,\s/.test(body)))) return whole.ok ? { ok: true, entry: { kind: 'length', length: whole.length } } : explain(whole, (word) => word);
  const pair = body.includes(';') ? body.split(';') : body.split(',');
  if (pair.length === 2) return readPair(pair[0] ?? '', pair[1] ?? '', body.includes(';') ? '; ' : ', ', system, absolute ? 'coordinate' : 'offset');
  const size = body.split(/\s*[x×]\s*/i);
  if (size.length === 2 && !absolute) return readPair(size[0] ?? '', size[1] ?? '', ' x ', system, 'size');
  if (absolute || pair.length > 2) return fault(HOW);
  return explain(readOne(body, system), (word) => word);
}

function readPair(first: string, second: string, mark: string, system: UnitSystem, kind: 'offset' | 'coordinate' | 'size'): EntryRead {
  const a = readOne(first, system);
  if (!a.ok) return explain(a, (word) => `${word}${mark}${second}`);
  const b = readOne(second, system);
  if (!b.ok) return explain(b, (word) => `${first}${mark}${word}`);
  return { ok: true, entry: kind === 'size' ? { kind, width: a.length, height: b.length } : { kind, right: a.length, up: b.length } };
}

function readOne(text: string, system: UnitSystem): LengthRead {
  const trimmed = text.trim();
  // Offsets go left and down as well; the length itself is read without its sign.
  const negative = /^[-−]/.test(trimmed);
  const read = readLength(negative ? trimmed.slice(1) : trimmed, system);
  if (!negative) return read;
  return read.ok ? { ok: true, length: feet(-1 * read.length) } : { ...read, choices: read.choices.map((c) => ({ label: `-${c.label}`, length: feet(-1 * c.length) })) };
}

function readAngle(text: string): number | null {
  const match = /^\s*([-−+]?\d+(?:\.\d+)?)\s*(?:°|deg)?\s*$/.exec(text);
  return match ? Number((match[1] ?? '').replace('−', '-')) : null;
}

function explain(read: LengthRead, whole: (word: string) => string): EntryFault {
  if (read.ok) return fault(HOW);
  return { ok: false, reason: read.reason, choices: read.choices.map((choice) => ({ label: choice.label, text: whole(choice.label) })) };
}

export type EntryPoint = { readonly ok: true; readonly at: Point } | EntryFault;

/**
 * The sheet position an entry names.
 * @param from     the last point, or null when nothing is started
 * @param towards  where the pointer is: a bare length goes that way
 */
export function entryPoint(entry: Entry, sheet: Sheet, from: Point | null, towards: Point): EntryPoint {
  if (!sheet.scale) return fault('This sheet has no scale yet, so a length has no place on it. Set the scale first.');
  const units = (length: Feet): number => lengthOnSheet(sheet, length) ?? 0;
  if (entry.kind === 'size') return fault('A size fits an obstruction or an area. Here, write a length or two lengths with a comma.');
  if (entry.kind === 'coordinate' || (entry.kind === 'offset' && !from)) return { ok: true, at: pointAt(units(entry.right), sheet.height - units(entry.up)) };
  if (!from) return fault("A length needs a point to start from. Click one, or write two lengths from the sheet's lower left corner (3', 2').");
  if (entry.kind === 'offset') return { ok: true, at: pointAt(from.x + units(entry.right), from.y - units(entry.up)) };
  const degrees = entry.kind === 'polar' ? -entry.angle : directionOf(minus(towards, from));
  const radians = (degrees * Math.PI) / 180;
  return { ok: true, at: pointAt(from.x + units(entry.length) * Math.cos(radians), from.y + units(entry.length) * Math.sin(radians)) };
}
