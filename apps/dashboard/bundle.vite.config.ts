/** The script and style of the page inside a published bundle: one file each, fonts and all. */
import react from '@vitejs/plugin-react';
import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vite';

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));

export default defineConfig({
  root: here('.'),
  publicDir: false,
  plugins: [react()],
  define: { 'process.env.NODE_ENV': '"production"' },
  build: {
    outDir: here('../../dist/review-page'),
    emptyOutDir: true,
    target: 'es2022',
    assetsInlineLimit: 1_000_000,
    lib: {
      entry: here('src/bundle/main.tsx'),
      formats: ['iife'],
      name: 'reviewPage',
      fileName: () => 'page.js',
      cssFileName: 'page',
    },
  },
});
