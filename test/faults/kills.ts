/** The server killed over and over while people work: each start is quick, and at the end everything is there. */
import { setTimeout as sleep } from 'node:timers/promises';
import type { BackEnd } from '../seams/installation.js';
import { inOneWorld, isKept, nothingYet, sayTotal } from './campaign.js';
import { times } from './figures.js';
import { startLoad } from './load.js';
import { seeded } from './seeded.js';
import { startAll, untilWell } from './world.js';

/** As promised to whoever runs it. */
const MOST_START_MS = 15_000;

/** @returns whether everything acknowledged is there, once, and every start was in time */
export async function killOver(backEnd: BackEnd, kills: number, seed: number): Promise<boolean> {
  const random = seeded(seed);
  const starts: number[] = [];
  const total = nothingYet();
  await inOneWorld(backEnd, total, async (world, ledger) => {
    const load = startLoad(() => world.now, 1, ledger);
    try {
      for (let kill = 1; kill <= kills; kill++) {
        await sleep(300 + 1500 * random());
        const began = ledger.size;
        await Promise.all([...new Set([world.now.server, world.now.worker])].map((one) => one.kill()));
        world.now = { ...world.now, ...(await startAll(world.now)) };
        const readyMs = Math.max(world.now.server.readyMs, world.now.worker.readyMs);
        starts.push(readyMs);
        await untilWell(world.now);
        console.error(
          `${backEnd} kill ${kill}/${kills}: ready again after ${readyMs.toFixed(0)} ms, ${began} actions acknowledged before`,
        );
      }
    } finally {
      await load.stop();
    }
  });
  const slow = starts.filter((readyMs) => readyMs > MOST_START_MS).length;
  console.log(`${backEnd}: killed ${starts.length} times, ${sayTotal(total)}`);
  console.log(`  each start after ${times(starts)}; ${slow} took longer than ${MOST_START_MS / 1000} s`);
  return isKept(total) && slow === 0;
}
