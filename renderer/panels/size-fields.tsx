import { useState } from 'react';
import type { DeviceData, Disconnect } from '../../shared-core/document/index';
import type { Feet, UnitSystem } from '../../shared-core/units/index';
import { words } from '../text/index';
import { changeData } from './edit-entity';
import { LengthField } from './fields';

type Size = NonNullable<DeviceData['size']>;
const SIDES = ['width', 'height', 'depth'] as const;

/** Outside size of the enclosure. A size is whole or none: what is typed waits here until all three are known. */
export function SizeFields({ device, system }: { device: Disconnect; system: UnitSystem }) {
  const [waiting, setWaiting] = useState<Partial<Size>>({});
  const known = device.data.size ?? waiting;
  const set = (side: keyof Size, value: Feet): void => {
    const next: Partial<Size> = { ...known, [side]: value };
    const { width, height, depth } = next;
    if (width === undefined || height === undefined || depth === undefined) { setWaiting({ ...waiting, [side]: value }); return; }
    setWaiting({});
    changeData(device, 'size', 'enclosure size', { width, height, depth });
  };
  const clear = (side: keyof Size): void => {
    const { [side]: _, ...rest } = known;
    setWaiting(rest);
    if (device.data.size) changeData(device, 'size', 'enclosure size', undefined);
  };
  const partly = device.data.size === undefined && Object.keys(waiting).length > 0;
  return (
    <>
      {SIDES.map((side) => <LengthField key={side} label={words.chosen[side]} value={known[side]} system={system} zero={false} placeholder={words.field.notGiven} onCommit={(value) => { set(side, value); }} onClear={() => { clear(side); }} />)}
      {partly && <p className="asks is-wide" role="alert">{words.chosen.sizeWhole}</p>}
    </>
  );
}
