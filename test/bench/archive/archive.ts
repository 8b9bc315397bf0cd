/**
 * An archive of ten thousand loans and eight hundred thousand measured curves, and ten people at its pages. The peer is
 * the same list asked of the database by one lean statement, in turn with the page.
 *
 * Of the units, a few are computed from physics by the product itself; the results of a hundred are variations of
 * those, and each is the result of a hundred units. Files and figures are real and, as equal content always is, kept
 * once: the rows that name them are there for every unit.
 */
import { spawnSync } from 'node:child_process';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { openComputePool } from '../../../apps/worker/threads/computePool.js';
import { folderBlobStore } from '../../../libs/blobs/blobStore.js';
import { databaseOf } from '../../seams/databaseOf.js';
import type { Installation } from '../../seams/installation.js';
import { inHouse } from '../house.js';
import type { BenchRow } from '../row.js';
import type { Asked, Asking } from './asker.js';
import { computeBases, vary, type BaseUnit } from './bases.js';
import { archiveQuestions } from './questions.js';
import { fillArchive } from './rows.js';
import { storageWords, unitStorage } from './storage.js';

const SIZE = { loans: 10_000, open: 30 };
const VARIATIONS = 100;
const SEED = 1;
const PEOPLE = 10;
const SECONDS = 30;
const MOST_PAUSE_MS = 1000;

export function benchArchive(): Promise<readonly BenchRow[]> {
  return inHouse(async ({ installation, url, host }) => {
    const bases = await makeBases(installation);
    const database = await fill(installation, bases);
    const pages = await archiveQuestions(host);
    const asking = { url, cookie: host.cookie(), database, pages };
    return rowsOf(ask({ ...asking, people: PEOPLE, seconds: SECONDS, mostPauseMs: MOST_PAUSE_MS }));
  });
}

async function makeBases({ home }: Installation): Promise<BaseUnit[]> {
  const pool = openComputePool(2);
  try {
    return await computeBases(pool, folderBlobStore(path.join(home, 'blobs')));
  } finally {
    await pool.close();
  }
}

/** @returns the address of its database */
async function fill(installation: Installation, bases: readonly BaseUnit[]): Promise<string> {
  const database = await databaseOf(installation);
  try {
    const began = performance.now();
    await fillArchive(database, bases, vary(bases, VARIATIONS, SEED), SIZE);
    const { rows } = await database.pool.query<{ files: string }>(
      'select count(*) as "files" from "SetFile"',
    );
    const seconds = ((performance.now() - began) / 1000).toFixed(0);
    console.error(`  ${SIZE.loans} loans with ${rows[0]?.files} measured curves, filled in ${seconds} s`);
    console.error(`  ${storageWords(await unitStorage(database, bases, SIZE.loans))}`);
    return database.url;
  } finally {
    await database.close();
  }
}

function ask(asking: Asking): Asked {
  const asker = fileURLToPath(new URL('./asker.js', import.meta.url));
  const { status, stdout, stderr } = spawnSync(process.execPath, [asker], {
    input: JSON.stringify(asking),
    encoding: 'utf8',
    maxBuffer: 1 << 28,
  });
  if (status !== 0) throw new Error(`asking ended with ${status}: ${stderr}`);
  return JSON.parse(stdout) as Asked;
}

function rowsOf(asked: Asked): BenchRow[] {
  return Object.entries(asked).map(([page, times]) => {
    const [ours, peer] = [nineteenOfTwenty(times.ours), nineteenOfTwenty(times.peer)];
    return {
      name: `archive of ${SIZE.loans} loans, ${PEOPLE} people: ${page}, 95 of 100 answers within (peer: one lean statement)`,
      ours,
      peer,
      unit: 'ms',
      higherIsBetter: false,
      runs: times.ours.length,
    };
  });
}

const nineteenOfTwenty = (times: readonly number[]): number =>
  times.toSorted((a, b) => a - b)[Math.floor(times.length * 0.95)] ?? Number.NaN;
