import { Resvg } from '@resvg/resvg-js';
import { unitDesigns } from '../units/index.js';
import type { Driver } from '../physics/loudspeaker.js';

/** What a stand-in photograph shows. It is a drawing, and says so. */
export type PhotographSubject =
  | { readonly view: 'crate'; readonly marks: number }
  | {
      readonly view: 'front';
      readonly designId: string;
      readonly finish: 'oak' | 'black' | 'white' | 'walnut';
    }
  | { readonly view: 'plate'; readonly seed: number }
  | { readonly view: 'damage'; readonly finish: 'oak' | 'black' | 'white' | 'walnut' };

const WIDTH = 360;
const HEIGHT = 270;
const FINISHES = { oak: '#c59d6a', black: '#2d2d31', white: '#e9e6df', walnut: '#6d4a32' } as const;

/** Draws the subject as a small PNG with the word INVENTED across its foot. */
export function photographPng(subject: PhotographSubject): Uint8Array {
  const svg = [
    `<svg xmlns="http://www.w3.org/2000/svg" width="${WIDTH}" height="${HEIGHT}" viewBox="0 0 ${WIDTH} ${HEIGHT}">`,
    `<rect width="${WIDTH}" height="${HEIGHT}" fill="#8e948f"/>`,
    `<rect y="200" width="${WIDTH}" height="70" fill="#77705f"/>`,
    scene(subject),
    inventedMark(),
    '</svg>',
  ].join('');
  // No font is read: the mark is drawn from lines.
  return new Resvg(svg, { font: { loadSystemFonts: false } }).render().asPng();
}

function scene(subject: PhotographSubject): string {
  switch (subject.view) {
    case 'crate':
      return crate(subject.marks);
    case 'front':
      return front(subject.designId, FINISHES[subject.finish]);
    case 'plate':
      return plate(subject.seed);
    case 'damage':
      return damage(FINISHES[subject.finish]);
  }
}

function crate(marks: number): string {
  const boards = [0, 1, 2, 3].map(
    (row) => `<rect x="90" y="${70 + row * 36}" width="180" height="32" fill="#b48a5a" stroke="#7d5c36"/>`,
  );
  const scratches = Array.from(
    { length: marks },
    (_, n) => `<path d="M${110 + n * 37} ${96 + ((n * 53) % 80)}l22 9" stroke="#5a3d1f" stroke-width="3"/>`,
  );
  const arrows =
    '<path d="M150 190v-26m-8 10l8 -10l8 10M190 190v-26m-8 10l8 -10l8 10" stroke="#222" fill="none" stroke-width="3"/>';
  return [...boards, ...scratches, arrows].join('');
}

/** The cabinet's face to scale, from the design itself. */
function front(designId: string, colour: string): string {
  const design = unitDesigns.find((candidate) => candidate.id === designId);
  if (!design) throw new Error(`There is no invented unit called ${designId}.`);
  const { baffle, drivers } = design.loudspeaker;
  const scale = Math.min(200 / (baffle.top - baffle.bottom), 300 / (baffle.right - baffle.left));
  const middle = (baffle.left + baffle.right) / 2;
  const x = (metres: number) => WIDTH / 2 + (metres - middle) * scale;
  const y = (metres: number) => 228 + (baffle.bottom - metres) * scale;
  const face = `<rect x="${x(baffle.left)}" y="${y(baffle.top)}" width="${(baffle.right - baffle.left) * scale}" height="${(baffle.top - baffle.bottom) * scale}" rx="3" fill="${colour}" stroke="#1b1b1b"/>`;
  return face + drivers.map((driver) => driverFace(driver, x, y, scale)).join('');
}

function driverFace(
  driver: Driver,
  x: (metres: number) => number,
  y: (metres: number) => number,
  scale: number,
): string {
  const [cx, cy] = [x(driver.position.x), y(driver.position.y)];
  const { shape } = driver;
  switch (shape.shape) {
    case 'rectangular': {
      const [width, height] = [shape.widthM * scale, shape.heightM * scale];
      return `<rect x="${cx - width / 2}" y="${cy - height / 2}" width="${width}" height="${height}" fill="#444a50" stroke="#222"/>`;
    }
    case 'guided':
      return `<ellipse cx="${cx}" cy="${cy}" rx="${shape.mouthRadiusM.horizontal * scale}" ry="${shape.mouthRadiusM.vertical * scale}" fill="#3a3d42" stroke="#111"/><circle cx="${cx}" cy="${cy}" r="${0.012 * scale}" fill="#c8c8c4"/>`;
    case 'ring':
      return `<circle cx="${cx}" cy="${cy}" r="${shape.radiusM * scale}" fill="none" stroke="#999"/>`;
    case 'circular':
      return `<circle cx="${cx}" cy="${cy}" r="${shape.radiusM * 1.2 * scale}" fill="#1e2023" stroke="#777"/><circle cx="${cx}" cy="${cy}" r="${shape.radiusM * 0.35 * scale}" fill="#53565a"/>`;
  }
}

/** A type plate: bars in place of letters, so that nothing can be mistaken for a real serial number. */
function plate(seed: number): string {
  const bars = Array.from({ length: 18 }, (_, n) => {
    const width = 2 + ((seed * 7 + n * 13) % 5);
    return `<rect x="${105 + n * 8}" y="140" width="${width}" height="30" fill="#26282b"/>`;
  });
  return `<rect x="90" y="80" width="180" height="110" rx="6" fill="#d7d4cb" stroke="#55524a"/><path d="M105 104h150M105 120h110" stroke="#77736a" stroke-width="5"/>${bars.join('')}`;
}

function damage(colour: string): string {
  return `<path d="M40 40h280v160h-280z" fill="${colour}" stroke="#1b1b1b"/><path d="M286 40h34v36q-14 -2 -20 -14t-14 -22z" fill="#d9c9a8" stroke="#5b4a2e"/><path d="M270 84l18 -10m-30 22l12 -4" stroke="#d9c9a8" stroke-width="2"/><circle cx="300" cy="60" r="44" fill="none" stroke="#d4502c" stroke-width="4"/>`;
}

/** Letters as strokes on a 4 x 6 field. */
const STROKES: Readonly<Record<string, string>> = {
  I: 'M2 0v6',
  N: 'M0 6v-6l4 6v-6',
  V: 'M0 0l2 6l2 -6',
  E: 'M4 0h-4v6h4M0 3h3',
  T: 'M0 0h4M2 0v6',
  D: 'M0 0v6h2q2 -1 2 -3t-2 -3z',
};

function inventedMark(): string {
  const letters = 'INVENTED'
    .split('')
    .map((letter, n) => `<path transform="translate(${n * 7} 0)" d="${STROKES[letter] ?? ''}"/>`);
  return `<rect x="90" y="240" width="180" height="26" fill="#fffef8"/><g transform="translate(105 244) scale(2.7 3)" fill="none" stroke="#a02a12" stroke-width="0.8">${letters.join('')}</g>`;
}
