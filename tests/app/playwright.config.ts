import { defineConfig } from '@playwright/test';
import { existsSync } from 'node:fs';

const known = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'];
const executablePath = process.env['LOCKSTEAD_CHROMIUM'] ?? known.find((path) => existsSync(path)) ?? '/usr/bin/chromium';

export default defineConfig({
  testDir: '.',
  outputDir: '../../test-results',
  // Long, so that a machine under load only takes longer: nothing is measured here.
  timeout: 180_000,
  expect: { timeout: 60_000 },
  // Software rendering shares the processor with the test itself; more workers make single tests slower, not the run faster.
  workers: Number(process.env['LOCKSTEAD_WORKERS'] ?? 1),
  fullyParallel: false,
  // Where one machine serves many, a test that failed is tried once more and told as flaky; at a desk it fails.
  retries: Number(process.env['LOCKSTEAD_RETRIES'] ?? 0),
  forbidOnly: Boolean(process.env['CI']),
  reporter: [['list']],
  use: {
    browserName: 'chromium',
    viewport: { width: 1440, height: 900 },
    // A control that never comes is told as such, not as a test that took too long.
    actionTimeout: 60_000,
    trace: 'retain-on-failure',
    launchOptions: {
      executablePath,
      // Root cannot use the sandbox; everybody else keeps it.
      args: process.getuid?.() === 0 ? ['--no-sandbox'] : [],
    },
  },
});
