/** Both orbits of an invented loudspeaker as one small table, shaped by four numbers. */

export interface InventedOrbits {
  /** On axis, above 1 kHz down and below up; dB per octave. */
  readonly tiltDbPerOctave?: number;
  /** Second-order roll-off (Butterworth): its -3 dB frequency. */
  readonly cornerHz?: number;
  /** Level lost at 90 degrees per octave above 200 Hz, dB. */
  readonly beaming?: number;
  readonly levelDb?: number;
}

const POINTS_PER_OCTAVE = 12;
const angles = Array.from({ length: 36 }, (_, index) => -170 + 10 * index);

export function inventedOrbits(shape: InventedOrbits = {}): { name: string; bytes: Uint8Array } {
  const { tiltDbPerOctave = 0, cornerHz = 50, beaming = 1.5, levelDb = 86 } = shape;
  const columns = [...angles.map((angle) => `h${angle}`), ...angles.map((angle) => `v${angle}`)];
  const lines = [`frequency_hz,${columns.join(',')}`];
  for (let step = 0; step <= 10 * POINTS_PER_OCTAVE; step++) {
    const hz = 19.8 * 2 ** (step / POINTS_PER_OCTAVE);
    const onAxis =
      levelDb - tiltDbPerOctave * Math.log2(hz / 1000) - 10 * Math.log10(1 + (cornerHz / hz) ** 4);
    const lost = beaming * Math.max(0, Math.log2(hz / 200));
    const levels = [...angles, ...angles].map((angle) =>
      (onAxis - lost * (1 - Math.cos((angle * Math.PI) / 180))).toFixed(3),
    );
    lines.push(`${hz.toFixed(3)},${levels.join(',')}`);
  }
  return { name: 'orbits.csv', bytes: Buffer.from(`${lines.join('\r\n')}\r\n`) };
}

/** A resonance peak on a flat impedance. */
export function inventedImpedance(flatOhm: number): { name: string; bytes: Uint8Array } {
  const lines = ['frequency_hz,impedance_ohm,phase_deg'];
  for (let step = 0; step <= 10 * POINTS_PER_OCTAVE; step++) {
    const hz = 19.8 * 2 ** (step / POINTS_PER_OCTAVE);
    const detune = 4 * (hz / 60 - 60 / hz);
    const peak = (20 - flatOhm) / (1 + detune ** 2);
    lines.push(`${hz.toFixed(3)},${(flatOhm + peak).toFixed(3)},${(-peak * detune).toFixed(3)}`);
  }
  return { name: 'impedance.csv', bytes: Buffer.from(`${lines.join('\r\n')}\r\n`) };
}
