import { existsSync, readFileSync } from 'node:fs';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { _electron, expect, test } from '@playwright/test';
import { ROOT } from './fixtures';

/** Electron's own program, where it was installed; null elsewhere. */
function findElectron(): string | null {
  const folder = process.env['ELECTRON_OVERRIDE_DIST_PATH'] ?? join(ROOT, 'node_modules/electron/dist');
  const named = join(ROOT, 'node_modules/electron/path.txt');
  const name = existsSync(named) ? readFileSync(named, 'utf8').trim() : process.platform === 'win32' ? 'electron.exe' : 'electron';
  return existsSync(join(folder, name)) ? join(folder, name) : null;
}
const electron = findElectron();
const hasDisplay = process.platform !== 'linux' || Boolean(process.env['DISPLAY'] ?? process.env['WAYLAND_DISPLAY']);

test.describe('Electron itself', () => {
  test.skip(electron === null, "Electron's program is not installed here");
  test.skip(!hasDisplay, 'there is no display for a window');
  test.skip(process.getuid?.() === 0, "root would have to give up the window's sandbox");

  test('opens a sandboxed window on the demo, without Node in its page', async () => {
    const folder = await mkdtemp(join(tmpdir(), 'lockstead-test-'));
    const program = await _electron.launch({ executablePath: electron ?? '', args: [ROOT, '--template', join(ROOT, 'assets/demo/cider-works.lockstead'), `--user-data-dir=${folder}`] });
    try {
      const page = await program.firstWindow();
      await expect(page.locator('#app')).not.toBeEmpty();
      expect(page.url()).toBe('app://ui/');
      expect(await page.evaluate(() => ({ node: 'require' in window || 'process' in window, bridge: Object.keys((window as unknown as { lockstead: object }).lockstead) })))
        .toEqual({ node: false, bridge: ['call', 'onProgress', 'onCommand'] });
      const preferences = await program.evaluate(({ webContents }) => (webContents.getAllWebContents()[0] as unknown as { getLastWebPreferences(): Record<string, unknown> } | undefined)?.getLastWebPreferences());
      expect(preferences).toMatchObject({ contextIsolation: true, sandbox: true, nodeIntegration: false, webSecurity: true });
      const violated = await page.evaluate(() => new Promise<string>((resolve) => {
        document.addEventListener('securitypolicyviolation', (event) => { resolve(event.effectiveDirective); });
        fetch('https://example.com/').catch(() => undefined);
      }));
      expect(violated).toBe('connect-src');
    } finally {
      await program.close();
      await rm(folder, { recursive: true, force: true });
    }
  });
});
