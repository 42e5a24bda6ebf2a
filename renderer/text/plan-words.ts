const degrees = (turn: number): string => `${Number(Math.abs(turn).toFixed(2))}°`;
const percent = (share: number): string => `${Number((100 * share).toPrecision(2))} %`;
const marks = (n: number): string => `${n} ${n === 1 ? 'mark' : 'marks'}`;

/** The words of how a plan lies and looks on its sheet. */
export const planWords = {
  lies: 'How it lies', looking: 'Looking how the plan lies.', stop: 'Stop', openAgain: 'Open again',
  skewed: (skew: number) => `Its long lines run ${degrees(skew)} off level.`, straighten: (skew: number) => `Straighten by ${degrees(skew)}`, straight: 'Its long lines run level.',
  turnBy: 'Turn by', turnHint: 'Clockwise; minus turns the other way.', quarterLeft: 'Quarter left', quarterRight: 'Quarter right', levelLine: 'Level a line', pickLevel: 'Click both ends of a line that should run level.',
  shown: (turn: number) => `Shown turned by ${degrees(turn)} ${turn < 0 ? 'to the left' : 'to the right'}. Nothing has changed yet.`,
  along: (n: number) => `Its ${marks(n)} turn along`, alongHint: 'Otherwise they stay where they are and the plan slides away under them.',
  turn: 'Turn the plan', leave: 'Leave it',
  looks: 'How it looks', inverted: 'Exchange light and dark', contrast: 'Contrast', contrastHint: '0 % as it is, 100 % ground white and lines black.', fade: 'Fade the plan', blackGround: 'It stands on a black ground: marks and print are clearer on white.', invert: 'Exchange light and dark',
  part: 'The part shown', crop: 'Keep a part', pickCrop: 'Drag a box around the part to keep.', whole: 'Show the whole plan', cropShown: 'Shown as it would be. What lies outside is not shown or exported, and can be brought back.',
  outside: (n: number) => `${marks(n)} ${n === 1 ? 'lies' : 'lie'} outside: still checked, but not seen.`, keep: 'Keep this part',
  flat: {
    title: 'Photographed at a slant', how: 'Four corners of something rectangular make a photographed plan flat: the frame of the sheet, or a large room.', ofPage: 'For a page that holds a photograph or a crooked scan. It becomes a picture: its lines are lines no more.',
    pick: 'Pick four corners', picking: 'Click the four corners, in any order. The farther apart, the truer.', sides: 'Its sides', sideChoices: { building: 'known in the building', paper: 'known on the paper' }, unknown: 'not known',
    across: 'Across', down: 'Down', acrossHint: 'The upper side, between the first two corners.',
    guessed: 'Its shape is read off the slant and may be 5 % off: pick lengths in two directions afterwards, which shows by how much.', giveSides: 'Type both sides.',
    good: (share: number) => `Distances on it are good to about ±${percent(share)}: a lens bends, and corners are picked by hand.`, far: 'Zoom in and drag the corners to their places, or pick corners farther apart, to make it truer.',
    along: (n: number) => `Its ${marks(n)} ${n === 1 ? 'goes' : 'go'} along with the picture, and everything is checked again.`, losesScale: 'The drawing scale holds no longer: pick a length, or state the sides.',
    offShape: (off: number) => `The picked lengths say that it is ${percent(Math.abs(off))} too long ${off > 0 ? 'across' : 'up'} the sheet: the slant alone gave it the wrong shape.`, mendShape: 'Mend its shape', mendInPlan: 'The slant alone gave the photograph its shape: the Plan step offers to mend it.',
    make: 'Make it flat', making: (name: string) => `Making ${name} flat`, now: (share: number) => `Made flat by four corners, good to about ±${percent(share)} of a distance. The photograph is kept.`, again: 'Other corners', back: 'Show the photograph',
    faults: { 'in-line': 'Three of the corners lie in one line.', 'dented': 'One corner points inwards: four corners of a rectangle never look so.', 'crossed': 'The sides cross each other.', 'too-small': 'Two corners lie too close together.', 'outside': 'A corner lies outside the photograph.' },
    unseen: (mark: string) => `${mark} stands where the flat picture shows nothing.`, unseenTodo: 'Pick other corners, or move it first. Nothing was changed.',
  },
  offered: 'Lengths the plan states itself', offeredHow: 'Longest first. Each is taken as a picked length; a wrong one can be dropped again.', takeLength: (length: string) => `Take as a picked length of ${length}`, lookingLengths: 'Looking for lengths on the plan.', notLooked: 'The plan was not looked at for lengths and scales of its own.', lookAgain: 'Look now',
  scales: 'Scales the plan states itself', ownScale: 'scale of the file', wholeSheet: 'for the whole sheet', inPart: (part: string) => `holds in the ${part} part only`, showPart: 'Show where', scaleInPart: 'The scale holds in a part of the sheet only. What stands elsewhere has no known distance: bring that part in as a sheet of its own.', scaleEverywhere: 'It holds on the whole sheet', noUnit: 'does not say its unit and cannot be taken', fullSize: 'Drawn full size in its own unit.',
  stretch: (by: number) => (Math.abs(by) < 0.001 ? 'Across and up the sheet the lengths agree within 0.1 %.' : `The print is ${(100 * Math.abs(by)).toFixed(1)} % longer ${by > 0 ? 'across' : 'up'} the sheet than ${by > 0 ? 'up' : 'across'} it.`),
  heldAgainst: 'Held against the picked lengths, which decide.',
  contradicts: (off: number, typed: string) => `The picked lengths make everything ${(100 * Math.abs(off)).toFixed(1)} % ${off > 0 ? 'longer' : 'shorter'} than the stated scale ${typed}: one of them is wrong.`,
  edits: {
    cropped: (name: string) => `cropped ${name}`, whole: (name: string) => `showed the whole plan of ${name}`, inverted: (name: string) => `exchanged light and dark on ${name}`, contrast: (name: string) => `set the contrast of ${name}`, faded: (name: string) => `faded the plan of ${name}`,
    flat: (name: string) => `made the plan of ${name} flat`, photograph: (name: string) => `showed the photograph of ${name}`,
    turned: (name: string) => `turned the plan of ${name}`, straightened: (name: string) => `straightened the plan of ${name}` },
} as const;
