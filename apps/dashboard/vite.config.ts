import react from '@vitejs/plugin-react';
import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vite';

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));
/** Where a server answers while the pages are worked on: `SERVER=http://127.0.0.1:4700 npx vite apps/dashboard`. */
const server = process.env['SERVER'] ?? 'http://127.0.0.1:4700';

export default defineConfig({
  root: here('.'),
  plugins: [react()],
  build: {
    outDir: here('../../dist/dashboard'),
    emptyOutDir: true,
    target: 'es2022',
    // The content policy lets nothing inline through: neither fonts and icons as data addresses nor scripts.
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    chunkSizeWarningLimit: 700,
  },
  server: { proxy: { '/api': { target: server, ws: true } } },
});
