/** The steps of the house's work, and striking exactly when the rows say that one of them has begun. */
import { setTimeout as sleep } from 'node:timers/promises';
import { measurementSet } from '../../seed/files/measurementSet.js';
import type { Ledger } from './ledger.js';
import { hostOf, withDatabase, type World } from './world.js';

const PATIENCE_MS = 60_000;
const LOOK_EVERY_MS = 3;

export interface Boundary {
  readonly name: string;
  /** Asks for the work and answers its id; what was acknowledged is in the ledger. */
  readonly ask: (world: World, ledger: Ledger) => Promise<string>;
  /** True once it has begun, of the work with id $1. */
  readonly begun: string;
}

const computation = (state: string): string =>
  `select exists (select 1 from "Analysis" a join "Computation" c on c."id" = a."computationId"
     where a."id" = $1::uuid and c."state" in ('${state}', 'done', 'refused', 'quarantined')) as "yes"`;

export const boundaries: readonly Boundary[] = [
  { name: 'read-set', ask: askAnalysis, begun: computation('reading') },
  { name: 'analyse-set', ask: askAnalysis, begun: computation('analysing') },
  { name: 'draw-figures', ask: askAnalysis, begun: computation('drawing') },
  {
    name: 'build-bundle',
    ask: askBundle,
    begun: `select exists (select 1 from "Publication" where "id" = $1::uuid and ("progress" > 0 or "state" <> 'building')) as "yes"`,
  },
  {
    name: 'deliver',
    ask: askMessage,
    begun: `select exists (select 1 from "Delivery" where "id" = $1::uuid and "attempts" > 0) as "yes"`,
  },
  {
    name: 'make-backup',
    ask: askBackup,
    begun: `select exists (select 1 from "BackupRun" where "id" = $1::uuid and "state" <> 'running')
      or exists (select 1 from pg_stat_activity where "query" ilike 'copy %') as "yes"`,
  },
];

/** Asks for the work and waits until the rows say that it has begun. */
export async function untilBegun(world: World, ledger: Ledger, boundary: Boundary): Promise<void> {
  const id = await boundary.ask(world, ledger);
  await withDatabase(world, async ({ pool }) => {
    for (
      const patienceEnds = Date.now() + PATIENCE_MS;
      Date.now() < patienceEnds;
      await sleep(LOOK_EVERY_MS)
    ) {
      const { rows } = await pool.query<{ yes: boolean }>(boundary.begun, [id]);
      if (rows[0]?.yes) return;
    }
    throw new Error(
      `${boundary.name} of ${id} did not begin within ${PATIENCE_MS / 1000} s:\n${await queuesOf(world)}`,
    );
  });
}

/** What waits where, in the words of the server. */
async function queuesOf({ server }: World): Promise<string> {
  const metrics = await (await fetch(`${server.url}/metrics`)).text();
  return metrics
    .split('\n')
    .filter((line) => /^sojourn_(queue|outbox)/.test(line) && !line.endsWith(' 0'))
    .join('\n');
}

async function askAnalysis(world: World, ledger: Ledger): Promise<string> {
  const host = hostOf(world);
  const seed = 1_000_000 + ledger.analyses.length;
  const set = await host.client.addSet(world.unitId, { name: `struck ${seed}` });
  for (const { name, bytes } of measurementSet('sedge-5', { seed, parts: ['impedance'] }))
    await host.put(set.id, name, bytes);
  const { id } = await host.client.requestAnalysis(set.id);
  ledger.analyses.push(id);
  return id;
}

async function askBundle(world: World, ledger: Ledger): Promise<string> {
  const { client } = hostOf(world);
  await untilFree(world, async () => {
    const { publications } = await client.publication(world.loanId);
    return publications.every(({ state }) => state !== 'building');
  });
  const { loanVersion: version } = await client.publication(world.loanId);
  await client.previewBundle(world.loanId, { version });
  return newest(world, 'Publication', 'askedAt', ledger.bundles);
}

async function askMessage(world: World, ledger: Ledger): Promise<string> {
  await hostOf(world).client.testNotifications();
  return newest(world, 'Delivery', 'createdAt', ledger.messages);
}

async function askBackup(world: World, ledger: Ledger): Promise<string> {
  const { client } = hostOf(world);
  await untilFree(world, async () => (await client.backups()).running.length === 0);
  await client.makeBackup();
  return newest(world, 'BackupRun', 'startedAt', ledger.backups);
}

/** One at a time is made: an earlier one may still be on its way, and pauses between tries grow to a minute. */
async function untilFree(world: World, look: () => Promise<boolean>): Promise<void> {
  for (const patienceEnds = Date.now() + 2 * PATIENCE_MS; !(await look());) {
    if (Date.now() > patienceEnds)
      throw new Error(`What was under way before did not come to its end:\n${await queuesOf(world)}`);
    await sleep(100);
  }
}

/** What the acknowledged question made. */
async function newest(world: World, table: string, by: string, known: string[]): Promise<string> {
  return withDatabase(world, async ({ pool }) => {
    const { rows } = await pool.query<{ id: string }>(
      `select "id"::text from "${table}" where not "id"::text = any($1) order by "${by}" desc limit 1`,
      [known],
    );
    const id = rows[0]?.id ?? '';
    known.push(id);
    return id;
  });
}
