import type { Loudspeaker } from '../physics/loudspeaker.js';

/** Something built into a design so that analysis and listening have it to find. */
export interface PlantedFeature {
  readonly what:
    | 'resonance'
    | 'broad-excess'
    | 'broad-deficit'
    | 'interference'
    | 'vertical-null'
    | 'narrow-coverage'
    | 'bass-limit'
    | 'low-impedance'
    | 'cabinet-wall';
  readonly centreHz: number;
  /** Signed size on the reference axis where it has one. */
  readonly sizeDb?: number;
  /** True where it stands in every direction alike, so that an equaliser can take it away. */
  readonly correctable: boolean;
  readonly words: string;
}

/** An invented loudspeaker as its invented maker would have drawn it. */
export interface UnitDesign {
  readonly id: string;
  readonly loudspeaker: Loudspeaker;
  readonly planted: readonly PlantedFeature[];
}
