import type { Outcome, Problem } from '../../shared-core/host-api';

export const failed = (code: string, what: string, todo: string): { readonly ok: false; readonly problem: Problem } => ({ ok: false, problem: { code, what, todo } });
export const done = <T>(value: T): Outcome<T> => ({ ok: true, value });

interface Words { readonly code: string; readonly why: string; readonly todo: string }

const WORDS: Readonly<Record<string, Words>> = {
  ENOENT: { code: 'missing-file', why: 'there is no such file or folder', todo: 'Check the name and the folder.' },
  ENOTDIR: { code: 'missing-file', why: 'a part of its path is no folder', todo: 'Check the name and the folder.' },
  EACCES: { code: 'no-permission', why: 'this account may not do that there', todo: 'Ask for permission to the file and its folder, or use another folder.' },
  EPERM: { code: 'no-permission', why: 'this account may not do that there', todo: 'Ask for permission to the file and its folder, or use another folder.' },
  EROFS: { code: 'no-permission', why: 'the disk is read-only', todo: 'Use a folder on another disk.' },
  ENOSPC: { code: 'disk-full', why: 'the disk is full', todo: 'Free some space or use another disk, then save again.' },
  EDQUOT: { code: 'disk-full', why: 'your share of the disk is used up', todo: 'Free some space or use another disk, then save again.' },
  EFBIG: { code: 'disk-full', why: 'the disk takes no file of this size', todo: 'Use another disk.' },
  EISDIR: { code: 'not-a-file', why: 'it is a folder', todo: 'Name a file.' },
  ELOOP: { code: 'not-a-file', why: 'its links lead in a circle', todo: 'Name the file itself.' },
  ENXIO: { code: 'not-a-file', why: 'it is no ordinary file', todo: 'Name an ordinary file.' },
  ENAMETOOLONG: { code: 'bad-name', why: 'its name is too long', todo: 'Use a shorter name.' },
  EBUSY: { code: 'in-use', why: 'another program holds it', todo: 'Close it there, then try again.' },
  ETXTBSY: { code: 'in-use', why: 'another program holds it', todo: 'Close it there, then try again.' },
  EMFILE: { code: 'in-use', why: 'too many files are open', todo: 'Close other programs, then try again.' },
};

/**
 * A disk's error in a person's words.
 * @param task what was attempted, as the start of a sentence: 'The file plan.png could not be read'
 */
export function diskProblem(error: unknown, task: string): { readonly ok: false; readonly problem: Problem } {
  const code = typeof error === 'object' && error !== null && 'code' in error && typeof error.code === 'string' ? error.code : '';
  const words = WORDS[code];
  if (words) return failed(words.code, `${task}: ${words.why}.`, words.todo);
  return failed('disk-error', `${task}: the disk reported a fault${code === '' ? '' : ` (${code})`}.`, 'Try again, or use another disk.');
}
