import { secondOrderLadder } from '../physics/impedance.js';
import type { Driver } from '../physics/loudspeaker.js';
import type { UnitDesign } from './unitDesign.js';

const CROSSOVER_HZ = 1200;
const PATCHES = 4;
const PANEL_HEIGHT_M = 0.66;
/** Each patch of four plays a quarter of the whole pressure. */
const PATCH_DB = 20 * Math.log10(1 / PATCHES);

/** A tall foil is not small against the microphone's distance: it is cut into patches with paths of their own. */
function bassPatch(index: number): Driver {
  const height = PANEL_HEIGHT_M / PATCHES;
  return {
    name: `bass foil, part ${index + 1}`,
    position: { x: -0.04, y: -0.1 - PANEL_HEIGHT_M / 2 + (index + 0.5) * height, z: 0 },
    shape: { shape: 'rectangular', widthM: 0.24, heightM: height },
    halfSpaceDb: 92 + PATCH_DB,
    box: { kind: 'closed', resonanceHz: 48, q: 1.2 },
    filters: [
      { kind: 'high-shelf', hz: 180, gainDb: -10 },
      { kind: 'linkwitz-riley', pass: 'lowpass', order: 4, hz: CROSSOVER_HZ },
    ],
    motor: {
      areaM2: 0.24 * height,
      limitMm: 1.6,
      residualPercent: { second: 0.2, third: 0.05 },
      heatLimitDb: 106,
    },
    ...(index === 0 && {
      coil: {
        resistanceOhm: 4.3,
        resonanceHz: 42,
        mechanicalQ: 2.5,
        electricalQ: 4,
        lossyInductance: { k: 0.0002, n: 0.7 },
        network: secondOrderLadder('lowpass', CROSSOVER_HZ, 4),
      },
    }),
  };
}

/** Open panel with a bass foil and a treble ribbon beside it: thin below, quiet to the sides. */
export const plane2: UnitDesign = {
  id: 'plane-2',
  planted: [
    {
      what: 'broad-deficit',
      centreHz: 170,
      sizeDb: -4,
      correctable: true,
      words: 'front and back cancel: a thin lower range',
    },
    { what: 'bass-limit', centreHz: 48, correctable: false, words: 'little below the foil resonance' },
  ],
  loudspeaker: {
    mounting: 'open',
    baffle: { left: -0.21, right: 0.21, top: 0.36, bottom: -0.78 },
    depthM: 0.04,
    edgeRadiusM: 0.005,
    panels: [],
    voicing: [
      { kind: 'peaking', hz: 200, gainDb: -2.7, q: 0.52 },
      { kind: 'peaking', hz: 160, gainDb: -2.9, q: 0.85 },
      { kind: 'peaking', hz: 970, gainDb: 3.6, q: 1.4 },
      { kind: 'peaking', hz: 1400, gainDb: -2.1, q: 1.4 },
      { kind: 'peaking', hz: 5700, gainDb: -1.7, q: 0.61 },
    ],
    drivers: [
      ...Array.from({ length: PATCHES }, (_, index) => bassPatch(index)),
      {
        name: 'treble ribbon',
        position: { x: 0.115, y: 0, z: 0 },
        shape: { shape: 'rectangular', widthM: 0.03, heightM: 0.11 },
        halfSpaceDb: 86,
        filters: [{ kind: 'linkwitz-riley', pass: 'highpass', order: 4, hz: CROSSOVER_HZ }],
        motor: {
          areaM2: 0.0033,
          limitMm: 0.5,
          residualPercent: { second: 0.25, third: 0.05 },
          heatLimitDb: 104,
        },
        coil: {
          resistanceOhm: 3.4,
          resonanceHz: 300,
          mechanicalQ: 1,
          electricalQ: 6,
          lossyInductance: { k: 0.0001, n: 0.7 },
          network: secondOrderLadder('highpass', CROSSOVER_HZ, 3.5),
        },
      },
    ],
  },
};
