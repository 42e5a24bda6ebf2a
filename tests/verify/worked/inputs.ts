import { given } from '../../../shared-core/code-data/index';
import type { Figure, Trace } from '../../../shared-core/code-data/index';
import { readHorsepower } from '../../../shared-core/sizing/horsepower-text';
import type { Celsius, Material } from '../../../shared-core/sizing/conductor';
import type { Motor, MotorType } from '../../../shared-core/sizing/motor';
import type { ProtectiveDevice } from '../../../shared-core/sizing/protection';

/** What each expected key of a record is worked out by. */
export type Answers = Readonly<Record<string, () => unknown>>;
export type Topic = (t: Trace, inputs: Inputs, keys: readonly string[]) => Answers;

/** The inputs of a record, read by name with the usual defaults of the method. */
export class Inputs {
  constructor(private readonly values: Readonly<Record<string, unknown>>) {}

  has(name: string): boolean { return this.values[name] !== undefined && this.values[name] !== null; }
  number(name: string): number {
    const value = this.values[name];
    if (typeof value !== 'number') throw new Error(`input ${name} is missing`);
    return value;
  }
  numberOr(name: string, other: number): number { return this.has(name) ? this.number(name) : other; }
  text(name: string): string {
    const value = this.values[name];
    if (typeof value !== 'string') throw new Error(`input ${name} is missing`);
    return value;
  }
  textOr(name: string, other: string): string { return this.has(name) ? this.text(name) : other; }
  flag(name: string): boolean { return this.values[name] === true; }
  list(name: string): unknown[] { return Array.isArray(this.values[name]) ? this.values[name] : []; }
  numbers(name: string): number[] { return this.list(name).map(Number); }
  texts(name: string): string[] { return this.list(name).map(String); }
  objects(name: string): Inputs[] { return this.list(name).map((o) => new Inputs(o as Record<string, unknown>)); }
  object(name: string): Inputs { return new Inputs(this.values[name] as Record<string, unknown>); }
  figure(name: string, symbol: string, unit = 'A'): Figure { return given(symbol, this.number(name), unit, 'typed'); }

  horsepower(name = 'power_hp'): number {
    const value = this.values[name];
    const read = typeof value === 'number' ? value : typeof value === 'string' ? readHorsepower(value) : null;
    if (read === null) throw new Error(`input ${name} is missing`);
    return read;
  }
  get phases(): 1 | 3 { return this.numberOr('phases', 3) === 1 ? 1 : 3; }
  get material(): Material { return /alum/.test(this.textOr('material', this.textOr('conductor', 'copper'))) ? 'aluminum' : 'copper'; }
  get termination(): 60 | 75 { return this.numberOr('termination_C', 75) === 60 ? 60 : 75; }
  get insulation(): Celsius {
    const stated = this.has('insulation_C') ? this.number('insulation_C') : Number(/\b(60|75|90) ?C/.exec(this.textOr('insulation', ''))?.[1] ?? 75);
    return stated === 60 ? 60 : stated === 90 ? 90 : 75;
  }
  /** Volts by voltage_V, system_voltage_V, or the last of a system's words ('230/240 V three-phase'). */
  get volts(): number {
    for (const name of ['voltage_V', 'system_voltage_V', 'source_V']) if (this.has(name)) return this.number(name);
    const words = /([\d/]+) ?V/.exec(this.textOr('system', ''))?.[1]?.split('/');
    if (words) return Number(words.at(-1));
    throw new Error('no voltage is given');
  }
}

const DEVICES: readonly [RegExp, ProtectiveDevice][] = [[/instantaneous/, 'instantaneous-trip-breaker'], [/inverse|breaker/, 'inverse-time-breaker'], [/non-?time-?delay/, 'nontime-delay-fuse'], [/dual-element|time-?delay|fuse/, 'time-delay-fuse']];

/** A device in words, e.g. 'largest dual-element fuse', '45 A dual-element fuse'. */
export function readDevice(words: string): { readonly device: ProtectiveDevice; readonly amperes: number | null } {
  const device = DEVICES.find(([pattern]) => pattern.test(words))?.[1];
  if (!device) throw new Error(`device '${words}' is not known`);
  const stated = /([\d.]+) ?A\b/.exec(words)?.[1];
  return { device, amperes: stated === undefined ? null : Number(stated) };
}

/** The motor of a record or of one entry of its list. */
export function motorFrom(inputs: Inputs, shared: { readonly volts?: number; readonly phases?: 1 | 3 } = {}): Motor & { readonly efficient: boolean } {
  const type = inputs.textOr('motor_type', 'squirrel-cage') as MotorType;
  const design = inputs.textOr('design', '');
  const letter = /^(BE|CE|[ABCD])\b/.exec(design)?.[1] as Motor['design'];
  const dc = inputs.textOr('current_type', '') === 'dc';
  const volts = inputs.has('voltage_V') || inputs.has('system_voltage_V') || shared.volts === undefined ? inputs.volts : shared.volts;
  return {
    horsepower: inputs.horsepower(), voltage: volts, phases: dc ? 'dc' : inputs.has('phases') ? inputs.phases : shared.phases ?? 3, type, efficient: /efficient|premium/.test(design),
    ...(letter ? { design: letter } : {}), ...(inputs.has('code_letter') ? { codeLetter: inputs.text('code_letter') } : {}), ...(inputs.has('power_factor') ? { powerFactor: inputs.number('power_factor') } : {}),
  };
}

/** Works a value out once, whichever of its keys asks first. */
export function lazy<T>(work: () => T): () => T {
  let kept: { readonly value: T } | null = null;
  return () => (kept ??= { value: work() }).value;
}
