import { secondOrderLadder } from '../physics/impedance.js';
import { motor, RADIUS_M } from './drivers.js';
import type { UnitDesign } from './unitDesign.js';

const CROSSOVER_HZ = 2800;

/** The smallest of its family: closed, for use with a subwoofer. */
export const sedge3: UnitDesign = {
  id: 'sedge-3',
  planted: [
    {
      what: 'bass-limit',
      centreHz: 87,
      correctable: false,
      words: 'small closed box, meant for a subwoofer',
    },
    {
      what: 'broad-excess',
      centreHz: 1300,
      sizeDb: 1.8,
      correctable: true,
      words: 'forward middle',
    },
  ],
  loudspeaker: {
    mounting: 'cabinet',
    baffle: { left: -0.08, right: 0.08, top: 0.065, bottom: -0.165 },
    depthM: 0.19,
    edgeRadiusM: 0.01,
    panels: [],
    voicing: [
      { kind: 'peaking', hz: 390, gainDb: 0.8, q: 1.11 },
      { kind: 'peaking', hz: 140, gainDb: 1.1, q: 0.45 },
      { kind: 'peaking', hz: 1400, gainDb: -3.8, q: 0.63 },
      { kind: 'peaking', hz: 11000, gainDb: -2.7, q: 0.56 },
    ],
    drivers: [
      {
        name: '100 mm paper cone',
        position: { x: 0, y: -0.105, z: 0 },
        shape: { shape: 'circular', radiusM: RADIUS_M.cone100, breakupHz: 5500 },
        halfSpaceDb: 88.5,
        box: { kind: 'closed', resonanceHz: 92, q: 0.75 },
        filters: [
          { kind: 'high-shelf', hz: 560, gainDb: -4.5 },
          { kind: 'peaking', hz: 1300, gainDb: 1.8, q: 1.2 },
          { kind: 'linkwitz-riley', pass: 'lowpass', order: 4, hz: CROSSOVER_HZ },
        ],
        motor: motor(RADIUS_M.cone100, 5, 99, 0.25, 0.15),
        coil: {
          resistanceOhm: 6.1,
          resonanceHz: 92,
          mechanicalQ: 3.3,
          electricalQ: 0.97,
          lossyInductance: { k: 0.003, n: 0.72 },
          network: [
            ...secondOrderLadder('lowpass', 2400, 7),
            { place: 'shunt', element: 'damped-capacitor', microfarad: 8, ohm: 7 },
          ],
        },
      },
      {
        name: '25 mm fabric dome',
        position: { x: 0, y: 0, z: 0 },
        shape: { shape: 'circular', radiusM: RADIUS_M.dome25, breakupHz: 13000 },
        halfSpaceDb: 84,
        filters: [{ kind: 'linkwitz-riley', pass: 'highpass', order: 4, hz: CROSSOVER_HZ }],
        motor: motor(RADIUS_M.dome25, 0.4, 102, 0.28, 0.1),
        coil: {
          resistanceOhm: 4.5,
          resonanceHz: 900,
          mechanicalQ: 1.8,
          electricalQ: 1.3,
          lossyInductance: { k: 0.001, n: 0.65 },
          network: [
            { place: 'series', element: 'resistor', ohm: 3.3 },
            ...secondOrderLadder('highpass', 3100, 5),
          ],
        },
      },
    ],
  },
};
