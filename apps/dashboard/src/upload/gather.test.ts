import { describe, expect, it } from 'vitest';
import { choose, walk } from './gather.js';

describe('choosing files', () => {
  it('takes names without folders and leaves litter', () => {
    const paths = [
      'run/h+000.csv',
      'run/.DS_Store',
      'run/Thumbs.db',
      '__MACOSX/h+000.csv',
      '.git/config',
      'run/v+010.csv',
    ];
    const { take, problems } = choose(paths.map((path) => ({ path, file: path })));
    expect(take.map((each) => each.name)).toEqual(['h+000.csv', 'v+010.csv']);
    expect(problems).toEqual([]);
  });
  it('says so when one name comes twice, also in other letter case', () => {
    const { take, problems } = choose([
      { path: 'a/H000.csv', file: 1 },
      { path: 'b/h000.csv', file: 2 },
    ]);
    expect(take).toHaveLength(1);
    expect(problems[0]).toMatchObject({ file: 'b/h000.csv', code: 'same-name' });
    expect(problems[0].message).toContain('a/H000.csv');
  });
});

describe('walking folders', () => {
  it('goes down and keeps the path', async () => {
    const file = (name: string) => ({
      kind: 'file' as const,
      name,
      getFile: () => Promise.resolve({ name } as File),
    });
    const folder = {
      kind: 'directory' as const,
      name: 'run',
      async *getEntries() {
        yield file('a.csv');
        yield {
          kind: 'directory' as const,
          name: 'vertical',
          async *getEntries() {
            yield file('b.csv');
          },
        };
      },
    };
    const found = await walk([folder, { kind: 'text' }, file('c.csv')]);
    expect(found.map((each) => each.path)).toEqual(['run/a.csv', 'run/vertical/b.csv', 'c.csv']);
  });
});
