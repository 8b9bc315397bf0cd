import { motor, RADIUS_M } from './drivers.js';
import type { UnitDesign } from './unitDesign.js';

/** Active closed subwoofer, equalised below its own resonance: the deepest octave costs excursion. */
export const gravel12: UnitDesign = {
  id: 'gravel-12',
  planted: [
    {
      what: 'bass-limit',
      centreHz: 24,
      correctable: false,
      words: 'clean to the mid twenties at moderate level',
    },
    {
      what: 'resonance',
      centreHz: 118,
      sizeDb: 1.5,
      correctable: true,
      words: 'slight rise before the low-pass',
    },
  ],
  loudspeaker: {
    mounting: 'cabinet',
    baffle: { left: -0.19, right: 0.19, top: 0.19, bottom: -0.19 },
    depthM: 0.4,
    edgeRadiusM: 0.01,
    panels: [],
    voicing: [],
    drivers: [
      {
        name: '300 mm pulp cone',
        position: { x: 0, y: 0, z: 0 },
        shape: { shape: 'circular', radiusM: RADIUS_M.cone300 },
        halfSpaceDb: 98,
        box: { kind: 'closed', resonanceHz: 24, q: 0.707 },
        filters: [
          { kind: 'peaking', hz: 118, gainDb: 1.5, q: 2.2 },
          { kind: 'linkwitz-riley', pass: 'lowpass', order: 4, hz: 160 },
        ],
        motor: motor(RADIUS_M.cone300, 16, 111, 0.3, 0.15),
      },
    ],
  },
};
