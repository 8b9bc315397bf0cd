/** The routes of writing together and of private previews. */
import { Controller, Header, Inject, Ip, Res } from '@nestjs/common';
import { ApiTags } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import type { z } from 'zod';
import * as contract from '../../../libs/contracts/index.js';
import { noteOpenings } from '../../../libs/store/index.js';
import { Person } from '../access/person.js';
import type { SignedIn } from '../access/sessions.js';
import { Route } from '../http/route.js';
import { Id, Sent } from '../http/sent.js';
import { sendMade } from '../measurements/sendBlob.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';
import { Comments } from './comments.js';
import { DraftHouse } from './draftHouse.js';
import { Exports, type ExportedReview } from './exports.js';
import { evidenceChoices } from './measured.js';
import { Previews } from './previews.js';
import { PreviewVisits } from './previewVisits.js';

@ApiTags('drafts')
@Controller()
export class DraftsController {
  constructor(
    @Inject(CONFIG) private readonly config: ServerConfig,
    @Inject(DraftHouse) private readonly house: DraftHouse,
    @Inject(Comments) private readonly comments: Comments,
    @Inject(Exports) private readonly exports: Exports,
  ) {}

  @Route('GET', 'draft-house', 'member', 'The usual order of reviews and the pace of speaking')
  viewHouse(): Promise<contract.DraftHouseView> {
    return this.house.view();
  }
  @Route('PATCH', 'draft-house', 'member', 'Set the usual order of reviews, or the pace of speaking')
  changeHouse(
    @Sent(contract.ChangeDraftHouse) ask: z.output<typeof contract.ChangeDraftHouse>,
    @Person() by: SignedIn,
  ) {
    return this.house.change(ask, by);
  }
  @Route('GET', 'loans/:id/draft/evidence', 'member', 'Findings, figures and remarks to rest a point on')
  async evidence(@Id() id: string, @Person() by: SignedIn): Promise<contract.EvidenceChoices> {
    const { database } = this.config;
    const choices = await evidenceChoices(database.prisma, id);
    const opened = choices.units.filter(({ findings, figures }) => findings.length + figures.length > 0);
    await noteOpenings(
      database,
      opened.map(({ unitId }) => unitId),
      by.id,
    );
    return choices;
  }
  @Route('GET', 'loans/:id/draft/review.html', 'member', 'The review as one HTML page, figures inside')
  async html(@Id() id: string, @Person() by: SignedIn, @Res() reply: FastifyReply): Promise<void> {
    await send(reply, await this.exports.html(id, by));
  }
  @Route('GET', 'loans/:id/draft/review.zip', 'member', 'The review as Markdown, figures beside it')
  async markdown(@Id() id: string, @Person() by: SignedIn, @Res() reply: FastifyReply): Promise<void> {
    await send(reply, await this.exports.markdown(id, by));
  }
  @Route('GET', 'loans/:id/draft/comments', 'member', 'Comments on the draft, and who may be mentioned')
  list(@Id() id: string): Promise<contract.DraftCommentsView> {
    return this.comments.list(id);
  }
  @Route('POST', 'loans/:id/draft/comments', 'member', 'Comment, answer, or put another wording forward')
  add(
    @Id() id: string,
    @Sent(contract.AddDraftComment) ask: z.output<typeof contract.AddDraftComment>,
    @Person() by: SignedIn,
  ) {
    return this.comments.add(id, ask, by);
  }
  @Route('PATCH', 'loans/:id/draft/comments/:comment', 'member', 'Change, settle or open a comment again')
  change(
    @Id() id: string,
    @Id('comment') comment: string,
    @Sent(contract.ChangeDraftComment) ask: z.output<typeof contract.ChangeDraftComment>,
    @Person() by: SignedIn,
  ) {
    return this.comments.change(id, comment, ask, by);
  }
  @Route(
    'POST',
    'loans/:id/draft/comments/:comment/decision',
    'member',
    'Accept another wording into the text, or refuse it',
    200,
  )
  decide(
    @Id() id: string,
    @Id('comment') comment: string,
    @Sent(contract.DecideSuggestion) ask: z.output<typeof contract.DecideSuggestion>,
    @Person() by: SignedIn,
  ) {
    return this.comments.decide(id, comment, ask, by);
  }
}

async function send(reply: FastifyReply, { name, mediaType, content }: ExportedReview): Promise<void> {
  await sendMade(reply.header('cache-control', 'no-store'), { name, mediaType, content, inline: false });
}

@ApiTags('previews')
@Controller('loans/:id/previews')
export class PreviewsController {
  constructor(@Inject(Previews) private readonly previews: Previews) {}

  @Route('GET', '', 'member', 'Private previews of a review, with what their visitors said')
  list(@Id() id: string): Promise<contract.PreviewsView> {
    return this.previews.list(id);
  }
  @Route('POST', '', 'member', 'Make a private preview; its address is shown once')
  add(
    @Id() id: string,
    @Sent(contract.AddPreview) ask: z.output<typeof contract.AddPreview>,
    @Person() by: SignedIn,
  ) {
    return this.previews.add(id, ask, by);
  }
  @Route('PATCH', ':preview', 'member', 'Hide parts, take a preview back, close the maker’s round')
  change(
    @Id() id: string,
    @Id('preview') preview: string,
    @Sent(contract.ChangePreview) ask: z.output<typeof contract.ChangePreview>,
    @Person() by: SignedIn,
  ) {
    return this.previews.change(id, preview, ask, by);
  }
  @Route('POST', 'comments/:comment/answer', 'member', 'Answer what a visitor said', 200)
  answer(
    @Id() id: string,
    @Id('comment') comment: string,
    @Sent(contract.AnswerPreviewComment) ask: z.output<typeof contract.AnswerPreviewComment>,
    @Person() by: SignedIn,
  ) {
    return this.previews.answer(id, comment, ask, by);
  }
}

const Private = (): MethodDecorator => (target, key, method) => {
  Header('Cache-Control', 'no-store')(target, key, method);
  Header('X-Robots-Tag', 'noindex, nofollow')(target, key, method);
};

/** Whoever has the secret may read: it comes in the body, so that no log and no referrer holds it. */
@ApiTags('previews')
@Controller('previews')
export class PreviewVisitsController {
  constructor(@Inject(PreviewVisits) private readonly visits: PreviewVisits) {}

  @Route('POST', 'look', 'public', 'What a private preview shows', 200)
  @Private()
  look(
    @Sent(contract.LookAtPreview) ask: z.output<typeof contract.LookAtPreview>,
    @Ip() address: string,
  ): Promise<contract.PreviewView> {
    return this.visits.look(ask, address);
  }
  @Route('POST', 'still', 'public', 'Whether a private preview is still open', 200)
  @Private()
  still(
    @Sent(contract.LookAtPreview) ask: z.output<typeof contract.LookAtPreview>,
    @Ip() address: string,
  ): Promise<contract.PreviewStill> {
    return this.visits.still(ask, address);
  }
  @Route('POST', 'vote', 'public', 'Say whether it should be published; may be changed', 200)
  @Private()
  vote(@Sent(contract.VoteOnPreview) ask: z.output<typeof contract.VoteOnPreview>, @Ip() address: string) {
    return this.visits.vote(ask, address);
  }
  @Route('POST', 'comment', 'public', 'Comment on a private preview')
  @Private()
  comment(
    @Sent(contract.CommentOnPreview) ask: z.output<typeof contract.CommentOnPreview>,
    @Ip() address: string,
  ) {
    return this.visits.comment(ask, address);
  }
}
