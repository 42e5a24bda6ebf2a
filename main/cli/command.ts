import { basename, resolve } from 'node:path';
import { parseArgs } from 'node:util';
import { version } from '../../package.json';
import { auditDocument } from '../../shared-core/audit/index';
import { PDF_SECTIONS } from '../../shared-core/host-api';
import type { Outcome, PdfSection, Problem } from '../../shared-core/host-api';
import { CAUTIONS } from '../../shared-core/report/index';
import { createPlanShelf, endIdleJobs } from '../exchange/index';
import { isSameFile, readWhole, SIZE_LIMIT } from '../files/guard';
import { unpackProject } from '../files/plan-file';
import type { ProjectFile } from '../files/plan-file';
import { failed } from '../files/problems';
import { saveAtomic } from '../files/save-atomic';
import { makePdf, makeTable } from '../hand-over';
import type { Download } from '../hand-over';
import { auditJson, auditText } from './audit-output';

export interface Output {
  /** Folder that relative paths start from. */
  readonly folder: string;
  readonly out: (text: string) => void;
  readonly error: (text: string) => void;
}

/** Exit status of every command. */
export const STATUS = { allPass: 0, done: 0, findings: 1, unreadable: 2 } as const;

export const USAGE = `usage: lockstead audit FILE.lockstead [--json]
       lockstead export FILE.lockstead [--pdf OUT] [--csv OUT] [--xlsx OUT] [--date YYYY-MM-DD]
                 [--sections plan,schedule,findings,calculations,labels,isolation]

audit    prints every finding; status 0 when all pass, 1 when there are others, 2 when the file cannot be read
export   writes what the window writes; status 0 when everything was written, 2 otherwise
         The PDF holds plan, schedule and findings, or the sections named.
         A locked PDF plan needs its password in the variable LOCKSTEAD_PDF_PASSWORD.
`;

/**
 * The command line: the same reading, audit and export as the window, without it.
 * @returns the exit status
 */
export async function runCommand(argv: readonly string[], output: Output): Promise<number> {
  const asked = readArguments(argv, output.folder);
  if (asked === null) { output.error(USAGE); return STATUS.unreadable; }
  if (asked.command === 'help') { output.out(USAGE); return STATUS.done; }
  try {
    const project = await readProject(asked.file);
    if (!project.ok) return complain(output, project.problem);
    return asked.command === 'audit' ? audit(asked, project.value, output) : await exportAll(asked, project.value, output);
  } catch (error) {
    // A fault of the program must never look like a pass or like findings.
    output.error(`Lockstead failed: ${error instanceof Error ? error.message : String(error)}\nNothing was proved. Report this with the version ${version}.\n`);
    return STATUS.unreadable;
  } finally { endIdleJobs(); }
}

interface Asked {
  readonly command: 'audit' | 'export' | 'help';
  readonly file: string;
  readonly json: boolean;
  readonly date: string | undefined;
  readonly sections: readonly PdfSection[] | undefined;
  readonly targets: readonly { readonly kind: 'pdf' | 'csv' | 'xlsx'; readonly path: string }[];
}

function readArguments(argv: readonly string[], folder: string): Asked | null {
  try {
    const { values, positionals } = parseArgs({ args: [...argv], allowPositionals: true, options: {
      json: { type: 'boolean', default: false }, pdf: { type: 'string' }, csv: { type: 'string' }, xlsx: { type: 'string' }, date: { type: 'string' }, sections: { type: 'string' }, help: { type: 'boolean', default: false },
    } });
    const [command, file, ...more] = positionals;
    const targets = (['pdf', 'csv', 'xlsx'] as const).flatMap((kind) => (values[kind] === undefined ? [] : [{ kind, path: values[kind] === '' ? '' : resolve(folder, values[kind]) }]));
    const asked = { file: resolve(folder, file ?? ''), json: values.json, date: values.date, sections: values.sections?.split(',') as PdfSection[] | undefined, targets };
    if (values.help) return { ...asked, command: 'help' };
    if (file === undefined || file === '' || more.length > 0 || targets.some(({ path }) => path === '')) return null;
    if (asked.sections?.some((section) => !PDF_SECTIONS.includes(section)) || (asked.sections && values.pdf === undefined)) return null;
    if (command === 'audit') return targets.length > 0 || values.date !== undefined ? null : { ...asked, command };
    if (command !== 'export' || targets.length === 0 || values.json || (values.date !== undefined && !isDate(values.date))) return null;
    return { ...asked, command };
  } catch { return null; }
}

/** A day that exists, written year first. */
function isDate(text: string): boolean {
  const time = new Date(`${text}T00:00:00Z`);
  return /^\d{4}-\d{2}-\d{2}$/.test(text) && !Number.isNaN(time.getTime()) && time.toISOString().startsWith(text);
}

async function readProject(file: string): Promise<Outcome<ProjectFile>> {
  const bytes = await readWhole(file, SIZE_LIMIT.project);
  return bytes.ok ? unpackProject(bytes.value, basename(file)) : bytes;
}

function complain(output: Output, problem: Problem): number {
  output.error(`${problem.what} ${problem.todo}\n`);
  return STATUS.unreadable;
}

function audit({ file, json }: Asked, { document }: ProjectFile, output: Output): number {
  const found = auditDocument(document);
  const isAllPass = found.results.length > 0 && found.results.every((result) => result.verdict === 'pass');
  output.out(json ? auditJson(basename(file), document, found, version) : auditText(basename(file), document, found));
  return isAllPass ? STATUS.allPass : STATUS.findings;
}

async function exportAll({ file, date, sections, targets }: Asked, project: ProjectFile, output: Output): Promise<number> {
  for (const [i, { path }] of targets.entries()) {
    // The project itself, or one output over another, is never what was meant.
    const clash = [file, ...targets.slice(0, i).map((target) => target.path)];
    for (const other of clash) {
      if (await isSameFile(path, other)) return complain(output, failed('same-file', `${basename(path)} is named twice.`, 'Give each output a name of its own. Nothing was written.').problem);
    }
  }
  const made: { readonly path: string; readonly file: Download }[] = [];
  for (const { kind, path } of targets) {
    const one = await make(kind, project, date, sections);
    if (!one.ok) return complain(output, one.problem);
    made.push({ path, file: one.value });
  }
  let status: number = STATUS.done;
  for (const { path, file: one } of made) {
    const saved = await saveAtomic(path, one.bytes);
    if (saved.ok) output.out(`${path}: ${one.bytes.length} bytes\n`);
    else status = complain(output, saved.problem);
  }
  output.out(cautionLines());
  return status;
}

async function make(kind: 'pdf' | 'csv' | 'xlsx', { document, plans }: ProjectFile, date: string | undefined, sections: readonly PdfSection[] | undefined): Promise<Outcome<Download>> {
  const dated = date === undefined ? {} : { date };
  if (kind !== 'pdf') return makeTable(document, kind, dated);
  const shelf = createPlanShelf();
  const password = process.env['LOCKSTEAD_PDF_PASSWORD'] ?? null;
  return makePdf(document, { ...dated, ...(sections ? { sections } : {}), drawable: async (blob) => {
    const bytes = plans.get(blob);
    if (!bytes) return failed('plan-missing', 'The plan of a sheet is not in the project.', 'Bring it in again.');
    const drawable = await shelf.drawable(blob, bytes);
    return drawable.ok ? { ok: true, value: { bytes: drawable.value.bytes, password: drawable.value.password ?? password } } : drawable;
  } });
}

const cautionLines = (): string => `\n${CAUTIONS.map((caution) => `! ${caution}\n`).join('')}`;
