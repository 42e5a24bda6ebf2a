import { notAsked, usualLimit } from './placement-general';
import type { PlacementRule } from './placement-types';

const MOTORS = ['motor', 'torque-motor', 'dc-motor'];
const motor = { group: 'equipment', loads: MOTORS } as const;

/** Article 430: motors, their machines and their controllers. */
export const motorRules: readonly PlacementRule[] = [
  { ...motor, id: 'MOT-MACHINE', equipment: 'motor and driven machinery', when: { horsepowerAbove: 0.125 }, targets: ['motor', 'machine'], limit: usualLimit,
    outOfSight: { allowed: 'conditional', words: 'the controller disconnect individually lockable open, and one of the listed conditions', conditions: [
      { id: 'impracticable', words: 'a place in sight is impracticable', needs: ['lockable'], outcome: 'judgement', settledBy: 'submersible' },
      { id: 'added-hazard', words: 'a place in sight adds or increases hazard', needs: ['lockable'], outcome: 'judgement' },
      { id: 'industrial-procedures', words: 'industrial installation, written safety procedures, only qualified persons service it', needs: ['lockable', 'document', 'load:industrial', 'load:qualified-persons'], outcome: 'judgement' },
    ] },
    demands: ['readily-accessible', 'handle-height', 'working-space'], remarks: ['The measuring point on a long machine is not stated: nearest is the usual reading.', 'Cost alone is not impracticable in most readings.'],
    cite: { 2017: 'NFPA 70 430.102(B)', 2020: 'NFPA 70 430.102(B)', 2023: 'NFPA 70 430.102(B)', 2026: 'NFPA 70 430.102(B)', CA: 'CSA C22.1 28-604(3)(a)', OSHA: '29 CFR 1910.305(j)(4)' }, unverified: ['2026'],
    introduced: 'exception narrowed in 2002', confidence: { level: 'high', seen: ['S07', 'S01', 'S28', 'S50'], fromMemory: 'examples of impracticable places' } },
  { ...motor, id: 'MOT-SMALL', equipment: 'stationary motor of 1/8 hp or less', when: { horsepowerAtMost: 0.125 }, targets: ['motor', 'machine'], limit: usualLimit, sight: 'argued',
    outOfSight: notAsked, demands: ['handle-height'], remarks: ['The branch-circuit device may be the disconnect; whether sight is still asked is argued.'],
    cite: { 2017: 'NFPA 70 430.109(B)', 2020: 'NFPA 70 430.109(B)', 2023: 'NFPA 70 430.109(B)', 2026: 'NFPA 70 430.109(B)' }, unverified: ['2026'], introduced: 'long-standing', confidence: { level: 'medium', seen: ['S11d'], fromMemory: 'text' } },
  { ...motor, id: 'MOT-CONTROLLER', loads: [...MOTORS, 'drive'], equipment: 'motor controller (starter, drive)', targets: ['controller'], limit: usualLimit,
    outOfSight: { allowed: 'narrow', conditions: [
      { id: 'over-1000-volts', words: 'over 1000 V, lockable, and the controller labelled with where it is', needs: ['lockable', 'load:over-1000-volts', 'load:location-labelled'], outcome: 'judgement' },
      { id: 'coordinated-group', words: 'one disconnect next to a group of coordinated controllers of one machine or process', needs: ['load:coordinated-group'], outcome: 'judgement' },
      { id: 'valve-actuator', words: 'valve actuator where a place in sight adds hazard: lockable and labelled', needs: ['lockable', 'load:valve-actuator', 'load:location-labelled'], outcome: 'judgement' },
    ] },
    demands: [], remarks: [], cite: { 2017: 'NFPA 70 430.102(A)', 2020: 'NFPA 70 430.102(A)', 2023: 'NFPA 70 430.102(A)', 2026: 'NFPA 70 430.102(A)', CA: 'CSA C22.1 28-604(3)(b)', OSHA: '29 CFR 1910.305(j)(4)(ii)' }, unverified: ['2026'],
    introduced: 'valve-actuator case 2008 or 2011 (memory)', confidence: { level: 'high', seen: ['S07', 'S01', 'S36b', 'S50'], fromMemory: 'edition of the valve-actuator case' } },
  { ...motor, id: 'MOT-CONTROL', loads: [...MOTORS, 'drive'], equipment: 'control circuits fed from elsewhere', review: true, when: { all: ['separate-control-supply'] }, targets: [], limit: null, outOfSight: notAsked, demands: [],
    remarks: ['Opening the means must cut all supplies; a second device for the control supply stands immediately adjacent (no figure; over 3 ft is a matter of judgement, our own choice).'],
    cite: { 2017: 'NFPA 70 430.75', 2020: 'NFPA 70 430.75(A),(B)', 2023: 'NFPA 70 430.75', 2026: 'NFPA 70 430.75', OSHA: '29 CFR 1910.147' }, unverified: ['2026'], introduced: 'long-standing; 430.74 up to 2005 (memory)', confidence: { level: 'high', seen: ['S36c', 'S14', 'S50', 'S51'] } },
  { ...motor, id: 'MOT-GROUP', equipment: 'several motors behind one switch', targets: ['motor', 'machine'], limit: usualLimit, when: { all: ['in-a-group'] }, outOfSight: notAsked, demands: [],
    remarks: ['Parts of one machine, motors under one overcurrent device (430.53(A)), or motors in one room in sight of the switch.'],
    cite: { 2017: 'NFPA 70 430.112', 2020: 'NFPA 70 430.112', 2023: 'NFPA 70 430.112', 2026: 'NFPA 70 430.112', OSHA: '29 CFR 1910.305(j)(4)' }, unverified: ['2026'], introduced: 'long-standing', confidence: { level: 'high', seen: ['S01', 'S07'], fromMemory: 'lettering of the items' } },
  { ...motor, id: 'MOT-READY', equipment: 'motor circuit: one disconnect readily accessible', targets: [], limit: null, outOfSight: notAsked, demands: ['readily-accessible'],
    remarks: ['Each opens all ungrounded conductors together and shows on and off.'],
    cite: { 2017: 'NFPA 70 430.107', 2020: 'NFPA 70 430.107', 2023: 'NFPA 70 430.107', 2026: 'NFPA 70 430.107', OSHA: '29 CFR 1910.305(j)(4)' }, unverified: ['2026'], introduced: 'long-standing', confidence: { level: 'high', seen: ['S24', 'S01', 'S36b'] } },
  { ...motor, id: 'MOT-TYPE', equipment: 'kind and rating of the motor switch', targets: [], limit: null, outOfSight: notAsked, demands: [], remarks: ['See the sizing of the device.'],
    cite: { 2017: 'NFPA 70 430.109, 430.110', 2020: 'NFPA 70 430.109, 430.110', 2023: 'NFPA 70 430.109, 430.110', 2026: 'NFPA 70 430.109, 430.110', CA: 'CSA C22.1 28-602' }, unverified: ['2026', 'CA'], introduced: 'waiver for listed unfused switches early 2000s (memory)',
    confidence: { level: 'high', seen: ['S36', 'S36b', 'S48b'], fromMemory: 'the item over 100 hp; Canadian number' } },
];
