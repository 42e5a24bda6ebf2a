import { fileURLToPath } from 'node:url';
import react from '@vitejs/plugin-react';
import { defineConfig } from 'vite';

const here = fileURLToPath(new URL('.', import.meta.url));

export default defineConfig({
  root: here,
  publicDir: false,
  plugins: [react()],
  worker: { format: 'es' },
  build: {
    outDir: fileURLToPath(new URL('../dist/renderer', import.meta.url)),
    emptyOutDir: true,
    target: 'chrome120',
    // The page's policy allows no inline script, no data: script and no style attribute.
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    reportCompressedSize: false,
    chunkSizeWarningLimit: 4000,
    rolldownOptions: { checks: { pluginTimings: false } },
  },
});
