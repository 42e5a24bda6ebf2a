import { strToU8 } from 'fflate';
import { describe, expect, it } from 'vitest';
import { FORMAT_VERSION, migrateProject } from '../../shared-core/document/index';
import { LIMITS, packProject, sha256, unpackProject } from '../../main/files/plan-file';
import { smallProject } from './scratch';
import { writeZip } from './zip';
import type { ZipEntry } from './zip';

function packed(): Uint8Array {
  const { document, plans } = smallProject();
  const made = packProject(document, plans);
  if (!made.ok) throw new Error(made.problem.what);
  return made.value;
}
const codeOf = (bytes: Uint8Array): string => {
  const read = unpackProject(bytes, 'works.lockstead');
  if (read.ok) return 'opened';
  expect(read.problem.what).toContain('works.lockstead');
  expect(read.problem.todo).not.toBe('');
  return read.problem.code;
};
/** A container around any project JSON, with a right list of contents unless told otherwise. */
function container(json: string, change: { version?: number; more?: readonly ZipEntry[]; contents?: (text: string) => string } = {}): Uint8Array {
  const project = strToU8(json);
  const listed = [{ name: 'project.json', size: project.length, sha256: sha256(project) }];
  const contents = JSON.stringify({ format: 'lockstead', formatVersion: change.version ?? FORMAT_VERSION, entries: listed });
  return writeZip([{ name: 'contents.json', bytes: strToU8(change.contents?.(contents) ?? contents) }, { name: 'project.json', bytes: project, packed: true }, ...(change.more ?? [])]);
}
const emptyJson = (): string => JSON.stringify({ ...smallProject().document, sheets: [] });

describe('the project file', () => {
  it('gives back the document and every plan byte', () => {
    const { document, plan } = smallProject();
    const read = unpackProject(packed(), 'works.lockstead');
    expect(read.ok && read.value.document).toEqual(document);
    expect(read.ok && [...read.value.plans]).toEqual([[sha256(plan), plan]]);
  });

  it('is the same bytes for the same project', () => { expect(packed()).toEqual(packed()); });

  it('leaves out plans that no sheet shows', () => {
    const { document, plans } = smallProject();
    const other = strToU8('another plan');
    const made = packProject(document, new Map([...plans, [sha256(other), other]]));
    const read = made.ok && unpackProject(made.value, 'works.lockstead');
    expect(read && read.ok && read.value.plans.size).toBe(1);
  });

  it('is not written when a plan is missing or the document would not open again', () => {
    const { document, plans } = smallProject();
    expect(packProject(document, new Map())).toMatchObject({ ok: false, problem: { code: 'plan-missing' } });
    const broken = { ...document, entities: { 'wall-x': { id: 'wall-x', kind: 'wall' } } } as unknown as typeof document;
    expect(packProject(broken, plans)).toMatchObject({ ok: false, problem: { code: 'not-saveable' } });
  });

  it('cut off anywhere is told as damaged, never opened', () => {
    const whole = packed();
    for (let length = 0; length < whole.length; length += 7) expect(['damaged-file', 'not-a-project']).toContain(codeOf(whole.slice(0, length)));
  });

  it('with one flipped bit in what it holds is told as damaged, never opened as if nothing were', () => {
    const whole = packed();
    let opened = 0;
    for (let at = 0; at < whole.length; at += 1) {
      const bad = whole.slice();
      bad[at] = (bad[at] ?? 0) ^ 0x10;
      const read = unpackProject(bad, 'works.lockstead');
      // Bits that carry nothing (dates, unused header fields) may flip; then the content must be what was saved.
      if (read.ok) { opened += 1; expect(read.value.document).toEqual(smallProject().document); }
    }
    expect(opened).toBeLessThan(whole.length / 3);
  });

  it('of a newer program is refused with both versions named, before anything else of it is read', () => {
    const newer = container('{"quite":"another shape"}', { version: FORMAT_VERSION + 3 });
    const read = unpackProject(newer, 'works.lockstead');
    expect(read).toMatchObject({ ok: false, problem: { code: 'newer-version' } });
    expect(!read.ok && read.problem.what).toContain(`format ${FORMAT_VERSION + 3}; this one reads up to ${FORMAT_VERSION}`);
  });

  it('that is no project at all says so', () => {
    expect(codeOf(strToU8('%PDF-1.7'))).toBe('not-a-project');
    expect(codeOf(new Uint8Array())).toBe('not-a-project');
    expect(codeOf(writeZip([]))).toBe('not-a-project');
  });
});

describe('a hostile project file', () => {
  const good = (): ZipEntry[] => [{ name: 'contents.json', bytes: strToU8('{}') }];
  it.each<[string, ZipEntry]>([
    ['climbs out of the folder', { name: '../../evil.sh', bytes: strToU8('x') }],
    ['names an absolute path', { name: '/etc/cron.d/evil', bytes: strToU8('x') }],
    ['uses backslashes', { name: 'plans\\..\\evil', bytes: strToU8('x') }],
    ['names an object built-in', { name: '__proto__', bytes: strToU8('x') }],
    ['hides a name behind a zero byte', { name: 'project.json\u0000.exe', bytes: strToU8('x') }],
    ['brings a plan under a name that is no digest', { name: `plans/${'A'.repeat(64)}`, bytes: strToU8('x') }],
    ['brings a folder', { name: 'plans/', bytes: new Uint8Array() }],
    ['is packed in an unknown way', { name: 'project.json', bytes: strToU8('x'), method: 99 }],
    ['states a size beyond the limit', { name: 'project.json', bytes: strToU8('x'), packed: true, statedSize: LIMITS.projectBytes + 1 }],
    ['states 4 GB', { name: `plans/${'a'.repeat(64)}`, bytes: strToU8('x'), packed: true, statedSize: 0xfffffffe }],
  ])('that %s is refused whole', (_, entry) => { expect(codeOf(writeZip([...good(), entry]))).toBe('hostile-file'); });

  it('with the same name twice is refused', () => {
    expect(codeOf(container(emptyJson(), { more: [{ name: 'project.json', bytes: strToU8('{}') }] }))).toBe('hostile-file');
  });

  it('with too many entries is refused', () => {
    const many = Array.from({ length: LIMITS.entries + 1 }, (_, i) => ({ name: `plans/${i.toString(16).padStart(64, '0')}`, bytes: new Uint8Array(1) }));
    expect(codeOf(writeZip(many))).toBe('hostile-file');
  });

  it('that unpacks to far more than it states never takes more memory than stated', () => {
    const bomb = writeZip([...good(), { name: 'project.json', bytes: new Uint8Array(64 * 1024 ** 2), packed: true, statedSize: 100 }]);
    expect(bomb.length).toBeLessThan(100_000);
    expect(codeOf(bomb)).toBe('damaged-file');
  });

  it('with many entries of the allowed size is refused by their sum', () => {
    const entry = (i: number): ZipEntry => ({ name: `plans/${i.toString(16).padStart(64, '0')}`, bytes: new Uint8Array(1), packed: true, statedSize: LIMITS.planBytes });
    expect(codeOf(writeZip([...good(), entry(1), entry(2), entry(3)]))).toBe('hostile-file');
  });

  it('with something that its list of contents does not name is not opened', () => {
    const stranger = strToU8('x');
    expect(codeOf(container(emptyJson(), { more: [{ name: `plans/${sha256(stranger)}`, bytes: stranger }] }))).toBe('damaged-file');
  });

  it('with keys that name built-ins changes no object of the program', () => {
    const json = emptyJson().replace('"entities":{', '"entities":{"__proto__":{"polluted":true},"constructor":{"prototype":{"polluted":true}},').replace(',}', '}');
    expect(codeOf(container(json))).toBe('bad-project');
    expect(codeOf(container(emptyJson().replace('{', '{"__proto__":{"polluted":true},')))).toBe('bad-project');
    expect(({} as Record<string, unknown>)['polluted']).toBeUndefined();
  });

  it('nested deeper than the reader can follow is told as damaged, not as a crash', () => {
    expect(['damaged-file', 'bad-project']).toContain(codeOf(container(`${'['.repeat(200_000)}${']'.repeat(200_000)}`)));
  });

  it('whose plan is not the one its name promises is not opened', () => {
    const { document, plans } = smallProject();
    const blob = [...plans.keys()][0] ?? '';
    const forged = strToU8('other bytes');
    const project = strToU8(JSON.stringify(document));
    const entries = [{ name: 'project.json', size: project.length, sha256: sha256(project) }, { name: `plans/${blob}`, size: forged.length, sha256: sha256(forged) }];
    const file = writeZip([{ name: 'contents.json', bytes: strToU8(JSON.stringify({ format: 'lockstead', formatVersion: FORMAT_VERSION, entries })) },
      { name: 'project.json', bytes: project }, { name: `plans/${blob}`, bytes: forged }]);
    expect(codeOf(file)).toBe('damaged-file');
  });

  it('that lacks the plan of a sheet is not opened', () => { expect(codeOf(container(JSON.stringify(smallProject().document)))).toBe('damaged-file'); });
});

describe('older formats', () => {
  it('are lifted step by step, each step fed by the one before', () => {
    const steps = { 1: (p: unknown) => ({ ...(p as object), two: true }), 2: (p: unknown) => ({ ...(p as object), three: 'two' in (p as object) }) };
    const old = Object.freeze({ one: true });
    expect(migrateProject(old, 1, steps, 3)).toEqual({ project: { one: true, two: true, three: true } });
    expect(migrateProject(old, 3, steps, 3)).toEqual({ project: { one: true } });
  });
  it('without a step, or with one that fails on this input, are not opened', () => {
    expect(migrateProject({}, 1, {}, 2)).toBeNull();
    expect(migrateProject({}, 1, { 1: () => { throw new TypeError('no such field'); } }, 2)).toBeNull();
  });
  it('asked for a version that cannot be is a programmer error', () => {
    expect(() => migrateProject({}, 0)).toThrow(RangeError);
    expect(() => migrateProject({}, FORMAT_VERSION + 1)).toThrow(RangeError);
  });
});
