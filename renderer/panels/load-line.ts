import type { Document, Load } from '../../shared-core/document/index';
import { loadKindNames, words } from '../text/index';
import { showQuantity } from './number-text';

/** A load's own data on one line, as it stands on a nameplate. */
export function loadLine(load: Load, document: Document): string {
  const { data } = load;
  const system = document.facts.systems.find((s) => s.id === data.system);
  const several = data.parts?.length ?? 0;
  const power = several > 0 ? words.parts.count(several) : data.horsepower !== undefined ? showQuantity(data.horsepower, 'hp') : data.kilowatts !== undefined ? showQuantity(data.kilowatts, 'kW') : data.kva !== undefined ? showQuantity(data.kva, 'kVA')
    : data.nameplateAmperes !== undefined ? showQuantity(data.nameplateAmperes, 'A') : data.ratedLoadAmperes !== undefined ? showQuantity(data.ratedLoadAmperes, 'A') : '';
  const voltage = data.voltage ?? system?.voltage;
  return [load.name, power, voltage === undefined ? words.loads.noVoltage : `${voltage} V`, data.kind === 'motor' ? '' : loadKindNames[data.kind]].filter((t) => t !== '').join('  ');
}
