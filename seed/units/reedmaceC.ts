import { secondOrderLadder } from '../physics/impedance.js';
import type { Driver } from '../physics/loudspeaker.js';
import { motor, RADIUS_M } from './drivers.js';
import type { UnitDesign } from './unitDesign.js';

const CROSSOVER_HZ = 2400;

function woofer(side: 'left' | 'right'): Driver {
  const x = side === 'left' ? -0.155 : 0.155;
  return {
    name: `130 mm paper cone, ${side}`,
    position: { x, y: 0, z: 0 },
    shape: { shape: 'circular', radiusM: RADIUS_M.cone130, breakupHz: 4500 },
    halfSpaceDb: 86.5,
    box: { kind: 'vented', driverHz: 52, driverQ: 0.38, boxHz: 55, complianceRatio: 1.2, leakQ: 7 },
    vent: { position: { x: x * 1.4, y: 0, z: -0.27 } },
    filters: [
      { kind: 'high-shelf', hz: 330, gainDb: -4 },
      { kind: 'linkwitz-riley', pass: 'lowpass', order: 4, hz: CROSSOVER_HZ },
    ],
    motor: motor(RADIUS_M.cone130, 4.5, 105),
    coil: {
      resistanceOhm: 7.4,
      resonanceHz: 52,
      mechanicalQ: 4,
      electricalQ: 0.42,
      lossyInductance: { k: 0.005, n: 0.72 },
      network: [
        ...secondOrderLadder('lowpass', 2000, 9),
        { place: 'shunt', element: 'damped-capacitor', microfarad: 10, ohm: 9 },
      ],
    },
  };
}

/** Lying centre with a woofer at each side of the tweeter: the two cancel a few seats to the side. */
export const reedmaceC: UnitDesign = {
  id: 'reedmace-c',
  planted: [
    {
      what: 'narrow-coverage',
      centreHz: 1700,
      correctable: false,
      words: 'the two woofers cancel to the sides below the crossover',
    },
    {
      what: 'broad-deficit',
      centreHz: 160,
      sizeDb: -2,
      correctable: true,
      words: 'lean lower range, meant for placing on furniture',
    },
  ],
  loudspeaker: {
    mounting: 'cabinet',
    baffle: { left: -0.26, right: 0.26, top: 0.095, bottom: -0.095 },
    depthM: 0.27,
    edgeRadiusM: 0.01,
    panels: [],
    voicing: [
      { kind: 'peaking', hz: 86, gainDb: 2.0, q: 1.4 },
      { kind: 'peaking', hz: 290, gainDb: 1.9, q: 0.62 },
      { kind: 'peaking', hz: 1200, gainDb: -1.3, q: 1.08 },
      { kind: 'peaking', hz: 2600, gainDb: 2.6, q: 1.4 },
      { kind: 'peaking', hz: 8600, gainDb: -1.1, q: 0.35 },
    ],
    drivers: [
      woofer('left'),
      woofer('right'),
      {
        name: '25 mm fabric dome',
        position: { x: 0, y: 0.02, z: 0 },
        shape: { shape: 'circular', radiusM: RADIUS_M.dome25, breakupHz: 13000 },
        halfSpaceDb: 88.2,
        filters: [{ kind: 'linkwitz-riley', pass: 'highpass', order: 4, hz: CROSSOVER_HZ }],
        motor: motor(RADIUS_M.dome25, 0.45, 106, 0.25, 0.08),
        coil: {
          resistanceOhm: 4.7,
          resonanceHz: 800,
          mechanicalQ: 1.9,
          electricalQ: 1.3,
          lossyInductance: { k: 0.0011, n: 0.65 },
          network: [
            { place: 'series', element: 'resistor', ohm: 1.5 },
            ...secondOrderLadder('highpass', 2700, 5),
          ],
        },
      },
    ],
  },
};
