import type { UnitSystem } from '../../shared-core/units/index';

export type NumberRead =
  | { readonly ok: true; readonly value: number }
  | { readonly ok: false; readonly reason: string; readonly choices?: readonly { readonly label: string; readonly value: number }[] };

const FRACTIONS: Readonly<Record<string, string>> = { '¼': '1/4', '½': '1/2', '¾': '3/4', '⅛': '1/8', '⅓': '1/3', '⅔': '2/3' };
/** Prefixed units that may be typed where the plain one is meant: 17.2 kA for amperes, 4.16 kV for volts. */
const THOUSANDS: Readonly<Record<string, string>> = { A: 'kA', V: 'kV' };

/**
 * Reads a number as the trade writes it: 7 1/2, 7½, 0.75, 17.2 kA, 1,200. The unit may be typed or left out.
 * A comma before exactly three digits is a thousands mark in a US project and asked back in a metric one.
 */
export function readNumber(text: string, unit: string, system: UnitSystem): NumberRead {
  let rest = text.trim().replace(/[¼½¾⅛⅓⅔]/g, (c) => ` ${FRACTIONS[c] ?? c}`).replace(/(\d)-(\d+\/\d+)/, '$1 $2').trim();
  let factor = 1;
  const suffix = /\s*([A-Za-z%°Ω²]+)\.?$/.exec(rest);
  if (suffix) {
    const typed = (suffix[1] ?? '').toLowerCase();
    const large = THOUSANDS[unit];
    const plain = { A: ['a', 'amp', 'amps', 'ampere', 'amperes'], V: ['v', 'volt', 'volts', 'vac', 'vdc'], hp: ['hp'] }[unit] ?? [unit.toLowerCase()];
    if (large?.toLowerCase() === typed) factor = 1000;
    else if (!plain.includes(typed)) return { ok: false, reason: `'${suffix[1] ?? ''}' is not understood here: ${unit === '' ? 'write a plain number' : `write it in ${unit}`}.` };
    rest = rest.slice(0, suffix.index).trim();
  }
  const mixed = /^(?:(\d+)\s+)?(\d+)\/(\d+)$/.exec(rest);
  if (mixed) {
    const value = (Number(mixed[1] ?? 0) + Number(mixed[2]) / Number(mixed[3])) * factor;
    return Number.isFinite(value) ? { ok: true, value } : { ok: false, reason: `'${text.trim()}' divides by zero.` };
  }
  if (/^-?\d{1,3}(,\d{3})+(\.\d+)?$/.test(rest)) {
    const whole = Number(rest.replaceAll(',', '')) * factor;
    const decimal = Number(rest.replace(',', '.')) * factor;
    if (system === 'US' || !Number.isFinite(decimal)) return { ok: true, value: whole };
    return { ok: false, reason: `'${rest}' can be read in two ways.`, choices: [{ label: String(whole), value: whole }, { label: String(decimal), value: decimal }] };
  }
  if (/^-?\d+,\d+$/.test(rest)) rest = rest.replace(',', '.');
  if (/^-?(\d+\.?\d*|\.\d+)$/.test(rest)) return { ok: true, value: Number(rest) * factor };
  return { ok: false, reason: `'${text.trim()}' is not a number${unit === '' ? '' : ` in ${unit}`}.` };
}

const EIGHTHS = ['', '1/8', '1/4', '3/8', '1/2', '5/8', '3/4', '7/8'];

/** Writes a number as the trade does: horsepower in fractions, the rest with the figures a table would print. */
export function showNumber(value: number, unit: string): string {
  if (unit === 'hp' && value < 20 && Math.abs(value * 8 - Math.round(value * 8)) < 1e-9) {
    const whole = Math.floor(value);
    const part = EIGHTHS[Math.round((value - whole) * 8)] ?? '';
    return part === '' ? String(whole) : whole === 0 ? part : `${whole} ${part}`;
  }
  const size = Math.abs(value);
  const decimals = Number.isInteger(value) ? 0 : size >= 1000 ? 0 : size >= 100 ? 1 : size >= 1 ? 2 : size >= 0.1 ? 3 : 5;
  return value.toLocaleString('en-US', { maximumFractionDigits: decimals });
}

/** A value with its unit; large currents in kA as the trade writes fault current. */
export function showQuantity(value: number, unit: string): string {
  if (unit === 'A' && Math.abs(value) >= 5000) return `${showNumber(value / 1000, '')} kA`;
  return unit === '' ? showNumber(value, '') : `${showNumber(value, unit)} ${unit}`;
}
