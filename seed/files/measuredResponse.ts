import { fromDecibels, type Spectrum } from '../physics/complex.js';
import type { FrequencyGrid } from '../physics/frequencyGrid.js';
import { pressureAt, type MicrophonePlace, type PreparedLoudspeaker } from '../physics/radiation.js';
import { bellShaped, type Random } from '../physics/random.js';

/** Voltage that sensitivities are stated for. */
export const REFERENCE_VOLTS = 2.83;

/** What is left of reflections in a good room, relative to what the microphone would hear on axis. */
const SCATTER_DB = -66;

/**
 * A unit's response at one microphone place as a careful measurement would show it: re 20 micropascal, at the
 * stated voltage, with a level error of a few hundredths of a dB, a slow ripple of the same order and a little
 * of the room.
 */
export function measuredResponse(
  prepared: PreparedLoudspeaker,
  axis: Spectrum,
  place: MicrophonePlace,
  driveVolts: number,
  random: Random,
): Spectrum {
  const pressure = pressureAt(prepared, place);
  const drive = driveVolts / REFERENCE_VOLTS;
  const rippleDb = smallRipple(prepared.grid, random);
  const scatter = fromDecibels(SCATTER_DB);
  const re = new Float64Array(pressure.re.length);
  const im = new Float64Array(pressure.re.length);
  for (let bin = 0; bin < re.length; bin++) {
    const factor = drive * fromDecibels(rippleDb[bin]);
    const heard = Math.sqrt(axis.re[bin] * axis.re[bin] + axis.im[bin] * axis.im[bin]);
    const room = heard * scatter * drive * Math.SQRT1_2;
    re[bin] = pressure.re[bin] * factor + room * bellShaped(random);
    im[bin] = pressure.im[bin] * factor + room * bellShaped(random);
  }
  return { re, im };
}

/** dB per grid frequency: a level error and three slow waves over the octaves. */
export function smallRipple(grid: FrequencyGrid, random: Random): Float64Array {
  const levelDb = 0.03 * bellShaped(random);
  const waves = [0.35, 0.8, 1.7].map((cyclesPerOctave) => ({
    sizeDb: 0.02 * bellShaped(random),
    cyclesPerOctave,
    phase: 2 * Math.PI * random(),
  }));
  return grid.frequencyHz.map((hz) => {
    const octaves = Math.log2(hz / 1000);
    return waves.reduce(
      (sum, wave) => sum + wave.sizeDb * Math.sin(2 * Math.PI * wave.cyclesPerOctave * octaves + wave.phase),
      levelDb,
    );
  });
}

export function phasesDeg(spectrum: Spectrum): Float64Array {
  return spectrum.re.map((re, bin) => (Math.atan2(spectrum.im[bin], re) * 180) / Math.PI);
}
