/** The routes of the archive and of campaigns. */
import { Controller, Inject, Param, Res } from '@nestjs/common';
import { ApiTags } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import type { z } from 'zod';
import * as contract from '../../../libs/contracts/index.js';
import type { FigureDescription } from '../../../libs/figures/index.js';
import { Person } from '../access/person.js';
import type { SignedIn } from '../access/sessions.js';
import { refuse } from '../http/refusals.js';
import { Route } from '../http/route.js';
import { AskedAll, Id } from '../http/sent.js';
import { sendMade } from '../measurements/sendBlob.js';
import { Archive } from './archive.js';
import { Campaigns } from './campaigns.js';
import { drawAs, type DrawnForm } from './drawAs.js';

@ApiTags('archive')
@Controller('archive')
export class ArchiveController {
  constructor(@Inject(Archive) private readonly archive: Archive) {}

  @Route('GET', '', 'member', 'Analysed units by their numbers, kind, maker and words')
  search(
    @AskedAll(contract.ArchiveQuery) query: z.output<typeof contract.ArchiveQuery>,
    @Person() by: SignedIn,
  ): Promise<contract.ArchivePage> {
    return this.archive.search(query, by);
  }

  @Route('GET', 'units/:id/comparables', 'member', 'The nearest units by response, directivity and bass')
  comparables(
    @Id() id: string,
    @AskedAll(contract.ComparablesQuery) query: z.output<typeof contract.ComparablesQuery>,
    @Person() by: SignedIn,
  ): Promise<contract.ComparablesView> {
    return this.archive.comparables(id, query, by);
  }

  @Route('GET', 'comparison', 'member', 'Two to eight units laid over each other: the figure’s description')
  comparison(
    @AskedAll(contract.ComparisonQuery) query: z.output<typeof contract.ComparisonQuery>,
    @Person() by: SignedIn,
  ): Promise<FigureDescription> {
    return this.archive.comparison(query, by);
  }

  @Route(
    'GET',
    'comparison/:figure',
    'member',
    'The same figure as figure.svg or .png, or its data as figure.csv',
  )
  async drawn(
    @Param('figure') figure: string,
    @AskedAll(contract.ComparisonQuery) query: z.output<typeof contract.ComparisonQuery>,
    @Person() by: SignedIn,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    const [, form] = /^figure\.(svg|png|csv)$/.exec(figure) ?? [];
    if (!form) throw refuse.notFound('figure');
    const description = await this.archive.comparison(query, by);
    const drawn = await drawAs(form as DrawnForm, description, query);
    await sendMade(reply, { name: `${description.name}.${form}`, inline: form !== 'csv', ...drawn });
  }
}

@ApiTags('campaigns')
@Controller('campaigns')
export class CampaignsController {
  constructor(@Inject(Campaigns) private readonly campaigns: Campaigns) {}

  @Route(
    'GET',
    '',
    'member',
    'How many results an earlier algorithm gave, and the campaigns that recomputed such',
  )
  all(): Promise<contract.CampaignsView> {
    return this.campaigns.all();
  }

  @Route('GET', ':id', 'member', 'A campaign’s progress and what it could not recompute')
  one(@Id() id: string, @Person() by: SignedIn): Promise<contract.CampaignDetail> {
    return this.campaigns.one(id, by);
  }

  @Route('POST', '', 'owner', 'Recompute every result that another version of the algorithm gave')
  start(@Person() by: SignedIn): Promise<contract.CampaignDetail> {
    return this.campaigns.start(by);
  }

  @Route('POST', ':id/cancel', 'owner', 'Stop a campaign; what it recomputed stays', 200)
  cancel(@Id() id: string, @Person() by: SignedIn): Promise<contract.CampaignDetail> {
    return this.campaigns.cancel(id, by);
  }
}
