import { readdir, readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { Document } from '../../shared-core/document/index';
import type { Outcome } from '../../shared-core/host-api';
import { outOfPortions } from '../../shared-core/host-portions';
import { packProject, packProjectInTurns, unpackProject, unpackProjectInTurns } from '../../main/files/plan-file';
import { createServices } from '../../main/services';
import type { ServiceOptions, Services } from '../../main/services';
import { renamed, scratchFolder, smallProject } from './scratch';

function value<T>(outcome: Outcome<T>): T {
  if (!outcome.ok) throw new Error(`${outcome.problem.code}: ${outcome.problem.what}`);
  return outcome.value;
}
const fileBytes = (document: Document): Uint8Array => value(packProject(document, smallProject().plans));
async function nameInFile(path: string): Promise<string> {
  return value(unpackProject(new Uint8Array(await readFile(path)), path)).document.facts.name;
}

/** The document of a large project, as the window makes it of what it is handed. */
function putTogether({ document, entities }: { readonly document: Document; readonly entities?: Uint8Array | undefined }): Document {
  const steps = outOfPortions(document, entities ?? new Uint8Array());
  let step = steps.next();
  while (!step.done) step = steps.next();
  if (!step.value) throw new Error('the project did not come whole');
  return step.value;
}

interface Bench { readonly folder: string; readonly path: string; readonly state: string; readonly serve: (options?: Partial<ServiceOptions>) => Services }
/** A project file on the disk and services that can be started over it again and again, as after a crash. */
async function bench(): Promise<Bench> {
  const folder = await scratchFolder();
  const state = await scratchFolder();
  const path = join(folder, 'works.lockstead');
  await writeFile(path, fileBytes(renamed(smallProject().document, 'saved')));
  return { folder, path, state, serve: (options) => createServices({ runsIn: 'browser', version: '0', stateFolder: state, startPath: null, startIsTemplate: false, dialogs: null, ...options }) };
}
const started = async (services: Services) => {
  const { opened } = value(await services.calls.start({}));
  if (!opened) throw new Error('nothing was opened');
  return opened;
};

/** A project with so many walls that neither checking nor writing it fits one turn. */
function large(): Document {
  const { document } = smallProject();
  const wall = { kind: 'wall', sheet: 'sheet-a', points: [{ x: 0, y: 0 }, { x: 90, y: 40 }], thickness: 0.5, bottom: 0, top: 10, material: 'opaque', openings: [] };
  return { ...document, entities: Object.fromEntries(Array.from({ length: 20_000 }, (_, i) => [`w-${i}`, { ...wall, id: `w-${i}` }])) as unknown as Document['entities'] };
}

describe('opening and saving work in turns with everything else', () => {
  it('packs the same bytes and reads the same project as at once', async () => {
    const { document, plans } = { ...smallProject(), document: large() };
    const packed = value(packProject(document, plans));
    expect(Buffer.compare(Buffer.from(value(await packProjectInTurns(document, plans))), Buffer.from(packed))).toBe(0);
    expect(value(await unpackProjectInTurns(packed, 'large.lockstead'))).toEqual(value(unpackProject(packed, 'large.lockstead')));
    expect(value(unpackProject(packed, 'large.lockstead')).document).toEqual(document);
  });

  it('tells how far it is, never backwards, and lets other calls through meanwhile', async () => {
    const { serve } = await bench();
    const services = serve();
    const shares: number[] = [];
    services.onProgress((progress) => { if (progress.job === 'opening') shares.push(progress.done); });
    const file = value(await services.calls.offerFile({ name: 'large.lockstead', bytes: fileBytes(large()) }));
    let turns = 0; const timer = setInterval(() => { turns += 1; }, 1);
    const opened = value(await services.calls.openProject({ file: file.file, job: 'opening' }));
    clearInterval(timer);
    expect(Object.keys(putTogether(opened).entities).length).toBe(20_000);
    expect(turns).toBeGreaterThan(2);
    expect(shares.length).toBeGreaterThan(2);
    expect(shares).toEqual([...shares].sort((a, b) => a - b));
    expect(shares.at(-1)).toBe(1);
  });

  it('a cancelled opening opens nothing, a cancelled save leaves file and unsaved work as they were', async () => {
    const { path, serve } = await bench();
    const services = serve({ startPath: path });
    const opened = await started(services);
    const before = await readFile(path);
    // Cancelled at the first word of its progress: the work is then under way and cannot be finished.
    services.onProgress(({ job }) => { void services.calls.cancel({ job }); });
    const file = value(await services.calls.offerFile({ name: 'large.lockstead', bytes: fileBytes(large()) }));
    expect(await services.calls.openProject({ file: file.file, job: 'opening' })).toMatchObject({ ok: false, problem: { code: 'cancelled' } });
    expect(value(await services.calls.start({})).opened).toMatchObject({ project: opened.project, name: 'works' });
    value(await services.calls.keepRecovery({ project: opened.project, document: large() }));
    expect(await services.calls.saveProject({ project: opened.project, document: large(), as: false, job: 'saving' })).toMatchObject({ ok: false, problem: { code: 'cancelled' } });
    expect(Buffer.compare(await readFile(path), before)).toBe(0);
    expect(services.hasUnsavedWork()).toBe(true);
  });

  it.each([0.1, 0.5])('packing is cancelled wherever it is: after a share of %f', async (share) => {
    const stop = new AbortController();
    const packed = await packProjectInTurns(large(), smallProject().plans, { signal: stop.signal, onProgress: (done) => { if (done >= share) stop.abort(); } });
    expect(packed).toMatchObject({ ok: false, problem: { code: 'cancelled' } });
  });
});

describe('a project named on the command line', () => {
  it('is opened at the start and saved to its own path, whole', async () => {
    const { path, serve, folder } = await bench();
    const services = serve({ startPath: path });
    const opened = await started(services);
    expect(opened).toMatchObject({ name: 'works', recovered: null });
    const saved = value(await services.calls.saveProject({ project: opened.project, document: renamed(opened.document, 'changed'), as: false }));
    expect(saved).toMatchObject({ name: 'works', download: null });
    expect(await nameInFile(path)).toBe('changed');
    expect(await readdir(folder)).toEqual(['works.lockstead']);
  });

  it('that another program changed meanwhile is not overwritten', async () => {
    const { path, serve } = await bench();
    const services = serve({ startPath: path });
    const opened = await started(services);
    await writeFile(path, fileBytes(renamed(smallProject().document, 'by a colleague')));
    expect(await services.calls.saveProject({ project: opened.project, document: opened.document, as: false })).toMatchObject({ ok: false, problem: { code: 'changed-elsewhere' } });
    expect(await nameInFile(path)).toBe('by a colleague');
  });

  it('can be saved twice in a row, and again after it was moved away', async () => {
    const { path, serve, folder } = await bench();
    const services = serve({ startPath: path });
    const opened = await started(services);
    for (const name of ['one', 'two']) value(await services.calls.saveProject({ project: opened.project, document: renamed(opened.document, name), as: false }));
    expect(await nameInFile(path)).toBe('two');
    expect(await readdir(folder)).toEqual(['works.lockstead']);
  });

  it('that is none: the window starts with an empty project, which can be saved and comes back after a crash', async () => {
    const { serve } = await bench();
    const services = serve();
    const fresh = await started(services);
    value(await services.calls.keepRecovery({ project: fresh.project, document: renamed(fresh.document, 'first work') }));
    expect(await started(serve())).toMatchObject({ document: { facts: { name: 'first work' } }, recovered: { savedAt: expect.any(String) } });
    expect(value(await services.calls.saveProject({ project: fresh.project, document: renamed(fresh.document, 'first work'), as: false }))?.download?.bytes.length).toBeGreaterThan(100);
  });

  it('that is missing or damaged is told once; then the window starts empty', async () => {
    const { path, serve } = await bench();
    await writeFile(path, 'PK nonsense');
    const services = serve({ startPath: path });
    expect(await services.calls.start({})).toMatchObject({ ok: false, problem: { code: 'damaged-file' } });
    expect(await started(services)).toMatchObject({ name: 'Untitled', recovered: null, document: { sheets: [], entities: {} } });
    expect(await readFile(path, 'utf8')).toBe('PK nonsense');
    expect(await serve({ startPath: `${path}x` }).calls.start({})).toMatchObject({ ok: false, problem: { code: 'missing-file' } });
  });

  it('opened as a template is never overwritten: a save hands out a copy', async () => {
    const { path, serve } = await bench();
    const services = serve({ startPath: path, startIsTemplate: true });
    const opened = await started(services);
    const saved = value(await services.calls.saveProject({ project: opened.project, document: renamed(opened.document, 'tried'), as: false }));
    expect(value(unpackProject(saved?.download?.bytes ?? new Uint8Array(), 'copy')).document.facts.name).toBe('tried');
    expect(await nameInFile(path)).toBe('saved');
  });
});

describe('a project offered by the page', () => {
  it('is handed back as a download under a fit name', async () => {
    const { serve } = await bench();
    const services = serve();
    const { file } = value(await services.calls.offerFile({ name: 'C:\\plans\\Press: hall?.lockstead', bytes: fileBytes(smallProject().document) }));
    const opened = value(await services.calls.openProject({ file }));
    const saved = value(await services.calls.saveProject({ project: opened.project, document: opened.document, as: false }));
    expect(saved?.download).toMatchObject({ name: 'Press hall.lockstead', media: 'application/x-lockstead' });
  });

  it('that is no project changes nothing: the open one stays open', async () => {
    const { path, serve } = await bench();
    const services = serve({ startPath: path });
    const opened = await started(services);
    const { file } = value(await services.calls.offerFile({ name: 'scan.png', bytes: new Uint8Array([137, 80, 78, 71]) }));
    expect(await services.calls.openProject({ file })).toMatchObject({ ok: false, problem: { code: 'not-a-project' } });
    expect((await started(services)).project).toBe(opened.project);
  });

  it('under a token that was never given, or a project never opened, is refused in words', async () => {
    const { serve } = await bench();
    const { calls } = serve();
    expect(await calls.openProject({ file: 'nothing' })).toMatchObject({ ok: false, problem: { code: 'no-file' } });
    expect(await calls.saveProject({ project: 'nothing', document: smallProject().document, as: false })).toMatchObject({ ok: false, problem: { code: 'no-project' } });
  });
});

describe('work kept for recovery', () => {
  it('comes back after a crash, marked, and can be thrown away for the saved state', async () => {
    const { path, serve } = await bench();
    const before = serve({ startPath: path });
    const opened = await started(before);
    value(await before.calls.keepRecovery({ project: opened.project, document: renamed(opened.document, 'unsaved') }));
    expect(before.hasUnsavedWork()).toBe(true);
    const after = serve({ startPath: path });
    const back = await started(after);
    expect([back.document.facts.name, back.recovered === null]).toEqual(['unsaved', false]);
    expect(await nameInFile(path)).toBe('saved');
    expect(value(await after.calls.discardRecovery({ project: back.project }))).toMatchObject({ document: { facts: { name: 'saved' } }, recovered: null });
    expect((await started(serve({ startPath: path }))).document.facts.name).toBe('saved');
  });

  it('is gone once the project is saved', async () => {
    const { path, serve } = await bench();
    const services = serve({ startPath: path });
    const opened = await started(services);
    value(await services.calls.keepRecovery({ project: opened.project, document: renamed(opened.document, 'unsaved') }));
    value(await services.calls.saveProject({ project: opened.project, document: renamed(opened.document, 'done'), as: false }));
    expect(services.hasUnsavedWork()).toBe(false);
    expect(await started(serve({ startPath: path }))).toMatchObject({ document: { facts: { name: 'done' } }, recovered: null });
  });

  it('never overwrites a file that changed since: it comes back as a project without a file', async () => {
    const { path, serve } = await bench();
    const before = serve({ startPath: path });
    const opened = await started(before);
    value(await before.calls.keepRecovery({ project: opened.project, document: renamed(opened.document, 'unsaved') }));
    await writeFile(path, fileBytes(renamed(smallProject().document, 'by a colleague')));
    const after = serve({ startPath: path });
    const back = await started(after);
    expect(back).toMatchObject({ name: 'works (recovered)', document: { facts: { name: 'unsaved' } } });
    expect(value(await after.calls.saveProject({ project: back.project, document: back.document, as: false }))?.download).not.toBeNull();
    expect(await nameInFile(path)).toBe('by a colleague');
  });

  it('of a project that was never saved comes back with the next empty start', async () => {
    const { serve } = await bench();
    const before = serve();
    const fresh = value(await before.calls.newProject({}));
    value(await before.calls.keepRecovery({ project: fresh.project, document: renamed(fresh.document, 'first ideas') }));
    expect(await started(serve())).toMatchObject({ document: { facts: { name: 'first ideas' } } });
  });

  it('is what a page shows after it was loaded again', async () => {
    const { path, serve } = await bench();
    const services = serve({ startPath: path });
    const opened = await started(services);
    value(await services.calls.keepRecovery({ project: opened.project, document: renamed(opened.document, 'unsaved') }));
    expect(await started(services)).toMatchObject({ project: opened.project, document: { facts: { name: 'unsaved' } } });
  });

  it('that was handed out as a download is found again by the downloaded file, and is then no unsaved work', async () => {
    const { serve } = await bench();
    const services = serve();
    const fresh = value(await services.calls.newProject({}));
    value(await services.calls.keepRecovery({ project: fresh.project, document: renamed(fresh.document, 'draft') }));
    const saved = value(await services.calls.saveProject({ project: fresh.project, document: renamed(fresh.document, 'final'), as: false }));
    const next = serve();
    expect(await started(next)).toMatchObject({ recovered: null, document: { sheets: [] } });
    const { file } = value(await next.calls.offerFile({ name: 'x.lockstead', bytes: saved?.download?.bytes ?? new Uint8Array() }));
    expect(value(await next.calls.openProject({ file }))).toMatchObject({ document: { facts: { name: 'final' } }, recovered: null });
  });
});

describe('a project that the window does not take up', () => {
  it('counts as never opened: the one before is what a page shows after it was loaded again, and work kept for it stays kept', async () => {
    const { path, serve } = await bench();
    const services = serve();
    const shown = await started(services);
    const other = value(await services.calls.offerFile({ name: 'other.lockstead', bytes: new Uint8Array(await readFile(path)) }));
    const opened = value(await services.calls.openProject({ file: other.file }));
    value(await services.calls.keepRecovery({ project: opened.project, document: renamed(opened.document, 'unsaved') }));
    expect(services.hasUnsavedWork()).toBe(true);
    value(await services.calls.leaveProject({ project: opened.project }));
    expect([services.hasUnsavedWork(), (await started(services)).project]).toEqual([false, shown.project]);
    expect(await services.calls.saveProject({ project: opened.project, document: opened.document, as: false })).toMatchObject({ ok: false, problem: { code: 'no-project' } });
    const again = value(await services.calls.offerFile({ name: 'other.lockstead', bytes: new Uint8Array(await readFile(path)) }));
    expect(value(await services.calls.openProject({ file: again.file }))).toMatchObject({ document: { facts: { name: 'unsaved' } } });
  });

  it('comes without its entities where it is large, and with their bytes', async () => {
    const { serve } = await bench();
    const services = serve();
    const large = { ...smallProject().document, entities: Object.fromEntries(Array.from({ length: 2001 }, (_, i) => [`load-${i}`, { kind: 'load', id: `load-${i}`, sheet: 'sheet-a', tag: `M-${i}`, name: '', at: { x: i, y: 1 }, height: 2, standing: 0, data: { kind: 'motor' } }])) } as unknown as Document;
    const { file } = value(await services.calls.offerFile({ name: 'large.lockstead', bytes: fileBytes(large) }));
    const opened = value(await services.calls.openProject({ file }));
    expect(opened.document.entities).toEqual({});
    expect(putTogether(opened)).toEqual(large);
  });
});

describe('the shell with its dialogs', () => {
  it('asks where to save, goes on saving there, and takes a dialog waved away for no answer', async () => {
    const { folder, serve } = await bench();
    const answers = [null, join(folder, 'second.lockstead')];
    const asked: string[] = [];
    const services = serve({ runsIn: 'window', dialogs: { openFile: async () => null, saveFile: async (name) => { asked.push(name); return answers.shift() ?? null; } } });
    const fresh = value(await services.calls.newProject({}));
    const save = (name: string, as = false) => services.calls.saveProject({ project: fresh.project, document: renamed(fresh.document, name), as });
    expect(value(await save('one'))).toBeNull();
    expect(value(await save('two'))).toMatchObject({ name: 'second', download: null });
    expect(value(await save('three'))).toMatchObject({ name: 'second' });
    expect(asked).toEqual(['Untitled.lockstead', 'Untitled.lockstead']);
    expect(await nameInFile(join(folder, 'second.lockstead'))).toBe('three');
  });

  it('opens the project that was picked and saves over it', async () => {
    const { path, serve } = await bench();
    const services = serve({ runsIn: 'window', dialogs: { openFile: async () => path, saveFile: async () => null } });
    const picked = value(await services.calls.pickFile({ purpose: 'project' }));
    expect(picked).toMatchObject({ name: 'works.lockstead' });
    const opened = value(await services.calls.openProject({ file: picked?.file ?? '' }));
    value(await services.calls.saveProject({ project: opened.project, document: renamed(opened.document, 'picked'), as: false }));
    expect(await nameInFile(path)).toBe('picked');
  });

  it('a browser page has no dialogs of the system', async () => {
    const { serve } = await bench();
    expect(await serve().calls.pickFile({ purpose: 'plan' })).toMatchObject({ ok: false, problem: { code: 'not-here' } });
    expect(await serve().calls.saveFile({ name: 'a.pdf', media: 'application/pdf', bytes: new Uint8Array() })).toMatchObject({ ok: false, problem: { code: 'not-here' } });
  });
});
