/** They stand on every output, in this order; the first three also on every drawn sheet. */
export const CAUTIONS: readonly string[] = [
  'For qualified persons only: who chooses, installs or works on this equipment must be trained and authorised for it.',
  'The adopted code with its local amendments and the authority having jurisdiction decide; a pass here is no approval.',
  'Before any work: isolate, lock and tag, then verify the absence of voltage on every conductor that may be touched.',
  'Where the law asks for a licensed design, a licensed engineer must make or seal it; this output does not replace that.',
  'Distances are taken from the plan within the stated uncertainty of its scale; measure on site whatever is marginal.',
  'The code gives no eye point, height or measuring point for "within sight"; those used here are our own reading and are stated.',
];
