import type { LoadData } from './load-data';
import type { Document, Id } from './types';

/** A nameplate's volts are the nominal volts less about 4 % (460 on 480, 230 on 240): common practice, no source. */
const NAMEPLATE_SHARE = { least: 0.94, most: 1 };

/** Ids of the supply systems that a nameplate's volts and phases fit; all of them where the nameplate says no volts. */
export function fittingSystems({ voltage, phases }: Partial<LoadData>, document: Pick<Document, 'facts'>): Id[] {
  return document.facts.systems.filter((s) => voltage === undefined || (voltage / s.voltage >= NAMEPLATE_SHARE.least && voltage / s.voltage <= NAMEPLATE_SHARE.most
    && (phases === undefined || phases === s.phases || (phases === 1 && s.phases === 3)))).map((s) => s.id);
}

/** The only supply system a nameplate fits; undefined when none or several do, and then it is asked for. */
export function fittingSystem(data: Partial<LoadData>, document: Pick<Document, 'facts'>): Id | undefined {
  const fits = data.voltage === undefined ? [] : fittingSystems(data, document);
  return fits.length === 1 ? fits[0] : undefined;
}
