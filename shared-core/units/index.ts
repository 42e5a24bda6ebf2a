export * from './quantity';
export * from './length-text';
