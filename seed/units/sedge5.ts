import { secondOrderLadder } from '../physics/impedance.js';
import { motor, RADIUS_M } from './drivers.js';
import type { UnitDesign } from './unitDesign.js';

const CROSSOVER_HZ = 2300;

/** Small vented two-way; its front vent leaks a pipe resonance. */
export const sedge5: UnitDesign = {
  id: 'sedge-5',
  planted: [
    {
      what: 'resonance',
      centreHz: 760,
      sizeDb: 2,
      correctable: true,
      words: 'pipe resonance of the vent',
    },
    {
      what: 'vertical-null',
      centreHz: CROSSOVER_HZ,
      correctable: false,
      words: 'hole above and below the axis around the crossover',
    },
  ],
  loudspeaker: {
    mounting: 'cabinet',
    baffle: { left: -0.1, right: 0.1, top: 0.085, bottom: -0.255 },
    depthM: 0.28,
    edgeRadiusM: 0.012,
    panels: [],
    voicing: [
      { kind: 'peaking', hz: 290, gainDb: 2.0, q: 0.78 },
      { kind: 'peaking', hz: 85, gainDb: 3.0, q: 0.35 },
      { kind: 'peaking', hz: 1300, gainDb: -1.8, q: 0.35 },
      { kind: 'peaking', hz: 2900, gainDb: 2.6, q: 1.4 },
      { kind: 'peaking', hz: 11000, gainDb: -0.4, q: 0.35 },
    ],
    drivers: [
      {
        name: '165 mm paper cone',
        position: { x: 0, y: -0.16, z: 0 },
        shape: { shape: 'circular', radiusM: RADIUS_M.cone165, breakupHz: 3500 },
        halfSpaceDb: 91.5,
        box: { kind: 'vented', driverHz: 42, driverQ: 0.36, boxHz: 45, complianceRatio: 1.3, leakQ: 8 },
        vent: { position: { x: 0, y: -0.23, z: 0 }, pipe: { hz: 760, q: 9, levelDb: -5 } },
        filters: [
          { kind: 'high-shelf', hz: 420, gainDb: -4.8 },
          { kind: 'linkwitz-riley', pass: 'lowpass', order: 4, hz: CROSSOVER_HZ },
        ],
        motor: motor(RADIUS_M.cone165, 5.5, 103),
        coil: {
          resistanceOhm: 5.8,
          resonanceHz: 42,
          mechanicalQ: 4.2,
          electricalQ: 0.39,
          lossyInductance: { k: 0.0045, n: 0.72 },
          network: [
            ...secondOrderLadder('lowpass', 1900, 7),
            { place: 'shunt', element: 'damped-capacitor', microfarad: 15, ohm: 7 },
          ],
        },
      },
      {
        name: '25 mm fabric dome',
        position: { x: 0, y: 0, z: 0 },
        shape: { shape: 'circular', radiusM: RADIUS_M.dome25, breakupHz: 13000 },
        halfSpaceDb: 86.7,
        filters: [{ kind: 'linkwitz-riley', pass: 'highpass', order: 4, hz: CROSSOVER_HZ }],
        motor: motor(RADIUS_M.dome25, 0.45, 104, 0.25, 0.08),
        coil: {
          resistanceOhm: 4.6,
          resonanceHz: 750,
          mechanicalQ: 2.1,
          electricalQ: 1.4,
          lossyInductance: { k: 0.0012, n: 0.65 },
          network: [
            { place: 'series', element: 'resistor', ohm: 2.7 },
            ...secondOrderLadder('highpass', 2600, 5),
          ],
        },
      },
    ],
  },
};
