/**
 * True deletion of an account: nobody signs in with it, nothing of it goes on, and its name and address stand in no
 * table and no file of the house any more, but for what was published.
 */
import { readdir, readFile } from 'node:fs/promises';
import path from 'node:path';
import type { Readable } from 'node:stream';
import { text } from 'node:stream/consumers';
import yauzl from 'yauzl';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { folderBlobStore } from '../../libs/blobs/blobStore.js';
import { EXPORT_DAYS, FORMER_MEMBER, REMOVAL_WORDS } from '../../libs/contracts/index.js';
import { clearExports } from '../../libs/exports/index.js';
import { hashOfKey, hashOfText, openHome, type Database } from '../../libs/store/index.js';
import { STAYS } from '../../libs/store/personInTexts.js';
import { databaseOf } from './databaseOf.js';
import { makeInstallation, type Installation, type RunningInstallation } from './installation.js';
import { join, makeUnit, owner, refusalOf, setUpOwner, visit, waitFor, type Visitor } from './visitor.js';

const NAME = 'Jorun Ostvold';
const PASSWORD = 'another long pass phrase';

describe('leaving the house', () => {
  let installation: Installation;
  let server: RunningInstallation;
  let database: Database;
  let ida: Visitor;
  let jorun: Visitor;
  let id: string;
  let email: string;
  let calendar: string;
  let loanId: string;

  beforeAll(async () => {
    installation = await makeInstallation('embedded');
    server = await installation.start();
    database = await databaseOf(installation);
    ida = await setUpOwner(server.url);
    jorun = await join(ida, 'cohost', NAME);
    const me = (await jorun.client.people()).find(({ name }) => name === NAME);
    ({ id = '', email = '' } = me ?? {});
    await leaveTracks();
  });
  afterAll(async () => {
    await database.close();
    await installation.remove();
  });

  /** What somebody leaves behind in a house. */
  async function leaveTracks(): Promise<void> {
    const { client } = jorun;
    const { loan, unit } = await makeUnit(jorun);
    loanId = loan.id;
    const report = await client.addReport(loan.id, {
      moment: 'arrival',
      unitId: unit.id,
      condition: 'As new.',
    });
    await client.signReport(report.id, { version: report.version });
    const heard = await client.addListening(unit.id, { heardOn: '2031-05-01', words: 'Bright.' });
    await client.sealListening(heard.id, { version: heard.version });
    const open = await client.addListening(unit.id, { heardOn: '2031-05-02', words: 'Not done yet.' });
    await client.giveUpBlindness(open.id);
    await client.addDraftComment(loan.id, { body: 'Shorter, please.', mentions: [] });
    await ida.client.addDraftComment(loan.id, { body: `@${NAME} does ${email} still work?`, mentions: [id] });
    const { version } = await ida.client.loan(loan.id);
    await ida.client.changeLoan(loan.id, { version, notes: `Ask ${NAME} about the crate.` });
    await client.addAbsence({
      personId: id,
      from: '2031-03-01T08:00:00Z',
      to: '2031-03-02T08:00:00Z',
      why: 'away',
    });
    await client.changeNotifications({ version: 0, quiet: { from: '22:00', to: '07:00' } });
    calendar = (await client.makeCalendarFeed()).path ?? '';
    const set = await client.addSet(unit.id, { name: 'a try' });
    await client.deleteSet(set.id, set.version);
    await ida.client.changePerson(id, { version: 1, role: 'editor' });
    jorun = await signedIn(server.url, email);
  }

  it('says before the act what goes and what stays', async () => {
    const view = await jorun.client.removalOf(id);
    expect(view).toMatchObject({ refused: '', published: [], unsealedSessions: 1, backupsKept: 0 });
    const days = (new Date(view.backupsUntil ?? '').getTime() - Date.now()) / 86_400_000;
    expect(days).toBeGreaterThan(27);
    expect(days).toBeLessThan(30);
    const [me] = await ida.client.people();
    expect((await ida.client.removalOf(me?.id ?? '')).refused).toContain('needs an owner');
    expect((await refusalOf(jorun.client.removalOf(me?.id ?? ''))).status).toBe(403);
  });

  it('takes their data home: what they did and brought, nothing of others’ and nothing sealed', async () => {
    const { client } = jorun;
    const [mine] = await client.askExport('own');
    expect((await refusalOf(client.askExport('own'))).refusal.code).toBe('export-running');
    const one = await finished(jorun, mine?.id ?? '');
    expect(one).toMatchObject({ state: 'done', scope: 'own' });
    const files = await unzipped(jorun, one.id);
    expect(JSON.parse(files.get('account.json') ?? '')).toMatchObject({ name: NAME, email });
    expect(files.get('README.md')).toContain(NAME);
    expect(files.get('plan.ics')).toContain('BEGIN:VCALENDAR');
    expect(files.get('absences.csv')).toContain('2031-03-01T08:00:00.000Z');
    expect(files.get('comments.csv')).toContain('Shorter, please.');
    expect(files.get('comments.csv')).not.toContain('still work');
    expect([...files.keys()].filter((name) => name.startsWith('listening/'))).toHaveLength(2);
    expect(
      [...files]
        .filter(([, text]) => /passwordHash|tokenHash|webhookSecret/.test(text))
        .map(([name]) => name),
    ).toEqual([]);
    // An e-mail address of somebody else, or a cell that a spreadsheet would run, stands nowhere.
    expect([...files.values()].join('')).not.toContain(owner.email);
    expect(files.get('messages.csv')).toBeDefined();
    for (const who of [ida, visit(server.url)])
      expect([401, 404]).toContain((await who.fetch(`/api/exports/${one.id}/file`)).status);
  });

  it('leaves out what is sealed from whoever listens blind, and gives no earlier export then', async () => {
    const blind = await join(ida, 'editor', 'Blind Bea');
    const { unit } = await makeUnit(blind);
    const set = await blind.client.addSet(unit.id, { name: 'hers' });
    await blind.put(set.id, '=cmd.csv', 'a,b\n1,2\n');
    const [before] = await blind.client.askExport('own');
    const whole = await unzipped(blind, (await finished(blind, before?.id ?? '')).id);
    expect([...whole.keys()].filter((name) => name.endsWith('=cmd.csv'))).toHaveLength(1);
    expect(whole.get('history.csv')).toContain('=cmd.csv');
    await database.prisma.dataOpening.deleteMany({ where: { unitId: unit.id } });
    await blind.client.addListening(unit.id, { heardOn: '2031-05-05', words: '=1+1' });
    expect((await blind.fetch(`/api/exports/${before?.id ?? ''}/file`)).status).toBe(403);
    const [since] = await blind.client.askExport('own');
    const sealed = await unzipped(blind, (await finished(blind, since?.id ?? '')).id);
    expect([...sealed.keys()].filter((name) => name.startsWith('files/'))).toEqual([]);
    expect(sealed.get('history.csv')).not.toContain('=cmd.csv');
    expect((await refusalOf(blind.client.askExport('team'))).status).toBe(403);
  });

  it('gives the owner everything: a folder for each loan, original files, inert cells; gone after a week', async () => {
    const [asked] = await ida.client.askExport('team');
    const one = await finished(ida, asked?.id ?? '');
    const files = await unzipped(ida, one.id);
    const names = [...files.keys()];
    const wanted = ['loan.json', 'accessories.csv', 'reports.json', 'draft.md', 'evidence.json', '=cmd.csv'];
    const inLoans = names.filter((name) => name.startsWith('loans/'));
    expect(wanted.filter((ending) => !inLoans.some((name) => name.endsWith(ending)))).toEqual([]);
    const loans = await database.prisma.loan.count();
    expect(names.filter((name) => name.endsWith('/loan.json'))).toHaveLength(loans);
    const { rows } = await database.pool.query<{ count: string }>('select count(*) from "HistoryEntry"');
    const lines = (files.get('history.csv') ?? '').split('\r\n').length - 2;
    expect(lines).toBeGreaterThan(20);
    expect(lines).toBeLessThanOrEqual(Number(rows[0]?.count));
    const cells = names
      .filter((name) => name.endsWith('.csv') && !name.includes('/sets/'))
      .map((name) => files.get(name) ?? '');
    expect(cells.join('\r\n').match(/(?:^|,)"?[=+@]/gm)).toBeNull();
    expect([...files.values()].join('')).not.toMatch(/scrypt|argon2|passwordHash|tokenHash/);

    const blobs = folderBlobStore((await openHome(installation.home)).path('blobs'));
    const row = await database.prisma.accountExport.findUniqueOrThrow({ where: { id: one.id } });
    const sha256 = hashOfKey(row.fileKey ?? '');
    expect(await blobs.has(sha256)).toBe(true);
    await clearExports(database, blobs, new Date(Date.now() + (EXPORT_DAYS + 1) * 86_400_000));
    expect(await blobs.has(sha256)).toBe(false);
    expect(await ida.client.exports()).toEqual([]);
  });

  it('asks for the password, and never takes the last owner', async () => {
    const wrong = await refusalOf(
      jorun.client.removeAccount(id, { password: 'a wrong one', confirm: REMOVAL_WORDS }),
    );
    expect(wrong.refusal.code).toBe('wrong-password');
    const [me] = await ida.client.people();
    const last = await refusalOf(
      ida.client.removeAccount(me?.id ?? '', { password: owner.password, confirm: REMOVAL_WORDS }),
    );
    expect(last.refusal.code).toBe('last-owner');
    expect((await ida.client.people()).map(({ name }) => name)).toContain(NAME);
  });

  it('finds name and address before, in many tables', async () => {
    const tables = new Set((await naming(database)).map((place) => place.split('.')[0]));
    for (const table of ['Account', 'ConditionReport', 'DraftComment', 'FeedEvent', 'HistoryEntry', 'Loan'])
      expect(tables).toContain(table);
  });

  it('deletes truly: no row and no file of the house names the person any more', async () => {
    await jorun.client.removeAccount(id, { password: PASSWORD, confirm: REMOVAL_WORDS });
    expect((await jorun.fetch('/api/loans')).status).toBe(401);
    await expect(signedIn(server.url, email)).rejects.toThrow('do not go together');
    expect((await fetch(`${server.url}${calendar}`)).status).toBe(404);
    expect(await naming(database)).toEqual([]);
    expect(await filesNaming(installation.home)).toEqual([]);
    const gone = [
      'Session',
      'ApiToken',
      'CalendarFeed',
      'NotificationChoice',
      'Delivery',
      'Absence',
      'PersonHours',
    ];
    for (const table of gone) {
      const left = await database.pool.query(`select 1 from "${table}" where "accountId" = $1`, [id]);
      expect([table, left.rowCount]).toEqual([table, 0]);
    }
    expect(await database.prisma.listeningSession.count({ where: { listenerId: id, sealedAt: null } })).toBe(
      0,
    );
  });

  it('keeps what the team made, under nobody’s name, with seals that hold and a history that is whole', async () => {
    expect((await ida.client.people()).map(({ name }) => name)).toEqual([owner.name, 'Blind Bea']);
    const loan = await ida.client.loan(loanId);
    expect(loan.reports[0]?.signedByName).toBe(FORMER_MEMBER);
    expect(loan.listening.map(({ by }) => by)).toEqual([FORMER_MEMBER]);
    expect(loan.notes).toBe(`Ask ${FORMER_MEMBER} about the crate.`);
    const sealed = await database.prisma.listeningSession.findFirstOrThrow({ where: { listenerId: id } });
    expect(hashOfText(sealed.sealedText ?? '')).toBe(sealed.sealHash);
    const record = await ida.client.sealRecord(sealed.id);
    expect(JSON.stringify(record)).toContain(FORMER_MEMBER);
    const { comments } = await ida.client.draftComments(loan.id);
    expect(comments.map(({ body }) => body)).toContain(`@${FORMER_MEMBER} does ${FORMER_MEMBER} still work?`);
  });

  it('frees the address for somebody new', async () => {
    const again = await join(ida, 'editor', NAME);
    expect((await again.client.session()).person?.email).toBe(email);
  });
});

async function finished(who: Visitor, id: string) {
  return waitFor(async () => {
    const one = (await who.client.exports()).find((each) => each.id === id);
    return one?.state === 'running' ? undefined : one;
  }, 'the export');
}

/** Every file of a downloaded export, as text. */
async function unzipped(who: Visitor, id: string): Promise<Map<string, string>> {
  const answer = await who.fetch(`/api/exports/${id}/file`);
  expect(answer.status).toBe(200);
  expect(answer.headers.get('content-disposition')).toContain('attachment');
  const bytes = Buffer.from(await answer.arrayBuffer());
  const zip = await new Promise<yauzl.ZipFile>((resolve, reject) => {
    yauzl.fromBuffer(bytes, { autoClose: false }, (error, opened) =>
      error ? reject(error) : resolve(opened),
    );
  });
  const entries = await new Promise<yauzl.Entry[]>((resolve, reject) => {
    const all: yauzl.Entry[] = [];
    zip.on('entry', (entry: yauzl.Entry) => all.push(entry));
    zip.on('end', () => resolve(all));
    zip.on('error', reject);
  });
  const files = new Map<string, string>();
  for (const entry of entries) {
    const stream = await new Promise<Readable>((resolve, reject) => {
      zip.openReadStream(entry, (error, opened) => (error ? reject(error) : resolve(opened)));
    });
    files.set(entry.fileName, await text(stream));
  }
  return files;
}

async function signedIn(url: string, email: string): Promise<Visitor> {
  const visitor = visit(url);
  await visitor.client.signIn({ email, password: PASSWORD });
  return visitor;
}

/** Columns that hold the name or the address, but for those where they stay for a reason. */
async function naming({ pool }: Database): Promise<string[]> {
  const columns = await pool.query<{ table: string; column: string }>(
    `select table_name as table, column_name as column from information_schema.columns
     where table_schema = 'public' and data_type in ('text', 'character varying', 'jsonb', 'ARRAY', 'bytea')`,
  );
  // The account's own row and the history are no exceptions here: they are dealt with in their own ways.
  const stays = STAYS.filter(
    (place) => !['Account.*', 'HistoryEntry.*', 'ListeningSession.*'].includes(place),
  );
  const found: string[] = [];
  for (const { table, column } of columns.rows) {
    if (stays.includes(`${table}.*`) || stays.includes(`${table}.${column}`)) continue;
    const rows = await pool.query(
      `select 1 from "${table}" where strpos(lower("${column}"::text), lower($1)) > 0
       or strpos(lower("${column}"::text), lower($2)) > 0 limit 1`,
      [NAME, 'jorun.'],
    );
    if (rows.rowCount) found.push(`${table}.${column}`);
  }
  return found;
}

/** Files of the home, but for the database’s own and backups. */
async function filesNaming(home: string): Promise<string[]> {
  const files = await readdir(home, { recursive: true, withFileTypes: true });
  const found: string[] = [];
  for (const file of files.filter((one) => one.isFile())) {
    const place = path.join(file.parentPath, file.name);
    if (/^(database|backups)/.test(path.relative(home, place))) continue;
    const bytes = await readFile(place);
    if (bytes.includes(NAME) || bytes.includes('jorun.')) found.push(place);
  }
  return found;
}
