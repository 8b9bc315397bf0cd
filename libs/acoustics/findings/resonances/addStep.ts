/**
 * Adds a step's level, dB, to `out` (length of `hz`): level / (1 + (fc / f)^sharpness), that is 0 far below
 * the centre, half at it and all of it far above; writes derivatives when asked.
 */
export function addStep(
  hz: Float64Array,
  step: { readonly lnCentre: number; readonly levelDb: number; readonly lnSharpness: number },
  out: Float64Array,
  columns?: {
    readonly jacobian: Float64Array;
    readonly lnCentre: number;
    readonly level: number;
    readonly lnSharpness: number;
  },
): void {
  const sharpness = Math.exp(step.lnSharpness);
  for (let i = 0; i < hz.length; i++) {
    const distance = Math.log(hz[i]) - step.lnCentre;
    const share = 1 / (1 + Math.exp(-sharpness * distance));
    out[i] += step.levelDb * share;
    if (!columns) continue;
    const byArgument = step.levelDb * share * (1 - share);
    columns.jacobian[columns.lnCentre + i] = -byArgument * sharpness;
    columns.jacobian[columns.level + i] = share;
    columns.jacobian[columns.lnSharpness + i] = byArgument * sharpness * distance;
  }
}
