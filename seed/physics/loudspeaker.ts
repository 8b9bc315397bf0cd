import type { Box } from './alignment.js';
import type { Baffle, Point } from './geometry.js';
import type { SourceShape } from './sourceDirectivity.js';

/** One stage of the voltage's way to a driver, or of the cone's own behaviour. */
export type FilterPart =
  | {
      readonly kind: 'linkwitz-riley';
      readonly pass: Pass;
      readonly order: 2 | 4 | 6 | 8;
      readonly hz: number;
    }
  | { readonly kind: 'butterworth'; readonly pass: Pass; readonly order: number; readonly hz: number }
  | { readonly kind: 'peaking'; readonly hz: number; readonly gainDb: number; readonly q: number }
  | { readonly kind: 'high-shelf'; readonly hz: number; readonly gainDb: number }
  | { readonly kind: 'delay'; readonly microseconds: number }
  | { readonly kind: 'inverted' };
type Pass = 'lowpass' | 'highpass';

/** What decides how far a driver must move and how it distorts. */
export interface Motor {
  readonly areaM2: number;
  /** One-way excursion at which distortion reaches about 10 %. */
  readonly limitMm: number;
  /** Percent of the fundamental at 86 dB from causes other than excursion, second and third order. */
  readonly residualPercent: { readonly second: number; readonly third: number };
  /** Level at 1 m at which heating has cost 1 dB. */
  readonly heatLimitDb: number;
}

/** Electrical data of a driver on a passive crossover. */
export interface VoiceCoil {
  readonly resistanceOhm: number;
  readonly resonanceHz: number;
  readonly mechanicalQ: number;
  readonly electricalQ: number;
  /** Lossy inductance K (j w)^n (Leach 2002, "Loudspeaker voice-coil inductance losses", JAES 50). */
  readonly lossyInductance: { readonly k: number; readonly n: number };
  /** Ladder from the terminals to the coil. */
  readonly network: readonly LadderPart[];
}

export type LadderPart =
  | { readonly place: 'series' | 'shunt'; readonly element: 'resistor'; readonly ohm: number }
  | {
      readonly place: 'series' | 'shunt';
      readonly element: 'inductor';
      readonly millihenry: number;
      readonly ohm: number;
    }
  | { readonly place: 'series' | 'shunt'; readonly element: 'capacitor'; readonly microfarad: number }
  | {
      readonly place: 'shunt';
      readonly element: 'damped-capacitor';
      readonly microfarad: number;
      readonly ohm: number;
    };

export interface Vent {
  readonly position: Point;
  /** Standing wave along the vent that leaks out of its mouth. */
  readonly pipe?: { readonly hz: number; readonly q: number; readonly levelDb: number };
}

export interface Driver {
  readonly name: string;
  readonly position: Point;
  readonly shape: SourceShape;
  /** SPL at 1 m for 2.83 V into a half space in the flat range, after any padding. */
  readonly halfSpaceDb: number;
  readonly box?: Box;
  readonly vent?: Vent;
  /** Crossover and voicing: acts on the voltage. */
  readonly filters: readonly FilterPart[];
  /** The moving part's own resonances and upper limit: acts on harmonics too. */
  readonly cone?: readonly FilterPart[];
  readonly motor: Motor;
  readonly coil?: VoiceCoil;
}

/** A wall of the cabinet that rings: a small source of its own, seen in every direction and in the impedance. */
export interface PanelResonance {
  readonly hz: number;
  readonly q: number;
  /** Level of its sound at resonance relative to the driver that feeds it, dB. */
  readonly levelDb: number;
  readonly position: Point;
  /** Part of the impedance by which it wrinkles. */
  readonly impedanceShare: number;
}

/** cabinet: closed at the back; wall: flush in a large wall, nothing behind; open: a panel free on both sides. */
export type Mounting = 'cabinet' | 'wall' | 'open';

export interface Loudspeaker {
  readonly mounting: Mounting;
  readonly baffle: Baffle;
  readonly depthM: number;
  readonly edgeRadiusM: number;
  readonly drivers: readonly Driver[];
  readonly panels: readonly PanelResonance[];
  /** Filters common to all drivers (an active unit's equaliser, or the sum of a passive one's voicing). */
  readonly voicing: readonly FilterPart[];
}
