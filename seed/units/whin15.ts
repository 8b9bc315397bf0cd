import { secondOrderLadder } from '../physics/impedance.js';
import { motor, RADIUS_M } from './drivers.js';
import type { UnitDesign } from './unitDesign.js';

const CROSSOVER_HZ = 950;

/** Large two-way with a 380 mm woofer and a horn: loud with ease, with a honk where the horn takes over. */
export const whin15: UnitDesign = {
  id: 'whin-15',
  planted: [
    {
      what: 'resonance',
      centreHz: 1050,
      sizeDb: 3,
      correctable: true,
      words: 'honk of the horn near its cut-off',
    },
    {
      what: 'broad-deficit',
      centreHz: 15000,
      sizeDb: -5,
      correctable: true,
      words: 'compression driver falls off early',
    },
  ],
  loudspeaker: {
    mounting: 'cabinet',
    baffle: { left: -0.26, right: 0.26, top: 0.16, bottom: -0.72 },
    depthM: 0.45,
    edgeRadiusM: 0.015,
    panels: [
      { hz: 165, q: 12, levelDb: -16, position: { x: -0.26, y: -0.4, z: -0.2 }, impedanceShare: 0.05 },
    ],
    voicing: [
      { kind: 'peaking', hz: 77, gainDb: 3.0, q: 0.8 },
      { kind: 'peaking', hz: 380, gainDb: -3.8, q: 0.76 },
      { kind: 'peaking', hz: 830, gainDb: 1.6, q: 1.4 },
      { kind: 'peaking', hz: 7900, gainDb: 2.4, q: 1.03 },
      { kind: 'peaking', hz: 11000, gainDb: -5.4, q: 0.57 },
    ],
    drivers: [
      {
        name: '380 mm paper cone',
        position: { x: 0, y: -0.4, z: 0 },
        shape: { shape: 'circular', radiusM: RADIUS_M.cone380, breakupHz: 1400 },
        halfSpaceDb: 97.5,
        box: { kind: 'vented', driverHz: 36, driverQ: 0.32, boxHz: 38, complianceRatio: 1.8, leakQ: 7 },
        vent: { position: { x: 0.15, y: -0.66, z: 0 } },
        filters: [
          { kind: 'high-shelf', hz: 190, gainDb: -4 },
          { kind: 'linkwitz-riley', pass: 'lowpass', order: 4, hz: CROSSOVER_HZ },
        ],
        motor: motor(RADIUS_M.cone380, 7, 114, 0.12, 0.05),
        coil: {
          resistanceOhm: 5.3,
          resonanceHz: 36,
          mechanicalQ: 6,
          electricalQ: 0.34,
          lossyInductance: { k: 0.008, n: 0.72 },
          network: secondOrderLadder('lowpass', 850, 8),
        },
      },
      {
        name: 'compression driver on a horn',
        position: { x: 0, y: 0, z: 0 },
        shape: {
          shape: 'guided',
          mouthRadiusM: { horizontal: 0.2, vertical: 0.13 },
          coverageDeg: { horizontal: 45, vertical: 30 },
        },
        halfSpaceDb: 92.5,
        filters: [{ kind: 'linkwitz-riley', pass: 'highpass', order: 4, hz: CROSSOVER_HZ }],
        cone: [
          { kind: 'peaking', hz: 1050, gainDb: 4.4, q: 3.5 },
          { kind: 'butterworth', pass: 'lowpass', order: 1, hz: 17000 },
        ],
        motor: motor(0.022, 0.4, 116, 0.6, 0.08),
        coil: {
          resistanceOhm: 6.2,
          resonanceHz: 520,
          mechanicalQ: 1.6,
          electricalQ: 1.5,
          lossyInductance: { k: 0.0012, n: 0.65 },
          network: [
            { place: 'series', element: 'resistor', ohm: 4.7 },
            ...secondOrderLadder('highpass', 950, 7),
          ],
        },
      },
    ],
  },
};
