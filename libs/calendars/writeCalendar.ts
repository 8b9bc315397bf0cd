/** A person's plan as iCalendar (RFC 5545): stable UIDs, rising SEQUENCE, cancellations, reminders. All times are UTC. */
import ical, {
  ICalAlarmType,
  ICalCalendarMethod,
  ICalEventStatus,
  ICalEventTransparency,
} from 'ical-generator';

export interface CalendarEntry {
  /** Stable for the life of what it stands for. */
  readonly uid: string;
  readonly sequence: number;
  readonly updatedAt: Date;
  readonly start: Date;
  readonly finish: Date;
  /** A whole day, as a note beside the others: takes no time. Start and finish are UTC midnights. */
  readonly wholeDay?: boolean;
  readonly title: string;
  readonly place?: string | null;
  readonly description?: string;
  readonly cancelled: boolean;
  /** Minutes before the start. */
  readonly remindMinutes?: number;
}

const REFRESH_S = 3600;

export function writeCalendar(name: string, entries: readonly CalendarEntry[]): string {
  const calendar = ical({
    // The name alone comes unescaped from the library.
    name: plain(name).replaceAll(/[\\;,]/g, '\\$&'),
    prodId: { company: 'Sojourn', product: 'plan', language: 'EN' },
    method: ICalCalendarMethod.PUBLISH,
    ttl: REFRESH_S,
  });
  for (const entry of entries) {
    const event = calendar.createEvent({
      id: entry.uid,
      sequence: entry.sequence,
      stamp: entry.updatedAt,
      lastModified: entry.updatedAt,
      start: entry.start,
      end: entry.finish,
      allDay: entry.wholeDay === true,
      summary: plain(entry.title),
      location: entry.place ? plain(entry.place) : null,
      description: entry.description ?? null,
      status: entry.cancelled ? ICalEventStatus.CANCELLED : ICalEventStatus.CONFIRMED,
      transparency:
        entry.wholeDay || entry.cancelled ? ICalEventTransparency.TRANSPARENT : ICalEventTransparency.OPAQUE,
    });
    if (entry.remindMinutes !== undefined && !entry.cancelled) {
      event.createAlarm({
        type: ICalAlarmType.display,
        trigger: entry.remindMinutes * 60,
        description: plain(entry.title),
      });
    }
  }
  return withoutExtensions(calendar.toString());
}

/** One line without control characters; commas and semicolons part values where a name is not escaped. */
const plain = (text: string): string =>
  text
    .replaceAll(/[\p{Cc}\u2028\u2029]+/gu, ' ')
    .trim()
    .slice(0, 200);

/** Properties of particular programs are no part of the standard. */
const withoutExtensions = (text: string): string =>
  text.replaceAll(/^X-[^\r\n]*\r\n(?:[ \t][^\r\n]*\r\n)*/gm, '');
