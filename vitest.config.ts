import { defineConfig } from 'vitest/config';

/**
 * Pure code is tested beside itself; the seams (server, queue, browser, crashes) in `test/`.
 * `scripts/test.mjs` runs both projects; a developer may name one: `npx vitest run --project pure`.
 */
export default defineConfig({
  test: {
    projects: [
      {
        test: {
          name: 'pure',
          include: [
            'libs/**/*.test.ts',
            'seed/**/*.test.ts',
            'apps/cli/**/*.test.ts',
            'apps/dashboard/**/*.test.ts',
            'test/house/**/*.test.ts',
          ],
          testTimeout: 30_000,
          maxWorkers: 2,
        },
      },
      {
        test: {
          name: 'seams',
          include: ['test/**/*.test.ts'],
          exclude: ['test/house/**', 'test/bench/**', 'node_modules/**'],
          testTimeout: 120_000,
          hookTimeout: 120_000,
          // Pages and servers share two cores with everything else that is tested.
          expect: { poll: { timeout: 40_000, interval: 100 } },
          // Each file has an installation of its own; most of the time they wait.
          maxWorkers: 2,
          // After the pure tests, so that these have both cores.
          sequence: { groupOrder: 1 },
        },
      },
    ],
  },
});
