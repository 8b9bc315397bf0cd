import type { AngleResponse, MicrophoneCalibration, QualityFinding } from '../series.js';
import { findReflection } from './findReflection.js';
import { impulseCurve } from './impulseCurve.js';
import { impulseGridHz } from './impulseGridHz.js';
import { type ImpulseWindow, impulseWindow } from './impulseWindow.js';
import type { LocatedImpulse } from './locatedImpulse.js';
import { microphoneDeviation } from './microphoneDeviation.js';
import type { Notice } from './notice.js';
import { type ImpulseNoise, impulseNoise } from './impulseNoise.js';
import { noiseFinding } from './noiseFinding.js';
import { windowFindings } from './windowFindings.js';

const NEAR_AXIS_DEG = 30;

/**
 * Impulse responses of one set to frequency responses, all through one window.
 *
 * @param gateMs where the operator ends the window; absent: found from the data
 * @returns one response per impulse that leaves any, the window stated, and what else was noticed
 */
export function impulseAngles(
  impulses: readonly LocatedImpulse[],
  calibrations: readonly MicrophoneCalibration[],
  gateMs?: number,
): { angles: AngleResponse[]; notices: Notice[]; quality: QualityFinding[] } {
  if (impulses.length === 0) return { angles: [], notices: [], quality: [] };
  const window = impulseWindow(
    impulses.map(({ extent }) => extent),
    nearAxis(impulses).map(({ samples, extent }) => findReflection(samples, extent)),
    gateMs === undefined ? undefined : gateMs / 1000,
  );
  const gridFor = gridMaker(window);
  const notices: Notice[] = [];
  const angles: AngleResponse[] = [];
  const noisy: { impulse: LocatedImpulse; noise: ImpulseNoise }[] = [];
  for (const impulse of impulses) {
    const { orbit, angleDeg, source } = impulse;
    const { file } = source;
    const deviation = microphoneDeviation(source, calibrations);
    if (deviation === 'unassigned') notices.push({ code: 'microphone-unassigned', file });
    if (impulse.fullScaleDb === undefined) notices.push({ code: 'levels-relative', file });
    const frequencyHz = gridFor(impulse);
    if (frequencyHz.length < 2) {
      notices.push({
        code: 'window-leaves-nothing',
        file,
        detail: `from ${Math.round(window.lowLimitHz)} Hz up`,
      });
      continue;
    }
    const curve = impulseCurve(
      impulse,
      window,
      frequencyHz,
      deviation === 'unassigned' ? () => 0 : deviation,
    );
    angles.push({ ...curve, orbit, angleDeg, source });
    const noise = impulseNoise(impulse, window, curve);
    if (noise && noise.drownedHz.length > 0) noisy.push({ impulse, noise });
  }
  const quality = windowFindings(impulses, window);
  const noise = noiseFinding(noisy);
  return { angles, notices, quality: noise ? [...quality, noise] : quality };
}

/** Those whose direct sound is strong: behind a cabinet its own edges are as loud. All of them where none is near. */
function nearAxis(impulses: readonly LocatedImpulse[]): readonly LocatedImpulse[] {
  const near = impulses.filter(({ angleDeg }) => Math.abs(angleDeg) <= NEAR_AXIS_DEG);
  return near.length > 0 ? near : impulses;
}

/** Responses of one kind share one frequency column. */
function gridMaker(window: ImpulseWindow): (impulse: LocatedImpulse) => Float64Array {
  const made = new Map<string, Float64Array>();
  return (impulse) => {
    const key = [...impulse.bandHz, impulse.extent.sampleRateHz].join();
    const grid = made.get(key) ?? impulseGridHz(impulse, window);
    made.set(key, grid);
    return grid;
  };
}
