/** What open dashboards cost: the first page, an hour in which nothing happens, one event told to one of them. */
import { setTimeout as sleep } from 'node:timers/promises';
import type { Socket } from 'socket.io-client';
import type { Database } from '../../../libs/store/database.js';
import { lastFeedNumber } from '../../../libs/store/feed.js';
import { follow } from '../../seams/visitor.js';
import type { House } from '../house.js';
import { costRow, type BenchRow } from '../row.js';
import { Meter, costRows, processorMs } from './meter.js';

const OPENINGS = 60;
const WARM_UP = 5;
const DASHBOARDS = 200;
/** So many at once ask to be let in. */
const OPENING = 20;
/** Longer than a ping takes to come round, and than anything the house does by the clock. */
const WATCHED_MS = 30_000;
const EVENTS = 40;
const SETTLE_MS = 1000;
const HOUR_MS = 3_600_000;

export async function dashboardCosts(house: House, database: Database): Promise<BenchRow[]> {
  return [
    ...(await firstPage(house, database)),
    ...(await changesAlone(house, database)),
    ...(await openDashboards(house, database)),
  ];
}

/** What a browser asks for that has been here before: the page, who is there, what needs whom, the feed. */
async function firstPage(house: House, database: Database): Promise<BenchRow[]> {
  const after = await lastFeedNumber(database);
  const open = async (): Promise<number> => {
    let bytes = 0;
    for (const address of ['/', '/api/session', '/api/dashboard']) bytes += await bytesAt(house, address);
    (await follow(house.host, 'team', after)).socket.disconnect();
    return bytes;
  };
  let bytes = 0;
  for (let run = 0; run < WARM_UP; run++) bytes = await open();
  const meter = new Meter(house, database);
  await meter.during(async () => {
    for (let run = 0; run < OPENINGS; run++) await open();
  });
  const again = new Meter(house, database);
  await again.during(async () => {
    for (let run = 0; run < OPENINGS; run++) await bytesAt(house, '/api/dashboard');
  });
  const { loans } = await house.host.client.dashboard();
  const page = `the first page with ${loans.length} open loans`;
  return [
    ...costRows(page, meter, OPENINGS),
    costRow(`${page}: sent`, bytes / 1000, 'kB', 1),
    costRow(`${page}: sent once to a new browser besides`, (await shellBytes(house)) / 1000, 'kB', 1),
    ...costRows(`${page}, its numbers asked for anew`, again, OPENINGS),
    costRow(
      `${page}, its numbers asked for anew: sent`,
      (await bytesAt(house, '/api/dashboard')) / 1000,
      'kB',
      1,
    ),
  ];
}

const spentEach = ({ spent }: Meter, runs: number): number => processorMs(spent) / runs;

async function bytesAt({ host }: House, address: string): Promise<number> {
  const answer = await host.fetch(address);
  if (!answer.ok) throw new Error(`${address} was answered ${answer.status}`);
  return (await answer.arrayBuffer()).byteLength;
}

/** The page's own parts, which browsers keep. */
async function shellBytes(house: House): Promise<number> {
  const html = await (await house.host.fetch('/')).text();
  let bytes = 0;
  for (const [, address = ''] of html.matchAll(/(?:src|href)="(\/[^"]+)"/g))
    bytes += await bytesAt(house, address);
  return bytes;
}

async function changesAlone(house: House, database: Database): Promise<BenchRow[]> {
  return costRows('a change of a loan that nobody watches', await meterChanges(house, database), EVENTS);
}

async function meterChanges(house: House, database: Database, afterEach = async () => {}): Promise<Meter> {
  const { client } = house.host;
  const [loan] = await client.loans({ show: 'open' });
  let { version } = loan;
  const write = async (run: number) => {
    ({ version } = await client.changeLoan(loan.id, { version, notes: `Ring ${run} times.` }));
    await afterEach();
  };
  for (let run = -WARM_UP; run < 0; run++) await write(run);
  const meter = new Meter(house, database);
  await meter.during(async () => {
    for (let run = 0; run < EVENTS; run++) await write(run);
  });
  return meter;
}

async function openDashboards(house: House, database: Database): Promise<BenchRow[]> {
  const alone = await watchFor(house, database);
  const unwatched = await meterChanges(house, database);
  const sockets: Socket[] = [];
  const after = await lastFeedNumber(database);
  for (let at = 0; at < DASHBOARDS; at += OPENING) {
    const some = Array.from({ length: OPENING }, () => follow(house.host, 'team', after));
    sockets.push(...(await Promise.all(some)).map(({ socket }) => socket));
  }
  await sleep(SETTLE_MS);
  const open = await watchFor(house, database);
  const watched = await meterChanges(house, database, everyoneHears(sockets));
  sockets.forEach((socket) => socket.disconnect());
  const hours = WATCHED_MS / HOUR_MS;
  const rest = (alone: number, open: number) => (open - alone) / DASHBOARDS / hours;
  const told = (spentEach(watched, EVENTS) - spentEach(unwatched, EVENTS)) / DASHBOARDS;
  return [
    costRow('the house at rest: processor time an hour', processorMs(alone.spent) / hours / 1000, 's', 1),
    costRow(
      'the house at rest: written to the log of the database an hour',
      alone.spent.logBytes / hours / 1000,
      'kB',
      1,
    ),
    costRow(
      'an open dashboard at rest: processor time an hour',
      rest(processorMs(alone.spent), processorMs(open.spent)),
      'ms',
      DASHBOARDS,
    ),
    costRow('an event told to one open dashboard: processor time', told, 'ms', EVENTS * DASHBOARDS),
  ];
}

async function watchFor(house: House, database: Database): Promise<Meter> {
  const meter = new Meter(house, database);
  await meter.during(() => sleep(WATCHED_MS));
  return meter;
}

/** @returns waits, after a write, until every socket has heard of it */
function everyoneHears(sockets: readonly Socket[]): () => Promise<void> {
  let heard = 0;
  let written = 0;
  let wake: (() => void) | undefined;
  for (const socket of sockets)
    socket.on('event', ({ type }: { type: string }) => {
      if (type !== 'loan-changed') return;
      heard++;
      if (heard >= written * sockets.length) wake?.();
    });
  return async () => {
    written++;
    if (heard >= written * sockets.length) return;
    await new Promise<void>((resolve) => (wake = resolve));
  };
}
