import { feet, metresToFeet } from '../../units/index';
import type { Feet } from '../../units/index';
import type { Edition, Jurisdiction } from '../result';

/** What a rule wants in sight of the handle. */
export type PlacementTarget = 'motor' | 'machine' | 'controller' | 'unit';

/** A length as the rule prints it. */
export interface PrintedLength { readonly value: number; readonly unit: 'ft' | 'm' | 'in' }
/** Units in which a length may be printed or amended. */
export const isLengthUnit = (unit: string): unit is PrintedLength['unit'] => unit === 'ft' || unit === 'in' || unit === 'm';
const INCHES_PER_FOOT = 12;

/** A printed length in feet. */
export function inFeet({ value, unit }: PrintedLength): Feet {
  if (unit === 'm') return metresToFeet(value);
  return feet(unit === 'in' ? value / INCHES_PER_FOOT : value);
}

export interface SightLimit {
  readonly atMost: PrintedLength;
  /** For rules that also want the handle away from the equipment. */
  readonly atLeast?: PrintedLength;
  /** A shorter limit that other sources give: between the two, the authority decides. */
  readonly contested?: { readonly atMost: PrintedLength; readonly why: string };
  /** The rule gives no figure: beyond ours the authority decides. */
  readonly ownReading?: true;
}

/** A fact an exception rests on: of the device, of the record, or (load:...) a condition recorded with the load. */
export type ExceptionNeed = 'lockable' | 'document' | 'attachment-plug' | `load:${string}`;

export interface ExceptionCondition {
  readonly id: string;
  readonly words: string;
  readonly needs: readonly ExceptionNeed[];
  /** 'judgement': accepted on paper, the authority must still agree. */
  readonly outcome: 'pass' | 'judgement';
  /** With this condition recorded on the load, the reading is settled and passes. */
  readonly settledBy?: string;
}

export interface OutOfSight {
  readonly allowed: 'yes' | 'conditional' | 'narrow' | 'no' | 'inverted' | 'not-asked';
  readonly conditions: readonly ExceptionCondition[];
  readonly words?: string;
}

/** What makes a rule apply to a load of its kind; absent parts do not matter. */
export interface RuleCondition {
  readonly all?: readonly string[];
  readonly none?: readonly string[];
  readonly horsepowerAtMost?: number;
  readonly horsepowerAbove?: number;
  readonly voltAmperesAtMost?: number;
}

/** Things the program itself checks besides sight. */
export type Demand = 'readily-accessible' | 'lockable' | 'handle-height' | 'working-space' | 'one-handle-only' | 'on-unit-placement' | 'water-distance' | 'six-handles';

export interface PlacementRule {
  readonly id: string;
  readonly group: 'general' | 'equipment' | 'special' | 'overlay';
  readonly equipment: string;
  /** Kinds of load it is for; empty for general rules. */
  readonly loads: readonly string[];
  readonly when?: RuleCondition;
  readonly editions?: readonly Edition[];
  readonly targets: readonly PlacementTarget[];
  readonly limit: Readonly<Partial<Record<Jurisdiction, SightLimit>>> | null;
  /** 'argued': whether sight is asked at all is disputed, so what would fail is a judgement. */
  readonly sight?: 'argued';
  readonly outOfSight: OutOfSight;
  readonly demands: readonly Demand[];
  /** What a person must see to: the plan cannot show it. */
  readonly remarks: readonly string[];
  /** Wants nothing in sight, but its remarks are about the place: the authority decides. */
  readonly review?: true;
  readonly cite: Readonly<Partial<Record<Edition | 'CA' | 'OSHA', string>>>;
  /** Editions whose number is expected but was not read. */
  readonly unverified?: readonly (Edition | 'CA' | 'OSHA')[];
  readonly introduced: string;
  readonly confidence: { readonly level: 'high' | 'medium' | 'low'; readonly seen: readonly string[]; readonly fromMemory?: string; readonly open?: string };
}
