import type { AngleResponse } from '../series.js';
import { angleKey } from './angleKey.js';
import { nominalAngleDeg } from './nominalAngleDeg.js';

/** Responses of one orbit and nominal angle together, in the order given. */
export function groupByAngle(responses: readonly AngleResponse[]): AngleResponse[][] {
  const groups = new Map<string, AngleResponse[]>();
  for (const response of responses) {
    const key = angleKey(response.orbit, nominalAngleDeg(response.angleDeg));
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [response]);
    else group.push(response);
  }
  return [...groups.values()];
}
