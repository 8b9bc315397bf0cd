/** What a person chose to hear of, and when they are not to be disturbed. */
import { DateTime } from 'luxon';
import { deadlineKinds, type Channel, type DeadlineKind } from '../contracts/index.js';

export interface Choice {
  readonly channels: unknown;
  readonly quietFrom: string | null;
  readonly quietTo: string | null;
  readonly webhookUrl: string | null;
}

/** Nothing goes back late because nobody was told: mail for every kind, until the person says otherwise. */
export function chosenChannels(choice: Choice | null | undefined): Record<DeadlineKind, Channel[]> {
  const own = (choice?.channels ?? {}) as Partial<Record<DeadlineKind, Channel[]>>;
  return Object.fromEntries(deadlineKinds.map((kind) => [kind, own[kind] ?? ['email']])) as Record<
    DeadlineKind,
    Channel[]
  >;
}

/** The ways that lead anywhere: mail where a mail server is set up, a webhook where the person gave an address. */
export function workingChannels(
  channels: readonly Channel[],
  choice: Choice | null | undefined,
  emailWorks: boolean,
): Channel[] {
  return channels.filter((channel) => (channel === 'email' ? emailWorks : Boolean(choice?.webhookUrl)));
}

/** When it may be sent: now, or at the end of the quiet hours now falls into (on the person's own clock). */
export function notBefore(choice: Choice | null | undefined, zone: string, now: Date): Date {
  if (!choice?.quietFrom || !choice.quietTo || choice.quietFrom === choice.quietTo) return now;
  const local = DateTime.fromJSDate(now, { zone });
  const clock = local.toFormat('HH:mm');
  const { quietFrom: from, quietTo: to } = choice;
  const quiet = from < to ? clock >= from && clock < to : clock >= from || clock < to;
  if (!quiet) return now;
  const [hour, minute] = to.split(':').map(Number) as [number, number];
  const end = local.set({ hour, minute, second: 0, millisecond: 0 });
  return (end > local ? end : end.plus({ days: 1 })).toJSDate();
}
