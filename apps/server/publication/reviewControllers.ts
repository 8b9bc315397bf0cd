/** The routes anybody may read: the archive of published reviews. */
import { Controller, Inject, Param, Req, Res } from '@nestjs/common';
import { ApiTags } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { z } from 'zod';
import * as contract from '../../../libs/contracts/index.js';
import type { FigureDescription } from '../../../libs/figures/index.js';
import { drawAs, type DrawnForm } from '../archive/drawAs.js';
import { refuse } from '../http/refusals.js';
import { Route } from '../http/route.js';
import { AskedAll, Id, Sent } from '../http/sent.js';
import { sendBlob, sendMade } from '../measurements/sendBlob.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';
import { Feedback } from './feedback.js';
import { Reviews } from './reviews.js';
import { Visitors } from './visitors.js';

/** A correction is seen soon; what a version holds never changes. */
const SHORT_S = 30;
const LONG_S = 24 * 3600;
const mediaTypes = {
  svg: 'image/svg+xml',
  png: 'image/png',
  csv: 'text/csv; charset=utf-8',
  json: 'application/json',
} as const;

@ApiTags('reviews')
@Controller('reviews')
export class ReviewsController {
  constructor(
    @Inject(Reviews) private readonly reviews: Reviews,
    @Inject(Visitors) private readonly visitors: Visitors,
    @Inject(Feedback) private readonly feedback: Feedback,
    @Inject(CONFIG) private readonly config: ServerConfig,
  ) {}

  @Route('GET', '', 'public', 'Reviews that are out, newest first, a part at a time')
  async list(
    @AskedAll(contract.PublishedQuery) query: z.output<typeof contract.PublishedQuery>,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<contract.ReviewSummary[]> {
    await this.#reading(request, reply);
    return this.reviews.list(query, request.person);
  }

  @Route('GET', 'units', 'public', 'Published units by their numbers, kind and words')
  async units(
    @AskedAll(contract.ReviewUnitsQuery) query: z.output<typeof contract.ReviewUnitsQuery>,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<contract.ReviewUnitsPage> {
    await this.#reading(request, reply);
    return this.reviews.units(query, request.person);
  }

  @Route('GET', 'comparison', 'public', 'Two to eight published units laid over each other')
  async comparison(
    @AskedAll(contract.ComparisonQuery) query: z.output<typeof contract.ComparisonQuery>,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<FigureDescription> {
    await this.#reading(request, reply);
    return this.reviews.comparison(query, request.person);
  }

  @Route('GET', 'comparison/:figure', 'public', 'The same as figure.svg or .png, or its data as figure.csv')
  async drawn(
    @Param('figure') figure: string,
    @AskedAll(contract.ComparisonQuery) query: z.output<typeof contract.ComparisonQuery>,
    @Req() request: FastifyRequest,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    await this.#reading(request, reply);
    const [, form] = /^figure\.(svg|png|csv)$/.exec(figure) ?? [];
    if (!form) throw refuse.notFound('figure');
    const description = await this.reviews.comparison(query, request.person);
    const drawn = await drawAs(form as DrawnForm, description, query);
    const cacheControl = cacheFor(request, SHORT_S);
    await sendMade(reply, {
      name: `${description.name}.${form}`,
      inline: form !== 'csv',
      cacheControl,
      ...drawn,
    });
  }

  @Route('GET', ':id', 'public', 'A review as it was published; `version` for an earlier one')
  async one(
    @Id() id: string,
    @AskedAll(contract.ReviewQuery) query: z.output<typeof contract.ReviewQuery>,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<contract.ReviewView> {
    await this.#reading(request, reply);
    return this.reviews.one(id, query.version, request.person);
  }

  @Route(
    'GET',
    ':id/versions/:version/bundle',
    'public',
    'A published version as one ZIP: page, figures, data',
  )
  async bundle(
    @Id() id: string,
    @Param('version') version: string,
    @Req() request: FastifyRequest,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    await this.visitors.countRead(request.ip);
    const bundle = await this.reviews.bundle(id, versionOf(version), request.person);
    const cacheControl = cacheFor(request, LONG_S);
    const blob = { ...bundle, mediaType: 'application/zip', inline: false, cacheControl };
    await sendBlob(reply, this.config.blobs, blob, request.headers['if-none-match']);
  }

  @Route(
    'GET',
    ':id/versions/:version/units/:unit/figures/:figure',
    'public',
    'A published figure: NAME.svg, .png, .csv, or .json for its description',
  )
  async figure(
    @Id() id: string,
    @Param('version') version: string,
    @Id('unit') unitId: string,
    @Param('figure') figure: string,
    @Req() request: FastifyRequest,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    await this.visitors.countRead(request.ip);
    const [, name, form] = /^([a-z0-9-]{1,100})\.(svg|png|csv|json)$/.exec(figure) ?? [];
    if (!name || !form) throw refuse.notFound('figure');
    const at = { loanId: id, version: versionOf(version), unitId, name, form: form as 'svg' };
    const found = await this.reviews.figure(at, request.person);
    const mediaType = mediaTypes[form as 'svg'];
    const blob = { ...found, mediaType, inline: form !== 'csv', cacheControl: cacheFor(request, LONG_S) };
    await sendBlob(reply, this.config.blobs, blob, request.headers['if-none-match']);
  }

  @Route('POST', ':id/feedback', 'public', 'Answer a few questions about a review; no account is needed')
  give(
    @Id() id: string,
    @Sent(contract.GiveFeedback) ask: z.output<typeof contract.GiveFeedback>,
    @Req() request: FastifyRequest,
  ): Promise<{ kept: true }> {
    return this.feedback.give(id, ask, request.ip);
  }

  async #reading(request: FastifyRequest, reply: FastifyReply): Promise<void> {
    await this.visitors.countRead(request.ip);
    void reply.header('cache-control', cacheFor(request, SHORT_S));
  }
}

/** What a signed-in person is shown may leave something out: that is theirs alone. */
const cacheFor = (request: FastifyRequest, seconds: number): string =>
  request.person ? 'private, no-cache' : `public, max-age=${seconds}`;

function versionOf(text: string): number {
  if (!/^[1-9]\d{0,5}$/.test(text)) throw refuse.notFound('version');
  return Number(text);
}
