import { readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';

const HERE = dirname(fileURLToPath(import.meta.url));

/** Every module that `file` brings along at run time: paths of ours, names of packages. */
function reach(file: string, seen = new Set<string>()): Set<string> {
  if (seen.has(file)) return seen;
  seen.add(file);
  const source = readFileSync(file, 'utf8');
  for (const [, kind, name] of source.matchAll(/^(import|export) (?!type )[^;]*?from '([^']+)';/gms)) {
    if (kind === undefined || name === undefined) continue;
    if (name.startsWith('.')) reach(join(dirname(file), name.replace(/\.js$/, '.ts')), seen);
    else seen.add(name);
  }
  return seen;
}

describe('the browser part', () => {
  const reached = [...reach(join(HERE, 'index.ts'))];

  it('brings along only what runs in a browser', () => {
    const packages = reached.filter((name) => !name.startsWith('/')).toSorted();
    expect(packages).toEqual(['d3-scale', 'd3-shape', 'fflate']);
  });

  it('never reaches the PNG renderer nor another library of ours', () => {
    expect(reached.length).toBeGreaterThan(30);
    expect(reached.filter((path) => path.includes('/png/') || path.includes('/testing/'))).toEqual([]);
    expect(reached.filter((path) => path.startsWith('/') && !path.startsWith(HERE))).toEqual([]);
  });
});
