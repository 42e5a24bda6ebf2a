import { expect, test } from './fixtures';

test('the page starts under its content policy and forgets the one-time code', async ({ window, program }) => {
  await expect(window.getByRole('heading').first()).toBeVisible();
  expect(window.url()).toBe(`${program.origin}/`);
  expect(await window.evaluate(() => crossOriginIsolated)).toBe(true);
});

test('a reload keeps the session; a second page with the used code gets none', async ({ window, program, context }) => {
  await expect(window.getByRole('heading').first()).toContainText('Lockstead 0.');
  await window.reload();
  await expect(window.getByRole('heading').first()).toContainText('Lockstead 0.');
  const second = await context.newPage();
  await second.goto(program.address);
  await expect(second.getByText('holds no key').first()).toBeVisible();
});
