import { mkdtemp, readFile, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from '@playwright/test';
import { packProject, unpackProject } from '../../main/files/plan-file';
import { expect, holdCalls, startProgram, stopProgram, test as base } from './fixtures';
import { DEMO, PlanHand } from './plan-hand';

/** The demo's scan with its scale, and nothing marked on it. */
const test = base.extend<{ hand: PlanHand }>({
  program: async ({ programArgs: _ }, provide) => {
    const folder = await mkdtemp(join(tmpdir(), 'lockstead-offer-'));
    const demo = unpackProject(new Uint8Array(await readFile(DEMO)), 'demo');
    if (!demo.ok) throw new Error(demo.problem.what);
    const packed = packProject({ ...demo.value.document, entities: {} }, demo.value.plans);
    if (!packed.ok) throw new Error(packed.problem.what);
    const path = join(folder, 'bare.lockstead');
    await writeFile(path, packed.value);
    const program = await startProgram([path], join(folder, 'state'));
    await provide(program);
    await stopProgram(program);
  },
  hand: async ({ window }, provide) => {
    const demo = unpackProject(new Uint8Array(await readFile(DEMO)), 'demo');
    if (!demo.ok) throw new Error(demo.problem.what);
    const hand = new PlanHand(window, demo.value.document);
    await hand.ready();
    await window.keyboard.press('Alt+3');
    await provide(hand);
  },
});

// Looking through a scan is a matter of seconds on a machine of its own, and of a minute where many share it.
test.describe.configure({ timeout: 400_000 });

const pane = (page: Page) => page.getByRole('region', { name: 'Walls the plan shows' });
const counted = async (page: Page): Promise<number> => Number(/^(\d+) offered/.exec(await pane(page).getByRole('status').innerText())?.[1] ?? NaN);
const shot = (page: Page, name: string) => (process.env['LOCKSTEAD_SHOTS'] === undefined ? Promise.resolve() : page.screenshot({ path: join(process.env['LOCKSTEAD_SHOTS'], name) }).then(() => undefined));

async function look(page: Page): Promise<void> {
  await page.getByRole('button', { name: 'Offer walls from the plan…' }).click();
  await pane(page).getByRole('button', { name: 'Look for walls' }).click();
  await expect(pane(page).getByRole('status')).toContainText('offered', { timeout: 200_000 });
}

test('walls of the scan are offered, chosen by click, box and key, accepted in one edit and undone exactly', async ({ hand, window }) => {
  await window.getByRole('button', { name: 'Offer walls from the plan…' }).click();
  const thinnest = pane(window).getByRole('textbox', { name: 'Thinnest wall' });
  await expect(thinnest).toHaveValue('0\'-3 3/4"');
  await shot(window, 'offer-1-sizes.png');
  const looking = await holdCalls(window, 'offerWalls');
  await pane(window).getByRole('button', { name: 'Look for walls' }).click();
  await expect(pane(window).getByRole('progressbar')).toBeVisible();
  looking.release();
  await expect(pane(window).getByRole('status')).toContainText('offered', { timeout: 200_000 });
  const all = await counted(window);
  expect(all).toBeGreaterThan(10);
  // Offered is not accepted: nothing is marked and there is nothing to undo.
  await expect(hand.undo).toHaveAccessibleName('Nothing to undo');
  await shot(window, 'offer-2-offered.png');

  // A box round the whole sheet chooses everything, with Shift it takes everything out again.
  const { width, height } = hand.sheet;
  const [from, to] = [await hand.at({ x: -20, y: -20 }), await hand.at({ x: width + 20, y: height + 20 })];
  const drag = async (): Promise<void> => { await window.mouse.move(from.x, from.y); await window.mouse.down(); await window.mouse.move(to.x, to.y, { steps: 6 }); await window.mouse.up(); };
  await drag();
  await expect(pane(window).getByRole('status')).toHaveText(`${all} offered, ${all} chosen`);
  await window.keyboard.down('Shift'); await drag(); await window.keyboard.up('Shift');
  await expect(pane(window).getByRole('status')).toHaveText(`${all} offered`);

  // By keyboard on the sheet: Tab goes to one, Enter chooses it.
  await window.keyboard.press('Tab');
  await window.keyboard.press('Enter');
  await window.keyboard.press('Tab');
  await window.keyboard.press('Enter');
  await expect(pane(window).getByRole('status')).toHaveText(`${all} offered, 2 chosen`);
  await shot(window, 'offer-3-chosen.png');
  await window.keyboard.press('a');
  await expect(hand.undo).toHaveAccessibleName('Undo accepted 2 offered walls');
  const left = await counted(window);
  expect(left).toBeLessThanOrEqual(all - 2);
  await window.keyboard.press('Control+z');
  await expect(hand.undo).toHaveAccessibleName('Nothing to undo');
  expect(await counted(window)).toBe(all);

  // The scale bar stands apart from the building: in doubt, and left out unless it is chosen as well.
  await expect(pane(window).getByRole('button', { name: /^Accept \d+ without doubt$/ })).toBeVisible();
  await drag();
  await pane(window).getByRole('button', { name: `Accept ${all} chosen` }).click();
  await expect(hand.undo).toHaveAccessibleName(`Undo accepted ${all} offered walls`);
  await expect(pane(window)).toContainText('Nothing of the offer is left to decide.');
  await shot(window, 'offer-4-accepted.png');
  await pane(window).getByRole('button', { name: 'Close the offer' }).click();
  await expect(window.getByRole('region', { name: 'Space', exact: true })).toContainText(`${all} marks`);
  // What stands there is not offered again.
  await look(window);
  expect(await counted(window)).toBeLessThan(all / 5);
});

test('in the list a candidate is chosen with Space and rejected with Delete; looking can be stopped; other sizes make another offer', async ({ hand, window }) => {
  await window.getByRole('button', { name: 'Offer walls from the plan…' }).click();
  const looking = await holdCalls(window, 'offerWalls');
  await pane(window).getByRole('button', { name: 'Look for walls' }).click();
  await pane(window).getByRole('button', { name: 'Cancel' }).click();
  await expect(pane(window).getByRole('button', { name: 'Look for walls' })).toBeEnabled();
  await expect(pane(window).getByRole('status').filter({ hasText: 'offered' })).toHaveCount(0);
  looking.release();
  await pane(window).getByRole('button', { name: 'Look for walls' }).click();
  await expect(pane(window).getByRole('status')).toContainText('offered', { timeout: 200_000 });
  const all = await counted(window);
  const list = pane(window).getByRole('listbox', { name: 'Offered walls' });
  await list.focus();
  await list.press('Home');
  await list.press(' ');
  await expect(list.getByRole('option').first()).toHaveAccessibleName(/, chosen$/);
  await list.press('ArrowDown');
  await list.press('Delete');
  await expect(pane(window).getByRole('status')).toHaveText(`${all - 1} offered, 1 chosen`);
  await pane(window).getByRole('button', { name: 'Bring back 1 rejected' }).click();
  await expect(pane(window).getByRole('status')).toHaveText(`${all} offered, 1 chosen`);
  await pane(window).getByRole('button', { name: 'Accept 1 chosen' }).click();
  await expect(hand.undo).toHaveAccessibleName('Undo accepted an offered wall');
  // Leaving the offer drops what was not accepted.
  await pane(window).getByRole('button', { name: 'Close the offer' }).click();
  await expect(window.getByRole('region', { name: 'Space', exact: true })).toContainText('1 mark');

  // Other sizes make another offer: of the works only the outer walls, a foot thick, lie in this range.
  await window.getByRole('button', { name: 'Offer walls from the plan…' }).click();
  for (const [name, size] of [['Thinnest wall', "0'-9\""], ['Thickest wall', "1'-4\""]] as const) {
    const field = pane(window).getByRole('textbox', { name });
    await field.fill(size);
    await field.press('Enter');
  }
  // A range the wrong way round is no range, and says so until it is one again.
  const thinnest = pane(window).getByRole('textbox', { name: 'Thinnest wall' });
  await thinnest.fill("2'");
  await thinnest.press('Enter');
  await expect(pane(window).getByRole('alert')).toHaveText('The thinnest wall must be thinner than the thickest.');
  await expect(pane(window).getByRole('button', { name: 'Look for walls' })).toBeDisabled();
  await thinnest.fill("0'-9\"");
  await thinnest.press('Enter');
  const tolerance = pane(window).getByRole('textbox', { name: 'Lines count as one within' });
  await expect(tolerance).toHaveValue("0'-0 5/8\"");
  await tolerance.fill("0'-1 1/2\"");
  await tolerance.press('Enter');
  const [asked] = await Promise.all([window.waitForRequest('**/call/offerWalls'), pane(window).getByRole('button', { name: 'Look for walls' }).click()]);
  // What is looked for, in units of the plan: the range, and an inch and a half of tolerance.
  const said = asked.postDataBuffer()?.toString('latin1') ?? ''; const perFoot = 1 / (hand.sheet.scale?.feetPerUnit ?? NaN);
  expect(Number(/"slack":([\d.]+)/.exec(said)?.[1])).toBeCloseTo(perFoot / 8, 6);
  expect(/"thickness":\[([\d.]+),([\d.]+)\]/.exec(said)?.slice(1).map((n) => Number(n) / perFoot)).toEqual([expect.closeTo(0.75, 9), expect.closeTo(16 / 12, 9)]);
  await expect(pane(window).getByRole('status')).toContainText('offered', { timeout: 200_000 });
  const thick = await counted(window);
  expect(thick).toBeGreaterThan(0);
  expect(thick).toBeLessThan(all - 1);
  const offered = pane(window).getByRole('listbox', { name: 'Offered walls' }).getByRole('option');
  for (const said of await offered.allTextContents()) {
    const [, feet, inches] = /(\d+)'-(\d+)[^,]* thick/.exec(said) ?? [];
    // To the nearest inch, as the list shows them.
    expect(12 * Number(feet) + Number(inches), said).toBeGreaterThanOrEqual(9);
    expect(12 * Number(feet) + Number(inches), said).toBeLessThanOrEqual(16);
  }
});
