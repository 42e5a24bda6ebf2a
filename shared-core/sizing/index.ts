export * from './types';
export { sizeDevice } from './device';
export { readLoadText } from './load-text';
export type { LoadText } from './load-text';
export { readHorsepower, showHorsepower } from './horsepower-text';
export { serviceMarkings } from './service';
export { amendLoad, writeLoadText } from './load-notation';
export { partFaults } from './part-faults';
export { deviceOptions, sizingConditions } from './choices';
