import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { foldAngle, isIgnoredFile, parseFileName } from './fileName.js';

describe('parseFileName', () => {
  it.each([
    ['h+030.csv', 'horizontal', 30],
    ['h-170.csv', 'horizontal', -170],
    ['hor_30.txt', 'horizontal', 30],
    ['hor_-30.txt', 'horizontal', -30],
    ['V -10.csv', 'vertical', -10],
    ['h330.wav', 'horizontal', -30],
    ['H180.wav', 'horizontal', 180],
    ['h-180.csv', 'horizontal', 180],
    ['vertical 350.txt', 'vertical', -10],
    ['Horizontal_022.5deg.csv', 'horizontal', 22.5],
    ['h22.5', 'horizontal', 22.5],
    ['v0', 'vertical', 0],
    ['h-0.csv', 'horizontal', 0],
    ['set 1/h+030.csv', 'horizontal', 30],
    ['set/vertical/-30.csv', 'vertical', -30],
    ['v\u221210.csv', 'vertical', -10],
  ])('%s is %s %d', (name, orbit, angleDeg) => {
    expect(parseFileName(name)).toStrictEqual({ role: 'directivity', orbit, angleDeg });
  });

  it.each([
    ['impedance.csv', { role: 'impedance' }],
    ['Impedance.TXT', { role: 'impedance' }],
    ['distortion_86db.csv', { role: 'distortion', levelDb: 86 }],
    ['Distortion 96 dB.csv', { role: 'distortion', levelDb: 96 }],
    ['multitone_86.5dB.wav', { role: 'multitone', levelDb: 86.5 }],
    ['compression_76db.csv', { role: 'compression', levelDb: 76 }],
    ['distortion.csv', { role: 'distortion' }],
    ['in-room.csv', { role: 'in-room' }],
    ['calibration_Mic A.csv', { role: 'calibration', label: 'Mic A' }],
  ])('%s', (name, expected) => {
    expect(parseFileName(name)).toStrictEqual(expected);
  });

  it.each([
    'on-axis.csv',
    'h.csv',
    'h400.csv',
    'h-181.csv',
    'h030 old.csv',
    '30.csv',
    'README.txt',
    'x_h030.csv',
    'distortion_loud.csv',
    'h360.csv',
    '',
  ])('does not guess at "%s"', (name) => {
    expect(parseFileName(name)).toBeUndefined();
  });

  it('finds every whole angle again in either way of writing it', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: -179, max: 180 }),
        fc.constantFrom('h', 'hor_', 'V ', 'vertical'),
        (angle, orbit) => {
          const other = angle < 0 ? angle + 360 : angle;
          expect(parseFileName(`${orbit}${angle}.csv`)?.angleDeg).toBe(angle);
          expect(parseFileName(`${orbit}${other}.csv`)?.angleDeg).toBe(angle);
        },
      ),
    );
  });

  it('never throws and never gives an angle outside (-180, 180]', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary' }), (name) => {
        const angle = parseFileName(name)?.angleDeg ?? 0;
        expect(angle > -180 && angle <= 180).toBe(true);
      }),
    );
  });
});

it('folds angles to (-180, 180] and refuses the rest', () => {
  expect([-180, -179.5, 0, 180, 181, 359].map(foldAngle)).toStrictEqual([180, -179.5, 0, 180, -179, -1]);
  expect([-181, 360, NaN, Infinity].map(foldAngle)).toStrictEqual([
    undefined,
    undefined,
    undefined,
    undefined,
  ]);
});

it('passes over what operating systems leave beside files', () => {
  expect(
    ['.DS_Store', '__MACOSX/h0.csv', 'a/._h0.csv', 'Thumbs.db', 'x/desktop.ini', '.git/config'].every(
      isIgnoredFile,
    ),
  ).toBe(true);
  expect(['h0.csv', 'a/h0.csv', 'dots.in.name.csv'].some(isIgnoredFile)).toBe(false);
});
