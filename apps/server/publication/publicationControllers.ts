/** The routes of publishing, for members. */
import { Controller, Inject, Res } from '@nestjs/common';
import { ApiTags } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import type { z } from 'zod';
import * as contract from '../../../libs/contracts/index.js';
import { Person } from '../access/person.js';
import type { SignedIn } from '../access/sessions.js';
import { Route } from '../http/route.js';
import { Id, Sent } from '../http/sent.js';
import { sendBlob } from '../measurements/sendBlob.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';
import { Feedback } from './feedback.js';
import { Publications } from './publications.js';

@ApiTags('publication')
@Controller()
export class PublicationController {
  constructor(
    @Inject(Publications) private readonly publications: Publications,
    @Inject(Feedback) private readonly feedback: Feedback,
    @Inject(CONFIG) private readonly config: ServerConfig,
  ) {}

  @Route('GET', 'loans/:id/publication', 'member', 'What stands in the way of publishing, and what was built')
  ofLoan(@Id() id: string, @Person() by: SignedIn): Promise<contract.LoanPublicationView> {
    return this.publications.ofLoan(id, by);
  }
  @Route(
    'POST',
    'loans/:id/publication/previews',
    'member',
    'Build the bundle as a preview, marked unpublished',
  )
  preview(
    @Id() id: string,
    @Sent(contract.AskPreview) ask: z.output<typeof contract.AskPreview>,
    @Person() by: SignedIn,
  ) {
    return this.publications.preview(id, ask, by);
  }
  @Route(
    'POST',
    'loans/:id/publication/releases',
    'member',
    'Publish the review, or a correction: now, or when its embargo ends; before it only the owner with a reason',
  )
  publish(
    @Id() id: string,
    @Sent(contract.AskPublication) ask: z.output<typeof contract.AskPublication>,
    @Person() by: SignedIn,
  ) {
    return this.publications.publish(id, ask, by);
  }
  @Route('POST', 'publications/:id/cancel', 'member', 'Call off what waits or is being built', 200)
  cancel(
    @Id() id: string,
    @Sent(contract.CancelPublication) ask: z.output<typeof contract.CancelPublication>,
    @Person() by: SignedIn,
  ) {
    return this.publications.cancel(id, ask, by);
  }
  @Route('GET', 'publications/:id/bundle', 'member', 'A bundle as ZIP, also before it is published')
  async bundle(@Id() id: string, @Person() by: SignedIn, @Res() reply: FastifyReply): Promise<void> {
    const bundle = await this.publications.bundle(id, by);
    await sendBlob(reply, this.config.blobs, { ...bundle, mediaType: 'application/zip', inline: false });
  }

  @Route('GET', 'publication/house', 'member', 'How the team publishes: licence, what is shown, answers')
  house(): Promise<contract.PublicationHouseView> {
    return this.publications.house();
  }
  @Route('PATCH', 'publication/house', 'owner', 'Change how the team publishes')
  changeHouse(
    @Sent(contract.ChangePublicationHouse) ask: z.output<typeof contract.ChangePublicationHouse>,
    @Person() by: SignedIn,
  ) {
    return this.publications.changeHouse(ask, by);
  }

  @Route('GET', 'feedback', 'member', 'What readers say: in numbers for each review, and in their own words')
  overview(): Promise<contract.FeedbackOverview> {
    return this.feedback.overview();
  }
  @Route('PATCH', 'feedback/:id', 'member', 'Show a reader’s words beside the review, or keep them inside')
  judge(
    @Id() id: string,
    @Sent(contract.JudgeFeedback) ask: z.output<typeof contract.JudgeFeedback>,
    @Person() by: SignedIn,
  ) {
    return this.feedback.judge(id, ask, by);
  }
}
