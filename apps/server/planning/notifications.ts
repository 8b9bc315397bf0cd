/** How each person hears of deadlines. */
import { randomBytes } from 'node:crypto';
import { Inject, Injectable } from '@nestjs/common';
import type { z } from 'zod';
import type {
  ChangeNotifications,
  Channel,
  DeliveryView,
  NotificationsView,
} from '../../../libs/contracts/index.js';
import { channels } from '../../../libs/contracts/index.js';
import {
  chosenChannels,
  deliveryJobId,
  insistOnReachable,
  newWebhookSecret,
  webhookSecretOf,
  workingChannels,
} from '../../../libs/notices/index.js';
import { change, json, StaleVersion } from '../../../libs/store/index.js';
import type { SignedIn } from '../access/sessions.js';
import { refuse, Refused } from '../http/refusals.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';

const RECENT = 20;
const TESTS_PER_HOUR = 10;

@Injectable()
export class Notifications {
  constructor(@Inject(CONFIG) private readonly config: ServerConfig) {}

  async view(by: SignedIn, webhookSecret?: string): Promise<NotificationsView> {
    const { prisma } = this.config.database;
    const [choice, recent] = await Promise.all([
      prisma.notificationChoice.findUnique({ where: { accountId: by.id } }),
      prisma.delivery.findMany({ where: { accountId: by.id }, orderBy: { createdAt: 'desc' }, take: RECENT }),
    ]);
    return {
      channels: chosenChannels(choice),
      quiet: choice?.quietFrom && choice.quietTo ? { from: choice.quietFrom, to: choice.quietTo } : null,
      webhookUrl: choice?.webhookUrl ?? null,
      ...(webhookSecret ? { webhookSecret } : {}),
      webhookSecretAt: choice?.webhookSecretAt?.toISOString() ?? null,
      webhookSecretWorks: !choice?.webhookSecret || this.config.secrets.isOwn(choice.webhookSecret),
      emailWorks: this.#emailWorks,
      version: choice?.version ?? 0,
      recent: recent.map(presentDelivery),
    };
  }

  async change(ask: z.output<typeof ChangeNotifications>, by: SignedIn): Promise<NotificationsView> {
    if (ask.webhookUrl) insistOnReachable(new URL(ask.webhookUrl), this.config.messages.trustedNetworks);
    let secret: string | undefined;
    await change(this.config.database, by, async (made) => {
      const row = await made.tx.notificationChoice.findUnique({ where: { accountId: by.id } });
      if ((row?.version ?? 0) !== ask.version) throw new StaleVersion(await this.view(by));
      // Another address gets another key: who had the old one can sign nothing for the new.
      const another = ask.webhookUrl !== undefined && ask.webhookUrl !== row?.webhookUrl;
      secret = another && ask.webhookUrl ? newWebhookSecret() : undefined;
      const data = {
        ...(ask.channels ? { channels: json({ ...chosenChannels(row), ...ask.channels }) } : {}),
        ...(ask.quiet === undefined
          ? {}
          : { quietFrom: ask.quiet?.from ?? null, quietTo: ask.quiet?.to ?? null }),
        ...(another ? { webhookUrl: ask.webhookUrl ?? null, ...this.#sealed(secret, by) } : {}),
      };
      await made.tx.notificationChoice.upsert({
        where: { accountId: by.id },
        create: { accountId: by.id, ...data },
        update: { ...data, version: { increment: 1 } },
      });
      made.record({
        action: 'notifications-changed',
        subject: 'account',
        subjectId: by.id,
        sentence: 'changed how they are told of deadlines',
      });
    });
    return this.view(by, secret);
  }

  /** Another key for the same address: it signs from now on, the one before signs nothing any more. */
  async renewSecret(version: number, by: SignedIn): Promise<NotificationsView> {
    const secret = newWebhookSecret();
    await change(this.config.database, by, async (made) => {
      const row = await made.tx.notificationChoice.findUnique({ where: { accountId: by.id } });
      if (!row?.webhookUrl)
        throw refuse.wrong('no-webhook', 'There is no webhook address.', 'Set one first.');
      if (row.version !== version) throw new StaleVersion(await this.view(by));
      await made.tx.notificationChoice.update({
        where: { accountId: by.id },
        data: { ...this.#sealed(secret, by), version: { increment: 1 } },
      });
      made.record({
        action: 'webhook-key-renewed',
        subject: 'account',
        subjectId: by.id,
        sentence: 'made a new key for their webhook',
      });
    });
    return this.view(by, secret);
  }

  #sealed(secret: string | undefined, by: SignedIn) {
    if (secret === undefined) return { webhookSecret: null, webhookSecretAt: null };
    const webhookSecret = this.config.secrets.seal(secret, webhookSecretOf(by.id));
    return { webhookSecret, webhookSecretAt: new Date() };
  }

  async test(by: SignedIn): Promise<NotificationsView> {
    const { prisma } = this.config.database;
    const choice = await prisma.notificationChoice.findUnique({ where: { accountId: by.id } });
    const ways = workingChannels([...channels], choice, this.#emailWorks);
    if (ways.length === 0) {
      throw refuse.wrong(
        'no-way',
        'There is no way to reach you yet.',
        'Set a webhook address, or let the owner set up mail.',
      );
    }
    const anHourAgo = new Date(Date.now() - 3600_000);
    const tried = await prisma.delivery.count({
      where: { accountId: by.id, kind: 'test', createdAt: { gt: anHourAgo } },
    });
    if (tried >= TESTS_PER_HOUR)
      throw new Refused(
        429,
        { code: 'too-many-tries', message: 'That was tried often enough for this hour.' },
        3600,
      );
    await change(this.config.database, by, async (made) => {
      const about = `test ${randomBytes(8).toString('hex')}`;
      const added = await made.tx.delivery.createManyAndReturn({
        data: ways.map((channel) => ({
          accountId: by.id,
          channel,
          about,
          kind: 'test',
          sentence: 'This is a message to try the way. Nothing is due.',
        })),
        select: { id: true },
      });
      for (const { id } of added) made.request('deliver', deliveryJobId(id, 0), { deliveryId: id });
    });
    return this.view(by);
  }

  get #emailWorks(): boolean {
    return this.config.messages.smtpUrl !== undefined;
  }
}

export interface DeliveryRow {
  id: string;
  channel: string;
  kind: string;
  sentence: string;
  state: DeliveryView['state'];
  attempts: number;
  reason: string | null;
  createdAt: Date;
  sentAt: Date | null;
  nextAttemptAt: Date;
}

export const presentDelivery = (row: DeliveryRow): DeliveryView => ({
  id: row.id,
  channel: row.channel as Channel,
  kind: row.kind,
  sentence: row.sentence,
  state: row.state,
  attempts: row.attempts,
  reason: row.reason,
  createdAt: row.createdAt.toISOString(),
  sentAt: row.sentAt?.toISOString() ?? null,
  nextAttemptAt: row.state === 'waiting' ? row.nextAttemptAt.toISOString() : null,
});
