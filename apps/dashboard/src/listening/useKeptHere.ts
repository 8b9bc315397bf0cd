/** The sessions on this device, of one person and perhaps of one unit. */
import { useEffect, useState } from 'react';
import type { ListeningView, Person, UnitView } from '../contracts.js';
import { freshId } from './freshId.js';
import { allKept, beginKept, onKept, type KeptSession } from './keptSessions.js';
import { draftOf } from './sessionDraft.js';

/** @returns undefined while the device is asked; none where it keeps nothing */
export function useKeptHere(accountId?: string): readonly KeptSession[] | undefined {
  const [kept, setKept] = useState<readonly KeptSession[]>();
  useEffect(() => {
    const read = () =>
      void allKept(accountId).then(setKept, (error: unknown) => {
        console.info('This device keeps no sessions:', error);
        setKept([]);
      });
    read();
    return onKept(read);
  }, [accountId]);
  return kept;
}

const madeHere = (unit: Pick<UnitView, 'id' | 'name'>, person: Person) => ({
  unitId: unit.id,
  unitName: unit.name,
  accountId: person.id,
  accountName: person.name,
  device: freshId(),
  clashes: [],
});

/** Begun on this device: the server hears of it as soon as it can. */
export async function beginHere(
  unit: Pick<UnitView, 'id' | 'name'>,
  person: Person,
  heardOn: string,
): Promise<void> {
  await beginKept({
    ...madeHere(unit, person),
    id: freshId(),
    begunAt: new Date().toISOString(),
    write: 1,
    sent: 0,
    version: 0,
    base: null,
    draft: { heardOn, placement: '', levelDb: null, sources: '', words: '', remarks: [] },
  });
}

/** Begun elsewhere, gone on with here. */
export async function goOnHere(
  unit: Pick<UnitView, 'id' | 'name'>,
  person: Person,
  session: ListeningView,
): Promise<void> {
  await beginKept({
    ...madeHere(unit, person),
    id: session.id,
    begunAt: session.begunAt,
    write: 0,
    sent: 0,
    version: session.version,
    base: draftOf(session),
    draft: draftOf(session),
  });
}
