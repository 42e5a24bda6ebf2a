export * from './types';
export * from './load-data';
export * from './device-data';
export * from './edits';
export * from './schema';
export * from './scale';
export * from './create';
export * from './migrate';
