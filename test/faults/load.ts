/** People at work while faults strike: they add, edit, upload and ask for analyses, and write down what they were told. */
import { setTimeout as sleep } from 'node:timers/promises';
import { Refused, statesAtWork } from '../../libs/contracts/index.js';
import { measurementSet } from '../../seed/files/measurementSet.js';
import type { Visitor } from '../seams/visitor.js';
import { sha256, type Ledger } from './ledger.js';
import { hostOf, type World } from './world.js';

/** A client that got no answer tries again about as fast as a person. */
const PAUSE_MS = 30;
/** People look at what they have before they measure on; more would only fill the queue. */
const ANALYSES_AT_ONCE = 3;
const LOOK_MS = 100;

export interface Load {
  /** When each acknowledged write began and ended, ms of the monotonic clock. */
  readonly answers: readonly { readonly began: number; readonly ended: number }[];
  stop(): Promise<void>;
}

/** `now` gives the world as it is at each step: addresses change with restarts. */
export function startLoad(now: () => World, run: number, ledger: Ledger): Load {
  const stopping = new AbortController();
  const answers: { began: number; ended: number }[] = [];
  const loop = async (step: (host: Visitor, count: number) => Promise<void>): Promise<void> => {
    for (let count = 0; !stopping.signal.aborted; count++) {
      const began = performance.now();
      try {
        await step(hostOf(now()), count);
        answers.push({ began, ended: performance.now() });
      } catch (error) {
        if (isSurprise(error)) ledger.surprises.push(error instanceof Error ? error.message : String(error));
        await sleep(PAUSE_MS);
      }
    }
  };
  const underWay: string[] = [];
  const loops = [
    loop((host, count) => addMaker(host, `maker ${run}.${count}`, ledger)),
    loop((host) => edit(host, now().editedMakerId, ledger)),
    loop(async (host, count) => {
      await untilFew(host, underWay, stopping.signal);
      underWay.push(await measure(host, now().unitId, `set ${run}.${count}`, run * 1000 + count, ledger));
    }),
  ];
  return {
    answers,
    stop: async () => {
      stopping.abort();
      await Promise.all(loops);
    },
  };
}

/** Broken connections and a server that says it is unwell are what faults look like; a refusal is not. */
function isSurprise(error: unknown): boolean {
  return error instanceof Refused && error.status < 500;
}

async function addMaker(host: Visitor, name: string, ledger: Ledger): Promise<void> {
  ledger.unanswered.add(name);
  const { id } = await host.client.addMaker({ name });
  ledger.acknowledged.set(name, id);
  ledger.unanswered.delete(name);
}

async function edit(host: Visitor, id: string, ledger: Ledger): Promise<void> {
  const { version } = await host.client.maker(id);
  ledger.unansweredEdits++;
  try {
    await host.client.changeMaker(id, { version, notes: `edited at version ${version}` });
  } catch (error) {
    // Refused: it was surely not done.
    if (error instanceof Refused && error.status < 500) ledger.unansweredEdits--;
    throw error;
  }
  ledger.unansweredEdits--;
  ledger.edits++;
}

async function untilFew(host: Visitor, underWay: string[], signal: AbortSignal): Promise<void> {
  while (underWay.length >= ANALYSES_AT_ONCE && !signal.aborted) {
    const { state } = await host.client.analysis(underWay[0]);
    if (statesAtWork.some((atWork) => atWork === state)) await sleep(LOOK_MS);
    else underWay.shift();
  }
}

/** @returns the id of the analysis asked for */
async function measure(
  host: Visitor,
  unitId: string,
  name: string,
  seed: number,
  ledger: Ledger,
): Promise<string> {
  const set = await host.client.addSet(unitId, { name });
  for (const file of measurementSet('sedge-5', { seed, parts: ['impedance'] })) {
    const answer = await host.put(set.id, file.name, file.bytes);
    if (!answer.ok) throw new Error(`${answer.status} for a file`);
    const kept = (await host.client.set(set.id)).files.find((one) => one.name === file.name);
    if (kept) ledger.files.push({ fileId: kept.id, sha256: sha256(file.bytes) });
    else ledger.surprises.push(`${file.name} of ${name} was acknowledged and is not in its set`);
  }
  const { id } = await host.client.requestAnalysis(set.id);
  ledger.analyses.push(id);
  return id;
}
