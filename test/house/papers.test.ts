/** What the house says about itself is true: folders, migrations, packages, words. */
import { spawnSync } from 'node:child_process';
import { existsSync, readdirSync, readFileSync, statSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';

const root = path.resolve(import.meta.dirname, '..', '..');
const read = (file: string) => readFileSync(path.join(root, file), 'utf8');
const tracked = spawnSync('git', ['ls-files', '--cached', '--others', '--exclude-standard'], {
  cwd: root,
  encoding: 'utf8',
})
  .stdout.split('\n')
  .filter((file) => file !== '' && existsSync(path.join(root, file)));

describe('papers', () => {
  it('DEVELOPERS.md names every folder of apps, libs and the top, and no folder that is gone', () => {
    const text = read('DEVELOPERS.md');
    const folders = ['apps', 'libs'].flatMap((top) =>
      readdirSync(path.join(root, top)).map((name) => `${top}/${name}`),
    );
    for (const folder of [...folders, 'seed', 'prisma', 'scripts', 'test'])
      expect(text).toContain(`\`${folder}\``);
    const named = [...text.matchAll(/^\| `((?:apps|libs)\/[\w-]+)`/gm)].map(([, folder = '']) => folder);
    expect(named.filter((folder) => !existsSync(path.join(root, folder)))).toEqual([]);
  });

  it('the last migration leads to the schema as it stands', () => {
    const last = readdirSync(path.join(root, 'prisma/migrations')).sort().at(-1) ?? '';
    expect(read(`prisma/migrations/${last}/schema.prisma`)).toBe(read('prisma/schema.prisma'));
  });

  it('package-lock.json carries no download addresses', () => {
    expect(read('package-lock.json')).not.toContain('"resolved": "http');
  });

  it('no committed file names a machine’s own path or leaves a check switched off', () => {
    const text = /\.(ts|tsx|mjs|cjs|js|json|md|yml|css|html|py|prisma|sql)$/;
    const own = 'test/house/papers.test.ts';
    const wrong = tracked
      .filter(
        (file) =>
          text.test(file) &&
          file !== own &&
          file !== 'package-lock.json' &&
          statSync(path.join(root, file)).size < 2e6,
      )
      .flatMap((file) => {
        const found =
          /(^|[^\w.])\/(work|root|home)\/\w|\b(?:it|test|describe)\.(?:only|todo)\(|@ts-(ignore|nocheck)|oxlint-disable(?!-next-line)/m.exec(
            read(file),
          );
        return found ? [`${file}: ${found[0].trim()}`] : [];
      });
    expect(wrong).toEqual([]);
  });
});
