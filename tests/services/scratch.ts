import { chmod, mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach } from 'vitest';
import { emptyDocument } from '../../shared-core/document/index';
import type { Document, Sheet } from '../../shared-core/document/index';
import { sha256 } from '../../main/files/plan-file';

const folders: string[] = [];
afterEach(async () => {
  for (const folder of folders.splice(0)) {
    await chmod(folder, 0o755).catch(() => undefined);
    await rm(folder, { recursive: true, force: true });
  }
});

/** A folder of its own for one test, taken away afterwards. */
export async function scratchFolder(): Promise<string> {
  const folder = await mkdtemp(join(tmpdir(), 'lockstead-test-'));
  folders.push(folder);
  return folder;
}

/** A small project with one sheet on invented plan bytes. */
export function smallProject(name = 'Press hall'): { document: Document; plans: Map<string, Uint8Array>; plan: Uint8Array } {
  const plan = new Uint8Array(Buffer.from(`plan bytes of ${name}`));
  const blob = sha256(plan);
  const sheet = {
    id: 'sheet-a', name, plan: { blob, name: 'press.png', media: 'image/png', page: 0, width: 800, height: 600 },
    width: 800, height: 600, scale: null, level: { name: 'Ground', floor: 0 }, fade: 0,
  } as unknown as Sheet;
  return { document: { ...emptyDocument(), sheets: [sheet] }, plans: new Map([[blob, plan]]), plan };
}

/** The same project after one visible change. */
export function renamed(document: Document, name: string): Document {
  return { ...document, facts: { ...document.facts, name } };
}
