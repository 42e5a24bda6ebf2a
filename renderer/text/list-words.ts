import type { ListField } from '../../shared-core/exchange/index';

const count = (n: number, one: string, many = `${one}s`): string => `${n} ${n === 1 ? one : many}`;
const joined = (parts: readonly string[]): string => (parts.length < 2 ? parts.join('') : `${parts.slice(0, -1).join(', ')} and ${parts.at(-1) ?? ''}`);

/** What an import does, in one breath; also the name of its edit. */
interface Taken { readonly added: number; readonly changed: number; readonly removed: number }
const does = ({ added, changed, removed }: Taken): string => joined([
  added > 0 ? `${count(added, 'new load')}` : '', changed > 0 ? `${changed} changed` : '', removed > 0 ? `${removed} removed` : '',
].filter((part) => part !== ''));

/** Words of the equipment list's import and export. */
export const listWords = {
  title: 'Equipment list', open: 'Import a list…', csv: 'List as CSV', xlsx: 'List as XLSX', actions: 'Equipment list', exporting: 'Writing the equipment list',
  drop: 'Drop a list here: CSV, TSV or XLSX.', choose: 'Choose a file', or: 'Or paste cells from a spreadsheet', paste: 'Pasted cells', readPasted: 'Read these cells', pastedName: 'Pasted cells',
  pasteHint: 'A row of heads helps: tag, description, hp, volts, phases, FLA, MCA, MOCP. Any order.', tooMuch: 'The pasted cells are too many to read.', tooMuchTodo: 'Paste fewer rows, or open the list as a file.',
  noRows: (name: string) => `${name} holds no cells.`, noRowsTodo: 'Choose another list, or paste the cells again.',
  other: 'Another list', cancel: 'Cancel',
  intro: (name: string, rows: number) => `${name}: ${count(rows, 'row')} with something in ${rows === 1 ? 'it' : 'them'}.`,
  guessed: 'What each column holds was guessed from its head; change what is wrong.', unguessed: 'No row of heads was found: say what each column holds.', needsTag: 'Say which column holds the tag: loads are known by it.',
  heads: 'Heads', headsIn: (row: number, first: string) => `in row ${row}: ${first}`, noHeads: 'none',
  column: (letter: string) => `Column ${letter}`, holds: (head: string) => `What ${head} holds`, leftOut: 'left out',
  tick: 'Take', row: 'Row', change: 'Change', assumedKind: 'Kind', notListed: 'not in the list', listGrid: 'Rows of the list',
  kinds: { new: 'new', changed: 'changed', same: 'unchanged', stopped: 'not possible', gone: 'not in the list' },
  filters: { all: 'All', new: 'New', changed: 'Changed', same: 'Unchanged', faults: 'With faults', gone: 'Not in the list' }, filterLabel: 'Show', nothingHere: 'No such rows.', tickShown: 'Tick all shown', untickShown: 'Untick all shown',
  rowLabel: (row: number | null, tag: string, kind: string, notes: readonly string[]) => [row === null ? '' : `row ${row}`, tag === '' ? 'no tag' : tag, kind, ...notes].filter((part) => part !== '').join(', '),
  cellFault: (field: string, what: string) => `${field}: ${what}`, keptOut: 'Left out if the row is taken.', keptAsIs: 'Kept as it is if the row is taken.', oneOfTwins: 'Only one of them can be taken.',
  remove: (served: string) => `Tick to remove it from the project${served === '' ? '' : `; ${served}`}.`, placed: 'it is placed on a sheet', servedBy: (tags: readonly string[]) => `${joined(tags)} ${tags.length === 1 ? 'serves' : 'serve'} it`,
  fieldChange: (field: string, before: string, after: string) => `${field} ${before} → ${after}`, none: 'none', assumed: (kind: string) => `${kind}, assumed`,
  keys: 'Up and Down go through the rows, Space ticks, F2 mends a marked cell.', mend: (field: string, row: number) => `Mend ${field} in row ${row}`,
  takes: (taken: Taken) => (does(taken) === '' ? 'Nothing is ticked.' : `Takes ${does(taken)}.`), toTray: 'New loads wait in the tray to be placed.',
  leaves: (n: number) => `${count(n, 'row')} with faults ${n === 1 ? 'is' : 'are'} left out.`,
  take: (n: number) => (n === 0 ? 'Take nothing' : `Take ${count(n, 'row')}`), edit: (name: string, taken: Taken) => `imported ${name}: ${does(taken)}`,
  nothingChanges: 'The list says what the project has: nothing to take.', done: (name: string, taken: Taken) => `Took ${does(taken)} from ${name}.`, doneTodo: 'Undo takes all of it back.',
  moreWaiting: (n: number) => `${n} more waiting`,
  fields: {
    tag: 'tag', name: 'name', kind: 'kind of load', horsepower: 'horsepower', kilowatts: 'kW', kva: 'kVA', voltage: 'voltage', phases: 'phases', amperes: 'nameplate A', ratedAmperes: 'rated-load A (RLA)',
    lockedRotorAmperes: 'locked-rotor A', mca: 'min. circuit A (MCA)', mocp: 'max. fuse A (MOCP)', codeLetter: 'code letter', serviceFactor: 'service factor', system: 'supply',
  } satisfies Record<ListField | 'system', string>,
} as const;
