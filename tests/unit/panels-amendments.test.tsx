// @vitest-environment jsdom
import { act } from 'react';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { AmendmentsForm } from '../../renderer/panels/amendments-form';
import { useApp } from '../../renderer/panels/use-app';
import { store } from '../../renderer/state/store';
import type { Override } from '../../shared-core/document/index';
import { by, clear, click, named, press, show, type } from './panels-dom';
import { exampleDocument } from './panels-example';

function Form() { return <AmendmentsForm facts={useApp((s) => s.document.facts)} />; }
const overrides = (): readonly Override[] => store.getState().document.facts.overrides;
const open = async (...given: Override[]) => {
  const plain = exampleDocument();
  await act(async () => { store.getState().load({ ...plain, facts: { ...plain.facts, overrides: given } }, { handle: 'test', name: 'works.lockstead' }); });
  await show(<Form />);
};
const fill = async (label: string, text: string) => { const input = named<HTMLInputElement>('input', label); await type(input, text); await press(input, 'Enter'); };
const offered = async (words: string): Promise<Element[]> => {
  const input = named<HTMLInputElement>('input', 'Value replaced');
  await press(input, 'ArrowDown');
  await type(input, words);
  return [...document.querySelectorAll('[role="option"]')];
};
const chooseValue = async (words: string) => {
  const [option, ...more] = await offered(words);
  expect(more).toEqual([]);
  await click(option!);
};
const handle: Override = { id: 'override-1', key: 'handle-height', value: 2, unit: 'm', reason: 'amendment 12', authority: 'county' };

beforeEach(() => { store.getState().select([]); });
afterEach(clear);

describe('local amendments', () => {
  it('a new one is chosen from the values of rules, and recorded only as a whole', async () => {
    await open();
    await click(named('button', 'Add an amendment'));
    await click(named('button', 'Record'));
    expect(by('.amendment > [role="alert"]').textContent).toBe('Still needed: value replaced, by, authority, reason.');
    await chooseValue('Highest handle');
    expect(by('.field-hint').textContent).toBe("The rule says 6'-7\" (404.8(A)).");
    await fill('By', "6'-0\"");
    await fill('Authority', 'county');
    await click(named('button', 'Record'));
    expect(overrides()).toEqual([]);
    await fill('Reason', 'amendment 12');
    await click(named('button', 'Record'));
    expect(overrides()).toMatchObject([{ key: 'handle-height', value: 6, unit: 'ft', reason: 'amendment 12', authority: 'county' }]);
    expect(store.getState().done.at(-1)?.name).toBe('set local amendment: Highest handle');
    await act(async () => { store.getState().undo(); });
    expect(overrides()).toEqual([]);
  });

  it('a number is taken in the unit of its rule, and only there', async () => {
    await open();
    await click(named('button', 'Add an amendment'));
    await chooseValue('Disconnect rating over motor full-load');
    await fill('By', '125 A');
    expect(by('.field-fault').textContent).toContain('write it in %');
    await fill('By', '125');
    await fill('Authority', 'county');
    await fill('Reason', 'amendment 3');
    await click(named('button', 'Record'));
    expect(overrides()).toMatchObject([{ key: 'motor.disconnect.percent', value: 125, unit: '%' }]);
  });

  it('a value that is replaced already is not offered twice', async () => {
    await open(handle);
    await click(named('button', 'Add an amendment'));
    expect(await offered('Highest')).not.toHaveLength(0);
    expect(await offered('Highest handle')).toHaveLength(0);
  });

  it('one on record shows in the units of the project, keeps its reason, and is removed as one edit', async () => {
    await open(handle);
    expect(named<HTMLInputElement>('input', 'By').value).toBe("6'-6 3/4\"");
    await type(named<HTMLInputElement>('input', 'Reason'), '');
    await press(named('input', 'Reason'), 'Enter');
    expect(overrides()[0]?.reason).toBe('amendment 12');
    await click(named('button', 'Remove this amendment'));
    expect(overrides()).toEqual([]);
  });

  it('a key that no rule has is shown as it is with what is wrong', async () => {
    await open({ ...handle, key: 'handel-height' });
    expect(by('legend').textContent).toBe('handel-height');
    expect(by('[role="alert"]').textContent).toBe('To mend: no value of a rule goes by that name, so it replaces nothing.');
    expect(by('.amendment p.field').textContent).toBe('2 m');
  });
});
