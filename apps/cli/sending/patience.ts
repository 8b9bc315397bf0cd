/** Work that needs the server, done in spite of a network that goes and comes: again and again, with growing pauses. */
import { setTimeout as sleep } from 'node:timers/promises';
import { Refused } from '../../../libs/contracts/client.js';
import { SendStopped } from './sendStopped.js';

const Second = 1000;
/** Then one every half minute: a laptop may sleep over night. */
const PAUSES_MS = [Second, 2 * Second, 4 * Second, 8 * Second, 15 * Second, 30 * Second];

export class Unreachable extends Error {
  constructor(
    message: string,
    /** The server’s own wish, from Retry-After. */
    readonly afterMs?: number,
  ) {
    super(message);
  }
}

export interface Patience {
  /** Until when; undefined for ever. Counted from the first failure. */
  readonly patienceMs: number | undefined;
  readonly say: (line: string) => void;
  readonly signal: AbortSignal;
}

/**
 * @throws SendStopped (4) when the server stayed away for too long, or said no to who asks
 * @throws Refused when it said no to what was asked
 */
export async function persist<T>(work: () => Promise<T>, { patienceMs, say, signal }: Patience): Promise<T> {
  let since: number | undefined;
  for (let failures = 0; ; failures++) {
    try {
      const done = await work();
      if (since !== undefined) say('The server is back.');
      return done;
    } catch (error) {
      if (signal.aborted)
        throw new SendStopped(
          4,
          'ended',
          'It was ended before everything was sent.',
          'Start it again; it goes on where it stopped.',
        );
      const away = asUnreachable(error);
      if (away === undefined) throw asStopped(error);
      since ??= Date.now();
      if (patienceMs !== undefined && Date.now() - since >= patienceMs)
        throw new SendStopped(
          4,
          'unreachable',
          `The server can’t be reached: ${away.message}`,
          'Check the address and the network, and start again; what arrived is not sent twice.',
        );
      if (failures === 0)
        say(`The server can’t be reached (${away.message}); it is tried again until it is back.`);
      const pause = away.afterMs ?? PAUSES_MS[Math.min(failures, PAUSES_MS.length - 1)];
      await sleep(pause, undefined, { signal }).catch(() => undefined);
    }
  }
}

/** undefined for an answer that more tries would not change */
function asUnreachable(error: unknown): Unreachable | undefined {
  if (error instanceof Unreachable) return error;
  if (error instanceof Refused) {
    const passes = error.status === 408 || error.status === 429 || error.status >= 500;
    return passes
      ? new Unreachable(error.message, error.retryAfterSeconds && error.retryAfterSeconds * Second)
      : undefined;
  }
  const cause = (error as { cause?: { code?: string; message?: string } }).cause;
  const { name } = error as Error;
  // What `fetch` throws: TypeError when nothing answers, TimeoutError when nothing comes.
  if (name === 'TimeoutError') return new Unreachable('no answer in time');
  if (error instanceof TypeError && cause)
    return new Unreachable(cause.code ?? cause.message ?? 'no connection');
  return undefined;
}

function asStopped(error: unknown): unknown {
  if (!(error instanceof Refused) || (error.status !== 401 && error.status !== 403)) return error;
  const { code, message, remedy } = error.refusal;
  return new SendStopped(4, code, message, remedy ?? 'Use another access token.');
}
