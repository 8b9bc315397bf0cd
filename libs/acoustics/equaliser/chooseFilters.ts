import type { CorrectionTarget } from './correctionTarget.js';
import { filterPlacements, type FilterPlacement } from './filterPlacement.js';
import { filtersCost } from './filtersCost.js';
import { fitFilters, type FittedFilters } from './fitFilters.js';

/** A filter has to take this share of the remaining squared misfit away. */
const LEAST_SHARE = 0.05;
const LEAST_GAIN_DB = 0.3;
const CLEARLY_NEEDED = 2;
const FINAL_ITERATIONS = 20;

/**
 * At most `maximumFilters` filters, each time the one that helps most and all fitted anew, until another no longer
 * pays its way; then those are dropped that the later ones have made needless.
 */
export function chooseFilters(
  target: CorrectionTarget,
  sampleRateHz: number,
  maximumFilters: number,
  maximumBoostDb: number,
  highestHz: number,
): FittedFilters {
  let open = target.shapes.flatMap((shape) => filterPlacements(shape, maximumBoostDb, highestHz));
  let best: FittedFilters = {
    placements: [],
    parameters: new Float64Array(),
    cost: filtersCost(target, sampleRateHz, [], []),
  };
  while (open.length > 0 && best.placements.length < maximumFilters) {
    const next = mostHelpful(target, sampleRateHz, best, open);
    const grown = fitFilters(
      target,
      sampleRateHz,
      [...best.placements, next],
      [...best.parameters, ...next.start],
    );
    open = open.filter((one) => one !== next);
    if (grown.cost < (1 - LEAST_SHARE) * best.cost) best = grown;
  }
  const fitted = fitFilters(target, sampleRateHz, best.placements, best.parameters, FINAL_ITERATIONS);
  return dropNeedless(target, sampleRateHz, fitted);
}

/** The placement that lowers the misfit most where it starts. */
function mostHelpful(
  target: CorrectionTarget,
  sampleRateHz: number,
  { placements, parameters }: FittedFilters,
  open: readonly FilterPlacement[],
): FilterPlacement {
  const costs = open.map((one) =>
    filtersCost(target, sampleRateHz, [...placements, one], [...parameters, ...one.start]),
  );
  return open[costs.indexOf(Math.min(...costs))];
}

function dropNeedless(target: CorrectionTarget, sampleRateHz: number, fitted: FittedFilters): FittedFilters {
  for (let filter = 0; filter < fitted.placements.length; filter++) {
    const gain = Math.abs(fitted.parameters[3 * filter + 1]);
    const others = fitted.placements.filter((_, other) => other !== filter);
    const parameters = fitted.parameters.filter((_, at) => Math.floor(at / 3) !== filter);
    // What costs many times the misfit when it is just left out can't be made needless by moving the others.
    const missed = filtersCost(target, sampleRateHz, others, parameters);
    if (gain >= LEAST_GAIN_DB && missed > CLEARLY_NEEDED * fitted.cost) continue;
    const without = fitFilters(target, sampleRateHz, others, parameters);
    if (gain < LEAST_GAIN_DB || without.cost * (1 - LEAST_SHARE) < fitted.cost) {
      return dropNeedless(target, sampleRateHz, without);
    }
  }
  return fitted;
}
