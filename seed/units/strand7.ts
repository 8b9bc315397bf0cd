import { secondOrderLadder } from '../physics/impedance.js';
import type { Driver } from '../physics/loudspeaker.js';
import { motor, RADIUS_M } from './drivers.js';
import type { UnitDesign } from './unitDesign.js';

const CROSSOVER_HZ = 2200;

function woofer(place: 'upper' | 'lower'): Driver {
  const upper = place === 'upper';
  return {
    name: `165 mm polymer cone, ${place}`,
    position: { x: 0, y: upper ? -0.155 : -0.335, z: 0 },
    shape: { shape: 'circular', radiusM: RADIUS_M.cone165, breakupHz: 3500 },
    halfSpaceDb: upper ? 86.5 : 87.5,
    box: { kind: 'vented', driverHz: 38, driverQ: 0.37, boxHz: 38, complianceRatio: 1.3, leakQ: 7 },
    vent: { position: { x: 0, y: -0.75, z: -0.3 } },
    filters: upper
      ? [{ kind: 'linkwitz-riley', pass: 'lowpass', order: 4, hz: CROSSOVER_HZ }]
      : [{ kind: 'butterworth', pass: 'lowpass', order: 1, hz: 380 }],
    motor: motor(RADIUS_M.cone165, 5.5, 107),
    coil: {
      resistanceOhm: 7,
      resonanceHz: 38,
      mechanicalQ: 4.4,
      electricalQ: 0.4,
      lossyInductance: { k: 0.005, n: 0.72 },
      network: upper
        ? [
            ...secondOrderLadder('lowpass', 1900, 8),
            { place: 'shunt', element: 'damped-capacitor', microfarad: 12, ohm: 8 },
          ]
        : [{ place: 'series', element: 'inductor', millihenry: 3.3, ohm: 0.3 }],
    },
  };
}

/** Slim two-and-a-half-way tower with an eager treble. */
export const strand7: UnitDesign = {
  id: 'strand-7',
  planted: [
    {
      what: 'broad-excess',
      centreHz: 6800,
      sizeDb: 3.2,
      correctable: true,
      words: 'treble lifted in all directions',
    },
    {
      what: 'vertical-null',
      centreHz: CROSSOVER_HZ,
      correctable: false,
      words: 'hole above the axis around the crossover',
    },
  ],
  loudspeaker: {
    mounting: 'cabinet',
    baffle: { left: -0.1, right: 0.1, top: 0.085, bottom: -0.88 },
    depthM: 0.3,
    edgeRadiusM: 0.015,
    panels: [],
    voicing: [
      { kind: 'peaking', hz: 800, gainDb: -1.5, q: 0.59 },
      { kind: 'peaking', hz: 66, gainDb: 2.5, q: 0.35 },
      { kind: 'peaking', hz: 940, gainDb: -1.5, q: 0.5 },
      { kind: 'peaking', hz: 3100, gainDb: 2.4, q: 1.4 },
      { kind: 'peaking', hz: 4500, gainDb: -0.9, q: 1.4 },
    ],
    drivers: [
      woofer('upper'),
      woofer('lower'),
      {
        name: '25 mm metal dome',
        position: { x: 0, y: 0, z: 0 },
        shape: { shape: 'circular', radiusM: RADIUS_M.dome25, breakupHz: 13000 },
        halfSpaceDb: 86.5,
        filters: [{ kind: 'linkwitz-riley', pass: 'highpass', order: 4, hz: CROSSOVER_HZ }],
        cone: [{ kind: 'peaking', hz: 6800, gainDb: 3.2, q: 1 }],
        motor: motor(RADIUS_M.dome25, 0.45, 105, 0.25, 0.08),
        coil: {
          resistanceOhm: 4.7,
          resonanceHz: 760,
          mechanicalQ: 1.9,
          electricalQ: 1.3,
          lossyInductance: { k: 0.0011, n: 0.65 },
          network: [
            { place: 'series', element: 'resistor', ohm: 2 },
            ...secondOrderLadder('highpass', 2500, 5),
          ],
        },
      },
    ],
  },
};
