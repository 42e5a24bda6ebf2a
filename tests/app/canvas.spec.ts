import { expect, test } from './fixtures';
import { DEMO, PlanHand, readProject } from './plan-hand';

test.use({ programArgs: [DEMO] });

test('a disconnect dragged behind a wall, out of reach and back says its verdict each time, and is one step of undo', async ({ window }) => {
  const hand = new PlanHand(window, await readProject(DEMO));
  await hand.ready();
  const start = hand.placeOf('DS-02'); const pump = hand.placeOf('P-102');
  await hand.click(start);
  await expect(hand.said).toHaveText(/^DS-02: P-102 pass, 13'-\d+"$/);
  await hand.moveTo(start);
  await window.mouse.down();
  // South of the press hall lies the boiler room, behind a wall.
  await hand.moveTo(hand.feetFrom(pump, 6, 12));
  await expect(hand.said).toHaveText(/^DS-02: P-102 fail, \d+'-\d+" behind a wall$/);
  // In the next hall but one it is too far as well.
  await hand.moveTo(hand.feetFrom(pump, 55, -2));
  await expect(hand.said).toHaveText(/^DS-02: P-102 fail, 55'-\d+" behind .+, 5'-\d+" too far$/);
  await hand.moveTo(hand.feetFrom(pump, 10, 2));
  await expect(hand.said).toHaveText(/^DS-02: P-102 pass, 1\d'-\d+"$/);
  await expect(hand.undo).toHaveAccessibleName('Nothing to undo');
  await window.mouse.up();
  await expect(hand.undo).toHaveAccessibleName('Undo moved DS-02');
  await window.keyboard.press('Control+z');
  await expect(hand.undo).toHaveAccessibleName('Nothing to undo');
  await expect(hand.said).toHaveText(/^DS-02: P-102 pass, 13'-\d+"$/);
});

test('a disconnect let go near a wall hangs on it and says so', async ({ window }) => {
  const hand = new PlanHand(window, await readProject(DEMO));
  await hand.ready();
  const start = hand.placeOf('DS-04');
  await hand.moveTo(start);
  await window.mouse.down();
  // The wall between the halls runs at 44 ft; DS-04 starts at 57 ft, so 12.5 ft to the left is half a foot off its face.
  await hand.moveTo(hand.feetFrom(start, -12.3, -12));
  await expect(window.locator('.tool-hint')).toContainText('DS-04 hangs on the wall and faces away from it');
  await window.mouse.up();
  await expect(hand.undo).toHaveAccessibleName('Undo moved DS-04');
});

test('a drag that leaves the canvas goes on, Escape drops it without a trace', async ({ window }) => {
  const hand = new PlanHand(window, await readProject(DEMO));
  await hand.ready();
  await hand.moveTo(hand.placeOf('P-201'));
  await window.mouse.down();
  await hand.moveTo(hand.feetFrom(hand.placeOf('P-201'), 3, 3));
  const rail = await window.locator('.rail').boundingBox();
  await window.mouse.move((rail?.x ?? 0) + 300, (rail?.y ?? 0) + 10, { steps: 4 });
  await expect(window.locator('.tool-hint')).toContainText('P-201 by');
  await window.keyboard.press('Escape');
  await window.mouse.up();
  await expect(hand.undo).toHaveAccessibleName('Nothing to undo');
});

test('walls are drawn by clicks and exact lengths; a length without a unit is asked back', async ({ window }) => {
  const hand = new PlanHand(window, await readProject(DEMO));
  await hand.ready();
  const free = hand.feetFrom(hand.placeOf('P-102'), 8, -14);
  await hand.click(free);
  await window.keyboard.press('w');
  await hand.click(free);
  await hand.moveTo(hand.feetFrom(hand.placeOf('P-102'), 16, -14));
  await window.keyboard.type("6'-6\"");
  const entry = window.getByRole('textbox', { name: 'Exact length or position' });
  await expect(entry).toHaveValue("6'-6\"");
  await entry.press('Enter');
  await expect(entry).toBeHidden();
  await window.keyboard.type('4');
  await entry.press('Enter');
  await expect(window.getByRole('alert')).toHaveText("'4' has no unit.");
  await window.getByRole('button', { name: '4 ft' }).click();
  await expect(entry).toBeHidden();
  await window.keyboard.press('Enter');
  await expect(hand.undo).toHaveAccessibleName('Undo drew a wall');
  await expect(hand.canvas).toBeFocused();
});

test('the wheel zooms to the pointer and 0 shows the whole sheet again', async ({ window }) => {
  const hand = new PlanHand(window, await readProject(DEMO));
  await hand.ready();
  const place = hand.placeOf('DS-10');
  await hand.moveTo(place);
  for (let i = 0; i < 8; i += 1) await window.mouse.wheel(0, -120);
  await window.waitForTimeout(200);
  // The mark under the pointer has stayed there.
  const { x, y } = await hand.at(place);
  await window.mouse.click(x, y);
  await expect(hand.said).toContainText('DS-10: CH-401 judgement');
  await window.keyboard.press('0');
  await window.waitForTimeout(500);
  await hand.click(hand.placeOf('DS-08'));
  await expect(hand.said).toContainText('DS-08: P-304 marginal');
});

test('losing the window in a drag drops it', async ({ window }) => {
  const hand = new PlanHand(window, await readProject(DEMO));
  await hand.ready();
  await hand.moveTo(hand.placeOf('P-201'));
  await window.mouse.down();
  await hand.moveTo(hand.feetFrom(hand.placeOf('P-201'), 3, 3));
  await window.evaluate(() => { globalThis.dispatchEvent(new Event('blur')); });
  await window.mouse.up();
  await expect(hand.undo).toHaveAccessibleName('Nothing to undo');
});
