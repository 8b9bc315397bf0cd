import { verticalNulls } from '../directivity/verticalNulls.js';
import type { Directivity } from '../orbits/directivity.js';
import type { Orbit, QualityFinding } from '../series.js';
import { bandIndices } from './bandIndices.js';
import { levelEvidence } from './levelEvidence.js';
import { median } from './median.js';
import type { QualityContext } from './qualityContext.js';
import { rms } from './rms.js';
import { sidePairs } from './sidePairs.js';

/** Where crossovers are. */
const BAND_HZ = [500, 5000] as const;
const FROM_DEG = 20;
const TO_DEG = 80;
const LEAST_PAIRS = 4;
const LEAST_HOLE_DB = 8;
/** Up and down differ, left and right hardly: when it is so much the other way round, it is no design. */
const LOPSIDED_DB = 3;
const LOPSIDED_RATIO = 3;

/**
 * The vertical orbit looks like a horizontal one and the other way round. Drivers stand above each other:
 * around the crossover the vertical orbit has holes and differs up and down, the horizontal one is smooth.
 *
 * Two drivers side by side (many centre loudspeakers) do the same rightly, which the message says; so it
 * blocks only where the sides also differ as no such design does.
 */
export function swappedOrbits(context: QualityContext): QualityFinding[] {
  const { directivity } = context;
  const horizontal = lopsidedness(context, 'horizontal');
  const vertical = lopsidedness(context, 'vertical');
  if (horizontal === undefined || vertical === undefined || directivity === undefined) return [];
  const holes = (['horizontal', 'vertical'] as const).map((orbit) => deepestHole(directivity, orbit));
  const holesExchanged = holes[0] >= LEAST_HOLE_DB && holes[1] === 0;
  const sidesExchanged = horizontal >= LOPSIDED_DB && horizontal >= LOPSIDED_RATIO * vertical;
  if (!holesExchanged && !sidesExchanged) return [];
  const shown = (['horizontal', 'vertical'] as const).flatMap((orbit) =>
    [30, -30].flatMap(
      (angleDeg) => context.orbits[orbit].find((angle) => angle.angleDeg === angleDeg)?.angle ?? [],
    ),
  );
  const why = holesExchanged
    ? `The horizontal orbit has a hole of ${holes[0].toFixed(0)} dB around a crossover, the vertical one none`
    : `Left and right differ by ${horizontal.toFixed(1)} dB RMS in shape, up and down by only ${vertical.toFixed(1)} dB`;
  return [
    {
      severity: holesExchanged && sidesExchanged ? 'blocking' : 'check',
      code: 'swapped-orbits',
      message: `${why}: the orbits seem to be swapped. Exchange their names, unless the drivers really stand side by side.`,
      evidence: levelEvidence('+30° and -30° of both orbits', directivity.frequencyHz, shown),
    },
  ];
}

function deepestHole(directivity: Directivity, orbit: Orbit): number {
  const inBand = verticalNulls(directivity, orbit).filter(
    ({ frequencyHz }) => frequencyHz >= BAND_HZ[0] && frequencyHz <= BAND_HZ[1],
  );
  return Math.max(0, ...inBand.map(({ depthDb }) => depthDb));
}

/** RMS difference in shape of the two sides; a level step alone does not count. */
function lopsidedness(context: QualityContext, orbit: Orbit): number | undefined {
  const bands = bandIndices(context.bandHz, ...BAND_HZ);
  const pairs = sidePairs(context, orbit).filter(
    ({ angleDeg }) => angleDeg >= FROM_DEG && angleDeg <= TO_DEG,
  );
  if (pairs.length < LEAST_PAIRS || bands.length < 6) return undefined;
  return rms(
    pairs.flatMap(({ differenceDb }) => {
      const inBand = bands.map((band) => differenceDb[band]);
      const level = median(inBand);
      return inBand.map((difference) => difference - level);
    }),
  );
}
