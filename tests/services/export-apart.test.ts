import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { unpackProject } from '../../main/files/plan-file';
import { makePdf, makeTable } from '../../main/hand-over';
import { createServices } from '../../main/services';
import type { Document } from '../../shared-core/document/index';

const DEMO = fileURLToPath(new URL('../../assets/demo/cider-works.lockstead', import.meta.url));
let folder = ''; let document: Document; let plans: ReadonlyMap<string, Uint8Array>;
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'lockstead-apart-'));
  const read = unpackProject(new Uint8Array(await readFile(DEMO)), 'demo');
  if (!read.ok) throw new Error(read.problem.what);
  ({ document, plans } = read.value);
});
afterAll(async () => { await rm(folder, { recursive: true, force: true }); });

describe('an output written in a process of its own', () => {
  const drawable = (blob: string) => Promise.resolve({ ok: true, value: { bytes: plans.get(blob) ?? new Uint8Array(), password: null } } as const);

  it('has the same bytes as one written here, and tells how far it is', async () => {
    const shares: number[] = [];
    const options = { drawable, date: '2026-05-04' };
    const here = await makePdf(document, options);
    const apart = await makePdf(document, { ...options, isApart: true, onProgress: (share) => { shares.push(share); } });
    if (!here.ok || !apart.ok) throw new Error('not written');
    expect(apart.value.name).toBe(here.value.name);
    expect(Buffer.compare(apart.value.bytes, here.value.bytes)).toBe(0);
    expect(shares.at(-1)).toBe(1);
    expect([...shares].sort((a, b) => a - b)).toEqual(shares);
    const tables = await Promise.all([false, true].map((isApart) => makeTable(document, 'csv', { date: options.date, isApart })));
    expect(tables[1]).toEqual(tables[0]);
  }, 240_000);

  it('is nothing at all when it is cancelled, and can be written afterwards', async () => {
    const { calls } = createServices({ runsIn: 'browser', version: '0', stateFolder: folder, startPath: DEMO, startIsTemplate: true, dialogs: null });
    const started = await calls.start({});
    expect(started.ok).toBe(true);
    const writing = calls.exportPdf({ document, job: 'job-export' });
    await calls.cancel({ job: 'job-export' });
    expect(await writing).toEqual({ ok: false, problem: { code: 'cancelled', what: 'The export was cancelled.', todo: 'Export again when you want it.' } });
    const written = await calls.exportPdf({ document, job: 'job-again' });
    expect(written.ok && Buffer.from(written.value.bytes.subarray(0, 5)).toString()).toBe('%PDF-');
  }, 240_000);

  it('that cannot be made says what of the project does not fit', async () => {
    const [device] = Object.values(document.entities).filter((e) => e.kind === 'disconnect');
    const broken = { ...document, entities: { ...document.entities, [device!.id]: { ...device!, serves: ['load-gone'] } } } as Document;
    expect(await makePdf(broken, { drawable, isApart: true })).toMatchObject({ ok: false, problem: { code: 'bad-project', todo: 'Undo the last change, then export again.' } });
    expect(await makePdf(document, { drawable, isApart: true, sheets: ['sheet-gone'] })).toMatchObject({ ok: false, problem: { code: 'sheet-missing' } });
  }, 240_000);
});
