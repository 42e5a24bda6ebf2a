import { expect, test } from './fixtures';
import { DEMO, PlanHand, readProject } from './plan-hand';

test.use({ programArgs: [DEMO] });

/** Walls and routes are reached through the list. */
const WALKED = new Set(['disconnect', 'load', 'controller', 'machine', 'supply', 'obstruction', 'area']);

/** Nothing in this file touches the mouse. */
async function open(window: PlanHand['page']): Promise<PlanHand> {
  const hand = new PlanHand(window, await readProject(DEMO));
  await expect(hand.canvas).toBeVisible();
  await hand.canvas.focus();
  return hand;
}

test('Tab walks through the marks in reading order and says each with its verdict', async ({ window }) => {
  const hand = await open(window);
  await window.keyboard.press('Tab');
  const first = await hand.said.textContent({ timeout: 5000 });
  await expect(hand.said).not.toHaveText('');
  for (let i = 0; i < 6; i += 1) await window.keyboard.press('Tab');
  await expect(hand.said).not.toHaveText(first ?? '');
  await expect(hand.canvas).toBeFocused();
});

test('Tab comes by every mark once, however the walk zooms, and then leaves the sheet', async ({ window }) => {
  test.slow();
  const hand = await open(window);
  const { entities } = await readProject(DEMO);
  const marks = Object.values(entities).filter((e) => WALKED.has(e.kind) && !(e.kind === 'load' && e.at === null)).length;
  for (let i = 0; i < marks; i += 1) await window.keyboard.press('Tab');
  await expect(hand.canvas).toBeFocused();
  await window.keyboard.press('Tab');
  await expect(hand.canvas).not.toBeFocused();
});

test('arrow keys move a disconnect out of sight and back, each press one step of undo', async ({ window }) => {
  const hand = await open(window);
  await chooseByKeys(hand, 'DS-04');
  await expect(hand.said).toHaveText(/^DS-04: P-201 pass/);
  // DS-04 hangs north of the wall at 40 ft; two feet down it stands in the room behind.
  for (let i = 0; i < 3; i += 1) await window.keyboard.press('Shift+ArrowDown');
  await expect(hand.said).toHaveText(/^DS-04: P-201 fail, .* behind a wall/);
  await expect(hand.undo).toHaveAccessibleName('Undo moved DS-04');
  for (let i = 0; i < 3; i += 1) await window.keyboard.press('Control+z');
  await expect(hand.said).toHaveText(/^DS-04: P-201 pass/);
  await expect(hand.undo).toHaveAccessibleName('Nothing to undo');
});

test('a wall, a load and a disconnect are made with keys alone', async ({ window }) => {
  const hand = await open(window);
  await window.keyboard.press('w');
  await window.keyboard.type("= 60', 12'");
  await window.keyboard.press('Enter');
  await window.keyboard.type("8' < 0");
  await window.keyboard.press('Enter');
  await expect(window.getByRole('textbox', { name: 'Exact length or position' })).toBeHidden();
  await window.keyboard.press('Enter');
  await expect(hand.undo).toHaveAccessibleName('Undo drew a wall');
  await window.keyboard.press('m');
  await window.keyboard.type("= 80', 10'");
  await window.keyboard.press('Enter');
  await expect(hand.undo).toHaveAccessibleName(/^Undo placed M-/);
  await window.keyboard.press('d');
  await window.keyboard.type("= 80', 16'");
  await window.keyboard.press('Enter');
  await expect(hand.undo).toHaveAccessibleName('Undo placed DS-15');
  // The load was chosen when the disconnect was placed, so they are linked and checked.
  await expect(hand.said).toHaveText(/^DS-15: M-\d+ pass, 6'-\d+"$/);
});

test('the cross-hair places a mark where arrow keys took it', async ({ window }) => {
  const hand = await open(window);
  await window.keyboard.press('h');
  for (let i = 0; i < 4; i += 1) await window.keyboard.press('Shift+ArrowRight');
  await window.keyboard.press('Enter');
  await expect(hand.undo).toHaveAccessibleName(/^Undo placed MC-/);
  await window.keyboard.press('Escape');
  await window.keyboard.press('Delete');
  await expect(hand.undo).toHaveAccessibleName(/^Undo deleted MC-/);
});

/** Walks with Tab until the wanted mark is chosen. */
async function chooseByKeys(hand: PlanHand, tag: string): Promise<void> {
  for (let i = 0; i < 80; i += 1) {
    await hand.page.keyboard.press('Tab');
    const heading = await hand.page.locator('.side-lower h2').first().textContent().catch(() => '');
    if (heading?.trim().startsWith(tag)) return;
  }
  throw new Error(`${tag} was not reached`);
}
