import { levenbergMarquardt } from '../../libs/acoustics/fitting/levenbergMarquardt.js';
import { logGridHz } from '../../libs/acoustics/grid/logGridHz.js';
import { agree } from './agree.js';
import { pairedMedians } from './pairedMedians.js';
import { type BellProblem, bellProblem, bellsDb } from './bells.js';
import type { BenchRow } from './row.js';
import { scipyPeer } from './scipyPeer.js';

const RUNS = 31;
const RATE_HZ = 48_000;
const GRID_HZ = logGridHz(20, 20_000);
/** [frequency Hz, gain dB, Q] of what is to be found, and how far off the start is. */
const WANTED: readonly (readonly [number, number, number])[] = [
  [62, 4, 1.4],
  [180, -3, 2.5],
  [640, 2.5, 4],
  [1700, -4, 1.8],
  [4200, 3, 3],
  [11_000, -2.5, 1.2],
];
const JOB = 'fit of 6 filters (18 parameters, 280 points)';

/** The least squares behind the equaliser proposal against scipy's, both with the same derivatives. */
export async function benchEqualiser(): Promise<readonly BenchRow[]> {
  const problem = bellProblem(GRID_HZ, target(), RATE_HZ);
  const start = WANTED.flatMap(([hz, gain, q]) => [Math.log(hz * 1.12), gain * 0.5, Math.log(q * 0.7)]);
  const peer = await scipyPeer('scipy_peer.py', peerSettings(start));
  if (!peer) {
    console.error('No Python with scipy was found (SOJOURN_PYTHON names one): its row is left out.');
    return [];
  }
  try {
    let fitted: Float64Array = new Float64Array();
    let check: readonly number[] = [];
    const [ours, theirs] = await pairedMedians(
      [
        () => {
          const begun = performance.now();
          fitted = levenbergMarquardt(problem, start, {
            relativeTolerance: 1e-9,
            maximumIterations: 100,
          }).parameters;
          return performance.now() - begun;
        },
        async () => {
          const answer = await peer.ask('go');
          check = answer.check;
          return answer.milliseconds;
        },
      ],
      RUNS,
    );
    agree(JOB, [...bellsDb(problem, fitted)], check, 0.01);
    const name = `${JOB}, against scipy ${peer.version}`;
    return [{ name, ours, peer: theirs, unit: 'ms', higherIsBetter: false, runs: RUNS }];
  } finally {
    peer.stop();
  }
}

/** The wanted filters and a ripple no filter can follow. */
function target(): Float64Array {
  const empty: BellProblem = bellProblem(GRID_HZ, new Float64Array(GRID_HZ.length), RATE_HZ);
  const wanted = Float64Array.from(WANTED.flatMap(([hz, gain, q]) => [Math.log(hz), gain, Math.log(q)]));
  return bellsDb(empty, wanted).map((db, i) => db + 0.2 * Math.sin(1.7 * i));
}

function peerSettings(start: readonly number[]): object {
  return { job: 'equaliser', gridHz: [...GRID_HZ], targetDb: [...target()], sampleRateHz: RATE_HZ, start };
}
