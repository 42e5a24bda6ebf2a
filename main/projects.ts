import { randomBytes } from 'node:crypto';
import { basename, resolve } from 'node:path';
import { emptyDocument } from '../shared-core/document/index';
import type { Document } from '../shared-core/document/index';
import type { HostOutput, Outcome } from '../shared-core/host-api';
import { inPortions } from '../shared-core/host-portions';
import { fileStamp, readWhole, safeFileName, SIZE_LIMIT } from './files/guard';
import { cancelled, inTurns } from './files/in-turns';
import type { Running } from './files/in-turns';
import { packProjectInTurns, sha256, sha256InSteps, unpackProjectInTurns } from './files/plan-file';
import { done, failed } from './files/problems';
import { UNTITLED } from './files/recovery';
import type { Found, Recovery } from './files/recovery';
import { saveAtomic } from './files/save-atomic';

export const MEDIA = 'application/x-lockstead';
const EXTENSION = '.lockstead';
export type Opened = HostOutput<'openProject'>;
export type Saved = HostOutput<'saveProject'>;

/** A file the window may name: offered as bytes, or chosen in a dialog of the shell. */
export interface Source { readonly name: string; readonly bytes: Uint8Array | null; readonly path: string | null }

interface Project {
  readonly token: string;
  name: string;
  /** Where a save goes; null when the project has no file yet or must not overwrite the one it came from. */
  path: string | null;
  /** State of that file when it was last read or written here. */
  stamp: string | null;
  /** Digest of the file the document came from or was last saved as. */
  base: string | null;
  key: string;
  document: Document;
  savedDocument: Document;
  /** Time of the last kept and not yet saved work. */
  unsavedSince: string | null;
}

export interface ProjectsOptions {
  readonly recovery: Recovery;
  /** Plan bytes by digest, shared with the plan services. */
  readonly plans: Map<string, Uint8Array>;
  /** Asks where to save; null in a browser host, which hands the bytes to the page instead. */
  readonly askSavePath: ((suggested: string) => Promise<string | null>) | null;
}

export const newToken = (): string => randomBytes(12).toString('base64url');

/** The projects that are open in this process, with their files and their recovery. */
export class Projects {
  readonly #options: ProjectsOptions;
  readonly #open = new Map<string, Project>();
  /** Projects in the order in which they were opened. */
  #order: Project[] = [];

  constructor(options: ProjectsOptions) { this.#options = options; }

  hasUnsavedWork(): boolean { return [...this.#open.values()].some((project) => project.unsavedSince !== null); }

  /** The project this process opened last, as it was last kept: what a page shows after it was loaded again. */
  latest(): Opened | null { const last = this.#order.at(-1); return last ? answer(last) : null; }

  /** The window did not take the project up: it counts as never opened. Work kept for it stays kept. */
  leave(token: string): void {
    this.#open.delete(token);
    this.#order = this.#order.filter((project) => project.token !== token);
  }

  /** @param asTemplate open a copy: a save asks for a place instead of overwriting the file */
  async open(source: Source, asTemplate = false, running: Running = {}): Promise<Outcome<Opened>> {
    const path = source.path === null ? null : resolve(source.path);
    const stamp = path === null ? null : await fileStamp(path);
    const read = source.bytes ? done(source.bytes) : await readWhole(path ?? source.name, SIZE_LIMIT.project);
    if (!read.ok) return read;
    const file = await unpackProjectInTurns(read.value, source.name, running);
    if (!file.ok) return file;
    const base = await inTurns(sha256InSteps(read.value), { ...running, note: 'Reading the project', from: 0.95, to: 1 });
    if (base === null) return cancelled();
    const project: Project = {
      token: newToken(), name: stem(source.name), path: asTemplate ? null : path, stamp, base,
      key: path === null || asTemplate ? base : sha256(Buffer.from(path, 'utf8')),
      document: file.value.document, savedDocument: file.value.document, unsavedSince: null,
    };
    this.#addPlans(file.value.plans);
    const found = await this.#options.recovery.find(project.key);
    if (found) await this.#bringBack(project, found);
    return done(this.#register(project));
  }

  /** The latest never-saved project that a crash left behind, or an empty one: a window without a project could neither save nor recover. */
  async openUntitled(): Promise<Outcome<Opened>> {
    const found = await this.#options.recovery.findUntitled();
    if (!found) return this.create();
    this.#addPlans(found.plans);
    return done(this.#register({ ...untitled(), name: found.name, key: found.key, document: found.document, unsavedSince: found.savedAt }));
  }

  create(): Outcome<Opened> { return done(this.#register(untitled())); }

  async keep(token: string, document: Document): Promise<Outcome<{ savedAt: string }>> {
    const project = this.#open.get(token);
    if (!project) return noProject();
    project.document = document;
    const kept = await this.#options.recovery.keep({ key: project.key, name: project.name, base: project.base, document, plans: this.#options.plans });
    if (kept.ok) project.unsavedSince = kept.value.savedAt;
    return kept;
  }

  async discard(token: string): Promise<Outcome<Opened>> {
    const project = this.#open.get(token);
    if (!project) return noProject();
    await this.#options.recovery.drop(project.key);
    project.document = project.savedDocument;
    project.unsavedSince = null;
    return done(answer(project));
  }

  /** @returns null when the person waved the dialog away */
  async save(token: string, document: Document, as: boolean, running: Running = {}): Promise<Outcome<Saved>> {
    const project = this.#open.get(token);
    if (!project) return noProject();
    const packed = await packProjectInTurns(document, this.#options.plans, running);
    if (!packed.ok) return packed;
    if (project.path === null || as) {
      const suggested = safeFileName(project.name, EXTENSION);
      if (!this.#options.askSavePath) return this.#handOver(project, document, packed.value, suggested);
      const chosen = await this.#options.askSavePath(suggested);
      return chosen === null ? done(null) : this.#write(project, document, packed.value, resolve(chosen));
    }
    const now = await fileStamp(project.path);
    if (now !== null && now !== project.stamp) {
      return failed('changed-elsewhere', `${basename(project.path)} was changed by another program since it was opened here.`, 'Save under another name, then compare the two.');
    }
    return this.#write(project, document, packed.value, project.path);
  }

  async #write(project: Project, document: Document, bytes: Uint8Array, path: string): Promise<Outcome<Saved>> {
    const saved = await saveAtomic(path, bytes);
    if (!saved.ok) return saved;
    project.path = path;
    project.name = stem(basename(path));
    project.stamp = await fileStamp(path);
    await this.#settle(project, document, sha256(bytes), sha256(Buffer.from(path, 'utf8')));
    return done({ project: project.token, name: project.name, savedAt: new Date().toISOString(), download: null });
  }

  /** The page stores the bytes itself. The work stays in recovery under the new file's digest, in case the page could not. */
  async #handOver(project: Project, document: Document, bytes: Uint8Array, name: string): Promise<Outcome<Saved>> {
    const base = sha256(bytes);
    await this.#options.recovery.keep({ key: base, name: project.name, base, document, plans: this.#options.plans });
    await this.#settle(project, document, base, base);
    return done({ project: project.token, name: project.name, savedAt: new Date().toISOString(), download: { name, media: MEDIA, bytes } });
  }

  async #settle(project: Project, document: Document, base: string, key: string): Promise<void> {
    const old = project.key;
    Object.assign(project, { document, savedDocument: document, base, key, unsavedSince: null });
    if (old !== key || project.path !== null) await this.#options.recovery.drop(old);
  }

  /** Work that rests on another state of the file becomes a project without a file, so that a save cannot undo a colleague's. */
  async #bringBack(project: Project, found: Found): Promise<void> {
    if (JSON.stringify(found.document) === JSON.stringify(project.document)) { await this.#options.recovery.drop(project.key); return; }
    this.#addPlans(found.plans);
    project.document = found.document;
    project.unsavedSince = found.savedAt;
    if (found.base === project.base) return;
    project.path = null;
    project.name = `${project.name} (recovered)`;
  }

  #addPlans(plans: ReadonlyMap<string, Uint8Array>): void { for (const [blob, bytes] of plans) this.#options.plans.set(blob, bytes); }

  #register(project: Project): Opened {
    this.#open.set(project.token, project);
    this.#order.push(project);
    return answer(project);
  }
}

function untitled(): Project {
  const document = emptyDocument();
  return {
    token: newToken(), name: 'Untitled', path: null, stamp: null, base: null, key: `${UNTITLED}${randomBytes(8).toString('hex')}`,
    document, savedDocument: document, unsavedSince: null,
  };
}

const answer = (project: Project): Opened => ({
  project: project.token, name: project.name, ...inPortions(project.document), recovered: project.unsavedSince === null ? null : { savedAt: project.unsavedSince },
});
const stem = (name: string): string => (name.toLowerCase().endsWith(EXTENSION) ? name.slice(0, -EXTENSION.length) : name);
const noProject = () => failed('no-project', 'The project is not open in this program any more.', 'Open it again; unsaved work that was kept is brought back.');
