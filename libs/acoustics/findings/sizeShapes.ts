import type { CurveName, Curves } from '../analysis.js';
import type { DirectSound } from './fitDirectSound.js';
import { bellEdgesHz } from './resonances/bellEdgesHz.js';
import { evaluateModel } from './resonances/evaluateModel.js';
import { groupBells } from './resonances/groupBells.js';
import type { Bell } from './resonances/responseModel.js';
import { sizesElsewhere } from './resonances/sizesElsewhere.js';

/** Below this, re the rest, the loudspeaker has rolled off and no bell can be told from the slope. */
const ROLLED_OFF_DB = 3;
/** A bell whose upper half is cut off by the end of the data is none, unless its centre lies this far below. */
const FAR_FROM_END = 1.4;
const COMPARED: readonly CurveName[] = ['listeningWindow', 'earlyReflections', 'soundPower'];

/** A group of bells found on the direct sound, and its size in other curves as a share of its size there. */
export interface SizedShape {
  readonly bells: readonly Bell[];
  /** For those of listening window, early reflections and sound power that exist and are not the fitted curve. */
  readonly shares: ReadonlyMap<CurveName, number>;
}

/** Groups the bells of the direct sound that stand clear of its ends and roll-off, and sizes them elsewhere. */
export function sizeShapes(
  frequencyHz: readonly number[],
  curves: Curves,
  direct: DirectSound,
): readonly SizedShape[] {
  const groups = groupBells(soundBells(direct));
  const others = COMPARED.filter((name) => name !== direct.curve && curves[name]);
  const sizes = others.map((name) => {
    return sizesElsewhere(direct.data, groups, differenceTo(frequencyHz, curves, direct, name));
  });
  return groups.map((bells, k) => ({
    bells,
    shares: new Map(others.map((name, at) => [name, sizes[at][k]])),
  }));
}

function soundBells({ data, model }: DirectSound): readonly Bell[] {
  const without = { ...model, bells: [] };
  const lastHz = data.hz[data.hz.length - 1];
  return model.bells.filter((bell) => {
    const { centreHz } = bell;
    const centre = Float64Array.of(centreHz);
    const unlimited = evaluateModel({ ...without, rollOffs: [] }, centre)[0];
    const rolledOffDb = unlimited - evaluateModel(without, centre)[0];
    const isWhole = bellEdgesHz(bell)[1] < lastHz || centreHz < lastHz / FAR_FROM_END;
    return centreHz > data.hz[0] * 1.02 && isWhole && rolledOffDb < ROLLED_OFF_DB;
  });
}

function differenceTo(
  frequencyHz: readonly number[],
  curves: Curves,
  { data, curve }: DirectSound,
  other: CurveName,
): Float64Array {
  const first = frequencyHz.indexOf(data.hz[0]);
  return data.hz.map((_, i) => (curves[curve]?.[first + i] ?? 0) - (curves[other]?.[first + i] ?? 0));
}
