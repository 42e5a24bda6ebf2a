import type { OutOfSight, PlacementRule, SightLimit } from './placement-types';

/** Fifty feet, inclusive; nine metres in Canada (29.53 ft: thirty feet fail there). */
export const usualLimit: Readonly<Record<'US' | 'CA', SightLimit>> = {
  US: { atMost: { value: 50, unit: 'ft' } },
  CA: { atMost: { value: 9, unit: 'm' } },
};
export const notAsked: OutOfSight = { allowed: 'not-asked', conditions: [] };
export const neverOutOfSight: OutOfSight = { allowed: 'no', conditions: [] };

const general = { group: 'general', loads: [], targets: [], limit: null, outOfSight: notAsked } as const;

/** Rules that hold for every disconnect, and the energy-isolation overlay. */
export const generalRules: readonly PlacementRule[] = [
  { ...general, id: 'GEN-INSIGHT', equipment: 'in sight: visible, and no further than the limit', limit: usualLimit, demands: [],
    remarks: ['The code names no eye point, height, light or measuring point, and is silent on glass, doors and mesh.'],
    cite: { 2017: 'NFPA 70 Art. 100', 2020: 'NFPA 70 Art. 100', 2023: 'NFPA 70 Art. 100 and 110.29', 2026: 'NFPA 70 110.29', CA: 'CSA C22.1 28-604', OSHA: '29 CFR 1910.305(j)(4)(i)' }, unverified: ['2026'],
    introduced: 'decades old; section 110.29 since 2023 without technical change', confidence: { level: 'high', seen: ['S12', 'S01', 'S05', 'S50', 'S51', 'S52'], fromMemory: 'OSHA paragraph number' } },
  { ...general, id: 'GEN-READY', equipment: 'readily accessible', demands: ['readily-accessible'],
    remarks: ['No distance and no walking time in it: no climbing, nothing to move, no tools but keys, no portable ladder. A locked room is tolerated when the people who need it hold the key.'],
    cite: { 2020: 'NFPA 70 Art. 100', 2023: 'NFPA 70 Art. 100', 2026: 'NFPA 70 Art. 100', OSHA: '29 CFR 1910.399' }, introduced: 'the words on tools and keys: 2010s (memory)', confidence: { level: 'high', seen: ['S10b', 'S31'] } },
  { ...general, id: 'GEN-HEIGHT', equipment: 'handle height', demands: ['handle-height'],
    remarks: ['Centre of the grip in its highest position above floor or platform; no minimum.', 'Higher is accepted next to equipment that is itself high, with portable means.'],
    cite: { 2017: 'NFPA 70 404.8(A)', 2020: 'NFPA 70 404.8(A)', 2023: 'NFPA 70 404.8(A)', 2026: 'NFPA 70 404.10', OSHA: '29 CFR 1910.303' }, unverified: ['2026'], introduced: 'long-standing; renumbered 2026',
    confidence: { level: 'high', seen: ['S30', 'S31', 'S34', 'S49', 'S50', 'S51', 'S52'], fromMemory: 'figures of IEC 60204-1 and NFPA 79', open: 'whether 404.10 is the number in 2026' } },
  { ...general, id: 'GEN-SPACE', equipment: 'working space', demands: ['working-space'],
    remarks: ['Whether a plain unfused switch is likely to be worked on live is argued; many inspectors say yes, because voltage is checked there.', 'No storage in it; floor clear and level (2023).'],
    cite: { 2017: 'NFPA 70 110.26(A)', 2020: 'NFPA 70 110.26(A)', 2023: 'NFPA 70 110.26(A)(1)-(6)', 2026: 'NFPA 70 110.26(A)', CA: 'CSA C22.1 2-308', OSHA: '29 CFR 1910.303(g)(1)' }, unverified: ['2026'],
    introduced: 'floor and egress text 2023', confidence: { level: 'high', seen: ['S10', 'S15', 'S32', 'S34', 'S50', 'S51', 'S52', 'S54', 'S55'], open: 'wording of the conditions in 2026' } },
  { ...general, id: 'GEN-LIMITED', equipment: 'limited access: above a lay-in ceiling, crawl space', demands: ['working-space'], remarks: ['Width and 90 degree door opening still hold; ceiling grid may stand in the space, ducts may not.'],
    cite: { 2017: 'NFPA 70 110.26(A)(4)', 2020: 'NFPA 70 110.26(A)(4)', 2023: 'NFPA 70 110.26(A)(4)', 2026: 'NFPA 70 110.26(A)(4)' }, unverified: ['2026'], introduced: 'duct heaters 2014, general 2017', confidence: { level: 'high', seen: ['S34', 'S50', 'S51'] } },
  { ...general, id: 'GEN-LOCK', equipment: 'lockable open', demands: ['lockable'], remarks: ['The provision stays in place with or without the lock; a clip that comes off with the padlock, or a lock on the panel door, does not count.'],
    cite: { 2017: 'NFPA 70 110.25', 2020: 'NFPA 70 110.25', 2023: 'NFPA 70 110.25', 2026: 'NFPA 70 110.25', OSHA: '29 CFR 1910.147(c)(2)(iii)' }, introduced: '2014; in each section before, first in 2005',
    confidence: { level: 'high', seen: ['S27', 'S11', 'S50'], fromMemory: 'remark on panel doors; OSHA date' } },
  { ...general, id: 'GEN-MARK', equipment: 'marking', demands: [], remarks: ['Purpose unless evident; outside dwellings also the circuit that feeds it and (2023) where its source is.'],
    cite: { 2020: 'NFPA 70 110.22(A)', 2023: 'NFPA 70 110.22(A)', 2026: 'NFPA 70 110.22(A)', OSHA: '29 CFR 1910.303(f)' }, unverified: ['2026'], introduced: 'source 2020, its place 2023', confidence: { level: 'high', seen: ['S23'] } },
  { ...general, id: 'LOTO', group: 'overlay', equipment: 'energy isolation for servicing (lockout/tagout)', demands: ['lockable'],
    remarks: ['Push buttons, selector switches and control circuits never isolate.', 'A switch in clear view does not by itself remove the need to lock.', 'Written steps for each machine; checked periodically.'],
    cite: { OSHA: '29 CFR 1910.147' }, introduced: '1989/1990', confidence: { level: 'high', seen: ['S14', 'S23', 'S56', 'S57'], fromMemory: 'outcome of one federal letter' } },
];
