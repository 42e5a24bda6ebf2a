export * from './fit';
export * from './findings';
export * from './ink';
export * from './touched';
export * from './lay-edit';
