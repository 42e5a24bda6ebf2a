import { beforeEach, afterEach, describe, expect, it, vi } from 'vitest';
import { startAuditing } from '../../renderer/worker/index';
import type { AuditThread, MarginAnswer, ThreadRequest } from '../../renderer/worker/index';
import { auditDocument } from '../../shared-core/audit/index';
import type { Audit } from '../../shared-core/audit/index';
import { documentWith, loadOf, switchOf } from './tools-workbench';

const document = documentWith(loadOf('load-1', 'M-1', 300, 300), switchOf('switch-1', 'DS-1', 400, 300, ['load-1']));
const audit = auditDocument(document);

/** A store with a revision to turn, and a thread that answers when the test says. */
function setUp() {
  let revision = 1; const listeners = new Set<() => void>();
  const kept: [number, Audit][] = []; const told: string[] = []; const asked: ThreadRequest[] = []; const said: MarginAnswer[] = [];
  let selection: readonly string[] = [];
  let isEnded = false;
  const thread: AuditThread = { postMessage: (request) => { asked.push(request); }, onmessage: null, onerror: null, terminate: () => { isEnded = true; } };
  const store = {
    getState: () => ({ document, revision, selection, pair: null, setAudit: (r: number, a: Audit) => { kept.push([r, a]); }, setMargins: (m: MarginAnswer) => { said.push(m); }, notify: (_: 'problem', what: string) => { told.push(what); } }),
    subscribe: (listener: () => void) => { listeners.add(listener); return () => { listeners.delete(listener); }; },
  };
  const stop = startAuditing(store, thread);
  const tell = (): void => { for (const listener of listeners) listener(); };
  const audits = (): number[] => asked.flatMap((r) => ('audit' in r ? [r.revision] : []));
  return { kept, told, asked, audits, said, thread, stop, edit: () => { revision += 1; tell(); }, choose: (...ids: string[]) => { selection = ids; tell(); }, ended: () => isEnded };
}

describe('audits off the thread', () => {
  beforeEach(() => { vi.useFakeTimers(); });
  afterEach(() => { vi.useRealTimers(); });

  it('asks at once, then once after a burst of edits', () => {
    const { audits, thread, edit } = setUp();
    expect(audits()).toEqual([1]);
    thread.onmessage?.({ data: { revision: 1, ok: true, audit } });
    edit(); edit(); edit();
    vi.runAllTimers();
    expect(audits()).toEqual([1, 4]);
  });

  it('drops an answer to an earlier revision and asks again', () => {
    const { audits, kept, thread, edit } = setUp();
    edit();
    vi.runAllTimers();
    thread.onmessage?.({ data: { revision: 1, ok: true, audit } });
    expect(kept).toEqual([]);
    expect(audits().at(-1)).toBe(2);
    thread.onmessage?.({ data: { revision: 2, ok: true, audit } });
    expect(kept).toEqual([[2, audit]]);
  });

  it('a check that breaks is told once, keeps no result, and the next edit is audited again', () => {
    const { audits, kept, told, thread, edit } = setUp();
    thread.onmessage?.({ data: { revision: 1, ok: false, reason: 'no such row' } });
    expect(kept).toEqual([]);
    expect(told).toEqual([expect.stringContaining('no such row')]);
    edit();
    vi.runAllTimers();
    expect(audits().at(-1)).toBe(2);
  });

  it('margins are asked for once the chosen device is audited, anew for every revision, and an old answer is dropped', () => {
    const { asked, said, thread, edit, choose } = setUp();
    const margins = (): ThreadRequest[] => asked.filter((r) => 'margins' in r);
    choose('switch-1');
    expect(margins()).toEqual([]);
    thread.onmessage?.({ data: { revision: 1, ok: true, audit } });
    choose('switch-1'); choose('load-1'); choose('switch-1', 'load-1');
    expect(margins()).toEqual([{ revision: 1, margins: 'switch-1' }]);
    const answer: MarginAnswer = { revision: 1, margins: 'switch-1', said: [] };
    thread.onmessage?.({ data: answer });
    expect(said).toEqual([answer]);
    choose('switch-1');
    edit();
    thread.onmessage?.({ data: answer });
    expect(said).toEqual([answer]);
    vi.runAllTimers();
    expect(margins()).toHaveLength(1);
    thread.onmessage?.({ data: { revision: 2, ok: true, audit } });
    expect(margins().at(-1)).toEqual({ revision: 2, margins: 'switch-1' });
  });

  it('ends its thread when it is stopped', () => {
    const { stop, ended } = setUp();
    stop();
    expect(ended()).toBe(true);
  });
});
