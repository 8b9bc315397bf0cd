import type { Orbit, QualityFinding } from '../series.js';
import { angleName } from './angleName.js';
import { bandIndices } from './bandIndices.js';
import { findSteps } from './findSteps.js';
import { levelEvidence } from './levelEvidence.js';
import { orbitRing, type OrbitRing } from './orbitRing.js';
import type { QualityContext } from './qualityContext.js';

/** Directivity is smooth from angle to angle in these bands; the upper end is used only where data is short. */
const LOW_HZ = [100, 1000] as const;
const SHORT_DATA_TO_HZ = 2000;
const BLOCKING_DB = 1.5;

/** One file, or a run of neighbouring files, taken at another gain, drive or distance than the rest. */
export function levelSteps(context: QualityContext): QualityFinding[] {
  const seen = new Set<string>();
  return (['horizontal', 'vertical'] as const)
    .flatMap((orbit) => orbitSteps(context, orbit))
    .filter(({ file = '' }) => !seen.has(file) && seen.add(file));
}

function orbitSteps(context: QualityContext, orbit: Orbit): QualityFinding[] {
  const ring = orbitRing(context, orbit);
  const low = bandIndices(context.bandHz, ...LOW_HZ);
  const bands = low.length >= 6 ? low : bandIndices(context.bandHz, LOW_HZ[0], SHORT_DATA_TO_HZ);
  const levels = bands.map((band) => ring.angles.map(({ bandDb }) => bandDb[band]));
  return findSteps(levels, ring.closed).map(({ members, stepDb }) =>
    finding(context, orbit, ring, members, stepDb),
  );
}

function finding(
  context: QualityContext,
  orbit: Orbit,
  { angles }: OrbitRing,
  members: readonly number[],
  stepDb: number,
): QualityFinding {
  const first = angles[members[0]];
  const last = angles[members.at(-1) ?? members[0]];
  const before = angles[(members[0] + angles.length - 1) % angles.length];
  const after = angles[((members.at(-1) ?? members[0]) + 1) % angles.length];
  const amount = `${Math.abs(stepDb).toFixed(1)} dB ${stepDb > 0 ? 'above' : 'below'}`;
  const from = angleName(orbit, first.angleDeg);
  const what =
    members.length === 1
      ? `${from} stands ${amount} its neighbours at all low frequencies`
      : `${from} to ${angleName(orbit, last.angleDeg)} (${members.length} files) stand ${amount} the rest of the orbit at all low frequencies`;
  const shown = members.length === 1 ? [first, before, after] : [before, first, last, after];
  return {
    severity: Math.abs(stepDb) >= BLOCKING_DB ? 'blocking' : 'check',
    code: 'level-step',
    message: `${what}. Gain, drive or distance changed: measure ${members.length === 1 ? 'it' : 'them'} again with the settings of the others.`,
    file: first.angle.series.source.file,
    evidence: levelEvidence(
      `Level step at ${from}`,
      context.directivity?.frequencyHz ?? new Float64Array(),
      shown.map(({ angle }) => angle),
    ),
  };
}
