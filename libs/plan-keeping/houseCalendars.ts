/** Who works when, what is open when: the house's calendars as the engine wants them. */
import type { HouseInput, PersonInput, PlaceInput } from '../planning/planLoans.js';
import type { WeeklyHours } from '../contracts/index.js';
import type { Tx } from '../store/index.js';

export interface HouseCalendars {
  readonly zone: string;
  readonly atRiskWorkingDays: number;
  readonly house: HouseInput;
  readonly people: readonly PersonInput[];
  readonly places: readonly (PlaceInput & { readonly capacity: number })[];
}

const Day = 24 * 3600_000;

/** @param from absences that are over by then are left out */
export async function houseCalendars(tx: Tx, from: Date): Promise<HouseCalendars> {
  const [installation, house, accounts, places, absences] = await Promise.all([
    tx.installation.findUnique({ where: { id: 1 } }),
    tx.planHouse.findUniqueOrThrow({ where: { id: 1 } }),
    tx.account.findMany({
      where: { role: { not: 'viewer' }, disabledAt: null },
      orderBy: [{ createdAt: 'asc' }, { id: 'asc' }],
      include: { workingHours: true },
    }),
    tx.place.findMany({ where: { retiredAt: null }, orderBy: [{ position: 'asc' }, { id: 'asc' }] }),
    tx.absence.findMany({ where: { finish: { gt: from } }, orderBy: [{ start: 'asc' }, { id: 'asc' }] }),
  ]);
  const zone = installation?.timeZone ?? 'UTC';
  const spansOf = (whose: { accountId?: string; placeId?: string }) =>
    absences
      .filter((one) => one.accountId === (whose.accountId ?? null) && one.placeId === (whose.placeId ?? null))
      .map(({ start, finish }) => ({ from: start.toISOString(), to: finish.toISOString() }));
  return {
    zone,
    atRiskWorkingDays: house.atRiskWorkingDays,
    house: {
      zone,
      ...(house.usualHours ? {} : { hours: house.hours as WeeklyHours[] }),
      ...(house.usualLoudHours ? {} : { loudHours: house.loudHours as WeeklyHours[] }),
      holidays: (house.holidays as { day: string }[]).map(({ day }) => day),
    },
    people: accounts.map(({ id, name, timeZone, workingHours }) => ({
      id,
      name,
      zone: timeZone,
      ...(workingHours && !workingHours.usualHours ? { hours: workingHours.hours as WeeklyHours[] } : {}),
      ...(workingHours && !workingHours.doesAll ? { does: workingHours.does } : {}),
      away: spansOf({ accountId: id }),
    })),
    places: places.map(({ id, name, capacity, allHours, hours }) => ({
      id,
      name,
      capacity,
      ...(allHours ? {} : { hours: hours as WeeklyHours[] }),
      closed: spansOf({ placeId: id }),
    })),
  };
}

/** The house's day (YYYY-MM-DD) of an instant. */
export const houseDay = (at: Date, zone: string): string =>
  at.toLocaleDateString('sv-SE', { timeZone: zone });

/** Absences matter a little beyond their end, so that what was planned around them is still understood. */
export const sinceYesterday = (now: Date): Date => new Date(now.getTime() - Day);
