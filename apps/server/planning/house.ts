/** When the house works: hours, loud hours, holidays, people, places, absences. */
import { randomBytes } from 'node:crypto';
import { Inject, Injectable } from '@nestjs/common';
import type { z } from 'zod';
import type {
  Binned,
  AbsenceView,
  AddAbsence,
  AddPlace,
  BusyCalendarView,
  BusyImportView,
  ChangeHouse,
  ChangePersonHours,
  ChangePlace,
  HouseView,
  ImportBusy,
  PersonHoursView,
  PlaceView,
  WeeklyHours,
} from '../../../libs/contracts/index.js';
import { runBusyTimes } from '../../../libs/plan-keeping/index.js';
import {
  change,
  json,
  putInBin,
  StaleVersion,
  writeVersion,
  type Change,
  type Tx,
} from '../../../libs/store/index.js';
import type { SignedIn } from '../access/sessions.js';
import { refuse, Refused } from '../http/refusals.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';

const Day = 24 * 3600_000;
/** Of a calendar file: what is longer ago or further ahead is of no interest to a plan. */
const BUSY_FROM_MS = 7 * Day;
const BUSY_TO_MS = 550 * Day;
const ABSENCES_SHOWN_MS = 14 * Day;

@Injectable()
export class House {
  constructor(@Inject(CONFIG) private readonly config: ServerConfig) {}

  async view(): Promise<HouseView> {
    const { prisma } = this.config.database;
    const since = new Date(Date.now() - ABSENCES_SHOWN_MS);
    const [installation, house, people, places, absences, busy] = await Promise.all([
      prisma.installation.findUnique({ where: { id: 1 } }),
      prisma.planHouse.findUniqueOrThrow({ where: { id: 1 } }),
      memberRows(prisma),
      prisma.place.findMany({ orderBy: [{ position: 'asc' }, { id: 'asc' }] }),
      prisma.absence.findMany({ where: { finish: { gt: since } }, orderBy: { start: 'asc' } }),
      prisma.busyCalendar.findMany({
        orderBy: { importedAt: 'asc' },
        include: { _count: { select: { absences: true } } },
      }),
    ]);
    return {
      timeZone: installation?.timeZone ?? 'UTC',
      hours: house.usualHours ? null : (house.hours as WeeklyHours[]),
      loudHours: house.usualLoudHours ? null : (house.loudHours as WeeklyHours[]),
      holidays: house.holidays as HouseView['holidays'],
      atRiskWorkingDays: house.atRiskWorkingDays,
      version: house.version,
      people: people.map(presentHours),
      places: places.map(presentPlace),
      absences: absences.map(presentAbsence),
      busyCalendars: busy.map(presentBusy),
    };
  }

  async change(ask: z.output<typeof ChangeHouse>, by: SignedIn): Promise<HouseView> {
    const data = {
      ...hoursColumns(ask.hours, 'usualHours', 'hours'),
      ...hoursColumns(ask.loudHours, 'usualLoudHours', 'loudHours'),
      ...(ask.holidays === undefined ? {} : { holidays: json(ask.holidays) }),
      ...(ask.atRiskWorkingDays === undefined ? {} : { atRiskWorkingDays: ask.atRiskWorkingDays }),
    };
    await change(this.config.database, by, async (made) => {
      await writeVersion(made.tx.planHouse, 1, ask.version, data);
      tell(made, 'house', '1', 'changed the hours of the house');
    });
    return this.view();
  }

  async addPlace(ask: z.output<typeof AddPlace>, by: SignedIn): Promise<PlaceView> {
    const row = await change(this.config.database, by, async (made) => {
      const id = `${slug(ask.name)}-${randomBytes(3).toString('hex')}`;
      const position = await made.tx.place.count();
      const data = {
        id,
        name: ask.name,
        capacity: ask.capacity,
        position,
        ...hoursColumns(ask.hours, 'allHours', 'hours'),
      };
      const place = await made.tx.place.create({ data });
      tell(made, 'place', id, `added ${ask.name} to the places`);
      return place;
    });
    return presentPlace(row);
  }

  async changePlace(id: string, ask: z.output<typeof ChangePlace>, by: SignedIn): Promise<PlaceView> {
    const data = {
      ...(ask.name === undefined ? {} : { name: ask.name }),
      ...(ask.capacity === undefined ? {} : { capacity: ask.capacity }),
      ...hoursColumns(ask.hours, 'allHours', 'hours'),
      ...(ask.retired === undefined ? {} : { retiredAt: ask.retired ? new Date() : null }),
    };
    const after = await change(this.config.database, by, async (made) => {
      const written = await writeVersion<PlaceRow>(made.tx.place, id, ask.version, data);
      tell(made, 'place', id, `changed ${written.after.name}`);
      return written.after;
    });
    return presentPlace(after);
  }

  async changePerson(
    accountId: string,
    ask: z.output<typeof ChangePersonHours>,
    by: SignedIn,
  ): Promise<PersonHoursView> {
    const data = {
      ...hoursColumns(ask.hours, 'usualHours', 'hours'),
      ...(ask.does === undefined ? {} : { doesAll: ask.does === null, does: ask.does ?? [] }),
    };
    await change(this.config.database, by, async (made) => {
      const [person] = await memberRows(made.tx, accountId);
      if (!person) throw refuse.notFound('person');
      if ((person.workingHours?.version ?? 0) !== ask.version) throw new StaleVersion(presentHours(person));
      await made.tx.personHours.upsert({
        where: { accountId },
        create: { accountId, ...data },
        update: { ...data, version: { increment: 1 } },
      });
      tell(made, 'account', accountId, `changed the working hours of ${person.name}`);
    });
    const [after] = await memberRows(this.config.database.prisma, accountId);
    if (!after) throw refuse.notFound('person');
    return presentHours(after);
  }

  async addAbsence(ask: z.output<typeof AddAbsence>, by: SignedIn): Promise<AbsenceView> {
    const row = await change(this.config.database, by, async (made) => {
      const { name, zone: _zone, ...whose } = await subjectOf(made.tx, ask);
      const data = {
        ...whose,
        start: new Date(ask.from),
        finish: new Date(ask.to),
        why: ask.why,
        createdBy: by.id,
      };
      const absence = await made.tx.absence.create({ data });
      tell(made, 'absence', absence.id, `noted that ${name} is away`);
      return absence;
    });
    return presentAbsence(row);
  }

  async removeAbsence(id: string, by: SignedIn): Promise<Binned> {
    return change(this.config.database, by, async (made) => {
      const found = await made.tx.absence.findUnique({
        where: { id },
        include: { account: true, place: true },
      });
      if (!found) throw refuse.notFound('absence');
      const from = found.start.toISOString().slice(0, 10);
      const title = `of ${found.account?.name ?? found.place?.name ?? 'somebody'} from ${from}`;
      const root = { table: 'Absence', column: 'id', value: id } as const;
      const binned = await putInBin(made, { kind: 'absence', root, title, told: true });
      tell(made, 'absence', id, 'took an absence back');
      return binned;
    });
  }

  /** Reads a calendar file aside; nothing of it is kept when any of it is refused. */
  async importBusy(ask: z.output<typeof ImportBusy>, by: SignedIn): Promise<BusyImportView> {
    const { prisma } = this.config.database;
    const { name: whom, zone, ...whose } = await subjectOf(prisma, ask);
    const now = Date.now();
    const read = await runBusyTimes({
      text: ask.calendar,
      zone,
      from: new Date(now - BUSY_FROM_MS),
      to: new Date(now + BUSY_TO_MS),
    });
    if ('line' in read) {
      throw new Refused(422, {
        code: 'calendar-refused',
        message: `${ask.name}: ${read.message}`,
        remedy: 'Export the calendar as an .ics file (iCalendar) and try again.',
        fields: [{ path: `calendar:${read.line}`, message: read.message }],
      });
    }
    const row = await change(this.config.database, by, async (made) => {
      await made.tx.busyCalendar.deleteMany({ where: { ...whose, name: ask.name } });
      const calendar = await made.tx.busyCalendar.create({
        data: { ...whose, name: ask.name, importedBy: by.id },
      });
      await made.tx.absence.createMany({
        data: read.busy.spans.map((span) => ({
          ...span,
          ...whose,
          why: 'busy',
          busyCalendarId: calendar.id,
          createdBy: by.id,
        })),
      });
      tell(
        made,
        'busy-calendar',
        calendar.id,
        `read ${read.busy.spans.length} busy times of ${whom} from “${ask.name}”`,
      );
      return calendar;
    });
    const view = presentBusy({ ...row, _count: { absences: read.busy.spans.length } });
    return { ...view, passedOver: [...read.busy.passedOver] };
  }

  async removeBusy(id: string, by: SignedIn): Promise<Binned> {
    return change(this.config.database, by, async (made) => {
      const found = await made.tx.busyCalendar.findUnique({ where: { id } });
      if (!found) throw refuse.notFound('calendar');
      const root = { table: 'BusyCalendar', column: 'id', value: id } as const;
      const binned = await putInBin(made, {
        kind: 'busy-calendar',
        root,
        title: `“${found.name}”`,
        told: true,
      });
      tell(made, 'busy-calendar', id, 'removed a calendar of busy times');
      return binned;
    });
  }
}

export function tell(made: Change, subject: string, subjectId: string, sentence: string): void {
  made.record({ action: 'calendars-changed', subject, subjectId, sentence });
  made.publish('team', 'calendars-changed', { by: made.actor.name, sentence });
}

const memberRows = (tx: Tx, id?: string) =>
  tx.account.findMany({
    where: { role: { not: 'viewer' }, disabledAt: null, ...(id === undefined ? {} : { id }) },
    orderBy: [{ createdAt: 'asc' }, { id: 'asc' }],
    include: { workingHours: true },
  });
type PlaceRow = NonNullable<Awaited<ReturnType<typeof placeRow>>>;
const placeRow = (tx: Tx, id: string) => tx.place.findUnique({ where: { id } });

interface Subject {
  readonly accountId: string | null;
  readonly placeId: string | null;
  readonly name: string;
  readonly zone: string;
}

async function subjectOf(
  tx: Tx,
  ask: { personId?: string | undefined; placeId?: string | undefined },
): Promise<Subject> {
  if (ask.personId !== undefined) {
    const [person] = await memberRows(tx, ask.personId);
    if (!person) throw refuse.notFound('person');
    return { accountId: person.id, placeId: null, name: person.name, zone: person.timeZone };
  }
  const place = await placeRow(tx, ask.placeId ?? '');
  if (!place) throw refuse.notFound('place');
  const installation = await tx.installation.findUnique({ where: { id: 1 } });
  return { accountId: null, placeId: place.id, name: place.name, zone: installation?.timeZone ?? 'UTC' };
}

function hoursColumns(hours: WeeklyHours[] | null | undefined, usual: string, column: string): object {
  return hours === undefined ? {} : { [usual]: hours === null, [column]: json(hours ?? []) };
}

const slug = (name: string): string =>
  name
    .toLowerCase()
    .replaceAll(/[^a-z0-9]+/g, '-')
    .replaceAll(/^-+|-+$/g, '')
    .slice(0, 30) || 'place';

function presentHours({
  id,
  name,
  timeZone,
  workingHours: own,
}: Awaited<ReturnType<typeof memberRows>>[number]): PersonHoursView {
  return {
    id,
    name,
    timeZone,
    hours: own && !own.usualHours ? (own.hours as WeeklyHours[]) : null,
    does: own && !own.doesAll ? own.does : null,
    version: own?.version ?? 0,
  };
}

function presentPlace({ id, name, capacity, allHours, hours, retiredAt, version }: PlaceRow): PlaceView {
  return {
    id,
    name,
    capacity,
    hours: allHours ? null : (hours as WeeklyHours[]),
    retired: retiredAt !== null,
    version,
  };
}

interface AbsenceRow {
  id: string;
  accountId: string | null;
  placeId: string | null;
  start: Date;
  finish: Date;
  why: string;
  busyCalendarId: string | null;
}
const presentAbsence = (row: AbsenceRow): AbsenceView => ({
  id: row.id,
  personId: row.accountId,
  placeId: row.placeId,
  from: row.start.toISOString(),
  to: row.finish.toISOString(),
  why: row.why,
  busyCalendarId: row.busyCalendarId,
});

interface BusyRow {
  id: string;
  accountId: string | null;
  placeId: string | null;
  name: string;
  importedAt: Date;
  _count: { absences: number };
}
const presentBusy = (row: BusyRow): BusyCalendarView => ({
  id: row.id,
  personId: row.accountId,
  placeId: row.placeId,
  name: row.name,
  importedAt: row.importedAt.toISOString(),
  spans: row._count.absences,
});
