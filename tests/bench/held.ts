import { existsSync, readFileSync } from 'node:fs';
import sharp from 'sharp';
import type { BenchRow } from './bench-row';
import { isSure, offerPicture, PLANS, row, score } from './walls';
import type { Truth } from './walls';

/** A copy of a sheet as another scanner would have given it. scale: of the sheet's picture; turn: degrees clockwise; noise: standard deviation, grey levels; quality: JPEG, null for one bit. */
interface HeldCopy { readonly scale: number; readonly turn: number; readonly noise: number; readonly quality: number | null }

/** Ink darker than this in one of its colours. */
const INK = 170;
/** What a pen leaves of white and black on paper. */
const PAPER = 0.85;
const PEN = 30;
const ONE_BIT = 150;

/** A drawing in black pen instead of its colours, turned, resized, with paper, grain and loss; always the same for the same copy. */
async function heldCopy(file: string, { scale, turn, noise, quality }: HeldCopy): Promise<{ readonly bytes: Uint8Array; readonly carry: (x: number, y: number) => [number, number] }> {
  const { data, info } = await sharp(readFileSync(file), { limitInputPixels: false }).flatten({ background: '#fff' }).toColourspace('srgb').removeAlpha().raw().toBuffer({ resolveWithObject: true });
  const ink = Buffer.alloc(info.width * info.height, 255);
  for (let at = 0; at < data.length; at++) if (data[at]! < INK) ink[Math.floor(at / info.channels)] = 0;
  const raw = (pixels: Buffer, width: number, height: number): sharp.Sharp => sharp(pixels, { raw: { width, height, channels: 1 }, limitInputPixels: false });
  // A pen is as wide on the coarser picture as on the finer one.
  const wide = await raw(ink, info.width, info.height).blur(Math.max(0.6, 0.55 / scale)).linear(3.5, -255 * 2.5 + 60).toColourspace('b-w').png().toBuffer();
  const [w, h] = [Math.round(info.width * scale), Math.round(info.height * scale)];
  const small = await sharp(wide, { limitInputPixels: false }).resize(w, h, { fit: 'fill', kernel: 'cubic' }).png().toBuffer();
  const laid = await sharp(small, { limitInputPixels: false }).rotate(turn, { background: '#fff' }).greyscale().raw().toBuffer({ resolveWithObject: true });
  const { width, height, channels } = laid.info;
  let seed = 12345;
  const random = (): number => { seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0; return seed / 4294967296; };
  const out = Buffer.alloc(width * height);
  for (let i = 0; i < out.length; i++) {
    const value = laid.data[i * channels]! * PAPER + PEN + (random() + random() + random() - 1.5) * 2 * noise;
    out[i] = quality === null ? (value > ONE_BIT ? 255 : 0) : Math.max(0, Math.min(255, value));
  }
  const copy = raw(out, width, height);
  const [cos, sin] = [Math.cos((turn * Math.PI) / 180), Math.sin((turn * Math.PI) / 180)];
  return {
    bytes: new Uint8Array(await (quality === null ? copy.png() : copy.jpeg({ quality })).toBuffer()),
    carry: (x, y) => { const [u, v] = [x * scale - w / 2, y * scale - h / 2]; return [u * cos - v * sin + width / 2, u * sin + v * cos + height / 2]; },
  };
}

const RESIDENTIAL = 'ml-residential-floor-colour-lines.png';
const CORE = 'ml-core-walls-palette.png';
const WING = 'ml-l-shape-skew-wing-walls.png';
const COPIES: readonly (readonly [string, string, HeldCopy])[] = [
  ['residential', RESIDENTIAL, { scale: 0.5, turn: 12, noise: 5, quality: 85 }],
  ['residential', RESIDENTIAL, { scale: 0.35, turn: 3.1, noise: 4, quality: 85 }],
  ['residential', RESIDENTIAL, { scale: 0.25, turn: -3.4, noise: 4, quality: 85 }],
  ['residential', RESIDENTIAL, { scale: 0.25, turn: -3.4, noise: 0, quality: 95 }],
  ['residential', RESIDENTIAL, { scale: 0.4, turn: -2.8, noise: 5, quality: null }],
  ['core', CORE, { scale: 0.4, turn: 2.8, noise: 5, quality: null }],
  ['L shape', WING, { scale: 0.25, turn: -3.4, noise: 4, quality: 85 }],
];
/** The aim for scans. */
const AIM = 0.8;

/** Walls offered from copies of the sheets that no figure of the offer was tried on: the same score as `walls`, sure ones and all. Needs the shared plans. */
export async function* rows(): AsyncGenerator<BenchRow> {
  if (!existsSync(PLANS)) return;
  for (const [name, file, copy] of COPIES) {
    const truth = JSON.parse(readFileSync(`${PLANS}rasters/${file.replace(/\.\w+$/, '')}.walls.json`, 'utf8')) as Truth;
    const { bytes, carry } = await heldCopy(`${PLANS}rasters/${file}`, copy);
    const perMetre = truth.pixels_per_metre * copy.scale;
    const walls = truth.walls.map((wall) => { const [[x1, y1], [x2, y2]] = [carry(wall.x1, wall.y1), carry(wall.x2, wall.y2)]; return { x1, y1, x2, y2, thickness: wall.thickness_px * copy.scale }; });
    const offered = await offerPicture(bytes, perMetre);
    const [sure, all] = [score(offered.filter(isSure), walls, perMetre), score(offered, walls, perMetre)];
    const told = `held-out scan, ${name}, ${Math.round(perMetre)} px per m, turned ${copy.turn}, noise ${copy.noise}, ${copy.quality === null ? '1 bit' : `grey q${copy.quality}`}`;
    yield row(`${told}: precision`, sure.precision, AIM);
    yield row(`${told}: recall`, sure.recall, AIM);
    yield row(`${told}: precision together with what is in doubt`, all.precision, 0);
    yield row(`${told}: recall together with what is in doubt`, all.recall, AIM);
  }
}
