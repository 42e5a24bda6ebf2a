import type { Result } from '../code-data/index';
import type { Id } from '../document/index';
import type { Amperes, Horsepower, Volts } from '../units/index';

/** One device at a glance; null where data is missing (the results say which). The numbers are those of the results. */
export interface DeviceSummary {
  readonly requiredAmperes: Amperes | null;
  readonly switchAmperes: Amperes | null;
  readonly switchVolts: Volts | null;
  readonly requiredHorsepower: Horsepower | null;
  readonly fusible: boolean | null;
  readonly fuse: { readonly fuseClass: string; readonly amperes: Amperes } | null;
  readonly duty: 'general' | 'heavy' | null;
  readonly poles: number | null;
  readonly enclosure: string | null;
  readonly conductor: string | null;
  readonly equipmentGround: string | null;
  readonly voltageDropPercent: number | null;
  readonly faultCurrent: Amperes | null;
  readonly shortCircuitRating: Amperes | null;
  readonly lugs: string | null;
  readonly raceway: string | null;
  readonly options: readonly { readonly option: string; readonly reason: string }[];
}

/** Everything computed for one disconnect: one Result per question, and the same numbers in short. */
export interface DeviceSizing {
  readonly disconnect: Id;
  readonly summary: DeviceSummary;
  readonly results: readonly Result[];
}
