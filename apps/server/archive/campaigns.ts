/** Recomputing the archive: asked for by the owner, done by the worker. */
import { Inject, Injectable } from '@nestjs/common';
import type { CampaignDetail, CampaignsView } from '../../../libs/contracts/index.js';
import {
  CampaignEnded,
  CampaignRunning,
  NothingOutdated,
  cancelCampaign,
  change,
  countOutdated,
  presentCampaign,
  sealedFrom,
  startCampaign,
} from '../../../libs/store/index.js';
import type { SignedIn } from '../access/sessions.js';
import { refuse } from '../http/refusals.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';

const LISTED = 20;
const FAILURES_LISTED = 100;

@Injectable()
export class Campaigns {
  constructor(@Inject(CONFIG) private readonly config: ServerConfig) {}

  async all(): Promise<CampaignsView> {
    const { database, recipe } = this.config;
    const [outdated, rows] = await Promise.all([
      countOutdated(database.prisma, recipe.algorithmVersion),
      database.prisma.campaign.findMany({ orderBy: { createdAt: 'desc' }, take: LISTED }),
    ]);
    return { algorithmVersion: recipe.algorithmVersion, outdated, campaigns: rows.map(presentCampaign) };
  }

  async one(id: string, by: SignedIn): Promise<CampaignDetail> {
    const sealed = await sealedFrom(this.config.database.prisma, by.id);
    const row = await this.config.database.prisma.campaign.findUnique({
      where: { id },
      include: {
        items: {
          where: { state: 'failed' },
          orderBy: { position: 'asc' },
          take: FAILURES_LISTED,
          include: {
            analysis: {
              select: {
                set: { select: { name: true, unit: { select: { id: true, name: true, loanId: true } } } },
              },
            },
          },
        },
      },
    });
    if (!row) throw refuse.notFound('campaign');
    const failures = row.items.map(({ setId, reason, analysis: { set } }) => ({
      setId,
      setName: set.name,
      unitId: set.unit.id,
      unitName: set.unit.name,
      loanId: set.unit.loanId,
      reason: sealed.units.has(set.unit.id) ? 'Sealed until you seal your session.' : (reason ?? ''),
    }));
    return { ...presentCampaign(row), failures };
  }

  async start(by: SignedIn): Promise<CampaignDetail> {
    const { database, recipe } = this.config;
    return this.one(await refusing(() => change(database, by, (made) => startCampaign(made, recipe))), by);
  }

  async cancel(id: string, by: SignedIn): Promise<CampaignDetail> {
    await refusing(() => change(this.config.database, by, (made) => cancelCampaign(made, id)));
    return this.one(id, by);
  }
}

async function refusing<T>(work: () => Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (error) {
    const known = [CampaignRunning, NothingOutdated, CampaignEnded].find((kind) => error instanceof kind);
    if (!known) throw error;
    const { code, message } = error as CampaignRunning;
    throw refuse.wrong(code, message);
  }
}
