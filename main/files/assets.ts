import { readdir, readFile } from 'node:fs/promises';
import { extname, join, relative, sep } from 'node:path';

const MEDIA: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8', '.js': 'text/javascript; charset=utf-8', '.mjs': 'text/javascript; charset=utf-8', '.css': 'text/css; charset=utf-8',
  '.json': 'application/json', '.svg': 'image/svg+xml', '.png': 'image/png', '.jpg': 'image/jpeg', '.wasm': 'application/wasm',
  '.ttf': 'font/ttf', '.woff2': 'font/woff2', '.txt': 'text/plain; charset=utf-8',
};

export interface Asset { readonly media: string; readonly bytes: Uint8Array }
/** Reads one of the built window's files by its address path, e.g. '/' or '/assets/index.js'; null when there is none. */
export type ReadAsset = (path: string) => Promise<Asset | null>;

/**
 * The built window's files. They are listed once and only listed names are served, so no spelling of a path
 * ('..', '%2e%2e', '%2f', a link) can reach anything else.
 */
export async function openAssets(folder: string): Promise<ReadAsset> {
  const files = new Map<string, string>();
  for (const entry of await readdir(folder, { recursive: true, withFileTypes: true })) {
    if (!entry.isFile()) continue;
    const path = join(entry.parentPath, entry.name);
    files.set(`/${relative(folder, path).split(sep).join('/')}`, path);
  }
  return async (asked) => {
    const path = files.get(asked === '/' ? '/index.html' : asked);
    if (path === undefined) return null;
    return { media: MEDIA[extname(path)] ?? 'application/octet-stream', bytes: await readFile(path) };
  };
}
