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
  edits: { turned: (name: string) => `turned the plan of ${name}`, straightened: (name: string) => `straightened the plan of ${name}` },
} as const;
