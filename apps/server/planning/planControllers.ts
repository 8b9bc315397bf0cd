/** The routes of the plan, its calendars and templates, and of how people are told. */
import { Controller, Inject, Param, Res } from '@nestjs/common';
import { ApiQuery, ApiTags } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import { z } from 'zod';
import * as contract from '../../../libs/contracts/index.js';
import { Person } from '../access/person.js';
import type { SignedIn } from '../access/sessions.js';
import { Route, ShownToBlind } from '../http/route.js';
import { Asked, AskedAll, Id, Sent } from '../http/sent.js';
import { CalendarFeeds } from './calendarFeeds.js';
import { House } from './house.js';
import { DeliveryLog } from './deliveryLog.js';
import { Notifications } from './notifications.js';
import { Plans } from './plans.js';
import { Templates } from './templates.js';

@ApiTags('plan')
@Controller()
export class PlanController {
  constructor(@Inject(Plans) private readonly plans: Plans) {}

  @Route('GET', 'plan', 'member', 'The plan in force, and what should change in it')
  plan(): Promise<contract.PlanView> {
    return this.plans.plan();
  }
  @Route(
    'POST',
    'plan/proposals',
    'member',
    'Work out a plan that changes as little as possible, to be looked at',
  )
  propose(@Sent(contract.ProposePlan) ask: z.output<typeof contract.ProposePlan>, @Person() by: SignedIn) {
    return this.plans.propose(ask, by);
  }
  @Route('GET', 'plan/proposals/:id', 'member', 'A proposal as it was made')
  proposal(@Id() id: string): Promise<contract.ProposalView> {
    return this.plans.proposal(id);
  }
  @Route(
    'POST',
    'plan/proposals/:id/accept',
    'member',
    'Make a proposal the plan in force; 409 when something changed since',
    200,
  )
  accept(
    @Id() id: string,
    @Sent(contract.AcceptPlan) ask: z.output<typeof contract.AcceptPlan>,
    @Person() by: SignedIn,
  ) {
    return this.plans.accept(id, ask, by);
  }
  @Route('GET', 'plan/bookings', 'member', 'Bookings and open hours between two days')
  bookings(@AskedAll(contract.DayRange) { from, to }: z.output<typeof contract.DayRange>) {
    return this.plans.bookings(from, to);
  }
  @Route('GET', 'plan/workload', 'member', 'How full the weeks of each person and place are')
  workload(@AskedAll(contract.WeekRange) { from, weeks }: z.output<typeof contract.WeekRange>) {
    return this.plans.workload(from, weeks);
  }
  @Route(
    'POST',
    'plan/what-if',
    'member',
    'When a loan that is only thought of could be reviewed and returned',
    200,
  )
  whatIf(@Sent(contract.WhatIf) ask: z.output<typeof contract.WhatIf>): Promise<contract.WhatIfView> {
    return this.plans.whatIf(ask);
  }
  @Route('GET', 'plan/estimates', 'member', 'What steps really took in this team: median and quartiles')
  estimates(): Promise<contract.EstimateView[]> {
    return this.plans.estimates();
  }
  @Route('GET', 'bookings/:id', 'member', 'One booking')
  booking(@Id() id: string): Promise<contract.BookingView> {
    return this.plans.booking(id);
  }
  @Route('PATCH', 'bookings/:id', 'member', 'Move, pin or hand over a booking, or say whether it took place')
  changeBooking(
    @Id() id: string,
    @Sent(contract.ChangeBooking) ask: z.output<typeof contract.ChangeBooking>,
    @Person() by: SignedIn,
  ) {
    return this.plans.changeBooking(id, ask, by);
  }
  @Route('GET', 'loans/:id/steps', 'member', 'The steps of a loan, with what they really took')
  @ShownToBlind()
  steps(@Id() id: string): Promise<contract.StepView[]> {
    return this.plans.steps(id);
  }
  @Route('PATCH', 'loans/:id/steps/:step', 'member', 'Mark a step as begun, done or passed over')
  @ShownToBlind()
  markStep(
    @Id() id: string,
    @Param('step') step: string,
    @Sent(contract.MarkStep) ask: z.output<typeof contract.MarkStep>,
    @Person() by: SignedIn,
  ) {
    return this.plans.markStep(id, step, ask, by);
  }
}

@ApiTags('plan')
@Controller('plan')
export class HouseController {
  constructor(
    @Inject(House) private readonly house: House,
    @Inject(Templates) private readonly templates: Templates,
  ) {}

  @Route('GET', 'house', 'member', 'Working hours, loud hours, holidays, people, places and absences')
  view(): Promise<contract.HouseView> {
    return this.house.view();
  }
  @Route('PATCH', 'house', 'member', 'Change the hours and holidays of the house')
  change(@Sent(contract.ChangeHouse) ask: z.output<typeof contract.ChangeHouse>, @Person() by: SignedIn) {
    return this.house.change(ask, by);
  }
  @Route('POST', 'places', 'member', 'Add a place')
  addPlace(@Sent(contract.AddPlace) ask: z.output<typeof contract.AddPlace>, @Person() by: SignedIn) {
    return this.house.addPlace(ask, by);
  }
  @Route('PATCH', 'places/:id', 'member', 'Change a place')
  changePlace(
    @Param('id') id: string,
    @Sent(contract.ChangePlace) ask: z.output<typeof contract.ChangePlace>,
    @Person() by: SignedIn,
  ) {
    return this.house.changePlace(id, ask, by);
  }
  @Route('PATCH', 'people/:id', 'member', 'Change when a person works and what they do')
  changePerson(
    @Id() id: string,
    @Sent(contract.ChangePersonHours) ask: z.output<typeof contract.ChangePersonHours>,
    @Person() by: SignedIn,
  ) {
    return this.house.changePerson(id, ask, by);
  }
  @Route('POST', 'absences', 'member', 'Note when a person is away or a place is closed')
  addAbsence(@Sent(contract.AddAbsence) ask: z.output<typeof contract.AddAbsence>, @Person() by: SignedIn) {
    return this.house.addAbsence(ask, by);
  }
  @Route('DELETE', 'absences/:id', 'member', 'Take an absence back', 200)
  removeAbsence(@Id() id: string, @Person() by: SignedIn): Promise<contract.Binned> {
    return this.house.removeAbsence(id, by);
  }
  @Route('POST', 'busy', 'member', 'Read busy times from an .ics file, for a person or a place')
  importBusy(@Sent(contract.ImportBusy) ask: z.output<typeof contract.ImportBusy>, @Person() by: SignedIn) {
    return this.house.importBusy(ask, by);
  }
  @Route('DELETE', 'busy/:id', 'member', 'Forget a calendar of busy times', 200)
  removeBusy(@Id() id: string, @Person() by: SignedIn): Promise<contract.Binned> {
    return this.house.removeBusy(id, by);
  }
  @Route('GET', 'templates', 'member', 'The work on each kind of unit')
  list(): Promise<contract.TemplateView[]> {
    return this.templates.list();
  }
  @Route('PATCH', 'templates/:kind', 'member', 'Change the work on a kind of unit')
  changeTemplate(
    @Param('kind') kind: string,
    @Sent(contract.ChangeTemplate) ask: z.output<typeof contract.ChangeTemplate>,
    @Person() by: SignedIn,
  ) {
    return this.templates.change(kind, ask, by);
  }
  @Route('DELETE', 'templates/:kind', 'member', 'Back to the defaults', 200)
  resetTemplate(@Param('kind') kind: string, @Person() by: SignedIn): Promise<contract.Binned | undefined> {
    return this.templates.reset(kind, by);
  }
}

@ApiTags('notifications')
@Controller()
export class NotificationsController {
  constructor(
    @Inject(Notifications) private readonly notifications: Notifications,
    @Inject(DeliveryLog) private readonly log: DeliveryLog,
    @Inject(CalendarFeeds) private readonly feeds: CalendarFeeds,
  ) {}

  @Route('GET', 'notifications', 'member', 'How one is told of deadlines, and what was sent lately')
  view(@Person() by: SignedIn): Promise<contract.NotificationsView> {
    return this.notifications.view(by);
  }
  @Route('PATCH', 'notifications', 'member', 'Choose how one is told')
  change(
    @Sent(contract.ChangeNotifications) ask: z.output<typeof contract.ChangeNotifications>,
    @Person() by: SignedIn,
  ) {
    return this.notifications.change(ask, by);
  }
  @Route('POST', 'notifications/test', 'member', 'Send oneself a message by every way that is set up')
  test(@Person() by: SignedIn): Promise<contract.NotificationsView> {
    return this.notifications.test(by);
  }
  @Route('POST', 'notifications/webhook-key', 'member', 'Make a new key for one’s webhook, shown once', 200)
  renewKey(
    @Sent(contract.RenewWebhookSecret) ask: z.output<typeof contract.RenewWebhookSecret>,
    @Person() by: SignedIn,
  ): Promise<contract.NotificationsView> {
    return this.notifications.renewSecret(ask.version, by);
  }
  @Route(
    'GET',
    'notifications/deliveries',
    'member',
    'What was sent to oneself, with every try, newest first',
  )
  @ApiQuery({ name: 'before', required: false, description: 'Older than this message' })
  deliveries(
    @Asked('before', z.uuid()) before: string | undefined,
    @Person() by: SignedIn,
  ): Promise<contract.DeliveryLogView> {
    return this.log.page(before, by);
  }
  @Route('POST', 'notifications/deliveries/:id/again', 'member', 'Send a message to oneself once more', 200)
  sendAgain(@Id() id: string, @Person() by: SignedIn): Promise<contract.DeliveryLogView> {
    return this.log.again(id, by);
  }
  @Route('GET', 'calendar-feed', 'member', 'Whether one has a private calendar address')
  feed(@Person() by: SignedIn): Promise<contract.CalendarFeedView> {
    return this.feeds.view(by);
  }
  @Route(
    'POST',
    'calendar-feed',
    'member',
    'Make a private calendar address, shown once; the one before stops working',
  )
  makeFeed(@Person() by: SignedIn): Promise<contract.CalendarFeedView> {
    return this.feeds.make(by);
  }
  @Route('DELETE', 'calendar-feed', 'member', 'Revoke one’s calendar address')
  revokeFeed(@Person() by: SignedIn): Promise<void> {
    return this.feeds.revoke(by);
  }
  /** Calendar programs cannot sign in: the address itself is the secret, and whoever has it may read. */
  @Route('GET', 'calendar/:file', 'public', 'A person’s plan as iCalendar, by its private address')
  async calendar(@Param('file') file: string, @Res() reply: FastifyReply): Promise<void> {
    const text = await this.feeds.read(file);
    await reply
      .header('content-type', 'text/calendar; charset=utf-8')
      .header('cache-control', 'private, no-store')
      .header('x-robots-tag', 'noindex')
      .send(text);
  }
}
