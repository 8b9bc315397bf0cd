/** A person or a place, as one choice of a list. */
import type { HouseView } from '../contracts.js';
import { laneName } from '../plan/weekLayout.js';

export type Subject = `person:${string}` | `place:${string}`;

export function subjectOptions(house: HouseView): { value: Subject; words: string }[] {
  return [
    ...house.people.map(({ id, name }) => ({ value: `person:${id}` as const, words: name })),
    ...house.places
      .filter(({ retired }) => !retired)
      .map(({ id, name }) => ({ value: `place:${id}` as const, words: laneName(name) })),
  ];
}

export function subjectAsk(subject: Subject): { personId: string } | { placeId: string } {
  const id = subject.slice(subject.indexOf(':') + 1);
  return subject.startsWith('person:') ? { personId: id } : { placeId: id };
}

export function subjectName(
  house: HouseView,
  { personId, placeId }: { personId: string | null; placeId: string | null },
): string {
  const person = house.people.find(({ id }) => id === personId)?.name;
  const place = house.places.find(({ id }) => id === placeId)?.name;
  return person ?? (place === undefined ? 'Somebody who has left' : laneName(place));
}
