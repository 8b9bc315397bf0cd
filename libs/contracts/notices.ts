/** How each person hears of deadlines: by e-mail, by webhook, not at all, not at night. */
import { z } from 'zod';
import type { DeadlineKind } from './feed.js';

export const deadlineKinds = [
  'at-risk',
  'late',
  'due-in-7-days',
  'due-in-2-days',
  'due-today',
  'overdue',
  'embargo-lifted',
] as const satisfies readonly DeadlineKind[];
export const deadlineWords: Readonly<Record<DeadlineKind, string>> = {
  'at-risk': 'At risk',
  late: 'Will go back late',
  'due-in-7-days': 'Due back within 7 days',
  'due-in-2-days': 'Due back within 2 days',
  'due-today': 'Due back today',
  overdue: 'Overdue',
  'embargo-lifted': 'Embargo lifted',
};

export const channels = ['email', 'webhook'] as const;
export const Channel = z.enum(channels);
export type Channel = z.infer<typeof Channel>;

const clock = z.string().regex(/^([01]\d|2[0-3]):[0-5]\d$/, 'Give a time of day such as 22:00.');
export const ChangeNotifications = z
  .object({
    version: z.number().int().min(0).describe('0 while the defaults stand'),
    channels: z.partialRecord(z.enum(deadlineKinds), z.array(Channel).max(2)).optional(),
    quiet: z
      .object({ from: clock, to: clock })
      .nullable()
      .optional()
      .describe('On the person’s own clock; what falls into it is sent at its end'),
    webhookUrl: z
      .url({ protocol: /^https?$/, message: 'Give an http or https address.' })
      .max(500)
      .nullable()
      .optional(),
  })
  .describe('Without a webhook address nothing is sent by webhook, whatever is chosen');

export interface NotificationsView {
  channels: Record<DeadlineKind, Channel[]>;
  quiet: { from: string; to: string } | null;
  webhookUrl: string | null;
  /** Shown once, when an address is set or the key is made anew: the key of the signatures. */
  webhookSecret?: string;
  /** Since when the key stands; null where it is not known or there is none. */
  webhookSecretAt: string | null;
  /** False when the key was sealed in another house, such as before a restore: then another must be made. */
  webhookSecretWorks: boolean;
  /** Whether this installation can send mail at all. */
  emailWorks: boolean;
  version: number;
  recent: DeliveryView[];
}
export interface DeliveryView {
  id: string;
  channel: Channel;
  kind: string;
  sentence: string;
  state: 'waiting' | 'sending' | 'sent' | 'failed' | 'dropped';
  attempts: number;
  reason: string | null;
  createdAt: string;
  sentAt: string | null;
  nextAttemptAt: string | null;
}

export const RenewWebhookSecret = z.object({ version: z.number().int().min(1) });

/** One try at sending: never what was sent. */
export interface DeliveryTryView {
  number: number;
  at: string;
  durationMs: number;
  /** What a webhook's receiver answered; null for mail, and when there was no answer. */
  status: number | null;
  /** Why it did not arrive; null when it did. */
  reason: string | null;
}
/** A message with its tries, as far as they are kept: 30 days. */
export interface DeliveryLogView {
  deliveries: (DeliveryView & { tries: DeliveryTryView[] })[];
  /** To ask for what is older: `before` this one. */
  next: string | null;
}

/*
 * A webhook is a POST of JSON:
 *   { "id", "kind", "at", "loan": { "id", "title" }, "sentence", "url" }
 * with the headers
 *   sojourn-delivery   the id; the same again when it is tried again
 *   sojourn-timestamp  seconds since 1970
 *   sojourn-signature  sha256=HEX, the HMAC-SHA-256 of `TIMESTAMP.BODY` with the person's secret
 * Any 2xx answer is a receipt. Others, and silence, are tried again with growing pauses. Redirects are not followed.
 * A receiver takes no timestamp older than five minutes, and each delivery once. A key that is made anew signs at once:
 * a receiver that takes both for a day misses nothing.
 */
