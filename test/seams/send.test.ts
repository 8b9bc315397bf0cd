/**
 * `npm run send` as a process of its own against a real server, over a wire that breaks: every file there once and to
 * the byte, nothing sent before it is whole, nothing twice, nothing written over, and what has to be measured again.
 */
import { spawn, type ChildProcess } from 'node:child_process';
import { createHash, randomBytes } from 'node:crypto';
import { once } from 'node:events';
import { appendFile, chmod, mkdir, mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { demoScenario, demoSetFiles } from '../../seed/scenario.js';
import { writeWav } from '../../libs/measurement-files/wav/writeWav.js';
import { makeInstallation, type Installation, type RunningInstallation } from './installation.js';
import { makeUnit, setUpOwner, visit, waitFor, type Visitor } from './visitor.js';
import { openWire, type Wire } from './wire.js';

const root = path.resolve(import.meta.dirname, '..', '..');
const sha = (bytes: Uint8Array): string => createHash('sha256').update(bytes).digest('hex');

interface Sent {
  readonly exitCode: number | null;
  readonly said: string;
  readonly outcome: {
    readonly set: { readonly id: string; readonly name: string };
    readonly files: readonly { name: string; state: string }[];
    readonly quality: readonly { severity: string; code: string; message: string }[];
    readonly problems: readonly { file: string; message: string }[];
  };
}

describe('sending from the measuring computer', () => {
  let installation: Installation;
  let server: RunningInstallation;
  let owner: Visitor;
  let wire: Wire;
  let token: string;
  let scratch: string;
  let unitId: string;
  const running = new Set<ChildProcess>();

  beforeAll(async () => {
    installation = await makeInstallation('embedded');
    server = await installation.start();
    owner = await setUpOwner(server.url);
    wire = await openWire(server.url);
    unitId = (await makeUnit(owner)).unit.id;
    ({ token = '' } = await owner.client.addToken({ name: 'The rig', scopes: ['measure'] }));
    scratch = await mkdtemp(path.join(tmpdir(), 'sojourn-send-'));
  });
  afterAll(async () => {
    for (const child of running) child.kill('SIGKILL');
    await wire.close();
    await installation.remove();
    await rm(scratch, { recursive: true, force: true });
  });

  const start = (folder: string, args: readonly string[] = [], env: NodeJS.ProcessEnv = {}) => {
    const child = spawn(
      process.execPath,
      [
        'scripts/door.mjs',
        'send',
        folder,
        '--unit',
        unitId,
        '--server',
        wire.url,
        '--settle',
        '0.6',
        '--json',
        ...args,
      ],
      {
        cwd: root,
        env: {
          ...process.env,
          SOJOURN_BUILT: '1',
          SOJOURN_TOKEN: token,
          SOJOURN_SEND_STATE: path.join(scratch, 'state'),
          ...env,
        },
        stdio: ['pipe', 'pipe', 'pipe'],
      },
    );
    running.add(child);
    let said = '';
    let answered = '';
    child.stderr.on('data', (chunk: Buffer) => (said += chunk.toString('utf8')));
    child.stdout.on('data', (chunk: Buffer) => (answered += chunk.toString('utf8')));
    const ended = once(child, 'close').then(([exitCode]): Sent => {
      running.delete(child);
      const last = answered.trim().split('\n').at(-1) ?? '';
      return {
        exitCode: exitCode as number | null,
        said,
        outcome: JSON.parse(last || '{}') as Sent['outcome'],
      };
    });
    return { child, ended, said: () => said, answers: () => answered.trim().split('\n').filter(Boolean) };
  };
  const send = (folder: string, args?: readonly string[], env?: NodeJS.ProcessEnv) =>
    start(folder, args, env).ended;

  /** The names and hashes of a folder, and of the set of that name. */
  const here = async (folder: string) => {
    const names = (await readdir(folder)).sort();
    return Promise.all(names.map(async (name) => `${name} ${sha(await readFile(path.join(folder, name)))}`));
  };
  const there = async (name: string) => {
    const set = (await owner.client.sets(unitId)).find((one) => one.name === name);
    return (set?.files ?? []).map((file) => `${file.name} ${file.sha256}`).sort();
  };
  async function folderOf(
    name: string,
    files: readonly { name: string; bytes: Uint8Array }[],
  ): Promise<string> {
    const folder = path.join(scratch, name);
    await mkdir(folder);
    for (const file of files) await writeFile(path.join(folder, file.name), file.bytes);
    return folder;
  }
  /** Recordings of noise: large enough to be cut in the middle. */
  const recordings = (count: number) =>
    Array.from({ length: count }, (_, at) => ({
      name: `h${String(at * 10).padStart(3, '0')}.wav`,
      bytes: writeWav([Float32Array.from(randomBytes(400_000), (byte) => (byte - 128) / 400)], 48_000, {
        format: { bits: 16, float: false },
      }),
    }));

  it('sends an invented set, says that nothing is to be measured again, and sends nothing the second time', async () => {
    const folder = await folderOf('Whole', invented('sedge-3'));
    const first = await send(folder);
    expect(first.said).toContain('byte for byte');
    expect(first.outcome.quality.filter(({ severity }) => severity !== 'note')).toEqual([]);
    expect(first.outcome.files).toHaveLength(80);
    expect(await there('Whole')).toEqual(await here(folder));
    expect(first.outcome.files.map(({ state }) => state)).toEqual(first.outcome.files.map(() => 'arrived'));
    const before = wire.sentBytes();
    const history = (await owner.client.history()).length;
    const second = await send(folder);
    expect(second.outcome.files.map(({ state }) => state)).toEqual(
      first.outcome.files.map(() => 'already-there'),
    );
    expect([first.exitCode, second.exitCode]).toEqual([0, 0]);
    // Questions, and no file: the smallest has more than that.
    expect(wire.sentBytes() - before).toBeLessThan(8000);
    expect(await owner.client.history()).toHaveLength(history);
    const [set] = await owner.client.sets(unitId);
    expect(set?.analyses).toHaveLength(1);
  });

  it('names a missing angle while the unit is still on the stand, with exit code 3', async () => {
    const folder = await folderOf('A hole', withoutAngle(invented('plane-2')));
    const { exitCode, said, outcome } = await send(folder);
    expect(exitCode).toBe(3);
    expect(said).toContain('MEASURE AGAIN');
    expect(said).toMatch(/orbit lacks .*40°/);
    expect(
      outcome.quality.some(({ severity, code }) => severity === 'blocking' && code === 'missing-angle'),
    ).toBe(true);
  });

  it('goes on where it stopped after the network broke in the middle of a file, again and again', async () => {
    const files = recordings(5);
    const folder = await folderOf('Broken wire', files);
    const all = files.reduce((sum, { bytes }) => sum + bytes.length, 0);
    const before = wire.sentBytes();
    const sending = start(folder);
    for (const after of [0.3, 0.9, 0.5]) {
      await wire.cutAfterBytes(after * (files[0]?.bytes.length ?? 0));
      await sleep(300);
      wire.mend();
    }
    const { said, outcome } = await sending.ended;
    expect(said).toContain('The server is back.');
    expect(await there('Broken wire')).toEqual(await here(folder));
    expect(outcome.files).toHaveLength(files.length);
    // Taken up where it stopped: less than one file went twice, in three breaks.
    expect(wire.sentBytes() - before).toBeLessThan(all * 1.4);
  });

  it('survives a server that is killed in the middle and comes back under another address', async () => {
    const folder = await folderOf('Killed', recordings(4));
    const sending = start(folder);
    await waitFor(() => (sending.said().includes('h000.wav arrived') ? true : undefined), 'the first file');
    await server.kill();
    await sleep(500);
    server = await installation.start();
    wire.leadTo(server.url);
    owner = visit(server.url, owner.cookie());
    const { outcome } = await sending.ended;
    expect(outcome.files.every(({ state }) => state === 'arrived')).toBe(true);
    expect(await there('Killed')).toEqual(await here(folder));
    const sets = (await owner.client.sets(unitId)).filter(({ name }) => name.startsWith('Killed'));
    expect(sets).toHaveLength(1);
    expect(sets[0]?.files).toHaveLength(4);
  });

  it('watches: sends no file that still grows, tells the findings when it is quiet, and again on Enter', async () => {
    const folder = await folderOf('Watched', []);
    const watching = start(folder, ['--watch', '--quiet', '1.5']);
    await waitFor(() => (watching.said().includes('Watching') ? true : undefined), 'the watch');
    const [whole, slow] = recordings(2);
    const growing = path.join(folder, 'h010.wav');
    await writeFile(path.join(folder, '~$h020.wav'), 'not finished');
    await writeFile(path.join(folder, 'h000.wav'), whole?.bytes ?? '');
    const pieces = Array.from({ length: 8 }, (_, at) =>
      (slow?.bytes ?? new Uint8Array()).subarray(at * 100_100, (at + 1) * 100_100),
    );
    for (const piece of pieces) {
      await appendFile(growing, piece);
      expect((await there('Watched')).some((one) => one.startsWith('h010.wav'))).toBe(false);
      await sleep(250);
    }
    await waitFor(
      () => (watching.answers().length > 0 ? true : undefined),
      'findings after a quiet while',
      60_000,
    );
    const measured = (await here(folder)).filter((one) => !one.startsWith('~'));
    expect(await there('Watched')).toEqual(measured);
    watching.child.stdin.write('\n');
    await waitFor(() => (watching.answers().length > 1 ? true : undefined), 'findings on Enter', 60_000);
    watching.child.kill('SIGINT');
    const { outcome } = await watching.ended;
    expect(outcome.files.map(({ name }) => name)).toEqual(['h000.wav', 'h010.wav']);
  });

  it('puts what was measured again into a set of its own, and writes over nothing', async () => {
    const folder = path.join(scratch, 'A hole');
    const before = await there('A hole');
    const [changed = ''] = await readdir(folder);
    const file = path.join(folder, changed);
    await appendFile(file, '\n');
    const { outcome, said } = await send(folder);
    expect(said).toContain(`${changed} changed after “A hole” had it`);
    expect(outcome.set.name).toBe('A hole (2)');
    expect(await there('A hole')).toEqual(before);
    expect(await there('A hole (2)')).toEqual(await here(folder));
    const first = (await owner.client.sets(unitId)).find(({ name }) => name === 'A hole');
    expect(first?.setAsideWhy).toBe(`Measured again: ${changed}`);
    expect((await send(folder)).outcome.set.name).toBe('A hole (2)');
    // Somebody else’s try to write over it, straight at the server.
    const refused = await tus(
      `${server.url}/api/uploads`,
      token,
      outcome.set.id,
      changed,
      Buffer.from('other'),
    );
    expect([refused.status, (JSON.parse(refused.body) as { code: string }).code]).toEqual([
      409,
      'file-differs',
    ]);
    expect(await there('A hole (2)')).toEqual(await here(folder));
  });

  it('leaves out what was taken out at the server, unless it is told to send it again', async () => {
    const folder = path.join(scratch, 'Killed');
    const set = (await owner.client.sets(unitId)).find(({ name }) => name === 'Killed');
    await owner.client.removeFile(set?.files[0]?.id ?? '');
    expect((await send(folder)).outcome.files[0]?.state).toBe('taken-out');
    expect((await send(folder, ['--again'])).outcome.files[0]?.state).toBe('arrived');
    expect(await there('Killed')).toEqual(await here(folder));
  });

  it('refuses bad input with the remedy, and a token where others could read it', async () => {
    const folder = path.join(scratch, 'Whole');
    const shown = await send(folder, ['--token', token]);
    expect([shown.exitCode, shown.said.includes(token)]).toEqual([2, false]);
    expect(shown.said).toContain('Revoke it, make another');
    const file = path.join(scratch, 'token');
    await writeFile(file, token, { mode: 0o644 });
    await chmod(file, 0o644);
    const readable = await send(folder, ['--token-file', file], { SOJOURN_TOKEN: '' });
    expect([readable.exitCode, readable.said]).toEqual([2, expect.stringContaining('chmod 600')]);
    await chmod(file, 0o600);
    expect((await send(folder, ['--token-file', file], { SOJOURN_TOKEN: '' })).outcome.files[0]?.state).toBe(
      'already-there',
    );
    const nowhere = await send(path.join(scratch, 'no such folder'));
    expect([nowhere.exitCode, nowhere.said]).toEqual([2, expect.stringContaining('Check its path')]);
    const empty = await send(await folderOf('Empty', []));
    expect([empty.exitCode, empty.said]).toEqual([2, expect.stringContaining('no measurement file')]);
    const zip = await send(
      await folderOf('Packed', [{ name: 'set.zip', bytes: Buffer.from('PK\u0003\u0004') }]),
    );
    expect([zip.exitCode, zip.said]).toEqual([
      2,
      expect.stringContaining('set.zip: An archive is not sent from a folder. Unpack it here.'),
    ]);
  });

  it('says so when the server refuses the token, or is not there', async () => {
    const folder = path.join(scratch, 'Whole');
    const { token: other = '', id } = await owner.client.addToken({ name: 'Gone', scopes: ['measure'] });
    await owner.client.revokeToken(id);
    const refused = await send(folder, [], { SOJOURN_TOKEN: other });
    expect([refused.exitCode, refused.said]).toEqual([4, expect.stringContaining('was revoked')]);
    expect(refused.said).not.toContain(other);
    const reading = await owner.client.addToken({ name: 'Only reads', scopes: ['loans'] });
    const wrongScope = await send(folder, [], { SOJOURN_TOKEN: reading.token });
    expect([wrongScope.exitCode, wrongScope.said]).toEqual([
      4,
      expect.stringContaining('Use one that may: Read or Measure.'),
    ]);
    wire.cut();
    const away = await send(folder, ['--patience', '1']);
    wire.mend();
    expect([away.exitCode, away.said]).toEqual([4, expect.stringContaining('can’t be reached')]);
  });
});

/** The files of an invented unit, as its rig would have written them. */
function invented(unitId: string): { name: string; bytes: Uint8Array }[] {
  const { loans } = demoScenario({ seed: 1, today: '2031-01-05' });
  const unit = loans.flatMap(({ units }) => units).find(({ id }) => id === unitId);
  const [set] = unit?.sets ?? [];
  if (!set) throw new Error(`There is no invented unit called ${unitId}.`);
  return demoSetFiles(set, 1).map(({ name, bytes }) => ({ name, bytes: Buffer.from(bytes) }));
}

/** The table of both orbits without its column of 40 degrees to the right. */
function withoutAngle(files: readonly { name: string; bytes: Uint8Array }[]) {
  return files.map((file) => {
    const lines = Buffer.from(file.bytes).toString('utf8').split('\n');
    const gone =
      lines
        .find((line) => line.startsWith('frequency_hz'))
        ?.split('\t')
        .indexOf('h40') ?? -1;
    if (gone < 0) return file;
    const kept = lines.map((line) =>
      line.startsWith('#') ? line : line.split('\t').toSpliced(gone, 1).join('\t'),
    );
    return { name: file.name, bytes: Buffer.from(kept.join('\n')) };
  });
}

async function tus(url: string, token: string, setId: string, name: string, bytes: Buffer) {
  const encode = (text: string) => Buffer.from(text).toString('base64');
  const answer = await fetch(url, {
    method: 'POST',
    headers: {
      authorization: `Bearer ${token}`,
      'tus-resumable': '1.0.0',
      'upload-length': String(bytes.length),
      'content-type': 'application/offset+octet-stream',
      'upload-metadata': `setId ${encode(setId)},filename ${encode(name)},replace ${encode('never')}`,
    },
    body: new Uint8Array(bytes),
  });
  return { status: answer.status, body: await answer.text() };
}
