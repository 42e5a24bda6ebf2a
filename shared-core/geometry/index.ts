export * from './boxes';
export * from './exact';
export * from './polygons';
export * from './predicates';
export * from './cut-regions';
export * from './outlines';
export * from './similarity';
export * from './homography';
