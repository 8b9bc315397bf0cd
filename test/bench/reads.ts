/**
 * How many reads a second an installation answers to eight browsers that ask without a pause, over connections that stay
 * open: a maker's page, and the list of makers.
 *
 * The peer is bare Fastify with `pg` on the same database: one prepared query for who asks, one for the answer. It has
 * no rules of access beyond that, nobody who listens blind, no metrics and no headers for browsers. Both answer the same
 * JSON, which is checked; both are asked in turn by this process.
 */
import { isDeepStrictEqual } from 'node:util';
import { Agent, get } from 'node:http';
import { json } from 'node:stream/consumers';
import { databaseUrlOf } from '../seams/databaseOf.js';
import type { Visitor } from '../seams/visitor.js';
import { forked } from './forked.js';
import { inHouse } from './house.js';
import { pairedMedians } from './pairedMedians.js';
import type { BenchRow } from './row.js';

const CONNECTIONS = 8;
const RUNS = 7;
const WARM_UP = 2;
const RUN_MS = 1500;
const MAKERS = 40;

export function benchReads(): Promise<readonly BenchRow[]> {
  return inHouse(async ({ installation, url, host }) => {
    const id = await addMakers(host);
    const peer = await forked<string>('readsPeer', [await databaseUrlOf(installation)]);
    try {
      const bases = [url, peer.ready] as const;
      const one = await row('a maker', `/api/makers/${id}`, bases, host.cookie());
      const all = await row(`the list of ${MAKERS} makers`, '/api/makers', bases, host.cookie());
      return [one, all];
    } finally {
      await peer.stop();
    }
  });
}

/** @returns the id of the last */
async function addMakers({ client }: Visitor): Promise<string> {
  let last = '';
  for (let at = 1; at <= MAKERS; at++) {
    const name = `Wren & Sedge ${at} (invented)`;
    const contacts = ['Ada Fenn', 'Bo Lind', 'Cai Moor'].map((person) => ({
      name: person,
      email: `${person.toLowerCase().replace(' ', '.')}@example.org`,
      duty: 'loans',
    }));
    ({ id: last } = await client.addMaker({ name, website: 'https://example.org', contacts }));
  }
  return last;
}

async function row(
  what: string,
  path: string,
  bases: readonly [ours: string, peer: string],
  cookie: string,
): Promise<BenchRow> {
  const urls = bases.map((base) => base + path);
  await insistOnSame(urls, cookie);
  // The median of times each read takes; a rate is what people ask for.
  const [ours, peer] = (
    await pairedMedians(
      urls.map((url) => () => msPerRead(url, cookie)),
      RUNS,
      WARM_UP,
    )
  ).map((ms) => 1000 / ms);
  return {
    name: `reads of ${what} over ${CONNECTIONS} connections (peer: bare Fastify and pg, the session looked up too)`,
    ours,
    peer,
    unit: 'reads/s',
    higherIsBetter: true,
    runs: RUNS,
  };
}

/** A bench that compared different answers would compare nothing. */
async function insistOnSame(urls: readonly string[], cookie: string): Promise<void> {
  const [ours, peer] = await Promise.all(
    urls.map(async (url) => (await fetch(url, { headers: { cookie } })).json()),
  );
  if (!isDeepStrictEqual(ours, peer))
    throw new Error(`Different answers: ${JSON.stringify(ours)} and ${JSON.stringify(peer)}`);
}

/** Time over answers, of all connections together. */
async function msPerRead(url: string, cookie: string): Promise<number> {
  const agent = new Agent({ keepAlive: true, maxSockets: CONNECTIONS });
  const began = performance.now();
  const ends = began + RUN_MS;
  let answered = 0;
  const ask = async (): Promise<void> => {
    while (performance.now() < ends) {
      await read(url, agent, cookie);
      answered++;
    }
  };
  await Promise.all(Array.from({ length: CONNECTIONS }, ask));
  const took = performance.now() - began;
  agent.destroy();
  return took / answered;
}

function read(url: string, agent: Agent, cookie: string): Promise<unknown> {
  return new Promise((resolve, reject) => {
    get(url, { agent, headers: { cookie } }, (answer) => {
      if (answer.statusCode === 200) json(answer).then(resolve, reject);
      else reject(new Error(`${url} answered ${answer.statusCode}`));
    }).once('error', reject);
  });
}
