// @vitest-environment jsdom
import { act } from 'react';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { DevicePane } from '../../renderer/panels/device-pane';
import { ExceptionDialog } from '../../renderer/panels/exception-dialog';
import { SharingFacts } from '../../renderer/panels/facts-form';
import { LimitedAccessFields } from '../../renderer/panels/limited-access-fields';
import { SizeFields } from '../../renderer/panels/size-fields';
import { uiStore } from '../../renderer/panels/ui-store';
import { useApp } from '../../renderer/panels/use-app';
import { store } from '../../renderer/state/store';
import { auditDocument } from '../../shared-core/audit/index';
import { entitiesOf, putEntities } from '../../shared-core/document/index';
import type { Disconnect, Document, Load, Wall } from '../../shared-core/document/index';
import { feet, sheetUnits } from '../../shared-core/units/index';
import { by, clear, click, named, press, show, type } from './panels-dom';
import { exampleDocument } from './panels-example';

const DEVICE = 'disconnect-ds-09';
const device = (): Disconnect => store.getState().document.entities[DEVICE] as Disconnect;
const open = async (document: Document) => {
  await act(async () => { store.getState().load(document, { handle: 'test', name: 'works.lockstead' }); });
  await act(async () => { store.getState().setAudit(store.getState().revision, auditDocument(document)); });
};
const last = () => store.getState().done.at(-1)?.name;
beforeEach(async () => { await open(exampleDocument()); });
afterEach(clear);

function Size() { const d = useApp((s) => s.document.entities[DEVICE]); return d?.kind === 'disconnect' ? <SizeFields device={d} system="US" /> : null; }
const fill = async (label: string, text: string) => { const input = named<HTMLInputElement>('input', label); await type(input, text); await press(input, 'Enter'); };

describe('the size of the enclosure', () => {
  it('counts when all three are typed, as one edit', async () => {
    await show(<Size />);
    await fill('Enclosure width', '10 in');
    await fill('Enclosure height', '20 in');
    expect(by('[role="alert"]').textContent).toContain('nothing is set yet');
    expect(store.getState().done).toHaveLength(0);
    await fill('Enclosure depth', '6 in');
    expect(device().data.size?.width).toBeCloseTo(10 / 12, 9);
    expect(device().data.size?.depth).toBeCloseTo(0.5, 9);
    expect(last()).toBe('set enclosure size of DS-09');
    expect(store.getState().done).toHaveLength(1);
  });
  it('one taken away leaves none, and the other two wait', async () => {
    await show(<Size />);
    for (const side of ['width', 'height', 'depth']) await fill(`Enclosure ${side}`, '12 in');
    await fill('Enclosure depth', '');
    expect(device().data).not.toHaveProperty('size');
    expect(named<HTMLInputElement>('input', 'Enclosure width').value).toBe("1'-0\"");
    await fill('Enclosure depth', '6 in');
    expect(device().data.size).toMatchObject({ width: 1, height: 1, depth: 0.5 });
  });
});

describe('a disconnect above a ceiling', () => {
  function Limited() { const d = useApp((s) => s.document.entities[DEVICE]); return d?.kind === 'disconnect' ? <LimitedAccessFields device={d} system="US" /> : null; }
  it('is measured as a whole: half of it sets nothing', async () => {
    await act(async () => { const { document: now, commit } = store.getState(); commit(putEntities(now, 'test', [{ ...device(), data: { limitedAccess: { place: 'ceiling', opening: [feet(2), feet(2)], clearWidth: feet(3), clearDepth: feet(3), doorDegrees: 90 } } }])); });
    await show(<Limited />);
    await fill('Opening, one side', '22 in');
    expect(device().data.limitedAccess).toMatchObject({ place: 'ceiling', opening: [22 / 12, 2], doorDegrees: 90 });
    expect(last()).toBe('set limited access of DS-09');
    await fill('Door opens to', '270');
    expect(by('.field-fault').textContent).toContain('at most 180');
    expect(device().data.limitedAccess?.doorDegrees).toBe(90);
  });
});

it('what lets motors share a disconnect is said once for all of them, as one edit', async () => {
  const loads = () => ['load-m-204', 'load-p-301'].map((id) => store.getState().document.entities[id] as Load);
  function Facts() { useApp((s) => s.document); return <SharingFacts loads={loads()} />; }
  await show(<Facts />);
  await click(by('[role="checkbox"]'));
  expect(loads().map((l) => l.data.conditions)).toEqual([['one-room'], ['one-room']]);
  expect(last()).toBe('set motors in one room, in sight of the switch: M-204, P-301');
  await click(by('[role="checkbox"]'));
  for (const load of loads()) expect(load.data).not.toHaveProperty('conditions');
});

describe('a disconnect behind a locked door', () => {
  const at = (x: number, y: number) => ({ x: sheetUnits(x), y: sheetUnits(y) });
  /** The device of CV-1 stands in a closed room with one locked door. */
  function lockedRoom(): Document {
    const plain = exampleDocument();
    const wall: Wall = { id: 'wall-room', kind: 'wall', sheet: 'sheet-hall', points: [at(760, 0), at(760, 400), at(1000, 400), at(1000, 0), at(760, 0)], thickness: feet(0.5), bottom: feet(0), top: feet(10), material: 'opaque',
      openings: [{ id: 'opening-door', segment: 0, from: sheetUnits(200), to: sheetUnits(240), sill: feet(0), head: feet(7), leaf: 'closed', locked: true }] };
    return { ...plain, entities: { ...plain.entities, [wall.id]: wall } };
  }
  const access = () => auditDocument(store.getState().document).results.find((r) => r.check === 'reach.access' && r.subject.disconnect === DEVICE)?.verdict;

  it('is offered a record of who holds the key, and the check passes with it', async () => {
    await open(lockedRoom());
    expect(access()).toBe('fail');
    await show(<DevicePane device={device()} />);
    await click(named('button', 'Record who holds the key, from CV-1'));
    const draft = uiStore.getState().exception;
    expect(draft).toEqual({ disconnect: DEVICE, load: 'load-cv-1', about: 'keys' });
    await clear();
    if (!draft) return;
    await show(<ExceptionDialog draft={draft} onClose={() => { uiStore.getState().askException(null); }} />);
    const record = () => click(named('button', 'Record'));
    await record();
    expect(by('.field-fault').textContent).toContain('Every line is needed');
    expect(document.querySelector('[role="combobox"]')).toBeNull();
    for (const [label, text] of [['Which key, and who holds it', 'key 4, maintenance'], ['Key list or procedure', 'KL-2'], ['Person who states it', 'plant engineer'], ['Date', '2026-03-02']] as const) await type(named<HTMLInputElement>('input', label), text);
    await record();
    expect(entitiesOf(store.getState().document, 'exception')).toMatchObject([{ condition: 'keys-held', disconnect: DEVICE, load: 'load-cv-1', person: 'plant engineer' }]);
    expect(last()).toBe('recorded who holds the key from CV-1 to DS-09');
    expect(access()).toBe('pass');
  });
});
