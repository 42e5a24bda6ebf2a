const degrees = (turn: number): string => `${Number(Math.abs(turn).toFixed(2))}°`;
const marks = (n: number): string => `${n} ${n === 1 ? 'mark' : 'marks'}`;

/** The words of how a plan lies and looks on its sheet. */
export const planWords = {
  lies: 'How it lies', looking: 'Looking how the plan lies.', stop: 'Stop',
  skewed: (skew: number) => `Its long lines run ${degrees(skew)} off level.`, straighten: (skew: number) => `Straighten by ${degrees(skew)}`, straight: 'Its long lines run level.',
  turnBy: 'Turn by', turnHint: 'Clockwise; minus turns the other way.', quarterLeft: 'Quarter left', quarterRight: 'Quarter right', levelLine: 'Level a line', pickLevel: 'Click both ends of a line that should run level.',
  shown: (turn: number) => `Shown turned by ${degrees(turn)} ${turn < 0 ? 'to the left' : 'to the right'}. Nothing has changed yet.`,
  along: (n: number) => `Its ${marks(n)} turn along`, alongHint: 'Otherwise they stay where they are and the plan slides away under them.',
  turn: 'Turn the plan', leave: 'Leave it',
  looks: 'How it looks', inverted: 'Exchange light and dark', contrast: 'Contrast', contrastHint: '0 % as it is, 100 % ground white and lines black.', fade: 'Fade the plan', blackGround: 'It stands on a black ground: marks and print are clearer on white.', invert: 'Exchange light and dark',
  part: 'The part shown', crop: 'Keep a part', pickCrop: 'Drag a box around the part to keep.', whole: 'Show the whole plan', cropShown: 'Shown as it would be. What lies outside is not shown or exported, and can be brought back.',
  outside: (n: number) => `${marks(n)} ${n === 1 ? 'lies' : 'lie'} outside: still checked, but not seen.`, keep: 'Keep this part',
  offered: 'Lengths the plan states itself', offeredHow: 'Longest first. Each is taken as a picked length; a wrong one can be dropped again.', takeLength: (length: string) => `Take as a picked length of ${length}`, lookingLengths: 'Looking for lengths on the plan.',
  stretch: (by: number) => (Math.abs(by) < 0.001 ? 'Across and up the sheet the lengths agree within 0.1 %.' : `The print is ${(100 * Math.abs(by)).toFixed(1)} % longer ${by > 0 ? 'across' : 'up'} the sheet than ${by > 0 ? 'up' : 'across'} it.`),
  heldAgainst: 'Held against the picked lengths, which decide.',
  contradicts: (off: number, typed: string) => `The picked lengths make everything ${(100 * Math.abs(off)).toFixed(1)} % ${off > 0 ? 'longer' : 'shorter'} than the stated scale ${typed}: one of them is wrong.`,
  edits: {
    cropped: (name: string) => `cropped ${name}`, whole: (name: string) => `showed the whole plan of ${name}`, inverted: (name: string) => `exchanged light and dark on ${name}`, contrast: (name: string) => `set the contrast of ${name}`, faded: (name: string) => `faded the plan of ${name}`,
    turned: (name: string) => `turned the plan of ${name}`, straightened: (name: string) => `straightened the plan of ${name}` },
} as const;
