import { useState } from 'react';
import type { DeviceData, Disconnect } from '../../shared-core/document/index';
import type { Feet, UnitSystem } from '../../shared-core/units/index';
import { fieldWords, words } from '../text/index';
import { changeData } from './edit-entity';
import { ChoiceField, LengthField, NumberField } from './fields';

type Access = NonNullable<DeviceData['limitedAccess']>;
/** The measures by name; the opening has two sides. */
interface Measured { readonly place: Access['place']; readonly long?: Feet; readonly short?: Feet; readonly clearWidth?: Feet; readonly clearDepth?: Feet; readonly doorDegrees?: number }

const LENGTHS = ['long', 'short', 'clearWidth', 'clearDepth'] as const;
const PLACES = (Object.keys(fieldWords.limitedPlace) as Access['place'][]).map((value) => ({ value, label: fieldWords.limitedPlace[value] }));
const measuredOf = ({ place, opening: [long, short], clearWidth, clearDepth, doorDegrees }: Access): Measured => ({ place, long, short, clearWidth, clearDepth, doorDegrees });

/** Where a disconnect hangs above a lay-in ceiling or in a crawl space: measured, whole or not at all, since a check with half of it would guess. */
export function LimitedAccessFields({ device, system }: { device: Disconnect; system: UnitSystem }) {
  const [waiting, setWaiting] = useState<Measured | null>(null);
  const stored = device.data.limitedAccess;
  const known = waiting ?? (stored ? measuredOf(stored) : null);
  const drop = (): void => { setWaiting(null); if (stored) changeData(device, 'limitedAccess', 'limited access', undefined); };
  const set = (next: Measured): void => {
    const { place, long, short, clearWidth, clearDepth, doorDegrees } = next;
    if (long === undefined || short === undefined || clearWidth === undefined || clearDepth === undefined || doorDegrees === undefined) { setWaiting(next); return; }
    setWaiting(null);
    changeData(device, 'limitedAccess', 'limited access', { place, opening: [long, short], clearWidth, clearDepth, doorDegrees });
  };
  return (
    <>
      <ChoiceField label={words.limited.place} value={known?.place} choices={PLACES} unset={words.limited.nowhere} onCommit={(place) => { if (place) set({ ...known, place }); else drop(); }} />
      {known && LENGTHS.map((side) => <LengthField key={side} label={words.limited[side]} value={known[side]} system={system} zero={false} placeholder={words.field.notGiven} onCommit={(value) => { set({ ...known, [side]: value }); }} />)}
      {known && <NumberField label={words.limited.doorDegrees} value={known.doorDegrees} unit="°" system={system} optional={false} min={0} max={180} onCommit={(value) => { if (value !== undefined) set({ ...known, doorDegrees: value }); }} />}
      {waiting && <p className="asks is-wide" role="alert">{words.limited.whole}</p>}
    </>
  );
}
