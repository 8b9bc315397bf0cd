/**
 * `npm run faults`: a seeded campaign of faults against real processes, that proves from the outside that an accepted
 * action is never lost, jobs run at least once and effects apply once.
 */
import { setTimeout as sleep } from 'node:timers/promises';
import { backEnds, type BackEnd } from '../seams/installation.js';
import { check } from './check.js';
import { faults, type Fault } from './faults.js';
import { Ledger } from './ledger.js';
import { startLoad, type Load } from './load.js';
import { openWorld, untilWell, type World } from './world.js';

const USAGE = `npm run faults -- [--runs 200] [--seed 1] [--only embedded|redis-and-postgres] [--fault NAME]`;
/** Then a fresh installation, so that what is checked stays small. */
const RUNS_PER_WORLD = 25;
const RECOVERY_PATIENCE_MS = 60_000;
const PROBE_MS = 10;

interface Outcome {
  readonly fault: string;
  readonly recoveredMs: number;
}

/** @returns exit code: 0 when nothing was lost or doubled, 1 when something was, 2 for arguments it does not know */
export async function main(argv: readonly string[]): Promise<number> {
  const option = (name: string, otherwise: string): string =>
    argv.includes(name) ? (argv[argv.indexOf(name) + 1] ?? '') : otherwise;
  const runs = Number(option('--runs', '200'));
  const seed = Number(option('--seed', '1'));
  const only = option('--only', '');
  const named = option('--fault', '');
  const chosen = backEnds.filter((backEnd) => only === '' || backEnd === only);
  if (!(runs > 0) || !Number.isInteger(seed) || chosen.length === 0 || argv.length % 2 === 1) {
    console.error(USAGE);
    return 2;
  }
  let isKept = true;
  for (const backEnd of chosen) isKept = (await campaign(backEnd, runs, seed, named)) && isKept;
  return isKept ? 0 : 1;
}

async function campaign(backEnd: BackEnd, runs: number, seed: number, named: string): Promise<boolean> {
  const random = seeded(seed);
  const possible = faults.filter(({ name, on }) => on.includes(backEnd) && (named === '' || name === named));
  if (possible.length === 0) return true;
  const outcomes: Outcome[] = [];
  const total = { acknowledged: 0, lost: 0, doubled: 0, surprises: 0 };
  for (let first = 0; first < runs; first += RUNS_PER_WORLD) {
    const ledger = new Ledger();
    let world = await openWorld(backEnd);
    try {
      for (let run = first; run < Math.min(runs, first + RUNS_PER_WORLD); run++) {
        const fault = possible[Math.floor(random() * possible.length)];
        const done = await strike(world, fault, run, ledger, random);
        world = done.world;
        outcomes.push({ fault: fault.name, recoveredMs: done.recoveredMs });
        console.error(
          `${backEnd} ${run + 1}/${runs}: ${fault.name}, back after ${done.recoveredMs.toFixed(0)} ms`,
        );
      }
      await untilWell(world);
      const { lost, doubled } = await check(world, ledger);
      for (const what of lost) console.error(`LOST: ${what}`);
      for (const what of doubled) console.error(`DOUBLED: ${what}`);
      for (const what of ledger.surprises) console.error(`REFUSED WITHOUT REASON: ${what}`);
      total.acknowledged +=
        ledger.acknowledged.size + ledger.edits + ledger.files.length + ledger.analyses.length;
      total.lost += lost.length;
      total.doubled += doubled.length;
      total.surprises += ledger.surprises.length;
    } catch (error) {
      console.error(`The server's last words:\n${world.server.output().slice(-6000)}`);
      throw error;
    } finally {
      await world.installation.remove();
    }
  }
  print(backEnd, outcomes, total);
  return total.lost + total.doubled + total.surprises === 0;
}

/** Lets people work, strikes at a random moment, and waits until a write that began afterwards is acknowledged. */
async function strike(before: World, fault: Fault, run: number, ledger: Ledger, random: () => number) {
  let world = before;
  const load = startLoad(() => world, run, ledger);
  try {
    await sleep(100 + 500 * random());
    const struck = performance.now();
    world = await fault.strike(world, random);
    // Of a killed server the last answers may still come: what counts is a write after all of it is well again.
    await untilWell(world);
    const well = performance.now();
    const recovered = await untilAnswered(load, Math.max(struck, well - PROBE_MS), fault.name);
    await sleep(200);
    return { world, recoveredMs: recovered - struck };
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

function print(
  backEnd: BackEnd,
  outcomes: readonly Outcome[],
  total: Readonly<Record<'acknowledged' | 'lost' | 'doubled' | 'surprises', number>>,
): void {
  console.log(
    `${backEnd}: ${outcomes.length} faults, ${total.acknowledged} acknowledged actions: ${total.lost} lost, ${total.doubled} doubled, ${total.surprises} refused without reason`,
  );
  const row = (name: string, all: readonly Outcome[]) => {
    const sorted = all.map(({ recoveredMs }) => recoveredMs).toSorted((a, b) => a - b);
    const at = (share: number) =>
      (sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? 0) / 1000;
    console.log(
      `  ${name.padEnd(28)} ${String(all.length).padStart(4)} times, back after ${at(0.5).toFixed(2)} s (p50), ${at(0.99).toFixed(2)} s (p99)`,
    );
  };
  for (const name of new Set(outcomes.map(({ fault }) => fault))) {
    row(
      name,
      outcomes.filter(({ fault }) => fault === name),
    );
  }
  row('all', outcomes);
}

/** Mulberry32 (Tommy Ettinger, public domain; from memory): the same faults at the same moments for a seed. */
function seeded(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
}
