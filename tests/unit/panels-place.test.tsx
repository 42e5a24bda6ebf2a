// @vitest-environment jsdom
import { act } from 'react';
import { afterEach, expect, it } from 'vitest';
import { PlaceFields } from '../../renderer/panels/place-fields';
import { store } from '../../renderer/state/store';
import type { Load } from '../../shared-core/document/index';
import { sheetUnits } from '../../shared-core/units/index';
import { by, clear, named, press, show, type } from './panels-dom';
import { documentWith, loadOf } from './tools-workbench';

afterEach(clear);

it('a place that was pointed at from far away says how exactly it is known, and is exact once a person clears that', async () => {
  // Ten sheet units a foot: 20 are 2 ft.
  const load: Load = { ...loadOf('load-1', 'M-1', 300, 300), within: sheetUnits(20) };
  await act(async () => { store.getState().load(documentWith(load, loadOf('load-2', 'M-2', 500, 300)), null); });
  const now = () => store.getState().document.entities['load-1'];
  await show(<PlaceFields entity={load} />);
  const field = named<HTMLInputElement>('input', 'Known to within');
  expect(field.value).toBe("2'-0\"");
  await type(field, "0'-6\"");
  await press(field, 'Enter');
  expect(now()?.within).toBeCloseTo(5, 9);
  await type(field, '');
  await press(field, 'Enter');
  expect(now()).toEqual(loadOf('load-1', 'M-1', 300, 300));
  await clear();
  await show(<PlaceFields entity={loadOf('load-2', 'M-2', 500, 300)} />);
  expect(by('body').textContent).not.toContain('Known to within');
});
