/** A person's own messages with every try, and sending one once more by hand. */
import { Inject, Injectable } from '@nestjs/common';
import type { DeliveryLogView, DeliveryTryView } from '../../../libs/contracts/index.js';
import { deliveryJobId } from '../../../libs/notices/index.js';
import { change } from '../../../libs/store/index.js';
import type { SignedIn } from '../access/sessions.js';
import { refuse } from '../http/refusals.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';
import { presentDelivery } from './notifications.js';

const PAGE = 30;
/** By hand, beyond what is tried by itself. */
const MOST_TRIES = 30;

@Injectable()
export class DeliveryLog {
  constructor(@Inject(CONFIG) private readonly config: ServerConfig) {}

  async page(before: string | undefined, by: SignedIn): Promise<DeliveryLogView> {
    const rows = await this.config.database.prisma.delivery.findMany({
      // Ids are given in the order of time.
      where: { accountId: by.id, ...(before === undefined ? {} : { id: { lt: before } }) },
      orderBy: { id: 'desc' },
      take: PAGE + 1,
      include: { tries: { orderBy: { number: 'desc' } } },
    });
    const shown = rows.slice(0, PAGE);
    return {
      deliveries: shown.map((row) => ({ ...presentDelivery(row), tries: row.tries.map(presentTry) })),
      next: rows.length > PAGE ? (shown.at(-1)?.id ?? null) : null,
    };
  }

  /** One more try at once; if it fails, more follow as they would have. */
  async again(id: string, by: SignedIn): Promise<DeliveryLogView> {
    await change(this.config.database, by, async (made) => {
      const row = await made.tx.delivery.findUnique({ where: { id } });
      if (row?.accountId !== by.id) throw refuse.notFound('message');
      if (row.state === 'sending')
        throw refuse.wrong('being-sent', 'It is being sent just now.', 'Look again in a moment.');
      if (row.attempts >= MOST_TRIES)
        throw refuse.wrong(
          'tried-enough',
          `It was tried ${row.attempts} times.`,
          'Send yourself a test instead.',
        );
      const now = new Date();
      const asked = await made.tx.delivery.updateMany({
        where: { id, state: row.state, attempts: row.attempts },
        data: { state: 'waiting', nextAttemptAt: now, reason: null },
      });
      if (asked.count === 1) made.request('deliver', deliveryJobId(id, row.attempts), { deliveryId: id });
    });
    return this.page(undefined, by);
  }
}

interface TryRow {
  number: number;
  at: Date;
  durationMs: number;
  status: number | null;
  reason: string | null;
}

const presentTry = ({ number, at, durationMs, status, reason }: TryRow): DeliveryTryView => ({
  number,
  at: at.toISOString(),
  durationMs,
  status,
  reason,
});
