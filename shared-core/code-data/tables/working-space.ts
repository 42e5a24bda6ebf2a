import type { Edition } from '../result';

/** 1 = nothing live or grounded opposite, 2 = grounded opposite (concrete, brick and tile count), 3 = live opposite. */
export type SpaceCondition = 1 | 2 | 3;

export interface SpaceRow { readonly overVolts: number; readonly upToVolts: number; readonly depth: Readonly<Record<SpaceCondition, number>>; readonly citation: string; readonly source: string }

const read = 'transcriptions of the 2017, 2020-based and 2023 tables; memory agrees';

/** Depth in feet by volts to ground. Printed metres are rounded: compute with feet. */
export const workingSpaceDepth: readonly SpaceRow[] = [
  { overVolts: 0, upToVolts: 150, depth: { 1: 3, 2: 3, 3: 3 }, citation: 'NFPA 70 Table 110.26(A)(1)', source: read },
  { overVolts: 150, upToVolts: 600, depth: { 1: 3, 2: 3.5, 3: 4 }, citation: 'NFPA 70 Table 110.26(A)(1)', source: read },
  { overVolts: 600, upToVolts: 1000, depth: { 1: 3, 2: 4, 3: 5 }, citation: 'NFPA 70 Table 110.26(A)(1)', source: read },
  { overVolts: 1000, upToVolts: 2500, depth: { 1: 3, 2: 4, 3: 5 }, citation: 'NFPA 70 Table 110.34(A)', source: 'transcription of the 2023 table; memory agrees' },
  { overVolts: 2500, upToVolts: 9000, depth: { 1: 4, 2: 5, 3: 6 }, citation: 'NFPA 70 Table 110.34(A)', source: 'transcription of the 2023 table; memory agrees' },
  { overVolts: 9000, upToVolts: 25000, depth: { 1: 5, 2: 6, 3: 9 }, citation: 'NFPA 70 Table 110.34(A)', source: 'transcription of the 2023 table; memory agrees' },
  { overVolts: 25000, upToVolts: 75000, depth: { 1: 6, 2: 8, 3: 10 }, citation: 'NFPA 70 Table 110.34(A)', source: 'transcription of the 2023 table; memory agrees' },
  { overVolts: 75000, upToVolts: Number.POSITIVE_INFINITY, depth: { 1: 8, 2: 10, 3: 12 }, citation: 'NFPA 70 Table 110.34(A)', source: 'transcription of the 2023 table; memory agrees' },
];

/** The other figures, in the unit they are printed in. */
export const workingSpaceFigures = {
  /** 110.26(A)(2): the larger of this and the equipment. Over 1000 V (110.32): 3 ft. */
  width: { value: 30, unit: 'in' }, widthOver1000: { value: 3, unit: 'ft' },
  /** 110.26(A)(3): the larger of this and the equipment. */
  height: { value: 6.5, unit: 'ft' },
  /** 110.26(A)(3): how far associated equipment above or below may project past the front. */
  projection: { value: 6, unit: 'in' },
  doorOpening: { value: 90, unit: 'degrees' },
  /** Canada 2-308: with secure footing. */
  canada: { value: 1, unit: 'm' },
  /** 110.26(C)(2): from this rating and beyond this width, an entrance at each end, or twice the depth. */
  largeAmperes: 1200, largeWidth: { value: 6, unit: 'ft' }, entranceWidth: { value: 24, unit: 'in' }, entranceHeight: { value: 6.5, unit: 'ft' },
  /** 110.26(C)(3): from this rating, personnel doors nearer than this need panic hardware. */
  doorAmperes: 800, doorDistance: { value: 25, unit: 'ft' },
  /** 110.26(A)(4): opening above a lay-in ceiling, and in a crawl space. */
  limitedOpening: { ceiling: [22, 22], crawl: [22, 30], unit: 'in' },
  /** 110.26(E): above switchboards, panelboards and control centres; a single switch is not in that list. */
  dedicatedAbove: { value: 6, unit: 'ft' },
  source: 'scanned text of the 2023 edition, a 2020-based state text and the 2017 text; state administrative codes repeat Table S-1',
} as const;

/** From this edition the cooling section itself calls up the working space (440.14). */
export const coolingSpaceSince: Edition = '2023';

/** The row for a voltage to ground, or null outside the table. */
export function workingSpaceRow(voltsToGround: number): SpaceRow | null {
  return workingSpaceDepth.find((row) => voltsToGround > row.overVolts && voltsToGround <= row.upToVolts) ?? null;
}
