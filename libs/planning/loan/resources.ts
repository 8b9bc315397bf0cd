import { carrierDays, readyBy, type CarrierDays } from '../calendar/freight.js';
import { openWindows, type WeeklyHours } from '../calendar/openWindows.js';
import type { SlotGrid } from '../calendar/slotGrid.js';
import { longest, overlap, type Window } from '../calendar/windows.js';
import type { Demand } from '../engine/instance.js';
import { CapacityProfile } from '../engine/profile.js';
import type { LoanInput, PlanLoansInput, StepTemplate } from './types.js';

/** Monday to Friday 09:00-18:00. */
export const usualHours: readonly WeeklyHours[] = [1, 2, 3, 4, 5].map((weekday) => ({
  weekday,
  from: '09:00',
  to: '18:00',
}));

/** More than anything asks for: a calendar that limits when, not how many. */
const unlimited = 1e6;

interface Calendar {
  readonly id: string;
  readonly name: string;
  readonly windows: readonly Window[];
  readonly capacity: number;
}

/** People, places and permissions of the house as engine resources. */
export class HouseResources {
  readonly carrier: CarrierDays;
  private readonly calendars: Calendar[] = [];
  private readonly index = new Map<string, number>();
  private readonly lengths = new Map<string, number>();

  constructor(
    readonly grid: SlotGrid,
    private readonly input: PlanLoansInput,
  ) {
    this.addPeople();
    this.addPlaces();
    this.addUnits();
    const { zone, holidays } = input.house;
    const hours = input.house.hours ?? usualHours;
    const loudHours = input.house.loudHours ?? hours;
    this.add(
      'loud',
      'the house for loud work',
      openWindows(grid, { zone, hours: loudHours, holidays }),
      unlimited,
    );
    this.carrier = carrierDays(grid, zone, openWindows(grid, { zone, hours, holidays }));
  }

  get ids(): readonly string[] {
    return this.calendars.map(({ id }) => id);
  }

  /** A name for people to read. */
  name(resource: number): string {
    return this.calendars[resource]?.name ?? '';
  }

  /** A person, place or unit, as against a permission that is only open or shut. */
  isTaken(resource: number): boolean {
    return this.bookedId(resource) !== null || (this.calendars[resource]?.id.startsWith('unit:') ?? false);
  }

  /** The person's or place's id, null for a unit or a permission such as the loud hours. */
  bookedId(resource: number): string | null {
    const id = this.calendars[resource]?.id ?? '';
    return id.startsWith('person:') || id.startsWith('place:') ? id.slice(id.indexOf(':') + 1) : null;
  }

  profiles(): CapacityProfile[] {
    return this.calendars.map(({ windows, capacity }) => CapacityProfile.open(windows, capacity));
  }

  loanId(loan: number): string {
    return this.input.loans[loan]?.id ?? '';
  }

  has(kind: 'person' | 'place', id: string): boolean {
    return this.index.has(`${kind}:${id}`);
  }

  /** What a step takes when these people do it, with the units (`LOAN/UNIT`) it needs at hand. */
  demands(step: StepTemplate, people: readonly string[], units: readonly string[] = []): Demand[] {
    const ids = people.map((person) => `person:${person}`);
    ids.push(...units.map((unit) => `unit:${unit}`));
    if (step.place !== undefined) ids.push(`place:${step.place}`);
    if (step.place !== undefined && !step.unattended) ids.push(`hours:${step.place}`);
    if (step.loud) ids.push('loud');
    return ids.flatMap((id) => {
      const resource = this.index.get(id);
      return resource === undefined ? [] : [{ resource, units: 1 }];
    });
  }

  /** Slots of the longest stretch in which all of it is open at once. */
  longestStretch(demands: readonly Demand[]): number {
    const limiting = demands.filter(({ resource }) => this.calendars[resource].windows.length !== 1);
    const key = limiting.map(({ resource }) => resource).join();
    const known = this.lengths.get(key);
    if (known !== undefined) return known;
    let windows: readonly Window[] = [[0, this.grid.slots]];
    for (const { resource } of limiting) windows = overlap(windows, this.calendars[resource].windows);
    const length = longest(windows);
    this.lengths.set(key, length);
    return length;
  }

  private addPeople(): void {
    const { house, people } = this.input;
    for (const person of people) {
      const windows = openWindows(this.grid, {
        zone: person.zone ?? house.zone,
        hours: person.hours ?? house.hours ?? usualHours,
        holidays: house.holidays,
        closed: person.away,
      });
      this.add(`person:${person.id}`, person.name, windows, 1);
    }
  }

  private addPlaces(): void {
    const { zone } = this.input.house;
    for (const place of this.input.places) {
      const open = openWindows(this.grid, { zone, closed: place.closed });
      this.add(`place:${place.id}`, place.name, open, place.capacity ?? 1);
      if (place.hours) {
        const hours = openWindows(this.grid, { zone, hours: place.hours });
        this.add(`hours:${place.id}`, place.name, hours, unlimited);
      }
    }
  }

  /** A cabinet cannot stand on the rig and in the listening room at once. */
  private addUnits(): void {
    for (const loan of this.input.loans) {
      for (const unit of loan.units) {
        this.add(`unit:${loan.id}/${unit.id}`, unit.name, [[0, this.grid.slots]], 1);
      }
    }
  }

  private add(id: string, name: string, windows: readonly Window[], capacity: number): void {
    this.index.set(id, this.calendars.length);
    this.calendars.push({ id, name, windows, capacity });
  }
}

/** Slot by which the crate must be ready for the carrier; Infinity without a date. */
export function returnDue(house: HouseResources, loan: LoanInput): number {
  if (loan.returnBy === null) return Infinity;
  return readyBy(house.carrier, house.grid.atOrBefore(Date.parse(loan.returnBy)), loan.freightDaysOut);
}
