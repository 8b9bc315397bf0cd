import { secondOrderLadder } from '../physics/impedance.js';
import { motor, RADIUS_M } from './drivers.js';
import type { UnitDesign } from './unitDesign.js';

const CROSSOVER_HZ = 2500;
const CENTRE = { x: 0, y: 0, z: 0 };

/** Closed coaxial two-way: even in every direction, but the step around the cone disturbs the very axis. */
export const lumen6: UnitDesign = {
  id: 'lumen-6',
  planted: [
    {
      what: 'interference',
      centreHz: 5200,
      sizeDb: -2,
      correctable: false,
      words: 'the surround sends the treble out again: dips that stand on the axis alone',
    },
    { what: 'bass-limit', centreHz: 62, correctable: false, words: 'closed box, early but gentle bass fall' },
  ],
  loudspeaker: {
    mounting: 'cabinet',
    baffle: { left: -0.11, right: 0.11, top: 0.15, bottom: -0.19 },
    depthM: 0.3,
    edgeRadiusM: 0.03,
    panels: [],
    voicing: [
      { kind: 'peaking', hz: 2400, gainDb: 2.8, q: 0.44 },
      { kind: 'peaking', hz: 160, gainDb: 4.7, q: 0.35 },
      { kind: 'peaking', hz: 1100, gainDb: -1.9, q: 1.4 },
      { kind: 'peaking', hz: 3000, gainDb: -2.3, q: 1.4 },
      { kind: 'peaking', hz: 710, gainDb: -1.8, q: 1.06 },
    ],
    drivers: [
      {
        name: '165 mm coaxial cone',
        position: CENTRE,
        shape: { shape: 'circular', radiusM: RADIUS_M.cone165, breakupHz: 4000 },
        halfSpaceDb: 90,
        box: { kind: 'closed', resonanceHz: 60, q: 0.72 },
        filters: [
          { kind: 'high-shelf', hz: 400, gainDb: -4.6 },
          { kind: 'linkwitz-riley', pass: 'lowpass', order: 4, hz: CROSSOVER_HZ },
        ],
        motor: motor(RADIUS_M.cone165, 6, 103, 0.16, 0.12),
        coil: {
          resistanceOhm: 3.6,
          resonanceHz: 60,
          mechanicalQ: 3.8,
          electricalQ: 0.89,
          lossyInductance: { k: 0.003, n: 0.72 },
          network: [
            ...secondOrderLadder('lowpass', 2100, 5),
            { place: 'shunt', element: 'damped-capacitor', microfarad: 18, ohm: 5 },
          ],
        },
      },
      {
        name: '25 mm coaxial dome',
        position: CENTRE,
        shape: {
          shape: 'guided',
          mouthRadiusM: { horizontal: 0.05, vertical: 0.05 },
          coverageDeg: { horizontal: 58, vertical: 58 },
        },
        halfSpaceDb: 85.8,
        filters: [{ kind: 'linkwitz-riley', pass: 'highpass', order: 4, hz: CROSSOVER_HZ }],
        motor: motor(RADIUS_M.dome25, 0.4, 103, 0.3, 0.1),
        coil: {
          resistanceOhm: 4.4,
          resonanceHz: 900,
          mechanicalQ: 1.8,
          electricalQ: 1.3,
          lossyInductance: { k: 0.0011, n: 0.65 },
          network: [
            { place: 'series', element: 'resistor', ohm: 2.2 },
            ...secondOrderLadder('highpass', 2800, 5),
          ],
        },
      },
      {
        name: 'step around the cone',
        position: CENTRE,
        shape: { shape: 'ring', radiusM: 0.066 },
        halfSpaceDb: 85.8 - 13,
        filters: [
          { kind: 'linkwitz-riley', pass: 'highpass', order: 4, hz: CROSSOVER_HZ },
          { kind: 'delay', microseconds: 192 },
          { kind: 'inverted' },
        ],
        motor: motor(RADIUS_M.dome25, 100, 140, 0, 0),
      },
    ],
  },
};
