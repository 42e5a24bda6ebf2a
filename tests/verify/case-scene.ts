import { emptyDocument } from '../../shared-core/document/index';
import type { Disconnect, Document, Entity, Opening, Point } from '../../shared-core/document/index';
import type { Edition } from '../../shared-core/code-data/index';
import { feet, sheetUnits } from '../../shared-core/units/index';

export type Place = [number, number, number];
type Kind = 'opaque' | 'glazed' | 'mesh';
/** A scene of the case file: feet, x east, y north, z up. */
export interface CaseScene {
  walls?: { id: string; from: [number, number]; to: [number, number]; zBottom: number; zTop: number; kind: Kind; openings?: { from: number; to: number; zBottom: number; zTop: number; fill: string; state?: string }[] }[];
  obstacles?: { id: string; rect: [number, number, number, number]; zBottom: number; zTop: number; kind: Kind }[];
  motors?: { id: string; at: Place; standing_z?: number }[];
  loads?: { id: string; at: Place; standing_z?: number }[];
  machines?: { id: string; at?: Place; outlineRect?: [number, number, number, number] }[];
  disconnects?: { id: string; at?: Place; mountedOn?: string; faces?: [number, number]; width_ft?: number }[];
  wallThickness_ft?: number;
  planScaleTolerance_percent?: number;
}
export interface PairPlace { load: Place; handle: Place; standing: number; outline?: Place[]; edition: string; jurisdiction: 'US' | 'CA'; relativeUncertainty: number }

const MARGIN = 1000;
/** North is up on paper and y runs down on a sheet. */
const onSheet = (x: number, y: number): Point => ({ x: sheetUnits(x + MARGIN), y: sheetUnits(MARGIN - y) });

/** The product's document of one pair in a case's scene: one foot a sheet unit, heights above the lowest floor. */
export function sceneDocument(scene: CaseScene, place: PairPlace): Document {
  const empty = emptyDocument();
  const entities: Entity[] = [...wallsOf(scene), ...obstructionsOf(scene), ...targetsOf(place), disconnectOf(scene, place)];
  return {
    ...empty, facts: { ...empty.facts, edition: place.edition as Edition, jurisdiction: place.jurisdiction },
    sheets: [{ id: 'sheet-1', name: 'case', plan: null, width: sheetUnits(2 * MARGIN), height: sheetUnits(2 * MARGIN), level: { name: 'floor', floor: feet(0) }, fade: 0,
      scale: { feetPerUnit: 1, relativeUncertainty: place.relativeUncertainty, pickUncertainty: sheetUnits(0), from: { kind: 'stated', typed: '1:12', ratio: 12, unitsPerPaperInch: 1 } } }],
    entities: Object.fromEntries(entities.map((e) => [e.id, e])),
  };
}

const entityId = (kind: string, id: string): string => `${kind}-${id}`;

function wallsOf(scene: CaseScene): Entity[] {
  return (scene.walls ?? []).map((wall) => ({
    kind: 'wall', id: entityId('wall', wall.id), sheet: 'sheet-1', points: [onSheet(...wall.from), onSheet(...wall.to)], thickness: feet(scene.wallThickness_ft ?? 0),
    bottom: feet(wall.zBottom), top: feet(wall.zTop), material: wall.kind,
    openings: (wall.openings ?? []).map((o, i): Opening => ({ id: `opening-${wall.id}-${i}`, segment: 0, from: sheetUnits(o.from), to: sheetUnits(o.to), sill: feet(o.zBottom), head: feet(o.zTop), leaf: leafOf(o) })),
  }));
}

function leafOf({ fill, state }: { fill: string; state?: string }): Opening['leaf'] {
  if (fill === 'none') return 'none';
  if (/vision/.test(fill)) return 'vision-panel';
  if (/glaz|glass/.test(fill)) return 'glazed';
  return state === 'normally open' ? 'normally-open' : 'closed';
}

function obstructionsOf(scene: CaseScene): Entity[] {
  return (scene.obstacles ?? []).map(({ id, rect: [x1, y1, x2, y2], zBottom, zTop, kind }) => ({
    kind: 'obstruction', id: entityId('obstruction', id), sheet: 'sheet-1', label: id, outline: [onSheet(x1, y1), onSheet(x2, y1), onSheet(x2, y2), onSheet(x1, y2)], bottom: feet(zBottom), top: feet(zTop), material: kind }));
}

function targetsOf({ load, standing, outline }: PairPlace): Entity[] {
  const [x, y, z] = load;
  const at = onSheet(x, y); const heights = { height: feet(z), standing: feet(standing) };
  const data = { kind: 'motor' } as const;
  if (!outline) return [{ kind: 'load', id: 'load-1', sheet: 'sheet-1', tag: 'target', name: '', at, ...heights, data }];
  return [
    { kind: 'load', id: 'load-1', sheet: 'sheet-1', tag: 'target', name: '', at, ...heights, data, machine: 'machine-1' },
    { kind: 'machine', id: 'machine-1', sheet: 'sheet-1', tag: 'machine', name: '', at, ...heights, outline: outline.map(([px, py]) => onSheet(px, py)), bodyTop: feet(z) },
  ];
}

function disconnectOf(scene: CaseScene, { handle }: PairPlace): Disconnect {
  const [x, y, z] = handle;
  const drawn = (scene.disconnects ?? []).find((d) => d.at && d.at[0] === x && d.at[1] === y && d.at[2] === z);
  const facing = drawn?.faces ? (Math.atan2(-drawn.faces[1], drawn.faces[0]) * 180) / Math.PI : 0;
  return {
    kind: 'disconnect', id: 'disconnect-1', sheet: 'sheet-1', tag: drawn?.id ?? 'handle', at: onSheet(x, y), handleHeight: feet(z), standing: feet(0), facing,
    mount: drawn?.mountedOn === undefined ? null : { wall: entityId('wall', drawn.mountedOn), segment: 0 }, serves: ['load-1'],
    data: drawn?.width_ft === undefined ? {} : { size: { width: feet(drawn.width_ft), height: feet(drawn.width_ft), depth: feet(drawn.width_ft / 2) } },
  };
}
