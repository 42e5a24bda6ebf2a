import type { Trace } from '../code-data/index';
import { loadsOf } from './project';
import { maybe } from './selection';
import type { Selection } from './selection';
import { wireName } from './run';

export interface Option { readonly option: string; readonly reason: string }

/**
 * Options that follow from the facts, each with its reason, and those a person chose. Where no rule of the code asks
 * for one the reason says that it is practice.
 */
export function optionsOf(t: Trace, s: Selection): readonly Option[] {
  const found: Option[] = [];
  const propose = (when: boolean, option: string, reason: string): void => { if (when) found.push({ option, reason }); };
  const loads = loadsOf(s.project, s.device);
  const driven = loads.some((l) => l.data.kind === 'drive' && l.data.driveSide === 'load');
  const service = loads.some((l) => l.data.kind === 'service') || s.data.serviceEquipment === true;
  const sources = loads.some((l) => l.data.conditions?.includes('two-sources') || l.data.kind === 'generator');
  const energised = s.data.energisedWorkLikely === true;
  propose(driven, 'early-break-contact', 'a drive is upstream: the contact stops it before the switch opens (maker and trade practice, not a rule of the code)');
  propose(energised, 'barriered-line-side', 'work beside energised line terminals is likely: a barrier over the line side lowers the risk');
  propose(energised, 'voltage-indication', 'work inside is likely: voltage indication or test points help to verify absence of voltage');
  propose(energised, 'viewing-window', 'the blades can be seen open before the door is opened');
  propose(s.data.type === 'attachment-plug', 'receptacle-interlock', 'plug and receptacle: the interlock keeps them from being parted under load');
  propose(sources, 'double-throw', 'two sources feed this load: a double-throw switch keeps them apart, and each source needs its own sign');
  propose(service, 'surge-protection', dwelling(s) && service && t.allows('service.surge').value ? 'service of a dwelling: surge protection is required (230.67)' : 'service: surge protection is common practice');
  const wires = maybe(() => s.wires(t));
  const fit = maybe(() => s.lugs(t));
  propose(wires !== null && fit !== null && !fit.fits, wires !== null && wires.perPhase > 1 ? 'multiple-lugs' : 'larger-lugs', `typical lugs take ${fit?.words ?? ''}, the conductors are ${wires ? wireName(wires) : ''}`);
  const rejects = maybe(() => s.fusible(t))?.value === true ? maybe(() => s.fuse(t))?.fuseClass : undefined;
  propose(rejects === 'RK1' || rejects === 'RK5', 'fuse-rejection-kit', 'without it a Class H fuse fits, and the switch keeps its lowest short-circuit rating');
  propose(maybe(() => s.poles(t))?.neutral === true && s.data.neutral !== true, 'solid-neutral', 'the circuit has a neutral');
  propose(s.data.groundBar !== true, 'ground-bar', 'an equipment grounding conductor ends here');
  for (const option of s.data.options ?? []) if (!found.some((o) => o.option === option)) found.push({ option, reason: 'chosen by the person' });
  return found;
}

/** Whether a one- or two-family dwelling is served. */
export const dwelling = (s: Selection): boolean => loadsOf(s.project, s.device).some((l) => l.data.conditions?.some((c) => c === 'dwelling' || c === 'one-family-dwelling' || c === 'two-family-dwelling' || c === 'one-or-two-family') === true);
