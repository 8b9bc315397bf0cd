/**
 * Campaigns: every set whose current result another algorithm gave is computed again, a few at a time, on a queue of
 * their own. Each item asks for the next when it ends, so a campaign survives any kill and stops when it is cancelled.
 */
import type { CampaignView } from '../contracts/index.js';
import type { AnalysisRecipe } from './analyses.js';
import { json, type Change } from './change.js';
import type { Tx } from './database.js';
import { Prisma } from './generated/client.js';
import { NotFound } from './versioned.js';

/** Items asked for at once: enough that no worker waits for the outbox, few enough that cancelling leaves little. */
const LANES = 4;
/** Smaller campaigns tell of every item, larger ones about once per percent. */
const PROGRESS_STEPS = 100;

export class CampaignRunning extends Error {
  readonly code = 'campaign-running';
}
const ALREADY = 'The archive is being recomputed already.';
export class NothingOutdated extends Error {
  readonly code = 'nothing-outdated';
}
export class CampaignEnded extends Error {
  readonly code = 'campaign-ended';
}

/** The newest finished analysis of every set that counts, where another version made it. */
const outdatedSets = (algorithmVersion: string): Prisma.Sql => Prisma.sql`
  from "MeasurementSet" s
  cross join lateral (
    select a."id", a."createdAt", c."algorithmVersion" from "Analysis" a
    join "Computation" c on c."id" = a."computationId"
    where a."setId" = s."id" and c."state" = 'done'
    order by a."createdAt" desc, a."id" desc limit 1) latest
  where s."setAsideWhy" is null and latest."algorithmVersion" <> ${algorithmVersion}`;

export async function countOutdated(tx: Tx, algorithmVersion: string): Promise<number> {
  const [counted] = await tx.$queryRaw<{ count: number }[]>`
    select count(*)::int as "count" ${outdatedSets(algorithmVersion)}`;
  return counted?.count ?? 0;
}

/** @throws CampaignRunning, NothingOutdated */
export async function startCampaign(change: Change, recipe: AnalysisRecipe): Promise<string> {
  const { tx, actor } = change;
  const running = await tx.campaign.findFirst({ where: { state: 'running' } });
  if (running) throw new CampaignRunning(ALREADY);
  const campaign = await tx.campaign
    .create({
      data: {
        algorithmVersion: recipe.algorithmVersion,
        settings: json(recipe.settings),
        total: 0,
        startedBy: actor.id,
        startedByName: actor.name,
      },
    })
    .catch((error: unknown) => {
      // P2002: another start came first, in the moment since looking.
      if (error instanceof Prisma.PrismaClientKnownRequestError && error.code === 'P2002')
        throw new CampaignRunning(ALREADY);
      throw error;
    });
  const total = await tx.$executeRaw`
    insert into "CampaignItem" ("campaignId", "setId", "analysisId", "position")
    select ${campaign.id}::uuid, s."id", latest."id", row_number() over (order by latest."createdAt" desc, s."id")
    ${outdatedSets(recipe.algorithmVersion)}`;
  if (total === 0) {
    throw new NothingOutdated(`Every result was computed by version ${recipe.algorithmVersion} already.`);
  }
  await tx.campaign.update({ where: { id: campaign.id }, data: { total } });
  for (let lane = 0; lane < LANES; lane++) await askForNext(change, campaign.id);
  tell(
    change,
    { ...campaign, total },
    'campaign-started',
    `began to recompute ${total} sets by version ${recipe.algorithmVersion}`,
  );
  return campaign.id;
}

/** When this has returned, the campaign changes nothing any more; what it recomputed stays. */
export async function cancelCampaign(change: Change, id: string): Promise<void> {
  const { tx } = change;
  const ended = { state: 'cancelled', running: null, finishedAt: new Date() } as const;
  const { count } = await tx.campaign.updateMany({ where: { id, state: 'running' }, data: ended });
  const campaign = await tx.campaign.findUnique({ where: { id } });
  if (!campaign) throw new NotFound('That campaign is not there (any more).');
  if (count === 0) throw new CampaignEnded('That campaign has ended already.');
  await tx.campaignItem.updateMany({
    where: { campaignId: id, state: { in: ['waiting', 'asked'] } },
    data: { state: 'cancelled' },
  });
  const made = campaign.done + campaign.current;
  tell(change, campaign, 'campaign-cancelled', `stopped recomputing after ${made} of ${campaign.total} sets`);
}

export interface ItemEnd {
  readonly state: 'done' | 'current' | 'failed';
  readonly reason?: string;
}

/**
 * Ends one item: counted once, however often its job ran. Asks for the next, or finishes the campaign.
 *
 * @param work what an item that is done writes; it is not called when the item was ended before, or cancelled
 */
export async function endCampaignItem(
  change: Change,
  item: { readonly campaignId: string; readonly setId: string },
  end: ItemEnd,
  work: () => Promise<void> = async () => undefined,
): Promise<void> {
  const { tx } = change;
  // The campaign first, in the order cancelling takes them: its row is also what counts are taken under.
  await tx.$executeRaw`select 1 from "Campaign" where "id" = ${item.campaignId}::uuid for update`;
  const ended = await tx.campaignItem.updateMany({
    where: { ...item, state: 'asked' },
    data: { state: end.state, reason: end.reason ?? null, endedAt: new Date() },
  });
  if (ended.count === 0) return;
  await work();
  const campaign = await tx.campaign.update({
    where: { id: item.campaignId },
    data: { [end.state]: { increment: 1 } },
  });
  const counted = campaign.done + campaign.current + campaign.failed;
  if (counted < campaign.total) {
    await askForNext(change, campaign.id);
    const steps = Math.ceil(campaign.total / PROGRESS_STEPS);
    if (counted % steps === 0) change.publish('team', 'campaign-progress', presentCampaign(campaign));
    return;
  }
  const finished = await tx.campaign.update({
    where: { id: campaign.id },
    data: { state: 'done', running: null, finishedAt: new Date() },
  });
  const failed =
    campaign.failed === 0 ? '' : `; ${campaign.failed} could not be and keep their earlier results`;
  tell(
    change,
    finished,
    'campaign-finished',
    `recomputed ${campaign.done} sets by version ${campaign.algorithmVersion}${failed}`,
  );
}

/**
 * Asks again for whatever is at work: a worker was killed with it, or the queue lost it. An item asked for twice is
 * ended once.
 *
 * @param stamp makes the job's name new: the queue still remembers the earlier one
 */
export async function resumeCampaigns(change: Change, stamp: number): Promise<void> {
  const asked = await change.tx.campaignItem.findMany({
    where: { state: 'asked', campaign: { state: 'running' } },
    select: { campaignId: true, setId: true },
  });
  for (const item of asked) {
    change.request('recompute-set', `recompute-${item.campaignId}-${item.setId}-again-${stamp}`, item);
  }
}

async function askForNext(change: Change, campaignId: string): Promise<void> {
  const [next] = await change.tx.$queryRaw<{ setId: string }[]>`
    update "CampaignItem" set "state" = 'asked'
    where "campaignId" = ${campaignId}::uuid and "setId" = (
      select "setId" from "CampaignItem" where "campaignId" = ${campaignId}::uuid and "state" = 'waiting'
      order by "position" limit 1)
    returning "setId"`;
  if (next)
    change.request('recompute-set', `recompute-${campaignId}-${next.setId}`, {
      campaignId,
      setId: next.setId,
    });
}

type CampaignRow = Prisma.CampaignGetPayload<object>;

function tell(change: Change, campaign: CampaignRow, action: string, sentence: string): void {
  change.record({ action, subject: 'campaign', subjectId: campaign.id, sentence });
  change.publish('team', 'campaign-progress', presentCampaign(campaign));
}

export function presentCampaign(campaign: CampaignRow): CampaignView {
  return {
    id: campaign.id,
    algorithmVersion: campaign.algorithmVersion,
    state: campaign.state,
    total: campaign.total,
    done: campaign.done,
    current: campaign.current,
    failed: campaign.failed,
    startedBy: campaign.startedByName,
    createdAt: campaign.createdAt.toISOString(),
    finishedAt: campaign.finishedAt?.toISOString() ?? null,
  };
}
