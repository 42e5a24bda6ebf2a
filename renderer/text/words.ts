import type { Verdict } from '../../shared-core/code-data/index';
import type { StepId } from '../state/store';

const count = (n: number, one: string, many = `${one}s`): string => `${n} ${n === 1 ? one : many}`;
/** Names up to a few things, then says how many more there are. */
const some = (names: readonly string[], shown = 3): string =>
  names.length <= shown ? names.join(', ') : `${names.slice(0, shown).join(', ')} and ${names.length - shown} more`;

const verdict: Record<Verdict, string> = { pass: 'pass', marginal: 'marginal', fail: 'fail', judgement: 'judgement', incomplete: 'incomplete' };
const verdictMeaning: Record<Verdict, string> = {
  pass: 'every check holds', marginal: 'within the uncertainty of the limit: measure on site', fail: 'a check does not hold',
  judgement: 'the authority having jurisdiction decides', incomplete: 'data is missing: nothing is proved',
};
const stepNames: Record<StepId, string> = {
  'plan': 'Plan', 'scale': 'Scale', 'space': 'Space', 'loads': 'Loads', 'disconnects': 'Disconnects', 'findings': 'Findings', 'hand-over': 'Hand over',
};

/** Every word the panels show, in one place; sentences with values are functions, so a translation can turn them round. */
export const words = {
  program: 'Lockstead',
  title: (version: string, project: string) => `Lockstead ${version}: ${project}`,
  count, some, verdict, verdictMeaning, stepNames,
  cautions: {
    line: 'For qualified persons. Local code and the authority having jurisdiction govern. Verify absence of voltage before work.',
    more: 'Lockstead checks and computes; it does not replace a licensed design where the law asks for one. Sight lines rest on the marks and heights entered here: our own reading, the code gives no eye point. Verify ratings on the nameplate.',
  },
  field: {
    notGiven: 'not given', aboveZero: 'Must be greater than zero.', whole: 'Must be a whole number.', notNegative: 'Must not be negative.', required: 'Must not be empty.',
    tooLong: (max: number) => `At most ${max} characters.`, atLeast: (v: string) => `Must be at least ${v}.`, atMost: (v: string) => `Must be at most ${v}.`,
    computed: 'to be computed', open: 'open', yes: 'yes', no: 'no', none: 'none',
  },
  rail: { label: 'Steps of the work', checking: 'checking', notSaved: 'not saved', saved: 'saved', revision: (r: string) => `rev ${r}`, project: 'Project' },
  steps: {
    uncertainty: (relative: number) => `±${Number((relative * 100).toPrecision(2))} %`,
    picked: (n: number) => count(n, 'length picked', 'lengths picked'),
    sheetOf: (name: string, at: number, of: number) => (of === 1 ? name : `${name}, ${at} of ${of}`),
    noPlan: 'no plan yet', noSheet: 'no sheet', noScale: 'not set', noWalls: 'nothing marked',
    walls: (w: number, o: number) => `${count(w, 'wall')}${o > 0 ? `, ${count(o, 'opening')}` : ''}`,
    loads: (n: number) => (n === 0 ? 'none' : `${n} placed`), loadsWaiting: (n: number, waiting: number) => `${n}, ${waiting} not placed`,
    disconnects: (n: number) => (n === 0 ? 'none' : `${n} placed`), disconnectsUnserved: (n: number, open: number) => `${n}, ${count(open, 'load')} open`,
    toMend: (n: number) => `${n} to mend`, toDecide: (n: number) => `${n} to decide`, toSupply: (n: number) => `${n} lack data`, toMeasure: (n: number) => `${n} to measure`,
    nothingOpen: (passed: number) => `${passed} pass, none open`, notChecked: 'not checked yet',
    handOver: (revision: string, open: number | null) => `rev ${revision}${open !== null && open > 0 ? `, ${open} open` : ''}`,
    lacksPlan: 'No plan yet: add a scan, a PDF page or a drawing.',
    lacksScale: (names: readonly string[]) => `No scale on ${some(names)}: distances cannot be checked.`,
    lacksWalls: 'No walls yet: sight lines cross open floor only.',
    lacksLoads: 'No loads yet: type one below, or place it on the sheet.',
    lacksPlace: (n: number) => `${count(n, 'load waits', 'loads wait')} to be placed.`,
    lacksVoltage: (tags: readonly string[]) => `No voltage: ${some(tags)}.`,
    lacksDisconnect: (tags: readonly string[]) => `No disconnect serves ${some(tags)}.`,
  },
  tools: {
    bar: 'Tool bar', label: 'Tools of this step', undo: (name: string) => `Undo ${name}`, redo: (name: string) => `Redo ${name}`, nothingToUndo: 'Nothing to undo', nothingToRedo: 'Nothing to redo',
    undoShort: 'Undo', redoShort: 'Redo',
    names: {
      select: 'choose', scale: 'pick a length', wall: 'wall', opening: 'opening', obstruction: 'obstruction', area: 'area', load: 'load', machine: 'driven machine',
      controller: 'controller', disconnect: 'disconnect', supply: 'supply', route: 'route', link: 'link to load', measure: 'measure', review: 'offered walls',
    },
  },
  devices: {
    title: 'Devices', empty: 'No disconnects yet. Take the disconnect tool (D) and click beside a load: a wall near by holds it.', serves: 'serves', servesNothing: 'serves nothing yet',
    order: 'Order', orders: { sheet: 'by tag', worst: 'worst first' }, noRating: 'rating open', notFused: 'not fused', type: (t: string) => `type ${t}`, total: (n: number) => `${n}`,
    notPlaced: 'not placed', noScale: 'no scale',
  },
  sight: {
    bar: (distance: string, limit: string, state: string) => `${distance} of ${limit}, ${state}`,
    clear: 'clear', blocked: 'blocked', doubtful: 'doubtful', unknown: 'not checked',
    eyeLine: 'eye line', bodyLine: 'body line', blockedBy: (name: string) => `blocked by ${name}`, through: (name: string) => `through ${name}`,
    target: { motor: 'motor', machine: 'driven machine', controller: 'controller', unit: 'unit' }, show: 'from the side', of: 'of', bothLines: 'both lines', bothClear: 'both lines clear',
  },
  chosen: {
    label: 'The chosen mark', nothing: 'Choose a device, a finding or a mark on the sheet: its data, results and reasons show here.', several: (n: number) => `${count(n, 'mark')} chosen`,
    whatToDo: 'What to do', inSight: 'Sight', results: 'Sized', data: 'Data', why: 'Why', place: 'Place', conductor: 'Conductors', optionsProposed: (n: number) => (n > 0 ? `Options, ${n} proposed` : 'Options'), checkOnSite: 'Checked on site',
    showPlace: 'Show on sheet', recordExceptionFor: (tag: string) => `Record exception for ${tag}`, delete: 'Delete', tag: 'Tag', name: 'Name', servedLoads: 'Serves', addLoad: 'Link a load', dropLoad: (tag: string) => `Stop serving ${tag}`,
    noResults: 'Nothing computed yet.', more: 'More findings', exceptions: 'Exceptions on record', dropException: 'Remove this exception', servedBy: 'Served by', notServed: 'No disconnect serves this load.',
    missing: (names: readonly string[]) => `Missing: ${names.join(', ')}`, placeIt: 'Place on the sheet', notPlaced: 'This load waits to be placed.', right: 'Right of the corner', up: 'Up from the corner', noScaleNoPlace: 'Set the scale of the sheet to type a place.', facing: 'Front faces', facingHint: '0° right, 90° down the sheet',
    handleHeight: 'Handle height', standing: 'Standing surface', shaftHeight: 'Height', bodyTop: 'Top of the body', kind: 'Kind', system: 'System', fedFrom: 'Fed from', routeLength: 'Route length', fromPlan: 'from the plan', note: 'Note',
    loadFacts: (n: number) => (n === 0 ? 'Facts about the load' : `Facts about the load, ${n} recorded`), addFact: 'Add another fact', noSuchFact: 'No check reads such a fact', letsShare: 'What lets these loads share a disconnect',
    width: 'Enclosure width', height: 'Enclosure height', depth: 'Enclosure depth', placeAndSize: 'Place and enclosure size', sizeWhole: 'Width, height and depth count together only: nothing is set yet.',
    recordKeysFor: (tag: string) => `Record who holds the key, from ${tag}`,
    typedAs: (text: string) => `typed: ${text}`, noSuchLoad: 'No load by that name',
    room: (margin: string) => `${margin} to spare`, lacking: (margin: string) => `${margin} short`,
  },
  intake: {
    title: 'Add a plan', drop: 'Drop a plan file here, or', choose: 'Choose a file', kinds: 'PNG, JPEG, TIFF, a PDF page or a DXF drawing. The file itself goes into the project; nothing in it is ever run.', reading: 'Large scans take a few seconds.',
    scaleFromFile: (typed: string) => `The file states its scale: ${typed}.`, scaleFromFileTodo: 'Check it by picking a length you know.',
    password: 'Password', passwordNeeded: (name: string) => `${name} is locked with a password.`, passwordWrong: (name: string) => `That password does not open ${name}.`, openIt: 'Open', pages: 'Pages', page: (n: number) => `Page ${n}`, pageName: (file: string, n: number) => `${file}, page ${n}`,
    whichPages: (name: string, n: number) => `${name} has ${count(n, 'page')}. Each chosen page becomes a sheet.`, size: (width: number, height: number) => `${Number(width.toFixed(1))} x ${Number(height.toFixed(1))} in`, morePages: (n: number) => `show ${n} more`, otherFile: 'Another file', add: (n: number) => `Add ${count(n, 'sheet')}`,
  },
  facts: {
    title: 'Project facts', name: 'Project', site: 'Site', revision: 'Revision', edition: 'Edition', jurisdiction: 'Jurisdiction', us: 'United States', canada: 'Canada, placement rules', units: 'Lengths', feet: 'feet and inches', metres: 'metres',
    systems: 'Supply systems', systemName: 'Name', voltage: 'Line-to-line voltage', phases: 'Phases', wires: 'Wires', toGround: 'Volts to ground', toGroundHint: 'Ungrounded or corner-grounded: the full voltage.', faultCurrent: 'Available fault current', faultHint: 'Stated by the utility, or from the transformer below.',
    kva: 'Transformer', impedance: 'Impedance', xOverR: 'X/R', newSystem: '208Y/120 V, 3-phase, 4-wire', addSystem: 'Add a system', removeSystem: 'Remove this system', systemUsed: 'Loads or supplies hang on it.',
    defaults: 'What a new mark takes', eyeHeight: 'Standing eye', eyeHint: 'Our own reading: the code gives no eye point.', wallHeight: 'Wall height', wallThickness: 'Wall thickness', ambient: 'Ambient temperature',
    overrides: 'Local amendments', overridesNote: 'Each replaces one value of a rule. Results that rest on one say so.', overrideKey: 'Value replaced', overrideValue: 'By', overrideAuthority: 'Authority', overrideReason: 'Reason', addOverride: 'Add an amendment', removeOverride: 'Remove this amendment',
    factOf: (fact: string, tags: readonly string[]) => `${fact}: ${tags.join(', ')}`,
    newAmendment: 'New amendment', recordAmendment: 'Record', findValue: 'name or section, e.g. handle', noSuchValue: 'No value of a rule by that name', authorityExample: 'e.g. county building office', reasonExample: 'e.g. amendment 12, section 3',
    printed: (value: string, section: string) => `The rule says ${value} (${section}).`, noFigure: (section: string) => `The rule gives no figure (${section}).`, amendmentEdit: (name: string) => `local amendment: ${name}`,
    amendmentLacks: (what: readonly string[]) => `Still needed: ${what.join(', ').toLowerCase()}.`, amendmentFault: (fault: string) => `To mend: ${fault}.`, amendedTwice: 'another amendment replaces the same value, and that one counts',
  },
  help: {
    title: 'Keys', tools: 'Tools',
    groups: [
      { title: 'Everywhere', rows: [['Alt+1 … 7', 'the steps of the work'], ['F6, Shift+F6', 'next part of the window, part before'], ['/', 'find anything on the sheets'], ['Esc', 'drop what is under way; back to choosing'], ['Ctrl+Z, Ctrl+Y', 'undo, redo'], ['Ctrl+S', 'save'], ['Ctrl+Shift+S', 'save as'], ['Ctrl+O', 'open a project'], ['Ctrl+E', 'marked-up plan as PDF'], ['?', 'this sheet']] },
      { title: 'Lists', rows: [['Up, Down', 'choose'], ['Home, End', 'first, last'], ['Enter', 'go to it on the sheet'], ['Delete', 'delete it'], ['F2', 'rename a sheet tab'], ['Alt+Left, Alt+Right', 'move a sheet tab']] },
      { title: 'Fields', rows: [['Enter', 'take the value over'], ['Esc', 'back to the value before']] },
      { title: 'On the sheet', rows: [['Arrows', 'move the chosen marks'], ['digits', 'exact length or place while drawing'], ['Enter', 'set a point or finish'], ['Delete', 'delete the chosen marks'], ['+ and -', 'nearer, farther'], ['V, then Tab, Enter', 'review offered walls, choose'], ['A, X', 'accept, reject the chosen']] },
    ] as readonly { readonly title: string; readonly rows: readonly (readonly [string, string])[] }[],
  },
  firstNotes: {
    label: 'First notes', failing: (device: string, title: string) => `${device} fails: ${title}.`, showPair: 'Show this pair', region: 'Choose a disconnect: the hatched region shows where its handle could stand.', showRegion: (tag: string) => `Choose ${tag}`,
    exports: 'Hand over writes the marked-up plan as PDF and the schedule as a table, with what is on the screen.', showExport: 'Show the exports', away: 'Do not show these again',
  },
  side: { label: 'Lists and the chosen mark' },
  suggest: {
    place: 'Suggest a place', one: 'Suggest one', forOpen: (n: number) => `Suggest for ${count(n, 'load')} without`, forChosen: (n: number) => `Suggest disconnects for ${count(n, 'load')}`, start: (n: number) => `Suggest for ${count(n, 'load')}`,
    placesFor: (tag: string) => `Places for ${tag}`, devices: 'Suggested disconnects', close: 'Close', again: 'Suggest again', otherLoads: 'Choose other loads',
    chooseLoads: 'Loads to suggest disconnects for', chooseHow: 'Loads without a disconnect. Those that may share one and can be seen from one place get one together.', allOfThem: 'All', noneOfThem: 'None',
    searching: 'Searching', progress: (note: string, done: number, of: number) => (of > 1 ? `Looking at ${note}: ${done} of ${of}` : `Looking at ${note}`),
    stopped: 'Stopped. Nothing was changed.', outdated: 'The project has changed since: what was suggested may not hold any more, so it is no longer shown.', failed: (reason: string) => `The search could not be finished (${reason}). Nothing was changed.`, gone: 'The disconnect this was for is no longer there.',
    where: (onWall: boolean) => (onWall ? 'On a wall' : 'On a stand or post'), noPlace: 'No place was found.', rank: (n: number, score: string) => `Place ${n}, score ${score} of 100`, scoreHint: 'Score, 0 to 100: the weighed mean of the five measures below',
    newFor: (tags: readonly string[]) => `New disconnect for ${tags.join(', ')}`, openThere: (titles: readonly string[]) => `Still to settle there: ${titles.join('; ')}`,
    terms: { 'distance': 'distance', 'sight-margin': 'margin', 'route': 'route', 'clear-space': 'room', 'height': 'handle' },
    termLong: { 'distance': 'Near its loads', 'sight-margin': 'Well inside the view', 'route': 'Short route', 'clear-space': 'Room to spare in front', 'height': 'Handy handle height' },
    orMore: (length: string) => `≥ ${length}`, weights: 'What counts how much', weightsChanged: 'What counts how much (changed)', usualWeights: 'Usual weights', weightText: (n: number) => (n === 0 ? 'does not count' : `weight ${n}`),
    proved: (n: number, loads: number) => `Proved fewest: ${n} for ${count(loads, 'load')}.`, bounded: (least: number, most: number, loads: number) => `At least ${least}, at most ${most} for ${count(loads, 'load')}.`,
    noneShare: 'Each load needs its own: none are recorded as parts of one machine, under one overcurrent device or in one room, so no rule lets them share.',
    provedMeans: (height: string) => `Compared: all ground from which loads that may share one are surely seen together, handle at ${height}.`,
    boundedMeans: (height: string, exact: number) => `Fewer may be possible: some ground sees more loads together (handle at ${height}), but no place tried there passes every check; or more than ${exact} loads may share.`,
    without: 'Loads without a place', noPlaceFor: 'gets none:', ghost: (n: number) => `suggested ${n}`,
    accept: (tag: string, n: number) => `Move ${tag} to place ${n}`, acceptAll: (n: number) => `Add ${count(n, 'disconnect')}`,
    said: (phase: 'choosing' | 'working' | 'found' | 'stopped' | 'outdated' | 'failed', n: number) => (phase === 'found' ? `${n} suggested` : phase === 'working' ? 'Searching' : phase === 'stopped' ? 'Stopped' : phase === 'outdated' ? 'Out of date' : phase === 'failed' ? 'Not finished' : ''),
  },
  list: {
    title: 'Everything on the sheets', search: 'Find anything on the sheets', searchLabel: 'Find anything on the sheets, by tag, kind or data', back: 'Back', to: 'to', marks: (n: number) => count(n, 'mark'),
    empty: 'Nothing is marked yet.', notFound: (text: string) => `Nothing matches '${text}'.`,
  },
  sheets: {
    label: 'Sheets', rename: 'New name of the sheet', hint: 'F2 renames, Alt with an arrow moves', add: 'Add a sheet…', none: 'No sheet yet. Add a scan (PNG, JPEG, TIFF), a PDF page or a drawing; dropping a file on the window does the same.',
    name: 'Sheet name', level: 'Level', floor: 'Floor height', fade: 'Fade the plan', openGround: 'Open ground: nothing here stands in the way', from: (name: string, page: number) => `From ${name}, page ${page}.`, earlier: 'Move earlier', later: 'Move later', remove: (name: string) => `Remove ${name}`,
  },
  scale: {
    byPicks: 'By a length you know', byStated: "By the drawing's own scale", pick: 'Pick two points', pickAnother: 'Pick another length', picking: 'Click both ends on the sheet.', pickHow: 'The longer the length, the truer the scale. A second one shows how far the print is stretched.',
    length: 'Length between the two points', lengthHint: 'As written on the drawing.', pickedLength: 'Length', measures: 'Measures now', off: 'Off', drop: 'Drop', dropPick: (typed: string) => `Drop the length ${typed}`, notSet: 'The scale stays as it was.',
    stated: 'Drawing scale', printWidth: 'Printed width', printUnknown: 'The file does not say how large the sheet is printed: type its width.',
    printSize: (width: number, height: number, system: 'US' | 'metric') => (system === 'metric' ? `A sheet of ${Math.round(width * 25.4)} x ${Math.round(height * 25.4)} mm.` : `A sheet of ${Number(width.toFixed(2))} x ${Number(height.toFixed(2))} in.`),
    now: (scale: { relativeUncertainty: number; from: { kind: 'picks'; picks: readonly unknown[] } | { kind: 'stated'; typed: string } }) =>
      `${scale.from.kind === 'stated' ? scale.from.typed : count(scale.from.picks.length, 'length picked', 'lengths picked')}, ±${Number((scale.relativeUncertainty * 100).toPrecision(2))} %`,
    means: (at: string, system: 'US' | 'metric') => `That is ±${at} at ${system === 'US' ? '50 ft' : '15.24 m'}: what lies closer to its limit than that is marginal.`,
  },
  offer: {
    open: 'Offer walls from the plan…', title: 'Walls the plan shows', close: 'Close the offer', back: 'Back to the marks',
    intro: 'Looked for in the plan itself. Nothing becomes a wall until you accept it.', noPlan: 'This sheet has no plan to look at.', noScale: 'No scale yet: sizes are in sheet units, and accepted walls take the default thickness. Set the scale first for measured ones.',
    thinnest: 'Thinnest wall', thickest: 'Thickest wall', shortest: 'Shortest piece', within: 'Lines count as one within', withinHint: 'larger for a poor scan', order: 'The thinnest wall must be thinner than the thickest.',
    look: 'Look for walls', lookAgain: 'Look again', looking: (name: string) => `Looking for walls on ${name}`,
    count: (open: number, chosen: number) => (chosen === 0 ? `${open} offered` : `${open} offered, ${chosen} chosen`), none: 'No walls of these sizes were found. Widen the range of thickness, or take shorter pieces.', noneLeft: 'Nothing of the offer is left to decide.',
    acceptChosen: (n: number) => `Accept ${n} chosen`, acceptAll: (n: number) => `Accept all ${n}`, chooseNone: 'Choose none', reject: (n: number) => `Reject ${n} chosen`, restore: (n: number) => `Bring back ${n} rejected`,
    review: 'Choose on the sheet', how: 'On the sheet: click, or drag a box. In the list: Space chooses, Enter shows, Delete rejects.',
    layers: 'Layers', layer: (name: string, n: number) => `${name} (${n})`, list: 'Offered walls',
    line: (length: string, thickness: string) => `${length} long, ${thickness} thick`, doors: (n: number) => count(n, 'door'), isChosen: 'chosen', isOffered: 'offered', made: (n: number) => `${count(n, 'wall')} made of the offer. Undo takes ${n === 1 ? 'it' : 'them'} back into it.`,
    doorsNote: 'Doors are put in closed: they block the view until you say otherwise.',
  },
  loads: {
    tray: 'Waiting to be placed', place: (tag: string) => `Place ${tag} on the sheet`, placeShort: 'Place', placing: 'Click its place', empty: 'No placed loads yet.', unserved: 'no disconnect', noVoltage: 'no voltage',
    quick: 'Add a load', quickPlaceholder: 'P-301 pump 25 hp 460 V 3 ph code G', quickHint: 'Enter adds it to the tray.', notUnderstood: (text: string) => `Not understood: ${text}.`, addWithout: (text: string) => `Enter again adds it without '${text}'; or mend the line.`, tagTaken: (tag: string) => `${tag} is there already.`, reads: (tag: string, line: string) => `Reads as ${tag}: ${line}. Enter adds it to the tray.`, add: 'Add', needsSheet: 'Add a plan first: a load belongs to a sheet.',
  },
  parts: {
    title: (n: number) => (n === 0 ? 'Parts' : `Parts, ${n}`), listOf: (tag: string) => `Parts of ${tag}`, part: (n: number) => `Part ${n}`, add: 'Add a part', placeholder: 'spindle 7 1/2 hp code G', remove: (n: number) => `Remove part ${n}`,
    note: 'A line each, as on a nameplate. Volts and phases that a part does not give are the machine\'s. With parts, its own power and current do not count.', takeWithout: (text: string) => `Enter again takes it without '${text}'; or mend the line.`,
    fault: (reason: string, tag: string, n: number) => { const own = `${tag} part ${n}`; const said = reason.startsWith(own) ? reason.slice(own.length).replace(/^[:,]?\s+/, '') : reason; return `${said.charAt(0).toUpperCase()}${said.slice(1)}.`; },
    added: (n: number, tag: string) => `added part ${n} of ${tag}`, changed: (n: number, tag: string) => `changed part ${n} of ${tag}`, removed: (n: number, tag: string) => `removed part ${n} of ${tag}`,
  },
  handOver: {
    open: (n: number) => `${count(n, 'finding')} to mend or complete. What leaves now says so on its face.`, pdf: 'The original sheets with every mark, sight line, legend, schedule and the cautions.', table: 'One row a device: rating, fuse, enclosure, conductors, sight, verdict.',
    oneSheet: (name: string) => `Only ${name} as PDF`,
    section: {
      calculations: { name: 'Calculations as PDF', holds: 'Every result with formula, inputs, table row, edition and citation.' },
      labels: { name: 'Labels as PDF', holds: 'One for each disconnect: what it isolates, and its ratings.' },
      isolation: { name: 'Energy-isolation sheets as PDF', holds: 'For each load, which disconnects to open and lock, to be completed and approved on site.' },
    },
  },
  elevation: {
    title: 'Sight line from the side', from: (device: string, load: string) => `${device} to ${load}, from the side`, drawing: (device: string, load: string) => `Heights between ${device} and ${load}, to scale`,
    show: 'show', hide: 'hide', none: 'No sight line yet: set the scale and place the load.', eye: (height: string) => `eye ${height}`, handleOf: (name: string) => `Handle of ${name}`, heightOf: (name: string) => `Height of ${name}`, topOf: (name: string) => `Top of ${name}`,
  },
  kinds: {
    wall: 'wall', obstruction: 'obstruction', area: 'area', load: 'load', machine: 'driven machine', controller: 'controller', disconnect: 'disconnect', supply: 'supply', exception: 'exception', route: 'route',
  },
  kindsTitle: { machine: 'Driven machine', controller: 'Controller' },
  mark: {
    bottom: 'Bottom', top: 'Top', material: 'Material', thickness: 'Thickness', face: 'Face', label: 'Label', walkable: 'People stand on its top', stairs: 'Fixed stairs or a ramp lead up', environment: 'What the area is like',
    leaf: 'Kind', width: 'Width', sill: 'Sill', head: 'Head', locked: 'Kept locked', closeOpening: 'Close this opening', lockable: 'Lockable open', role: 'Role', drops: 'Vertical drops',
  },
  edits: {
    movedToSuggested: (tag: string) => `moved ${tag} to a suggested place`, addedSuggested: (tags: readonly string[]) => `added ${some(tags)} as suggested`,
    set: (what: string, name: string) => `set ${what} of ${name}`, height: (label: string) => `set ${label.charAt(0).toLowerCase()}${label.slice(1)}`, setAll: (what: string, n: number) => `set ${what} of ${count(n, 'mark')}`, deleted: (name: string) => `deleted ${name}`, deletedSeveral: (n: number) => `deleted ${count(n, 'mark')}`,
    linked: (device: string, load: string) => `linked ${load} to ${device}`, unlinked: (device: string, load: string) => `unlinked ${load} from ${device}`,
    renamedSheet: (name: string) => `renamed sheet ${name}`, movedSheet: (name: string) => `moved sheet ${name}`, addedSheet: (name: string) => `added sheet ${name}`, addedSheets: (n: number) => `added ${count(n, 'sheet')}`, removedSheet: (name: string) => `removed sheet ${name}`,
    sheet: (what: string, name: string) => `set ${what} of sheet ${name}`, scale: (name: string) => `set scale of ${name}`, fact: (what: string) => `set ${what}`, addedLoad: (tag: string) => `added ${tag}`, exception: (load: string, device: string) => `recorded exception for ${load} at ${device}`, keys: (load: string, device: string) => `recorded who holds the key from ${load} to ${device}`,
  },
  why: {
    open: (what: string, value: string) => `${what}: ${value}. Why?`, title: 'Why', pin: 'Pin', unpin: 'Unpin', copy: 'Copy', print: 'Print', close: 'Close', copied: 'Copied the derivation.', notCopied: 'The derivation could not be copied.', notCopiedTodo: 'Select its text and copy it with Ctrl+C.',
    inputs: 'with', citation: 'rule', rounding: 'rounded', noSteps: 'This finding rests on no computation.', steps: 'Derivation',
    from: { typed: 'typed', nameplate: 'nameplate', table: 'table', plan: 'plan', default: 'default', computed: 'computed', override: 'local override' },
    confidence: { confirmed: '', memory: 'from memory: verify', disputed: 'sources disagree: verify', typical: 'typical: verify on the nameplate', 'own-reading': 'our own reading' },
    doubt: { confirmed: '', memory: 'memory', disputed: 'disputed', typical: 'typical', 'own-reading': 'own reading' },
    pinnedLabel: 'Pinned derivations', gone: 'This result is no longer part of the checks.', edition: (e: string) => `edition ${e}`,
  },
  findings: { title: 'Findings', empty: 'Nothing to check yet: place a load and a disconnect.', waiting: 'The checks are running.', open: 'open', showPassed: (n: number) => `show ${n} that pass`, hidePassed: 'hide what passes', nothingOpen: 'Nothing is open: every check passes.' },
  exception: {
    title: 'Record an exception', intro: (load: string, device: string) => `${load} is out of sight of ${device}. Such a place is accepted only on a condition of the rule, with its reason on record. The program never makes an exception itself.`,
    condition: 'Condition of the rule', reason: 'Reason', document: 'Written procedure or document', person: 'Person responsible', date: 'Date', datePlaceholder: 'YYYY-MM-DD', record: 'Record', cancel: 'Cancel',
    needs: 'Every line is needed: an exception without its evidence counts as none.', chooseCondition: 'choose one', noneExists: (tag: string) => `No exception exists for ${tag}: place a disconnect in sight of it.`, badDate: 'Write the date as YYYY-MM-DD.', edit: (device: string, load: string) => `recorded exception for ${load} at ${device}`,
  },
  keys: {
    title: 'Record who holds the key', intro: (load: string, device: string) => `${device} is reached from ${load} only through a locked door. That is no hindrance when the people who work at ${load} hold the key; without a record of it the check fails.`,
    reason: 'Which key, and who holds it', document: 'Key list or procedure', person: 'Person who states it', date: 'Date', needs: 'Every line is needed: a record without its evidence counts as none.',
  },
  problem: { dismiss: 'Dismiss', notices: 'Notices' },
  foot: { label: 'Cautions', more: 'All cautions', edition: (edition: string, jurisdiction: 'US' | 'CA') => (jurisdiction === 'CA' ? 'Canada profile' : `NFPA 70, ${edition}`) },
  busy: {
    starting: 'Starting', opening: (name: string) => `Opening ${name}`, saving: (name: string) => `Saving ${name}`, exporting: (kind: string) => `Writing the ${kind} file`, reading: (name: string) => `Reading ${name}`, cancel: 'Cancel',
  },
  project: {
    open: 'Open…', fresh: 'New project', save: 'Save', saveAs: 'Save as…', discard: 'Drop the work brought back', facts: 'Project facts…', addPlan: 'Add a plan…',
    exportPdf: 'Marked-up plan as PDF', exportXlsx: 'Schedule as XLSX', exportCsv: 'Schedule as CSV', help: 'Keys', notes: 'Show the first notes again',
    recovered: (name: string, at: string) => `Unsaved work on ${name} of ${at.slice(0, 16).replace('T', ' ')} was brought back.`,
    recoveredTodo: 'Look it over and save it, or drop it in the project menu.',
    saved: (name: string) => `Saved ${name}.`, downloaded: (name: string) => `${name} was handed to the browser's downloads.`, written: (name: string) => `Wrote ${name}.`,
    leaveTitle: 'Unsaved work', leaveText: (name: string) => `${name} has changes that are not saved.`, leaveSave: 'Save first', leaveDrop: 'Go on without saving', leaveStay: 'Stay',
  },
} as const;
