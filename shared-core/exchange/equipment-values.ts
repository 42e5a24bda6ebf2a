import type { LoadData } from '../document/index';
import { amperes, horsepower, volts } from '../units/index';

/** A cell that was read, or why it was not. */
export type CellRead<T> = { readonly ok: true; readonly value: T } | { readonly ok: false; readonly what: string };
const good = <T>(value: T): CellRead<T> => ({ ok: true, value });
const bad = (what: string): { ok: false; what: string } => ({ ok: false, what });

const VULGAR: Readonly<Record<string, string>> = { '½': ' 1/2', '¼': ' 1/4', '¾': ' 3/4', '⅓': ' 1/3', '⅙': ' 1/6', '⅛': ' 1/8' };
const plain = (text: string): string => text.replace(/[½¼¾⅓⅙⅛]/g, (sign) => VULGAR[sign]!).replace(/\u00a0/g, ' ').replace(/[–—]/g, '-').trim();

/** '7 1/2', '7-1/2', '1/3', '7.5', '7,5'; a comma before three digits can mean two things and is asked back. */
export function readNumber(text: string): CellRead<number> {
  const mixed = /^(?:(\d+)(?:\s+|-))?(\d+)\s*\/\s*(\d+)$/.exec(text);
  if (mixed) {
    const value = Number(mixed[1] ?? 0) + Number(mixed[2]) / Number(mixed[3]);
    return Number.isFinite(value) ? good(value) : bad(`“${text}” divides by zero.`);
  }
  if (/^\d{1,3}(,\d{3})+$/.test(text)) return bad(`“${text}” could be ${text.replaceAll(',', '')} or ${text.replace(',', '.')}: write it without the comma.`);
  // Spreadsheets write large and small numbers with an exponent.
  if (/^\d+(\.\d*)?e[+-]?\d{1,3}$/i.test(text) && Number.isFinite(Number(text))) return good(Number(text));
  if (!/^(\d+([.,]\d*)?|[.,]\d+)$/.test(text)) return bad(/^-/.test(text) ? `“${text}” is negative.` : `“${text}” is not a number.`);
  return good(Number(text.replace(',', '.')));
}

/** A number above 0 with one of the given unit words, or bare. */
function readWith(text: string, units: RegExp): CellRead<{ value: number; unit: string }> {
  const match = new RegExp(String.raw`^(.*?)\s*(${units.source})?$`, 'i').exec(plain(text));
  const number = readNumber((match?.[1] ?? '').trim());
  if (!number.ok) return number;
  return number.value > 0 ? good({ value: number.value, unit: (match?.[2] ?? '').toLowerCase() }) : bad(`“${text.trim()}” should be above 0.`);
}

/** '7 1/2 hp', '5.5 kW', or a bare number in the unit of its column. */
export function readPower(text: string, bare: 'hp' | 'kW'): CellRead<Pick<LoadData, 'horsepower' | 'kilowatts'>> {
  const read = readWith(text, /h\.?p\.?|kw|w/);
  if (!read.ok) return read;
  const { value, unit } = read.value;
  if (unit === 'w') return good({ kilowatts: value / 1000 });
  return good((unit === '' ? bare.toLowerCase() : unit) === 'kw' ? { kilowatts: value } : { horsepower: horsepower(value) });
}

export function readAmperes(text: string): CellRead<number> {
  const read = readWith(text, /a|amps?|amperes?/);
  return read.ok ? good(amperes(read.value.value)) : read;
}

export function readKva(text: string): CellRead<number> {
  const read = readWith(text, /kva|va/);
  return !read.ok ? read : good(read.value.unit === 'va' ? read.value.value / 1000 : read.value.value);
}

/** Locked-rotor code letters of NFPA 70 Table 430.7(B): A to V without I, O and Q. */
export function readCodeLetter(text: string): CellRead<string> {
  const letter = /^(?:code\s*)?([a-hj-npr-v])$/i.exec(plain(text));
  return letter ? good(letter[1]!.toUpperCase()) : bad(`“${text.trim()}” is no code letter: A to V without I, O and Q.`);
}

export function readServiceFactor(text: string): CellRead<number> {
  const read = readWith(text, /s\.?f\.?/);
  return read.ok ? good(read.value.value) : read;
}

const HIGHEST_VOLTS = 35_000;

/** '480', '460 V', '480/277' (line to line counts), '480Y/277', '460/3/60' (volts, phases, hertz), '480 V 3 ph'. */
export function readVoltage(text: string): CellRead<Pick<LoadData, 'voltage' | 'phases'>> {
  const words = plain(text).toLowerCase();
  const trade = /^(\d{2,5})\s*v?\s*[/-]\s*([13])\s*(?:ph|ø|φ)?\s*(?:[/-]\s*(?:50|60)\s*(?:hz)?)?$/.exec(words);
  if (trade) return good({ voltage: volts(Number(trade[1])), phases: Number(trade[2]) as 1 | 3 });
  const match = /^(\d[\d.,]*)\s*(k?)v?\s*(?:y|d|δ)?(?:\s*\/\s*(\d[\d.,]*)\s*v?)?\s*(ac|dc)?\s*,?\s*(?:([13])\s*(?:-?\s*phase|ph|ø|φ)\.?)?$/.exec(words);
  if (!match) return bad(`“${text.trim()}” is not a voltage such as 480, 480/277 or 460/3/60.`);
  const values = [match[1], match[3]].filter((each) => each !== undefined).map((each) => readNumber(each));
  const failed = values.find((each) => !each.ok);
  if (failed && !failed.ok) return failed;
  const voltage = Math.max(...values.map((each) => (each.ok ? each.value : 0))) * (match[2] === 'k' ? 1000 : 1);
  if (!(voltage > 0 && voltage <= HIGHEST_VOLTS)) return bad(`“${text.trim()}” is no voltage of a load.`);
  const phases = match[4] === 'dc' ? 'dc' as const : match[5] ? Number(match[5]) as 1 | 3 : undefined;
  return good({ voltage: volts(voltage), ...(phases === undefined ? {} : { phases }) });
}

/** '3', '3 ph', '3Ø', '1', 'single-phase', 'three', 'DC'. */
export function readPhases(text: string): CellRead<1 | 3 | 'dc'> {
  const words = plain(text).toLowerCase();
  if (/^(3|three)\s*-?\s*(ph\.?|phase|ø|φ|~)?$/.test(words)) return good(3);
  if (/^(1|one|single)\s*-?\s*(ph\.?|phase|ø|φ|~)?$/.test(words)) return good(1);
  if (/^(dc|d\.c\.)$/.test(words)) return good('dc');
  return bad(`“${text.trim()}” is not 1, 3 or DC.`);
}
