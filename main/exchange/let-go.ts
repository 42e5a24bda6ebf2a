import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';

let collect: (() => void) | null = null;

/**
 * Frees now what nothing refers to any more. Copies of a large file are left behind by the message it came in and by the
 * libraries; while native code works nothing makes the engine collect them, and they count against the memory of the
 * reading process.
 */
export function letGo(): void {
  if (collect === null) {
    setFlagsFromString('--expose-gc');
    collect = runInNewContext('gc') as () => void;
  }
  collect();
}
