import type { Outcome, Problem } from '../../shared-core/host-api';

/** What can be wrong with a plan, in words for the person who brought it. */
const WORDS = {
  'empty-file': ['is empty (0 bytes).', 'Fetch the file again from where it came; the copy broke.'],
  'not-a-plan': ['is not a picture, PDF, DXF or SVG that can be read.', 'Save the plan as PDF, PNG, JPEG, TIFF, WebP, DXF or SVG and open that.'],
  'truncated': ['breaks off before its end; part of the plan is missing.', 'Fetch the file again from where it came; a partial plan is not shown.'],
  'damaged': ['is damaged and cannot be read to the end.', 'Fetch the file again, or save it anew from the program that made it.'],
  'too-large': ['is larger than can be opened safely.', 'Scan at a lower resolution, or cut the sheet into parts.'],
  'list-too-large': ['holds more than a list can hold here.', 'Split it into several lists and bring them in one after another, or leave out rows that carry no load.'],
  'absurd-size': ['says of itself a size that no plan has.', 'Set the page size in the program that made it, and save it anew.'],
  'unsupported': ['uses a form that is not supported.', 'Save it anew as PNG, PDF or an ordinary TIFF and open that.'],
  'password-needed': ['is locked with a password.', 'Type the password that opens it.'],
  'password-wrong': ['did not open with that password.', 'Check the password and type it again.'],
  'no-pages': ['holds no page.', 'Make the PDF anew from the program that holds the drawing.'],
  'page-missing': ['has no such page.', 'Choose one of the pages it has.'],
  'empty-drawing': ['holds nothing that can be drawn.', 'Check in the drawing program that the plan is in model space or on a sheet, and save it again.'],
  'took-too-long': ['took too long to read and was stopped.', 'Save a simpler copy (fewer pages, lower resolution) and open that.'],
  'needs-too-much-memory': ['needs more memory than is allowed for a plan and was stopped.', 'Save a simpler copy (fewer pages, lower resolution) and open that.'],
  'reader-stopped': ['stopped the reader; nothing else was touched.', 'The file is probably damaged. Save it anew from the program that made it.'],
  'cancelled': ['was not opened: cancelled.', 'Open it again when you want it.'],
  'not-a-list': ['is not a table that can be read.', 'Save the list as XLSX or CSV and open that.'],
} as const;

export type ProblemCode = keyof typeof WORDS;

/** Thrown inside the readers only; every way out of main/exchange turns it into an Outcome. */
export class PlanRefused extends Error {
  constructor(readonly code: ProblemCode, readonly detail = '') { super(code); }
}

/** @param detail  an extra sentence with the figures, e.g. what size was found and what is allowed */
export function problemOf(code: ProblemCode, name: string, detail = ''): Problem {
  const [what, todo] = WORDS[code];
  return { code, what: `“${name}” ${what}${detail ? ` ${detail}` : ''}`, todo };
}

export const refusal = (code: ProblemCode, name: string, detail = ''): { readonly ok: false; readonly problem: Problem } =>
  ({ ok: false, problem: problemOf(code, name, detail) });

/** Runs a reader; what it throws becomes a named problem. Unknown faults of a reader count as a damaged file. */
export async function outcomeOf<T>(name: string, read: () => Promise<T>): Promise<Outcome<T>> {
  try {
    return { ok: true, value: await read() };
  } catch (fault) {
    if (fault instanceof PlanRefused) return refusal(fault.code, name, fault.detail);
    return refusal('damaged', name);
  }
}
