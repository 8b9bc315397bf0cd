/** Saves a record on the version it was read at; a newer one is shown beside what was typed, never overwritten. */
import { useMutation } from '@tanstack/react-query';
import { useState } from 'react';
import { Refused } from '../contracts.js';
import { mergeOf, resolved, type Merge } from './merge.js';

type Versioned = { readonly version: number };

export interface Conflict<R> {
  readonly theirs: R;
  readonly merge: Merge;
}
export interface VersionedSave<R> {
  /** Sends the changed keys of `mine` against `was`. */
  readonly save: (was: R, mine: Readonly<Record<string, unknown>>) => void;
  readonly conflict: Conflict<R> | null;
  /** Decides a conflict: of the clashes, which keep mine. */
  readonly decide: (keepMine: ReadonlySet<string>) => void;
  readonly dropMine: () => void;
  readonly error: unknown;
  readonly busy: boolean;
}

export function useVersionedSave<R extends Versioned>(doors: {
  readonly keys: readonly string[];
  readonly send: (changes: Record<string, unknown>, version: number) => Promise<R>;
  /** The record as it stands now, the same view it was edited from. */
  readonly reload: () => Promise<R>;
  readonly saved: (record: R) => void;
}): VersionedSave<R> {
  const [conflict, setConflict] = useState<Conflict<R> | null>(null);
  const [mine, setMine] = useState<Readonly<Record<string, unknown>>>({});
  const saving = useMutation({
    mutationFn: (ask: Ask<R>) => sendOrMeet(doors, ask),
    onSuccess: (met) => {
      setConflict(met.conflict);
      if (met.kept) doors.saved(met.kept);
    },
  });

  const send = (was: R, next: Readonly<Record<string, unknown>>, changes: Record<string, unknown>) => {
    setMine(next);
    saving.mutate({ was, next, changes });
  };
  return {
    save: (was, next) =>
      send(was, next, resolved(mergeOf(keyed(was), next, keyed(was), doors.keys), next, new Set())),
    conflict,
    decide: (keepMine) => {
      if (!conflict) return;
      const changes = resolved(conflict.merge, mine, keepMine);
      if (Object.keys(changes).length === 0) {
        setConflict(null);
        doors.saved(conflict.theirs);
        return;
      }
      send(conflict.theirs, { ...keyed(conflict.theirs), ...changes }, changes);
    },
    dropMine: () => {
      if (conflict) doors.saved(conflict.theirs);
      setConflict(null);
    },
    error: saving.error,
    busy: saving.isPending,
  };
}

interface Ask<R> {
  readonly was: R;
  readonly next: Readonly<Record<string, unknown>>;
  readonly changes: Record<string, unknown>;
}

/** Keeps the change, or meets the newer version somebody else saved. */
async function sendOrMeet<R extends Versioned>(
  doors: {
    readonly keys: readonly string[];
    readonly send: (changes: Record<string, unknown>, version: number) => Promise<R>;
    readonly reload: () => Promise<R>;
  },
  ask: Ask<R>,
): Promise<{ kept: R | null; conflict: Conflict<R> | null }> {
  try {
    return { kept: await doors.send(ask.changes, ask.was.version), conflict: null };
  } catch (error) {
    if (!isStale(error)) throw error;
    const theirs = await doors.reload();
    return {
      kept: null,
      conflict: { theirs, merge: mergeOf(keyed(ask.was), ask.next, keyed(theirs), doors.keys) },
    };
  }
}

/** A write on an older version was refused. */
export function isStale(error: unknown): boolean {
  return error instanceof Refused && error.refusal?.conflict !== undefined;
}

function keyed(record: object): Readonly<Record<string, unknown>> {
  return record as Readonly<Record<string, unknown>>;
}
