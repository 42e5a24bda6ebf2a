export * from './result';
export { row, table, citeTable } from './table';
export type { Table, TableId, TableRow, RowFound, Key, Cell } from './table';
export { SOURCES } from './tables/index';
export { RULES } from './tables/rules';
export type { Rule, RuleKey } from './tables/rules';
export { evaluate } from './formula';
export { Trace, Gap, answer, once, given, ruleValue, round, atLeast, atMost } from './trace';
export type { Basis, Figure, Finding } from './trace';
