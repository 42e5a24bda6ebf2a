export * from './boxes';
export * from './exact';
export * from './polygons';
export * from './predicates';
