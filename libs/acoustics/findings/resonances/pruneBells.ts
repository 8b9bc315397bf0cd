import { refineModel, type RefinedModel } from './refineModel.js';
import type { ResponseData } from './responseModel.js';

const TRIED_AT_ONCE = 4;

/** Takes away, smallest first, every bell whose absence costs less than `leastGain` once the rest is refitted. */
export function pruneBells(data: ResponseData, fit: RefinedModel, leastGain: number): RefinedModel {
  let best = fit;
  for (;;) {
    const { bells } = best.model;
    const bySize = bells.map((_, index) => index).sort((a, b) => size(bells[a]) - size(bells[b]));
    let shorter: RefinedModel | undefined;
    for (const index of bySize.slice(0, TRIED_AT_ONCE)) {
      const trial = refineModel(data, { ...best.model, bells: bells.toSpliced(index, 1) }, 10);
      if (trial.cost - best.cost >= leastGain) continue;
      shorter = trial;
      break;
    }
    if (!shorter) return best;
    best = shorter;
  }
}

/** Energy of a bell over log frequency, in proportion. */
function size(bell: { readonly levelDb: number; readonly q: number }): number {
  return bell.levelDb ** 2 / bell.q;
}
