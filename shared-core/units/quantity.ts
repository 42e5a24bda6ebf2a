declare const unit: unique symbol;
/** A number that carries its unit in its type; plain arithmetic gives back a plain number, to be named again on purpose. */
export type In<U extends string> = number & { readonly [unit]: U };

export type Feet = In<'ft'>;
/** Plan coordinates of one sheet: pixels of the upright scan, or points of the upright PDF page; x right, y down. */
export type SheetUnits = In<'sheet'>;
export type Amperes = In<'A'>;
export type Volts = In<'V'>;
export type Horsepower = In<'hp'>;
export type Kilowatts = In<'kW'>;
export type KilovoltAmperes = In<'kVA'>;

export const feet = (n: number): Feet => n as Feet;
export const sheetUnits = (n: number): SheetUnits => n as SheetUnits;
export const amperes = (n: number): Amperes => n as Amperes;
export const volts = (n: number): Volts => n as Volts;
export const horsepower = (n: number): Horsepower => n as Horsepower;
export const kilowatts = (n: number): Kilowatts => n as Kilowatts;
export const kilovoltAmperes = (n: number): KilovoltAmperes => n as KilovoltAmperes;

/** Exact by definition of the international foot (NIST SP 811, appendix B). */
export const METRES_PER_FOOT = 0.3048;
export const metresToFeet = (metres: number): Feet => (metres / METRES_PER_FOOT) as Feet;
export const feetToMetres = (length: Feet): number => length * METRES_PER_FOOT;

/** How a project reads and shows lengths. */
export type UnitSystem = 'US' | 'metric';
