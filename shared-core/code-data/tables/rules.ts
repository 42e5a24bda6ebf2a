import type { Confidence, Edition } from '../result';

export type RuleValue = number | boolean;
/** What differs in one edition. */
interface InEdition { readonly value?: RuleValue; readonly section?: string; readonly confidence?: Confidence; readonly note?: string }

/** One named value of a rule: what the engine may use, what a local amendment may replace by its key. */
export interface Rule {
  readonly title: string;
  readonly value: RuleValue;
  readonly unit: string;
  /** Section of NFPA 70, or what else it rests on; by edition where the number moved. */
  readonly section: string;
  readonly source: readonly string[];
  readonly confidence: Confidence;
  readonly note?: string;
  readonly editions?: Readonly<Partial<Record<Edition, InEdition>>>;
}

const READ = ['text-2017', 'text-2020', 'text-2023'];
const UNREAD_2026: InEdition = { confidence: 'memory', note: 'the 2026 text was not read; taken as in 2023' };

type Editions = Rule['editions'];
const read = (title: string, value: RuleValue, unit: string, section: string, editions: Editions = {}): Rule =>
  ({ title, value, unit, section, source: READ, confidence: 'confirmed', editions: { '2026': UNREAD_2026, ...editions } });
const remembered = (title: string, value: RuleValue, unit: string, section: string, editions: Editions = {}): Rule =>
  ({ title, value, unit, section, source: ['memory'], confidence: 'memory', note: 'section and figure from memory of the trade', editions: { '2026': UNREAD_2026, ...editions } });
/** Read in an older edition only. */
const older = (title: string, value: RuleValue, unit: string, section: string, editions: Editions = {}): Rule =>
  ({ title, value, unit, section, source: ['page-2008', 'memory'], confidence: 'memory', note: 'read in a 2008 copy; the text of this edition was not read', editions: { '2026': UNREAD_2026, ...editions } });
const practice = (title: string, value: RuleValue, unit: string, section: string, note: string): Rule =>
  ({ title, value, unit, section, source: ['memory'], confidence: 'typical', note });
const reading = (title: string, value: RuleValue, unit: string, note: string): Rule =>
  ({ title, value, unit, section: 'own reading', source: ['memory'], confidence: 'own-reading', note });

const ceiling = (title: string, value: number, item: string): Rule => read(title, value, '%', `430.52(C)(1)(b)(${item})`,
  { '2017': { section: `430.52(C)(1) Exception No. 2(${item})` }, '2020': { section: `430.52(C)(1) Exception No. 2(${item})` } });
const instantaneous = (title: string, value: number): Rule => read(title, value, '%', '430.52(C)(3)(b)',
  { '2017': { section: '430.52(C)(3) Exception No. 1' }, '2020': { section: '430.52(C)(3) Exception No. 1' } });
const UNREAD_2017: Editions = { '2017': { confidence: 'memory', note: 'the 2017 text of this figure was not read' } };
const since2023 = (section: string): Editions => ({ '2017': { value: false, section }, '2020': { value: false, section } });

/** Every figure of a rule that the engine uses. Keys are stable: projects store overrides under them. */
export const RULES = {
  'motor.disconnect.percent': read('Disconnect rating over motor full-load current', 115, '%', '430.110(A)'),
  'motor.disconnect.volts': read('Highest voltage of these disconnect rules', 1000, 'V', '430.110(A)'),
  'motor.torque.disconnect.percent': read('Disconnect rating over torque-motor nameplate current', 115, '%', '430.110(B)'),
  'motor.combination.disconnect.percent': read('Disconnect rating over the summed currents', 115, '%', '430.110(C)(2)'),
  'motor.small.locked-rotor-multiple': read('Locked-rotor current of a small motor outside the tables, times full load', 6, '', '430.110(C)(3)'),
  'motor.branch-device.horsepower': read('Largest motor whose branch overcurrent device may be the disconnect', 0.125, 'hp', '430.109(B)'),
  'motor.general-use.horsepower': read('Largest motor for a general-use or snap switch', 2, 'hp', '430.109(C)'),
  'motor.general-use.volts': read('Highest voltage for a general-use or snap switch', 300, 'V', '430.109(C)'),
  'motor.general-use.multiple': read('General-use switch rating over full-load current', 2, '', '430.109(C)'),
  'motor.snap-switch.percent': read('Motor current over ac snap-switch rating', 80, '%', '430.109(C)'),
  'motor.isolating.horsepower-ac': read('Above this an isolating switch may serve, marked not to be operated under load', 100, 'hp', '430.109(E)'),
  'motor.isolating.horsepower-dc': read('Above this an isolating switch may serve a dc motor', 40, 'hp', '430.109(E)'),
  'motor.conductor.percent': read('Conductor ampacity over motor full-load current', 125, '%', '430.22'),
  'motor.conductor.rectifier-half-wave.percent': read('Conductor ampacity between a half-wave single-phase rectifier and its dc motor', 190, '%', '430.22(A)', UNREAD_2017),
  'motor.conductor.rectifier-full-wave.percent': read('Conductor ampacity between a full-wave single-phase rectifier and its dc motor', 150, '%', '430.22(A)', UNREAD_2017),
  'motor.conductor.wye-delta.percent': read('Ampacity of each lead between a wye-delta starter and its motor, over full-load current', 72, '%', '430.22(C)', UNREAD_2017),
  'motor.conductor.part-winding.percent': read('Ampacity of each lead between a part-winding starter and its motor, over full-load current', 62.5, '%', '430.22(D)', UNREAD_2017),
  'motor.duty.short-time.5-minute.percent': older('Conductor ampacity over nameplate current, short-time duty, 5 minute rated motor', 110, '%', 'Table 430.22(E)'),
  'motor.duty.short-time.15-minute.percent': older('Conductor ampacity over nameplate current, short-time duty, 15 minute rated motor', 120, '%', 'Table 430.22(E)'),
  'motor.duty.short-time.30-or-60-minute.percent': older('Conductor ampacity over nameplate current, short-time duty, 30 or 60 minute rated motor', 150, '%', 'Table 430.22(E)'),
  'motor.duty.intermittent.5-minute.percent': older('Conductor ampacity over nameplate current, intermittent duty, 5 minute rated motor', 85, '%', 'Table 430.22(E)'),
  'motor.duty.intermittent.15-minute.percent': older('Conductor ampacity over nameplate current, intermittent duty, 15 minute rated motor', 85, '%', 'Table 430.22(E)'),
  'motor.duty.intermittent.30-or-60-minute.percent': older('Conductor ampacity over nameplate current, intermittent duty, 30 or 60 minute rated motor', 90, '%', 'Table 430.22(E)'),
  'motor.duty.intermittent.continuous.percent': older('Conductor ampacity over nameplate current, intermittent duty, continuous rated motor', 140, '%', 'Table 430.22(E)'),
  'motor.duty.periodic.5-minute.percent': older('Conductor ampacity over nameplate current, periodic duty, 5 minute rated motor', 85, '%', 'Table 430.22(E)'),
  'motor.duty.periodic.15-minute.percent': older('Conductor ampacity over nameplate current, periodic duty, 15 minute rated motor', 90, '%', 'Table 430.22(E)'),
  'motor.duty.periodic.30-or-60-minute.percent': older('Conductor ampacity over nameplate current, periodic duty, 30 or 60 minute rated motor', 95, '%', 'Table 430.22(E)'),
  'motor.duty.periodic.continuous.percent': older('Conductor ampacity over nameplate current, periodic duty, continuous rated motor', 140, '%', 'Table 430.22(E)'),
  'motor.duty.varying.5-minute.percent': older('Conductor ampacity over nameplate current, varying duty, 5 minute rated motor', 110, '%', 'Table 430.22(E)'),
  'motor.duty.varying.15-minute.percent': older('Conductor ampacity over nameplate current, varying duty, 15 minute rated motor', 120, '%', 'Table 430.22(E)'),
  'motor.duty.varying.30-or-60-minute.percent': older('Conductor ampacity over nameplate current, varying duty, 30 or 60 minute rated motor', 150, '%', 'Table 430.22(E)'),
  'motor.duty.varying.continuous.percent': older('Conductor ampacity over nameplate current, varying duty, continuous rated motor', 200, '%', 'Table 430.22(E)'),
  'motor.group.largest.percent': read('Conductor ampacity for the largest motor of a group', 125, '%', '430.24'),
  'motor.start.nontime-delay-fuse.percent': ceiling('Highest non-time-delay or Class CC fuse where the motor will not start', 400, '1'),
  'motor.start.time-delay-fuse.percent': ceiling('Highest time-delay fuse where the motor will not start', 225, '2'),
  'motor.start.breaker-to-100.percent': ceiling('Highest inverse-time breaker, full load of 100 A or less', 400, '3'),
  'motor.start.breaker-over-100.percent': ceiling('Highest inverse-time breaker, full load over 100 A', 300, '3'),
  'motor.start.large-fuse.percent': ceiling('Highest fuse of the 601 to 6000 A class', 300, '4'),
  'motor.start.breaker-split': read('Full-load current at which the breaker ceiling changes', 100, 'A', '430.52(C)(1)'),
  'motor.start.instantaneous.percent': instantaneous('Highest instantaneous setting', 1300),
  'motor.start.instantaneous-efficient.percent': instantaneous('Highest instantaneous setting, Design B energy-efficient', 1700),
  'motor.premium-efficiency.named': read('Premium-efficiency motors have the Design B energy-efficient figures', true, '', '430.52(C)',
    { '2017': { value: false }, '2020': { value: false } }),
  'motor.overload.high.percent': read('Overload device, service factor 1.15 or more or rise 40 C or less', 125, '%', '430.32(A)(1)'),
  'motor.overload.other.percent': read('Overload device, all other motors', 115, '%', '430.32(A)(1)'),
  'motor.overload.retry-high.percent': read('Overload device that will not start the motor, service factor 1.15 or more or rise 40 C or less', 140, '%', '430.32(C)'),
  'motor.overload.retry-other.percent': read('Overload device that will not start the motor, all other motors', 130, '%', '430.32(C)'),
  'motor.overload.service-factor': read('Service factor from which the higher overload figure holds', 1.15, '', '430.32(A)(1)'),
  'motor.overload.rise': read('Temperature rise up to which the higher overload figure holds', 40, 'C', '430.32(A)(1)'),
  'motor.table-2300-range': read('The 2300 V column serves 2300 to 2400 V systems', true, '', 'Table 430.250', since2023('Table 430.250')),
  'motor.running-fuse.percent': reading('Smallest fuse proposed over full-load current', 125, '%', 'time-delay fuses from 125 percent up carry the motor; if the motor will not start, take the next switch size'),

  'hermetic.disconnect.percent': read('Disconnect rating over rated-load or branch-circuit selection current', 115, '%', '440.12(A)(1)'),
  'hermetic.combination.disconnect.percent': read('Disconnect rating over the summed currents', 115, '%', '440.12(B)'),
  'hermetic.small.locked-rotor-multiple': read('Locked-rotor current of a small unmarked compressor, times rated load', 6, '', '440.12(C)'),
  'hermetic.small.amperes-115-volt': remembered('Rated load up to which a single-phase compressor at 115 V need not be marked with its locked-rotor current', 9, 'A', '440.4(A)'),
  'hermetic.small.amperes-230-volt': remembered('Rated load up to which a single-phase compressor at 230 V need not be marked with its locked-rotor current', 4.5, 'A', '440.4(A)'),
  'hermetic.protection.percent': read('Largest protective device of a motor-compressor', 175, '%', '440.22(A)'),
  'hermetic.protection.ceiling-percent': read('Largest device where the compressor will not start', 225, '%', '440.22(A)'),
  'hermetic.protection.floor': read('A protective device need not be smaller', 15, 'A', '440.22(A)'),
  'hermetic.protection.next-size-up': read('The 175 percent figure may go to the next standard size up', true, '', '440.22(A) Exception No. 1', since2023('440.22(A)')),
  'hermetic.conductor.percent': read('Conductor ampacity over compressor current', 125, '%', '440.32'),
  'hermetic.conductor.wye-delta.percent': read('Ampacity of each lead between a wye-delta starter and its compressor, over compressor current', 72, '%', '440.32', UNREAD_2017),
  'hermetic.group.largest.percent': read('Conductor ampacity for the largest of a group', 125, '%', '440.33'),

  'fire-pump.device.percent': older('Overcurrent device of a fire pump over its locked-rotor current, carried without end', 100, '%', '695.4(B)(2)'),
  'fire-pump.starting-drop.percent': older('Voltage drop at the line terminals of a fire pump controller while the motor starts', 15, '%', '695.7(A)'),
  'fire-pump.running-drop.percent': older('Voltage at the terminals of a fire pump motor, below its rated voltage', 5, '%', '695.7(B)'),
  'fire-pump.running-current.percent': older('Current at which the running voltage of a fire pump is judged, over full-load current', 115, '%', '695.7(B)'),

  'load.continuous.percent': read('Conductor and device over continuous load', 125, '%', '210.20(A) and 215.3'),
  'load.noncontinuous.percent': read('Conductor and device over non-continuous load', 100, '%', '210.20(A) and 215.3'),
  'load.breaker.continuous-percent': read('Largest continuous load on a breaker', 80, '%', '210.20(A) and 215.3'),
  'load.heater.percent': remembered('Fixed space heating counts as continuous', 125, '%', '424.4(B)', { '2017': { section: '424.3(B)' } }),
  'load.ev.percent': remembered('Vehicle supply equipment counts as continuous', 125, '%', '625.41 and 625.42'),
  'load.pv.percent': remembered('Photovoltaic output over maximum current', 125, '%', '690.8(B) and 690.9(B)'),
  'load.generator.percent': remembered('Conductors from a generator over nameplate current', 115, '%', '445.13'),
  'load.drive.disconnect.percent': remembered('Disconnect rating over the drive input current', 115, '%', '430.128'),
  'load.drive.conductor.percent': remembered('Conductor ampacity over the drive input current', 125, '%', '430.122'),
  'load.welder.device.percent': remembered('Largest overcurrent device of an arc welder over rated primary current', 200, '%', '630.12(A)'),

  'conductor.termination.split': read('Circuit rating up to which 60 C terminations are assumed', 100, 'A', '110.14(C)(1)'),
  'conductor.next-size.limit': read('Device up to which the next standard size above the ampacity may be used', 800, 'A', '240.4(B)'),
  'voltage-drop.limit': read('Recommended voltage drop of a branch circuit or feeder', 3, '%', '210.19 and 215.2 informational notes (advice)'),
  'voltage-drop.total-limit': read('Recommended total voltage drop', 5, '%', '210.19 and 215.2 informational notes (advice)'),
  'voltage-drop.k-copper': practice('Circular-mil ohms per foot of copper at about 75 C', 12.9, 'ohm cmil/ft', 'common practice, no source', 'K method; usual figure for copper'),
  'voltage-drop.k-aluminum': practice('Circular-mil ohms per foot of aluminum at about 75 C', 21.2, 'ohm cmil/ft', 'common practice, no source', 'K method; usual figure for aluminum'),
  'voltage-drop.power-factor': practice('Power factor where none is given', 0.85, '', 'Chapter 9 Table 9 basis', 'assumed; the effective impedance column of the table has the same basis'),

  'fault.impedance-tolerance.percent': practice('Nameplate impedance may be this much low', 10, '%', 'common practice, no source', 'worst-case convention for transformers of 25 kVA and larger'),
  'fault.motor-multiple': practice('Motor contribution over running full-load current', 4, '', 'common practice, no source', 'a convention, 4 to 6 times'),
  'fault.margin.percent': reading('Margin kept between fault current and rating', 10, '%', 'the two methods differ by up to about 8 percent either way'),
  'fault.line-neutral-factor': practice('Line-to-neutral over line-to-line current at a centre-tapped transformer', 1.5, '', 'common practice, no source', 'practice ranges from 1.33 to 1.67'),
  'fault.x-over-r': practice('Reactance over resistance of the source where none is given', 4, '', 'assumption', 'assumed for transformers of ordinary size; enter the figure of the nameplate or utility'),
  'fault.service-x-over-r': practice('Reactance over resistance of a stated fault current', 4, '', 'assumption', 'assumed; ask the utility'),

  'switch.nonfusible.short-circuit': practice('Short-circuit rating of a non-fusible switch on its own', 10_000, 'A', 'typical switch label', 'typical; more with current-limiting fuses upstream as marked'),
  'switch.general-duty.short-circuit': practice('Highest short-circuit rating of a general-duty switch', 100_000, 'A', 'typical switch label', 'typical; with Class R, T or J fuses'),
  'switch.general-duty.volts': practice('Highest voltage of a general-duty switch', 240, 'V', 'typical switch label', 'typical'),

  'transformer.primary-only.percent': remembered('Primary device without secondary protection, 9 A or more', 125, '%', '450.3(B)'),
  'transformer.primary-only-small.percent': remembered('Primary device without secondary protection, under 9 A', 167, '%', '450.3(B)'),
  'transformer.primary-only-tiny.percent': remembered('Primary device without secondary protection, under 2 A', 300, '%', '450.3(B)'),
  'transformer.primary-with-secondary.percent': remembered('Primary device with secondary protection', 250, '%', '450.3(B)'),
  'transformer.secondary.percent': remembered('Secondary device, 9 A or more', 125, '%', '450.3(B)'),
  'transformer.secondary-small.percent': remembered('Secondary device, under 9 A', 167, '%', '450.3(B)'),
  'transformer.split': remembered('Current under which the small-transformer figures hold', 9, 'A', '450.3(B)'),
  'transformer.tiny-split': remembered('Primary current under which 300 percent holds', 2, 'A', '450.3(B)'),

  'service.rating.minimum': read('Smallest service disconnect', 60, 'A', '230.79(D)'),
  'service.rating.dwelling': read('Smallest service disconnect of a one-family dwelling', 100, 'A', '230.79(C)'),
  'service.rating.two-circuits': read('Smallest service disconnect for two 2-wire branch circuits', 30, 'A', '230.79(B)'),
  'service.rating.one-circuit': read('Smallest service disconnect for one branch circuit', 15, 'A', '230.79(A)'),
  'service.handles': read('Most service disconnects', 6, '', '230.71(B)', { '2017': { section: '230.71(A)' } }),
  'service.one-enclosure': read('Six in one enclosure without a main are allowed', false, '', '230.71(B)', { '2017': { value: true, section: '230.71(A)' } }),
  'service.ground-fault.amperes': read('Disconnect rating from which ground-fault protection of equipment is needed', 1000, 'A', '230.95'),
  'service.ground-fault.volts-to-ground': read('Voltage to ground above which it is needed', 150, 'V', '230.95'),
  'service.ground-fault.volts': read('Highest phase voltage to which it applies', 1000, 'V', '230.95', { '2017': { confidence: 'memory', note: 'upper limit 600 V in older editions, from memory' } }),
  'service.ground-fault.setting': read('Highest ground-fault setting', 1200, 'A', '230.95(A)'),
  'service.emergency': read('One- and two-family dwellings have an outdoor emergency disconnect', true, '', '230.85',
    { '2017': { value: false }, '2026': { value: true, section: '230.70(A)(1)', confidence: 'memory', note: 'reported: 230.85 deleted, the service disconnect itself stands outdoors in sight of the dwelling' } }),
  'service.surge': read('Dwelling services have surge protection', true, '', '230.67', { '2017': { value: false } }),
  'service.arc-flash.amperes': read('Rating from which a detailed arc-flash label is needed', 1000, 'A', '110.16(B)',
    { '2017': { value: 1200 }, '2020': { value: 1200 }, '2026': { value: 0, section: '110.16', confidence: 'memory', note: 'reported: no ampere threshold; equipment likely to be worked on energized' } }),
  'service.inside-length': { title: 'Longest run inside the building to the service disconnect', value: 0, unit: 'ft', section: '230.70(A)(1)', source: READ, confidence: 'confirmed', note: 'no distance is given: nearest the point of entrance; local law may set one', editions: { '2026': { confidence: 'memory', note: 'no distance is given: nearest the point of entrance; local law may set one. The 2026 text was not read' } } },

  'data.nameplate-ratio': reading('Nameplate over table current beyond which the data contradict', 2, '', 'no motor of the tables draws twice or half its table current'),
  'data.power-share.percent': reading('Least part of its volt-amperes that a motor turns into power', 15, '%', 'the smallest motors of the tables turn a quarter of them into power'),
  'data.voltage-low.percent': reading('Rated voltage may be this part of the system voltage at least', 91, '%', 'rated voltages of the tables lie 4 to 9 percent under the system voltage'),
  'data.voltage-high.percent': reading('Rated voltage may be this part of the system voltage at most', 105, '%', 'a motor above its system voltage draws more than its table current'),
} satisfies Record<string, Rule>;
export type RuleKey = keyof typeof RULES;
