import { secondOrderLadder } from '../physics/impedance.js';
import { motor, RADIUS_M } from './drivers.js';
import type { UnitDesign } from './unitDesign.js';

const LOW_CROSSOVER_HZ = 350;
const HIGH_CROSSOVER_HZ = 2700;

/** Tall three-way with two vented 200 mm woofers in parallel: generous bass, a ringing side wall, a hard load. */
export const fen8: UnitDesign = {
  id: 'fen-8',
  planted: [
    { what: 'broad-excess', centreHz: 85, sizeDb: 2.5, correctable: true, words: 'generous upper bass' },
    {
      what: 'cabinet-wall',
      centreHz: 232,
      sizeDb: 2.2,
      correctable: true,
      words: 'side wall rings, also seen in the impedance',
    },
    { what: 'low-impedance', centreHz: 105, correctable: false, words: 'two woofers in parallel' },
  ],
  loudspeaker: {
    mounting: 'cabinet',
    baffle: { left: -0.125, right: 0.125, top: 0.1, bottom: -0.95 },
    depthM: 0.34,
    edgeRadiusM: 0.008,
    panels: [
      { hz: 232, q: 14, levelDb: -6, position: { x: 0.125, y: -0.5, z: -0.17 }, impedanceShare: 0.09 },
    ],
    voicing: [
      { kind: 'peaking', hz: 590, gainDb: -0.9, q: 0.43 },
      { kind: 'peaking', hz: 90, gainDb: 3.6, q: 0.78 },
      { kind: 'peaking', hz: 870, gainDb: -0.7, q: 1.37 },
      { kind: 'peaking', hz: 920, gainDb: -0.7, q: 1.08 },
      { kind: 'peaking', hz: 2600, gainDb: 0.8, q: 1.4 },
    ],
    drivers: [
      ...[-0.36, -0.6].map((y, index) => ({
        name: `200 mm paper cone, ${index === 0 ? 'upper' : 'lower'}`,
        position: { x: 0, y, z: 0 },
        shape: { shape: 'circular' as const, radiusM: RADIUS_M.cone200 },
        halfSpaceDb: 87.5,
        box: {
          kind: 'vented' as const,
          driverHz: 30,
          driverQ: 0.48,
          boxHz: 32,
          complianceRatio: 1.1,
          leakQ: 7,
        },
        vent: { position: { x: 0, y: -0.85, z: -0.34 } },
        filters: [
          {
            kind: 'linkwitz-riley' as const,
            pass: 'lowpass' as const,
            order: 4 as const,
            hz: LOW_CROSSOVER_HZ,
          },
        ],
        motor: motor(RADIUS_M.cone200, 7, 109),
        coil: {
          resistanceOhm: 5.9,
          resonanceHz: 30,
          mechanicalQ: 5,
          electricalQ: 0.53,
          lossyInductance: { k: 0.006, n: 0.72 },
          network: secondOrderLadder('lowpass', 330, 7),
        },
      })),
      {
        name: '130 mm woven cone',
        position: { x: 0, y: -0.14, z: 0 },
        shape: { shape: 'circular', radiusM: RADIUS_M.cone130, breakupHz: 4500 },
        halfSpaceDb: 89,
        filters: [
          { kind: 'linkwitz-riley', pass: 'highpass', order: 4, hz: LOW_CROSSOVER_HZ },
          { kind: 'linkwitz-riley', pass: 'lowpass', order: 4, hz: HIGH_CROSSOVER_HZ },
        ],
        motor: motor(RADIUS_M.cone130, 2.5, 108, 0.15, 0.08),
        coil: {
          resistanceOhm: 5.6,
          resonanceHz: 75,
          mechanicalQ: 3.5,
          electricalQ: 0.6,
          lossyInductance: { k: 0.003, n: 0.7 },
          network: [
            { place: 'series', element: 'capacitor', microfarad: 68 },
            { place: 'shunt', element: 'inductor', millihenry: 4.3, ohm: 0.6 },
            ...secondOrderLadder('lowpass', 2600, 6),
            { place: 'shunt', element: 'damped-capacitor', microfarad: 10, ohm: 6 },
          ],
        },
      },
      {
        name: '25 mm metal dome',
        position: { x: 0, y: 0, z: 0 },
        shape: { shape: 'circular', radiusM: RADIUS_M.dome25, breakupHz: 13000 },
        halfSpaceDb: 87.4,
        filters: [{ kind: 'linkwitz-riley', pass: 'highpass', order: 4, hz: HIGH_CROSSOVER_HZ }],
        motor: motor(RADIUS_M.dome25, 0.45, 107, 0.22, 0.07),
        coil: {
          resistanceOhm: 4.8,
          resonanceHz: 700,
          mechanicalQ: 1.8,
          electricalQ: 1.2,
          lossyInductance: { k: 0.001, n: 0.65 },
          network: [
            { place: 'series', element: 'resistor', ohm: 2 },
            ...secondOrderLadder('highpass', 2900, 5),
          ],
        },
      },
    ],
  },
};
