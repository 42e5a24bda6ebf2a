import type { Entity, Point, Sheet } from '../../shared-core/document/index';
import { feet, sheetUnits } from '../../shared-core/units/index';
import type { Feet } from '../../shared-core/units/index';
import { words } from '../text/index';
import { changeEntity } from './edit-entity';
import { LengthField, NumberField } from './fields';
import { useApp } from './use-app';

type Placed = Extract<Entity, { at: Point | null }>;

/** Typed coordinates run right and up from the sheet's lower left corner, as on any drawn graph. */
export const coordinates = (sheet: Sheet, at: Point): { right: Feet; up: Feet } | null =>
  sheet.scale ? { right: feet(at.x * sheet.scale.feetPerUnit), up: feet((sheet.height - at.y) * sheet.scale.feetPerUnit) } : null;

export const pointFromCoordinates = (sheet: Sheet, right: Feet, up: Feet): Point | null =>
  sheet.scale ? { x: sheetUnits(right / sheet.scale.feetPerUnit), y: sheetUnits(sheet.height - up / sheet.scale.feetPerUnit) } : null;

/** How exactly a mark's place is known, where it was pointed at from far away: a person may say that it is right. */
export function KnownWithin({ entity }: { entity: Entity }) {
  const scale = useApp((s) => s.document.sheets.find((one) => one.id === entity.sheet)?.scale ?? null);
  const system = useApp((s) => s.document.facts.units);
  if (entity.within === undefined || !scale) return null;
  const known = (off: Feet): void => { changeEntity(entity, 'certainty of place', { within: off > 0 ? sheetUnits(off / scale.feetPerUnit) : undefined }); };
  return <LengthField label={words.chosen.within} value={feet(entity.within * scale.feetPerUnit)} system={system} hint={words.chosen.withinHint} onCommit={known} onClear={() => { known(feet(0)); }} />;
}

/** Where a mark stands, typed: the same move as a drag. A move by hand takes a disconnect off its wall. */
export function PlaceFields({ entity }: { entity: Placed }) {
  const sheet = useApp((s) => s.document.sheets.find((one) => one.id === entity.sheet));
  const system = useApp((s) => s.document.facts.units);
  if (!sheet || entity.at === null) return null;
  const at = coordinates(sheet, entity.at);
  if (!at) return <p className="field-hint">{words.chosen.noScaleNoPlace}</p>;
  const move = (right: Feet, up: Feet): void => {
    const point = pointFromCoordinates(sheet, right, up);
    if (!point) return;
    if (entity.kind === 'disconnect') changeEntity(entity, 'place', { at: point, mount: null });
    else changeEntity(entity, 'place', { at: point });
  };
  return (
    <>
      <LengthField label={words.chosen.right} value={at.right} system={system} negative onCommit={(right) => { move(right, at.up); }} />
      <LengthField label={words.chosen.up} value={at.up} system={system} negative onCommit={(up) => { move(at.right, up); }} />
      <KnownWithin entity={entity} />
      {entity.kind === 'disconnect' && (
        <NumberField label={words.chosen.facing} value={entity.facing} unit="°" system={system} optional={false} onCommit={(facing) => { if (facing !== undefined) changeEntity(entity, 'facing', { facing: ((facing % 360) + 360) % 360 }); }} hint={words.chosen.facingHint} />
      )}
    </>
  );
}
