/**
 * From asking for an analysis to its result on a dashboard, beyond the computing itself: the request over HTTP, three
 * jobs through the queue, each with its transaction, its line to the dashboards and its thread or process, the last
 * event on a socket. What the house notes as computed (`computeMs`: reading, analysing and drawing as the worker waited
 * for them) is taken off. The peer is the time it may take.
 *
 * One small set after another on an installation that is warm and has nothing else to do; every set has numbers of its
 * own, so that nothing is answered by an earlier result.
 */
import { measurementSet } from '../../seed/files/measurementSet.js';
import { follow, makeUnit, type Visitor } from '../seams/visitor.js';
import type { FeedEvent } from '../../libs/contracts/index.js';
import { inHouse } from './house.js';
import { againstLimit, type BenchRow } from './row.js';

const RUNS = 100;
const WARM_UP = 10;
const MAY_TAKE_MS = 50;
const PATIENCE_MS = 30_000;

export function benchArrival(): Promise<readonly BenchRow[]> {
  return inHouse(async ({ host }) => {
    const { unit } = await makeUnit(host);
    const { socket } = await follow(host);
    const beyond: number[] = [];
    for (let run = -WARM_UP; run < RUNS; run++) {
      const setId = await sendSet(host, unit.id, run + WARM_UP + 1);
      const finished = nextFinished(socket);
      const began = performance.now();
      const { id } = await host.client.requestAnalysis(setId);
      const { at, event } = await finished;
      const { computeMs, state } = await host.client.analysis(id);
      if (event.payload.id !== id || state !== 'done' || computeMs === null)
        throw new Error(`The analysis of run ${run} is ${state}: ${JSON.stringify(event)}`);
      if (run >= 0) beyond.push(at - began - computeMs);
    }
    socket.close();
    return [row('half of all', 0.5, beyond), row('99 of 100', 0.99, beyond)];
  });
}

async function sendSet(host: Visitor, unitId: string, seed: number): Promise<string> {
  const { id } = await host.client.addSet(unitId, { name: `at the terminals, ${seed}` });
  for (const { name, bytes } of measurementSet('sedge-5', { seed, parts: ['impedance'] })) {
    const answer = await host.put(id, name, bytes);
    if (!answer.ok) throw new Error(`${name} was answered ${answer.status}: ${await answer.text()}`);
  }
  return id;
}

type Finished = Extract<FeedEvent, { type: 'analysis-finished' }>;

function nextFinished(
  socket: Awaited<ReturnType<typeof follow>>['socket'],
): Promise<{ at: number; event: Finished }> {
  return new Promise((resolve, reject) => {
    const patience = setTimeout(() => reject(new Error('The analysis did not end in time.')), PATIENCE_MS);
    const hear = (event: FeedEvent): void => {
      if (event.type !== 'analysis-finished') return;
      socket.off('event', hear);
      clearTimeout(patience);
      resolve({ at: performance.now(), event });
    };
    socket.on('event', hear);
  });
}

function row(which: string, share: number, beyond: readonly number[]): BenchRow {
  const ours = beyond.toSorted((a, b) => a - b)[Math.ceil(share * beyond.length) - 1];
  const name = `a result on a dashboard, beyond its computing: ${which} within`;
  return againstLimit(name, ours, MAY_TAKE_MS, RUNS);
}
