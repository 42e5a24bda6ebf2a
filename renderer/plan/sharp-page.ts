import type { Host } from '../host-client';
import type { PlanRef } from '../../shared-core/document/index';
import type { PictureBox } from './types';

/** A page that draws any part of itself at any scale, off the window's thread. */
export interface SharpPage {
  /** @returns the part, scale picture elements per picture unit; null when it cannot be drawn */
  draw(box: PictureBox, scale: number): Promise<ImageBitmap | null>;
  close(): void;
}

export type ToWorker =
  | { readonly kind: 'open'; readonly bytes: Uint8Array; readonly password: string | null; readonly page: number; readonly layersOff: readonly string[] | null; readonly assets: string }
  | { readonly kind: 'draw'; readonly id: number; readonly box: PictureBox; readonly scale: number };
export type FromWorker =
  | { readonly kind: 'opened'; readonly width: number; readonly height: number }
  | { readonly kind: 'drawn'; readonly id: number; readonly image: ImageBitmap | null }
  | { readonly kind: 'failed' };

/** Half a picture unit: the page that the worker sees must be the page the host saw. */
const SAME_WITHIN = 0.5;

/**
 * Opens a vector sheet in a worker of its own.
 * @returns null when it cannot be drawn there; the host's picture is then magnified instead
 */
export async function openSharpPage(host: Pick<Host, 'call'>, plan: PlanRef): Promise<SharpPage | null> {
  if (typeof Worker === 'undefined' || typeof OffscreenCanvas === 'undefined') return null;
  const answer = await host.call('planBytes', { blob: plan.blob });
  if (!answer.ok || answer.value.media !== 'application/pdf') return null;
  const worker = new Worker(new URL('./pdf-worker.ts', import.meta.url), { type: 'module' });
  const waiting = new Map<number, (image: ImageBitmap | null) => void>();
  let count = 0;
  let broken = false;
  const giveUp = (): void => {
    broken = true;
    for (const [, resolve] of waiting) resolve(null);
    waiting.clear();
    worker.terminate();
  };
  const opened = new Promise<boolean>((resolve) => {
    worker.onerror = () => { giveUp(); resolve(false); };
    worker.onmessage = ({ data }: MessageEvent<FromWorker>) => {
      if (data.kind === 'drawn') {
        waiting.get(data.id)?.(data.image);
        waiting.delete(data.id);
      } else if (data.kind === 'opened' && Math.abs(data.width - plan.width) < SAME_WITHIN && Math.abs(data.height - plan.height) < SAME_WITHIN) {
        resolve(true);
      } else {
        giveUp();
        resolve(false);
      }
    };
  });
  const { bytes, password } = answer.value;
  const send = (message: ToWorker): void => { worker.postMessage(message); };
  send({ kind: 'open', bytes, password, page: plan.page, layersOff: plan.layersOff ?? null, assets: new URL('./pdf/', document.baseURI).href });
  if (!await opened) return null;
  return {
    draw: (box, scale) => new Promise((resolve) => {
      if (broken) { resolve(null); return; }
      const id = count++;
      waiting.set(id, resolve);
      send({ kind: 'draw', id, box, scale });
    }),
    close: giveUp,
  };
}
