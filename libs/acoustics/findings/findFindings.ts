import type { Finding } from '../analysis.js';
import { balanceFindings } from './balanceFindings.js';
import { bassLiftFinding } from './bassLiftFinding.js';
import { bassLimitFinding } from './bassLimitFinding.js';
import { bellFindings } from './bellFindings.js';
import { compressionFindings } from './compressionFindings.js';
import { coverageFindings } from './coverageFindings.js';
import { directivityFindings } from './directivityFindings.js';
import { distortionFindings } from './distortionFindings.js';
import type { FindingInputs } from './findingInputs.js';
import { fitDirectSound } from './fitDirectSound.js';
import { impedanceFindings } from './impedanceFindings.js';
import { sizeShapes } from './sizeShapes.js';
import { slowPart } from './slowPart.js';
import { verticalNullFindings } from './verticalNullFindings.js';

/**
 * Everything worth a reviewer's attention in the parts of an analysis that exist, in this order: the response
 * (peaks, dips, broad departures, tilt), the bass limit, directivity, distortion, compression, impedance.
 *
 * Sizes are dB unless the finding's `unit` says otherwise. Nothing is claimed of audibility: size, width and
 * where it stands are given instead.
 */
export function findFindings(inputs: FindingInputs): Finding[] {
  const response = responseFindings(inputs);
  return [
    ...response,
    ...bassLimitFinding(inputs.bass),
    ...verticalNullFindings(inputs.vertical),
    ...coverageFindings(inputs.horizontal, inputs.unitKind),
    ...distortionFindings(inputs.distortion, inputs.multitone),
    ...compressionFindings(inputs.compression),
    ...impedanceFindings(inputs.impedance, response),
  ];
}

function responseFindings({ frequencyHz, curves }: FindingInputs): readonly Finding[] {
  if (!frequencyHz || !curves) return [];
  const direct = fitDirectSound(frequencyHz, curves);
  if (!direct) return [];
  const shapes = sizeShapes(frequencyHz, curves, direct);
  const slow = slowPart(frequencyHz, curves, direct, shapes);
  const bells = bellFindings(shapes, direct);
  return [
    ...bassLiftFinding(direct, slow),
    ...bells,
    ...balanceFindings(slow),
    ...directivityFindings(frequencyHz, curves, bells),
  ];
}
