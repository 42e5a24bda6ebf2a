/** An SVG that can do nothing but be drawn, with the size of its sheet in CSS pixels (1/96 in). */
export interface PlainSvg {
  readonly width: number;
  readonly height: number;
  /** 96 where width and height are given in paper units, else null. */
  readonly unitsPerPaperInch: number | null;
  /** The drawing with its outer size set in picture elements. */
  sized(width: number, height: number): string;
}
export type SvgRefusal = 'truncated' | 'damaged' | 'unsupported';

const PIXELS_PER: Readonly<Record<string, number>> = { '': 1, px: 1, in: 96, mm: 96 / 25.4, cm: 96 / 2.54, pt: 96 / 72, pc: 16, q: 96 / 101.6 };
const PAPER = new Set(['in', 'mm', 'cm', 'pt', 'pc', 'q']);

/** Elements that run, fetch or embed something. */
const ACTIVE = /<(script|foreignObject|iframe|audio|video|object|embed|handler|listener)\b[^>]*?(\/>|>[\s\S]*?<\/\1\s*>|>)/gi;
const ON_ATTRIBUTE = /\son[a-z]+\s*=\s*("[^"]*"|'[^']*'|[^\s>]+)/gi;
/** References may point inside the file or carry a picture with them, nothing else. */
const REFERENCE = /\s((?:xlink:)?href|src)\s*=\s*("[^"]*"|'[^']*')/gi;
const INSIDE = /^["']\s*(#|data:image\/(png|jpe?g|webp|gif);)/i;

function disarmed(text: string): string {
  return text.replace(/<\?xml-stylesheet[\s\S]*?\?>/gi, '').replace(/<!DOCTYPE[^>[]*(\[[\s\S]*?\])?[^>]*>/gi, '')
    .replace(ACTIVE, '').replace(ON_ATTRIBUTE, '')
    .replace(REFERENCE, (whole, _name: string, value: string) => (INSIDE.test(value) ? whole : ''))
    .replace(/url\(\s*(['"]?)(?!\s*#|['"]?#)[^)]*\)/gi, 'none').replace(/@import[^;<]*;?/gi, '');
}

const attribute = (tag: string, name: string): string | null => new RegExp(String.raw`\s${name}\s*=\s*(?:"([^"]*)"|'([^']*)')`, 'i').exec(tag)?.slice(1).find((value) => value !== undefined) ?? null;

function lengthOf(text: string | null): { pixels: number; paper: boolean } | null {
  const match = /^\s*([\d.]+(?:e[+-]?\d+)?)\s*([a-z]*)\s*$/i.exec(text ?? '');
  const unit = match?.[2]?.toLowerCase() ?? '';
  const pixels = match ? Number(match[1]) * (PIXELS_PER[unit] ?? Number.NaN) : Number.NaN;
  return Number.isFinite(pixels) && pixels > 0 ? { pixels, paper: PAPER.has(unit) } : null;
}

/**
 * Takes out of an SVG everything that runs or fetches, and reads its size.
 * @param text  the whole file
 * @source SVG 2, 8.2 and 8.9 (view box, size); CSS Values 3, 6.2 (absolute lengths)
 */
export function plainSvg(text: string): PlainSvg | SvgRefusal {
  // Own entities could swell without end, and no plan needs them.
  if (/<!ENTITY/i.test(text)) return 'unsupported';
  const plain = disarmed(text);
  const root = /<((?:\w+:)?svg)\b[^>]*>/i.exec(plain);
  if (!root) return 'damaged';
  if (!root[0].endsWith('/>') && !new RegExp(`</${root[1]}\\s*>\\s*(<!--[\\s\\S]*?-->\\s*)*$`, 'i').test(plain.trimEnd())) return 'truncated';
  const [width, height] = [lengthOf(attribute(root[0], 'width')), lengthOf(attribute(root[0], 'height'))];
  const view = (attribute(root[0], 'viewBox') ?? '').trim().split(/[\s,]+/).map(Number);
  const hasView = view.length === 4 && view.every(Number.isFinite) && view[2]! > 0 && view[3]! > 0;
  if (!hasView && !(width && height)) return 'damaged';
  const ratio = hasView ? view[3]! / view[2]! : 1;
  const wide = width?.pixels ?? (height ? height.pixels / ratio : view[2]!);
  const high = height?.pixels ?? (width ? width.pixels * ratio : view[3]!);
  const box = hasView ? view.join(' ') : `0 0 ${wide} ${high}`;
  const bare = root[0].replace(/\s(width|height|viewBox)\s*=\s*("[^"]*"|'[^']*')/gi, '');
  return {
    width: wide, height: high, unitsPerPaperInch: width?.paper && height?.paper ? 96 : null,
    sized: (w, h) => plain.replace(root[0], () => bare.replace(/(\/?>)$/, (_all, end: string) => ` width="${w}" height="${h}" viewBox="${box}"${end}`)),
  };
}
