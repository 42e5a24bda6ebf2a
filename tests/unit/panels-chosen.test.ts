import { readFile } from 'node:fs/promises';
import { beforeAll, describe, expect, it } from 'vitest';
import { unpackProject } from '../../main/files/plan-file';
import { withoutTag } from '../../renderer/panels/result-text';
import { store } from '../../renderer/state/store';
import { auditDocument } from '../../shared-core/audit/index';
import { worstVerdict } from '../../shared-core/code-data/index';
import { entitiesOf } from '../../shared-core/document/index';

beforeAll(async () => {
  const demo = unpackProject(new Uint8Array(await readFile(new URL('../../assets/demo/cider-works.lockstead', import.meta.url))), 'demo');
  if (!demo.ok) throw new Error(demo.problem.what);
  store.getState().load(demo.value.document, null);
  store.getState().setAudit(store.getState().revision, auditDocument(demo.value.document));
});

describe('the chosen device', () => {
  it('is not named again in its own titles, whatever joins the name to the words', () => {
    expect(withoutTag('DS-10, ready access from CH-401: far', 'DS-10')).toBe('ready access from CH-401: far');
    expect(withoutTag('DS-10: too small', 'DS-10')).toBe('too small');
    expect(withoutTag('DS-10 fuse: too large', 'DS-10')).toBe('fuse: too large');
    expect(withoutTag('DS-10 fuse: too large', 'DS-1')).toBe('DS-10 fuse: too large');
    expect(withoutTag('DS-10', 'DS-10')).toBe('DS-10');
  });

  it('no title of the demo begins with a stray sign once the tag is off', () => {
    const { document, audit } = store.getState();
    for (const result of audit?.audit.results ?? []) {
      const device = document.entities[result.subject.disconnect ?? ''];
      if (device?.kind === 'disconnect') expect(withoutTag(result.title, device.tag)).toMatch(/^[A-Za-z0-9]/);
    }
  });
});

describe('the elevation', () => {
  it('follows the choice to the worst pair of the newly chosen device, and closes with nothing to show', () => {
    const { document, audit } = store.getState();
    const pairs = audit?.audit.pairs ?? [];
    const [first] = pairs;
    if (!first) throw new Error('the demo has no pair');
    store.getState().setPair(first);
    for (const device of entitiesOf(document, 'disconnect')) {
      store.getState().setPair(first);
      store.getState().select([device.id]);
      const { pair } = store.getState();
      if (device.id === first.disconnect) { expect(pair).toBe(first); continue; }
      expect(pair?.disconnect).toBe(device.id);
      const own = pairs.filter((p) => p.disconnect === device.id);
      expect(own.find((p) => p.load === pair?.load && p.target === pair.target)?.verdict).toBe(worstVerdict(own.map((p) => p.verdict)));
    }
    const wall = entitiesOf(document, 'wall')[0];
    store.getState().setPair(first);
    store.getState().select([wall?.id ?? '']);
    expect(store.getState().pair).toBeNull();
  });

  it('stays closed while nobody asked for it', () => {
    store.getState().setPair(null);
    store.getState().select([entitiesOf(store.getState().document, 'disconnect')[0]?.id ?? '']);
    expect(store.getState().pair).toBeNull();
  });
});
