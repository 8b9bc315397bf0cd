import react from '@vitejs/plugin-react';
import { fileURLToPath } from 'node:url';
import { build, defineConfig, type Plugin } from 'vite';

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));
/** Where a server answers while the pages are worked on: `SERVER=http://127.0.0.1:4700 npx vite apps/dashboard`. */
const server = process.env['SERVER'] ?? 'http://127.0.0.1:4700';

/** The parts of the built page, for the worker that keeps them where there is no network. */
const shellList = (): Plugin => ({
  name: 'shell-list',
  generateBundle: {
    // After those that drop empty parts.
    order: 'post',
    handler(_options, bundle) {
      const parts = Object.keys(bundle)
        .filter((file) => /\.(js|css)$|-latin-\d.*\.woff2$/.test(file))
        .map((file) => `/${file}`);
      const source = JSON.stringify({ parts: ['/mood.js', '/mark.svg', ...parts.sort()] });
      this.emitFile({ type: 'asset', fileName: 'shell.json', source });
    },
  },
});

/** The page inside published bundles is built along: its figures are the dashboard's own. */
const reviewPage: Plugin = {
  name: 'review-page',
  apply: 'build',
  async closeBundle() {
    await build({ configFile: here('bundle.vite.config.ts'), logLevel: 'warn' });
  },
};

export default defineConfig({
  root: here('.'),
  plugins: [react(), shellList(), reviewPage],
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
