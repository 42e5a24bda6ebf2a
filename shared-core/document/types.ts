import type { Edition, Jurisdiction, Result } from '../code-data/index';
import type { Box, Similarity } from '../geometry/index';
import type { Amperes, Feet, SheetUnits, UnitSystem, Volts } from '../units/index';
import type { LoadData } from './load-data';
import type { DeviceData } from './device-data';

export type Id = string;
/** A plan position in sheet units: x right, y down. */
export interface Point { readonly x: SheetUnits; readonly y: SheetUnits }

/** The supply that loads and devices hang on. */
export interface SupplySystem {
  readonly id: Id;
  readonly name: string;
  /** Nominal line-to-line volts (line-to-neutral for two-wire), e.g. 480, 208, 240, 120. */
  readonly voltage: Volts;
  readonly phases: 1 | 3 | 'dc';
  readonly wires: number;
  /** Volts to ground, e.g. 277 on 480Y/277; a corner-grounded or ungrounded delta counts its full voltage. */
  readonly voltsToGround: Volts;
  /** Where it comes from, for fault current: a stated value, or a transformer. */
  readonly source?: {
    readonly availableFaultCurrent?: Amperes;
    readonly transformerKva?: number;
    readonly impedancePercent?: number;
    readonly xOverR?: number;
  };
}

/** A local amendment: replaces one named rule value, with the reason on record. */
export interface Override {
  readonly id: Id;
  /** The value replaced, e.g. 'within-sight.distance'. */
  readonly key: string;
  readonly value: number | string;
  readonly unit: string;
  readonly reason: string;
  readonly authority: string;
}

export interface ProjectFacts {
  readonly name: string;
  readonly site: string;
  readonly revision: string;
  readonly edition: Edition;
  readonly jurisdiction: Jurisdiction;
  readonly units: UnitSystem;
  readonly systems: readonly SupplySystem[];
  readonly overrides: readonly Override[];
  /** Defaults a new mark takes; stated so that a person can change them. */
  readonly defaults: {
    readonly handleHeight: Feet;
    readonly wallThickness: Feet;
    readonly wallHeight: Feet;
    readonly eyeHeight: Feet;
    readonly ambientCelsius: number;
  };
}

/**
 * A picked length on the plan: two points and what a person or the drawing says lies between them. within is how far each end may be
 * off where that is more than the scale's pickUncertainty, sheet units: whoever points at a whole large sheet cannot hit one picture element.
 */
export interface ScalePick { readonly from: Point; readonly to: Point; readonly length: Feet; readonly typed: string; readonly within?: SheetUnits }

/** A drawing scale as typed; ratio is real length over paper length, e.g. 96 for 1/8" = 1'-0". */
export interface StatedScale { readonly typed: string; readonly ratio: number; readonly unitsPerPaperInch: number }

export interface Scale {
  readonly feetPerUnit: number;
  /** One standard bound of the scale's relative error, e.g. 0.004 for 0.4 %. */
  readonly relativeUncertainty: number;
  /** How far a picked or placed point may be off, in sheet units. */
  readonly pickUncertainty: SheetUnits;
  readonly from:
    | { readonly kind: 'picks'; readonly picks: readonly ScalePick[] }
    | { readonly kind: 'stated' } & StatedScale;
  /** The drawing scale that was stated beside the picked lengths: kept to be held against them, never used. */
  readonly stated?: StatedScale;
  /**
   * Outlines of the views it holds in, where that is not all of the sheet (one page may show several, each to its own scale):
   * elsewhere, and from one view to another, no distance is known.
   */
  readonly areas?: readonly (readonly Point[])[];
}

/** The background: bytes live beside the document under their digest, never inside it. */
export interface PlanRef {
  /** SHA-256 of the original bytes, lower-case hex. */
  readonly blob: string;
  readonly name: string;
  readonly media: 'image/png' | 'image/jpeg' | 'image/webp' | 'image/tiff' | 'application/pdf' | 'image/vnd.dxf' | 'image/svg+xml';
  /** 0-based page or image index. */
  readonly page: number;
  /** Size of the upright picture (EXIF, /Rotate, CropBox, UserUnit applied) in its own units; the sheet's drawing area is Sheet.width and Sheet.height. */
  readonly width: SheetUnits;
  readonly height: SheetUnits;
  /** Picture units per inch of paper where the file says so (72 for PDF, dpi for a scan); a hint, never trusted alone. */
  readonly unitsPerPaperInch?: number;
  /** What people call this issue of the drawing, and the day it was laid under the marks (ISO date). */
  readonly issue?: { readonly name: string; readonly laid: string };
  /**
   * How the picture lies on the sheet: sheet = lay.scale * R(lay.turn) * picture + (lay.x, lay.y), turn in degrees clockwise.
   * Absent: picture units are sheet units. What the file says (tiles, lengths, scales, offered walls) is in picture units
   * and comes to the sheet through toSheetPoint; what sticks out of the drawing area is not shown. Marks never follow by themselves.
   */
  readonly lay?: Similarity;
  /** How the picture is shown and exported: light and dark exchanged; contrast from 0 (as it is) to 1 (ground white, lines black). */
  readonly look?: { readonly inverted?: boolean; readonly contrast?: number };
  /** Names of the plan's layers that are hidden, all others shown; absent: as the file says. Names, because they outlive a new issue of the file. */
  readonly layersOff?: readonly string[];
  /** The photograph that this picture was made flat from. */
  readonly squared?: Squared;
}

/** How a flat picture came from a photographed plan: enough to make it anew with other corners, or to go back. */
export interface Squared {
  /** The plan as photographed; its bytes stay in the project. */
  readonly original: Omit<PlanRef, 'squared' | 'issue' | 'look'>;
  /** Four corners of something rectangular, in order around, picture units of the photograph. */
  readonly corners: readonly [Point, Point, Point, Point];
  /** Where they came to lie, picture units of the flat picture. */
  readonly box: Box;
  /** What gave the rectangle its shape: stated sides in the building or on the paper, or the slant alone. */
  readonly sides: 'building' | 'paper' | 'guessed';
  /** How far the corners may be off, picture units of the photograph. */
  readonly within: number;
  /** How far any distance may be off because corners are pointed at by hand and a lens bends, as a share. */
  readonly uncertainty: number;
}

/** What of a check's result is kept to compare a later audit with. */
export type KeptFinding = Pick<Result, 'id' | 'check' | 'subject' | 'verdict' | 'title' | 'missing'> & Partial<Pick<Result, 'margin' | 'value'>>;

/** A mark that a change of the plan touched. */
export interface Touched {
  readonly id: Id;
  /**
   * It lies near changed ink, or one of its openings does, or the line from its handle to this load, its machine or its
   * controller crosses changed ink, or passes right by it.
   */
  readonly why: { readonly kind: 'near' } | { readonly kind: 'opening'; readonly opening: Id } | { readonly kind: 'line'; readonly load: Id };
  readonly gone: boolean;
  readonly fresh: boolean;
}

/** What was known when the present plan of a sheet was laid under its marks. */
export interface SinceLaid {
  /** The plan that this is about, by its file and page: with another one under the marks it says nothing. */
  readonly blob: string;
  readonly page: number;
  /** What was open before; null where the checks had not run. */
  readonly findings: readonly KeptFinding[] | null;
  readonly touched: readonly Touched[];
}

export interface Sheet {
  readonly id: Id;
  readonly name: string;
  readonly plan: PlanRef | null;
  /** Drawing area; a fresh plan fills it. */
  readonly width: SheetUnits;
  readonly height: SheetUnits;
  readonly scale: Scale | null;
  readonly level: { readonly name: string; readonly floor: Feet };
  /** 0 = plan at full strength, 1 = invisible. */
  readonly fade: number;
  /** A person has said that nothing on this sheet stands in the way, so that a sheet without walls is no oversight. */
  readonly openGround?: boolean;
  /** Plans that lay under the marks before, the latest first: to be compared again, or gone back to. */
  readonly earlier?: readonly PlanRef[];
  /** Marks that a new plan touched and nobody has looked over since: nothing about them is proved. */
  readonly toLookOver?: readonly Id[];
  readonly sinceLaid?: SinceLaid;
}

interface EntityBase {
  readonly id: Id;
  readonly sheet: Id;
  /** How far its place may be off where that is more than the scale's pickUncertainty, sheet units: it was pointed at from far away. */
  readonly within?: SheetUnits;
}

export type Material = 'opaque' | 'glazed' | 'mesh';

/** A hole in one segment of a wall; distances run along the segment from its first point. */
export interface Opening {
  readonly id: Id;
  readonly segment: number;
  readonly from: SheetUnits;
  readonly to: SheetUnits;
  readonly sill: Feet;
  readonly head: Feet;
  /** 'none' is an empty doorway; 'vision-panel' is a closed door with a glazed panel; 'glazed' is a window. */
  readonly leaf: 'none' | 'closed' | 'normally-open' | 'vision-panel' | 'glazed';
  /** Side and hinge of the swing, for working space; absent when it slides or has no leaf. */
  readonly swing?: { readonly hinge: 'from' | 'to'; readonly side: 'left' | 'right' };
  readonly locked?: boolean;
  /** Listed panic or fire exit hardware on the leaf; absent: nobody has said, which is never a yes. */
  readonly panicHardware?: boolean;
}

export interface Wall extends EntityBase {
  readonly kind: 'wall';
  readonly points: readonly Point[];
  readonly thickness: Feet;
  readonly bottom: Feet;
  readonly top: Feet;
  readonly material: Material;
  readonly openings: readonly Opening[];
  /** What the face is made of, for the working-space condition: concrete, brick and tile count as grounded. */
  readonly face?: 'grounded' | 'insulated' | 'unknown';
}

export interface Obstruction extends EntityBase {
  readonly kind: 'obstruction';
  readonly label: string;
  readonly outline: readonly Point[];
  readonly bottom: Feet;
  readonly top: Feet;
  readonly material: Material;
  /** A mezzanine, platform, roof or slab that people stand on at its top. */
  readonly walkable?: boolean;
  /** Fixed stairs or a ramp lead up to it; without them a change of level counts as climbing. */
  readonly stairs?: boolean;
}

export interface Area extends EntityBase {
  readonly kind: 'area';
  readonly label: string;
  readonly outline: readonly Point[];
  /** Words of the enclosure table's environment map, e.g. 'washdown', 'outdoor-rain', 'dust', 'corrosive', 'classified'. */
  readonly environments: readonly string[];
}

/** A motor or any other load that a disconnect isolates. */
export interface Load extends EntityBase {
  readonly kind: 'load';
  readonly tag: string;
  readonly name: string;
  /** null while it waits in the tray to be placed. */
  readonly at: Point | null;
  /** Height of the shaft or body centre above the level's floor. */
  readonly height: Feet;
  /** Floor, platform or roof that a person working on it stands on. */
  readonly standing: Feet;
  /** Own outline, never an obstruction for its own sight line but one for others' (with bodyTop). */
  readonly outline?: readonly Point[];
  readonly bodyTop?: Feet;
  /** Parts of its faces that a switch on the unit must leave free; distances along the outline's edge that starts at that point. */
  readonly reserved?: readonly { readonly use: 'access-panel' | 'nameplate'; readonly edge: number; readonly from: SheetUnits; readonly to: SheetUnits; readonly bottom: Feet; readonly top: Feet }[];
  readonly data: LoadData;
  /** The driven machine and the controller, each a target of its own. */
  readonly machine?: Id;
  readonly controller?: Id;
}

export interface Machine extends EntityBase {
  readonly kind: 'machine';
  readonly tag: string;
  readonly name: string;
  readonly at: Point;
  readonly height: Feet;
  readonly standing: Feet;
  readonly outline?: readonly Point[];
  readonly bodyTop?: Feet;
}

export interface Controller extends EntityBase {
  readonly kind: 'controller';
  readonly tag: string;
  readonly name: string;
  readonly at: Point;
  readonly height: Feet;
  readonly standing: Feet;
  /** Individually lockable open, for the out-of-sight exceptions. */
  readonly lockable?: boolean;
}

export interface Disconnect extends EntityBase {
  readonly kind: 'disconnect';
  readonly tag: string;
  readonly at: Point;
  /** Centre of the handle grip in its highest position above the standing surface in front of it. */
  readonly handleHeight: Feet;
  readonly standing: Feet;
  /** Direction the front faces on the plan, degrees, 0 = right, clockwise (y down). */
  readonly facing: number;
  readonly mount: { readonly wall: Id; readonly segment: number } | null;
  /** Ids of the loads it isolates. */
  readonly serves: readonly Id[];
  readonly data: DeviceData;
}

/** A panel, transformer or service point that feeds disconnects. */
export interface Supply extends EntityBase {
  readonly kind: 'supply';
  readonly tag: string;
  readonly name: string;
  readonly at: Point;
  readonly system: Id;
  readonly role: 'panel' | 'transformer' | 'service-entrance';
}

/** Recorded reason why a disconnect out of sight is accepted; never made by the program. */
export interface ExceptionRecord extends EntityBase {
  readonly kind: 'exception';
  readonly disconnect: Id;
  readonly load: Id;
  /** Condition of the rule it rests on, e.g. 'impracticable', 'industrial-procedures'. */
  readonly condition: string;
  readonly reason: string;
  readonly document: string;
  readonly person: string;
  /** ISO date. */
  readonly date: string;
}

export interface Route extends EntityBase {
  readonly kind: 'route';
  readonly from: Id;
  readonly to: Id;
  readonly points: readonly Point[];
  readonly drops: Feet;
}

export type Entity = Wall | Obstruction | Area | Load | Machine | Controller | Disconnect | Supply | ExceptionRecord | Route;
export type EntityKind = Entity['kind'];

/** Plain JSON; ids, not references. Sheet order is array order. */
export interface Document {
  readonly formatVersion: 1;
  readonly facts: ProjectFacts;
  readonly sheets: readonly Sheet[];
  readonly entities: Readonly<Record<Id, Entity>>;
}
