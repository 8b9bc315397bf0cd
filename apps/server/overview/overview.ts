/** The first page: what needs whom next, and what will go back late. */
import { Inject, Injectable } from '@nestjs/common';
import { serialDiffers } from '../../../libs/loan-life/index.js';
import { DateTime } from 'luxon';
import type { DashboardView, FeedEvent, Room } from '../../../libs/contracts/index.js';
import { teamPlan } from '../../../libs/plan-keeping/index.js';
import { eventsAfter, lastFeedNumber, runningAnalyses, sealedFrom } from '../../../libs/store/index.js';
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
    const [team, loans, running, waiting, sealed, first] = await Promise.all([
      teamPlan(database, now),
      this.loans.open(by),
      runningAnalyses(database.prisma),
      this.#waiting(),
      sealedFrom(database.prisma, by.id),
      database.prisma.loan.findFirst({ select: { id: true } }),
    ]);
    const { zone } = team;
    const today = DateTime.fromJSDate(now, { zone }).toISODate() ?? now.toISOString().slice(0, 10);
    const mentions = await mentionNeeds(database.prisma, loans, by.id, sealed);
    const needs = needsOf(loans, waiting, today, [...planNeeds(team, loans), ...mentions]);
    return {
      today,
      timeZone: zone,
      needs,
      loans,
      begun: first !== null,
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
    const rows = await this.config.database.prisma.loan.findMany({
      where: { stage: { not: 'closed' } },
      select: {
        id: true,
        accessories: { select: { arrivedCount: true } },
        reports: { select: { moment: true, signedAt: true, unitId: true, serialSeen: true } },
        verdict: { select: { version: true, draftVersion: true } },
        signOffs: { select: { verdictVersion: true, draftVersion: true, decision: true } },
        units: {
          select: {
            id: true,
            serial: true,
            listening: { where: { sealedAt: { not: null } }, select: { id: true } },
          },
        },
      },
    });
    return new Map(
      rows.map((row) => [
        row.id,
        {
          uncounted: row.accessories.filter(({ arrivedCount }) => arrivedCount === null).length,
          arrivalSigned: row.reports.some(
            ({ moment, signedAt }) => moment === 'arrival' && signedAt !== null,
          ),
          verdictBegun: row.verdict !== null,
          signedOff: row.signOffs.some(
            ({ verdictVersion, draftVersion, decision }) =>
              decision === 'approve' &&
              verdictVersion === row.verdict?.version &&
              draftVersion === row.verdict.draftVersion,
          ),
          otherSerials: [
            ...new Set(
              row.reports
                .filter((report) => report.moment === 'arrival' && serialDiffers(report, row.units))
                .map(({ serialSeen }) => serialSeen),
            ),
          ],
          unheardUnits: row.units.filter(({ listening }) => listening.length === 0).map(({ id }) => id),
        },
      ]),
    );
  }
}
