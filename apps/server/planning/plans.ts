/** The plan in force, proposals for another one, and the bookings by hand. */
import { Inject, Injectable } from '@nestjs/common';
import { DateTime } from 'luxon';
import type { z } from 'zod';
import type {
  AcceptPlan,
  BookingsView,
  BookingView,
  CalendarRow,
  ChangeBooking,
  EstimateView,
  MarkStep,
  PlanView,
  ProposalView,
  ProposePlan,
  StepView,
  WhatIf,
  WhatIfView,
  WorkloadView,
} from '../../../libs/contracts/index.js';
import * as keeping from '../../../libs/plan-keeping/index.js';
import type { SignedIn } from '../access/sessions.js';
import { refuse, Refused } from '../http/refusals.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';

@Injectable()
export class Plans {
  constructor(@Inject(CONFIG) private readonly config: ServerConfig) {}

  async plan(): Promise<PlanView> {
    const { database } = this.config;
    const [team, names] = await Promise.all([
      keeping.teamPlan(database, new Date()),
      keeping.loadNames(database.prisma),
    ]);
    return keeping.planView(team, names);
  }

  async propose(ask: z.output<typeof ProposePlan>, by: SignedIn): Promise<ProposalView> {
    const moves = ask.moves.map(({ bookingId, start, personIds }) => ({
      bookingId,
      start: new Date(start),
      people: personIds,
    }));
    return keeping.makeProposal(this.config.database, by, new Date(), moves);
  }

  proposal(id: string): Promise<ProposalView> {
    return keeping.loadProposal(this.config.database, id);
  }

  async accept(id: string, ask: z.output<typeof AcceptPlan>, by: SignedIn): Promise<PlanView> {
    try {
      await keeping.acceptProposal(this.config.database, by, id, ask.version, new Date());
    } catch (error) {
      if (!(error instanceof keeping.ProposalOutdated)) throw error;
      throw new Refused(409, {
        code: error.code,
        message: error.message,
        remedy: 'Look at the proposal as it is now and accept that one.',
        conflict: { current: error.current, sent: error.sent },
      });
    }
    return this.plan();
  }

  async bookings(from: string, to: string): Promise<BookingsView> {
    const { prisma } = this.config.database;
    const [installation, state] = await Promise.all([
      prisma.installation.findUnique({ where: { id: 1 } }),
      prisma.planState.findUniqueOrThrow({ where: { id: 1 } }),
    ]);
    const zone = installation?.timeZone ?? 'UTC';
    const begin = DateTime.fromISO(from, { zone }).startOf('day').toJSDate();
    const end = DateTime.fromISO(to, { zone }).plus({ days: 1 }).startOf('day').toJSDate();
    const [house, calendars, absences, rows, names] = await Promise.all([
      prisma.planHouse.findUniqueOrThrow({ where: { id: 1 } }),
      keeping.houseCalendars(prisma, begin),
      absencesIn(prisma, begin, end),
      keeping.loadBookings(prisma, { cancelledAt: null, start: { lt: end }, finish: { gt: begin } }),
      keeping.loadNames(prisma),
    ]);
    const now = new Date();
    const hours = keeping.openHours(calendars, begin, end);
    return {
      from,
      to,
      timeZone: zone,
      planVersion: state.version,
      house: asSpans(hours.house()),
      loud: asSpans(hours.loud()),
      holidays: (house.holidays as BookingsView['holidays']).filter(({ day }) => day >= from && day <= to),
      rows: calendarRows(calendars, hours, absences),
      bookings: rows.map((row) => keeping.bookingView(row, names, now)),
    };
  }

  async booking(id: string): Promise<BookingView> {
    const { prisma } = this.config.database;
    const [row] = await keeping.loadBookings(prisma, { id });
    if (!row) throw refuse.notFound('booking');
    return keeping.bookingView(row, await keeping.loadNames(prisma), new Date());
  }

  async changeBooking(id: string, ask: z.output<typeof ChangeBooking>, by: SignedIn): Promise<BookingView> {
    const now = new Date();
    try {
      await keeping.changeBooking(this.config.database, by, id, ask, now);
    } catch (error) {
      if (!(error instanceof keeping.InTheWay)) throw error;
      const names = await keeping.loadNames(this.config.database.prisma);
      throw new Refused(409, {
        code: error.code,
        message: error.message,
        remedy: 'Make a proposal with this move to see what would give way.',
        conflict: { current: error.rows.map((row) => keeping.bookingView(row, names, now)), sent: ask },
      });
    }
    return this.booking(id);
  }

  workload(from: string, weeks: number): Promise<WorkloadView> {
    return keeping.workload(this.config.database.prisma, from, weeks);
  }

  whatIf(ask: z.output<typeof WhatIf>): Promise<WhatIfView> {
    return keeping.whatIf(this.config.database, ask, new Date());
  }

  steps(loanId: string): Promise<StepView[]> {
    return keeping.loanSteps(this.config.database, loanId, new Date());
  }

  async markStep(
    loanId: string,
    stepId: string,
    ask: z.output<typeof MarkStep>,
    by: SignedIn,
  ): Promise<StepView> {
    await keeping.markStep(this.config.database, by, loanId, stepId, ask, new Date());
    const step = (await this.steps(loanId)).find((one) => one.stepId === stepId);
    if (!step) throw refuse.notFound('step');
    return step;
  }

  estimates(): Promise<EstimateView[]> {
    return keeping.estimates(this.config.database.prisma);
  }
}

const absencesIn = (prisma: ServerConfig['database']['prisma'], from: Date, to: Date) =>
  prisma.absence.findMany({
    where: { start: { lt: to }, finish: { gt: from } },
    orderBy: [{ start: 'asc' }, { id: 'asc' }],
  });

const asSpans = (open: readonly keeping.OpenSpan[]) =>
  open.map((span) => ({ from: span.from.toISOString(), to: span.to.toISOString() }));

function calendarRows(
  calendars: keeping.HouseCalendars,
  hours: keeping.OpenHours,
  absences: Awaited<ReturnType<typeof absencesIn>>,
): CalendarRow[] {
  const away = (accountId: string | null, placeId: string | null) =>
    absences
      .filter((one) => one.accountId === accountId && one.placeId === placeId)
      .map(({ start, finish, why }) => ({ from: start.toISOString(), to: finish.toISOString(), why }));
  return [
    ...calendars.people.map(({ id, name }): CalendarRow => ({
      id: `person:${id}`,
      kind: 'person',
      name,
      open: asSpans(hours.person(id)),
      away: away(id, null),
    })),
    ...calendars.places.map(({ id, name }): CalendarRow => ({
      id: `place:${id}`,
      kind: 'place',
      name,
      open: asSpans(hours.place(id)),
      away: away(null, id),
    })),
  ];
}
