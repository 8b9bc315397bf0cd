/** The names, units and small print of the numbers an analysis gives at a glance. */
export interface GlanceSpec {
  readonly key: string;
  readonly label: string;
  readonly unit: string;
  readonly signed?: boolean;
  readonly prefix?: string;
  readonly hint?: string;
}

export const glanceSpecs: readonly GlanceSpec[] = [
  { key: 'sensitivityDb', label: 'Sensitivity', unit: 'dB', hint: '2.83 V at 1 m, mean 300 Hz to 3 kHz' },
  { key: 'listeningWindowWithinDb', label: 'Listening window within', unit: 'dB', prefix: '±' },
  { key: 'f3Hz', label: 'Bass, 3 dB down', unit: 'Hz' },
  { key: 'f6Hz', label: 'Bass, 6 dB down', unit: 'Hz' },
  { key: 'f10Hz', label: 'Bass, 10 dB down', unit: 'Hz' },
  {
    key: 'inRoomSlopeDbPerOctave',
    label: 'In-room trend',
    unit: 'dB/octave',
    signed: true,
    hint: 'from 500 Hz up',
  },
  {
    key: 'coverageDeg',
    label: 'Horizontal coverage',
    unit: '°',
    prefix: '±',
    hint: 'to 6 dB down, 1 to 10 kHz',
  },
  { key: 'minimumOhm', label: 'Lowest impedance', unit: 'Ω' },
  { key: 'ratedOhm', label: 'Rated impedance allowed', unit: 'Ω', hint: 'IEC 60268-5' },
  {
    key: 'epdrMinimumOhm',
    label: 'Lowest EPDR',
    unit: 'Ω',
    hint: 'equivalent peak dissipation resistance: how hard it is on an amplifier',
  },
  {
    key: 'predictedPreference',
    label: 'Predicted preference',
    unit: '',
    hint: 'Olive 2004, r = 0.86 for the general model: an estimate with its spread, not a verdict',
  },
  { key: 'predictedPreferenceIgnoringBass', label: 'The same, bass ignored', unit: '' },
];

export interface Glance extends GlanceSpec {
  readonly value: number;
}

/** What the summary holds, in the order above; a number the data could not give is left out. */
export function glances(summary: Readonly<Record<string, number | string | null>> | null): Glance[] {
  return glanceSpecs.flatMap((spec) => {
    const value = summary?.[spec.key];
    return typeof value === 'number' && Number.isFinite(value) ? [{ ...spec, value }] : [];
  });
}
