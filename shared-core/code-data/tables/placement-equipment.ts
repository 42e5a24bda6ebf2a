import { neverOutOfSight, notAsked, usualLimit } from './placement-general';
import type { ExceptionCondition, OutOfSight, PlacementRule } from './placement-types';

const lockableInstead: ExceptionCondition = { id: 'lockable-instead', words: 'lockable open (110.25), wherever it stands', needs: ['lockable'], outcome: 'pass' };
const lockedElsewhere: OutOfSight = { allowed: 'yes', words: 'lockable is enough', conditions: [lockableInstead] };
const lockedAndLabelled: OutOfSight = { allowed: 'yes', words: 'lockable, and its place marked on the equipment', conditions: [
  { ...lockableInstead, words: 'lockable open (110.25), and the equipment labelled with where it is', needs: ['lockable', 'load:location-labelled'] }] };
const unitSwitch: ExceptionCondition = { id: 'unit-switch', words: 'a unit switch with a marked off position that opens all ungrounded conductors', needs: ['load:unit-switch'], outcome: 'judgement' };

const equipment = { group: 'equipment', limit: usualLimit, demands: ['readily-accessible', 'handle-height', 'working-space'], remarks: [] } as const;
const everyEdition = (text: string): Pick<PlacementRule, 'cite' | 'unverified'> => ({ cite: { 2017: text, 2020: text, 2023: text, 2026: text }, unverified: ['2026'] });

/** Articles 422 to 695 apart from motors: one row for each kind of equipment. */
export const equipmentRules: readonly PlacementRule[] = [
  { ...equipment, id: 'HVAC-440', equipment: 'air-conditioning and refrigerating equipment', loads: ['hermetic', 'multimotor-cooling'], targets: ['unit'],
    limit: { US: usualLimit.US, CA: { ...usualLimit.CA, contested: { atMost: { value: 3, unit: 'm' }, why: 'Rule 28-604(5) is remembered as 3 m for this equipment; sources conflict' } } },
    outOfSight: { allowed: 'narrow', conditions: [
      { id: 'process-cooling', words: 'lockable, essential to an industrial process, written procedures, only qualified persons', needs: ['lockable', 'document', 'load:industrial', 'load:process-essential', 'load:qualified-persons'], outcome: 'judgement' },
      { id: 'attachment-plug', words: 'attachment plug and receptacle', needs: ['attachment-plug'], outcome: 'pass' },
    ] },
    demands: ['readily-accessible', 'handle-height', 'working-space', 'on-unit-placement'],
    remarks: ['May be on or in the unit, never on a panel made for access and never over a nameplate.', 'A breaker in a panel in sight may serve.', 'Covers over live parts within reach of unqualified persons need a tool or a lock (440.11).'],
    cite: { 2017: 'NFPA 70 440.14', 2020: 'NFPA 70 440.14', 2023: 'NFPA 70 440.14', 2026: 'NFPA 70 440.14', CA: 'CSA C22.1 28-604(5)' }, unverified: ['2026', 'CA'],
    introduced: 'access panel 2002, nameplate later (2005, memory), 110.26(A) named 2023', confidence: { level: 'high', seen: ['S07', 'S10', 'S33', 'S50', 'S53'], fromMemory: 'Canadian 3 m; edition of the nameplate words' } },
  { ...equipment, id: 'APP-SMALL', equipment: 'fixed appliance, 300 VA or 1/8 hp and less', loads: ['appliance'], when: { voltAmperesAtMost: 300 }, targets: ['unit'], outOfSight: lockedElsewhere, demands: ['handle-height'],
    ...everyEdition('NFPA 70 422.31(A)'), introduced: 'in sight or lockable: in the 2017 text', confidence: { level: 'high', seen: ['S11c', 'S50', 'S51'], open: '2014 and earlier' } },
  { ...equipment, id: 'APP-MOTOR', equipment: 'motor-driven appliance over 1/8 hp', loads: ['appliance'], when: { horsepowerAbove: 0.125 }, targets: ['unit'],
    outOfSight: { allowed: 'yes', words: 'lockable is enough', conditions: [lockableInstead, unitSwitch] }, ...everyEdition('NFPA 70 422.31(C)'), introduced: 'clear text since 2017', confidence: { level: 'high', seen: ['S11', 'S11c', 'S50'] } },
  { ...equipment, id: 'APP-300VA', equipment: 'fixed appliance over 300 VA without a motor over 1/8 hp', loads: ['appliance'], targets: ['unit'], outOfSight: lockedElsewhere, demands: ['handle-height', 'working-space'],
    ...everyEdition('NFPA 70 422.31(B)'), introduced: 'locking words 2005', confidence: { level: 'high', seen: ['S11', 'S27', 'S50', 'S51'] } },
  { ...equipment, id: 'HEAT-424', equipment: 'fixed electric space heating', loads: ['heater'], targets: ['unit', 'controller'],
    outOfSight: { allowed: 'conditional', words: 'by case: lockable, or a unit switch', conditions: [
      { ...lockableInstead, words: 'lockable, where there is no supplementary overcurrent device', settledBy: 'no-supplementary-overcurrent', outcome: 'judgement' }, unitSwitch] },
    remarks: ['Several circuits: disconnects grouped and marked.'], ...everyEdition('NFPA 70 424.19'), introduced: 'lock words 2008', confidence: { level: 'medium', seen: ['S13', 'S13b'], fromMemory: 'split between (A) and (B), motor case' } },
  { ...equipment, id: 'CRANE-RUNWAY', equipment: 'crane or hoist runway conductors', loads: ['crane'], when: { none: ['crane-bridge'] }, targets: ['unit'], limit: { US: { ...usualLimit.US, ownReading: true }, CA: { ...usualLimit.CA, ownReading: true } }, outOfSight: neverOutOfSight, demands: ['readily-accessible', 'handle-height', 'lockable'],
    remarks: ['In view of the runway conductors (no distance given), operable from the floor.'], ...everyEdition('NFPA 70 610.31'), introduced: 'long-standing', confidence: { level: 'medium', seen: ['S02'], fromMemory: 'within view and operable from the floor' } },
  { ...equipment, id: 'CRANE-UNIT', equipment: 'crane or hoist, on the bridge', review: true, loads: ['crane'], when: { all: ['crane-bridge'] }, targets: [], limit: null, outOfSight: notAsked, demands: ['lockable'],
    remarks: ['On the crane; where it is not readily accessible from the operating station, means there to open all motor power.', 'May be left out when floor controlled, in view of the supply disconnect, and without a service platform.'],
    cite: { 2020: 'NFPA 70 610.32', 2023: 'NFPA 70 610.32', OSHA: '29 CFR 1910.306(b)(1)' }, introduced: 'long-standing', confidence: { level: 'high', seen: ['S02'] } },
  { ...equipment, id: 'ELEVATOR', equipment: 'elevators, escalators, lifts', loads: ['elevator'], targets: ['controller', 'machine'], outOfSight: neverOutOfSight, demands: ['readily-accessible', 'handle-height', 'working-space', 'lockable'],
    remarks: ['Numbered to match the unit; sign with the place of the supply-side device.', 'A controller in the hoistway and a remote machine room ask for further lockable means.'], ...everyEdition('NFPA 70 620.51'), introduced: 'machine-room-less text 2002-2005 (memory)',
    confidence: { level: 'high', seen: ['S04', 'S48', 'S51'], open: 'read in one 2020-based state text only' } },
  { ...equipment, id: 'IRRIGATION', equipment: 'irrigation machines', loads: ['irrigation'], targets: ['unit'], outOfSight: neverOutOfSight, demands: ['readily-accessible', 'handle-height', 'lockable'], remarks: ['Unless at the point of connection.'],
    ...everyEdition('NFPA 70 675.8'), introduced: '1975; lock words later', confidence: { level: 'high', seen: ['S03', 'S17'], fromMemory: 'access of the motor disconnects' } },
  { ...equipment, id: 'POOL', equipment: 'pool, spa and fountain equipment other than lighting', loads: ['pool'], targets: ['unit'], outOfSight: neverOutOfSight, demands: ['readily-accessible', 'handle-height', 'working-space', 'water-distance'],
    remarks: ['Opens all ungrounded conductors together.', 'Spa emergency switch: in sight and 5 ft away, other than one-family dwellings (680.41, memory).'], ...everyEdition('NFPA 70 680.13'),
    introduced: '1996 location, 1999 required, 2005 readily accessible, barrier path 2011 (memory); 680.12 before 2017', confidence: { level: 'high', seen: ['S18', 'S19b', 'S50', 'S51'], fromMemory: 'barrier edition, 680.41' } },
  { ...equipment, id: 'SIGN', equipment: 'electric signs and outline lighting', loads: ['sign'], when: { none: ['discharge-lighting'] }, targets: ['unit'], outOfSight: lockedAndLabelled, demands: ['handle-height'],
    remarks: ['Where conductors enter, or in sight; beyond a wall or parapet is not in sight.', 'Exit signs inside and cord-and-plug signs are left out.'], ...everyEdition('NFPA 70 600.6(A)'), introduced: 'entry-point text 2014', confidence: { level: 'high', seen: ['S44', 'S26'], fromMemory: '2017 label' } },
  { ...equipment, id: 'DISCHARGE-LTG', equipment: 'electric-discharge lighting over 1000 V', loads: ['sign'], when: { all: ['discharge-lighting'] }, targets: ['unit'], outOfSight: lockedElsewhere, demands: ['handle-height'],
    cite: { 2020: 'NFPA 70 410.141', 2023: 'NFPA 70 410.141' }, introduced: 'long-standing', confidence: { level: 'medium', seen: ['S07'] } },
  { ...equipment, id: 'PV-SYSTEM', equipment: 'photovoltaic system disconnect', review: true, loads: ['pv'], when: { none: ['pv-equipment'] }, targets: [], limit: null, outOfSight: notAsked, demands: ['readily-accessible', 'handle-height', 'lockable', 'six-handles'],
    remarks: ['At most six, marked; its door kept shut to unqualified persons.'], ...everyEdition('NFPA 70 690.13'), introduced: 'rewritten 2017, 2020', confidence: { level: 'high', seen: ['S43', 'S50', 'S51', 'S54'] } },
  { ...equipment, id: 'PV-EQUIP', equipment: 'photovoltaic equipment isolation', loads: ['pv'], when: { all: ['pv-equipment'] }, targets: ['unit'], limit: { US: { atMost: { value: 10, unit: 'ft' } } },
    outOfSight: { allowed: 'conditional', conditions: [{ id: 'remote-operated', words: 'remotely operable from within the same distance', needs: ['load:remote-operated'], outcome: 'judgement' }] }, ...everyEdition('NFPA 70 690.15'), introduced: '2017',
    confidence: { level: 'high', seen: ['S43', 'S50', 'S51'] } },
  { ...equipment, id: 'GENERATOR', equipment: 'permanently installed generator', review: true, loads: ['generator'], targets: [], limit: null, outOfSight: notAsked, demands: ['lockable'],
    remarks: ['Prime-mover shutdown with mechanical reset; over 15 kW an emergency stop outside the room or enclosure.', 'Dwellings: shutdown outside and readily accessible.'],
    cite: { 2017: 'NFPA 70 445.18', 2020: 'NFPA 70 445.18', 2023: 'NFPA 70 445.18, 445.19', 2026: 'NFPA 70 445.18, 445.19' }, unverified: ['2026'], introduced: '2017 rewrite, split 2023', confidence: { level: 'high', seen: ['S42'] } },
  { ...equipment, id: 'TRANSFORMER', equipment: 'transformer, primary side', loads: ['transformer'], targets: ['unit'], outOfSight: lockedAndLabelled, demands: ['handle-height', 'working-space'], ...everyEdition('NFPA 70 450.14'), introduced: '2011', confidence: { level: 'high', seen: ['S41'] } },
  { ...equipment, id: 'EV-2023', equipment: 'vehicle supply equipment, 2023 and earlier', loads: ['ev-supply'], editions: ['2017', '2020', '2023'], targets: [], limit: null, outOfSight: notAsked, demands: ['readily-accessible', 'handle-height', 'lockable'],
    remarks: ['Over 60 A or over 150 V to ground.', 'Where it is remote: a plaque at the equipment (2023).'], cite: { 2017: 'NFPA 70 625.43', 2020: 'NFPA 70 625.43', 2023: 'NFPA 70 625.43' }, introduced: 'lockable without plaque in 2017 and 2020',
    confidence: { level: 'high', seen: ['S39', 'S50', 'S51'], fromMemory: 'that the plaque came in 2023' } },
  { ...equipment, id: 'EV-2026', equipment: 'vehicle supply equipment, emergency shutoff', loads: ['ev-supply'], editions: ['2026'], when: { none: ['one-or-two-family'] }, targets: ['unit'],
    limit: { US: { atMost: { value: 100, unit: 'ft' }, atLeast: { value: 20, unit: 'ft' }, contested: { atMost: { value: 50, unit: 'ft' }, why: 'in sight means 50 ft elsewhere, this rule prints 100 ft' } } }, outOfSight: neverOutOfSight,
    demands: ['readily-accessible', 'handle-height'], remarks: ['Manual reset, marked; the equipment disconnect itself may be remote with a plaque or directory.'], cite: { 2026: 'NFPA 70 625.43(D)' }, introduced: '2026',
    confidence: { level: 'high', seen: ['S39', 'S53', 'S55', 'S58'], open: 'a tentative amendment may change in sight to visible' } },
  { ...equipment, id: 'MACHINERY', equipment: 'industrial machinery', loads: ['machine'], targets: ['controller'], limit: { US: { atMost: { value: 20, unit: 'ft' } } },
    outOfSight: { allowed: 'conditional', conditions: [{ id: 'interlocked', words: 'separate enclosure further away with interlock or access conditions of NFPA 79', needs: ['document'], outcome: 'judgement' }] },
    remarks: ['Each supply has a disconnect with an external handle, worked without opening the door; the machine counts as one unit.'], ...everyEdition('NFPA 70 670.4(B)'), introduced: 'see the edition of NFPA 79', confidence: { level: 'medium', seen: ['S19'], fromMemory: 'sub-number' } },
  { ...equipment, id: 'FIREPUMP', group: 'special', equipment: 'electric fire pump', loads: ['fire-pump'], targets: [], limit: null, outOfSight: { allowed: 'inverted', words: 'no ordinary switch in sight between controller and motor', conditions: [] },
    demands: ['one-handle-only'], remarks: ['At most one supply disconnect: suitable as service equipment, lockable closed, in equipment that feeds nothing else, remote from other building disconnects.', 'Marked in letters of 1 in., placard at the controller, supervised closed.'],
    cite: { 2017: 'NFPA 70 695.4', 2020: 'NFPA 70 695.4(B)(3), 695.12', 2023: 'NFPA 70 695.4, 695.12', 2026: 'NFPA 70 695.4' }, unverified: ['2026'], introduced: 'numbers moved 2011-2020', confidence: { level: 'high', seen: ['S47'], fromMemory: 'no switch after the controller' } },
  { ...equipment, id: 'WELD-ARC', equipment: 'arc welder', loads: ['welder'], when: { none: ['resistance-welder'] }, targets: [], limit: null, outOfSight: notAsked, demands: ['handle-height'], remarks: ['Switch or breaker for each without its own; plug and receptacle is argued.'],
    ...everyEdition('NFPA 70 630.13'), introduced: 'long-standing', confidence: { level: 'high', seen: ['S17'] } },
  { ...equipment, id: 'WELD-RES', equipment: 'resistance welder', review: true, loads: ['welder'], when: { all: ['resistance-welder'] }, targets: [], limit: null, outOfSight: notAsked, demands: ['handle-height'], remarks: ['At or near the machine under worker-safety rules; no figure.'],
    cite: { 2020: 'NFPA 70 630.33', 2023: 'NFPA 70 630.33', OSHA: '29 CFR 1910.255(a)(1)' }, introduced: 'long-standing', confidence: { level: 'high', seen: ['S17', 'S17b'], fromMemory: 'OSHA numbers' } },
  { ...equipment, id: 'XRAY', equipment: 'X-ray equipment', review: true, loads: ['x-ray'], targets: [], limit: null, outOfSight: notAsked, demands: ['readily-accessible', 'handle-height'],
    remarks: ['Operable from a place readily accessible from the control, which some read as the operator’s place and some as the generator cabinet.', 'A stop button with shunt trip does not isolate.'],
    cite: { 2020: 'NFPA 70 660.5, 517.72(B)', 2023: 'NFPA 70 660.5, 517.72(B)' }, introduced: 'long-standing', confidence: { level: 'high', seen: ['S45'] } },
  { ...equipment, id: 'INDUCTION', equipment: 'induction and dielectric heating', loads: ['induction-heating'], targets: ['controller'], outOfSight: { allowed: 'yes', words: 'lockable (from memory)', conditions: [{ ...lockableInstead, outcome: 'judgement' }] },
    cite: { 2020: 'NFPA 70 665.12', 2023: 'NFPA 70 665.12' }, introduced: 'words in sight 2005-2011 (memory)', confidence: { level: 'medium', seen: ['S46'], fromMemory: 'lockable alternative' } },
  { ...equipment, id: 'BUILDING-FEED', equipment: 'separate building fed by feeder or branch circuit', review: true, loads: ['feeder'], targets: [], limit: null, outOfSight: notAsked, demands: ['readily-accessible', 'handle-height', 'working-space', 'six-handles'],
    remarks: ['Outside, or inside nearest the point of entrance; grouped and marked.', 'Documented switching procedures, integrated systems, light and sign poles are excepted.'],
    cite: { 2017: 'NFPA 70 225.31, 225.32', 2020: 'NFPA 70 225.31, 225.32', 2023: 'NFPA 70 225.31(B)', 2026: 'NFPA 70 225.31(B)' }, unverified: ['2026'], introduced: 'location moved into 225.31 in 2023', confidence: { level: 'high', seen: ['S40', 'S50', 'S51', 'S52'] } },
  { ...equipment, id: 'SERVICE', equipment: 'service disconnect', review: true, loads: ['service'], targets: [], limit: null, outOfSight: notAsked, demands: ['readily-accessible', 'handle-height', 'working-space', 'six-handles'],
    remarks: ['Outside or inside nearest the point of entrance; not in a bathroom; one, or two to six each in its own enclosure or compartment (2020), grouped.', 'Dwellings: emergency disconnect outdoors (2020).'],
    cite: { 2017: 'NFPA 70 230.70-.72', 2020: 'NFPA 70 230.70-.72, 230.85', 2023: 'NFPA 70 230.70-.72, 230.85', 2026: 'NFPA 70 230.70-.72', CA: 'CSA C22.1 Section 6' }, unverified: ['2026'], introduced: 'separate enclosures and emergency disconnect 2020', confidence: { level: 'high', seen: ['S37', 'S38', 'S50', 'S53'] } },
];
