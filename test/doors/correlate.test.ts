/** The evidence command from the outside: exit codes, streams and the object. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';

const root = path.resolve(import.meta.dirname, '..', '..');

describe('correlate', () => {
  let folder: string;
  const file = (name: string, content: unknown): string => {
    const place = path.join(folder, name);
    writeFileSync(place, typeof content === 'string' ? content : JSON.stringify(content));
    return place;
  };
  const run = (...args: string[]) =>
    spawnSync(process.execPath, ['scripts/door.mjs', 'correlate', ...args], {
      cwd: root,
      encoding: 'utf8',
      env: { ...process.env, SOJOURN_BUILT: '1' },
    });
  beforeAll(() => {
    folder = mkdtempSync(path.join(tmpdir(), 'sojourn-correlate-'));
  });
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  const analysis = {
    schema: 'sojourn.analysis/1',
    findings: [
      {
        kind: 'peak',
        fromHz: 2700,
        toHz: 3600,
        centreHz: 3100,
        levelDb: 4,
        q: 3.4,
        curve: 'onAxis',
        correctable: true,
        why: 'A peak.',
      },
      {
        kind: 'dip',
        fromHz: 120,
        toHz: 240,
        centreHz: 170,
        levelDb: -3,
        q: 1.4,
        correctable: false,
        why: 'A dip.',
      },
    ],
  };

  it('answers the object: pairs, heard only, measured only', () => {
    const remarks = [
      { id: 'one', text: 'strings are harsh', sign: 'excess', severity: 3 },
      { id: 'two', text: '', sign: 'excess', descriptor: 'boomy', severity: 2, position: 'near the wall' },
    ];
    const { status, stdout, stderr } = run(file('a.json', analysis), file('r.json', remarks), '--json');
    expect(stderr).toBe('');
    expect(status).toBe(0);
    const answer = JSON.parse(stdout) as Record<string, unknown>;
    expect(answer).toMatchObject({
      schema: 'sojourn.correlation/1',
      pairs: [{ remarkId: 'one', findingIndex: 0 }],
      heardOnly: [{ remarkId: 'two', likelyCause: 'room' }],
      measuredOnly: [{ findingIndex: 1 }],
    });
  });

  it('answers in words without --json', () => {
    const { status, stdout } = run(
      file('a.json', analysis),
      file('r.json', [{ id: 'one', text: 'harsh', sign: 'excess', severity: 3 }]),
    );
    expect(status).toBe(0);
    expect(stdout).toContain('Heard and measured');
  });

  it('names the file and line of what is no JSON, and what is wrong in what is', () => {
    const broken = run(file('a.json', analysis), file('broken.json', '[\n{"id":"a",\n}]'), '--json');
    expect(broken.status).toBe(2);
    expect(broken.stderr).toMatch(/broken\.json:3: This is not JSON\./);
    expect(JSON.parse(broken.stdout)).toMatchObject({ problems: [{ code: 'malformed', line: 3 }] });
    const wrong = run(
      file('a.json', analysis),
      file('w.json', [{ id: 'a', text: '', sign: 'loud', severity: 9 }]),
    );
    expect(wrong.status).toBe(2);
    expect(wrong.stderr).toContain('0.sign');
    expect(wrong.stderr).toContain('0.severity');
    const twice = { id: 'a', text: '', sign: 'excess', severity: 1 };
    expect(run(file('a.json', analysis), file('t.json', [twice, twice])).stderr).toContain('same id');
    expect(run(file('x.json', {}), file('t.json', [])).status).toBe(2);
    expect(run(file('a.json', analysis), path.join(folder, 'absent.json')).stderr).toContain('ENOENT');
    expect(run().status).toBe(2);
  });
});
