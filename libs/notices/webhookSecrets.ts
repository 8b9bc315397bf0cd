/** The keys of webhooks' signatures: sealed in the database, and what is said of those that another key sealed. */
import { randomBytes } from 'node:crypto';
import { isSealed, type Database, type SecretBox } from '../store/index.js';

export const newWebhookSecret = (): string => randomBytes(32).toString('base64url');

/** What an account's secret is sealed to. */
export const webhookSecretOf = (accountId: string): string => `webhook ${accountId}`;

/** At start: what an earlier version kept in the clear is sealed. @returns how many could not be opened any more */
export async function sealWebhookSecrets({ prisma }: Database, box: SecretBox): Promise<number> {
  const rows = await prisma.notificationChoice.findMany({
    where: { webhookSecret: { not: null } },
    select: { accountId: true, webhookSecret: true },
  });
  let locked = 0;
  for (const { accountId, webhookSecret } of rows) {
    if (webhookSecret === null) continue;
    if (isSealed(webhookSecret)) {
      if (!box.isOwn(webhookSecret)) locked++;
      continue;
    }
    await prisma.notificationChoice.updateMany({
      where: { accountId, webhookSecret },
      data: { webhookSecret: box.seal(webhookSecret, webhookSecretOf(accountId)) },
    });
  }
  return locked;
}
