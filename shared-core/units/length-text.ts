import { feet } from './quantity';
import type { Feet, UnitSystem } from './quantity';

export type LengthRead = { readonly ok: true; readonly length: Feet } | { readonly ok: false; readonly reason: string; readonly choices?: readonly { readonly label: string; readonly length: Feet }[] };
export function readLength(text: string, _system: UnitSystem): LengthRead { return { ok: true, length: feet(Number(text)) }; }
export function showLength(length: Feet, _system: UnitSystem): string { return `${length} ft`; }
