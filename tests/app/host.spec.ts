import { expect, test } from './fixtures';
import type { Page } from '@playwright/test';

const holdsToken = (page: Page): Promise<boolean> => page.evaluate(() => sessionStorage.getItem('lockstead-token') !== null);

test('the page starts under its content policy and forgets the one-time code', async ({ window, program }) => {
  await expect(window.locator('#app')).not.toBeEmpty();
  await expect.poll(() => holdsToken(window)).toBe(true);
  expect(window.url()).toBe(`${program.origin}/`);
  expect(await window.evaluate(() => crossOriginIsolated)).toBe(true);
});

test('a reload keeps the session; a second page with the used code gets none', async ({ window, program, context }) => {
  await expect.poll(() => holdsToken(window)).toBe(true);
  const answered = window.waitForResponse((answer) => answer.url().endsWith('/call/start'));
  await window.reload();
  expect((await answered).status()).toBe(200);
  const second = await context.newPage();
  const refused = second.waitForResponse((answer) => answer.url().endsWith('/session'));
  await second.goto(program.address);
  expect((await refused).status()).toBe(403);
  expect(await holdsToken(second)).toBe(false);
  await expect(second.getByText('holds no key').first()).toBeVisible();
});
