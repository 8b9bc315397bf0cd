/**
 * How soon 1,000 open dashboards hear of a change: from the start of an HTTP write until the last of 1,000 sockets has
 * the event, and of that the fan-out alone, from the first socket that has it to the last.
 *
 * Ours is an installation as `npm start` makes it: who asks is looked up, the change is one transaction with its line in
 * the history and its event, the event is read back from the feed and told to the room. The peer is one insert into the
 * same PostgreSQL, then the same JSON to 1,000 raw web sockets, with nobody asked who they are. On both sides one
 * process serves, one holds the sockets and this one writes; every other write goes to the other side.
 *
 * A thousand readers in one process take turns on one core, which a thousand browsers do not: with raw web sockets on
 * both sides only the servers differ. The rows with the client of the pages add what that client takes to read.
 */
import { databaseUrlOf } from '../seams/databaseOf.js';
import type { Visitor } from '../seams/visitor.js';
import { forked, machineClock, type Forked } from './forked.js';
import { inHouse } from './house.js';
import { median } from './pairedMedians.js';
import type { BenchRow } from './row.js';

const SOCKETS = 1000;
const RUNS = 31;
const WARM_UP = 5;

const CLIENTS = { raw: 'raw clients', page: 'clients of the pages' } as const;

interface Told {
  readonly fromWriteMs: number;
  readonly fanOutMs: number;
}

export function benchSockets(): Promise<readonly BenchRow[]> {
  return inHouse(async ({ installation, url, host }) => {
    const running: Forked<unknown>[] = [];
    const run = async <T>(...of: Parameters<typeof forked>): Promise<Forked<T>> => {
      const one = await forked<T>(...of);
      running.push(one);
      return one;
    };
    try {
      // Before anybody listens: it is told to the room, too.
      const write = await makerWrites(host);
      const peer = await run<string>('socketPeer', [await databaseUrlOf(installation)]);
      const theirs = await run('socketListeners', ['peer', peer.ready, `${SOCKETS}`]);
      const found: BenchRow[] = [];
      for (const kind of ['raw', 'page'] as const) {
        const ours = await run('socketListeners', [kind, url, `${SOCKETS}`, host.cookie()]);
        const told = await inTurn([
          [write, ours],
          [peerWrites(peer.ready), theirs],
        ]);
        found.push(...rows(CLIENTS[kind], told));
        await ours.stop();
      }
      return found;
    } finally {
      for (const one of running.toReversed()) await one.stop();
    }
  });
}

type Write = (name: string) => Promise<void>;

/** The same request each time, with another name. */
async function makerWrites(host: Visitor): Promise<Write> {
  let { id, version } = await host.client.addMaker({ name: 'Wren & Sedge (invented)' });
  return async (name) => {
    const answer = await host.fetch(`/api/makers/${id}`, {
      method: 'PATCH',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({ version, name }),
    });
    if (!answer.ok) throw new Error(`The write was answered ${answer.status}: ${await answer.text()}`);
    ({ version } = (await answer.json()) as { version: number });
  };
}

function peerWrites(url: string): Write {
  const makerId = crypto.randomUUID();
  return async (name) => {
    const payload = { makerId, name, by: 'Ida Rask', sentence: `${name} was changed` };
    const answer = await fetch(url, { method: 'POST', body: JSON.stringify(payload) });
    if (!answer.ok) throw new Error(`The peer answered ${answer.status}: ${await answer.text()}`);
    await answer.text();
  };
}

async function inTurn(sides: readonly [Write, Forked<unknown>][]): Promise<Told[][]> {
  const told = sides.map((): Told[] => []);
  for (let run = -WARM_UP; run < RUNS; run++) {
    for (const [side, [write, listeners]] of sides.entries()) {
      const began = machineClock();
      const written = write(`Wren & Sedge ${run} (invented)`);
      const { first, last } = (await listeners.next()) as { first: number; last: number };
      await written;
      if (run >= 0) told[side].push({ fromWriteMs: last - began, fanOutMs: last - first });
    }
  }
  return told;
}

function rows(clients: string, [ours, peer]: readonly Told[][]): BenchRow[] {
  const row = (what: string, of: (told: Told) => number): BenchRow => {
    const [mine, bare] = [median(ours.map(of)), median(peer.map(of))];
    return {
      name: `${SOCKETS} ${clients}, ${what} (peer: one insert, then raw web sockets)`,
      ours: mine,
      peer: bare,
      unit: 'ms',
      higherIsBetter: false,
      runs: RUNS,
    };
  };
  return [
    row('from the start of a write to the last that hears of it', ({ fromWriteMs }) => fromWriteMs),
    row('from the first that hears of a write to the last', ({ fanOutMs }) => fanOutMs),
  ];
}
