/** The first page: what needs whom next, and what will go back late. */
import { Inject, Injectable } from '@nestjs/common';
import { serialDiffers } from '../../../libs/loan-life/index.js';
import { DateTime } from 'luxon';
import type { DashboardView, FeedEvent, Room } from '../../../libs/contracts/index.js';
import { teamPlan } from '../../../libs/plan-keeping/index.js';
import {
  eventsAfter,
  lastFeedNumber,
  openLoanFacts,
  runningAnalyses,
  sealedFrom,
} from '../../../libs/store/index.js';
import type { SignedIn } from '../access/sessions.js';
import { mentionNeeds } from '../drafts/mentionNeeds.js';
import { refuse } from '../http/refusals.js';
import { withoutSealed } from '../listening/hideResults.js';
import { eventsFor } from '../listening/sealedEvents.js';
import { mayFollow } from '../live/liveSockets.js';
import { Loans } from '../loans/loans.js';
import { planNeeds } from '../planning/planNeed.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';
import { needsOf, type WaitingFacts } from './needs.js';

@Injectable()
export class Overview {
  constructor(
    @Inject(CONFIG) private readonly config: ServerConfig,
    @Inject(Loans) private readonly loans: Loans,
  ) {}

  async dashboard(by: SignedIn): Promise<DashboardView> {
    const { database } = this.config;
    const now = new Date();
    // The number first: what comes after it is told again, never missed.
    const feedNumber = await lastFeedNumber(database);
    const [team, loans, running, waiting, sealed] = await Promise.all([
      teamPlan(database, now),
      this.loans.open(by),
      runningAnalyses(database.prisma),
      this.#waiting(),
      sealedFrom(database.prisma, by.id),
    ]);
    const begun =
      loans.length > 0 || (await database.prisma.loan.findFirst({ select: { id: true } })) !== null;
    const { zone } = team;
    const today = DateTime.fromJSDate(now, { zone }).toISODate() ?? now.toISOString().slice(0, 10);
    const mentions = await mentionNeeds(database.prisma, loans, by.id, sealed);
    const needs = needsOf(loans, waiting, today, [...planNeeds(team, loans), ...mentions]);
    return {
      today,
      timeZone: zone,
      needs,
      loans,
      begun,
      running: withoutSealed(running, sealed),
      feedNumber,
    };
  }

  async events(
    room: string,
    after: number,
    by: SignedIn,
  ): Promise<{ events: FeedEvent[]; upTo: number; more: boolean }> {
    if (!mayFollow(room, by)) throw refuse.forbidden();
    const { database } = this.config;
    const page = await eventsAfter(database, after, [room satisfies Room]);
    return { ...page, events: eventsFor(page.events, await sealedFrom(database.prisma, by.id)) };
  }

  async #waiting(): Promise<Map<string, WaitingFacts>> {
    const rows = await openLoanFacts(this.config.database.prisma);
    return new Map(
      rows.map(({ id, uncounted, reports, verdictBegun, signedOff, units }) => {
        const arrival = reports.filter(({ moment }) => moment === 'arrival');
        const otherSerials = arrival.filter((report) => serialDiffers(report, units));
        return [
          id,
          {
            uncounted,
            arrivalSigned: arrival.some(({ signed }) => signed),
            verdictBegun,
            signedOff,
            otherSerials: [...new Set(otherSerials.map(({ serialSeen }) => serialSeen))],
            unheardUnits: units.flatMap((unit) => (unit.heard ? [] : unit.id)),
          },
        ];
      }),
    );
  }
}
