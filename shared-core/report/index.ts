export * from './ink';
export * from './symbols';
export * from './lines';
export * from './labels';
