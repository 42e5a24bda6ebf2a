import type { LoadData, LoadKind } from '../document/index';
import { readHorsepower } from './horsepower-text';
import { WITHOUT_SHAFT } from './plausible';

export interface LoadText {
  readonly data: LoadData;
  readonly tag?: string;
  readonly name?: string;
  /** Pieces that were not understood, to be underlined and asked for; positions in the typed text. */
  readonly notUnderstood: readonly { readonly from: number; readonly to: number; readonly text: string }[];
}

type Draft = { -readonly [K in keyof LoadData]?: LoadData[K] extends number | undefined ? number : LoadData[K] } & { typed?: Record<string, string> };
/** Puts what a pattern found into the draft; false when it contradicts what is there or makes no sense. */
type Take = (draft: Draft, match: RegExpExecArray) => boolean;

const NUMBER = '(\\d{1,3}(?:,\\d{3})+(?:\\.\\d+)?|\\d+(?:[.,]\\d+)?)';
const POWER = '(\\d+[\\s-]+\\d+\\/\\d+|\\d+\\/\\d+|\\d*[¼½¾]|\\d+(?:[.,]\\d+)?)';

/** A number with a decimal point or comma; three digits after a comma are thousands. */
function readNumber(text: string): number {
  return Number(/^\d{1,3}(,\d{3})+(\.\d+)?$/.test(text) ? text.replace(/,/g, '') : text.replace(',', '.'));
}

function put<K extends keyof Draft>(draft: Draft, field: K, value: Draft[K]): boolean {
  if (draft[field] !== undefined && draft[field] !== value) return false;
  draft[field] = value;
  return true;
}

function putNumber(field: keyof Draft): Take {
  return (draft, match) => {
    const text = match.slice(1).find((m) => m !== undefined) ?? '';
    const value = readNumber(text);
    if (!(value > 0)) return false;
    draft.typed = { ...draft.typed, [field]: match[0].trim() };
    return put(draft, field, value as never);
  };
}

/** 'MCA 28.4', 'MCA: 28.4 A', '28.4 A MCA'. */
const either = (words: string, unit: string, field: keyof Draft): [RegExp, Take] =>
  [new RegExp(`(?:(?:${words})\\b\\s*[:=]?\\s*${NUMBER}\\s*(?:${unit})?(?![\\w/])|${NUMBER}\\s*(?:${unit})?\\s*(?:${words})\\b)`, 'iy'), putNumber(field)];

const takePower: Take = (draft, match) => {
  const value = readHorsepower(match[1] ?? '');
  if (value === null || !(value > 0)) return false;
  draft.typed = { ...draft.typed, horsepower: match[0].trim() };
  return put(draft, 'horsepower', value);
};

/** '460 V', '480Y/277 V', '480/277', '120/240 V': the line voltage; the lower figure is to neutral. */
const takeVolts: Take = (draft, match) => {
  const volts = [match[1], match[2]].filter((v) => v !== undefined).map(Number);
  draft.typed = { ...draft.typed, voltage: match[0].trim() };
  const wye = volts.length === 2 && Math.abs(Math.max(...volts) / Math.min(...volts) / Math.sqrt(3) - 1) < WYE_TOLERANCE;
  if (volts.length === 2 && !wye && Math.max(...volts) !== 2 * Math.min(...volts)) return false;
  // 230/460 is a dual-voltage plate, not a system: which of both is wired has to be asked.
  if (volts.length === 2 && !wye && Math.max(...volts) > LARGEST_SPLIT_PHASE) return false;
  return put(draft, 'voltage', Math.max(...volts));
};
const WYE_TOLERANCE = 0.02;
const LARGEST_SPLIT_PHASE = 240;

const word = (draft: Draft, field: keyof Draft, value: unknown): boolean => put(draft, field, value as never);

const PATTERNS: readonly [RegExp, Take][] = [
  [new RegExp(`${POWER}\\s*(?:hp\\b|h\\.p\\.|horsepower\\b)`, 'iy'), takePower],
  [new RegExp(`${NUMBER}\\s*kva\\b`, 'iy'), putNumber('kva')],
  [new RegExp(`${NUMBER}\\s*kw\\b`, 'iy'), putNumber('kilowatts')],
  either('mca', 'a|amps?', 'minimumCircuitAmpacity'),
  either('mocp|mop|max(?:imum)?\\.?\\s*(?:fuse|ocpd|breaker)', 'a|amps?', 'maximumOvercurrent'),
  either('rla', 'a|amps?', 'ratedLoadAmperes'),
  either('bcsc|bcs', 'a|amps?', 'branchSelectionAmperes'),
  either('lra', 'a|amps?', 'lockedRotorAmperes'),
  either('fla|flc|nameplate|np', 'a|amps?', 'nameplateAmperes'),
  either('input', 'a|amps?', 'driveInputAmperes'),
  either('sf|service factor', '', 'serviceFactor'),
  [new RegExp(`(?:rise\\s*${NUMBER}\\s*°?\\s*c\\b|${NUMBER}\\s*°?\\s*c\\s*rise\\b)`, 'iy'), putNumber('temperatureRiseCelsius')],
  [/(?:pf|power factor)\s*[:=]?\s*(\d+(?:[.,]\d+)?)\s*(%?)/iy, (d, m) => {
    const value = readNumber(m[1] ?? '') / (m[2] === '%' || readNumber(m[1] ?? '') > 1 ? 100 : 1);
    return value > 0 && value <= 1 && put(d, 'powerFactor', value);
  }],
  [/(\d{2,4})\s*y?\s*\/\s*(\d{2,4})\s*(?:v|volts?)?(?![\w/])/iy, takeVolts],
  [/(\d{2,5})\s*(?:v|vac|vdc|volts?)\b/iy, (d, m) => (!/dc/i.test(m[0]) || put(d, 'phases', 'dc')) && takeVolts(d, m)],
  [/(?:([13])\s*-?\s*(?:ph|phase|ø|φ)\b\.?|(single|three)[\s-]*phase\b)/iy, (d, m) => put(d, 'phases', m[1] === '3' || m[2]?.toLowerCase() === 'three' ? 3 : 1)],
  [/(?:([13])[øφ])/iy, (d, m) => put(d, 'phases', m[1] === '3' ? 3 : 1)],
  [/(?:dc|direct current)\b/iy, (d) => put(d, 'phases', 'dc')],
  [/code(?:\s+letter)?\s+([a-z])\b/iy, (d, m) => put(d, 'codeLetter', (m[1] ?? '').toUpperCase())],
  [/(?:nema\s+)?design\s+(be|ce|[a-d])\b/iy, (d, m) => word(d, 'design', (m[1] ?? '').toUpperCase())],
  [/wound[\s-]*rotor\b/iy, (d) => put(d, 'motorType', 'wound-rotor')],
  [/synchronous\b/iy, (d) => put(d, 'motorType', 'synchronous')],
  [/squirrel[\s-]*cage\b/iy, (d) => put(d, 'motorType', 'squirrel-cage')],
  [/premium(?:[\s-]*efficiency)?\b/iy, (d) => put(d, 'premiumEfficiency', true)],
  [/fuses?\s*only\b/iy, (d) => put(d, 'fusesOnly', true)],
  [/(?:qty\s*|x\s*)(\d{1,4})(?![\w/.])/iy, (d, m) => put(d, 'count', Number(m[1]))],
  [/(5|15|30|60)[\s-]*min(?:ute)?s?\b(?:[\s-]*rated\b)?/iy, (d, m) => word(d, 'timeRating', Number(m[1]))],
  [/continuous(?:ly)?[\s-]rated\b/iy, (d) => word(d, 'timeRating', 'continuous')],
  [/wye[\s-]*(?:start[\s,-]*)?delta(?:[\s-]*(?:start|run))?\b/iy, (d) => put(d, 'starting', 'wye-delta')],
  [/part[\s-]*winding(?:[\s-]*start)?\b/iy, (d) => put(d, 'starting', 'part-winding')],
  [/(short-time|intermittent|periodic|varying|continuous)\s+duty\b/iy, (d, m) => word(d, 'duty', (m[1] ?? '').toLowerCase())],
  [new RegExp(`${NUMBER}\\s*(?:a|amps?|amperes)\\b`, 'iy'), putNumber('nameplateAmperes')],
];

const KINDS: readonly [RegExp, LoadKind][] = [
  [/\bfire pump\b/i, 'fire-pump'], [/\bpool\b/i, 'pool'], [/\bwater heater\b|\bappliance\b|\bdishwasher\b/i, 'appliance'], [/\bheater\b|\bheating\b/i, 'heater'], [/\btransformer\b/i, 'transformer'], [/\bwelder\b/i, 'welder'],
  [/\b(?:vfd|vsd|asd|drive)\b/i, 'drive'], [/\bgenerator\b/i, 'generator'], [/\b(?:ev|charger)\b/i, 'ev-supply'], [/\b(?:pv|solar|inverter)\b/i, 'pv'], [/\bcrane\b|\bhoist\b/i, 'crane'], [/\belevator\b|\blift\b/i, 'elevator'],
  [/\bsign\b/i, 'sign'], [/\birrigation\b/i, 'irrigation'], [/\bx-?ray\b/i, 'x-ray'], [/\btorque motor\b/i, 'torque-motor'], [/\bservice\b/i, 'service'], [/\bfeeder\b/i, 'feeder'],
];

/**
 * What only sounds like a kind: a drive of belts and gears or the motor of a drive is no power electronics, a lift pump carries
 * no people, a screw feeder feeds no circuit.
 */
const SOUNDS_LIKE: readonly RegExp[] = [
  /\b(?:v[\s-]?belt|belt|direct|chain|gear|friction|hydraulic|mechanical|cord|cable|wheel|traction)[\s-]+drives?\b/gi,
  /\bdrive[\s-]+(?:motor|shaft|roll(?:er)?|wheel|pulley|drum|sprocket|chain|belt|gear(?:box)?|end|train|head|station|unit)s?\b/gi,
  /\blift[\s-]+(?:station|pump)s?\b/gi, /\b(?:vibrat\w+|screw|belt|bottle|cap|rotary|weigh|auger|bowl|parts|apron|pan|sheet)[\s-]+feeders?\b/gi,
];
/** Power electronics said in full, whatever else is named beside them: 'VFD for the main drive motor'. */
const ELECTRONIC_DRIVE = /\b(?:vfd|vsd|asd)\b|\b(?:variable|adjustable)[\s-]+(?:frequency|speed)[\s-]+(?:ac[\s-]+|dc[\s-]+)?(?:drive|controller)s?\b/i;
function namedKind(draft: Draft, words: string): LoadKind | undefined {
  const named = ELECTRONIC_DRIVE.test(words) ? 'drive' : KINDS.find(([pattern]) => pattern.test(words))?.[1];
  // With horsepower it is the motor of such a thing: generator fuel pump, bottle feeder.
  return named !== undefined && (WITHOUT_SHAFT.has(named) || named === 'generator' || named === 'welder') && draft.horsepower !== undefined ? undefined : named;
}

function kindOf(draft: Draft, said: string): LoadKind {
  const words = SOUNDS_LIKE.reduce((text, sound) => text.replace(sound, ' motor '), said);
  const named = namedKind(draft, words);
  if (draft.minimumCircuitAmpacity !== undefined) return 'multimotor-cooling';
  if (named) return named;
  if (draft.ratedLoadAmperes !== undefined) return 'hermetic';
  if (draft.horsepower !== undefined) return draft.phases === 'dc' ? 'dc-motor' : 'motor';
  if (/\b(?:motor|pump|fan|blower|conveyor|mixer|agitator|mill|press|auger|compressor)\b/i.test(words)) return draft.phases === 'dc' ? 'dc-motor' : 'motor';
  if (/\bmachine\b/i.test(words)) return 'machine';
  return draft.kva !== undefined || draft.kilowatts !== undefined || draft.nameplateAmperes !== undefined ? 'continuous' : 'other';
}

const TAG = /[A-Za-z]{1,6}-?\d[\w.-]*(?![\w/])/y;
const WORD = /[^\s,;]+/y;
const UNIT_AFTER = /^\s*(?:hp|kw|kva|v|volts?|a|amps?|ph|phase)\b/i;

/**
 * Reads a load in trade notation: `P-301 pump 25 hp 460 V 3 ph code G`, `CU-4 MCA 28.4 MOCP 45 208 V 3 ph fuses only`.
 * The first word is the tag when it looks like one; words before the first figure are the name.
 * @returns what was understood, and the pieces that were not with their place in the text; never throws
 */
export function readLoadText(text: string): LoadText {
  const draft: Draft = {};
  const missed: { from: number; to: number; text: string }[] = [];
  const name: string[] = [];
  let tag: string | undefined;
  let figures = false;
  let at = 0;
  const miss = (to: number): void => {
    const before = missed.at(-1);
    if (before && text.slice(before.to, at).trim() === '') { before.to = to; before.text = text.slice(before.from, to); } else missed.push({ from: at, to, text: text.slice(at, to) });
  };
  while (at < text.length) {
    if (/[\s,;]/.test(text.charAt(at))) { at += 1; continue; }
    if (tag === undefined && name.length === 0 && !figures) {
      TAG.lastIndex = at;
      const found = TAG.exec(text);
      if (found && !UNIT_AFTER.test(text.slice(TAG.lastIndex))) { tag = found[0]; at = TAG.lastIndex; continue; }
    }
    const hit = firstMatch(text, at);
    if (hit) {
      figures = true;
      const end = at + hit.match[0].length;
      if (!hit.take(draft, hit.match)) miss(end);
      at = end;
      continue;
    }
    WORD.lastIndex = at;
    const found = WORD.exec(text)?.[0] ?? text.charAt(at);
    if (!figures && /^[\p{L}][\p{L}\p{N}.'&/-]*$/u.test(found)) name.push(found); else miss(at + found.length);
    at += found.length;
  }
  const words = name.join(' ');
  const kind = kindOf(draft, `${/^(?:vfd|vsd|asd)/i.exec(tag ?? '')?.[0] ?? ''} ${words} ${missed.map((m) => m.text).join(' ')}`);
  const { typed, ...rest } = draft;
  return { data: { kind, ...rest, ...(typed ? { typed } : {}) } as LoadData, ...(tag === undefined ? {} : { tag }), ...(words ? { name: words } : {}), notUnderstood: missed };
}

function firstMatch(text: string, at: number): { readonly match: RegExpExecArray; readonly take: Take } | null {
  for (const [pattern, take] of PATTERNS) {
    pattern.lastIndex = at;
    const match = pattern.exec(text);
    if (match) return { match, take };
  }
  return null;
}
