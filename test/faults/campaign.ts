/** Faults at random, one after the other, while people work; then what was lost or doubled is looked for. */
import { setTimeout as sleep } from 'node:timers/promises';
import type { BackEnd } from '../seams/installation.js';
import { check } from './check.js';
import { faults, type Fault } from './faults.js';
import { times } from './figures.js';
import { Ledger } from './ledger.js';
import { startLoad, type Load } from './load.js';
import { seeded } from './seeded.js';
import { closeWorld, openWorld, untilWell, type World } from './world.js';

/** Then a fresh installation, so that what is checked stays small. */
const RUNS_PER_WORLD = 40;
const RECOVERY_PATIENCE_MS = 60_000;
const PROBE_MS = 10;

interface Outcome {
  readonly fault: string;
  readonly recoveredMs: number;
}

export interface Total {
  acknowledged: number;
  lost: number;
  doubled: number;
  surprises: number;
  triedAgain: number;
  /** Installations that did not come back, with what was acknowledged there unseen. */
  broken: number;
}

export const nothingYet = (): Total => ({
  acknowledged: 0,
  lost: 0,
  doubled: 0,
  surprises: 0,
  triedAgain: 0,
  broken: 0,
});
export const isKept = ({ lost, doubled, surprises, broken }: Total): boolean =>
  lost + doubled + surprises + broken === 0;

/** @returns whether nothing was lost, doubled, or refused without reason */
export async function campaign(
  backEnd: BackEnd,
  runs: number,
  seed: number,
  named: string | undefined,
): Promise<boolean> {
  const random = seeded(seed);
  const possible = faults
    .filter(({ name, on }) => on.includes(backEnd) && (named === undefined || name === named))
    .flatMap((fault) => Array.from({ length: fault.weight }, () => fault));
  if (possible.length === 0) {
    console.error(`There is no fault "${named}" on ${backEnd}.`);
    return false;
  }
  const outcomes: Outcome[] = [];
  const total = nothingYet();
  for (let first = 0; first < runs; first += RUNS_PER_WORLD) {
    await inOneWorld(backEnd, total, async (world, ledger) => {
      for (let run = first; run < Math.min(runs, first + RUNS_PER_WORLD); run++) {
        const fault = possible[Math.floor(random() * possible.length)];
        const recoveredMs = await strike(world, fault, run, ledger, random);
        outcomes.push({ fault: fault.name, recoveredMs });
        console.error(
          `${backEnd} ${run + 1}/${runs}: ${fault.name}, back after ${recoveredMs.toFixed(0)} ms`,
        );
      }
    });
  }
  print(backEnd, outcomes, total);
  return isKept(total);
}

/** The world as it is now: processes are others after a fault. */
export interface Changing {
  now: World;
}

/** Opens an installation, has it worked on, adds up what became of it, and takes it away again. */
export async function inOneWorld(
  backEnd: BackEnd,
  total: Total,
  work: (world: Changing, ledger: Ledger) => Promise<void>,
): Promise<void> {
  const ledger = new Ledger();
  const world: Changing = { now: await openWorld(backEnd) };
  try {
    await work(world, ledger);
    await untilWell(world.now);
    const { lost, doubled } = await check(world.now, ledger);
    for (const what of lost) console.error(`LOST: ${what}`);
    for (const what of doubled) console.error(`DOUBLED: ${what}`);
    for (const what of ledger.surprises) console.error(`REFUSED WITHOUT REASON: ${what}`);
    total.acknowledged += ledger.size;
    total.lost += lost.length;
    total.doubled += doubled.length;
    total.surprises += ledger.surprises.length;
    total.triedAgain += ledger.triedAgain;
  } catch (error) {
    for (const one of new Set([world.now.server, world.now.worker]))
      console.error(`The last words of process ${one.pid}:\n${one.output().slice(-6000)}`);
    // The others of a long campaign still tell something.
    console.error('BROKEN:', error);
    total.broken++;
  } finally {
    await closeWorld(world.now);
  }
}

/** Lets people work, strikes at a random moment, and waits until a write that began afterwards is acknowledged. */
async function strike(world: Changing, fault: Fault, run: number, ledger: Ledger, random: () => number) {
  const load = startLoad(() => world.now, run, ledger);
  try {
    await sleep(100 + 400 * random());
    await fault.before?.(world.now, random, ledger);
    const struck = performance.now();
    world.now = await fault.strike(world.now, random);
    // Of a killed server the last answers may still come: what counts is a write after all of it is well again.
    await untilWell(world.now);
    const well = performance.now();
    return (await untilAnswered(load, Math.max(struck, well - PROBE_MS), fault.name)) - struck;
  } finally {
    await load.stop();
  }
}

async function untilAnswered(load: Load, after: number, faultName: string): Promise<number> {
  for (const patienceEnds = performance.now() + RECOVERY_PATIENCE_MS; ; await sleep(PROBE_MS)) {
    const answer = load.answers.find(({ began }) => began > after);
    if (answer) return answer.ended;
    if (performance.now() > patienceEnds)
      throw new Error(`${faultName}: no write was accepted within ${RECOVERY_PATIENCE_MS / 1000} s.`);
  }
}

export function sayTotal({ acknowledged, lost, doubled, surprises, triedAgain, broken }: Total): string {
  const parts = [`${lost} lost`, `${doubled} doubled`, `${surprises} refused without reason`];
  if (triedAgain > 0) parts.push(`${triedAgain} set aside and tried again`);
  if (broken > 0) parts.push(`${broken} installation${broken === 1 ? '' : 's'} that did not come back`);
  return `${acknowledged} acknowledged actions: ${parts.join(', ')}`;
}

function print(backEnd: BackEnd, outcomes: readonly Outcome[], total: Total): void {
  console.log(`${backEnd}: ${outcomes.length} faults, ${sayTotal(total)}`);
  const row = (name: string, all: readonly Outcome[]) => {
    const back = times(all.map(({ recoveredMs }) => recoveredMs));
    console.log(`  ${name.padEnd(28)} ${String(all.length).padStart(4)} times, back after ${back}`);
  };
  for (const name of new Set(outcomes.map(({ fault }) => fault))) {
    row(
      name,
      outcomes.filter(({ fault }) => fault === name),
    );
  }
  row('all', outcomes);
}
