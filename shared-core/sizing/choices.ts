/** Facts of a load that the sizing reads, each in words; the placement rules have their own (placementConditions). */
export const sizingConditions: Readonly<Record<string, string>> = {
  'two-sources': 'fed from two sources', 'one-family-dwelling': 'one-family dwelling', 'two-family-dwelling': 'two-family dwelling', 'no-dwelling': 'no dwelling is served', 'one-branch-circuit': 'one branch circuit only',
  'two-branch-circuits': 'two 2-wire branch circuits only', 'one-enclosure-without-main': 'several service disconnects in one enclosure without a main',
  'nameplate-current': 'low-speed, high-torque or multispeed motor: its nameplate current counts', 'rectifier-half-wave': 'dc motor behind a half-wave single-phase rectifier', 'rectifier-full-wave': 'dc motor behind a full-wave single-phase rectifier',
};

/** Options of a disconnect that the sizing and the checks read or propose, each in words. */
export const deviceOptions: Readonly<Record<string, string>> = {
  'early-break-contact': 'early-break auxiliary contact', 'viewing-window': 'viewing window', 'barriered-line-side': 'barriered line side', 'voltage-indication': 'voltage indication or test points',
  'receptacle-interlock': 'receptacle interlock', 'double-throw': 'double throw', 'surge-protection': 'surge protection', 'larger-lugs': 'larger lugs', 'multiple-lugs': 'multiple lugs', 'fuse-rejection-kit': 'fuse rejection kit',
  'solid-neutral': 'solid neutral', 'ground-bar': 'ground bar', 'emergency-shutoff': 'emergency shutoff of vehicle charging',
};
