/**
 * Planning takes some hundred milliseconds for thirty loans: in a thread, so that requests go on being answered. One
 * pool serves the whole process; its threads end by themselves when nothing is planned for a while.
 */
import { fileURLToPath } from 'node:url';
import { Piscina } from 'piscina';
import type { BusyTimesInput } from '../calendars/index.js';
import type { LoanPlans, PlanLoansInput } from '../planning/planLoans.js';
import * as thread from './planThread.js';

const IDLE_MS = 60_000;
const PATIENCE_MS = 60_000;
/** A calendar whose repetitions take longer than this is given up. */
const CALENDAR_PATIENCE_MS = 10_000;
const MEMORY_MB = 512;
/** Straight from the sources (in a test) there is no file a thread could load. */
const built = import.meta.url.endsWith('.js');

let pool: Piscina | undefined;

export async function runPlan(input: PlanLoansInput): Promise<LoanPlans> {
  return built ? inThread('plan', input, PATIENCE_MS) : thread.plan(input);
}

export async function runBusyTimes(input: BusyTimesInput): Promise<thread.BusyOutcome> {
  if (!built) return thread.busyTimes(input);
  try {
    return await inThread<thread.BusyOutcome>('busyTimes', input, CALENDAR_PATIENCE_MS);
  } catch (error) {
    const name = (error as Error).name;
    if (name !== 'AbortError' && name !== 'TimeoutError') throw error;
    return { line: 1, message: 'Its repetitions take too long to work out.' };
  }
}

function inThread<T>(name: keyof typeof thread, input: unknown, patienceMs: number): Promise<T> {
  pool ??= new Piscina({
    filename: fileURLToPath(new URL('./planThread.js', import.meta.url)),
    minThreads: 0,
    maxThreads: 2,
    idleTimeout: IDLE_MS,
    resourceLimits: { maxOldGenerationSizeMb: MEMORY_MB },
  });
  return pool.run(input, { name, signal: AbortSignal.timeout(patienceMs) }) as Promise<T>;
}
