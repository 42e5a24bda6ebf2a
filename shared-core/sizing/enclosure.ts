import { Gap, citeTable, table } from '../code-data/index';
import type { Trace } from '../code-data/index';

export type Place = 'indoor' | 'outdoor';

/** Words people use for a place, and the conditions of the enclosure table that they mean. */
interface Meaning { readonly word: RegExp; readonly indoor: readonly string[]; readonly outdoor: readonly string[] }

/** A room of no condition but that of people in it. */
const PLAIN: Meaning = { word: /incidental|contact|\bdry\b|indoor|\bclean\b|general|electrical room/, indoor: ['incidental_contact', 'falling_dirt'], outdoor: ['incidental_contact', 'rain_snow_sleet'] };

/** Families of words: of each the first that fits counts, and all families together make the place ('corrosive washdown'). */
const FAMILIES: readonly (readonly Meaning[])[] = [
  [
    { word: /submer.*(prolong|perman|contin)|(prolong|perman|contin)\w*.*submer/, indoor: ['prolonged_submersion'], outdoor: ['prolonged_submersion'] },
    { word: /submer|flood/, indoor: ['temporary_submersion'], outdoor: ['temporary_submersion'] },
  ],
  [{ word: /corros|\bsalt|chlor|acid|caustic/, indoor: ['corrosive'], outdoor: ['rain_snow_sleet', 'corrosive'] }],
  [
    { word: /(oil|coolant).*(spray|splash)|(spray|splash).*(oil|coolant)/, indoor: ['oil_coolant_seepage', 'oil_coolant_spray'], outdoor: ['oil_coolant_spray'] },
    { word: /\boil(?:s|y)?\b|coolant/, indoor: ['oil_coolant_seepage'], outdoor: ['oil_coolant_seepage'] },
    { word: /hose|wash ?down|splashing water|\bwet\b/, indoor: ['hosedown_splashing'], outdoor: ['hosedown'] },
    { word: /drip|damp|splash|falling liquid|condens/, indoor: ['falling_liquids_light_splash'], outdoor: ['rain_snow_sleet'] },
  ],
  [
    { word: /wind.*dust|dust.*wind/, indoor: ['circulating_dust', 'settling_dust'], outdoor: ['rain_snow_sleet', 'windblown_dust'] },
    { word: /settl.*dust|dust.*settl/, indoor: ['settling_dust'], outdoor: ['rain_snow_sleet', 'windblown_dust'] },
    { word: /dust|lint|fib(er|re)|flyings/, indoor: ['circulating_dust', 'settling_dust'], outdoor: ['rain_snow_sleet', 'windblown_dust'] },
    { word: /dirt/, indoor: ['falling_dirt'], outdoor: ['rain_snow_sleet'] },
  ],
  [
    { word: /\bice\b.*(cover|oper|laden)|oper.*(\bice\b|sleet)|sleet.*oper/, indoor: [], outdoor: ['rain_snow_sleet', 'sleet_operable'] },
    { word: /\brain|snow|sleet|outdoor|outside|weather|\bice\b|\broof/, indoor: [], outdoor: ['rain_snow_sleet'] },
  ],
  [PLAIN],
];

/** What may be said beside a plain room without changing it; any other word there is a condition that was not understood. */
const PLAIN_WORDS: ReadonlySet<string> = new Set('incidental contact dry indoor indoors inside clean general purpose electrical control switch mechanical equipment room rooms area areas hall space place location building floor office heated normal ordinary with of and or the a in'.split(' '));

/** Hazardous (classified) places, and what makes them, are never answered with a type: engineered selection is needed. Safe where a word only sounds so. */
const CLASSIFIED = /classified|hazard|explos|flammab|combustib|ignit|\batex\b|\bcl(?:ass)?\.?\s*(?:i{1,3}|[123])\b|\bdiv(?:ision)?\b|zone\s*(?:2?[012])\b|petrol|gasoline|solvent|ethanol|alcohol|propane|hydrogen|natural gas|spray booth|(?:grain|flour|starch|sugar|coal|magnesium|alumini?um)\W+dust/i;
export const isClassified = (word: string): boolean => CLASSIFIED.test(word);

/** Whether words of a place say that it lies outdoors. */
export const isOutdoor = (word: string): boolean => /outdoor|outside|\brain|snow|sleet|weather|wind.?blown|\broof|\bice\b/i.test(word);

/**
 * Conditions of the enclosure table that words of a place mean.
 * @throws Gap for a word that is not understood, or a classified place
 */
export function readConditions(words: readonly string[], place: Place): readonly string[] {
  const found = new Set<string>();
  for (const raw of words) {
    const word = raw.toLowerCase().replace(/[-_]/g, ' ');
    if (isClassified(word)) throw new Gap("outside this tool's scope: engineered selection required for a hazardous (classified) area", [], 'judgement', ['Have the enclosure of this area selected by an engineer.']);
    const meanings = FAMILIES.map((family) => family.find((m) => m.word.test(word))).filter((m) => m !== undefined);
    if (meanings.length === 0) throw new Gap(`the environment '${raw}' is not one the enclosure table knows`, ['environment of the area in words of the enclosure table']);
    const strange = meanings.length === 1 && meanings[0] === PLAIN ? word.split(/[^\p{L}\p{N}]+/u).find((w) => w !== '' && !PLAIN_WORDS.has(w)) : undefined;
    if (strange !== undefined) throw new Gap(`the environment '${raw}' says more than the enclosure table knows: '${strange}'`, ['environment of the area in words of the enclosure table']);
    for (const condition of meanings.flatMap((m) => m[place])) found.add(condition);
  }
  if (found.size === 0) found.add('incidental_contact');
  return [...found];
}

/** Ordinary choices first: what a counter stocks comes before what has to be ordered. Common practice, no source. */
const PREFERENCE = ['1', '3R', '12', '4', '4X', '3', '3X', '3S', '13', '3RX', '3SX', '12K', '5', '2', '6', '6P'];

export interface EnclosurePick { readonly conditions: readonly string[]; readonly acceptable: readonly string[]; readonly chosen: string; readonly because: string }

const words = (condition: string): string => condition.replace(/_/g, ' ');

/** Every enclosure type that protects against all conditions of a place. */
export function enclosureTypes(t: Trace, place: Place, conditions: readonly string[]): EnclosurePick {
  const acceptable = table('enclosure').rows.filter((r) => {
    const protects = r[place];
    return Array.isArray(protects) && conditions.every((c) => protects.includes(c));
  }).map((r) => String(r.type));
  const chosen = PREFERENCE.find((type) => acceptable.includes(type));
  if (chosen === undefined) throw new Gap(`no single enclosure type covers ${conditions.map(words).join(', ')} ${place}s`, [], 'judgement', ['Move the disconnect, or shield it from one of the conditions.']);
  const row = t.row('enclosure', { type: chosen });
  const because = `${place}: ${conditions.map(words).join(', ')}`;
  const citation = citeTable(table('enclosure'), t.basis.edition, row.confidence);
  t.state('Conditions of the place', conditions.map(words).join(', '), '', `the areas it stands in, ${place}s`, 'plan');
  t.state('Types that protect against all of them', acceptable.join(', '), '', 'rows of the enclosure table with every condition', 'table', citation);
  t.state('Type proposed', chosen, '', 'the most usual of them (common practice, no source)', 'computed', citation);
  return { conditions, acceptable, chosen, because };
}
