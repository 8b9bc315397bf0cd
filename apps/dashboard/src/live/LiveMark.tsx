/** A quiet word on whether the page hears the server. */
import { relativeInstant } from '../words/dates.js';
import { useNow } from '../kit/index.js';
import { useLive } from './LiveProvider.js';

export function LiveMark() {
  const { state, lastLiveAt } = useLive();
  const now = useNow();
  const since = lastLiveAt ? relativeInstant(lastLiveAt.toISOString(), now) : null;
  const words =
    state === 'live' ? 'Live' : state === 'connecting' ? (since ? 'Reconnecting' : 'Connecting') : 'Offline';
  return (
    <output className="live" data-state={state} title={title(state)}>
      <span className="live-dot" aria-hidden="true" />
      <span className="live-words">{words}</span>
      {state === 'offline' && since && <span className="live-since">last news {since}</span>}
    </output>
  );
}

function title(state: string): string {
  if (state === 'live') return 'Results and deadlines arrive here as they happen';
  return 'What you see may be out of date; it catches up by itself';
}
