import { complex } from './complex.js';
import { rational, type Transfer } from './transfer.js';

/**
 * A bass system's response relative to its flat range: what the cone radiates, what the vent radiates, and
 * their sum. The cone's excursion follows from `cone` divided by frequency squared.
 */
export interface Alignment {
  readonly total: Transfer;
  readonly cone: Transfer;
  readonly vent: Transfer;
}

export interface ClosedBox {
  readonly kind: 'closed';
  readonly resonanceHz: number;
  /** Total Q of the system at resonance; 0.707 is a Butterworth alignment. */
  readonly q: number;
}

export interface VentedBox {
  readonly kind: 'vented';
  /** Driver's free-air resonance. */
  readonly driverHz: number;
  /** Total Q of the driver. */
  readonly driverQ: number;
  readonly boxHz: number;
  /** Driver's compliance over the box's. */
  readonly complianceRatio: number;
  /** Leakage Q of the box; about 7 is usual [common practice, no source]. */
  readonly leakQ: number;
}

export type Box = ClosedBox | VentedBox;

export function alignment(box: Box): Alignment {
  return box.kind === 'closed' ? closedAlignment(box) : ventedAlignment(box);
}

/** Second order (Small 1972, "Closed-Box Loudspeaker Systems", JAES 20). */
function closedAlignment(box: ClosedBox): Alignment {
  const total = rational([0, 0, 1], [1, 1 / box.q, 1], box.resonanceHz);
  return { total, cone: total, vent: () => complex(0) };
}

/** Fourth order with leakage loss (Small 1973, "Vented-Box Loudspeaker Systems", JAES 21). */
function ventedAlignment(box: VentedBox): Alignment {
  const tuning = box.driverHz / box.boxHz;
  const denominator = ventedDenominator(box, box.driverQ);
  return {
    total: rational([0, 0, 0, 0, tuning ** 2], denominator, box.driverHz),
    cone: rational([0, 0, 1, tuning / box.leakQ, tuning ** 2], denominator, box.driverHz),
    vent: rational([0, 0, -1, -tuning / box.leakQ], denominator, box.driverHz),
  };
}

/**
 * Small's D(s) with s in units of the driver's resonance, lowest power first. With the driver's mechanical Q
 * in place of its total Q it is also the denominator of the motional impedance.
 */
export function ventedDenominator(box: VentedBox, driverQ: number): readonly number[] {
  const tuning = box.driverHz / box.boxHz;
  return [
    1,
    tuning / box.leakQ + 1 / driverQ,
    (box.complianceRatio + 1) * tuning ** 2 + tuning / (box.leakQ * driverQ) + 1,
    tuning ** 2 / driverQ + tuning / box.leakQ,
    tuning ** 2,
  ];
}
