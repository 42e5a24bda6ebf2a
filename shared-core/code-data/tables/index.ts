// Every table of the engine, as data: numbers by edition, what was not verified, a source and a confidence on each row.
import ambientCorrection from './ambient-correction.json';
import ampacity from './ampacity.json';
import branchProtection from './branch-protection.json';
import bundling from './bundling.json';
import codeLetter from './code-letter.json';
import conductor from './conductor.json';
import conductorArea from './conductor-area.json';
import conductorConstant from './conductor-constant.json';
import enclosure from './enclosure.json';
import equipmentGround from './equipment-ground.json';
import fullLoadDc from './full-load-dc.json';
import fullLoadSinglePhase from './full-load-single-phase.json';
import fullLoadThreePhase from './full-load-three-phase.json';
import fuseClass from './fuse-class.json';
import impedance from './impedance.json';
import lockedRotorSinglePhase from './locked-rotor-single-phase.json';
import lockedRotorThreePhase from './locked-rotor-three-phase.json';
import lug from './lug.json';
import racewayArea from './raceway-area.json';
import racewayFill from './raceway-fill.json';
import serviceGround from './service-ground.json';
import smallConductor from './small-conductor.json';
import standardRating from './standard-rating.json';
import switchHorsepower from './switch-horsepower.json';
import synchronousPowerFactor from './synchronous-power-factor.json';
import voltageRange from './voltage-range.json';
import sources from './sources.json';

/** What each source id stands for, in our own words. */
export const SOURCES: Readonly<Record<string, string>> = sources;

export const TABLES = {
  'ambient-correction': ambientCorrection,
  'ampacity': ampacity,
  'branch-protection': branchProtection,
  'bundling': bundling,
  'code-letter': codeLetter,
  'conductor': conductor,
  'conductor-area': conductorArea,
  'conductor-constant': conductorConstant,
  'enclosure': enclosure,
  'equipment-ground': equipmentGround,
  'full-load-dc': fullLoadDc,
  'full-load-single-phase': fullLoadSinglePhase,
  'full-load-three-phase': fullLoadThreePhase,
  'fuse-class': fuseClass,
  'impedance': impedance,
  'locked-rotor-single-phase': lockedRotorSinglePhase,
  'locked-rotor-three-phase': lockedRotorThreePhase,
  'lug': lug,
  'raceway-area': racewayArea,
  'raceway-fill': racewayFill,
  'service-ground': serviceGround,
  'small-conductor': smallConductor,
  'standard-rating': standardRating,
  'switch-horsepower': switchHorsepower,
  'synchronous-power-factor': synchronousPowerFactor,
  'voltage-range': voltageRange,
} as const;
