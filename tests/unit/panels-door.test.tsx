// @vitest-environment jsdom
import { act } from 'react';
import { afterEach, expect, it } from 'vitest';
import { MarkPane } from '../../renderer/panels/mark-pane';
import { useApp } from '../../renderer/panels/use-app';
import { store } from '../../renderer/state/store';
import { readDocument } from '../../shared-core/document/index';
import type { Document, Opening, Wall } from '../../shared-core/document/index';
import { feet, sheetUnits } from '../../shared-core/units/index';
import { by, choose, clear, click, named, show } from './panels-dom';
import { exampleDocument } from './panels-example';

afterEach(clear);

function withDoor(opening: Partial<Opening> = {}): Document {
  const plain = exampleDocument();
  const at = (x: number, y: number) => ({ x: sheetUnits(x), y: sheetUnits(y) });
  const wall: Wall = { id: 'wall-door', kind: 'wall', sheet: 'sheet-hall', points: [at(0, 0), at(500, 0)], thickness: feet(0.5), bottom: feet(0), top: feet(10), material: 'opaque',
    openings: [{ id: 'opening-door', segment: 0, from: sheetUnits(200), to: sheetUnits(240), sill: feet(0), head: feet(7), leaf: 'closed', ...opening }] };
  return { ...plain, entities: { ...plain.entities, [wall.id]: wall } };
}
const door = (): Opening | undefined => { const wall = store.getState().document.entities['wall-door']; return wall?.kind === 'wall' ? wall.openings[0] : undefined; };
function Pane() { const wall = useApp((s) => s.document.entities['wall-door']); return wall?.kind === 'wall' ? <MarkPane entity={wall} /> : null; }

const open = async (opening?: Partial<Opening>) => {
  await act(async () => { store.getState().load(withDoor(opening), { handle: 'test', name: 'works.lockstead' }); });
  await show(<Pane />);
  await click(by('.section-head'));
};

it('what hardware a door has is not known until somebody says it, and can be taken back', async () => {
  await open();
  expect(door()?.panicHardware).toBeUndefined();
  await choose('Panic hardware', 'yes');
  expect(door()?.panicHardware).toBe(true);
  expect(readDocument(JSON.parse(JSON.stringify(store.getState().document))).ok).toBe(true);
  await choose('Panic hardware', 'not given');
  expect(door()).not.toHaveProperty('panicHardware');
  expect(store.getState().done.at(-1)?.name).toBe('set panic hardware of wall');
});

it('its swing can be turned, hung at the other end, and taken away', async () => {
  await open({ swing: { hinge: 'from', side: 'left' } });
  await click(named('button', 'Open to the other side'));
  await click(named('button', 'Hinge at the other end'));
  expect(door()?.swing).toEqual({ hinge: 'to', side: 'right' });
  await click(named('button', 'It slides: no swing'));
  expect(door()).not.toHaveProperty('swing');
  await click(named('button', 'It swings'));
  expect(door()?.swing).toBeDefined();
});

it('an empty doorway and a window are asked for neither', async () => {
  for (const leaf of ['none', 'glazed'] as const) {
    await open({ leaf });
    expect([...document.querySelectorAll('.field-label')].map((l) => l.textContent)).not.toContain('Panic hardware');
    await clear();
  }
});
