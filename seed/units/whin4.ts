import { motor, RADIUS_M } from './drivers.js';
import type { UnitDesign } from './unitDesign.js';

const CROSSOVER_HZ = 1900;

/** Small active two-way with a waveguide: even and flat but for a peak its equaliser should have caught. */
export const whin4: UnitDesign = {
  id: 'whin-4',
  planted: [
    { what: 'resonance', centreHz: 3100, sizeDb: 3.2, correctable: true, words: 'peak in every direction' },
    { what: 'bass-limit', centreHz: 52, correctable: false, words: 'steep protection filter under the vent' },
  ],
  loudspeaker: {
    mounting: 'cabinet',
    baffle: { left: -0.095, right: 0.095, top: 0.085, bottom: -0.215 },
    depthM: 0.24,
    edgeRadiusM: 0.025,
    panels: [],
    voicing: [
      { kind: 'peaking', hz: 67, gainDb: 2.3, q: 1.26 },
      { kind: 'peaking', hz: 230, gainDb: 3.7, q: 0.38 },
      { kind: 'peaking', hz: 960, gainDb: -1.8, q: 0.78 },
      { kind: 'peaking', hz: 2900, gainDb: 1.6, q: 1.4 },
      { kind: 'peaking', hz: 7000, gainDb: 0.4, q: 1.4 },
    ],
    drivers: [
      {
        name: '130 mm long-throw cone',
        position: { x: 0, y: -0.135, z: 0 },
        shape: { shape: 'circular', radiusM: RADIUS_M.cone130, breakupHz: 4500 },
        halfSpaceDb: 91,
        box: { kind: 'vented', driverHz: 47, driverQ: 0.4, boxHz: 46, complianceRatio: 1.2, leakQ: 8 },
        vent: { position: { x: 0, y: -0.2, z: 0 } },
        filters: [
          { kind: 'butterworth', pass: 'highpass', order: 2, hz: 34 },
          { kind: 'high-shelf', hz: 460, gainDb: -5 },
          { kind: 'linkwitz-riley', pass: 'lowpass', order: 8, hz: CROSSOVER_HZ },
        ],
        motor: motor(RADIUS_M.cone130, 6, 101, 0.2, 0.12),
      },
      {
        name: '25 mm dome in a waveguide',
        position: { x: 0, y: 0, z: 0 },
        shape: {
          shape: 'guided',
          mouthRadiusM: { horizontal: 0.07, vertical: 0.06 },
          coverageDeg: { horizontal: 55, vertical: 48 },
        },
        halfSpaceDb: 86,
        filters: [{ kind: 'linkwitz-riley', pass: 'highpass', order: 8, hz: CROSSOVER_HZ }],
        cone: [{ kind: 'peaking', hz: 3100, gainDb: 3.2, q: 3 }],
        motor: motor(RADIUS_M.dome25, 0.5, 103, 0.28, 0.1),
      },
    ],
  },
};
