/** Says on whose clock times are, where that is not the reader's own. */
import { useHere } from '../app/session.js';
import { useNow } from '../kit/index.js';
import { isOwnClock } from '../words/houseClock.js';

export function HouseClockNote() {
  const { session } = useHere();
  const now = useNow();
  const zone = session.timeZone ?? 'UTC';
  if (isOwnClock(zone, now)) return null;
  return (
    <p className="small soft">
      Times of the plan are on the clock of the house ({zone.replaceAll('_', ' ')}), not on yours.
    </p>
  );
}
