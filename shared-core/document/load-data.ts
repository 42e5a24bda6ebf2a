import type { Amperes, Horsepower, Volts } from '../units/index';

/** What is fed; decides which placement and sizing rules apply. */
export type LoadKind =
  | 'motor' | 'torque-motor' | 'dc-motor' | 'machine' | 'hermetic' | 'multimotor-cooling' | 'heater' | 'appliance'
  | 'continuous' | 'noncontinuous' | 'transformer' | 'welder' | 'drive' | 'generator' | 'pv' | 'ev-supply' | 'pool' | 'fire-pump'
  | 'crane' | 'elevator' | 'sign' | 'irrigation' | 'x-ray' | 'induction-heating' | 'service' | 'feeder' | 'other';

/** Nameplate and typed data of one load. Every field may be missing: what is needed and absent is asked for by name. */
export interface LoadData {
  readonly kind: LoadKind;
  readonly system?: string;
  readonly horsepower?: Horsepower;
  readonly kilowatts?: number;
  readonly kva?: number;
  /** Rated (nameplate) volts, e.g. 460. */
  readonly voltage?: Volts;
  readonly phases?: 1 | 3 | 'dc';
  readonly motorType?: 'squirrel-cage' | 'wound-rotor' | 'synchronous';
  readonly design?: 'A' | 'B' | 'C' | 'D' | 'BE' | 'CE';
  readonly premiumEfficiency?: boolean;
  readonly codeLetter?: string;
  readonly nameplateAmperes?: Amperes;
  readonly lockedRotorAmperes?: Amperes;
  readonly serviceFactor?: number;
  readonly temperatureRiseCelsius?: number;
  readonly duty?: 'continuous' | 'short-time' | 'intermittent' | 'periodic' | 'varying';
  /** For how long the motor may run loaded: minutes, or continuously; asked for where the duty is not continuous. */
  readonly timeRating?: 5 | 15 | 30 | 60 | 'continuous';
  /** Starts on part of its winding, or in wye: then six leads run from the starter to the motor. */
  readonly starting?: 'wye-delta' | 'part-winding';
  readonly powerFactor?: number;
  /** Hermetic and multi-motor equipment by nameplate. */
  readonly ratedLoadAmperes?: Amperes;
  readonly branchSelectionAmperes?: Amperes;
  readonly minimumCircuitAmpacity?: Amperes;
  readonly maximumOvercurrent?: Amperes;
  readonly fusesOnly?: boolean;
  /** Drive input amperes, and on which side of the drive (or of a wye-delta or part-winding starter) the disconnect is. */
  readonly driveInputAmperes?: Amperes;
  readonly driveSide?: 'line' | 'load';
  /** Parts of a machine on one disconnect. */
  readonly parts?: readonly LoadData[];
  readonly startTogether?: boolean;
  readonly count?: number;
  /** Facts the placement rules ask for, e.g. 'industrial', 'permanently-connected', 'over-300-VA'. */
  readonly conditions?: readonly string[];
  /** What a person typed where a field was read from text; kept as a hint. */
  readonly typed?: Readonly<Record<string, string>>;
}
