import { ventedDenominator, type Box } from './alignment.js';
import {
  add,
  complex,
  divide,
  multiply,
  parallel,
  polar,
  polynomialAt,
  scale,
  type Complex,
  type Spectrum,
} from './complex.js';
import type { FrequencyGrid } from './frequencyGrid.js';
import type { LadderPart, Loudspeaker, VoiceCoil } from './loudspeaker.js';
import { coupled, rational, resonator } from './transfer.js';

/** Impedance at the terminals of a passive unit, ohm; undefined for a unit with amplifiers of its own. */
export function terminalImpedance(loudspeaker: Loudspeaker, grid: FrequencyGrid): Spectrum | undefined {
  const branches = loudspeaker.drivers.flatMap((driver) =>
    driver.coil ? [{ coil: driver.coil, box: driver.box }] : [],
  );
  if (branches.length === 0) return undefined;
  const wrinkles = loudspeaker.panels.map((panel) =>
    coupled(panel.impedanceShare, resonator(panel.hz, panel.q * 2)),
  );
  const re = new Float64Array(grid.frequencyHz.length);
  const im = new Float64Array(grid.frequencyHz.length);
  grid.frequencyHz.forEach((hz, bin) => {
    let admittance = complex(0);
    for (const branch of branches) {
      const ends = throughLadder(branch.coil.network, coilImpedance(branch.coil, branch.box, hz), hz);
      admittance = add(admittance, divide(complex(1), ends));
    }
    let total = divide(complex(1), admittance);
    for (const wrinkle of wrinkles) total = multiply(total, wrinkle(hz));
    re[bin] = total.re;
    im[bin] = total.im;
  });
  return { re, im };
}

/** Voice coil with its motional part in the box it sits in (Small 1972 and 1973). */
export function coilImpedance(coil: VoiceCoil, box: Box | undefined, frequencyHz: number): Complex {
  const { resistanceOhm, lossyInductance } = coil;
  const w = 2 * Math.PI * frequencyHz;
  const inductance = polar(lossyInductance.k * w ** lossyInductance.n, (lossyInductance.n * Math.PI) / 2);
  const motional = scale(
    motionalShape(coil, box, frequencyHz),
    (resistanceOhm * coil.mechanicalQ) / coil.electricalQ,
  );
  return add(add(complex(resistanceOhm), inductance), motional);
}

/** Relative to the resistance Re Qms/Qes that the free driver adds at resonance. */
function motionalShape(coil: VoiceCoil, box: Box | undefined, frequencyHz: number): Complex {
  if (box?.kind !== 'vented') return resonator(coil.resonanceHz, coil.mechanicalQ)(frequencyHz);
  const tuning = coil.resonanceHz / box.boxHz;
  const placed = { ...box, driverHz: coil.resonanceHz };
  const numerator = [0, 1, tuning / box.leakQ, tuning ** 2].map((value) => value / coil.mechanicalQ);
  return rational(numerator, ventedDenominator(placed, coil.mechanicalQ), coil.resonanceHz)(frequencyHz);
}

/** The impedance seen at the amplifier's end; the ladder is listed from that end. */
export function throughLadder(ladder: readonly LadderPart[], load: Complex, frequencyHz: number): Complex {
  return ladder.reduceRight((end, part) => {
    const own = partImpedance(part, 2 * Math.PI * frequencyHz);
    return part.place === 'series' ? add(own, end) : parallel(own, end);
  }, load);
}

function partImpedance(part: LadderPart, w: number): Complex {
  switch (part.element) {
    case 'resistor':
      return complex(part.ohm);
    case 'inductor':
      return polynomialAt([part.ohm, part.millihenry / 1e3], w);
    case 'capacitor':
      return complex(0, -1e6 / (w * part.microfarad));
    case 'damped-capacitor':
      return complex(part.ohm, -1e6 / (w * part.microfarad));
  }
}

/** Parts of a second-order ladder with the Linkwitz-Riley corner `cornerHz` into a resistive `loadOhm`. */
export function secondOrderLadder(
  pass: 'lowpass' | 'highpass',
  cornerHz: number,
  loadOhm: number,
): readonly LadderPart[] {
  const w = 2 * Math.PI * cornerHz;
  const millihenry = (2e3 * loadOhm) / w;
  const microfarad = 1e6 / (2 * loadOhm * w);
  return pass === 'lowpass'
    ? [
        { place: 'series', element: 'inductor', millihenry, ohm: 0.15 },
        { place: 'shunt', element: 'capacitor', microfarad },
      ]
    : [
        { place: 'series', element: 'capacitor', microfarad },
        { place: 'shunt', element: 'inductor', millihenry, ohm: 0.3 },
      ];
}
