/** How long an analysis will wait for its turn: what comes before it, by what the last ones took. */
import type { WaitingView } from '../../../libs/contracts/index.js';
import { computingThreads, type Database } from '../../../libs/store/index.js';

const LOOKED_AT = 50;

export async function waitingOf(database: Database, computationId: string): Promise<WaitingView> {
  const [{ rows }, threads] = await Promise.all([
    database.pool.query<{ ahead: string; took: number | null }>({
      name: 'analysis-waiting',
      text: `select
          (select count(*) from "Computation" c where c."state" in ('reading', 'analysing', 'drawing')
             or (c."state" = 'queued' and (c."turn", c."createdAt", c."id") < (own."turn", own."createdAt", own."id"))) as "ahead",
          (select avg("computeMs") from (select "computeMs" from "Computation" where "state" = 'done'
             and "computeMs" is not null order by "finishedAt" desc limit ${LOOKED_AT}) last) as "took"
        from "Computation" own where own."id" = $1 and own."state" = 'queued'`,
      values: [computationId],
    }),
    computingThreads(database),
  ]);
  const [row] = rows;
  const computing = threads > 0;
  if (!row) return { ahead: 0, aboutMinutes: null, computing };
  const ahead = Number(row.ahead);
  const minutes = computing && row.took !== null ? (ahead * STEPS_FACTOR * row.took) / threads / 60_000 : 0;
  return { ahead, aboutMinutes: minutes >= 1 ? Math.round(minutes) : null, computing };
}

/** What is measured is the arithmetic alone; reading and drawing take about as long again. Common practice, no source. */
const STEPS_FACTOR = 2;
