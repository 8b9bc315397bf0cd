/** The history as a chain of hashes: whoever changes it behind the house's back is noticed. */
import { createHash } from 'node:crypto';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { canonicalJson } from '../../libs/contracts/canonicalJson.js';
import { change, theHouse, type Actor } from '../../libs/store/change.js';
import { chainEarlierHistory } from '../../libs/store/historyChain.js';
import { checkHistory } from '../../libs/store/historyCheck.js';
import { eraseFromHistory } from '../../libs/store/historyErasing.js';
import { openPlanWorld, type PlanWorld } from './planWorld.js';

let world: PlanWorld;
beforeAll(async () => {
  world = await openPlanWorld();
});
afterAll(() => world.close());

const rhona: Actor = { id: '0193aaaa-0000-7000-8000-000000000001', name: 'Rhona' };
const sql = (text: string) => world.database.pool.query(text);

const tell = (sentence: string, actor = theHouse, more: object = {}) =>
  change(world.database, actor, async (made) => {
    made.record({ action: 'told', subject: 'thing', subjectId: 'one', sentence, ...more });
    made.publish('team', 'people-changed', { accountId: '', by: actor.name, sentence });
  });

beforeEach(async () => {
  await sql(`truncate "HistoryEntry"`);
  await sql(`update "HistoryHead" set "number" = 0, "hash" = repeat('0', 64)`);
});

describe('the chain', () => {
  it('can be taken again by anybody from what is written down', async () => {
    const odd = {
      'b key': [1e-7, 1e21, -0, 0.1 + 0.2],
      a: null,
      text: 'half a pair \uD800, a whole one 🎧, é',
    };
    await tell('first \uDC00', rhona, { before: odd, after: { a: 1 }, reason: 'because' });
    await tell('second');
    const { rows } = await world.database.pool.query<Record<string, string | null> & { at: Date }>(
      'select * from "HistoryEntry" order by "number"',
    );
    const sha256 = (text: string) => createHash('sha256').update(text).digest('hex');
    let previous = '0'.repeat(64);
    for (const row of rows) {
      const { id, actorId, action, loanId, subject, subjectId, sentence, before, after, reason } = row;
      const nameHash = sha256(`${row['nameSalt']}${row['actorName']}`);
      const said = { id, actorId, action, loanId, subject, subjectId, sentence, before, after, reason };
      const content = sha256(`${row['salt']}${canonicalJson({ ...said, nameHash })}`);
      const place = { previous, number: String(row['number']), at: row.at.toISOString() };
      previous = sha256(canonicalJson({ ...place, content }));
      expect(row['hash']).toBe(previous);
    }
    expect(rows).toHaveLength(2);
    expect(await checkHistory(world.database)).toEqual({ number: 2n, hash: previous });
  });

  it('has no gap after 200 changes at once, and holds', async () => {
    // Each of 40 writers waits for its own change before the next: no queue for connections to give up in.
    const writer = async (name: number) => {
      for (let index = 0; index < 5; index++) await tell(`change ${index} of ${name}`);
    };
    await Promise.all(Array.from({ length: 40 }, (_, name) => writer(name)));
    const { number, broken } = await checkHistory(world.database);
    expect({ number, broken }).toEqual({ number: 200n, broken: undefined });
    // Numbers follow commits: the feed, numbered in the same transactions, says the same order.
    const { rows } = await sql(
      `select h."sentence" as told, f."payload"->>'sentence' as fed
       from (select "sentence", row_number() over (order by "number") as place from "HistoryEntry") h
       join (select "payload", row_number() over (order by "number") as place
             from (select * from "FeedEvent" order by "number" desc limit 200) newest) f using ("place")`,
    );
    expect(rows).toHaveLength(200);
    expect(rows.filter(({ told, fed }) => told !== fed)).toEqual([]);
  });

  it('takes up what was written before there was one, oldest first and once', async () => {
    await sql(`insert into "HistoryEntry" ("id", "at", "actorName", "action", "subject", "subjectId", "sentence")
      select gen_random_uuid(), now() - n * interval '1 hour', 'Rhona', 'told', 'thing', 'one', 'old ' || n
      from generate_series(1, 2100) n`);
    expect((await checkHistory(world.database)).broken).toEqual({ number: 1n, how: 'added' });
    const taken = await Promise.all([1, 2, 3].map(() => chainEarlierHistory(world.database.url)));
    expect(taken.toSorted((a, b) => a - b)).toEqual([0, 0, 2100]);
    await tell('new');
    const { number, broken } = await checkHistory(world.database);
    expect({ number, broken }).toEqual({ number: 2101n, broken: undefined });
    const first = await sql('select "sentence" from "HistoryEntry" where "number" in (1, 2101) order by 1');
    expect(first.rows).toEqual([{ sentence: 'new' }, { sentence: 'old 2100' }]);
  });
});

describe('tampering is noticed', () => {
  beforeEach(async () => {
    for (let index = 1; index <= 6; index++) await tell(`entry ${index}`, rhona, { after: { index } });
  });
  const broken = async (noted: { number: bigint; hash: string }[] = []) =>
    (await checkHistory(world.database, noted)).broken;

  it.each([
    ['a sentence', `"sentence" = 'something else'`],
    ['an actor’s name', `"actorName" = 'Grace'`],
    ['who it was', `"actorId" = null`],
    ['a value', `"after" = '{"index": 33}'`],
    ['a reason put in', `"reason" = 'a better one'`],
    ['the content’s hash', `"contentHash" = repeat('a', 64)`],
  ])('%s changed', async (_what, set) => {
    await sql(`update "HistoryEntry" set ${set} where "number" = 3`);
    expect(await broken()).toEqual({ number: 3n, how: 'changed' });
  });

  it('a time changed', async () => {
    await sql(`update "HistoryEntry" set "at" = "at" - interval '1 day' where "number" = 3`);
    expect(await broken()).toEqual({ number: 3n, how: 'out-of-order' });
  });

  it('one removed', async () => {
    await sql(`delete from "HistoryEntry" where "number" = 3`);
    expect(await broken()).toEqual({ number: 3n, how: 'removed' });
  });

  it('one removed and the rest moved up', async () => {
    await sql(`delete from "HistoryEntry" where "number" = 3`);
    for (const number of [4, 5, 6])
      await sql(`update "HistoryEntry" set "number" = ${number - 1} where "number" = ${number}`);
    expect(await broken()).toEqual({ number: 3n, how: 'out-of-order' });
  });

  it('two swapped', async () => {
    await sql(`update "HistoryEntry" set "number" = -3 where "number" = 3`);
    await sql(`update "HistoryEntry" set "number" = 3 where "number" = 4`);
    await sql(`update "HistoryEntry" set "number" = 4 where "number" = -3`);
    expect(await broken()).toEqual({ number: 3n, how: 'out-of-order' });
  });

  it('the last one deleted', async () => {
    await sql(`delete from "HistoryEntry" where "number" = 6`);
    expect(await broken()).toEqual({ number: 6n, how: 'cut-off' });
  });

  it('the last ones deleted and the head set back, by whoever wrote a number and hash down', async () => {
    const written = await checkHistory(world.database);
    await sql(`delete from "HistoryEntry" where "number" > 4`);
    await sql(`update "HistoryHead" set "number" = 4,
      "hash" = (select "hash" from "HistoryEntry" where "number" = 4)`);
    expect(await broken()).toBeUndefined();
    expect(await broken([written])).toEqual({ number: 5n, how: 'cut-off' });
    await tell('another five');
    await tell('another six');
    expect(await broken()).toBeUndefined();
    expect(await broken([written])).toEqual({ number: 6n, how: 'rewritten' });
  });

  it('one put in without a place', async () => {
    await sql(`insert into "HistoryEntry" ("id", "actorName", "action", "subject", "subjectId", "sentence")
      values (gen_random_uuid(), 'Rhona', 'told', 'thing', 'one', 'was never said')`);
    expect(await broken()).toEqual({ number: 7n, how: 'added' });
  });

  it('one erased without the history saying so', async () => {
    await sql(
      `update "HistoryEntry" set "erasedAt" = now(), "salt" = null, "sentence" = '' where "number" = 2`,
    );
    expect(await broken()).toEqual({ number: 2n, how: 'erased-unsaid' });
  });
});

describe('erasing a person', () => {
  it('takes their name and what was said of them, and the chain holds', async () => {
    await tell('moved the loan', rhona);
    await tell('joined as editor', rhona, {
      subject: 'account',
      subjectId: rhona.id,
      after: { email: 'rhona@example.org' },
    });
    await tell('said that Rhona was late', theHouse);
    await change(world.database, theHouse, (made) =>
      eraseFromHistory(made, rhona.id ?? '', 'asked to be forgotten', [3n]),
    );
    expect(await checkHistory(world.database)).toMatchObject({ number: 4n });
    expect((await checkHistory(world.database)).broken).toBeUndefined();
    const { rows } = await sql('select * from "HistoryEntry" order by "number"');
    expect(JSON.stringify(rows)).not.toMatch(/rhona/i);
    expect(rows.map(({ sentence }) => sentence)).toEqual([
      'moved the loan',
      'did something that has been erased since',
      'did something that has been erased since',
      'erased 2 entries about a person and their name from 2',
    ]);
    // What was erased has no salt left with which a name could be tried.
    expect(rows.map(({ salt, nameSalt }) => [salt === null, nameSalt === null])).toEqual([
      [false, true],
      [true, true],
      [true, false],
      [false, false],
    ]);
  });

  it('leaves the rest under watch', async () => {
    await tell('moved the loan', rhona);
    await change(world.database, theHouse, (made) => eraseFromHistory(made, rhona.id ?? '', 'asked for it'));
    await sql(`update "HistoryEntry" set "sentence" = 'moved another loan' where "number" = 1`);
    expect((await checkHistory(world.database)).broken).toEqual({ number: 1n, how: 'changed' });
  });
});
