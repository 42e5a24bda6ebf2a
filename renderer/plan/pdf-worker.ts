import './pdf-worker-globals';
import { getDocument, PDFWorker } from 'pdfjs-dist';
import type { PDFPageProxy } from 'pdfjs-dist';
import parserUrl from 'pdfjs-dist/build/pdf.worker.min.mjs?url';
import type { FromWorker, ToWorker } from './sharp-page';

class CanvasFactory {
  create(width: number, height: number): { canvas: OffscreenCanvas | null; context: unknown } {
    const canvas = new OffscreenCanvas(Math.max(1, width), Math.max(1, height));
    return { canvas, context: canvas.getContext('2d', { willReadFrequently: true }) };
  }
  reset(pair: { canvas: OffscreenCanvas | null }, width: number, height: number): void { if (pair.canvas) Object.assign(pair.canvas, { width, height }); }
  destroy(pair: { canvas: OffscreenCanvas | null; context: unknown }): void { Object.assign(pair, { canvas: null, context: null }); }
}

/** SVG filters need a document; a sheet that uses them looks plainer here than in the host's picture. */
class FilterFactory {
  addFilter(): string { return 'none'; }
  addHCMFilter(): string { return 'none'; }
  addAlphaFilter(): string { return 'none'; }
  addLuminosityFilter(): string { return 'none'; }
  addHighlightHCMFilter(): string { return 'none'; }
  addKnockoutFilter(): string { return 'none'; }
  destroy(): void { /* nothing is kept */ }
}

interface Layers extends Iterable<[string, { readonly name: string | null }]> { setVisibility(id: string, visible: boolean, preserveGroups: boolean): void }

let page: PDFPageProxy | null = null;
let layers: Layers | null = null;
const post = (message: FromWorker, transfer: Transferable[] = []): void => { (self as unknown as Worker).postMessage(message, transfer); };

async function open(asked: Extract<ToWorker, { kind: 'open' }>): Promise<void> {
  const parser = new Worker(parserUrl, { type: 'module' });
  const pdf = await getDocument({
    data: asked.bytes, password: asked.password ?? undefined, worker: PDFWorker.create({ port: parser }),
    isEvalSupported: false, enableXfa: false, useWorkerFetch: true, useSystemFonts: false, verbosity: 0,
    standardFontDataUrl: `${asked.assets}standard_fonts/`, cMapUrl: `${asked.assets}cmaps/`, cMapPacked: true, wasmUrl: `${asked.assets}wasm/`,
    CanvasFactory, FilterFactory, ownerDocument: document,
  }).promise;
  page = await pdf.getPage(asked.page + 1);
  layers = await pdf.getOptionalContentConfig();
  if (asked.layersOff) for (const [id, { name }] of [...layers]) layers.setVisibility(id, !asked.layersOff.includes(name ?? id), false);
  const { width, height } = page.getViewport({ scale: 1 });
  post({ kind: 'opened', width, height });
}

async function draw({ id, box, scale }: Extract<ToWorker, { kind: 'draw' }>): Promise<void> {
  if (!page) { post({ kind: 'drawn', id, image: null }); return; }
  const canvas = new OffscreenCanvas(Math.max(1, Math.round(box.width * scale)), Math.max(1, Math.round(box.height * scale)));
  const viewport = page.getViewport({ scale, offsetX: -box.x * scale, offsetY: -box.y * scale });
  await page.render({ canvas: canvas as unknown as HTMLCanvasElement, viewport, background: '#ffffff', optionalContentConfigPromise: Promise.resolve(layers) as never }).promise;
  const image = canvas.transferToImageBitmap();
  post({ kind: 'drawn', id, image }, [image]);
}

self.onmessage = ({ data }: MessageEvent<ToWorker>): void => {
  if (data.kind === 'open') void open(data).catch(() => { post({ kind: 'failed' }); });
  else void draw(data).catch(() => { post({ kind: 'drawn', id: data.id, image: null }); });
};
