/** Sets of measurements, sent and analysed as people do it. */
import type { FeedEvent } from '../../../libs/contracts/index.js';
import { measurementSet } from '../../../seed/files/measurementSet.js';
import type { DataFile } from '../../../seed/files/dataFile.js';
import { follow, type Visitor } from '../../seams/visitor.js';

const PATIENCE_MS = 120_000;

/** 81 files: both orbits, impedance, distortion, compression, multitone. */
export const fullSet = (seed: number): readonly DataFile[] => measurementSet('sedge-5', { seed });
export const smallSet = (seed: number): readonly DataFile[] =>
  measurementSet('sedge-5', { seed, parts: ['impedance'] });

export async function sendSet(
  host: Visitor,
  unitId: string,
  name: string,
  files: readonly DataFile[],
): Promise<string> {
  const { id } = await host.client.addSet(unitId, { name });
  for (const { name: file, bytes } of files) {
    const answer = await host.put(id, file, bytes);
    if (!answer.ok) throw new Error(`${file} was answered ${answer.status}: ${await answer.text()}`);
  }
  return id;
}

export interface Watching {
  /** @returns when the dashboard heard of it, ms on the clock of `performance.now()` */
  heard(isMeant: (event: FeedEvent) => boolean): Promise<number>;
  close(): void;
}

/** An open dashboard that notes when it heard of what. */
export async function watch(host: Visitor, after: number): Promise<Watching> {
  const { socket } = await follow(host, 'team', after);
  const known: { readonly at: number; readonly event: FeedEvent }[] = [];
  const waiting = new Set<() => void>();
  socket.on('event', (event: FeedEvent) => {
    known.push({ at: performance.now(), event });
    for (const look of waiting) look();
  });
  return {
    heard: (isMeant) =>
      new Promise((resolve, reject) => {
        const patience = setTimeout(
          () => reject(new Error('What was waited for did not come.')),
          PATIENCE_MS,
        );
        const look = () => {
          const found = known.find(({ event }) => isMeant(event));
          if (!found) return;
          clearTimeout(patience);
          waiting.delete(look);
          resolve(found.at);
        };
        waiting.add(look);
        look();
      }),
    close: () => void socket.disconnect(),
  };
}

export const endOf =
  (analysisId: string) =>
  (event: FeedEvent): boolean =>
    event.type === 'analysis-finished' && event.payload.id === analysisId;

/** @returns ms from asking until a dashboard hears of the result */
export async function analysed(
  host: Visitor,
  watching: Watching,
  setId: string,
  settings: NonNullable<Parameters<Visitor['client']['requestAnalysis']>[1]>['settings'] = {},
): Promise<number> {
  const began = performance.now();
  const { id } = await host.client.requestAnalysis(setId, { settings });
  const at = await watching.heard(endOf(id));
  const { state } = await host.client.analysis(id);
  if (state !== 'done') throw new Error(`An analysis of set ${setId} is ${state}.`);
  return at - began;
}
