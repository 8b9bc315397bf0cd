import type { AnalysisSettings } from '../analysis.js';
import { meanOf } from '../levels/meanOf.js';

/**
 * The early reflections' squared pressure from the members of its five groups (floor, ceiling, front,
 * side and rear wall).
 *
 * ANSI/CTA-2034-A is read in two ways: the mean of the five groups' means, in which a floor reading weighs
 * more than a rear-wall one, or the mean of all member curves at once.
 *
 * @param groups five lists of arrays of one length
 */
export function earlyReflections(
  groups: readonly (readonly Float64Array[])[],
  reading: AnalysisSettings['earlyReflections'],
): Float64Array {
  if (reading === 'all-curves-mean') return meanOf(groups.flat());
  return meanOf(groups.map((members) => meanOf(members)));
}
