// @vitest-environment jsdom
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { QuickEntry } from '../../renderer/panels/quick-entry';
import { store } from '../../renderer/state/store';
import { entitiesOf, fittingSystem } from '../../shared-core/document/index';
import { volts } from '../../shared-core/units/index';
import { exampleDocument } from './panels-example';
import { act } from 'react';
import { by, clear, show, type } from './panels-dom';

const loads = () => entitiesOf(store.getState().document, 'load');
const field = () => by<HTMLInputElement>('#quick-load');
const enter = () => act(async () => { by<HTMLFormElement>('form.quick').requestSubmit(); });

beforeEach(async () => { await act(async () => { store.getState().load(exampleDocument(), { handle: 'test', name: 'works.lockstead' }); }); });
afterEach(clear);

describe('quick entry', () => {
  it('makes an unplaced load of a line in trade notation', async () => {
    await show(<QuickEntry />);
    await type(field(), 'P-401 booster pump 7 1/2 hp 460 V 3 ph code G');
    expect(by('#quick-said').textContent).toContain('P-401: booster pump');
    await enter();
    const made = loads().find((l) => l.tag === 'P-401');
    expect(made).toMatchObject({ at: null, name: 'booster pump', data: { kind: 'motor', horsepower: 7.5, voltage: 460, phases: 3, codeLetter: 'G', system: 'system-main' } });
    expect(field().value).toBe('');
    expect(store.getState().done.at(-1)?.name).toBe('added P-401');
  });
  it('underlines what was not understood and asks before leaving it out', async () => {
    await show(<QuickEntry />);
    const before = loads().length;
    await type(field(), 'P-402 pump 5 hp 460 V 3 ph mauve');
    expect(by('.quick-under u').textContent).toBe('mauve');
    await enter();
    expect(loads()).toHaveLength(before);
    expect(by('#quick-said').textContent).toContain("without 'mauve'");
    await enter();
    expect(loads()).toHaveLength(before + 1);
  });
  it('does not make a second load of a tag that is there', async () => {
    await show(<QuickEntry />);
    const before = loads().length;
    await type(field(), 'P-301 pump 5 hp 460 V 3 ph');
    await enter();
    expect(loads()).toHaveLength(before);
    expect(by('#quick-said').textContent).toBe('P-301 is there already.');
  });
  it('makes nothing of an empty line or a project without a sheet', async () => {
    await show(<QuickEntry />);
    const before = loads().length;
    await enter();
    await act(async () => { store.setState({ sheet: null }); });
    await type(field(), 'P-403 pump 5 hp 460 V 3 ph');
    await enter();
    expect(loads()).toHaveLength(before);
  });
});

describe('the supply system of a typed load', () => {
  const document = exampleDocument();
  it('is the only one whose nominal voltage the nameplate fits', () => {
    expect(fittingSystem({ kind: 'motor', voltage: volts(460), phases: 3 }, document)).toBe('system-main');
  });
  it('is asked for when none fits, when several do, and when no voltage is typed', () => {
    expect(fittingSystem({ kind: 'motor', voltage: volts(230), phases: 3 }, document)).toBeUndefined();
    expect(fittingSystem({ kind: 'motor' }, document)).toBeUndefined();
    const twin = { ...document, facts: { ...document.facts, systems: [...document.facts.systems, { ...document.facts.systems[0]!, id: 'system-second' }] } };
    expect(fittingSystem({ kind: 'motor', voltage: volts(460), phases: 3 }, twin)).toBeUndefined();
  });
});
