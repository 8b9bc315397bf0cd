/**
 * People in turn. Whoever asks for many analyses at once gets places that lie apart, so that somebody who asks for one
 * waits for what of theirs is at work, not for all that waits. By the virtual time of fair queueing (Goyal, Vin and
 * Cheng, Start-time Fair Queuing, SIGCOMM 1996; from memory): an analysis gets the place after the last one of the same
 * person that has not ended, but none before the one at work, so nobody can be passed for ever either. One that has begun
 * goes on to its end: a thread is at one analysis, not at a step of each of several.
 */
import { statesAtWork } from '../contracts/index.js';
import type { Tx } from './database.js';

/** The queue takes no larger priority. */
const LAST_TURN = 2_000_000;

/** @returns the place of one more analysis of this person: 1 or more, a smaller one comes first */
export async function nextTurn(tx: Tx, personId: string | null): Promise<number> {
  const [places] = await tx.$queryRaw<{ now: number | null; own: number | null }[]>`
    select min("turn") as "now", max("turn") filter (where "askedBy" is not distinct from ${personId}::uuid) as "own"
    from "Computation" where "state" = any(${[...statesAtWork]}::"ComputationState"[])`;
  const now = places?.now ?? 1;
  const own = places?.own ?? 0;
  return Math.min(LAST_TURN, Math.max(now, own + 1));
}
