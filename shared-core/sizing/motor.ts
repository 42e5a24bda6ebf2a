import { Gap, given, row, table } from '../code-data/index';
import type { Figure, TableId, TableRow, Trace } from '../code-data/index';

export type Phases = 1 | 3 | 'dc';
export type MotorType = 'squirrel-cage' | 'wound-rotor' | 'synchronous';
export type Design = 'A' | 'B' | 'C' | 'D' | 'BE' | 'CE';

/** What the tables ask of one motor. Volts are rated or system volts; the column that serves them is found. */
export interface Motor {
  readonly horsepower: number;
  readonly voltage: number;
  readonly phases: Phases;
  readonly type?: MotorType;
  readonly design?: Design;
  readonly efficient?: boolean;
  readonly codeLetter?: string;
  readonly powerFactor?: number;
  readonly lockedRotorAmperes?: number;
}

const PERCENT = 100;

/**
 * The column of the motor tables that serves a voltage.
 * @throws Gap when the tables have none, e.g. 277 V
 */
export function voltageColumn(t: Trace, phases: Phases, voltage: number): string {
  const column = columnOf(t, phases, voltage);
  if (column !== null) return column;
  if (phases === 'dc') throw new Gap(`${voltage} V dc has no column in the motor table (${table('full-load-dc').columns.join(', ')} V)`, ['rated armature voltage']);
  throw new Gap(`${voltage} V ${phases === 1 ? 'single-phase' : 'three-phase'} has no column in the motor tables`, ['rated voltage of the motor']);
}

function columnOf(t: Trace, phases: Phases, voltage: number): string | null {
  if (phases === 'dc') return table('full-load-dc').columns.find((c) => Number(c) === voltage) ?? null;
  const wide = t.allows('motor.table-2300-range').value;
  const served = (r: TableRow): boolean => {
    const top = r.column === '2300' && !wide ? Number(r.from) : Number(r.to);
    return r.phases === phases && voltage >= Number(r.from) && voltage <= top;
  };
  const found = table('voltage-range').rows.find(served);
  return found ? String(found.column) : null;
}

const fullLoadTable = (phases: Phases): TableId => (phases === 'dc' ? 'full-load-dc' : phases === 1 ? 'full-load-single-phase' : 'full-load-three-phase');
const lockedRotorTable = (phases: Phases): TableId => (phases === 1 ? 'locked-rotor-single-phase' : 'locked-rotor-three-phase');

/**
 * Why the full-load tables print nothing for a motor, in words; null where they print a current. A blank inside the run of
 * figures of a column is a fault of the table, not a reason to go around it.
 */
export function outsideTables(t: Trace, { horsepower, voltage, phases, type }: Motor): string | null {
  const column = columnOf(t, phases, voltage);
  if (column === null) return `${voltage} V ${phases === 'dc' ? 'dc' : phases === 1 ? 'single-phase' : 'three-phase'} has no column in the motor tables`;
  const motor = type === 'synchronous' ? 'synchronous' : 'induction';
  const found = row(fullLoadTable(phases), phases === 3 ? { motor, horsepower } : { horsepower });
  if (!found.ok) return `${horsepower} hp is not covered by the motor table`;
  return isBeyond(fullLoadTable(phases), column, found.row) ? `${horsepower} hp is not covered by the motor table at ${column} V` : null;
}

/** Whether a row lies before the first or after the last figure that its column prints. */
function isBeyond(id: TableId, column: string, own: TableRow): boolean {
  const printed = table(id).rows.filter((r) => r.motor === own.motor && typeof r[column] === 'number').map((r) => Number(r.horsepower));
  return Number(own.horsepower) < Math.min(...printed) || Number(own.horsepower) > Math.max(...printed);
}

/** Table full-load current (Tables 430.247 to 430.250), for everything but overload devices. */
export function fullLoadCurrent(t: Trace, motor: Motor, symbol = 'I_FLC'): Figure {
  if (!(motor.horsepower > 0) || !Number.isFinite(motor.horsepower)) throw new Gap(`${motor.horsepower} hp is not a motor's power`, ['horsepower']);
  const column = voltageColumn(t, motor.phases, motor.voltage);
  const id = fullLoadTable(motor.phases);
  if (motor.phases !== 3) return t.lookUp('Full-load current', symbol, id, { horsepower: motor.horsepower }, column);
  if (motor.type !== 'synchronous') return t.lookUp('Full-load current', symbol, id, { motor: 'induction', horsepower: motor.horsepower }, column);
  if (motor.powerFactor === undefined) throw new Gap('a synchronous motor needs its power factor', ['power factor (1, 0.9 or 0.8)']);
  const unity = t.lookUp('Full-load current at unity power factor', 'I_unity', id, { motor: 'synchronous', horsepower: motor.horsepower }, column);
  const percent = powerFactorStep(motor.powerFactor);
  const multiplier = t.lookUp('Multiplier at this power factor', 'k_pf', 'synchronous-power-factor', { percent }, 'multiplier');
  return t.compute('Full-load current', `${symbol} = k_pf x I_unity`, [multiplier, unity], 'A', multiplier.citation);
}

/** The note of the table gives 100, 90 and 80 percent; between them the lower one (larger current) is taken. */
function powerFactorStep(powerFactor: number): number {
  const steps = table('synchronous-power-factor').rows.map((r) => Number(r.percent)).sort((a, b) => b - a);
  const step = steps.find((s) => s <= powerFactor * PERCENT + 1e-9);
  if (step === undefined) throw new Gap(`power factor ${powerFactor} is below the note of the table`, ['nameplate amperes']);
  return step;
}

/** kVA per horsepower of a code letter, at either end of its range. */
export function codeLetterFigure(t: Trace, letter: string, end: 'minimum' | 'maximum', symbol = 'k_L'): Figure {
  const known = table('code-letter').rows.find((r) => r.letter === letter.toUpperCase());
  if (!known) throw new Gap(`'${letter}' is no code letter of the table`, ['code letter']);
  if (known[end] === null) throw new Gap(`code letter ${letter.toUpperCase()} has no upper end`, ['locked-rotor amperes']);
  return t.lookUp(`Locked-rotor kVA per horsepower, code letter ${letter.toUpperCase()}`, symbol, 'code-letter', { letter: letter.toUpperCase() }, end);
}

const KVA = 'S_LR';

/** Locked-rotor kVA of a motor from its code letter. */
export function lockedRotorKva(t: Trace, horsepower: number, perHorsepower: Figure): Figure {
  return t.compute('Locked-rotor kVA', `${KVA} = ${perHorsepower.name} x P`, [perHorsepower, given('P', horsepower, 'hp', 'nameplate')], 'kVA');
}

/** Locked-rotor current from kVA at the rated voltage. */
export function lockedRotorFromKva(t: Trace, kva: Figure, voltage: number, phases: Phases, symbol = 'I_LRC'): Figure {
  const formula = phases === 3 ? `${symbol} = ${KVA} x 1000 / (sqrt(3) x U)` : `${symbol} = ${KVA} x 1000 / U`;
  return t.compute('Locked-rotor current', formula, [kva, given('U', voltage, 'V', 'nameplate')], 'A');
}

/**
 * Locked-rotor current for the disconnect rules, amperes: the marked value, for Design A the code letter, else Tables 430.251.
 * Designs BE and CE need the marked value: their table was not read. A motor smaller than the table counts six times its full load.
 * @throws Gap where neither a table nor the nameplate gives it
 */
export function lockedRotorCurrent(t: Trace, motor: Motor, fullLoad?: Figure): Figure {
  const symbol = 'I_LRC';
  if (motor.lockedRotorAmperes !== undefined) return given(symbol, motor.lockedRotorAmperes, 'A', 'nameplate');
  if (motor.phases === 'dc') throw new Gap('there is no locked-rotor table for direct-current motors', ['locked-rotor amperes']);
  if (motor.design === 'BE' || motor.design === 'CE') throw new Gap(`Design ${motor.design} is outside every locked-rotor table here`, ['locked-rotor amperes marked on the motor']);
  if (motor.design === 'A') {
    if (motor.codeLetter === undefined) throw new Gap('Design A has no limit on its locked-rotor current', ['locked-rotor amperes or code letter']);
    return lockedRotorFromKva(t, lockedRotorKva(t, motor.horsepower, codeLetterFigure(t, motor.codeLetter, 'maximum')), motor.voltage, motor.phases, symbol);
  }
  const rows = table(lockedRotorTable(motor.phases)).rows;
  const smallest = Math.min(...rows.map((r) => Number(r.horsepower)));
  if (motor.horsepower < smallest) {
    const full = fullLoad ?? fullLoadCurrent(t, motor);
    return t.compute('Locked-rotor current of a small motor', `${symbol} = k x I_FLC`, [t.rule('motor.small.locked-rotor-multiple', 'k'), { ...full, name: 'I_FLC' }], 'A');
  }
  const id = lockedRotorTable(motor.phases);
  const found = row(id, { horsepower: motor.horsepower });
  const column = voltageColumn(t, motor.phases, motor.voltage);
  if (!found.ok || isBeyond(id, column, found.row)) throw new Gap(`the locked-rotor table prints nothing for ${motor.horsepower} hp at ${column} V`, ['locked-rotor amperes marked on the motor']);
  return t.lookUp('Locked-rotor current', symbol, id, { horsepower: motor.horsepower }, column);
}

/** Horsepower of the smallest table motor whose full-load current is not less than a current. */
export function horsepowerForCurrent(t: Trace, current: Figure, voltage: number, phases: 1 | 3, symbol = 'P_FLC'): Figure {
  return t.pickRow('Horsepower by full-load current', symbol, fullLoadTable(phases), voltageColumn(t, phases, voltage), 'horsepower', current, 'hp', (r) => r.motor !== 'synchronous');
}

/** Horsepower of the smallest table motor whose locked-rotor current is not less than a current; a disputed cell counts with its lower figure. */
export function horsepowerForLockedRotor(t: Trace, current: Figure, voltage: number, phases: 1 | 3, symbol = 'P_LRC'): Figure {
  const id = lockedRotorTable(phases);
  const column = voltageColumn(t, phases, voltage);
  const lower = `${column} lower`;
  const need = table(id).rows.find((r) => typeof r[column] === 'number' && r[column] >= current.value);
  const useLower = table(id).rows.some((r) => typeof r[lower] === 'number') && (!need || need[lower] !== undefined);
  if (!useLower) return t.pickRow('Horsepower by locked-rotor current', symbol, id, column, 'horsepower', current, 'hp');
  return t.pickRow('Horsepower by locked-rotor current, lower reading of the disputed cell', symbol, id, lower, 'horsepower', current, 'hp');
}

/** Equivalent horsepower of a combined load: the larger of both look-ups (430.110(C)(1), 440.12). */
export function equivalentHorsepower(t: Trace, byFullLoad: Figure, byLockedRotor: Figure): Figure {
  return t.compute('Horsepower the disconnect needs', `P_req = max(${byFullLoad.name}, ${byLockedRotor.name})`, [byFullLoad, byLockedRotor], 'hp');
}

/** Sum of currents, shown with each part. */
export function sumOf(t: Trace, quantity: string, symbol: string, parts: readonly Figure[]): Figure {
  const named = parts.map((p, i) => ({ ...p, name: `I_${i + 1}` }));
  return t.compute(quantity, `${symbol} = ${named.map((p) => p.name).join(' + ') || '0'}`, named, 'A');
}
