import { PALETTE } from '../../shared-core/report/index';
import type { Ink } from '../../shared-core/report/index';
import { compareInk, INK } from '../../shared-core/revision/index';
import type { Greys } from '../../shared-core/revision/index';
import type { FromDifference, ToDifference } from './difference';

const post = (message: FromDifference, transfer: Transferable[] = []): void => { (self as unknown as Worker).postMessage(message, transfer); };

let size = { width: 0, height: 0 };
const pictures: OffscreenCanvas[] = [];

function begin(width: number, height: number): void {
  size = { width, height };
  for (const which of [0, 1]) {
    const canvas = new OffscreenCanvas(width, height);
    const context = canvas.getContext('2d', { willReadFrequently: true });
    if (context) { context.fillStyle = '#fff'; context.fillRect(0, 0, width, height); context.imageSmoothingQuality = 'high'; }
    pictures[which] = canvas;
  }
}

async function addTile({ which, bytes, media, matrix, box }: Extract<ToDifference, { kind: 'tile' }>): Promise<void> {
  const image = await createImageBitmap(new Blob([bytes as Uint8Array<ArrayBuffer>], { type: media }));
  const context = pictures[which]?.getContext('2d');
  if (context) {
    context.setTransform(...matrix);
    // Turned tiles reach a little over each other, so that no light seam between them counts as gone ink.
    const over = matrix[1] === 0 ? 0 : (0.5 * box.width) / image.width;
    context.drawImage(image, box.x - over, box.y - over, box.width + 2 * over, box.height + 2 * over);
  }
  image.close();
}

/** What is compared is what a person sees: a black ground that was exchanged for white is paper. */
function look({ which, layers, matrix, width, height }: Extract<ToDifference, { kind: 'look' }>): void {
  const context = pictures[which]?.getContext('2d');
  if (!context) return;
  context.setTransform(...matrix);
  for (const { blend, grey, alpha } of layers) {
    context.globalCompositeOperation = blend === 'normal' ? 'source-over' : blend;
    context.globalAlpha = alpha;
    context.fillStyle = `rgb(${Math.round(255 * grey)} ${Math.round(255 * grey)} ${Math.round(255 * grey)})`;
    context.fillRect(0, 0, width, height);
  }
}

/** Greys of a picture, read in strips: the colours of a whole large sheet at once would take four times the memory. */
function greysOf(canvas: OffscreenCanvas): Greys {
  const { width, height } = size;
  const context = canvas.getContext('2d');
  const greys = new Uint8Array(width * height);
  for (let top = 0; top < height; top += 512) {
    const rows = Math.min(512, height - top);
    const data = context?.getImageData(0, top, width, rows).data;
    for (let i = 0; data && i < width * rows; i += 1) greys[top * width + i] = (data[4 * i]! * 77 + data[4 * i + 1]! * 150 + data[4 * i + 2]! * 29) >> 8;
  }
  // Frees the picture before the other is read.
  canvas.width = 1; canvas.height = 1;
  return { width, height, greys };
}

/** The roles 'order' and 'act' of the palette, which hold apart in all colour-vision deficiencies. */
const colourOf = (ink: Ink): number[] => [1, 3, 5].map((at) => Number.parseInt(PALETTE[ink].slice(at, at + 2), 16));
const FRESH = colourOf('order');
const GONE = colourOf('act');
/** Stripes of gone ink: so many picture elements on, as many off. */
const STRIPE = 3;

/** Changed ink as a picture: new solid, gone in stripes, so that the two are told apart without colour. `by` picture elements become one. */
async function pictureOf(ink: Uint8Array, by: number): Promise<ImageBitmap> {
  const width = Math.ceil(size.width / by); const height = Math.ceil(size.height / by);
  const fresh = new Uint8Array(width * height); const gone = new Uint8Array(width * height);
  for (let y = 0; y < size.height; y += 1) for (let x = 0; x < size.width; x += 1) {
    const what = ink[y * size.width + x];
    if (what === INK.fresh) fresh[Math.floor(y / by) * width + Math.floor(x / by)] = 1;
    else if (what === INK.gone) gone[Math.floor(y / by) * width + Math.floor(x / by)] = 1;
  }
  const image = new ImageData(width, height);
  for (let y = 0; y < height; y += 1) for (let x = 0; x < width; x += 1) {
    const i = y * width + x;
    const isFresh = fresh[i] === 1;
    if (!isFresh && gone[i] === 0) continue;
    image.data.set([...(isFresh ? FRESH : GONE), isFresh ? 255 : Math.floor((x + y) / STRIPE) % 2 === 0 ? 255 : 70], 4 * i);
  }
  return createImageBitmap(image);
}

const GLANCE = 3e6;

async function compare(options: Extract<ToDifference, { kind: 'compare' }>['options']): Promise<void> {
  const [old, next] = pictures;
  if (!old || !next) return;
  const before = greysOf(old);
  post({ kind: 'progress', done: 0.3 });
  const after = greysOf(next);
  post({ kind: 'progress', done: 0.5 });
  const { ink, patches, cells, cell } = compareInk(before, after, options);
  post({ kind: 'progress', done: 0.8 });
  const fine = await pictureOf(ink, 1);
  const coarse = await pictureOf(ink, Math.max(1, Math.ceil(Math.sqrt((size.width * size.height) / GLANCE))));
  post({ kind: 'compared', patches, cells, cell, fine, coarse }, [fine, coarse]);
}

let queue: Promise<void> = Promise.resolve();
self.onmessage = ({ data }: MessageEvent<ToDifference>): void => {
  queue = queue.then(async () => {
    if (data.kind === 'begin') begin(data.width, data.height);
    else if (data.kind === 'tile') { await addTile(data); post({ kind: 'took' }); }
    else if (data.kind === 'look') look(data);
    else await compare(data.options);
  }).catch((fault: unknown) => { post({ kind: 'failed', reason: fault instanceof Error ? fault.message : String(fault) }); });
};
