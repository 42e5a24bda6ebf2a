import { Gap, atLeast, atMost, given, round, row, table } from '../code-data/index';
import type { Figure, Trace } from '../code-data/index';
import { standardRatings } from './protection';
import type { ProtectiveDevice } from './protection';

export type Material = 'copper' | 'aluminum';
export type Celsius = 60 | 75 | 90;

/** Conductor sizes by growing area, 14 AWG to 2000 kcmil. */
export const SIZES: readonly string[] = table('conductor').rows.map((r) => String(r.size));
/** Sizes that are allowed in parallel start here (310.10(G)). */
const SMALLEST_PARALLEL = '1/0';
/** One conductor of 600 kcmil is the largest that typical switch lugs take; beyond it conductors run in parallel. */
const LARGEST_SINGLE = '600';
const MOST_PARALLEL = 12;
/** 8 AWG and larger have no small-conductor limit. */
const FIRST_UNLIMITED = '8';

export const sizeIndex = (size: string): number => SIZES.indexOf(size);
/** '4 AWG', '1/0 AWG', '250 kcmil'. */
export const sizeName = (size: string): string => (/^\d{3,}$/.test(size) ? `${size} kcmil` : `${size} AWG`);
/** '2 x 250 kcmil copper' from parts. */
export const conductorName = (size: string, perPhase: number, material: Material): string => `${perPhase > 1 ? `${perPhase} x ` : ''}${sizeName(size)} ${material}`;

/** A size as people and tables write it, e.g. '#4', '4 AWG', '250 kcmil', '500MCM' to the table's word; null when it is none. */
export function readSize(text: string): string | null {
  const word = text.trim().replace(/^#/, '').replace(/\s*(awg|kcmil|mcm)\b.*$/i, '').replace(/\s+/g, '');
  return SIZES.includes(word) ? word : null;
}

/** Area in circular mils. */
export const area = (t: Trace, size: string, symbol = 'A'): Figure => t.lookUp(`Area of ${sizeName(size)}`, symbol, 'conductor', { size }, 'cmil', 'cmil');

/** Up to here every insulation has a factor; a blank below it is a fault of the table. */
const HOTTEST_60 = 55;
/** Nothing is wired at less; a lower figure is a slip. */
const COLDEST = -60;

/** Ambient correction for the insulation; 30 C is the base. */
export function ambientFactor(t: Trace, celsius: number, insulation: Celsius): Figure {
  if (!Number.isFinite(celsius) || celsius < COLDEST) throw new Gap(`an ambient temperature of ${celsius} C cannot be`, ['ambient temperature']);
  const found = row('ambient-correction', { celsius });
  if (!found.ok || (found.row[String(insulation)] === null && celsius > HOTTEST_60)) throw new Gap(`${insulation} C insulation is not for ${celsius} C`, ['insulation of a higher temperature rating, or a cooler route']);
  return t.lookUp(`Ambient correction at ${celsius} C`, 'k_t', 'ambient-correction', { celsius }, String(insulation), '');
}

/** Fahrenheit to Celsius by the printed bands: 105 F is the first degree of the 41 to 45 C band. */
export function ambientFactorFahrenheit(t: Trace, fahrenheit: number, insulation: Celsius): Figure {
  const band = table('ambient-correction').rows.find((r) => fahrenheit <= Number(r.fahrenheit));
  if (!band) throw new Gap(`no correction is printed for ${fahrenheit} F`, ['ambient temperature']);
  return ambientFactor(t, Number(band.celsius), insulation);
}

/** Adjustment for the number of current-carrying conductors, as a factor. */
export function bundlingFactor(t: Trace, conductors: number): Figure {
  const percent = t.lookUp(`Adjustment for ${conductors} current-carrying conductors`, 'p_n', 'bundling', { conductors }, 'percent', '%');
  return t.compute('Adjustment factor', 'k_n = p_n / 100', [percent], '');
}

/** Table ampacity of a size in one temperature column. */
export const tableAmpacity = (t: Trace, size: string, material: Material, column: Celsius, symbol = 'I_table'): Figure =>
  t.lookUp(`Ampacity of ${sizeName(size)} ${material}, ${column} C column`, symbol, 'ampacity', { material, size }, String(column));

/** Ampacity after correction and adjustment. */
export const correctedAmpacity = (t: Trace, base: Figure, ambient: Figure, bundling: Figure): Figure =>
  t.compute('Ampacity after correction and adjustment', `I_corr = ${base.name} x k_t x k_n`, [base, ambient, bundling], 'A');

/** Table ampacity that correction and adjustment call for. */
export const tableAmpacityNeeded = (t: Trace, need: Figure, ambient: Figure, bundling: Figure): Figure =>
  t.compute('Table ampacity needed', `I_need = ${need.name} / (k_t x k_n)`, [need, ambient, bundling], 'A');

export interface ConductorNeed {
  readonly material: Material;
  readonly insulation: Celsius;
  readonly termination: 60 | 75;
  /** Need at the terminals, without correction. */
  readonly atTerminals: Figure;
  /** Need after correction and adjustment; for a motor the same figure. */
  readonly corrected: Figure;
  readonly ambient: Figure;
  readonly bundling: Figure;
  /** A smaller size than this is not considered (small-conductor rule). */
  readonly smallest?: string;
  /** The overcurrent device that has to protect them; absent where a motor's own rules free it from that (240.4(G)). */
  readonly device?: Guard;
}

/** An overcurrent device, the ratings it is made in, and up to where a device may be the next one above the ampacity (240.4(B)). */
export interface Guard { readonly amperes: Figure; readonly kind: ProtectiveDevice; readonly nextSizeTo: Figure }

export interface ConductorPick {
  readonly size: string;
  readonly perPhase: number;
  readonly material: Material;
  /** Ampacity of the set: corrected, and not above the terminal column. */
  readonly ampacity: Figure;
  /** The same in the column of the terminals alone, and after correction alone. */
  readonly atTerminals: Figure;
  readonly corrected: Figure;
}

const NOTHING_PRINTED = 'nothing is printed';

/** Ampacity of a size, null where nothing is printed (14 AWG aluminum). */
const cell = (material: Material, size: string, column: Celsius): number | null => {
  const found = row('ampacity', { material, size });
  if (!found.ok) throw new Gap(found.reason);
  const value = found.row[String(column)];
  if (typeof value !== 'number' && found.row.note !== NOTHING_PRINTED) throw new Gap(`${found.where}: unreadable`);
  return typeof value === 'number' ? value : null;
};

function carries(need: ConductorNeed, size: string, sets: number): boolean {
  const terminals = cell(need.material, size, need.termination);
  const own = cell(need.material, size, need.insulation);
  if (terminals === null || own === null) return false;
  return atLeast(terminals * sets, need.atTerminals.value) && atLeast(own * need.ambient.value * need.bundling.value * sets, need.corrected.value);
}

/** Ampacity of a set: after correction, and not above the column of its terminals. */
const ampacityOf = (need: ConductorNeed, size: string, sets: number): number =>
  sets * Math.min((cell(need.material, size, need.insulation) ?? 0) * need.ambient.value * need.bundling.value, cell(need.material, size, need.termination) ?? 0);

/** Whether a device protects conductors: not above their ampacity, or the next standard size above it up to 800 A (240.4(B) and (C)). */
const guards = (t: Trace, { amperes, kind, nextSizeTo }: Guard, ampacity: number): boolean => atMost(amperes.value, ampacity)
  || (atMost(amperes.value, nextSizeTo.value) && atMost(amperes.value, standardRatings(kind, t.basis.edition).values.find((v) => atLeast(v, ampacity)) ?? 0));

/** Whether the device of a need protects a set of conductors. */
export const setIsGuarded = (t: Trace, need: ConductorNeed, size: string, sets: number): boolean => need.device === undefined || guards(t, need.device, ampacityOf(need, size, sets));

/**
 * The smallest conductor that carries both needs: at the terminals by their column, and after correction by its own
 * insulation, and that its device protects. Beyond 600 kcmil the fewest equal sets of 1/0 and larger.
 */
export function pickConductor(t: Trace, need: ConductorNeed): ConductorPick {
  if (!(need.atTerminals.value >= 0) || !(need.corrected.value >= 0)) throw new Gap('the current to carry is not known', ['load current']);
  const from = Math.max(0, need.smallest === undefined ? 0 : sizeIndex(need.smallest));
  for (let sets = 1; sets <= MOST_PARALLEL; sets += 1) {
    const size = SIZES.slice(0, sizeIndex(LARGEST_SINGLE) + 1).find((s, i) => i >= from && (sets === 1 || i >= sizeIndex(SMALLEST_PARALLEL)) && carries(need, s, sets) && setIsGuarded(t, need, s, sets));
    if (size !== undefined) return describePick(t, need, size, sets);
  }
  throw new Gap(`no conductor set carries ${round(need.corrected.value)} A here`, ['number of conductors per phase']);
}

/** Ampacity of a chosen or given set, each column shown. */
export function describePick(t: Trace, need: ConductorNeed, size: string, sets: number): ConductorPick {
  const own = tableAmpacity(t, size, need.material, need.insulation);
  const corrected = correctedAmpacity(t, own, need.ambient, need.bundling);
  const terminals = tableAmpacity(t, size, need.material, need.termination, 'I_term');
  const n = given('n', sets, '', 'computed');
  const ampacity = t.compute('Ampacity of the conductors', 'I_z = n x min(I_corr, I_term)', [n, corrected, terminals], 'A');
  const terminalsOk = t.compute('Ampacity at the terminals', 'I_T = n x I_term', [n, terminals], 'A');
  const correctedOk = t.compute('Ampacity after correction', 'I_C = n x I_corr', [n, corrected], 'A');
  t.test('Carries the load at the terminals', `ok = I_T >= ${need.atTerminals.name}`, [terminalsOk, need.atTerminals]);
  t.test('Carries the load after correction', `ok = I_C >= ${need.corrected.name}`, [correctedOk, need.corrected]);
  if (need.device) showGuard(t, need.device, ampacity);
  return { size, perPhase: sets, material: need.material, ampacity, atTerminals: terminalsOk, corrected: correctedOk };
}

/** Writes down what protects the conductors, and by which of both rules. */
function showGuard(t: Trace, { amperes, kind, nextSizeTo }: Guard, ampacity: Figure): void {
  const device = { ...amperes, name: 'I_dev' };
  const next = !atMost(device.value, ampacity.value) && atMost(device.value, nextSizeTo.value);
  const most = next ? t.choose('Next standard size above the ampacity, allowed up to 800 A', 'I_max', standardRatings(kind, t.basis.edition), 'up', ampacity, 'A', nextSizeTo.citation) : ampacity;
  t.test('Their overcurrent device protects them', `ok = I_dev <= ${most.name}`, [device, most], nextSizeTo.citation);
}

/** Whether a given set carries the need. */
export const setCarries = (need: ConductorNeed, size: string, sets: number): boolean => carries(need, size, sets);

/** Why a set may not be used whatever it carries: too small for its device (240.4(D)), or too small to run in parallel (310.10(G)); null where it may. */
export function refusedSet(need: ConductorNeed, size: string, sets: number): { readonly words: string; readonly section: string } | null {
  if (need.smallest !== undefined && sizeIndex(size) < sizeIndex(need.smallest)) return { words: `${sizeName(size)} is too small for its overcurrent device, ${sizeName(need.smallest)} is the least`, section: '240.4(D)' };
  if (sets > 1 && sizeIndex(size) < sizeIndex(SMALLEST_PARALLEL)) return { words: `only ${sizeName(SMALLEST_PARALLEL)} and larger may run in parallel`, section: '310.10(G)' };
  return null;
}

/** Smallest size whose table ampacity in one column reaches a figure. */
export function sizeForAmpacity(t: Trace, need: Figure, material: Material, column: Celsius): string {
  const size = SIZES.find((s) => atLeast(cell(material, s, column) ?? -1, need.value));
  if (size === undefined) throw new Gap(`no single conductor carries ${round(need.value)} A`, ['number of conductors per phase']);
  t.test(`${sizeName(size)} carries it`, `ok = I_${column} >= ${need.name}`, [tableAmpacity(t, size, material, column, `I_${column}`), need]);
  return size;
}

/** Smallest size whose area reaches a figure in circular mils. */
export function sizeForArea(t: Trace, need: Figure, quantity = 'Size by area'): string {
  const size = SIZES.find((s) => atLeast(Number(table('conductor').rows.find((r) => r.size === s)?.cmil), need.value));
  if (size === undefined) throw new Gap(`no single conductor has ${Math.round(need.value)} cmil`, ['number of conductors per phase']);
  t.test(`${quantity}: ${sizeName(size)}`, `ok = A_s >= ${need.name}`, [area(t, size, 'A_s'), need]);
  return size;
}

/** Smallest general-circuit conductor under a device by the small-conductor limits (240.4(D)); motor circuits are exempt. */
export function smallestUnderDevice(t: Trace, device: Figure, material: Material): string {
  for (const r of table('small-conductor').rows) {
    if (r.material !== material || !SIZES.includes(String(r.size))) continue;
    const limit = t.lookUp(`Largest device on ${sizeName(String(r.size))} ${material}`, 'I_lim', 'small-conductor', { material, size: String(r.size) }, 'amperes');
    if (t.test(`${sizeName(String(r.size))} may be used`, `ok = I_lim >= ${device.name}`, [limit, device])) return String(r.size);
  }
  return FIRST_UNLIMITED;
}
