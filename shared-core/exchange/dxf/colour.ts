export type Colour = readonly [number, number, number];

/** The first nine colour numbers; 7 is "black on a white ground, white on a black one". */
const BASIC: readonly Colour[] = [[0, 0, 0], [255, 0, 0], [255, 255, 0], [0, 255, 0], [0, 255, 255], [0, 0, 255], [255, 0, 255], [0, 0, 0], [128, 128, 128], [192, 192, 192]];
const SHADES = [255, 165, 127, 76, 38];
const GREYS = [51, 91, 132, 173, 214, 255];

/** Red, green and blue of a hue in degrees at full strength. */
function hue(degrees: number): Colour {
  const channel = (shift: number): number => {
    const k = (shift + degrees / 60) % 6;
    return 1 - Math.max(0, Math.min(k, 4 - k, 1));
  };
  return [channel(5), channel(3), channel(1)];
}

/** The colour of a colour number 0 to 255: 24 hues 15 degrees apart, five shades, full and half strength. */
export function indexedColour(index: number): Colour {
  if (index < 10) return BASIC[Math.max(0, index)]!;
  if (index >= 250) { const grey = GREYS[Math.min(index, 255) - 250]!; return [grey, grey, grey]; }
  const shade = SHADES[Math.floor((index % 10) / 2)]!;
  const pure = hue((Math.floor(index / 10) - 1) * 15);
  const washed = index % 2 === 1 ? 0.5 : 0;
  return pure.map((c) => Math.round((c + (1 - c) * washed) * shade)) as unknown as Colour;
}

export const packedColour = (value: number): Colour => [(value >> 16) & 255, (value >> 8) & 255, value & 255];

/** Brighter than this vanishes on white paper. */
const BRIGHTEST = 0.5;

/** Drawings are made for a black ground: on white paper light colours are darkened until they can be seen. */
export function onPaper([r, g, b]: Colour): Colour {
  const brightness = (0.299 * r + 0.587 * g + 0.114 * b) / 255;
  if (brightness > 0.97) return [0, 0, 0];
  const share = brightness > BRIGHTEST ? BRIGHTEST / brightness : 1;
  return [Math.round(r * share), Math.round(g * share), Math.round(b * share)];
}
