import { amperes, feet, horsepower, volts } from '../../shared-core/units/index';
import type { DeviceData, LoadData, Opening } from '../../shared-core/document/index';

/**
 * The works of a small cider maker. Everything here is invented. Plan positions are feet from the drawing's north-west
 * corner, x to the east, y to the south; heights are feet above the floor.
 */
export type Spot = readonly [number, number];

export interface PlannedWall {
  readonly id: string; readonly points: readonly Spot[]; readonly thickness: number; readonly top: number; readonly material: 'opaque' | 'glazed' | 'mesh';
  readonly face: 'grounded' | 'insulated'; readonly openings: readonly PlannedOpening[];
}
export interface PlannedOpening {
  readonly segment: number; readonly from: number; readonly to: number; readonly sill: number; readonly head: number; readonly leaf: Opening['leaf'];
  readonly swing?: Opening['swing']; readonly locked?: boolean;
}
export interface PlannedBody { readonly id: string; readonly label: string; readonly outline: readonly Spot[]; readonly top: number; readonly round?: readonly [number, number, number] }
export interface PlannedLoad {
  readonly tag: string; readonly name: string; readonly at: Spot | null; readonly height: number; readonly outline?: readonly Spot[]; readonly bodyTop?: number;
  readonly machine?: string; readonly controller?: string; readonly data: LoadData;
}
export interface PlannedDisconnect {
  readonly tag: string; readonly at: Spot; readonly facing: number; readonly mount: readonly [string, number]; readonly serves: readonly string[]; readonly handle?: number; readonly data: DeviceData;
}

const box = (x1: number, y1: number, x2: number, y2: number): readonly Spot[] => [[x1, y1], [x2, y1], [x2, y2], [x1, y2]];
const round = (id: string, label: string, x: number, y: number, r: number, top: number): PlannedBody => ({
  id, label, top, round: [x, y, r],
  outline: Array.from({ length: 24 }, (_, i): Spot => { const a = (i * Math.PI) / 12; return [x + r * Math.cos(a), y + r * Math.sin(a)]; }),
});
const body = (id: string, label: string, outline: readonly Spot[], top: number): PlannedBody => ({ id, label, outline, top });

export const WALLS: readonly PlannedWall[] = [
  { id: 'wall-outer', points: [[4, 4], [100, 4], [100, 60], [4, 60], [4, 4]], thickness: 1, top: 18, material: 'opaque', face: 'grounded', openings: [
    { segment: 0, from: 84, to: 92, sill: 4, head: 8, leaf: 'glazed' },
    { segment: 1, from: 29, to: 32, sill: 0, head: 7, leaf: 'closed', swing: { hinge: 'from', side: 'left' } },
    { segment: 1, from: 42, to: 50, sill: 0, head: 10, leaf: 'closed' },
    { segment: 2, from: 61, to: 64, sill: 0, head: 7, leaf: 'closed', swing: { hinge: 'to', side: 'left' } },
    { segment: 2, from: 84, to: 90, sill: 0, head: 9, leaf: 'closed' },
    { segment: 3, from: 32, to: 40, sill: 0, head: 12, leaf: 'closed' },
  ] },
  { id: 'wall-b', points: [[44, 4], [44, 40]], thickness: 0.5, top: 18, material: 'opaque', face: 'grounded', openings: [{ segment: 0, from: 14, to: 22, sill: 0, head: 12, leaf: 'none' }] },
  { id: 'wall-2', points: [[4, 40], [76, 40]], thickness: 0.67, top: 18, material: 'opaque', face: 'grounded', openings: [
    { segment: 0, from: 16, to: 19, sill: 0, head: 7, leaf: 'closed', swing: { hinge: 'from', side: 'right' } },
    { segment: 0, from: 25, to: 28, sill: 0, head: 7, leaf: 'closed', swing: { hinge: 'to', side: 'left' } },
    { segment: 0, from: 43, to: 46, sill: 0, head: 7, leaf: 'vision-panel', swing: { hinge: 'from', side: 'left' } },
  ] },
  { id: 'wall-c', points: [[76, 4], [76, 60]], thickness: 0.67, top: 18, material: 'opaque', face: 'grounded', openings: [
    { segment: 0, from: 24, to: 30, sill: 0, head: 10, leaf: 'normally-open' },
    { segment: 0, from: 50, to: 53, sill: 0, head: 7, leaf: 'closed', swing: { hinge: 'to', side: 'right' } },
  ] },
  { id: 'wall-boiler', points: [[26, 40], [26, 60]], thickness: 0.67, top: 18, material: 'opaque', face: 'grounded', openings: [] },
  { id: 'wall-electrical', points: [[42, 40], [42, 60]], thickness: 0.67, top: 18, material: 'opaque', face: 'grounded', openings: [] },
  { id: 'wall-glass', points: [[62, 40], [62, 60]], thickness: 0.33, top: 10, material: 'glazed', face: 'insulated', openings: [{ segment: 0, from: 14, to: 17, sill: 0, head: 7, leaf: 'glazed', swing: { hinge: 'to', side: 'left' } }] },
  { id: 'wall-fence', points: [[100.5, 44], [124, 44], [124, 4], [100.5, 4]], thickness: 0.17, top: 8, material: 'mesh', face: 'insulated', openings: [{ segment: 0, from: 17, to: 21, sill: 0, head: 8, leaf: 'none' }] },
];

export const ROOMS: readonly { readonly name: string; readonly at: Spot }[] = [
  { name: 'PRESS HALL', at: [23, 23] }, { name: 'FERMENTATION', at: [60, 17] }, { name: 'BOTTLING', at: [84, 22] },
  { name: 'BOILER', at: [13, 44.6] }, { name: 'ELECTRICAL', at: [34, 45] }, { name: 'REFRIGERATION', at: [52, 44.6] },
  { name: 'CONTROL', at: [69, 53] }, { name: 'YARD', at: [112, 36] },
];

export const AREAS: readonly { readonly id: string; readonly label: string; readonly outline: readonly Spot[]; readonly environments: readonly string[] }[] = [
  { id: 'area-press', label: 'Press hall, hosed down', outline: box(4.5, 4.5, 43.75, 39.67), environments: ['indoor washdown'] },
  { id: 'area-ferment', label: 'Fermentation, hosed down', outline: box(44.25, 4.5, 75.67, 39.67), environments: ['indoor washdown'] },
  { id: 'area-bottling', label: 'Bottling, hosed down', outline: box(76.33, 4.5, 99.5, 59.5), environments: ['indoor washdown'] },
  { id: 'area-boiler', label: 'Boiler room, dusty', outline: box(4.5, 40.33, 25.67, 59.5), environments: ['indoor settling dust'] },
  { id: 'area-electrical', label: 'Electrical room, dry', outline: box(26.33, 40.33, 41.67, 59.5), environments: ['indoor dry'] },
  { id: 'area-refrigeration', label: 'Refrigeration and control, dry', outline: box(42.33, 40.33, 75.67, 59.5), environments: ['indoor dry'] },
  { id: 'area-yard', label: 'Yard, open to rain and snow', outline: box(100.5, 1, 126, 62), environments: ['outdoor rain and sleet'] },
];

export const BODIES: readonly PlannedBody[] = [
  round('obstruction-j1', 'J-1', 36, 30, 4, 9),
  body('obstruction-bench', 'bench', box(7, 33.5, 10, 35.5), 2.75),
  round('obstruction-t1', 'T-1', 53, 10, 3.5, 11), round('obstruction-t2', 'T-2', 61.5, 10, 3.5, 11), round('obstruction-t3', 'T-3', 70, 10, 3.5, 11),
  round('obstruction-t4', 'T-4', 54, 26, 3.5, 11), round('obstruction-t5', 'T-5', 64, 26, 3.5, 11),
  body('obstruction-conveyor', 'conveyor', box(93, 20, 95, 42), 3),
  body('obstruction-boiler', 'B-1', box(7, 48, 14, 57.5), 9),
  body('obstruction-desk', 'desk', box(71.5, 46, 75, 51), 2.5),
  body('obstruction-glycol', 'glycol tank', box(102, 20, 106, 27), 6),
];

export const MACHINES: readonly { readonly tag: string; readonly name: string; readonly at: Spot; readonly height: number; readonly outline: readonly Spot[]; readonly top: number }[] = [
  { tag: 'BP-103', name: 'belt press', at: [26, 12], height: 4, outline: box(20, 9, 32, 15), top: 7 },
];
export const CONTROLLERS: readonly { readonly tag: string; readonly name: string; readonly at: Spot; readonly height: number; readonly lockable: boolean }[] = [
  { tag: 'CP-103', name: 'belt press starter', at: [28, 5], height: 5, lockable: true },
  { tag: 'CP-101', name: 'mill starter', at: [5, 30], height: 5, lockable: true },
];
export const SUPPLIES: readonly { readonly tag: string; readonly name: string; readonly at: Spot; readonly role: 'panel' | 'transformer' | 'service-entrance' }[] = [
  { tag: 'SE-1', name: 'service entrance', at: [32, 58.6], role: 'service-entrance' },
  { tag: 'MDP', name: 'main distribution panel', at: [27.2, 54], role: 'panel' },
  { tag: 'PP-1', name: 'power panel, process', at: [27.2, 48], role: 'panel' },
];

const motor = (hp: number, more: Partial<LoadData> = {}): LoadData => ({
  kind: 'motor', system: 'system-main', horsepower: horsepower(hp), voltage: volts(460), phases: 3, motorType: 'squirrel-cage', design: 'B', codeLetter: 'G',
  serviceFactor: 1.15, duty: 'continuous', conditions: ['industrial'], ...more,
});

export const LOADS: readonly PlannedLoad[] = [
  { tag: 'M-101', name: 'apple mill', at: [10.5, 10.5], height: 3, outline: box(8, 8, 13, 13), bodyTop: 6, controller: 'CP-101', data: motor(15, { nameplateAmperes: amperes(19.8) }) },
  { tag: 'P-102', name: 'mash pump', at: [16, 30], height: 1.5, outline: box(15, 29.25, 17, 30.75), bodyTop: 2.5, data: motor(7.5, { nameplateAmperes: amperes(10.2) }) },
  { tag: 'M-103', name: 'belt press drive', at: [33.2, 12], height: 3, machine: 'BP-103', controller: 'CP-103', data: motor(10, { nameplateAmperes: amperes(13.1) }) },
  { tag: 'C-104', name: 'press infeed', at: [15, 5.9], height: 2, outline: box(14, 5.4, 16, 18), bodyTop: 4, data: motor(3, { nameplateAmperes: amperes(4.3) }) },
  { tag: 'P-201', name: 'must pump', at: [50, 34.5], height: 1.5, outline: box(49, 33.75, 51, 35.25), bodyTop: 2.5, data: motor(5, { nameplateAmperes: amperes(6.8) }) },
  { tag: 'P-203', name: 'racking pump', at: [71.5, 34.5], height: 1.5, outline: box(70.5, 33.75, 72.5, 35.25), bodyTop: 2.5, data: motor(7.5, { nameplateAmperes: amperes(10.2) }) },
  { tag: 'F-301', name: 'bottle filler', at: [94, 13.5], height: 3, outline: box(90.5, 9.5, 97.5, 17.5), bodyTop: 7.5, data: motor(5, { nameplateAmperes: amperes(6.7) }) },
  { tag: 'CV-303', name: 'case conveyor', at: [94, 43], height: 2, data: motor(2, { nameplateAmperes: amperes(3) }) },
  { tag: 'P-304', name: 'pasteuriser pump', at: [80, 54.5], height: 1.5, outline: box(79.2, 53.75, 80.8, 55.25), bodyTop: 2.5, data: motor(5, { nameplateAmperes: amperes(6.8) }) },
  { tag: 'H-305', name: 'pasteuriser heater', at: [85.5, 51], height: 3, outline: box(82.5, 46, 88.5, 56), bodyTop: 6, data: { kind: 'heater', system: 'system-main', kilowatts: 36, voltage: volts(480), phases: 3, conditions: ['permanently-connected', 'industrial'] } },
  { tag: 'CH-401', name: 'glycol chiller', at: [52, 51], height: 3, outline: box(48, 48, 56, 54), bodyTop: 7, data: { kind: 'hermetic', system: 'system-main', voltage: volts(460), phases: 3, ratedLoadAmperes: amperes(48.1), branchSelectionAmperes: amperes(52), lockedRotorAmperes: amperes(290), minimumCircuitAmpacity: amperes(65), maximumOvercurrent: amperes(100), conditions: ['industrial'] } },
  { tag: 'P-402', name: 'glycol pump', at: null, height: 1.5, data: motor(10, { nameplateAmperes: amperes(13.4) }) },
  { tag: 'CT-501', name: 'cooling tower fan', at: [113, 9], height: 4, outline: box(107, 6, 119, 18), bodyTop: 12, data: motor(15, { nameplateAmperes: amperes(20.1) }) },
  { tag: 'BF-601', name: 'burner blower', at: [16, 50], height: 2, outline: box(15, 49, 17, 51), bodyTop: 3, data: motor(5, { nameplateAmperes: amperes(6.9) }) },
  { tag: 'AC-602', name: 'air compressor', at: [21, 56], height: 3, outline: box(19, 54, 23, 58), bodyTop: 5, data: motor(25, { nameplateAmperes: amperes(32.4) }) },
  { tag: 'EF-603', name: 'exhaust fan', at: [11, 42.6], height: 10, data: { kind: 'motor', phases: 3, motorType: 'squirrel-cage', conditions: ['industrial'], typed: { horsepower: 'plate not legible' } } },
];

const sizeOf = (rating: number): DeviceData['size'] => (rating >= 100 ? { width: feet(0.95), height: feet(2.1), depth: feet(0.65) } : rating >= 60 ? { width: feet(0.8), height: feet(1.7), depth: feet(0.6) } : { width: feet(0.7), height: feet(1.4), depth: feet(0.55) });

const switchOf = (rating: 30 | 60 | 100, hp: number, fuse: number, enclosure: string, more: Partial<DeviceData> = {}): DeviceData => ({
  type: 'enclosed-switch', fusible: true, duty: 'heavy', ratedAmperes: amperes(rating), ratedVolts: volts(600), ratedHorsepower: horsepower(hp), poles: 3, fuseClass: 'J', fuseAmperes: amperes(fuse),
  enclosure, shortCircuitRating: amperes(100_000), groundBar: true, lockable: true, fedFrom: 'PP-1', size: sizeOf(rating),
  conductor: { material: 'copper', insulationCelsius: 75, terminationCelsius: 75, raceway: 'RMC', conductorsInRaceway: 3 }, ...more,
});

export const DISCONNECTS: readonly PlannedDisconnect[] = [
  { tag: 'DS-01', at: [4.75, 17], facing: 0, mount: ['wall-outer', 3], serves: ['M-101'], data: switchOf(60, 30, 35, '4X', { routeLength: feet(95) }) },
  { tag: 'DS-02', at: [4.75, 36.5], facing: 0, mount: ['wall-outer', 3], serves: ['P-102'], data: switchOf(30, 15, 20, '4X', { routeLength: feet(80) }) },
  { tag: 'DS-03', at: [36, 4.75], facing: 90, mount: ['wall-outer', 0], serves: ['M-103', 'C-104'], data: switchOf(60, 30, 25, '4X', { routeLength: feet(70) }) },
  { tag: 'DS-04', at: [57, 39.4], facing: 270, mount: ['wall-2', 0], serves: ['P-201'], data: switchOf(30, 15, 15, '4X', { routeLength: feet(60) }) },
  { tag: 'DS-05', at: [44.5, 12], facing: 0, mount: ['wall-b', 0], serves: ['P-203'], data: switchOf(30, 15, 20, '4X', { routeLength: feet(75) }) },
  { tag: 'DS-06', at: [99.25, 23], facing: 180, mount: ['wall-outer', 1], serves: ['F-301'], data: switchOf(30, 15, 15, '4X', { routeLength: feet(120) }) },
  { tag: 'DS-07', at: [76.6, 41], facing: 0, mount: ['wall-c', 0], serves: ['CV-303'], data: switchOf(30, 15, 6, '1', { routeLength: feet(85) }) },
  { tag: 'DS-08', at: [84, 4.75], facing: 90, mount: ['wall-outer', 0], serves: ['P-304'], data: switchOf(30, 15, 15, '4X', { routeLength: feet(140) }) },
  { tag: 'DS-09', at: [93.5, 59.25], facing: 270, mount: ['wall-outer', 2], serves: ['H-305'], data: switchOf(60, 30, 60, '4X', { routeLength: feet(110) }) },
  { tag: 'DS-10', at: [68, 40.6], facing: 90, mount: ['wall-2', 0], serves: ['CH-401'], data: switchOf(100, 60, 100, '1', { routeLength: feet(55) }) },
  { tag: 'DS-11', at: [100.75, 59.2], facing: 0, mount: ['wall-outer', 1], serves: ['CT-501'], data: switchOf(60, 30, 35, '3R', { routeLength: feet(130) }) },
  { tag: 'DS-12', at: [41.4, 50], facing: 180, mount: ['wall-electrical', 0], serves: ['BF-601'], data: switchOf(30, 15, 15, '1', { routeLength: feet(25) }) },
  { tag: 'DS-13', at: [25.4, 47], facing: 180, mount: ['wall-boiler', 0], serves: ['AC-602'], data: switchOf(30, 15, 30, '12', { routeLength: feet(20) }) },
  { tag: 'DS-14', at: [4.75, 44.5], facing: 0, mount: ['wall-outer', 3], serves: ['EF-603'], data: { type: 'enclosed-switch', fusible: false, duty: 'heavy', poles: 3, enclosure: '12', lockable: true, fedFrom: 'PP-1', size: sizeOf(30), routeLength: feet(45) } },
];
