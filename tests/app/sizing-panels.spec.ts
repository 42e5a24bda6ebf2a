import { chooseRow, chosenPane, expect, listOf, projectMenu, stepButton, test } from './demo-copy';

test('a machine is entered by its parts, and its disconnect follows each of them', async ({ demo }) => {
  test.slow();
  await chooseRow(demo, 'Loads', 'Loads', 'CV-303');
  const pane = chosenPane(demo);
  await pane.getByRole('combobox', { name: /^Kind/ }).click();
  await demo.getByRole('option', { name: 'machine with several motors' }).click();
  const add = pane.getByRole('textbox', { name: 'Add a part' });
  await add.fill('main 10 hp code G');
  await add.press('Enter');
  await expect(pane.getByRole('textbox', { name: 'Part 1' })).toHaveValue('main 10 hp code G');
  await expect(add).toBeFocused();
  await add.fill('spindle 7 1/2 hp mauve');
  await expect(pane.locator('.parts u')).toHaveText('mauve');
  await add.press('Enter');
  await expect(pane).toContainText("Enter again takes it without 'mauve'");
  await expect(pane.getByRole('textbox', { name: 'Part 2' })).toHaveCount(0);
  await add.fill('spindle 7 1/2 hp code X');
  await add.press('Enter');
  await expect(pane.getByRole('list', { name: 'Parts of CV-303' })).toContainText("'X' is no code letter");
  const served = pane.locator('.consequence');
  // Nothing that rests on the motors is told while one of them is not known.
  await expect(served).toContainText('30 A');
  await expect(served).not.toContainText('J 6');
  const second = pane.getByRole('textbox', { name: 'Part 2' });
  await second.fill('spindle 7 1/2 hp code G');
  await second.press('Enter');
  await expect(served).toContainText('J 6');
  // The 6 A fuse of one 2 hp motor cannot carry 14 A and 11 A (NFPA 70 Table 430.250).
  await expect(served).toContainText('fail');
  await pane.getByRole('button', { name: 'Move part 2 up' }).press('Enter');
  await expect(pane.getByRole('textbox', { name: 'Part 1' })).toHaveValue('spindle 7 1/2 hp code G');
  await expect(pane.getByRole('button', { name: 'Move part 1 up' })).toBeFocused();
  await pane.getByRole('button', { name: 'Fields of part 1' }).press('Enter');
  const fields = pane.getByRole('group', { name: 'Fields of part 1' });
  await fields.getByLabel('Horsepower', { exact: true }).fill('10');
  await fields.getByLabel('Horsepower', { exact: true }).press('Enter');
  await expect(pane.getByRole('textbox', { name: 'Part 1' })).toHaveValue('spindle 10 hp code G');
  await expect(demo.getByRole('button', { name: 'Undo set horsepower of part 1 of CV-303' })).toBeEnabled();
  await pane.getByRole('button', { name: 'Fields of part 1' }).press('Enter');
  await expect(fields).toHaveCount(0);
  await pane.getByRole('button', { name: 'Remove part 2' }).click();
  await expect(demo.getByRole('button', { name: 'Undo removed part 2 of CV-303' })).toBeEnabled();
});

test('a local amendment is chosen, recorded with its reason, and stands in every result that rests on it', async ({ demo }) => {
  test.slow();
  await projectMenu(demo, 'Project facts…');
  const dialog = demo.getByRole('dialog', { name: 'Project facts' });
  await dialog.getByRole('button', { name: 'Add an amendment' }).click();
  const find = dialog.getByRole('combobox', { name: 'Value replaced' });
  await expect(find).toBeFocused();
  await find.fill('highest handle');
  await demo.getByRole('option', { name: /^Highest handle/ }).click();
  await expect(dialog).toContainText("The rule says 6'-7\" (404.8(A)).");
  await dialog.getByLabel('By', { exact: true }).fill('4 ft');
  await dialog.getByRole('button', { name: 'Record' }).click();
  await expect(dialog.getByRole('alert')).toHaveText('Still needed: authority, reason.');
  await dialog.getByLabel('Authority').fill('county building office');
  await dialog.getByLabel('Reason').fill('amendment 12');
  await dialog.getByLabel('Reason').press('Enter');
  await dialog.getByRole('button', { name: 'Record' }).click();
  await expect(dialog.getByRole('group', { name: 'Highest handle' })).toBeVisible();
  await dialog.getByRole('button', { name: 'Close' }).click();
  await expect(demo.getByRole('button', { name: 'Undo set local amendment: Highest handle' })).toBeEnabled();
  await chooseRow(demo, 'Disconnects', 'Devices', 'DS-01');
  await expect(listOf(demo, 'Devices').getByRole('option', { name: /^DS-01/ })).toHaveAttribute('aria-label', /^DS-01, fail/);
  await chosenPane(demo).getByRole('button', { name: /^handle height: 5'-0".*Why\?$/ }).press('Enter');
  await expect(demo.getByRole('dialog', { name: 'handle height' })).toContainText('local amendment');
});

test('a derivation opens at its head, with the steps of the answer itself before those it builds on', async ({ demo }) => {
  await chooseRow(demo, 'Disconnects', 'Devices', 'DS-01');
  await chosenPane(demo).getByRole('button', { name: /^fault current here: .*Why\?$/ }).press('Enter');
  const card = demo.getByRole('dialog', { name: 'fault current here' });
  await expect(card.getByRole('heading', { name: 'fault current here' })).toBeFocused();
  expect(await card.evaluate((node) => node.scrollTop)).toBe(0);
  await expect(card.getByText('Spread of the two methods')).toBeVisible();
  await expect(card.getByText('Full-load current', { exact: true }).first()).toBeHidden();
  await card.getByText(/^Steps 1 to \d+/).click();
  await expect(card.getByText('Full-load current', { exact: true }).first()).toBeVisible();
  await demo.keyboard.press('Escape');
  await expect(card).toHaveCount(0);
});

test('where the rail has no room for words, what asks for something carries a sign beside its colour', async ({ demo }) => {
  const sign = (name: string): Promise<string> => stepButton(demo, name).locator('b').evaluate((b) => getComputedStyle(b, '::after').content);
  expect(await sign('Loads')).toBe('none');
  await demo.setViewportSize({ width: 780, height: 700 });
  expect(await sign('Loads')).toContain('!');
  expect(await sign('Scale')).toBe('none');
  // The words stay for a screen reader.
  await expect(stepButton(demo, 'Loads')).toHaveAccessibleName(/1 not placed/);
});
