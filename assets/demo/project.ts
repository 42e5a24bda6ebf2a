import { defaultFacts, planDistance, scaleFromPicks } from '../../shared-core/document/index';
import type { Document, Entity, ScalePick } from '../../shared-core/document/index';
import { feet, sheetUnits, volts } from '../../shared-core/units/index';
import { SCAN, toScan } from './scan';
import { AREAS, BODIES, CONTROLLERS, DISCONNECTS, LOADS, MACHINES, SUPPLIES, WALLS } from './works';
import type { PlannedWall, Spot } from './works';

const sheet = 'sheet-ground';
const idOf = (kind: string, tag: string): string => `${kind}-${tag.toLowerCase()}`;
const outlineOf = (spots: readonly Spot[]): ReturnType<typeof toScan>[] => spots.map(toScan);

/** The demo project on the scan with this digest. */
export function projectOf(blob: string): Document {
  const entities = [...WALLS.map(wallOf), ...spaces(), ...equipment(), ...devices()];
  const defaults = defaultFacts();
  const plan = { blob, name: 'cider-works-scan.jpg', media: 'image/jpeg' as const, page: 0, width: sheetUnits(SCAN.width), height: sheetUnits(SCAN.height), unitsPerPaperInch: SCAN.dpi };
  return {
    formatVersion: 1,
    facts: {
      ...defaults, name: 'Northmere Cider Works', site: 'Invented works, for demonstration', revision: 'C',
      systems: [{ id: 'system-main', name: '480Y/277 V, 3-phase, 4-wire', voltage: volts(480), phases: 3, wires: 4, voltsToGround: volts(277), source: { transformerKva: 500, impedancePercent: 5 } }],
    },
    sheets: [{ id: sheet, name: 'Ground floor', plan, width: plan.width, height: plan.height, scale: demoScale(), level: { name: 'Ground floor', floor: feet(0) }, fade: 0.25 }],
    entities: Object.fromEntries(entities.map((e) => [e.id, e])),
  };
}

/** Two dimensions of the drawing, as a person picks them: column A to D, and row 1 to 3. */
function demoScale(): NonNullable<Document['sheets'][number]['scale']> {
  const pick = (from: Spot, to: Spot, length: number, typed: string): ScalePick => ({ from: toScan(from), to: toScan(to), length: feet(length), typed });
  const outcome = scaleFromPicks([pick([4, 4], [100, 4], 96, "96'-0\""), pick([4, 4], [4, 60], 56, "56'-0\"")], sheetUnits(2));
  if (!outcome.ok) throw new RangeError(outcome.reason);
  return outcome.scale;
}

function wallOf(wall: PlannedWall): Entity {
  const points = wall.points.map(toScan);
  return {
    kind: 'wall', id: wall.id, sheet, points, thickness: feet(wall.thickness), bottom: feet(0), top: feet(wall.top), material: wall.material, face: wall.face,
    openings: wall.openings.map((o, i) => {
      const a = wall.points[o.segment] as Spot; const b = wall.points[o.segment + 1] as Spot; const p = points[o.segment]; const q = points[o.segment + 1];
      if (!p || !q) throw new RangeError(`${wall.id} has no segment ${o.segment}`);
      const unit = planDistance(p, q) / Math.hypot(b[0] - a[0], b[1] - a[1]);
      return {
        id: `opening-${wall.id.slice(5)}-${i + 1}`, segment: o.segment, from: sheetUnits(o.from * unit), to: sheetUnits(o.to * unit), sill: feet(o.sill), head: feet(o.head), leaf: o.leaf,
        ...(o.swing ? { swing: o.swing } : {}), ...(o.locked === undefined ? {} : { locked: o.locked }),
      };
    }),
  };
}

function spaces(): Entity[] {
  return [
    ...BODIES.map((b): Entity => ({ kind: 'obstruction', id: b.id, sheet, label: b.label, outline: outlineOf(b.outline), bottom: feet(0), top: feet(b.top), material: 'opaque' })),
    ...AREAS.map((area): Entity => ({ kind: 'area', id: area.id, sheet, label: area.label, outline: outlineOf(area.outline), environments: area.environments })),
  ];
}

function equipment(): Entity[] {
  const standing = feet(0);
  return [
    ...MACHINES.map((m): Entity => ({ kind: 'machine', id: idOf('machine', m.tag), sheet, tag: m.tag, name: m.name, at: toScan(m.at), height: feet(m.height), standing, outline: outlineOf(m.outline), bodyTop: feet(m.top) })),
    ...CONTROLLERS.map((c): Entity => ({ kind: 'controller', id: idOf('controller', c.tag), sheet, tag: c.tag, name: c.name, at: toScan(c.at), height: feet(c.height), standing, lockable: c.lockable })),
    ...SUPPLIES.map((s): Entity => ({ kind: 'supply', id: idOf('supply', s.tag), sheet, tag: s.tag, name: s.name, at: toScan(s.at), system: 'system-main', role: s.role })),
    ...LOADS.map((l): Entity => ({
      kind: 'load', id: idOf('load', l.tag), sheet, tag: l.tag, name: l.name, at: l.at ? toScan(l.at) : null, height: feet(l.height), standing, data: l.data,
      ...(l.outline ? { outline: outlineOf(l.outline) } : {}), ...(l.bodyTop === undefined ? {} : { bodyTop: feet(l.bodyTop) }),
      ...(l.machine === undefined ? {} : { machine: idOf('machine', l.machine) }), ...(l.controller === undefined ? {} : { controller: idOf('controller', l.controller) }),
    })),
  ];
}

function devices(): Entity[] {
  return DISCONNECTS.map((d): Entity => ({
    kind: 'disconnect', id: idOf('disconnect', d.tag), sheet, tag: d.tag, at: toScan(d.at), handleHeight: feet(d.handle ?? 5), standing: feet(0), facing: d.facing + SCAN.turn,
    mount: { wall: d.mount[0], segment: d.mount[1] }, serves: d.serves.map((tag) => idOf('load', tag)),
    data: { ...d.data, ...(d.data.fedFrom === undefined ? {} : { fedFrom: idOf('supply', d.data.fedFrom) }) },
  }));
}
