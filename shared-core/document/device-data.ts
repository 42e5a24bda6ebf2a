import type { Amperes, Feet, Horsepower, Volts } from '../units/index';

/** What a person chose or read off an installed disconnect; an absent field is computed ('to be selected'). */
export interface DeviceData {
  readonly type?: 'enclosed-switch' | 'circuit-breaker' | 'molded-case-switch' | 'attachment-plug' | 'general-use-switch' | 'pullout';
  readonly fusible?: boolean;
  readonly duty?: 'general' | 'heavy';
  readonly ratedAmperes?: Amperes;
  readonly ratedVolts?: Volts;
  readonly ratedHorsepower?: Horsepower;
  readonly poles?: number;
  readonly fuseClass?: 'J' | 'RK1' | 'RK5' | 'T' | 'CC' | 'L' | 'H' | 'K5' | 'G' | 'CF';
  readonly fuseAmperes?: Amperes;
  readonly enclosure?: string;
  readonly shortCircuitRating?: Amperes;
  readonly serviceEquipment?: boolean;
  readonly neutral?: boolean;
  readonly groundBar?: boolean;
  readonly lockable?: boolean;
  /** Feeds from this supply entity. */
  readonly fedFrom?: string;
  readonly upstreamAmperes?: Amperes;
  /** What the upstream device is; it protects the circuit of a non-fusible disconnect. */
  readonly upstreamType?: 'fuse' | 'circuit-breaker';
  readonly conductor?: {
    readonly material?: 'copper' | 'aluminum';
    readonly insulationCelsius?: 60 | 75 | 90;
    readonly terminationCelsius?: 60 | 75;
    readonly size?: string;
    readonly perPhase?: number;
    readonly raceway?: 'EMT' | 'IMC' | 'RMC' | 'PVC-40' | 'PVC-80';
    readonly conductorsInRaceway?: number;
    readonly ambientCelsius?: number;
  };
  readonly routeLength?: Feet;
  readonly energisedWorkLikely?: boolean;
  /** Enclosure, for working space, partial view and on-unit placement. */
  readonly size?: { readonly width: Feet; readonly height: Feet; readonly depth: Feet };
  /** Measured, where it hangs above a lay-in ceiling or in a crawl space. */
  readonly limitedAccess?: {
    readonly place: 'ceiling' | 'crawl-space';
    /** The two sides of the opening through which it is reached. */
    readonly opening: readonly [Feet, Feet];
    readonly clearWidth: Feet;
    readonly clearDepth: Feet;
    readonly doorDegrees: number;
  };
  /** Chosen options, e.g. 'viewing-window', 'early-break-contact'. */
  readonly options?: readonly string[];
  /** Field check on record. */
  readonly verified?: { readonly person: string; readonly date: string; readonly note: string };
}
