/**
 * What a team costs an installation: processor time of all its processes, memory, what the database writes and what
 * is kept, for an analysis, a loan and a dashboard; and how long people wait while much else is to be computed.
 * `docs/load.md` says what follows from it.
 */
import type { Database } from '../../../libs/store/database.js';
import { lastFeedNumber } from '../../../libs/store/feed.js';
import { databaseOf } from '../../seams/databaseOf.js';
import { join, makeUnit } from '../../seams/visitor.js';
import { inHouse, type House } from '../house.js';
import { costRow, type BenchRow } from '../row.js';
import { commitsASecond } from './commits.js';
import { dashboardCosts } from './dashboards.js';
import { liveLoan } from './loanLife.js';
import { analysed, fullSet, sendSet, smallSet, watch } from './measuring.js';
import { costRows, Meter } from './meter.js';
import { canBeMeasured, processesOf } from './processes.js';
import { waits } from './waits.js';

const OPEN_LOANS = 12;
const FULL = 5;
const SMALL = 20;
const SMALL_WARM_UP = 5;
const LOANS = 3;

export async function benchLoad(): Promise<readonly BenchRow[]> {
  if (!canBeMeasured) {
    console.error(
      '*** SKIPPED: what a team costs cannot be measured here; only Linux tells of all processes. ***',
    );
    return [];
  }
  return inHouse(async (house) => {
    const database = await databaseOf(house.installation);
    try {
      return await measure(house, database);
    } finally {
      await database.close();
    }
  });
}

async function measure(house: House, database: Database): Promise<BenchRow[]> {
  const { host } = house;
  const colleague = await join(host, 'cohost', 'Bo Lind');
  const fresh = await memory('at the start', house);
  const { unit, loan } = await makeUnit(host);
  for (let more = 1; more < OPEN_LOANS; more++) await makeUnit(host);
  const watching = await watch(host, await lastFeedNumber(database));
  const fullSetId = await sendSet(host, unit.id, 'full, first', fullSet(1));
  await analysed(host, watching, fullSetId);
  const meters = { full: new Meter(house, database), small: new Meter(house, database) };
  for (let run = 0; run < FULL; run++) await measureSet(`full ${run}`, fullSet(2 + run), meters.full);
  for (let run = -SMALL_WARM_UP; run < SMALL; run++) {
    const meter = run < 0 ? new Meter(house, database) : meters.small;
    await measureSet(`small ${run}`, smallSet(100 + run), meter);
  }
  const lives = new Meter(house, database);
  for (let run = 0; run < LOANS; run++) await liveLoan({ host, colleague }, watching, lives, 200 + run);
  watching.close();
  const busy = await memory('after the analyses and loans', house);
  return [
    ...costRows('a full set of 81 files, from the first file to its figures', meters.full, FULL),
    ...costRows('a small analysis (impedance alone), from its file to its figures', meters.small, SMALL),
    ...costRows('a loan from asking to closing, its sets not counted', lives, LOANS),
    ...(await dashboardCosts(house, database)),
    ...(await waits({ house, database, colleague, unitId: unit.id, loanId: loan.id, fullSetId })),
    ...(await commitsASecond(house)),
    ...fresh,
    ...busy,
    ...(await memory('after all this', house)),
  ];

  async function measureSet(name: string, files: ReturnType<typeof fullSet>, meter: Meter): Promise<void> {
    await meter.during(async () => analysed(host, watching, await sendSet(host, unit.id, name, files)));
  }
}

async function memory(when: string, house: House): Promise<BenchRow[]> {
  const { serverBytes, readingBytes, databaseBytes } = await processesOf(house);
  const row = (what: string, bytes: number) => costRow(`memory ${when}: ${what}`, bytes / 1e6, 'MB', 1);
  return [
    row('the server with its worker', serverBytes),
    row('processes that read files', readingBytes),
    row('PostgreSQL', databaseBytes),
  ];
}
