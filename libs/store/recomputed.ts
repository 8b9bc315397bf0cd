/** One item of a campaign: what is to be computed again, and keeping what came of it beside the earlier result. */
import { computationKey, resultColumns, type ComputationInput } from './analyses.js';
import { archiveUnits } from './archive.js';
import { endCampaignItem } from './campaigns.js';
import { json, type Change } from './change.js';
import type { Tx } from './database.js';
import { Prisma, type ComputationState } from './generated/client.js';
import type { ComputationSummary } from './unitProgress.js';

export interface ItemKey {
  readonly campaignId: string;
  readonly setId: string;
}

export interface OutdatedResult extends ItemKey {
  /** The analysis to be computed again. */
  readonly analysisId: string;
  readonly unitId: string;
  readonly unitName: string;
  readonly inputs: readonly ComputationInput[];
  readonly settings: Readonly<Record<string, unknown>>;
  readonly invented: boolean;
  readonly blockingBefore: number;
  readonly algorithmVersion: string;
  /** The key of the computation by the campaign's version. */
  readonly computationId: string;
  /** That computation is there, or at work for somebody who asked: nothing to compute. */
  readonly answered: boolean;
}

export interface RecomputedResult {
  readonly series: string;
  readonly result: unknown;
  readonly summary: ComputationSummary;
  readonly profile: unknown;
  readonly figures: unknown;
  readonly computeMs: number;
}

/** @returns undefined when the item is no longer wanted */
export async function campaignItem(tx: Tx, key: ItemKey): Promise<OutdatedResult | undefined> {
  const item = await tx.campaignItem.findUnique({
    where: { campaignId_setId: key },
    include: {
      campaign: { select: { state: true, algorithmVersion: true, settings: true } },
      analysis: {
        select: {
          computation: { select: { inputs: true, settings: true, invented: true, summary: true } },
          set: { select: { unit: { select: { id: true, name: true } } } },
        },
      },
    },
  });
  if (item?.state !== 'asked' || item.campaign.state !== 'running') return undefined;
  const { computation, set } = item.analysis;
  const { algorithmVersion } = item.campaign;
  // The settings it was asked with; a setting that is newer than the result takes its usual value.
  const settings = { ...asRecord(item.campaign.settings), ...asRecord(computation.settings) };
  const inputs = computation.inputs as unknown as ComputationInput[];
  const computationId = computationKey(inputs, settings, algorithmVersion, computation.invented);
  const there = await tx.computation.findUnique({ where: { id: computationId }, select: { state: true } });
  return {
    ...key,
    analysisId: item.analysisId,
    unitId: set.unit.id,
    unitName: set.unit.name,
    inputs,
    settings,
    invented: computation.invented,
    blockingBefore: blockingOf(computation.summary),
    algorithmVersion,
    computationId,
    answered: there !== null && !mayReplace(there.state),
  };
}

/** What failed before may succeed now; everything else stands. */
const mayReplace = (state: ComputationState): boolean => state === 'quarantined' || state === 'refused';

/**
 * Keeps the result, gives the set a new current analysis and the archive its new numbers, and ends the item: all of
 * it or nothing, once.
 *
 * @param tellFault called when the new result sees more blocking faults than the earlier one did
 */
export async function keepRecomputed(
  change: Change,
  item: OutdatedResult,
  computed: RecomputedResult | undefined,
  tellFault: (computationId: string) => Promise<void>,
): Promise<void> {
  const newest = await change.tx.analysis.findFirst({
    where: { setId: item.setId },
    orderBy: [{ createdAt: 'desc' }, { id: 'desc' }],
    select: { id: true },
  });
  const key = { campaignId: item.campaignId, setId: item.setId };
  // Somebody asked for this set since: theirs is newer, perhaps of other files, and by today's version too.
  if (newest?.id !== item.analysisId) return endCampaignItem(change, key, { state: 'current' });
  await endCampaignItem(change, key, { state: computed ? 'done' : 'current' }, async () => {
    if (computed) await keepComputation(change, item, computed);
    await change.tx.analysis.create({
      data: { setId: item.setId, computationId: item.computationId, requestedBy: change.actor.id },
    });
    await archiveUnits(change, [item.unitId]);
    if (blockingOf(computed?.summary) > item.blockingBefore) await tellFault(item.computationId);
  });
}

async function keepComputation(
  change: Change,
  item: OutdatedResult,
  computed: RecomputedResult,
): Promise<void> {
  const { profile, ...kept } = computed;
  const data = {
    state: 'done',
    progress: 1,
    reason: null,
    problems: Prisma.DbNull,
    series: kept.series,
    ...resultColumns(kept.result),
    summary: json(kept.summary),
    profile: profile === null ? Prisma.DbNull : json(profile),
    figures: json(kept.figures),
    computeMs: kept.computeMs,
    finishedAt: new Date(),
  } as const;
  const made = await change.tx.computation.createMany({
    data: [
      {
        ...data,
        id: item.computationId,
        algorithmVersion: item.algorithmVersion,
        settings: json(item.settings),
        inputs: json(item.inputs),
        invented: item.invented,
      },
    ],
    skipDuplicates: true,
  });
  if (made.count === 1) return;
  // Somebody asked for the same meanwhile: theirs stands, unless it failed.
  await change.tx.computation.updateMany({
    where: { id: item.computationId, state: { in: ['quarantined', 'refused'] } },
    data,
  });
}

const asRecord = (value: unknown): Record<string, unknown> => (value ?? {}) as Record<string, unknown>;
const blockingOf = (summary: unknown): number =>
  (summary as ComputationSummary | null | undefined)?.blocking ?? 0;
