/** Each person's plan as a private calendar: an address that works until it is revoked. */
import { Inject, Injectable } from '@nestjs/common';
import { writeCalendar, type CalendarEntry } from '../../../libs/calendars/index.js';
import type { CalendarFeedView } from '../../../libs/contracts/index.js';
import { neutralStepLabel } from '../../../libs/plan-keeping/index.js';
import { change, type Change } from '../../../libs/store/index.js';
import { hashToken, newToken, type SignedIn } from '../access/sessions.js';
import { refuse } from '../http/refusals.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';

const Day = 24 * 3600_000;
const BACK_MS = 60 * Day;
const READ_EVERY_MS = 10 * 60_000;
const REMIND_MINUTES = 30;
const HIDDEN = 'a loan under embargo';

@Injectable()
export class CalendarFeeds {
  constructor(@Inject(CONFIG) private readonly config: ServerConfig) {}

  async view(by: SignedIn, token?: string): Promise<CalendarFeedView> {
    const feed = await this.config.database.prisma.calendarFeed.findFirst({
      where: { accountId: by.id, revokedAt: null },
    });
    return {
      active: feed !== null,
      createdAt: feed?.createdAt.toISOString() ?? null,
      readAt: feed?.readAt?.toISOString() ?? null,
      ...(token ? { path: `/api/calendar/${token}.ics` } : {}),
    };
  }

  async make(by: SignedIn): Promise<CalendarFeedView> {
    const token = newToken();
    await change(this.config.database, by, async (made) => {
      await revokeAll(made, by.id);
      await made.tx.calendarFeed.create({ data: { accountId: by.id, tokenHash: hashToken(token) } });
      record(made, by.id, 'made a private calendar address');
    });
    return this.view(by, token);
  }

  async revoke(by: SignedIn): Promise<void> {
    await change(this.config.database, by, async (made) => {
      if ((await revokeAll(made, by.id)) === 0) throw refuse.notFound('calendar address');
      record(made, by.id, 'revoked their calendar address');
    });
  }

  /** The calendar of whoever the token belongs to. Unknown, revoked and misspelt ones are all one: not there. */
  async read(file: string): Promise<string> {
    const { prisma } = this.config.database;
    const tokenHash = hashToken(file.replace(/\.ics$/, ''));
    const feed = await prisma.calendarFeed.findUnique({ where: { tokenHash }, include: { account: true } });
    const gone =
      !feed || feed.revokedAt !== null || feed.account.disabledAt !== null || feed.account.role === 'viewer';
    if (gone || !file.endsWith('.ics')) throw refuse.notFound('calendar');
    const now = new Date();
    if ((feed.readAt?.getTime() ?? 0) < now.getTime() - READ_EVERY_MS)
      await prisma.calendarFeed.updateMany({ where: { tokenHash }, data: { readAt: now } });
    const entries = [...(await this.#sessions(feed.accountId, now)), ...(await this.#returns(now))];
    return writeCalendar(`Sojourn: ${feed.account.name}`, entries);
  }

  async #sessions(accountId: string, now: Date): Promise<CalendarEntry[]> {
    const rows = await this.config.database.prisma.bookingPerson.findMany({
      where: { accountId, booking: { finish: { gt: new Date(now.getTime() - BACK_MS) } } },
      include: { booking: { include: { loan: true, takes: true } } },
      orderBy: [{ booking: { start: 'asc' } }, { bookingId: 'asc' }],
    });
    const places = await this.config.database.prisma.place.findMany({ select: { id: true, name: true } });
    return rows.map(({ booking, sequence, cancelledAt, updatedAt }) => {
      const { loan } = booking;
      const hidden = isHidden(loan, now);
      const place = places.find(({ id }) => booking.takes.some(({ resource }) => resource === `place:${id}`));
      return {
        uid: `${booking.id}@sojourn`,
        sequence,
        updatedAt: lastChange(updatedAt, loan, now),
        start: booking.start,
        finish: booking.finish,
        title: hidden ? `${neutralStepLabel(booking.kind)}: ${HIDDEN}` : `${booking.label}: ${loan.title}`,
        place: place?.name ?? null,
        ...this.#link(loan.id),
        cancelled: cancelledAt !== null,
        remindMinutes: REMIND_MINUTES,
      };
    });
  }

  /** The day each loan is due back, beside the sessions. */
  async #returns(now: Date): Promise<CalendarEntry[]> {
    const loans = await this.config.database.prisma.loan.findMany({
      where: { stage: { not: 'closed' }, returnBy: { gt: new Date(now.getTime() - BACK_MS) } },
      orderBy: [{ returnBy: 'asc' }, { id: 'asc' }],
    });
    return loans.flatMap((loan) =>
      loan.returnBy === null
        ? []
        : [
            {
              uid: `${loan.id}-return@sojourn`,
              sequence: loan.version,
              updatedAt: lastChange(loan.updatedAt, loan, now),
              start: loan.returnBy,
              finish: new Date(loan.returnBy.getTime() + Day),
              wholeDay: true,
              title: `Due back: ${isHidden(loan, now) ? HIDDEN : loan.title}`,
              ...this.#link(loan.id),
              cancelled: false,
            },
          ],
    );
  }

  #link(loanId: string): { description?: string } {
    const { publicUrl } = this.config.messages;
    return publicUrl ? { description: `${publicUrl}/loans/${loanId}` } : {};
  }
}

interface Embargoed {
  readonly embargoUntil: Date | null;
}
const isHidden = ({ embargoUntil }: Embargoed, now: Date): boolean =>
  embargoUntil !== null && embargoUntil > now;

/** The end of an embargo changes what is shown. */
const lastChange = (updatedAt: Date, { embargoUntil }: Embargoed, now: Date): Date =>
  embargoUntil !== null && embargoUntil <= now && embargoUntil > updatedAt ? embargoUntil : updatedAt;

async function revokeAll(made: Change, accountId: string): Promise<number> {
  const revoked = await made.tx.calendarFeed.updateMany({
    where: { accountId, revokedAt: null },
    data: { revokedAt: new Date() },
  });
  return revoked.count;
}

function record(made: Change, accountId: string, sentence: string): void {
  made.record({ action: 'calendar-feed', subject: 'account', subjectId: accountId, sentence });
}
