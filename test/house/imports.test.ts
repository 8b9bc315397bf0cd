import { spawnSync } from 'node:child_process';
import { writeFileSync, rmSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';

const root = path.resolve(import.meta.dirname, '..', '..');
const cruise = (...places: string[]) =>
  spawnSync(
    process.execPath,
    [
      'node_modules/dependency-cruiser/bin/dependency-cruise.mjs',
      '--config',
      '.dependency-cruiser.cjs',
      '--output-type',
      'err',
      ...places,
    ],
    { cwd: root, encoding: 'utf8' },
  );

describe('the import table', () => {
  it('holds: arrows point down only, without cycles', () => {
    const { status, stdout } = cruise('apps', 'libs', 'seed');
    expect(stdout).toContain('no dependency violations found');
    expect(status).toBe(0);
  });

  it('would notice a server that computes', () => {
    const stray = path.join(root, 'apps', 'server', 'strayForTheImportTest.ts');
    writeFileSync(stray, "import '../../libs/acoustics/algorithmVersion.js';\n");
    try {
      const { status, stdout } = cruise('apps/server');
      expect(stdout).toContain('server-computes-nothing');
      expect(status).not.toBe(0);
    } finally {
      rmSync(stray);
    }
  });
});
