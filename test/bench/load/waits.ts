/**
 * How long somebody waits for a small analysis, and for a full one, while the archive is recomputed and while a
 * colleague has many sets in the queue; the peer is the same wait with nothing else at work, before and after.
 */
import type { Database } from '../../../libs/store/database.js';
import { lastFeedNumber } from '../../../libs/store/feed.js';
import { addEarlierResults } from '../../seams/earlierVersion.js';
import type { Visitor } from '../../seams/visitor.js';
import type { House } from '../house.js';
import { median } from '../pairedMedians.js';
import { costRow, type BenchRow } from '../row.js';
import { analysed, endOf, sendSet, smallSet, watch, type Watching } from './measuring.js';

const SMALL = 12;
const FULL = 3;
const ARCHIVED = 60;
const QUEUED = 12;
/** Of those for which the queue must still be there. */
const SMALL_IN_QUEUE = 6;

interface Scene {
  readonly house: House;
  readonly database: Database;
  readonly colleague: Visitor;
  readonly unitId: string;
  readonly loanId: string;
  /** A full set that has been analysed; other settings make it another computation. */
  readonly fullSetId: string;
}

interface Waits {
  readonly small: readonly number[];
  readonly full: readonly number[];
}

export async function waits(scene: Scene): Promise<BenchRow[]> {
  const { database, colleague } = scene;
  const watching = await watch(colleague, await lastFeedNumber(database));
  // Numbers of its own for every set, so that nothing is answered by an earlier result.
  let number = 1000;
  const next = () => number++;
  try {
    const before = await waitAlone(scene, watching, next);
    const underway = await duringCampaign(scene, () => waitAlone(scene, watching, next));
    const after = await waitAlone(scene, watching, next);
    const alone = { small: [...before.small, ...after.small], full: [...before.full, ...after.full] };
    const queued = await behindQueue(scene, watching, next);
    const row = (what: string, ours: readonly number[], peer: readonly number[]): BenchRow => ({
      name: `${what} (peer: with nothing else at work)`,
      ours: median(ours),
      peer: median(peer),
      unit: 'ms',
      higherIsBetter: false,
      runs: ours.length,
    });
    return [
      row('a small analysis, while the archive is recomputed', underway.small, alone.small),
      row('a full analysis, while the archive is recomputed', underway.full, alone.full),
      costRow(
        'a small analysis, while the archive is recomputed: the longest',
        Math.max(...underway.small),
        'ms',
        underway.small.length,
      ),
      costRow(
        'a small analysis, with nothing else at work: the longest',
        Math.max(...alone.small),
        'ms',
        alone.small.length,
      ),
      row(
        `a small analysis, while a colleague has up to ${QUEUED} full sets in the queue`,
        queued,
        alone.small,
      ),
      costRow(
        'a small analysis, while a colleague has full sets in the queue: the longest',
        Math.max(...queued),
        'ms',
        queued.length,
      ),
    ];
  } finally {
    watching.close();
  }
}

async function waitAlone(scene: Scene, watching: Watching, next: () => number): Promise<Waits> {
  const small: number[] = [];
  const full: number[] = [];
  for (let run = 0; run < SMALL; run++) small.push(await oneSmall(scene, watching, next()));
  for (let run = 0; run < FULL; run++)
    full.push(await analysed(scene.colleague, watching, scene.fullSetId, { maximumBoostDb: next() / 1000 }));
  return { small, full };
}

async function oneSmall({ colleague, unitId }: Scene, watching: Watching, seed: number): Promise<number> {
  return analysed(colleague, watching, await sendSet(colleague, unitId, `small ${seed}`, smallSet(seed)));
}

async function duringCampaign(scene: Scene, work: () => Promise<Waits>): Promise<Waits> {
  const { client } = scene.house.host;
  const [set] = (await client.sets(scene.unitId)).filter(({ id }) => id === scene.fullSetId);
  const kept = Array.from({ length: ARCHIVED }, () => ({}));
  await addEarlierResults(scene.database, scene.loanId, set.analyses[0].id, kept);
  const { id } = await client.startCampaign();
  const found = await work();
  const { state, done, total } = await client.campaign(id);
  console.error(`  the archive was recomputed meanwhile: ${done} of ${total} sets`);
  if (state !== 'running')
    throw new Error('The archive was recomputed before the last analysis was asked for.');
  await client.cancelCampaign(id);
  return found;
}

/** @returns the waits that ended while the colleague's sets still waited */
async function behindQueue(scene: Scene, watching: Watching, next: () => number): Promise<number[]> {
  const { client } = scene.house.host;
  const asked: string[] = [];
  for (let run = 0; run < QUEUED; run++) {
    const settings = { maximumBoostDb: next() / 1000 };
    asked.push((await client.requestAnalysis(scene.fullSetId, { settings })).id);
  }
  const found: number[] = [];
  for (let run = 0; run < SMALL_IN_QUEUE; run++) {
    const waited = await oneSmall(scene, watching, next());
    const { state } = await client.analysis(asked.at(-1) ?? '');
    if (state !== 'queued') break;
    found.push(waited);
  }
  for (const id of asked) await watching.heard(endOf(id));
  return found;
}
