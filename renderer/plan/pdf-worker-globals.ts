// The PDF library looks for a window and a document as soon as it is loaded; a worker has neither.
// Must be imported before it.
const scope = globalThis as unknown as Record<string, unknown>;
const createElement = (name: string): unknown => {
  if (name !== 'canvas') throw new RangeError(`a worker makes no ${name}`);
  return new OffscreenCanvas(1, 1);
};
scope['window'] = globalThis;
scope['document'] = { fonts: (globalThis as unknown as { fonts?: unknown }).fonts, baseURI: self.location.href, createElement, documentElement: { getElementsByTagName: () => [] } };

export {};
