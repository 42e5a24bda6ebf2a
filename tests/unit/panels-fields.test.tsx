// @vitest-environment jsdom
import { afterEach, describe, expect, it, vi } from 'vitest';
import { LengthField, NumberField, TextField } from '../../renderer/panels/fields';
import { PickList } from '../../renderer/panels/pick-list';
import { feet } from '../../shared-core/units/index';
import { by, clear, click, leave, named, press, show, type } from './panels-dom';

afterEach(clear);

describe('a length field', () => {
  it('shows the length as drawings do and takes a typed one over on Enter', async () => {
    const commit = vi.fn();
    await show(<LengthField label="Handle height" value={feet(5)} system="US" onCommit={commit} />);
    const input = named<HTMLInputElement>('input', 'Handle height');
    expect(input.value).toBe("5'-0\"");
    await type(input, "4'-6\"");
    await press(input, 'Enter');
    expect(commit).toHaveBeenCalledExactlyOnceWith(4.5, "4'-6\"");
  });
  it('asks back a length that can be meant in two ways and commits the choice', async () => {
    const commit = vi.fn();
    await show(<LengthField label="Top" value={feet(10)} system="US" onCommit={commit} />);
    const input = named<HTMLInputElement>('input', 'Top');
    await type(input, '12-6');
    await press(input, 'Enter');
    expect(commit).not.toHaveBeenCalled();
    expect(by('[role="alert"]').textContent).toContain('12-6');
    expect(input.getAttribute('aria-invalid')).toBe('true');
    await click(by('.field-fault .chip'));
    expect(commit).toHaveBeenCalledOnce();
    expect(commit.mock.calls[0]?.[0]).toBeCloseTo(12.5, 10);
  });
  it('keeps what cannot be read as typed, with the reason, and changes nothing', async () => {
    const commit = vi.fn();
    await show(<LengthField label="Top" value={feet(10)} system="US" onCommit={commit} />);
    const input = named<HTMLInputElement>('input', 'Top');
    await type(input, 'high');
    await leave(input);
    expect(input.value).toBe('high');
    expect(by('[role="alert"]').textContent?.length).toBeGreaterThan(8);
    expect(commit).not.toHaveBeenCalled();
  });
  it('goes back to the value before on Escape', async () => {
    const commit = vi.fn();
    await show(<LengthField label="Top" value={feet(10)} system="metric" onCommit={commit} />);
    const input = named<HTMLInputElement>('input', 'Top');
    expect(input.value).toBe('3.048 m');
    await type(input, '4 m');
    await press(input, 'Escape');
    expect(input.value).toBe('3.048 m');
    await leave(input);
    expect(commit).not.toHaveBeenCalled();
  });
  it('refuses a negative height', async () => {
    const commit = vi.fn();
    await show(<LengthField label="Handle height" value={feet(5)} system="US" onCommit={commit} />);
    const input = named<HTMLInputElement>('input', 'Handle height');
    await type(input, "-4'-0\"");
    await press(input, 'Enter');
    expect(commit).not.toHaveBeenCalled();
  });
});

describe('a number field', () => {
  it('removes the value when it is emptied', async () => {
    const commit = vi.fn();
    await show(<NumberField label="Horsepower" value={25} unit="hp" system="US" onCommit={commit} positive />);
    const input = named<HTMLInputElement>('input', 'Horsepower');
    await type(input, '');
    await leave(input);
    expect(commit).toHaveBeenCalledExactlyOnceWith(undefined, '');
  });
  it.each(['-5', '0', '1.05.2'])('refuses %s horsepower', async (text) => {
    const commit = vi.fn();
    await show(<NumberField label="Horsepower" value={25} unit="hp" system="US" onCommit={commit} positive />);
    const input = named<HTMLInputElement>('input', 'Horsepower');
    await type(input, text);
    await press(input, 'Enter');
    expect(commit).not.toHaveBeenCalled();
    expect(input.getAttribute('aria-invalid')).toBe('true');
  });
  it('refuses a power factor above 1', async () => {
    const commit = vi.fn();
    await show(<NumberField label="Power factor" value={0.85} unit="" system="US" onCommit={commit} positive max={1} />);
    await type(named<HTMLInputElement>('input', 'Power factor'), '1.2');
    await press(named('input', 'Power factor'), 'Enter');
    expect(commit).not.toHaveBeenCalled();
    expect(by('[role="alert"]').textContent).toBe('Must be at most 1.');
  });
});

it('a tag must not become empty', async () => {
  const commit = vi.fn();
  await show(<TextField label="Tag" value="DS-07" required onCommit={commit} />);
  await type(named<HTMLInputElement>('input', 'Tag'), '  ');
  await press(named('input', 'Tag'), 'Enter');
  expect(commit).not.toHaveBeenCalled();
});

describe('a list', () => {
  const items = ['a', 'b', 'c'].map((id) => ({ id, label: `row ${id}`, body: id }));
  it('is one tab stop and names the chosen row to a screen reader', async () => {
    await show(<PickList label="Rows" items={items} chosen="b" onChoose={() => undefined} empty="none" />);
    const list = by('[role="listbox"]');
    expect(list.tabIndex).toBe(0);
    expect(document.querySelectorAll('[tabindex="0"]')).toHaveLength(1);
    expect(document.getElementById(list.getAttribute('aria-activedescendant') ?? '')?.textContent).toBe('b');
  });
  it.each([['ArrowDown', 'c'], ['ArrowUp', 'a'], ['Home', 'a'], ['End', 'c'], ['PageDown', 'c'], ['PageUp', 'a']])('%s chooses %s', async (key, id) => {
    const choose = vi.fn();
    await show(<PickList label="Rows" items={items} chosen="b" onChoose={choose} empty="none" />);
    await press(by('[role="listbox"]'), key);
    expect(choose).toHaveBeenCalledExactlyOnceWith(id);
  });
  it('goes to the chosen thing on Enter and deletes it on Delete', async () => {
    const [go, remove] = [vi.fn(), vi.fn()];
    await show(<PickList label="Rows" items={items} chosen="b" onChoose={() => undefined} onGo={go} onDelete={remove} empty="none" />);
    await press(by('[role="listbox"]'), 'Enter');
    await press(by('[role="listbox"]'), 'Delete');
    expect(go).toHaveBeenCalledExactlyOnceWith('b');
    expect(remove).toHaveBeenCalledExactlyOnceWith('b');
  });
  it('starts at the top when nothing is chosen', async () => {
    const choose = vi.fn();
    await show(<PickList label="Rows" items={items} chosen={null} onChoose={choose} empty="none" />);
    await press(by('[role="listbox"]'), 'ArrowDown');
    expect(choose).toHaveBeenCalledExactlyOnceWith('a');
  });
});
