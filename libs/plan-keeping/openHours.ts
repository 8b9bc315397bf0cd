/** When people work and places are open between two instants. */
import { openWindows } from '../planning/calendar/openWindows.js';
import { floorToSlot, SlotGrid } from '../planning/calendar/slotGrid.js';
import { usualHours } from '../planning/loan/resources.js';
import type { Window } from '../planning/calendar/windows.js';
import type { HouseCalendars } from './houseCalendars.js';

const SLOT_MINUTES = 15;

export interface OpenSpan {
  readonly from: Date;
  readonly to: Date;
}
export interface OpenHours {
  person(id: string): readonly OpenSpan[];
  place(id: string): readonly OpenSpan[];
  loud(): readonly OpenSpan[];
  house(): readonly OpenSpan[];
}

export function openHours(calendars: HouseCalendars, from: Date, to: Date): OpenHours {
  const originMs = floorToSlot(from.getTime(), SLOT_MINUTES);
  const slots = Math.ceil((to.getTime() - originMs) / (SLOT_MINUTES * 60_000));
  const grid = new SlotGrid(originMs, SLOT_MINUTES, Math.max(1, slots));
  const { house, people, places } = calendars;
  const hours = house.hours ?? usualHours;
  const spans = (windows: readonly Window[]) =>
    windows.map(([start, end]) => ({
      from: new Date(grid.instantMs(start)),
      to: new Date(grid.instantMs(end)),
    }));
  return {
    person: (id) => {
      const person = people.find((one) => one.id === id);
      if (!person) return [];
      const { zone = house.zone, away } = person;
      return spans(
        openWindows(grid, { zone, hours: person.hours ?? hours, holidays: house.holidays, closed: away }),
      );
    },
    place: (id) => {
      const place = places.find((one) => one.id === id);
      if (!place) return [];
      return spans(openWindows(grid, { zone: house.zone, hours: place.hours, closed: place.closed }));
    },
    loud: () =>
      spans(
        openWindows(grid, { zone: house.zone, hours: house.loudHours ?? hours, holidays: house.holidays }),
      ),
    house: () => spans(openWindows(grid, { zone: house.zone, hours, holidays: house.holidays })),
  };
}

export const isWithin = (spans: readonly OpenSpan[], start: Date, finish: Date): boolean =>
  spans.some(({ from, to }) => from <= start && finish <= to);
