import type { Curves, Flatness } from '../analysis.js';

const BAND_HZ = [100, 10_000] as const;
const LEAST_OCTAVES = 3;

/**
 * The smallest +- window, in dB, that holds each curve between 100 Hz and 10 kHz: half the distance from
 * its lowest to its highest point. Windows of +-1.5 and +-3 dB are how flatness is usually judged (common
 * practice, no source).
 *
 * @returns `bandHz` says the band used where the data is shorter; undefined under three octaves
 */
export function flatness(
  frequencyHz: ArrayLike<number>,
  { onAxis, listeningWindow }: Pick<Curves, 'onAxis' | 'listeningWindow'>,
): Flatness | undefined {
  const inside = Array.from({ length: frequencyHz.length }, (_, i) => i).filter(
    (i) => frequencyHz[i] >= BAND_HZ[0] * (1 - 1e-9) && frequencyHz[i] <= BAND_HZ[1] * (1 + 1e-9),
  );
  const [first, last] = [inside[0], inside.at(-1)];
  if (first === undefined || last === undefined || (!onAxis && !listeningWindow)) return undefined;
  const fromHz = frequencyHz[first];
  const toHz = frequencyHz[last];
  if (Math.log2(toHz / fromHz) < LEAST_OCTAVES) return undefined;
  return {
    bandHz: [nearly(fromHz, BAND_HZ[0]), nearly(toHz, BAND_HZ[1])],
    ...(onAxis && { onAxisWithinDb: halfSpan(onAxis.slice(first, last + 1)) }),
    ...(listeningWindow && { listeningWindowWithinDb: halfSpan(listeningWindow.slice(first, last + 1)) }),
  };
}

/** The band's own edge where the grid point stands next to it. */
function nearly(hz: number, edgeHz: number): number {
  return Math.abs(hz / edgeHz - 1) < 0.03 ? edgeHz : hz;
}

function halfSpan(values: readonly number[]): number {
  return (Math.max(...values) - Math.min(...values)) / 2;
}
