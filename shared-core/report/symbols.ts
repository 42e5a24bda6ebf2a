import type { Verdict } from '../code-data/index';
import type { Disconnect, Load, LoadData, Supply } from '../document/index';
import { arc, circle, close, line, move, path, rectangle, words } from './ink';
import type { Ink, Primitive } from './ink';

/**
 * Every symbol is drawn about the origin, y down, and fits a circle of radius 0.75: a size of 1 is the side of a device's
 * box. Device and source symbols follow IEC 60617-7 and IEEE 315: the disconnector bar, the load-breaking circle, the
 * breaker's cross, the fuse on the blade, the contactor's half circle, two rings for a transformer, a ring with a letter for
 * a machine. The box, the front bar and the five status marks are our own.
 */
export type SymbolName =
  | 'switch' | 'fused-switch' | 'circuit-breaker' | 'molded-case-switch' | 'plug' | 'switch-out-of-kind'
  | 'motor' | 'generator' | 'heater' | 'transformer-load' | 'drive' | 'load' | 'machine' | 'controller'
  | 'panel' | 'transformer' | 'service-entrance';

const TAU = Math.PI * 2;
const strong = { width: 0.085 };

/** Shape first, then word, then colour. */
export const STATUS_INK: Readonly<Record<Verdict, Ink>> = { pass: 'order', marginal: 'order', fail: 'act', judgement: 'ink', incomplete: 'muted' };

/** The mark of a verdict; fits a square of side 1. */
export function statusMark(verdict: Verdict): Primitive[] {
  switch (verdict) {
    case 'pass': return [circle(0, 0, 0.4, { fill: 'order', stroke: 'ink' })];
    case 'marginal': return [
      circle(0, 0, 0.4, { fill: 'paper', stroke: null }),
      path([arc(0, 0, 0.4, 0, Math.PI), close], { fill: 'order', stroke: null }),
      circle(0, 0, 0.4, { stroke: 'ink', width: 0.07 }),
    ];
    case 'fail': return [
      path([move(0, -0.5), line(0.5, 0), line(0, 0.5), line(-0.5, 0), close], { fill: 'act', stroke: 'ink' }),
      path([move(-0.16, -0.16), line(0.16, 0.16), move(0.16, -0.16), line(-0.16, 0.16)], { stroke: 'paper', width: 0.11 }),
    ];
    case 'judgement': return [
      rectangle(-0.4, -0.4, 0.8, 0.8, { fill: 'paper', stroke: 'ink', width: 0.08 }),
      path([arc(0, -0.1, 0.145, Math.PI, TAU + Math.PI / 4), line(0, 0.13)], { width: 0.1 }),
      circle(0, 0.25, 0.06, { fill: 'ink', stroke: null }),
    ];
    case 'incomplete': return [
      circle(0, 0, 0.4, { fill: 'paper', stroke: null }),
      circle(0, 0, 0.4, { stroke: 'ink', width: 0.085, dash: [0.19, 0.124] }),
    ];
  }
}

// The contact stands upright in its box: conductor in at the top, out at the bottom, blade open to the left.
const leads = path([move(0, -0.42), line(0, -0.21), move(0, 0.23), line(0, 0.42)], strong);
const blade = path([move(0, 0.23), line(-0.26, -0.2)], strong);
const box = rectangle(-0.5, -0.5, 1, 1, { fill: 'paper', width: 0.07 });
const disconnectorBar = path([move(-0.11, -0.21), line(0.11, -0.21)], strong);
const loadBreakRing = circle(0, -0.14, 0.06, { width: 0.055, fill: 'paper' });
const fuse = path([move(0.006, 0.08), line(-0.136, -0.15), line(-0.266, -0.07), line(-0.124, 0.16), close], { width: 0.06, fill: 'paper' });
const cross = path([move(-0.085, -0.285), line(0.085, -0.115), move(0.085, -0.285), line(-0.085, -0.115)], { width: 0.07 });

const twoRings = (dx: number, dy: number): Primitive[] => [
  ...[-1, 1].map((side) => circle(side * dx, side * dy, 0.3, { fill: 'paper', stroke: null })),
  ...[-1, 1].map((side) => circle(side * dx, side * dy, 0.3, { width: 0.075 })),
];

const LETTER: Partial<Record<LoadData['kind'], string>> = {
  welder: 'W', pv: 'PV', 'ev-supply': 'EV', pool: 'PL', 'fire-pump': 'FP', crane: 'CR', elevator: 'EL', sign: 'SN', irrigation: 'IR', 'x-ray': 'X', 'induction-heating': 'IH', feeder: 'FD', service: 'SV',
};

/** Words for the legend. */
export const SYMBOL_WORDS: Readonly<Record<SymbolName, string>> = {
  switch: 'disconnect switch, not fusible', 'fused-switch': 'disconnect switch, fusible', 'circuit-breaker': 'circuit breaker as disconnect',
  'molded-case-switch': 'molded-case switch', plug: 'attachment plug and receptacle', 'switch-out-of-kind': 'disconnect, kind not chosen',
  motor: 'motor, with its horsepower', generator: 'generator', heater: 'heating equipment', 'transformer-load': 'transformer', drive: 'adjustable-speed drive',
  load: 'other load', machine: 'driven machine', controller: 'motor controller', panel: 'panelboard', transformer: 'supply transformer',
  'service-entrance': 'service entrance',
};

/** The symbol that stands for a disconnect, by what a person chose; an open choice shows as a plain contact. */
export function disconnectSymbolName(data: Disconnect['data']): SymbolName {
  if (data.type === 'circuit-breaker') return 'circuit-breaker';
  if (data.type === 'molded-case-switch') return 'molded-case-switch';
  if (data.type === 'attachment-plug') return 'plug';
  if (data.fusible === undefined && data.type === undefined) return 'switch-out-of-kind';
  return data.fusible === true || data.type === 'pullout' ? 'fused-switch' : 'switch';
}

export function loadSymbolName(data: LoadData): SymbolName {
  switch (data.kind) {
    case 'motor': case 'torque-motor': case 'dc-motor': case 'hermetic': case 'fire-pump': case 'multimotor-cooling': return 'motor';
    case 'machine': return data.horsepower !== undefined || (data.parts?.length ?? 0) > 0 ? 'motor' : 'load';
    case 'generator': return 'generator';
    case 'heater': case 'induction-heating': return 'heater';
    case 'transformer': return 'transformer-load';
    case 'drive': return 'drive';
    default: return 'load';
  }
}

export const supplySymbolName = (role: Supply['role']): SymbolName => role;

const FRACTIONS: Readonly<Record<string, string>> = { '0.5': '½', '0.25': '¼', '0.75': '¾' };
/** 7.5 as 7½, the way a nameplate has it; other parts stay decimal. */
export function horsepowerText(value: number): string {
  const whole = Math.floor(value);
  const fraction = FRACTIONS[String(value - whole)];
  return fraction === undefined ? String(value) : `${whole > 0 ? whole : ''}${fraction}`;
}

/** What stands inside a load's ring or box. */
export function loadLetter(data: LoadData): string {
  const name = loadSymbolName(data);
  if (name === 'motor') {
    if (data.horsepower !== undefined) return horsepowerText(data.horsepower);
    const parts = data.parts ?? [];
    const sum = parts.reduce((total, part) => total + (part.horsepower ?? NaN) * (part.count ?? 1), 0);
    return parts.length > 0 && Number.isFinite(sum) ? horsepowerText(Math.round(sum * 100) / 100) : 'M';
  }
  return name === 'generator' ? 'G' : LETTER[data.kind] ?? 'L';
}

/** The symbol's own marks. @param letter what stands inside a ring or box (loads only) */
export function symbolOf(name: SymbolName, letter = ''): Primitive[] {
  const size = letter.length <= 1 ? 0.56 : letter.length === 2 ? 0.5 : letter.length === 3 ? 0.38 : 0.3;
  const ring = circle(0, 0, 0.5, { fill: 'paper', width: 0.075 });
  switch (name) {
    case 'switch': return [box, leads, blade, disconnectorBar, loadBreakRing];
    case 'fused-switch': return [box, leads, blade, fuse, disconnectorBar, loadBreakRing];
    case 'circuit-breaker': return [box, leads, blade, cross];
    case 'molded-case-switch': return [box, leads, blade, loadBreakRing];
    case 'switch-out-of-kind': return [box, leads, blade];
    case 'plug': return [box, path([move(0, 0.42), line(0, 0.06), move(0, -0.42), line(0, -0.22)], strong),
      path([arc(0, 0.04, 0.24, Math.PI, TAU)], strong), path([move(0, -0.2), line(0, 0.02)], { width: 0.17 })];
    case 'motor': return [ring, words(0, 0, letter || 'M', size)];
    case 'generator': return [ring, words(0, 0, letter || 'G', size)];
    case 'heater': return [rectangle(-0.5, -0.3, 1, 0.6, { fill: 'paper', width: 0.075 }),
      path([-0.25, 0, 0.25].flatMap((x) => [move(x, -0.3), line(x, 0.3)]), { width: 0.06 })];
    case 'drive': return [box, path([move(-0.5, 0.5), line(0.5, -0.5)], { width: 0.06 }), words(-0.24, -0.24, 'AC', 0.26), words(0.2, 0.24, 'VF', 0.26)];
    case 'transformer-load': return twoRings(0.2, 0);
    case 'load': return [box, words(0, 0, letter || 'L', size)];
    case 'machine': return [path(Array.from({ length: 6 }, (_, i) => {
      const a = (i * Math.PI) / 3; const x = 0.5 * Math.cos(a); const y = 0.5 * Math.sin(a);
      return i === 0 ? move(x, y) : line(x, y);
    }).concat(close), { fill: 'paper', width: 0.075 }), circle(0, 0, 0.17, { width: 0.06 }), circle(0, 0, 0.05, { fill: 'ink', stroke: null })];
    case 'controller': return [rectangle(-0.42, -0.5, 0.84, 1, { fill: 'paper', width: 0.07 }), leads, blade,
      path([arc(0, -0.13, 0.07, -Math.PI / 2, Math.PI / 2)], { width: 0.07 })];
    case 'panel': return [rectangle(-0.6, -0.25, 1.2, 0.5, { fill: 'paper', width: 0.07 }),
      path([move(-0.6, 0.25), line(0.6, -0.25), line(0.6, 0.25), close], { fill: 'ink', stroke: null })];
    case 'transformer': return twoRings(0, 0.2);
    case 'service-entrance': return [rectangle(-0.5, -0.5, 1, 1, { fill: 'paper', width: 0.07 }),
      path([move(-0.3, -0.3), line(0.3, -0.3), line(0, 0.12), close], { fill: 'ink', stroke: 'ink', width: 0.05 }),
      path([move(0, 0.1), line(0, 0.28), move(-0.34, 0.3), line(0.34, 0.3)], strong)];
  }
}

/** A thick bar on the front of a device's box. @param facing degrees, 0 = right, clockwise (y down) */
export function frontBar(facing: number): Primitive[] {
  const a = (facing * Math.PI) / 180;
  // A box is as deep as its side towards the four walls and deeper towards its corners: the bar stays just outside.
  const reach = 0.5 / Math.max(Math.abs(Math.cos(a)), Math.abs(Math.sin(a))) + 0.09;
  const x = reach * Math.cos(a); const y = reach * Math.sin(a);
  const dx = -0.3 * Math.sin(a); const dy = 0.3 * Math.cos(a);
  return [path([move(x - dx, y - dy), line(x + dx, y + dy)], { width: 0.12 })];
}

/** A disconnect as it stands on the plan: box, contact, and the bar that says where its front is. */
export const disconnectMark = (device: Pick<Disconnect, 'data' | 'facing'>): Primitive[] => [...symbolOf(disconnectSymbolName(device.data)), ...frontBar(device.facing)];
/** A load as it stands on the plan. */
export const loadMark = (load: Pick<Load, 'data'>): Primitive[] => symbolOf(loadSymbolName(load.data), loadLetter(load.data));
