import { fileURLToPath } from 'node:url';
import type { Outcome } from '../../shared-core/host-api';
import { readWhole } from './guard';
import { done } from './problems';

/** From this folder and from the built program alike, the fonts lie two folders up. */
const FOLDER = new URL('../../assets/fonts/', import.meta.url);
const LIMIT = 8 * 1024 ** 2;

/** The two faces that outputs are set in. */
export async function readFonts(): Promise<Outcome<{ readonly regular: Uint8Array; readonly bold: Uint8Array }>> {
  const face = (name: string) => readWhole(fileURLToPath(new URL(`AtkinsonHyperlegibleNext_${name}.ttf`, FOLDER)), LIMIT);
  const [regular, bold] = [await face('400Regular'), await face('600SemiBold')];
  if (!regular.ok) return regular;
  return bold.ok ? done({ regular: regular.value, bold: bold.value }) : bold;
}
