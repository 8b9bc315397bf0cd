/** Connects the feed with the answers on the page and with what is said aloud. */
import { useQueryClient, type QueryClient } from '@tanstack/react-query';
import { createContext, use, useEffect, useMemo, useState, type ReactNode } from 'react';
import type { DashboardView, FeedEvent, Person, Room, SetView } from '../contracts.js';
import { keys, type Key } from '../api/keys.js';
import { say } from './toasts.js';
import { effectsOf, gather, type Saying } from './effects.js';
import { atOnce, Gatherer, inAMoment } from './Gatherer.js';
import { patchDashboard, patchSets } from './patchAnalysis.js';
import { openLive, type LiveSocket, type LiveState } from './socket.js';

export interface Live {
  readonly state: LiveState;
  /** When the connection was last known to stand; null before the first time. */
  readonly lastLiveAt: Date | null;
  /** The page's one connection, for what is written together on it; null until it is begun. */
  readonly socket: LiveSocket | null;
}
const LiveContext = createContext<Live>({ state: 'connecting', lastLiveAt: null, socket: null });
export const useLive = (): Live => use(LiveContext);

export function LiveProvider(props: { person: Person; after: number; children: ReactNode }) {
  const { person, after } = props;
  const client = useQueryClient();
  const [live, setLive] = useState<Live>({ state: 'connecting', lastLiveAt: null, socket: null });
  const viewer = person.role === 'viewer';
  const personId = person.id;

  useEffect(() => {
    const rooms: Room[] = [...(viewer ? [] : (['team'] as const)), 'published', `person:${personId}`];
    const ask = (keysOfStale: readonly Key[]) => {
      for (const queryKey of keysOfStale) void client.invalidateQueries({ queryKey });
    };
    const gatherers: Gatherers = {
      stale: new Gatherer<Key>(nameOfKey, ask, atOnce),
      staleSoon: new Gatherer<Key>(nameOfKey, ask, inAMoment),
    };
    const { socket, close } = openLive({
      rooms,
      after,
      deliver: (events, missed) => apply(client, gatherers, events, missed),
      signedOut: () => void client.invalidateQueries({ queryKey: keys.session }),
      stateChanged: (state) =>
        setLive((was) => ({
          ...was,
          state,
          // From then on the page may have missed something, until it has caught up.
          lastLiveAt: state === 'live' || was.state === 'live' ? new Date() : was.lastLiveAt,
        })),
    });
    setLive((was) => ({ ...was, socket }));
    return close;
    // `after` is where this page's first answers stood; later numbers are the followers' own business.
    // oxlint-disable-next-line react/exhaustive-deps
  }, [client, viewer, personId]);

  const value = useMemo(() => live, [live]);
  return <LiveContext value={value}>{props.children}</LiveContext>;
}

interface Gatherers {
  readonly stale: Gatherer<Key>;
  readonly staleSoon: Gatherer<Key>;
}
const nameOfKey = (key: Key): string => key.join('/');

function apply(
  client: QueryClient,
  { stale, staleSoon }: Gatherers,
  events: readonly FeedEvent[],
  missed: number,
): void {
  const sayings: Saying[] = [];
  for (const event of events) {
    const effects = effectsOf(event);
    stale.add(effects.stale);
    staleSoon.add(effects.staleSoon ?? []);
    if (effects.analysis) {
      const next = effects.analysis;
      client.setQueryData<DashboardView>(keys.dashboard, (view) => view && patchDashboard(view, next));
      const sets = client.getQueryData<SetView[]>(keys.sets(next.unitId));
      const patched = sets && patchSets(sets, next);
      if (patched) client.setQueryData(keys.sets(next.unitId), patched);
      else if (sets) stale.add([keys.sets(next.unitId)]);
    }
    if (effects.saying) sayings.push(effects.saying);
  }
  for (const saying of missed > 0 ? gather(sayings) : sayings) say(saying);
}
