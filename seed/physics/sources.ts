import { alignment } from './alignment.js';
import { add, fromDecibels, multiply, scale, type Complex, type Spectrum } from './complex.js';
import { transferOf } from './filterParts.js';
import type { FrequencyGrid } from './frequencyGrid.js';
import type { Driver, PanelResonance } from './loudspeaker.js';
import { resonator, type Transfer } from './transfer.js';

/** Half-space pressure at 1 m, re 20 micropascal for 2.83 V, of a driver's cone and of its vent. */
export function driverSources(driver: Driver, voicing: Transfer): { cone: Transfer; vent: Transfer } {
  const drive = transferOf([...driver.filters, ...(driver.cone ?? [])]);
  const level = fromDecibels(driver.halfSpaceDb);
  const low = driver.box ? alignment(driver.box) : undefined;
  const common: Transfer = (hz) => scale(multiply(drive(hz), voicing(hz)), level);
  const pipe = driver.vent?.pipe;
  const leak = pipe && resonator(pipe.hz, pipe.q);
  return {
    cone: (hz) => (low ? multiply(common(hz), low.cone(hz)) : common(hz)),
    vent: (hz) => {
      const tuned = low ? low.vent(hz) : { re: 0, im: 0 };
      const leaked = leak && pipe ? scale(leak(hz), fromDecibels(pipe.levelDb)) : { re: 0, im: 0 };
      return multiply(common(hz), add(tuned, leaked));
    },
  };
}

/** A wall is shaken by the sum of all cones. */
export function panelStrength(
  panel: PanelResonance,
  cones: readonly Spectrum[],
  grid: FrequencyGrid,
): Spectrum {
  const ring = resonator(panel.hz, panel.q);
  const level = fromDecibels(panel.levelDb);
  const spectrum = emptySpectrum(grid);
  grid.frequencyHz.forEach((hz, bin) => {
    let shaken: Complex = { re: 0, im: 0 };
    for (const cone of cones) shaken = add(shaken, { re: cone.re[bin], im: cone.im[bin] });
    put(spectrum, bin, scale(multiply(ring(hz), shaken), level));
  });
  return spectrum;
}

export function sampled(transfer: Transfer, grid: FrequencyGrid): Spectrum {
  const spectrum = emptySpectrum(grid);
  grid.frequencyHz.forEach((hz, bin) => put(spectrum, bin, transfer(hz)));
  return spectrum;
}

export function emptySpectrum(grid: FrequencyGrid): Spectrum {
  return { re: new Float64Array(grid.frequencyHz.length), im: new Float64Array(grid.frequencyHz.length) };
}

function put(spectrum: Spectrum, bin: number, value: Complex): void {
  spectrum.re[bin] = value.re;
  spectrum.im[bin] = value.im;
}
