export * from './types';
export { sizeDevice } from './device';
