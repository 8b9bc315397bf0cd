/**
 * Several people at the pages of a large archive: a process of its own, so that asking does not slow the answering.
 * Each time a page is asked for, its statement is asked of the database as well, in changing order and under the same
 * load. Reads an {@link Asking} as JSON from its standard input, prints the milliseconds of every answer by page.
 */
import { readFileSync } from 'node:fs';
import { setTimeout as sleep } from 'node:timers/promises';
import pg from 'pg';
import { seededRandom } from '../../../seed/physics/random.js';
import type { Question } from './questions.js';

export interface Asking {
  readonly url: string;
  readonly cookie: string;
  readonly database: string;
  readonly people: number;
  readonly seconds: number;
  /** A person looks at an answer for up to this long, half of it on average, before asking again. */
  readonly mostPauseMs: number;
  /** One question of each page is asked at a time. */
  readonly pages: Readonly<Record<string, readonly Question[]>>;
}
export type Asked = Readonly<Record<string, { readonly ours: number[]; readonly peer: number[] }>>;

const asking = JSON.parse(readFileSync(0, 'utf8')) as Asking;
const names = Object.keys(asking.pages);
const asked: Asked = Object.fromEntries(names.map((name) => [name, { ours: [], peer: [] }]));
const pool = new pg.Pool({ connectionString: asking.database, max: asking.people });

async function askHouse({ address }: Question): Promise<unknown> {
  const answer = await fetch(`${asking.url}${address}`, { headers: { cookie: asking.cookie } });
  if (answer.status !== 200) throw new Error(`${address} was answered with ${answer.status}`);
  return answer.json();
}

const askDatabase = async ({ sql, values }: Question): Promise<unknown[]> =>
  (await pool.query<Record<string, unknown>>(sql, [...values])).rows;

async function timed(times: number[], work: Promise<unknown>): Promise<void> {
  const began = performance.now();
  await work;
  times.push(performance.now() - began);
}

/** A bench of other lists would measure nothing. */
async function insistOnSameList(question: Question): Promise<void> {
  const idsOf = (list: unknown): string =>
    [list]
      .flat()
      .map((one) => (one as Record<string, unknown>)[question.id])
      .join();
  const steps = question.list.split('.').filter((step) => step !== '');
  const list = steps.reduce((at, step) => (at as Record<string, unknown>)[step], await askHouse(question));
  const [ours, peer] = [idsOf(list), idsOf(await askDatabase(question))];
  if (ours !== peer || ours === '')
    throw new Error(`${question.address} lists ${ours.slice(0, 200)}; the database ${peer.slice(0, 200)}`);
}

async function person(seed: number, ends: number): Promise<void> {
  const random = seededRandom(seed);
  const oneOf = <T>(list: readonly T[]): T => list[Math.floor(random() * list.length)];
  while (performance.now() < ends) {
    const name = oneOf(names);
    const question = oneOf(asking.pages[name]);
    const ways = [
      () => timed(asked[name].ours, askHouse(question)),
      () => timed(asked[name].peer, askDatabase(question)),
    ];
    for (const way of random() < 0.5 ? ways : ways.toReversed()) {
      await sleep(random() * asking.mostPauseMs);
      await way();
    }
  }
}

// What is asked for first in a process is slower than ever after.
for (const questions of Object.values(asking.pages))
  for (const question of questions.slice(0, 5)) await insistOnSameList(question);
const ends = performance.now() + asking.seconds * 1000;
await Promise.all(Array.from({ length: asking.people }, (_, at) => person(at + 1, ends)));
await pool.end();
console.log(JSON.stringify(asked));
