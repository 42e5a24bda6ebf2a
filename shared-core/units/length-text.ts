import { feet, feetToMetres } from './quantity';
import type { Feet, UnitSystem } from './quantity';

/** A typed length: read, refused with the reason, or asked back when it can be meant in more than one way. */
export type LengthRead =
  | { readonly ok: true; readonly length: Feet }
  | { readonly ok: false; readonly reason: string; readonly choices: readonly { readonly label: string; readonly length: Feet }[] };

export interface ReadOptions {
  /** What a bare number means where the place makes it plain (a field headed 'inches'); otherwise it is asked back. */
  readonly bare?: 'ft' | 'in' | 'm' | 'cm' | 'mm';
  /** Allows a leading minus, for coordinates and offsets. */
  readonly signed?: boolean;
}

const FEET_PER = { ft: 1, in: 1 / 12, m: 1 / 0.3048, cm: 1 / 30.48, mm: 1 / 304.8 } as const;
type UnitWord = keyof typeof FEET_PER;

const UNIT_WORDS: readonly (readonly [RegExp, UnitWord])[] = [
  [/^(feet|foot|ft\.?|')$/, 'ft'], [/^(inches|inch|in\.?|")$/, 'in'],
  [/^(millimet(?:re|er)s?|mm)$/, 'mm'], [/^(centimet(?:re|er)s?|cm)$/, 'cm'], [/^(met(?:re|er)s?|m)$/, 'm'],
];
const VULGAR: Readonly<Record<string, string>> = { '½': '1/2', '¼': '1/4', '¾': '3/4', '⅛': '1/8', '⅜': '3/8', '⅝': '5/8', '⅞': '7/8' };
const NUMBER = String.raw`(?:\d+\s+\d+\/\d+|\d+\/\d+|\d+-\d+\/\d+|\d*[.,]?\d+[.,]?)`;
const PART = new RegExp(String.raw`^\s*(${NUMBER})\s*(''|[a-z]+\.?|['"])?`);

function unitOf(word: string): UnitWord | null {
  for (const [pattern, unit] of UNIT_WORDS) if (pattern.test(word)) return unit;
  return null;
}

/** '12', '6 1/2', '6-1/2', '3/8', '12.5', '3,2': the value; commaThousands when '1,250' could also be 1250; null when it is no number. */
function readNumber(text: string): { value: number; commaThousands?: number } | null {
  const mixed = /^(?:(\d+)[\s-]+)?(\d+)\/(\d+)$/.exec(text);
  if (mixed) {
    const value = Number(mixed[1] ?? 0) + Number(mixed[2]) / Number(mixed[3]);
    return Number.isFinite(value) ? { value } : null;
  }
  if (!/^\d*[.,]?\d*$/.test(text) || !/\d/.test(text)) return null;
  const value = Number(text.replace(',', '.'));
  return /^\d{1,3},\d{3}$/.test(text) ? { value, commaThousands: Number(text.replace(',', '')) } : { value };
}

function normalise(text: string): string {
  let plain = text.trim().toLowerCase().replace(/[′’‘`]/g, "'").replace(/[″”“]/g, '"').replace(/''/g, '"').replace(/[−–—]/g, '-').replace(/\u00a0/g, ' ');
  for (const [sign, spelled] of Object.entries(VULGAR)) plain = plain.replaceAll(new RegExp(String.raw`(\d)?\s*${sign}`, 'g'), (_, digit?: string) => (digit === undefined ? spelled : `${digit} ${spelled}`));
  return plain;
}

const refused = (reason: string): LengthRead => ({ ok: false, reason, choices: [] });

/**
 * Reads a length as people write it: 12'-6 1/2", 12.5 ft, 12 ft 6 in, 6½", 3.2 m, 3200 mm, 3,2 m.
 * What can be meant in two ways (a bare number, 12-6, 1,250 mm, 5'-14") is asked back with the choices, never guessed.
 * @returns the length in feet, greater than or equal to zero unless options.signed
 */
export function readLength(text: string, system: UnitSystem, options: ReadOptions = {}): LengthRead {
  let rest = normalise(text);
  if (rest === '') return refused('Type a length, such as 12\'-6" or 3.2 m.');
  let sign = 1;
  if (/^[+-]/.test(rest)) {
    if (rest.startsWith('-')) {
      if (!options.signed) return refused(`'${text.trim()}' is negative: a length must be zero or more.`);
      sign = -1;
    }
    rest = rest.slice(1);
  }
  const parts: { value: number; commaThousands?: number; unit: UnitWord | null }[] = [];
  while (rest.trim() !== '' && parts.length < 3) {
    const match = PART.exec(rest);
    const number = match ? readNumber(match[1] ?? '') : null;
    if (!match || !number) return refused(`'${text.trim()}' is not a length: write 12'-6", 12.5 ft, 3.2 m or 3200 mm.`);
    const unit = match[2] === undefined ? null : unitOf(match[2]);
    if (match[2] !== undefined && unit === null) return refused(`'${match[2]}' is not a unit of length: use ft, in, m, cm or mm.`);
    parts.push({ ...number, unit });
    rest = rest.slice(match[0].length).replace(/^\s*-\s*(?=\S)/, ' ');
  }
  if (rest.trim() !== '') return refused(`'${text.trim()}' is not a length: write 12'-6", 12.5 ft, 3.2 m or 3200 mm.`);
  return joinParts(text.trim(), parts, sign, system, options);
}

function joinParts(text: string, parts: readonly { value: number; commaThousands?: number; unit: UnitWord | null }[], sign: number, system: UnitSystem, options: ReadOptions): LengthRead {
  const choice = (length: number): { label: string; length: Feet } => ({ label: showLength(feet(length), system, { finest: 'exact' }), length: feet(sign * length) });
  const [first, second] = parts;
  if (!first || parts.length > 2) return refused(`'${text}' has too many parts: write feet and inches, or one number with its unit.`);
  if (first.commaThousands !== undefined) {
    const unit = first.unit ?? options.bare ?? (system === 'US' ? 'ft' : 'mm');
    return { ok: false, reason: `'${text}' can be read in two ways.`, choices: [choice(first.value * FEET_PER[unit]), choice(first.commaThousands * FEET_PER[unit])] };
  }
  if (!second) {
    const unit = first.unit ?? options.bare;
    if (unit) return { ok: true, length: feet(sign * first.value * FEET_PER[unit]) };
    if (first.value === 0) return { ok: true, length: feet(0) };
    const units: readonly UnitWord[] = system === 'US' ? ['ft', 'in'] : ['m', 'mm'];
    return { ok: false, reason: `'${text}' has no unit.`, choices: units.map((u) => ({ label: `${text.replace(/^[+-]/, '')} ${u}`, length: feet(sign * first.value * FEET_PER[u]) })) };
  }
  if (first.unit === 'ft' && (second.unit === 'in' || second.unit === null)) {
    const length = first.value + second.value / 12;
    if (!Number.isInteger(first.value)) return { ok: false, reason: `'${text}' has a fraction of a foot and inches.`, choices: [choice(length)] };
    if (second.value >= 12) return { ok: false, reason: `'${text}' has 12 inches or more after the feet.`, choices: [choice(length)] };
    return { ok: true, length: feet(sign * length) };
  }
  if (first.unit === null && (second.unit === null || second.unit === 'in')) {
    return { ok: false, reason: `'${text}' can be read in more than one way.`, choices: second.value < 12 ? [choice(first.value + second.value / 12)] : [] };
  }
  return refused(`'${text}' mixes units: write feet and inches, or one number with its unit.`);
}

export interface ShowOptions {
  /** Finest step shown: an inch fraction (1, 2, 4, 8, 16: whole inches to sixteenths) or 'exact'. Metric follows: 1 gives centimetres, the rest millimetres. */
  readonly finest?: 1 | 2 | 4 | 8 | 16 | 'exact';
}

/** Writes a length the way drawings do: 12'-6 1/2", 0'-3", -1'-0"; metric 3.81 m, millimetres below one metre when finer than centimetres. */
export function showLength(length: Feet, system: UnitSystem, options: ShowOptions = {}): string {
  const finest = options.finest ?? 16;
  if (!Number.isFinite(length)) return 'no length';
  if (system === 'metric') {
    const metres = feetToMetres(length);
    if (finest === 1) return `${metres.toFixed(2)} m`;
    return finest === 'exact' ? `${Number(metres.toPrecision(12))} m` : `${Number(metres.toFixed(3))} m`;
  }
  const step = finest === 'exact' ? 64 : finest;
  const steps = Math.round(Math.abs(length) * 12 * step);
  if (finest === 'exact' && Math.abs(steps / 12 / step - Math.abs(length)) > 1e-9) return `${Number(length.toPrecision(12))} ft`;
  const sign = length < 0 && steps > 0 ? '-' : '';
  const wholeFeet = Math.floor(steps / (12 * step));
  const inches = Math.floor((steps % (12 * step)) / step);
  let over = steps % step; let under: number = step;
  while (over > 0 && over % 2 === 0) { over /= 2; under /= 2; }
  return `${sign}${wholeFeet}'-${inches}${over > 0 ? ` ${over}/${under}` : ''}"`;
}

/**
 * A distance as shown beside its limit: whole inches (centimetres), unless rounding would put it on the wrong side of
 * the limit or onto it; then as fine as it takes. A switch 50'-0 1/8" away never reads 50'-0".
 */
export function showDistanceAgainst(distance: Feet, limit: Feet, system: UnitSystem): string {
  const side = Math.sign(distance - limit);
  for (const finest of [1, 16] as const) {
    const text = showLength(distance, system, { finest });
    const read = readLength(text, system, { signed: true });
    if (read.ok && Math.sign(read.length - limit) === side) return text;
    if (side === 0 && read.ok && Math.abs(read.length - limit) < 1e-9) return text;
  }
  const base = showLength(limit, system, { finest: 16 });
  return side > 0 ? `just over ${base}` : side < 0 ? `just under ${base}` : base;
}

export type DrawingScaleRead = { readonly ok: true; readonly ratio: number } | { readonly ok: false; readonly reason: string };

/**
 * Reads a drawing scale: 1/8" = 1'-0", 1" = 20', 1:100, 1 to 50, 1 cm = 1 m.
 * @returns ratio of real length over paper length (96 for 1/8" = 1'-0")
 */
export function readDrawingScale(text: string): DrawingScaleRead {
  const plain = normalise(text).replace(/^scale\s*:?\s*/, '');
  const refusedScale: DrawingScaleRead = { ok: false, reason: `'${text.trim()}' is not a drawing scale: write 1/8" = 1'-0" or 1:100.` };
  const ratio = /^(\d*\.?\d+)\s*(?::|to)\s*(\d*\.?\d+)$/.exec(plain);
  if (ratio) {
    const value = Number(ratio[2]) / Number(ratio[1]);
    return Number.isFinite(value) && value > 0 ? { ok: true, ratio: value } : refusedScale;
  }
  const sides = plain.split('=');
  if (sides.length !== 2) return refusedScale;
  const paper = readLength(sides[0] ?? '', 'US');
  const real = readLength(sides[1] ?? '', 'US');
  if (!paper.ok || !real.ok || !(paper.length > 0) || !(real.length > 0)) return refusedScale;
  return { ok: true, ratio: real.length / paper.length };
}

